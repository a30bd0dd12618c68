//! Cells of exports that hold nothing: programs write `NULL` or `\N` where a person leaves the cell empty.

use super::sheet::{Cell, Sheet};
use super::words;

/// Fewer such cells on a sheet may be names.
const FEWEST: usize = 2;

/// Such a cell is no longer.
const LONGEST: usize = 6;

/// Empties them where a sheet has several.
pub(super) fn empty(sheet: &mut Sheet) {
    // Nearly no cell begins so, and capitals alone are meant.
    let is_null = |cell: &Cell| {
        cell.text.len() <= LONGEST
            && cell.text.starts_with(['N', '\\', '(', '<', '['])
            && words::list("null-cell").is(&cell.text)
    };
    let count = sheet.rows.iter().flat_map(|row| &row.cells).filter(|cell| is_null(cell)).take(FEWEST).count();
    if count < FEWEST {
        return;
    }
    for row in &mut sheet.rows {
        row.cells.retain(|cell| !is_null(cell));
    }
    sheet.rows.retain(|row| !row.cells.is_empty());
}
