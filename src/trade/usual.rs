//! What is usual where nobody said it, and what a price list says by its silence. The data is `catalogs/trade/usual.csv`
//! and `catalogs/trade/silent.csv`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::attribute::{Attr, Value};
use super::category::Category;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/usual.csv");
const SILENT: &str = include_str!("../../catalogs/trade/silent.csv");

/// Category and attribute, or value and source.
type Pair = (&'static str, &'static str);

type Table = OnceLock<BTreeMap<Pair, Pair>>;

/// The usual word for an attribute of a category, as text, and on what it rests.
pub fn value(category: Category, attribute: Attr) -> Option<(&'static str, &'static str)> {
    static USUAL: Table = OnceLock::new();
    of(&USUAL, TABLE, category, attribute)
}

/// What a row of a price list means where it is silent, and no other request is met by it: an exit device whose row does
/// not speak of fire is panic hardware.
pub fn silence(category: Category, attribute: Attr) -> Option<(&'static str, &'static str)> {
    static MEANT: Table = OnceLock::new();
    of(&MEANT, SILENT, category, attribute)
}

fn of(known: &Table, text: &'static str, category: Category, attribute: Attr) -> Option<Pair> {
    let rows = || table::rows(text).iter().map(|row| ((row.get(0), row.get(1)), (row.get(2), row.get(3)))).collect();
    known.get_or_init(rows).get(&(category.name(), attribute.name())).copied()
}

/// Whether a value is one of the usual words of the table: `concave|dome`.
pub fn is_among(value: &Value, words: &str) -> bool {
    words.split('|').any(|word| is(value, word))
}

/// Whether a value of the catalog is the usual word of the table.
pub fn is(value: &Value, usual: &str) -> bool {
    value.to_string() == usual
}
