//! The ids of sets that door schedules name, known before their rows are read: a heading `1 | 2 | 3` or `AA | BB` over the counts
//! of goods is one of sets where doors have these.

use std::collections::BTreeSet;

use super::setheading;
use crate::read::openings::doorlist;
use crate::read::schedule::loose_id;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};

/// Rows of a sheet in which the heading of its doors is looked for, and rows below it that are looked at.
const HEAD: usize = 40;
const LOOKED_AT: usize = 400;

/// The ids of a schedule, without their zeros.
#[derive(Debug, Default)]
pub(crate) struct SetIds(BTreeSet<String>);

impl SetIds {
    /// Takes the ids of a sheet.
    pub(crate) fn look(&mut self, sheet: &Sheet) {
        for (at, row) in sheet.rows.iter().enumerate().take(HEAD) {
            let Some((door, set)) = of_doors(row) else { continue };
            let of_door = |row: &&Row| row.cell(door).is_some_and(|cell| doorlist::looks_like(&cell.text));
            let cells = sheet.rows[at + 1..].iter().take(LOOKED_AT).filter(of_door).filter_map(|row| row.cell(set));
            let ids = cells.filter_map(|cell| setheading::id_of_cell(&cell.text)).filter(|id| is_short(id));
            self.0.extend(ids.filter(|id| headings::of_cell(id).is_none()).map(|id| loose_id(&id)));
        }
    }

    /// Whether doors have a set of this id.
    pub(crate) fn has(&self, id: &str) -> bool {
        self.0.contains(&loose_id(id))
    }
}

/// `1`, `4A`, `AA`, `HW-12`: a text that may be the id of a set and nothing more.
pub(crate) fn is_short(text: &str) -> bool {
    (1..=6).contains(&text.len())
        && text.bytes().all(|sign| sign.is_ascii_uppercase() || sign.is_ascii_digit() || b"-.".contains(&sign))
        && text.bytes().any(|sign| sign.is_ascii_alphanumeric())
}

/// The columns of doors and of their sets in a row that heads them.
fn of_doors(row: &Row) -> Option<(usize, usize)> {
    let heard = || row.cells.iter().map(|cell| (cell.column, headings::of_cell(&cell.text)));
    let doors =
        heard().find(|(_, heard)| matches!(heard, Some(Heard::One(M::DoorNumber) | Heard::NumberOrQuantity)))?;
    let sets = |of: Heard| heard().find(|(column, heard)| *column != doors.0 && *heard == Some(of));
    let set = sets(Heard::One(M::Set)).or_else(|| sets(Heard::SetOrDescription))?;
    Some((doors.0, set.0))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::read::sheet::Cell;

    #[test]
    fn ids_are_those_of_the_column_of_sets_beside_doors() {
        let mut sheet = Sheet::new(&Arc::from("a.csv"), "");
        let rows = [["DOOR", "SIZE", "HW SET"], ["101", "3070", "01"], ["102", "3070", "AA"], ["103", "3070", "none"]];
        for (at, cells) in rows.iter().enumerate() {
            let cells = cells.iter().enumerate().map(|(column, text)| Cell::text(column, text)).collect();
            sheet.rows.push(Row { number: at as u32 + 1, cells, hidden: false });
        }
        let mut ids = SetIds::default();
        ids.look(&sheet);
        assert!(ids.has("1") && ids.has("AA") && !ids.has("101") && !ids.has("3070"));
        assert!(is_short("HW-12") && !is_short("Lobby") && !is_short("-"));
    }
}
