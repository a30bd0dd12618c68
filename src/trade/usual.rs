//! What is usual where nobody said it. The data is `catalogs/trade/usual.csv`.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::attribute::{Attr, Value};
use super::category::Category;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/usual.csv");

/// Category and attribute, or value and source.
type Pair = (&'static str, &'static str);

/// The usual word for an attribute of a category, as text, and on what it rests.
pub fn value(category: Category, attribute: Attr) -> Option<(&'static str, &'static str)> {
    static USUAL: OnceLock<BTreeMap<Pair, Pair>> = OnceLock::new();
    USUAL
        .get_or_init(|| {
            table::rows(TABLE).iter().map(|row| ((row.get(0), row.get(1)), (row.get(2), row.get(3)))).collect()
        })
        .get(&(category.name(), attribute.name()))
        .copied()
}

/// Whether a value is one of the usual words of the table: `concave|dome`.
pub fn is_among(value: &Value, words: &str) -> bool {
    words.split('|').any(|word| is(value, word))
}

/// Whether a value of the catalog is the usual word of the table.
pub fn is(value: &Value, usual: &str) -> bool {
    value.to_string() == usual
}
