//! Rows of a price list → goods of a catalog: the words through the same understanding as a schedule's, the price from its
//! cell. Every row ends as a good or as a row left out, with the reason; no word that nobody read is lost.

use std::collections::{BTreeMap, HashMap};
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};

use rayon::prelude::*;
use rust_decimal::Decimal;

use super::mapping::Mapping;
use crate::catalog::good::Per;
use crate::catalog::list_file::Row;
use crate::money::ungrouped;
use crate::read::price_list::{Holds, ListRow, ListSheet, PriceList};
use crate::read::schedule::{PartRole, Wording};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::table;
use crate::understand::reading::{Heard, Reading, Surroundings};
use crate::understand::{Lexicon, understand};

/// What came of a list.
#[derive(Debug, Default)]
pub struct Goods {
    /// Goods, in the order of the list.
    pub entries: Vec<Row>,
    /// Rows left out: why → places.
    pub left_out: BTreeMap<String, Vec<String>>,
    /// Words that nobody read: how often, and where first.
    pub unread: BTreeMap<String, (usize, String)>,
    /// Section headings and other rows without a price and a number.
    pub headings: usize,
    /// Goods that stand twice with the same price.
    pub twice: usize,
}

impl Goods {
    /// Whether every row became a good and every word was read.
    pub fn is_whole(&self) -> bool {
        self.left_out.is_empty() && self.unread.is_empty()
    }
}

/// What came of one row.
enum Came {
    Good(Box<Row>, Vec<(String, String)>),
    Left(String, String),
    Heading,
}

/// All goods of a list.
pub fn all(list: &PriceList, mapping: &Mapping, lexicon: &Lexicon) -> Goods {
    let mut goods = Goods::default();
    let mut known: HashMap<(String, String, String), usize> = HashMap::new();
    let mut conflicts: Vec<usize> = Vec::new();
    for sheet in &list.sheets {
        if sheet.columns.is_empty() {
            goods.left_out.entry("a sheet without headings of a price list".to_owned()).or_default().push(format!(
                "sheet \"{}\", {} rows",
                sheet.name,
                sheet.rows.len()
            ));
            continue;
        }
        let sections = sections(sheet);
        let rows: Vec<Came> = sheet
            .rows
            .par_iter()
            .zip(&sections)
            .map(|(row, section)| row_of(sheet, row, section.as_ref(), mapping, lexicon))
            .collect();
        for came in rows {
            match came {
                Came::Heading => goods.headings += 1,
                Came::Left(why, place) => goods.left_out.entry(why).or_default().push(place),
                Came::Good(entry, unread) => {
                    for (word, place) in unread {
                        goods.unread.entry(word).or_insert((0, place)).0 += 1;
                    }
                    enter(&mut goods, &mut known, &mut conflicts, *entry);
                }
            }
        }
    }
    leave_out_conflicts(&mut goods, conflicts);
    goods
}

/// Takes a good in, unless it is there already.
fn enter(
    goods: &mut Goods,
    known: &mut HashMap<(String, String, String), usize>,
    conflicts: &mut Vec<usize>,
    entry: Row,
) {
    let key = (entry.maker.clone(), entry.number.to_uppercase(), entry.attributes.clone());
    match known.get(&key).copied() {
        None => {
            known.insert(key, goods.entries.len());
            goods.entries.push(entry);
        }
        Some(at) if goods.entries[at].price == entry.price && goods.entries[at].per == entry.per => goods.twice += 1,
        Some(at) => {
            conflicts.push(at);
            let why = format!("{} has two prices, here and at {}", entry.number, goods.entries[at].from);
            goods.left_out.entry(why).or_default().push(entry.from);
        }
    }
}

/// A number with two prices is left out both times: nobody could say which holds.
fn leave_out_conflicts(goods: &mut Goods, mut conflicts: Vec<usize>) {
    conflicts.sort_unstable();
    conflicts.dedup();
    let mut gone = conflicts.into_iter().peekable();
    let mut kept = Vec::with_capacity(goods.entries.len());
    for (at, entry) in std::mem::take(&mut goods.entries).into_iter().enumerate() {
        if gone.next_if_eq(&at).is_none() {
            kept.push(entry);
            continue;
        }
        let why = format!("{} has two prices, here and further on", entry.number);
        goods.left_out.entry(why).or_default().push(entry.from);
    }
    goods.entries = kept;
}

