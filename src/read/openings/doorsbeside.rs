//! Doors that stand in a column of their own beside the goods of sets, an empty column between: `HARDWARE SET 1 | | DOORS` with a
//! door a row below the word. They are those of the set in whose row the word stands.

use std::collections::BTreeMap;

use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet, join};
use crate::read::words::{self, plain};

/// The sheet without such columns, and the columns with the heading of their set in the place of the word; `None` where there
/// are none.
pub(crate) fn apart(sheet: &Sheet) -> Option<(Sheet, Sheet)> {
    let mut taken: BTreeMap<u32, Cell> = BTreeMap::new();
    let mut open: Option<(usize, bool)> = None;
    for row in &sheet.rows {
        if let Some((heading, cell)) = headed(row) {
            // Below the word before it there was no door.
            if open.is_some_and(|(_, found)| !found) {
                return None;
            }
            open = Some((cell.column, false));
            taken.insert(row.number, Cell { text: format!("{heading} - {}:", cell.text.trim()), ..cell.clone() });
            continue;
        }
        let Some((column, found)) = open.as_mut() else { continue };
        if setheading::heading(&join(&row.cells)).is_some() {
            open = open.filter(|(_, found)| !found);
            continue;
        }
        let (Some(cell), true) = (row.cell(*column), row.cells.last().is_some_and(|last| last.column == *column))
        else {
            continue;
        };
        // Whatever else stands there, the column is none of doors.
        setheading::bare_list(&cell.text)?;
        *found = true;
        taken.insert(row.number, cell.clone());
    }
    if taken.is_empty() || open.is_some_and(|(_, found)| !found) {
        return None;
    }
    let of = |inside: bool| -> Vec<Row> {
        let rows = sheet.rows.iter().filter_map(|row| {
            let own = taken.get(&row.number);
            let cells: Vec<Cell> = match (inside, own) {
                (true, own) => own.into_iter().cloned().collect(),
                (false, own) => {
                    row.cells.iter().filter(|cell| own.is_none_or(|own| own.column != cell.column)).cloned().collect()
                }
            };
            (!cells.is_empty()).then_some(Row { number: row.number, cells, hidden: row.hidden })
        });
        rows.collect()
    };
    Some((with(sheet, of(false)), with(sheet, of(true))))
}

/// The heading of a set and behind an empty column the word for doors, alone in its cell.
fn headed(row: &Row) -> Option<(String, &Cell)> {
    let [rest @ .., before, cell] = &row.cells[..] else { return None };
    let word = plain(&cell.text);
    let doors = words::list("doors-over-numbers").is(word.trim_end_matches([':', ' ', '.']));
    let text = join(&row.cells[..=rest.len()]);
    let heads = || setheading::heading(&text).is_some_and(|found| found.doors.is_empty());
    (doors && cell.column > before.column + 1 && heads()).then_some((text, cell))
}

fn with(sheet: &Sheet, rows: Vec<Row>) -> Sheet {
    Sheet {
        rows,
        hidden_columns: sheet.hidden_columns.clone(),
        merges: sheet.merges.clone(),
        oddities: Vec::new(),
        floating: Vec::new(),
        file: sheet.file.clone(),
        name: sheet.name.clone(),
        hidden: sheet.hidden,
    }
}
