//! Cross references: a user's own table that maps numbers of other makers (a series, a pattern, an exact number) to
//! attributes, or to goods of this catalog that are offered as an equal. Rows apply together; where two say different
//! things of one attribute, the one that spells out more of the number prevails, and two that spell out the same are both told.

use std::collections::hash_map::Entry as Slot;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;

use super::book::Book;
use super::decode::{decode, ours};
use super::foreign::Foreign;
use super::good::Entry;
use super::sheet::{self, Sheet};
use super::source::{Mistakes, SourceFile, nearest};
use super::value::{is_misfit, known, parse};

/// Name of the file, beside `catalog.toml` or in the job's folder.
pub const FILE: &str = "crossref.csv";

const COLUMNS: [&str; 6] = ["maker", "number", "category", "means", "ours", "note"];

/// One row.
#[derive(Debug, Clone)]
pub(super) struct CrossRow {
    maker: Option<Arc<str>>,
    number: Foreign,
    written: Arc<str>,
    category: Option<Category>,
    means: Vec<(Attr, Value)>,
    ours: Option<Arc<str>>,
    note: Arc<str>,
    entry: Entry,
    /// Rows of the job's own file stand above those of the catalog.
    rank: u8,
}

/// The rows of all tables, by the letters their numbers begin with: every word of a job is held against them.
#[derive(Debug, Clone, Default)]
pub(super) struct CrossRows {
    rows: Vec<CrossRow>,
    /// Rows by the first letters they spell out, in order.
    by_beginning: HashMap<String, Vec<usize>>,
}

impl CrossRows {
    /// Rows of one table more.
    pub(super) fn extend(&mut self, rows: Vec<CrossRow>) {
        for row in rows {
            self.by_beginning.entry(row.number.beginning()).or_default().push(self.rows.len());
            self.rows.push(row);
        }
    }

    /// The rows whose number a text may begin with, in the order of the tables.
    fn beginning(&self, text: &str) -> Vec<&CrossRow> {
        if self.rows.is_empty() {
            return Vec::new();
        }
        let under = |beginning: String| self.by_beginning.get(&beginning).map_or(&[][..], Vec::as_slice);
        let mut places: Vec<usize> = Foreign::beginnings_of(text).flat_map(under).copied().collect();
        places.sort_unstable();
        places.into_iter().map(|at| &self.rows[at]).collect()
    }
}

/// What a row gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Told<T> {
    /// What.
    pub value: T,
    /// Where the row stands.
    pub entry: Entry,
    /// The row in words: `Tolvane TM*`.
    pub row: Arc<str>,
}

/// What the cross references say of a number.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Crossed {
    /// Bytes of the text that the number takes.
    pub read: usize,
    /// Of them, those that the rows spell out; what a last `*` takes is not among them.
    pub spelled: usize,
    /// The maker, where the rows name one.
    pub maker: Option<Told<Arc<str>>>,
    /// Categories; several only when rows of the same weight disagree.
    pub categories: Vec<Told<Category>>,
    /// Attributes, each with one value or several that rows of the same weight disagree on.
    pub attributes: BTreeMap<Attr, Vec<Told<Value>>>,
    /// Our own good offered as an equal, as the row writes it.
    pub ours: Option<Told<Arc<str>>>,
    /// Notes of the rows.
    pub notes: Vec<Arc<str>>,
}

/// Reads a table; mistakes are gathered with file, line and column.
pub(super) fn load(file: &SourceFile, book: &Book, rank: u8, mistakes: &mut Mistakes) -> Vec<CrossRow> {
    let mut rows: Vec<CrossRow> = Vec::new();
    let mut lines: HashMap<(Option<Arc<str>>, Arc<str>), u32> = HashMap::new();
    let Some(mut sheet) = Sheet::open(file, true, mistakes) else { return rows };
    sheet.only(&COLUMNS, mistakes);
    if sheet.needed("number", mistakes).is_none() {
        return rows;
    }
    let mut record = csv::StringRecord::new();
    while sheet.next(&mut record, mistakes).unwrap_or(false) {
        let start = sheet.start(&record);
        let cell = |name: &str| {
            let column = sheet.column(name)?;
            let text = sheet::cell(&record, Some(column));
            (!text.is_empty()).then(|| (text, sheet.place(&record, column)))
        };
        if let Some(row) = one(file, start, &cell, book, rank, mistakes) {
            match lines.entry((row.maker.clone(), row.written.clone())) {
                Slot::Occupied(twin) => {
                    let says = format!("{} stands in line {} already", row.written, twin.get());
                    mistakes.add(file, start, says, "put what it means into one row");
                }
                Slot::Vacant(free) => _ = free.insert(row.entry.line),
            }
            rows.push(row);
        }
    }
    rows
}

