//! Reads flat price lists: `[[list]]` of an edition names a CSV file, one row a good. Checked like everything else; a number
//! that stands twice with two prices is a mistake, since nobody could say which holds.

use std::collections::{BTreeMap, HashMap};
use std::str::FromStr;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;

use super::super::good::Per;
use super::super::list::{Columns, Family, GoodsList, Row, number_key};
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::tree::Tree;
use super::super::value::{is_misfit, kind, parse};
use super::fields::Shared;
use super::rows::cell_start;

/// The columns of a list. `price` empty or `call`: to be asked for.
pub(super) const COLUMNS: &[&str] = &[
    "number",
    "maker",
    "category",
    "description",
    "price",
    "per",
    "group",
    "pack",
    "minimum",
    "weight",
    "returnable",
    "attributes",
    "from",
];
/// More mistakes than anybody reads; the rest of the file is not looked at.
const ENOUGH: usize = 500;
const PERS: &[(&str, Per)] =
    &[("", Per::Each), ("each", Per::Each), ("foot", Per::Foot), ("set", Per::Set), ("pair", Per::Pair)];

/// All flat lists of an edition.
pub(super) fn all(trees: &[Tree<'_>], shared: &Shared<'_>, mistakes: &mut Mistakes) -> Vec<GoodsList> {
    let mut lists = Vec::new();
    for tree in trees {
        for entry in tree.get("list").map_or(Vec::new(), |node| node.trees(mistakes)) {
            entry.only(&["file", "net"], mistakes);
            let Some(node) = entry.get("file") else {
                entry.complain(mistakes, "the list names no file", "add file = \"goods.csv\"");
                continue;
            };
            let name = node.scalar(mistakes).unwrap_or_default();
            let net = entry.get("net").is_some_and(|node| node.flag(mistakes));
            match shared.files.get(&name).copied() {
                Some(file) => lists.extend(list(file, net, mistakes)),
                None => {
                    let help = match nearest(&name, shared.files.keys().map(String::as_str)) {
                        Some(near) => format!("a file with a similar name exists: {near}"),
                        None => "put the file into the edition's folder".to_owned(),
                    };
                    node.complain(mistakes, format!("there is no file {name}"), help);
                }
            }
        }
    }
    lists
}

/// Reads a list row by row.
struct Reading<'a> {
    file: &'a SourceFile,
    list: GoodsList,
    columns: BTreeMap<&'static str, usize>,
    families: HashMap<(String, String), Option<u32>>,
    pairs: HashMap<String, Option<u32>>,
    groups: HashMap<String, u16>,
    found: usize,
}

fn list(file: &SourceFile, net: bool, mistakes: &mut Mistakes) -> Option<GoodsList> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .buffer_capacity(1 << 16)
        .from_reader(file.text.as_bytes());
    let headers = reader.headers().cloned().unwrap_or_default();
    let columns = columns(file, &headers, mistakes)?;
    let place = |name: &str| columns.get(name).copied();
    let list = GoodsList {
        file: file.clone(),
        columns: Columns {
            number: place("number").unwrap_or_default(),
            description: place("description"),
            pack: place("pack"),
            minimum: place("minimum"),
            weight: place("weight"),
            returnable: place("returnable"),
        },
        rows: Vec::new(),
        pairs: Vec::new(),
        said: Vec::new(),
        families: Vec::new(),
        index: HashMap::new(),
        numbers: Vec::new(),
        groups: vec!["".into()],
        net,
    };
    let mut reading = Reading {
        file,
        list,
        columns,
        families: HashMap::new(),
        pairs: HashMap::new(),
        groups: HashMap::from([(String::new(), 0)]),
        found: 0,
    };
    let mut record = csv::StringRecord::new();
    loop {
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => reading.row(&record, mistakes),
            Err(error) => {
                let help = "save it as comma-separated UTF-8 text";
                mistakes.add(file, 0, format!("the file is not readable as CSV: {error}"), help);
                return None;
            }
        }
        if reading.found >= ENOUGH {
            break;
        }
    }
    reading.twice(mistakes);
    Some(reading.list)
}

