//! What we sell, at what price: product lines with attributes, designation patterns, list prices, adders, discounts.
//!
//! In: a catalog folder (TOML and CSV) or a flat price list. Out: a checked `Catalog` that finds the goods which fit a
//! category and attributes, builds and decodes designations, and gives list prices with their working. Knows nothing of
//! schedules. To add a product line, add a file to the catalog folder; no `.rs` changes.

mod book;
pub mod crossref;
mod decode;
mod embedded;
mod finishes;
mod foreign;
pub mod good;
mod line;
mod list;
pub mod list_file;
mod load;
mod make;
mod pattern;
mod select;
mod sheet;
mod source;
mod table;
mod tree;
mod value;

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;
use book::Book;
pub use decode::Decoded;
use good::{Good, Request, Selection};
use list::GoodsList;
use make::Decided;
use source::SourceFile;

/// A checked catalog.
#[derive(Debug, Clone, Default)]
pub struct Catalog {
    /// Its name.
    pub name: String,
    /// ISO date from which its prices hold.
    pub effective: String,
    /// Hash of its files.
    pub sha256: String,
    /// ISO currency code.
    pub currency: String,
    /// Whether its makers and prices are invented: nothing priced from it is an offer.
    pub invented: bool,
    /// ISO date from which the next edition holds, when it is known: a delivery after it may be billed at other prices.
    pub next_effective: Option<String>,
    /// What the user should know about the choice of edition.
    pub notes: Vec<String>,
    book: Arc<Book>,
    cross: crossref::CrossRows,
    class: Option<Arc<str>>,
    date: String,
}

/// What is known of a product line without choosing a good.
#[derive(Debug, Clone, PartialEq)]
pub struct LineInfo {
    /// Its id.
    pub id: Arc<str>,
    /// Its maker.
    pub maker: Arc<str>,
    /// Its category.
    pub category: Category,
    /// Its series.
    pub series: Arc<str>,
    /// What every good of it is.
    pub always: Attributes,
    /// What varies: attribute and the values made, in words.
    pub varies: Vec<(&'static str, String)>,
    /// The same as values, the usual one first; `None`: without. Of a range, lengths worth showing.
    pub makes: Vec<(Attr, Vec<Option<Value>>)>,
    /// Date from which it is no longer made, and the line that takes its place.
    pub discontinued: Option<(Arc<str>, Option<Arc<str>>)>,
    /// Where it stands in the catalog's files.
    pub entry: good::Entry,
}

impl LineInfo {
    /// Whether a miss of a selection fits but for the line's being no longer made; `why` is what the selection holds against it.
    pub fn is_only_gone(&self, why: &str) -> bool {
        self.discontinued
            .as_ref()
            .is_some_and(|(from, successor)| select::is_only_gone(why, from, successor.as_deref()))
    }
}

impl Catalog {
    /// The demo catalog inside the program; the edition in force on `bid_date` (ISO) is used.
    ///
    /// # Errors
    /// As `load`.
    pub fn embedded(bid_date: &str) -> Result<Catalog, String> {
        Self::from_files(&embedded::files(), "inside the program", bid_date)
    }

    /// A catalog folder.
    ///
    /// # Errors
    /// Every mistake in it at once, each with file, line, column, the source line, and what to do.
    pub fn load(folder: &Path, bid_date: &str) -> Result<Catalog, String> {
        let mut files = Vec::new();
        gather(folder, folder, &mut files)?;
        Self::from_files(&files, &folder.display().to_string(), bid_date)
    }

    /// A catalog from texts: file names below its folder, and what stands in them.
    ///
    /// # Errors
    /// As `load`.
    pub fn from_texts(texts: &[(&str, &str)], bid_date: &str) -> Result<Catalog, String> {
        let files: Vec<SourceFile> = texts.iter().map(|(name, text)| SourceFile::new(*name, *text)).collect();
        Self::from_files(&files, "given as text", bid_date)
    }

    fn from_files(files: &[SourceFile], shown: &str, bid_date: &str) -> Result<Catalog, String> {
        let loaded = load::load(files, shown, bid_date)?;
        Ok(Catalog {
            name: loaded.name,
            effective: loaded.effective,
            sha256: loaded.sha256,
            currency: loaded.currency,
            invented: loaded.invented,
            next_effective: loaded.next_effective,
            notes: loaded.notes,
            book: Arc::new(loaded.book),
            cross: loaded.cross,
            class: None,
            date: bid_date.to_owned(),
        })
    }