type Cell<'a> = Option<(&'a str, usize)>;

fn one<'a>(
    file: &SourceFile,
    start: usize,
    cell: &dyn Fn(&str) -> Cell<'a>,
    book: &Book,
    rank: u8,
    mistakes: &mut Mistakes,
) -> Option<CrossRow> {
    let Some((written, at)) = cell("number") else {
        mistakes.add(file, start, "the row has no number", "write a number, or a pattern such as TM71*");
        return None;
    };
    let number = match Foreign::parse(written) {
        Ok(number) => number,
        Err((offset, says)) => {
            let help = "a pattern is letters and digits, * for any of them, # for a digit, {finish}, or {weight:H=heavy/S=standard}";
            mistakes.add(file, at + offset, says, help);
            return None;
        }
    };
    let category = cell("category").and_then(|(name, at)| {
        let found = name.parse::<Category>().ok();
        if found.is_none() {
            let near = nearest(name, Category::ALL.iter().map(|category| category.name()));
            let help = near.map_or_else(
                || "use a category such as `hinge` or `mortise-lock`".to_owned(),
                |near| format!("a category with a similar name exists: `{near}`"),
            );
            mistakes.add(file, at, format!("\"{name}\" is not a category"), help);
        }
        found
    });
    let mut means = Vec::new();
    if let Some((text, at)) = cell("means") {
        let mut offset = 0;
        for item in text.split(';') {
            let place = at + offset + item.len() - item.trim_start().len();
            offset += item.len() + 1;
            means.extend(pair(file, item.trim(), place, book, mistakes));
        }
    }
    let ours = cell("ours").and_then(|(text, at)| {
        let fits = own(book, text);
        if fits.is_none() {
            let miss = decode(book, text, true).first().and_then(|found| found.miss.clone());
            let help = miss.unwrap_or_else(|| "`pintle catalog list` shows the product lines and their ids".to_owned());
            mistakes.add(file, at, format!("`{text}` is neither a number nor a product line of this catalog"), help);
        }
        fits.map(Arc::from)
    });
    if category.is_none() && means.is_empty() && ours.is_none() {
        mistakes.add(file, start, format!("the row of {written} says nothing"), "fill category, means or ours");
        return None;
    }
    Some(CrossRow {
        maker: cell("maker").map(|(maker, _)| maker.into()),
        number,
        written: written.into(),
        category,
        means,
        ours,
        note: cell("note").map_or_else(|| "".into(), |(note, _)| note.into()),
        entry: file.entry(start),
        rank,
    })
}

/// What names a good of ours: the id of a product line, a designation, or the number of a list, before which its maker may
/// stand.
fn own<'t>(book: &Book, text: &'t str) -> Option<&'t str> {
    let mut families = book.lists.iter().flat_map(|list| &list.families);
    let is_line = book.line(text).is_some() || families.any(|family| *family.id == *text);
    (is_line || ours(book, text).is_some()).then_some(text)
}

/// `name=value`, checked.
fn pair(file: &SourceFile, item: &str, at: usize, book: &Book, mistakes: &mut Mistakes) -> Option<(Attr, Value)> {
    if item.is_empty() {
        return None;
    }
    let Some((name, text)) = item.split_once('=').map(|(name, text)| (name.trim(), text.trim())) else {
        mistakes.add(
            file,
            at,
            format!("\"{item}\" is not name=value"),
            "write it as weight=heavy; parted by semicolons",
        );
        return None;
    };
    let attr = Attr::new(name);
    let of_lines = || {
        book.lines.iter().flat_map(|line| line.makes.iter().map(|varying| varying.attr).chain(line.is.keys().copied()))
    };
    if !known(attr) && !of_lines().any(|own| own == attr) {
        let help = nearest(name, of_lines().map(Attr::name)).map_or_else(
            || "`pintle catalog list` shows what the lines vary in".to_owned(),
            |near| format!("an attribute with a similar name exists: `{near}`"),
        );
        mistakes.add(file, at, format!("\"{name}\" is not an attribute"), help);
        return None;
    }
    if text.is_empty() || is_misfit(attr, text) {
        mistakes.add(file, at, format!("\"{text}\" is no value of {name}"), "write a plain number such as 4.5");
        return None;
    }
    Some((attr, parse(attr, text)))
}

