//! Numbers that rules compare with, and what goods that rules add are. The data is `catalogs/trade/limits.csv` and
//! `catalogs/trade/added.csv`, each row with its source.

use rust_decimal::Decimal;

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