    /// The same catalog with the discounts of a customer class.
    ///
    /// # Errors
    /// When the catalog knows no such class; says which it knows.
    pub fn for_class(mut self, class: Option<&str>) -> Result<Catalog, String> {
        if let Some(class) = class
            && !self.book.classes.iter().any(|known| &**known == class)
        {
            return Err(format!(
                "the catalog has no customer class \"{class}\"\n  help: its classes are {}",
                source::listed(&self.book.classes)
            ));
        }
        self.class = class.map(Arc::from);
        Ok(self)
    }

    /// The same catalog with a job's own cross references, which stand above those of the catalog.
    ///
    /// # Errors
    /// Every mistake in the file at once, as `load`.
    pub fn with_cross_references(mut self, path: &Path) -> Result<Catalog, String> {
        let text = std::fs::read_to_string(path)
            .map_err(|error| format!("cannot read {}: {error}\n  help: save it as UTF-8 text", path.display()))?;
        let name: Arc<str> = path.display().to_string().into();
        let file = SourceFile::new(name.clone(), text);
        let mut mistakes = source::Mistakes::default();
        let rows = crossref::load(&file, &self.book, 1, &mut mistakes);
        if !mistakes.is_empty() {
            return Err(source::report_of(&format!("cross reference {name}"), &mistakes.into_sorted()));
        }
        self.cross.extend(rows);
        Ok(self)
    }

    /// What the cross references say of the number that a text begins with. `maker` tells what the line says of a maker;
    /// `lone`: the text is a cell of catalog numbers, so that figures alone may be one.
    pub fn cross(&self, text: &str, maker: &dyn Fn(&str) -> crossref::Said, lone: bool) -> Option<crossref::Crossed> {
        crossref::look_up(&self.cross, text, maker, lone)
    }

    /// The goods that fit a request, ranked the same way every time.
    pub fn select(&self, request: &Request) -> Selection {
        select::select(&self.book, request, self.class.as_deref(), &self.date)
    }

    /// The good of one product line for these attributes (the line's usual values for the rest), or what stands against it.
    /// Attributes that the line does not make are left out of account.
    ///
    /// # Errors
    /// Why the line does not make it.
    pub fn good(&self, line: &Arc<str>, attributes: &Attributes) -> Result<Good, String> {
        if let Some((list, at)) = self.family(line) {
            return list::good(list, at, &self.book, attributes, self.class.as_deref());
        }
        let line = self.book.line(line).ok_or_else(|| format!("no product line \"{line}\""))?;
        let mut decided = Decided::new();
        for varying in &line.makes {
            if let Some(asked) = attributes.get(&varying.attr).map(|asked| line.meaning(varying.attr, asked)) {
                let cut_to_length = line.length.as_ref().is_some_and(|rule| rule.attr == varying.attr);
                let value = match varying.domain.meet(&asked) {
                    Ok(value) => value,
                    Err(_) if cut_to_length && asked.as_length().is_some() => Some(asked.into_owned()),
                    Err(made) => {
                        let asked = value::shown(Some(&asked));
                        return Err(format!("{} {asked}: {} makes {made}", varying.attr, make::called(line)));
                    }
                };
                decided.insert(varying.attr, value);
            }
        }
        make::good(&self.book, line, &make::fill(line, &decided)?, self.class.as_deref())
    }

    /// The product lines that a designation may be of; near misses, each saying where it stops fitting, when it is of none.
    pub fn decode(&self, text: &str) -> Vec<Decoded> {
        let of_lists = decode::of_lists(&self.book, text);
        if of_lists.is_empty() { decode::decode(&self.book, text, true) } else { of_lists }
    }

    /// What a cross reference names as our own good: its number, without a maker before it, and what it is.
    pub fn ours<'t>(&self, text: &'t str) -> Option<(&'t str, Decoded)> {
        decode::ours(&self.book, text)
    }

    /// Designations that the text begins with, longest first; it may go on after a separator.
    pub fn decode_start(&self, text: &str) -> Vec<Decoded> {
        decode::decode(&self.book, text, false)
    }

    /// The designation of a line's good with these attributes.
    ///
    /// # Errors
    /// As `good`.
    pub fn build(&self, line: &Arc<str>, attributes: &Attributes) -> Result<String, String> {
        self.good(line, attributes).map(|good| good.designation)
    }

    /// A product line.
    pub fn line(&self, id: &str) -> Option<LineInfo> {
        self.book.line(id).map(info).or_else(|| self.family(id).map(|(list, at)| family_info(list, at)))
    }

