//! The title block of a drawing at the right of its schedule, an empty column between: `DRAWN`, `SHEET TITLE`, `DATE` with their
//! values, in rows that hold doors or goods at their left. It is no part of these rows.

use std::collections::BTreeSet;

use super::table;
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::memo::{self, Memo};
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet, join};
use crate::read::words::{self, plain};

/// Labels of a title block are no longer.
const LONGEST: usize = 20;
/// Different labels, each in a row of its own, at least.
const FEWEST: usize = 3;
/// Rows of a title block, at most.
const ROWS: usize = 40;
/// Cells of it in one row, at most.
const CELLS: usize = 3;

/// The cells of a title block, by row and column; none where there is none.
pub(crate) fn cells(sheet: &Sheet) -> Vec<(u32, usize)> {
    // It stands at the end of its rows, behind a gap; hardly any other row ends in a label.
    let mut labels: Vec<(u32, usize, String)> = Vec::new();
    for row in &sheet.rows {
        let [.., before, cell] = &row.cells[..] else { continue };
        if cell.column > before.column + 1 && is_label(&cell.text) {
            labels.push((row.number, cell.column, plain(&cell.text)));
        }
    }
    let Some(column) = labels.iter().map(|label| label.1).min() else { return Vec::new() };
    let several = |what: usize| what >= FEWEST;
    let rows: BTreeSet<u32> = labels.iter().map(|label| label.0).collect();
    let words: BTreeSet<&str> = labels.iter().map(|label| label.2.as_str()).collect();
    if !several(rows.len()) || !several(words.len()) {
        return Vec::new();
    }
    let mut taken = Vec::new();
    let mut held = 0;
    for row in &sheet.rows {
        let own = row.cells.partition_point(|cell| cell.column < column);
        let (left, own) = row.cells.split_at(own);
        if !own.is_empty() && is_schedule(own) {
            // Sets may stand below it in its column; above its last label it is none.
            if rows.last().is_none_or(|last| row.number <= *last) {
                return Vec::new();
            }
            break;
        }
        // Nothing stands right at its left, anywhere.
        if left.last().is_some_and(|cell| cell.column + 1 == column) || own.len() > CELLS {
            return Vec::new();
        }
        held += usize::from(!own.is_empty());
        taken.extend(own.iter().map(|cell| (row.number, cell.column)));
    }
    if held > ROWS { Vec::new() } else { taken }
}

/// Whether cells head a set or a table, or name goods with their count.
fn is_schedule(cells: &[Cell]) -> bool {
    let text = join(cells);
    let folded = plain(&text);
    let goods = || words::list("hardware").find(&folded).is_some() || words::list("goods").find(&folded).is_some();
    let heads = || {
        let row = Row { number: 0, cells: cells.to_vec(), hidden: false };
        cells.len() > 1 && !cells.iter().any(|cell| is_label(&cell.text)) && table::is_heading_row(&row)
    };
    setheading::heading(&text).is_some() || starts_with_quantity(&folded) && goods() || heads()
}

fn is_label(text: &str) -> bool {
    // Nearly all cells of a schedule are none, and this is asked of many.
    let may_be = (4..=LONGEST).contains(&text.len()) && text.bytes().all(|byte| !byte.is_ascii_digit());
    let is_one = |text: &str| words::list("title-block").is(plain(text).trim_end_matches([':', '.', ' ']));
    may_be && memo::once(&LABELS, text, is_one)
}

thread_local! {
    static LABELS: Memo<bool> = Memo::default();
}