/// For each row, the section heading it stands under.
fn sections(sheet: &ListSheet) -> Vec<Option<Arc<str>>> {
    let mut section: Option<Arc<str>> = None;
    let heading = |row: &ListRow| -> Option<Arc<str>> {
        let priced = [Holds::Price, Holds::Net].into_iter().any(|holds| sheet.text(row, holds).is_some());
        let [(_, only)] = row.cells.as_slice() else { return None };
        (!priced && only.chars().any(char::is_alphabetic)).then(|| only.as_str().into())
    };
    sheet
        .rows
        .iter()
        .map(|row| {
            if let Some(found) = heading(row) {
                section = Some(found);
            }
            section.clone()
        })
        .collect()
}

fn row_of(sheet: &ListSheet, row: &ListRow, section: Option<&Arc<str>>, mapping: &Mapping, lexicon: &Lexicon) -> Came {
    let text = |holds: Holds| sheet.text(row, holds).map_or("", |(_, text)| text.trim());
    let place = match sheet.name.is_empty() {
        true => format!("row {}", row.number),
        false => format!("{} row {}", sheet.name, row.number),
    };
    let priced = sheet.text(row, Holds::Price).filter(|_| !mapping.net).or_else(|| sheet.text(row, Holds::Net));
    let priced = priced.or_else(|| sheet.text(row, Holds::Price));
    let (number, description) = (text(Holds::Number), text(Holds::Description));
    if let Some((column, struck)) = sheet.struck(row) {
        return Came::Left(format!("\"{}\" is struck out", first_words(struck)), sheet.cell(row.number, column));
    }
    // Among list prices a net price alone is none: discounts would be taken from it once more.
    let net_alone = !mapping.net && sheet.text(row, Holds::Price).is_none() && sheet.text(row, Holds::Net).is_some();
    if net_alone {
        let why = "a net price alone, in a list that has list prices; give it a list price, or import such rows by themselves with net = true";
        return Came::Left(why.to_owned(), place);
    }
    let Some((column, price)) = priced else {
        return match row.cells.len() {
            0 | 1 => Came::Heading,
            _ if number.is_empty() && description.is_empty() => Came::Heading,
            _ => Came::Left("there is no price in the row".to_owned(), place),
        };
    };
    if number.is_empty() && description.is_empty() {
        return Came::Left("there is a price and no number or description".to_owned(), place);
    }
    let Some(price) = price_of(price) else {
        let why = if price.chars().any(char::is_alphabetic) {
            "text in the price column"
        } else {
            "no price that can be read"
        };
        return Came::Left(format!("{why}: \"{price}\""), sheet.cell(row.number, column));
    };
    let (per, of) = match unit_of(text(Holds::Unit)) {
        Some(unit) => unit,
        None => return Came::Left(format!("unit \"{}\" is not known", text(Holds::Unit)), place),
    };
    let price = price.and_then(|price| price.checked_div(of));
    let wording = wording(sheet, row);
    let around = Surroundings { section: section.cloned(), ..Surroundings::default() };
    let Some(reading) = understand(lexicon, &wording, &around).into_iter().next() else {
        return Came::Left("the description says nothing".to_owned(), place);
    };
    let Some(category) = category(
        &reading,
        [text(Holds::Category), text(Holds::Group), section.map_or("", |words| words)],
        mapping,
        lexicon,
    ) else {
        return Came::Left(format!("no category: \"{}\"", first_words(&wording.text)), place);
    };
    let found = |attr| match reading.attributes.get(&attr) {
        Some(Heard::Found(value, _)) => value.as_text().map(str::to_owned),
        _ => None,
    };
    let maker = [text(Holds::Maker).to_owned(), found(names::MAKER).unwrap_or_default(), mapping.maker.clone()];
    let entry = Row {
        number: if number.is_empty() { description } else { number }.to_owned(),
        maker: maker.into_iter().find(|maker| !maker.is_empty()).unwrap_or_default(),
        category,
        description: if description.is_empty() { number } else { description }.to_owned(),
        price: price.map(|price| price.normalize()),
        per,
        group: text(Holds::Group).to_owned(),
        pack: whole(text(Holds::Pack)).unwrap_or_default(),
        minimum: whole(text(Holds::Minimum)).unwrap_or_default(),
        weight: amount(text(Holds::Weight), "weight").map(|weight| weight.to_string()).unwrap_or_default(),
        attributes: attributes(&reading),
        from: place,
    };
    let unread = reading.unread.iter().filter_map(|span| wording.text.get(span.clone()));
    let mut unread: Vec<_> = unread.map(|word| (word.trim().to_lowercase(), entry.from.clone())).collect();
    let numbers = [(Holds::Pack, &entry.pack), (Holds::Minimum, &entry.minimum), (Holds::Weight, &entry.weight)];
    for (holds, _) in numbers.iter().filter(|(holds, number)| number.is_empty() && !text(*holds).is_empty()) {
        unread.push((format!("{} of {}", text(*holds), holds.name()), entry.from.clone()));
    }
    Came::Good(Box::new(entry), unread)
}

