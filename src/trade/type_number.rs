//! ANSI/BHMA type numbers (A8112, J102, L02251, Type 25): what they say of category and attributes. The data is
//! `catalogs/trade/type_numbers.csv`, with the base digits of `base_digits.csv` spelled out.

use std::sync::OnceLock;

use super::category::Category;
use super::confidence::Confidence;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/type_numbers.csv");
const DIGITS: &str = include_str!("../../catalogs/trade/base_digits.csv");

/// File of the table, as evidence names it.
pub const FILE: &str = "trade/type_numbers.csv";

/// One type number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypeNumber {
    /// As written in capitals: `A8112`, `TYPE 25`.
    pub number: String,
    /// What it is.
    pub category: Category,
    /// Attributes, `name=value` parted by semicolons.
    pub meaning: String,
    /// How sure the row is.
    pub confidence: Confidence,
    /// Where it was read.
    pub source: &'static str,
    /// Line of the table.
    pub line: u32,
}

/// All type numbers; a row with a base digit stands once for each digit.
pub fn all() -> &'static [TypeNumber] {
    static ALL: OnceLock<Vec<TypeNumber>> = OnceLock::new();
    ALL.get_or_init(|| {
        let digits = table::rows(DIGITS);
        let mut numbers: Vec<TypeNumber> = Vec::new();
        for row in table::rows(TABLE) {
            let Ok(category) = row.get(1).parse::<Category>() else { continue };
            let one = |number: String, meaning: String| TypeNumber {
                number,
                category,
                meaning,
                confidence: Confidence::of(row.get(3)),
                source: row.get(4),
                line: row.line,
            };
            if !row.get(0).contains('#') {
                // A number written out stands before the same number made from a base digit.
                numbers.retain(|known| known.number != row.get(0));
                numbers.push(one(row.get(0).to_owned(), row.get(2).to_owned()));
                continue;
            }
            for digit in digits {
                let number = row.get(0).replace('#', digit.get(0));
                if numbers.iter().any(|known| known.number == number) {
                    continue;
                }
                let mut meaning = row.get(2).to_owned();
                if !digit.get(1).is_empty() {
                    if !meaning.is_empty() {
                        meaning.push_str("; ");
                    }
                    meaning.push_str("base=");
                    meaning.push_str(digit.get(1));
                }
                numbers.push(one(number, meaning));
            }
        }
        numbers
    })
}

/// The type number as written: `a8112`, `L02251`, `Type 25`.
pub fn find(number: &str) -> Option<&'static TypeNumber> {
    all().iter().find(|known| known.number.eq_ignore_ascii_case(number.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_decoded() {
        // A156.1 grammar: A, base digit, application, bearing, weight.
        assert_eq!(
            find("a8112").map(|n| n.meaning.as_str()),
            Some("base=steel; mount=full-mortise; bearing=ball; weight=standard")
        );
        // Base digit 5 is stainless (product-number grammar), 0 the maker's option.
        assert_eq!(find("L52251").map(|n| n.meaning.as_str()), Some("mounting=wall; shape=concave; base=stainless"));
        assert_eq!(find("L02251").map(|n| n.meaning.as_str()), Some("mounting=wall; shape=concave"));
        assert_eq!(find("Type 25").map(|n| n.category), Some(Category::FlushBolt));
        assert!(find("A9999").is_none());
    }
}