    /// All product lines, in the order of the files.
    pub fn lines(&self) -> impl Iterator<Item = LineInfo> + '_ {
        self.book.lines.iter().map(info).chain(self.book.lists.iter().flat_map(families_of))
    }

    /// Id and maker of every product line.
    pub fn names(&self) -> impl Iterator<Item = (&str, &str)> + '_ {
        let lines = self.book.lines.iter().map(|line| (&*line.id, &*line.maker));
        let families = self.book.lists.iter().flat_map(|list| &list.families);
        lines.chain(families.map(|family| (&*family.id, &*family.maker)))
    }

    /// The names of the attributes that goods of a category have.
    pub fn attributes_of(&self, category: Category) -> BTreeSet<String> {
        let lines = self.book.of(category).flat_map(|line| {
            let varying = line.makes.iter().map(|varying| varying.attr);
            varying.chain(line.is.keys().copied()).chain(line.gives.iter().flat_map(|(_, is)| is.keys().copied()))
        });
        let families = self.book.lists.iter().flat_map(|list| &list.families);
        let listed =
            families.filter(|family| family.category == category).flat_map(|family| family.values.keys().copied());
        lines.chain(listed).map(|attr| attr.name().to_owned()).collect()
    }

    /// How many product lines there are beside flat lists.
    pub fn product_lines(&self) -> usize {
        self.book.lines.len()
    }

    /// How many goods stand in flat price lists.
    pub fn goods_in_lists(&self) -> usize {
        self.book.lists.iter().map(|list| list.rows.len()).sum()
    }

    /// Whether a product line is one maker's goods of a category in a flat list.
    pub fn is_listed(&self, id: &str) -> bool {
        self.family(id).is_some()
    }

    /// The goods of a maker and category in a flat list.
    fn family(&self, id: &str) -> Option<(&GoodsList, usize)> {
        let at = |list: &GoodsList| list.families.iter().position(|family| *family.id == *id);
        self.book.lists.iter().find_map(|list| Some((list, at(list)?)))
    }

    /// Customer classes with discounts of their own.
    pub fn classes(&self) -> &[Arc<str>] {
        &self.book.classes
    }
}

/// The value that a person's text stands for, of the kind that the attribute has; yes and no stand for true and false.
pub fn value_of(attr: Attr, text: &str) -> Value {
    let is_flag = value::kind(attr) == "flag";
    match text.trim().to_lowercase().as_str() {
        "yes" | "y" if is_flag => Value::Flag(true),
        "no" | "n" | "none" if is_flag => Value::Flag(false),
        _ => value::parse(attr, text),
    }
}

fn info(line: &line::Line) -> LineInfo {
    LineInfo {
        id: line.id.clone(),
        maker: line.maker.clone(),
        category: line.category,
        series: line.series.clone(),
        always: line.is.clone(),
        varies: line.makes.iter().map(|varying| (varying.attr.name(), varying.domain.words())).collect(),
        makes: line.makes.iter().map(|varying| (varying.attr, varying.options())).collect(),
        discontinued: line.discontinued.as_ref().map(|gone| (gone.from.clone(), gone.successor.clone())),
        entry: line.entry.clone(),
    }
}

fn families_of(list: &GoodsList) -> impl Iterator<Item = LineInfo> + '_ {
    (0..list.families.len()).map(move |at| family_info(list, at))
}

fn family_info(list: &GoodsList, at: usize) -> LineInfo {
    let family = &list.families[at];
    let values = |pairs: &[u32]| pairs.iter().map(|pair| list.value(*pair).cloned()).collect();
    let first = family.rows.first().and_then(|row| list.rows.get(*row as usize));
    LineInfo {
        id: family.id.clone(),
        maker: family.maker.clone(),
        category: family.category,
        series: "".into(),
        always: Attributes::new(),
        varies: list.varies(family),
        makes: family.values.iter().map(|(attr, pairs)| (*attr, values(pairs))).collect(),
        discontinued: None,
        entry: first.map_or_else(|| good::Entry { file: list.file.name.clone(), line: 1 }, |row| list.entry(row)),
    }
}

/// All TOML and CSV files below a folder, in order of name.
fn gather(root: &Path, folder: &Path, files: &mut Vec<SourceFile>) -> Result<(), String> {
    let help = "check the path; a catalog is a folder with a catalog.toml";
    let entries = std::fs::read_dir(folder)
        .map_err(|error| format!("cannot read catalog {}: {error}\n  help: {help}", folder.display()))?;
    let mut paths: Vec<_> = entries.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    paths.sort();
    for path in paths {
        let kind = path.extension().and_then(|kind| kind.to_str()).unwrap_or("");
        if path.is_dir() {
            gather(root, &path, files)?;
        } else if matches!(kind, "toml" | "csv") {
            let text = std::fs::read_to_string(&path).map_err(|error| {
                format!("cannot read {}: {error}\n  help: catalog files are UTF-8 text", path.display())
            })?;
            let below = path.strip_prefix(root).unwrap_or(&path);
            let name = below.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/");
            files.push(SourceFile::new(name, text));
        }
    }
    Ok(())
}
