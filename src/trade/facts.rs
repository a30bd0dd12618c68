//! Facts of each category: titles, usual unit and basis, base metal. The data is `catalogs/trade/categories.csv`.

use std::sync::OnceLock;

use super::category::Category;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/categories.csv");

/// File of the table, as evidence names it.
pub const FILE: &str = "trade/categories.csv";

/// What is usual for a category.
#[derive(Debug, Clone)]
pub struct Facts {
    /// `Mortise lock`.
    pub title: &'static str,
    /// `Mortise locks`.
    pub titles: &'static str,
    /// Usual unit, a word of the record: `each`.
    pub unit: &'static str,
    /// What the usual quantity is per: `leaf`, `opening`, `lot`.
    pub basis: &'static str,
    /// Base metal to take when only a look is written: `steel`, `brass` (for the brass and bronze group),
    /// `painted` for painted bodies; empty when nothing is usual.
    pub default_base: &'static str,
    /// Bases as usual beside it.
    pub other_bases: Vec<&'static str>,
    /// Goods that, named behind it, belong to it.
    pub comes_with: Vec<Category>,
    /// Goods that, named behind it and "with", are goods by themselves all the same.
    pub with: Vec<Category>,
    /// How many pieces a set of them is, or a line without a number means: for a single door, for a pair.
    pub pieces: Option<(i64, i64)>,
    /// How many a leaf, or the opening of a single door, has at most.
    pub most: Option<i64>,
    /// How many pieces a set of them is; 1 where a set is one good.
    pub set_of: u32,
    /// Whether a bare number behind the name counts them; of other goods it may be a size, a rating, a length.
    pub counted_behind: bool,
    /// On what the base rests.
    pub source: &'static str,
    /// Line of the table.
    pub line: u32,
}

/// The facts of a category.
pub fn of(category: Category) -> Option<&'static Facts> {
    static FACTS: OnceLock<Vec<Option<Facts>>> = OnceLock::new();
    FACTS
        .get_or_init(|| {
            let mut all = vec![None; Category::ALL.len()];
            for row in table::rows(TABLE) {
                let goods =
                    |column: usize| row.get(column).split_whitespace().filter_map(|name| name.parse().ok()).collect();
                let facts = Facts {
                    title: row.get(1),
                    titles: row.get(2),
                    unit: row.get(3),
                    basis: row.get(4),
                    default_base: row.get(5),
                    other_bases: row.get(6).split_whitespace().collect(),
                    source: row.get(7),
                    comes_with: goods(8),
                    with: goods(9),
                    pieces: row
                        .get(10)
                        .split_once(' ')
                        .and_then(|(single, pair)| Some((single.parse().ok()?, pair.parse().ok()?))),
                    most: row.get(11).parse().ok(),
                    set_of: row.get(12).parse().unwrap_or(1),
                    counted_behind: row.get(13) == "count",
                    line: row.line,
                };
                if let Ok(category) = row.get(0).parse::<Category>() {
                    all[category as usize] = Some(facts);
                }
            }
            all
        })
        .get(category as usize)?
        .as_ref()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_category_has_its_facts() {
        for category in Category::ALL {
            let facts = of(*category).unwrap_or_else(|| panic!("{category} is missing in {FILE}"));
            assert!(["each", "pair", "set", "foot", "lot"].contains(&facts.unit), "{category}");
            assert!(["leaf", "opening", "lot"].contains(&facts.basis), "{category}");
            assert!(!facts.source.is_empty(), "{category}");
            let row = table::rows(TABLE).iter().find(|row| row.get(0) == category.name());
            let written = |column: usize| row.map_or(0, |row| row.get(column).split_whitespace().count());
            assert_eq!(facts.pieces.is_some(), row.is_some_and(|row| !row.get(10).is_empty()), "{category}");
            assert!(row.is_some_and(|row| ["", "count"].contains(&row.get(13))), "{category}");
            assert_eq!(facts.most.is_some(), row.is_some_and(|row| !row.get(11).is_empty()), "{category}");
            assert_eq!((facts.comes_with.len(), facts.with.len()), (written(8), written(9)), "{category}");
        }
    }
}
