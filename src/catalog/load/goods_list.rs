//! Reads flat price lists: `[[list]]` of an edition names a CSV file, one row a good. Checked like everything else; a number
//! that stands twice with two prices is a mistake, since nobody could say which holds.

use std::collections::BTreeMap;
use std::str::FromStr;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;

use super::super::good::Per;
use super::super::list::quick::{QuickMap, number_key};
use super::super::list::{Columns, Family, GoodsList, Row};
use super::super::list_file::{CALL, COLUMNS};
use super::super::sheet::{Sheet, cell};
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::tree::Tree;
use super::super::value::{is_misfit, kind, parse};
use super::fields::{LARGEST, Shared};

/// More mistakes than anybody reads; the rest of the file is not looked at.
const ENOUGH: usize = 100;

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
    /// Maker → category → family.
    families: QuickMap<String, QuickMap<String, Option<u32>>>,
    pairs: QuickMap<String, Option<u32>>,
    groups: QuickMap<String, u16>,
    found: usize,
}

/// What is wrong with a row: column, what, what to do.
type Wrong = (Option<usize>, String, String);

fn list(file: &SourceFile, net: bool, mistakes: &mut Mistakes) -> Option<GoodsList> {
    let mut sheet = Sheet::open(file, false, mistakes)?;
    sheet.only(COLUMNS, mistakes);
    for needed in ["number", "maker", "category", "price"] {
        sheet.needed(needed, mistakes)?;
    }
    let list = GoodsList {
        file: file.clone(),
        columns: Columns::found(|name| sheet.column(name)),
        rows: Vec::new(),
        pairs: Vec::new(),
        said: Vec::new(),
        families: Vec::new(),
        index: QuickMap::default(),
        numbers: Vec::new(),
        groups: vec!["".into()],
        net,
    };
    let mut reading = Reading {
        file,
        list,
        families: QuickMap::default(),
        pairs: QuickMap::default(),
        groups: QuickMap::from_iter([(String::new(), 0)]),
        found: 0,
    };
    let mut record = csv::StringRecord::new();
    while reading.found < ENOUGH && sheet.next(&mut record, mistakes).ok()? {
        for (column, says, help) in reading.row(&record) {
            let at = column.map_or_else(|| sheet.start(&record), |column| sheet.place(&record, column));
            mistakes.add(file, at, says, help);
            reading.found += 1;
        }
    }
    reading.twice(mistakes);
    Some(reading.list)
}

impl Reading<'_> {
    /// Takes a row in, or says what is wrong with it.
    fn row(&mut self, record: &csv::StringRecord) -> Vec<Wrong> {
        let columns = self.list.columns;
        let number = cell(record, columns.number);
        if number.is_empty() {
            return vec![(columns.number, "the good has no number".to_owned(), "give it one".to_owned())];
        }
        let price = match price(cell(record, columns.price)) {
            Ok(price) => price,
            Err((says, help)) => return vec![(columns.price, says, help.to_owned())],
        };
        let word = cell(record, columns.per);
        let Some(per) = Per::named(word).or_else(|| word.is_empty().then_some(Per::Each)) else {
            let says = format!("\"{word}\" is not what a price is for");
            return vec![(columns.per, says, "write each, foot, set or pair".to_owned())];
        };
        let category = cell(record, columns.category);
        let Some(family) = self.family(cell(record, columns.maker), category) else {
            let near = nearest(category, Category::ALL.iter().map(|category| category.name()));
            let help = near
                .map_or("use a category name such as `hinge`".to_owned(), |near| format!("the nearest is `{near}`"));
            return vec![(columns.category, format!("\"{category}\" is not a category"), help)];
        };
        let group = self.group(cell(record, columns.group));
        let from = self.list.said.len();
        let mut wrong = Vec::new();
        let attributes = cell(record, columns.attributes);
        for said in attributes.split(';').map(str::trim).filter(|said| !said.is_empty()) {
            match self.pair(said) {
                Some(pair) => self.list.said.push(pair),
                None => {
                    let says = format!("\"{said}\" is no attribute with its value");
                    let help = "write height=4.5; lengths in inches, numbers plain";
                    wrong.push((columns.attributes, says, help.to_owned()));
                }
            }
        }
        wrong.extend(sold(record, &columns));
        let index = u32::try_from(self.list.rows.len()).unwrap_or(u32::MAX);
        let count = self.list.said.len() - from;
        self.enter(index, family, from);
        self.list.numbers.push((number_key(number), index));
        let position = record.position();
        self.list.rows.push(Row {
            at: position.map_or(0, |position| u32::try_from(position.byte()).unwrap_or(0)),
            line: position.map_or(0, |position| u32::try_from(position.line()).unwrap_or(0)),
            said: (u32::try_from(from).unwrap_or(u32::MAX), u8::try_from(count).unwrap_or(u8::MAX)),
            family,
            price,
            group,
            per,
        });
        wrong
    }

    fn family(&mut self, maker: &str, category: &str) -> Option<u32> {
        if let Some(known) = self.families.get(maker).and_then(|families| families.get(category)) {
            return *known;
        }
        let index = Category::from_str(category).ok().map(|category| {
            let id = format!("list {} {category}", maker.to_lowercase());
            let family =
                Family { id: id.into(), maker: maker.into(), category, rows: Vec::new(), values: BTreeMap::new() };
            self.list.families.push(family);
            u32::try_from(self.list.families.len() - 1).unwrap_or(u32::MAX)
        });
        self.families.entry(maker.to_owned()).or_default().insert(category.to_owned(), index);
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

/// What is wrong with the cells that say how a good is sold. They are read when it is chosen.
fn sold(record: &csv::StringRecord, columns: &Columns) -> Vec<Wrong> {
    let mut wrong = Vec::new();
    let mut check = |column: Option<usize>, fits: fn(&str) -> bool, says: &str, help: &str| {
        let text = cell(record, column);
        if !text.is_empty() && !fits(text) {
            wrong.push((column, format!("\"{text}\" is not {says}"), help.to_owned()));
        }
    };
    let count = |text: &str| text.parse::<u32>().is_ok_and(|count| count > 0);
    check(columns.pack, count, "how many a pack holds", "write a whole number such as 10");
    check(columns.minimum, count, "a least quantity", "write a whole number such as 10");
    let weight =
        |text: &str| Decimal::from_str_exact(text).is_ok_and(|weight| weight >= Decimal::ZERO && weight <= LARGEST);
    check(columns.weight, weight, "a weight", "write pounds as a plain number such as 2.5");
    let flag = |text: &str| text.eq_ignore_ascii_case("yes") || text.eq_ignore_ascii_case("no");
    check(columns.returnable, flag, "whether the good can be sent back", "write yes or no");
    wrong
}

/// A price as the file writes it; `None`: to be asked for.
fn price(text: &str) -> Result<Option<Decimal>, (String, &'static str)> {
    if text.is_empty() || text == CALL {
        return Ok(None);
    }
    match Decimal::from_str_exact(text) {
        Ok(price) if price > LARGEST => Err((format!("the price {price} is too large"), "write its list price")),
        Ok(price) if price > Decimal::ZERO => Ok(Some(price)),
        Ok(price) => {
            let help = "write its price, or `call` when it must be asked for";
            Err((format!("the price {price} is not above zero"), help))
        }
        Err(_) => Err((format!("\"{text}\" is not a price"), "write a plain number such as 412.00, or `call`")),
    }
}
