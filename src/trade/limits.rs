//! Numbers that rules compare with, and what goods that rules add are. The data is `catalogs/trade/limits.csv` and
//! `catalogs/trade/added.csv`, each row with its source.

use std::sync::OnceLock;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::attribute::{Attr, Attributes, Value};
use super::category::Category;
use super::inches::Inches;
use super::table;

const LIMITS: &str = include_str!("../../catalogs/trade/limits.csv");
const ADDED: &str = include_str!("../../catalogs/trade/added.csv");

/// A number of `limits.csv`; 0 for a name that it lacks, which a test over the rules would find.
pub fn number(name: &str) -> Decimal {
    let row = table::rows(LIMITS).iter().find(|row| row.get(0) == name);
    row.and_then(|row| Decimal::from_str_exact(row.get(1)).ok()).unwrap_or_default()
}

/// A length of `limits.csv`.
pub fn inches(name: &str) -> Inches {
    Inches::new(number(name))
}

/// How far a number without a unit counts goods.
#[derive(Debug, Clone, Copy)]
pub struct Counts {
    /// The most that a bare number behind a name counts: larger ones are of catalogs and series.
    pub behind_name: i64,
    /// In brackets behind a name so many are a count, whatever else the number could be.
    pub few_behind: i64,
    /// A number behind a name is no more than so many times what a door has of such goods at most.
    pub doors_behind: i64,
    /// From here on a bare number may be a measure.
    pub measures: Decimal,
}

/// The limits of counts, looked up once.
pub fn counts() -> &'static Counts {
    static COUNTS: OnceLock<Counts> = OnceLock::new();
    let whole = |name: &str| number(name).to_i64().unwrap_or_default();
    COUNTS.get_or_init(|| Counts {
        behind_name: whole("count_behind_name"),
        few_behind: whole("count_in_brackets"),
        doors_behind: whole("count_doors_behind_name"),
        measures: number("count_or_measure"),
    })
}

/// What goods of a category are that a rule adds.
pub fn added(category: Category) -> Attributes {
    let rows = table::rows(ADDED).iter().filter(|row| row.get(0) == category.name());
    let value = |word: &str| word.parse().map_or_else(|_| Value::text(word), Value::Flag);
    rows.map(|row| (Attr::new(row.get(1)), value(row.get(2)))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_a_number_with_a_source() {
        let rows = table::rows(LIMITS);
        assert!(!rows.is_empty());
        for row in rows {
            assert!(number(row.get(0)) > Decimal::ZERO && !row.get(2).is_empty(), "line {}", row.line);
        }
        for row in table::rows(ADDED) {
            let category: Category = row.get(0).parse().unwrap_or_else(|_| panic!("line {}", row.line));
            assert!(!added(category).is_empty() && !row.get(3).is_empty(), "line {}", row.line);
        }
    }

    /// The rules name these in words; each stands in the table.
    #[test]
    fn every_name_that_a_rule_uses_stands_in_the_table() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/complete/rules");
        let mut found = 0;
        for file in std::fs::read_dir(folder).unwrap() {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            for part in ["limits::number(\"", "limits::inches(\""].iter().flat_map(|call| text.split(call).skip(1)) {
                let name = part.split('"').next().unwrap();
                assert!(table::rows(LIMITS).iter().any(|row| row.get(0) == name), "{name}");
                found += 1;
            }
        }
        assert!(found > 10, "{found}");
    }
}