/// The words of a row, in their columns.
fn wording(sheet: &ListSheet, row: &ListRow) -> Wording {
    let mut wording = Wording::default();
    for (column, text) in &row.cells {
        let role = match sheet.columns.get(column).map(|(_, holds)| *holds) {
            Some(Holds::Description | Holds::Text | Holds::Category) => PartRole::Description,
            Some(Holds::Finish) => PartRole::Finish,
            _ => continue,
        };
        wording.push(role, text, None);
    }
    if wording.text.is_empty() {
        wording.push(PartRole::Description, sheet.text(row, Holds::Number).map_or("", |(_, text)| text), None);
    }
    wording
}

/// The category: what the words say, else what the mapping says of group, kind or section.
fn category(reading: &Reading, words: [&str; 3], mapping: &Mapping, lexicon: &Lexicon) -> Option<Category> {
    if let Some(found) = reading.category.found() {
        return Some(*found);
    }
    let mapped = words.iter().filter(|words| !words.is_empty()).find_map(|words| {
        let known = mapping.categories.iter().find(|(own, _)| own.trim().eq_ignore_ascii_case(words));
        known.and_then(|(_, category)| category.parse().ok())
    });
    let of_words = || {
        let [kind, _, section] = words;
        [kind, section].into_iter().filter(|words| !words.is_empty()).find_map(|words| {
            let readings = understand(lexicon, &Wording::free(words), &Surroundings::default());
            readings.first().and_then(|reading| reading.category.found().copied())
        })
    };
    mapped.or_else(of_words)
}

/// `height=4.5; weight=heavy`: what the words settle. Look and base follow from the finish.
fn attributes(reading: &Reading) -> String {
    let has_finish = matches!(reading.attributes.get(&names::FINISH), Some(Heard::Found(..)));
    let mut text = String::new();
    for (attr, heard) in &reading.attributes {
        let Heard::Found(value, _) = heard else { continue };
        match *attr {
            names::MAKER | names::DESIGNATION | names::LOOK => continue,
            names::BASE if has_finish => continue,
            _ => {}
        }
        let value = match value {
            Value::List(words) => words.join("+"),
            value => value.to_string(),
        };
        let separator = if text.is_empty() { "" } else { "; " };
        // Writing to a text cannot fail.
        let _ = write!(text, "{separator}{attr}={}", value.replace([';', '\n'], ","));
    }
    text
}

fn first_words(text: &str) -> String {
    text.split_whitespace().take(2).collect::<Vec<_>>().join(" ")
}

/// A whole number of pieces: `10`, `10/box`, `10 per carton`.
fn whole(text: &str) -> Option<String> {
    amount(text, "pack").filter(|number| number.fract().is_zero()).map(|number| number.trunc().to_string())
}