fn columns(
    file: &SourceFile,
    headers: &csv::StringRecord,
    mistakes: &mut Mistakes,
) -> Option<BTreeMap<&'static str, usize>> {
    let mut columns = BTreeMap::new();
    for (index, header) in headers.iter().enumerate() {
        match COLUMNS.iter().find(|known| **known == header) {
            Some(known) => drop(columns.insert(*known, index)),
            None => {
                let help = match nearest(header, COLUMNS.iter().copied()) {
                    Some(near) => format!("a column with a similar name exists: {near}"),
                    None => format!("the columns are {}", COLUMNS.join(", ")),
                };
                mistakes.add(file, cell_start(&file.text, 0, index), format!("unknown column `{header}`"), help);
            }
        }
    }
    for needed in ["number", "maker", "category", "price"] {
        if !columns.contains_key(needed) {
            mistakes.add(
                file,
                0,
                format!("there is no column `{needed}`"),
                format!("the columns are {}", COLUMNS.join(", ")),
            );
            return None;
        }
    }
    Some(columns)
}

impl Reading<'_> {
    fn complain(
        &mut self,
        record: &csv::StringRecord,
        column: &str,
        says: String,
        help: &str,
        mistakes: &mut Mistakes,
    ) {
        let start = record.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        let at = self.columns.get(column).map_or(start, |index| cell_start(&self.file.text, start, *index));
        mistakes.add(self.file, at, says, help);
        self.found += 1;
    }

    fn row(&mut self, record: &csv::StringRecord, mistakes: &mut Mistakes) {
        let cell = |name: &str| self.columns.get(name).and_then(|at| record.get(*at)).unwrap_or("");
        let (price, per, group) = (cell("price"), cell("per"), cell("group"));
        let (maker, category, attributes, number) =
            (cell("maker"), cell("category"), cell("attributes"), cell("number"));
        if number.is_empty() {
            return self.complain(record, "number", "the good has no number".to_owned(), "give it one", mistakes);
        }
        let price = match self.price(price) {
            Ok(price) => price,
            Err((says, help)) => return self.complain(record, "price", says, help, mistakes),
        };
        let Some((_, per)) = PERS.iter().find(|(word, _)| *word == per) else {
            let says = format!("\"{per}\" is not what a price is for");
            return self.complain(record, "per", says, "write each, foot, set or pair", mistakes);
        };
        let Some(family) = self.family(maker, category) else {
            let near = nearest(category, Category::ALL.iter().map(|category| category.name()));
            let help = near
                .map_or("use a category name such as `hinge`".to_owned(), |near| format!("the nearest is `{near}`"));
            return self.complain(record, "category", format!("\"{category}\" is not a category"), &help, mistakes);
        };
        let group = self.group(group);
        let from = u32::try_from(self.list.said.len()).unwrap_or(u32::MAX);
        for said in attributes.split(';').map(str::trim).filter(|said| !said.is_empty()) {
            match self.pair(said) {
                Some(pair) => self.list.said.push(pair),
                None => {
                    let says = format!("\"{said}\" is no attribute with its value");
                    self.complain(
                        record,
                        "attributes",
                        says,
                        "write height=4.5; lengths in inches, numbers plain",
                        mistakes,
                    );
                }
            }
        }
        let index = u32::try_from(self.list.rows.len()).unwrap_or(u32::MAX);
        let count = self.list.said.len() - from as usize;
        self.enter(index, family, from as usize);
        self.list.numbers.push((number_key(number), index));
        let position = record.position();
        self.list.rows.push(Row {
            at: position.map_or(0, |position| u32::try_from(position.byte()).unwrap_or(0)),
            line: position.map_or(0, |position| u32::try_from(position.line()).unwrap_or(0)),
            said: (from, u8::try_from(count).unwrap_or(u8::MAX)),
            family,
            price,
            group,
            per: *per,
        });
    }

    fn price(&self, text: &str) -> Result<Option<Decimal>, (String, &'static str)> {
        if text.is_empty() || text == "call" {
            return Ok(None);
        }
        match Decimal::from_str_exact(text) {
            Ok(price) if price > Decimal::ZERO => Ok(Some(price)),
            Ok(price) => Err((
                format!("the price {price} is not above zero"),
                "write its price, or `call` when it must be asked for",
            )),
            Err(_) => Err((format!("\"{text}\" is not a price"), "write a plain number such as 412.00, or `call`")),
        }
    }

    fn family(&mut self, maker: &str, category: &str) -> Option<u32> {
        let key = (maker.to_owned(), category.to_owned());
        if let Some(known) = self.families.get(&key) {
            return *known;
        }
        let index = Category::from_str(category).ok().map(|category| {
            let id = format!("list {} {category}", maker.to_lowercase());
            let family =
                Family { id: id.into(), maker: maker.into(), category, rows: Vec::new(), values: BTreeMap::new() };
            self.list.families.push(family);
            u32::try_from(self.list.families.len() - 1).unwrap_or(u32::MAX)
        });
        self.families.insert(key, index);
        index
    }

    fn group(&mut self, group: &str) -> u16 {
        if let Some(known) = self.groups.get(group) {
            return *known;
        }
        let index = u16::try_from(self.list.groups.len()).unwrap_or(0);
        self.list.groups.push(group.into());
        self.groups.insert(group.to_owned(), index);
        index
    }

    /// `height=4.5` as a pair. `None`: it is none.
    fn pair(&mut self, said: &str) -> Option<u32> {
        if let Some(known) = self.pairs.get(said) {
            return *known;
        }
        let pair = said.split_once('=').and_then(|(name, text)| {
            let attr = Attr::new(name.trim());
            let value = match kind(attr) {
                "list" => {
                    let mut words: Vec<Arc<str>> = text.split('+').map(|word| word.trim().into()).collect();
                    words.sort();
                    Value::List(words)
                }
                _ if is_misfit(attr, text.trim()) => return None,
                _ => parse(attr, text),
            };
            self.list.pairs.push((attr, value));
            u32::try_from(self.list.pairs.len() - 1).ok()
        });
        self.pairs.insert(said.to_owned(), pair);
        pair
    }

    /// Enters a row into its family and the index.
    fn enter(&mut self, row: u32, family: u32, said: usize) {
        let Some(own) = self.list.families.get_mut(family as usize) else { return };
        own.rows.push(row);
        for pair in &self.list.said[said..] {
            let rows = self.list.index.entry((family, *pair)).or_default();
            if rows.is_empty()
                && let Some((attr, _)) = self.list.pairs.get(*pair as usize)
            {
                own.values.entry(*attr).or_default().push(*pair);
            }
            rows.push(row);
        }
    }

    /// Numbers that stand twice: the same maker, number and attributes.
    fn twice(&mut self, mistakes: &mut Mistakes) {
        let list = &mut self.list;
        list.numbers.sort_unstable();
        for same in list.numbers.chunk_by(|(one, _), (other, _)| one == other).filter(|same| same.len() > 1) {
            let rows: Vec<&Row> = same.iter().filter_map(|(_, row)| list.rows.get(*row as usize)).collect();
            for (index, row) in rows.iter().enumerate().skip(1) {
                let said = |row: &Row| list.pairs_of(row).map(|(pair, _)| pair).collect::<Vec<_>>();
                let clash = rows[..index].iter().find(|other| other.family == row.family && said(other) == said(row));
                if let Some(clash) = clash.filter(|clash| list.number(clash) == list.number(row)) {
                    let says = format!(
                        "{} stands here and in line {}, with the same attributes",
                        list.number(row),
                        clash.line
                    );
                    mistakes.add(self.file, row.at as usize, says, "leave one row for each good");
                }
            }
        }
    }
}