/// How much a row weighs: whose it is, whether its maker is named on the line, how much of the number it spells out.
type Weight = (u8, bool, usize);
/// A row that fits: its weight, the bytes read and those spelled out, what it says, itself.
type Hit<'a> = (Weight, (usize, usize), Vec<(Attr, Value)>, &'a CrossRow);

/// What the rows say of the number at the beginning of a text; `maker` is the maker named beside it, `lone` says that the
/// text is nothing but the number (a cell of catalog numbers), so that figures alone may be one.
pub(super) fn look_up(rows: &CrossRows, text: &str, maker: &dyn Fn(&str) -> Said, lone: bool) -> Option<Crossed> {
    let mut hits: Vec<Hit> = Vec::new();
    for row in rows.beginning(text) {
        let Some((read, spelled, mut captured)) = row.number.read(text) else { continue };
        let said = row.maker.as_deref().map_or(Said::Nothing, maker);
        if said == Said::Another {
            continue;
        }
        let mixed = |wanted: fn(char) -> bool| text[..read].chars().any(wanted);
        let telling = mixed(|c| c.is_ascii_digit()) && mixed(|c| c.is_alphabetic());
        if !telling && !lone && said != Said::This {
            continue;
        }
        captured.extend(row.means.iter().filter(|(attr, _)| *attr != names::MAKER).cloned());
        hits.push(((row.rank, said == Said::This, row.number.spelled()), (read, spelled), captured, row));
    }
    // A row that names the maker on the line leaves out those of other makers whom nobody named.
    if hits.iter().any(|(weight, ..)| weight.1) {
        hits.retain(|(weight, _, _, row)| weight.1 || row.maker.is_none());
    }
    hits.sort_by(|(one, ..), (other, ..)| other.cmp(one));
    let spelled = hits.iter().map(|(_, (_, spelled), ..)| *spelled).max()?;
    let read = hits.iter().map(|(_, (read, _), ..)| *read).max()?;
    let mut crossed = Crossed { read, spelled, ..Crossed::default() };
    let mut heaviest: BTreeMap<Attr, Weight> = BTreeMap::new();
    let mut category_weight = None;
    for (weight, _, attributes, row) in hits {
        let name: Arc<str> = [row.maker.as_deref().unwrap_or(""), &row.written].join(" ").trim().into();
        let entry = &row.entry;
        fn told<T>(value: T, entry: &Entry, row: &Arc<str>) -> Told<T> {
            Told { value, entry: entry.clone(), row: row.clone() }
        }
        for (attr, value) in attributes {
            let first = *heaviest.entry(attr).or_insert(weight);
            let values = crossed.attributes.entry(attr).or_default();
            if first == weight && !values.iter().any(|known| known.value == value) {
                values.push(told(value, entry, &name));
            }
        }
        if let Some(category) = row.category
            && *category_weight.get_or_insert(weight) == weight
            && !crossed.categories.iter().any(|known| known.value == category)
        {
            crossed.categories.push(told(category, entry, &name));
        }
        if let (Some(ours), None) = (&row.ours, &crossed.ours) {
            crossed.ours = Some(told(ours.clone(), entry, &name));
        }
        if let (Some(maker), None) = (&row.maker, &crossed.maker) {
            crossed.maker = Some(told(maker.clone(), entry, &name));
        }
        if !row.note.is_empty() {
            crossed.notes.push(row.note.clone());
        }
    }
    Some(crossed)
}

/// Which maker stands beside a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// The one asked about.
    This,
    /// Another.
    Another,
    /// None.
    Nothing,
}