/// A number, alone or with what it counts behind it: `1.5 lb`, `10/box`.
fn amount(text: &str, of: &str) -> Option<Decimal> {
    let text = text.trim();
    let end = text.find(|sign: char| !(sign.is_ascii_digit() || matches!(sign, '.' | ','))).unwrap_or(text.len());
    let (number, behind) = text.split_at(end);
    let plain = || price_of(number).flatten();
    if behind.is_empty() || word(of, behind).is_some() { plain() } else { price_of(text).flatten() }
}

/// Words that mean the same in every list, from the table: what → word → meaning.
fn word(what: &str, written: &str) -> Option<&'static str> {
    static WORDS: LazyLock<HashMap<(&'static str, &'static str), &'static str>> = LazyLock::new(|| {
        let rows = table::rows(include_str!("../../../catalogs/trade/list_words.csv"));
        let words = rows.iter().flat_map(|row| row.get(2).split('|').map(|word| ((row.get(0), word), row.get(1))));
        words.collect()
    });
    let upper = written.trim().trim_end_matches('.').to_uppercase();
    WORDS.iter().find(|((own, word), _)| *own == what && *word == upper).map(|(_, meaning)| *meaning)
}

/// What the price is for, and of how many pieces.
fn unit_of(text: &str) -> Option<(Per, Decimal)> {
    if text.is_empty() {
        return Some((Per::Each, Decimal::ONE));
    }
    Some(match word("unit", text)? {
        "hundred" => (Per::Each, Decimal::ONE_HUNDRED),
        "thousand" => (Per::Each, Decimal::ONE_THOUSAND),
        "dozen" => (Per::Each, Decimal::from(12)),
        meaning => (Per::named(meaning)?, Decimal::ONE),
    })
}

/// A price as lists write it: `$1,234.50`. Outer `None`: no price; inner: to be asked for.
fn price_of(text: &str) -> Option<Option<Decimal>> {
    let text = text.trim();
    if word("price", text).is_some() {
        return Some(None);
    }
    let plain = text.trim_start_matches("USD").trim_end_matches("USD").trim().trim_start_matches('$').trim();
    let plain = ungrouped(plain)?;
    let (whole, cents) = plain.split_once('.').unwrap_or((&plain, ""));
    if !cents.chars().all(|digit| digit.is_ascii_digit()) {
        return None;
    }
    let price = Decimal::from_str_exact(&format!("{}.{}", whole, if cents.is_empty() { "0" } else { cents })).ok()?;
    (price > Decimal::ZERO).then_some(Some(price))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_and_packs_with_what_they_count() {
        let read = |text, of| amount(text, of).map(|number| number.normalize().to_string());
        for (text, of, expected) in [
            ("1.5", "weight", Some("1.5")),
            ("1.5 lb", "weight", Some("1.5")),
            ("1.5 kg", "weight", None),
            ("10", "pack", Some("10")),
            ("10/box", "pack", Some("10")),
            ("10 per carton", "pack", Some("10")),
            ("10/20", "pack", None),
        ] {
            assert_eq!(read(text, of).as_deref(), expected, "{text}");
        }
    }

    #[test]
    fn prices_as_lists_write_them() {
        let read = |text| price_of(text).map(|price| price.map(|price| price.to_string()));
        assert_eq!(read("$1,234.50"), Some(Some("1234.50".to_owned())));
        assert_eq!(read("1234"), Some(Some("1234.0".to_owned())));
        assert_eq!(read("C/F"), Some(None));
        for text in ["12,50", "see page 4", "1.234,50", "0.00", "-3", ""] {
            assert_eq!(read(text), None, "{text}");
        }
    }

    #[test]
    fn a_price_for_a_hundred_is_a_price_for_each_over_a_hundred() {
        assert_eq!(unit_of("C"), Some((Per::Each, Decimal::ONE_HUNDRED)));
        assert_eq!(unit_of("lf"), Some((Per::Foot, Decimal::ONE)));
        assert_eq!(unit_of("fathom"), None);
    }
}
