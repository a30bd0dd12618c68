//! A column of the sets that doors had before, `OLD SET` beside `NEW SET`: the new ones are taken, which is said where they
//! differ; where the new column is empty the door keeps the set that it had, and that is asked.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::secondset;
use crate::read::openings::doors::Reader;
use crate::read::tables::headings::{self, BEFORE, Meaning as M};
use crate::read::tables::table::Column;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// The cells of such columns, by file, sheet and column.
#[derive(Default)]
pub(crate) struct OldSets {
    columns: BTreeMap<(Arc<str>, Arc<str>, usize), Old>,
}

/// One such column.
struct Old {
    heading: String,
    /// The heading of the column that was taken.
    taken: String,
    cells: Vec<Before>,
}

/// What such a cell says of a door.
struct Before {
    opening: usize,
    /// Nothing stands in the column that was taken; `NONE` and `TBD` say that the door has no set.
    new_is_empty: bool,
    text: String,
    place: Place,
}

/// Whether a column says which sets doors had before.
pub(crate) fn is_old(column: &Column) -> bool {
    let names_sets = || headings::key(&column.heading).split(' ').any(|word| words::list("of-sets").is(word));
    column.meaning == M::Other && column.why.ends_with(BEFORE) && names_sets()
}

/// A dash, N/A: in a column of changes the usual words for none.
fn says_no_change(text: &str) -> bool {
    !text.bytes().any(|byte| byte.is_ascii_alphanumeric()) || words::list("no-change").is(&plain(text))
}

impl OldSets {
    /// Keeps what the row of a door says in it.
    pub(crate) fn keep(&mut self, opening: usize, reader: &Reader<'_>, column: &Column) {
        let Some(cell) = reader.row.cell(column.index).filter(|cell| !cell.struck) else { return };
        let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), column.index);
        let taken = reader.table.column(M::Set).map_or_else(String::new, |column| column.heading.clone());
        let new = || Old { heading: column.heading.clone(), taken, cells: Vec::new() };
        let place = reader.sheet.at(reader.row.number, column.index);
        let new_is_empty = reader
            .table
            .column(M::Set)
            .is_none_or(|column| reader.row.cell(column.index).is_none_or(|cell| says_no_change(&cell.text)));
        let before = Before { opening, new_is_empty, text: cell.text.clone(), place };
        self.columns.entry(key).or_insert_with(new).cells.push(before);
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.columns.is_empty()
    }

    /// Gives doors without a set the one that they had, and says at which doors the new one is another.
    pub(crate) fn settle(self, defined: &BTreeMap<String, usize>, out: &mut Gathered) {
        for old in self.columns.into_values() {
            let (mut kept, mut differ): (Vec<String>, Vec<String>) = Default::default();
            let (mut first_kept, mut first_other) = (None, None);
            for Before { opening, new_is_empty, text, place } in old.cells {
                let Some(door) = out.schedule.openings.get_mut(opening).filter(|door| door.excluded.is_none()) else {
                    continue;
                };
                let Some(before) = secondset::ids(&text, defined) else { continue };
                match &door.set {
                    None if new_is_empty => {
                        door.set = Some(text.trim().to_string());
                        kept.push(door.number.clone());
                        first_kept.get_or_insert((place, text));
                    }
                    Some(own) if secondset::ids(own, defined).is_some_and(|own| own != before) => {
                        differ.push(door.number.clone());
                        first_other.get_or_insert((place, text));
                    }
                    _ => {}
                }
            }
            if let Some((place, text)) = first_kept {
                let says = format!(
                    "the column \"{}\" is empty at these doors; they have the sets of the column \"{}\"",
                    old.taken, old.heading
                );
                let finding = Finding {
                    openings: kept,
                    priced_as: format!("the sets of the column \"{}\"", old.heading),
                    ..Finding::new("second-set", Kind::Question, Weight::Goods, says)
                };
                let help = "ask whether these doors keep their sets, or have none any more";
                out.schedule.findings.push(finding.at(place, text).help(help));
            }
            if let Some((place, text)) = first_other {
                let says = format!(
                    "the sets were taken from the column \"{}\"; \"{}\" names others at these doors",
                    old.taken, old.heading
                );
                let finding =
                    Finding { openings: differ, ..Finding::new("second-set", Kind::Assumption, Weight::Goods, says) };
                out.schedule.findings.push(finding.at(place, text).help("check that the new sets hold"));
            }
        }
    }
}
