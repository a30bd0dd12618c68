//! Cells of exports that hold nothing: programs write `NULL` or `\N` where a person leaves the cell empty.

use crate::read::sheet::Sheet;
use crate::read::words;

/// Fewer such cells on a sheet may be names.
const FEWEST: usize = 2;

/// Such a cell is no longer.
const LONGEST: usize = 6;

/// Whether a text is what programs write for nothing. Nearly no cell begins so; a word in small letters may be a name.
pub(crate) fn is_null(text: &str) -> bool {
    let begins = |sign: char| "N\\(<[#".contains(sign);
    text.len() <= LONGEST && text.starts_with(begins) && words::list("null-cell").is(text)
}

/// Empties them where a sheet has several.
pub(crate) fn empty(sheet: &mut Sheet) {
    let count = sheet.rows.iter().flat_map(|row| &row.cells).filter(|cell| is_null(&cell.text)).take(FEWEST).count();
    if count < FEWEST {
        return;
    }
    for row in &mut sheet.rows {
        row.cells.retain(|cell| !is_null(&cell.text));
    }
    sheet.rows.retain(|row| !row.cells.is_empty());
}
