//! Sizes that a copied page leaves in two cells, `PR 3'-0" x` and `7'-0"`: the second, under no heading of its own, goes with
//! the first before anything is read.

use super::size;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::table;

/// The sheet with such cells joined; `None` where there are none, as in nearly all.
pub(crate) fn joined(sheet: &Sheet) -> Option<Sheet> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (at, row) in sheet.rows.iter().enumerate() {
        let split = row.cells.iter().position(|cell| left_open(&cell.text).is_some());
        found.extend(split.filter(|first| is_split(row, *first)).map(|first| (at, first)));
    }
    if found.is_empty() {
        return None;
    }
    let headed: Vec<usize> = (0..sheet.rows.len()).filter(|at| table::is_heading_row(&sheet.rows[*at])).collect();
    // `WIDTH | HEIGHT`: each has a heading.
    found.retain(|(at, first)| {
        let column = sheet.rows[*at].cells[*first].column + 1;
        let Some(heads) = headed.iter().rfind(|heads| *heads < at) else { return true };
        let above = heads.saturating_sub(1)..=*heads;
        sheet.rows[above].iter().all(|row| row.cell(column).is_none())
    });
    let mut whole = (!found.is_empty()).then(|| sheet.clone())?;
    for (at, first) in found {
        let cells = &mut whole.rows[at].cells;
        let second = cells.remove(first + 1);
        cells[first].text = format!("{} {}", cells[first].text, second.text);
    }
    Some(whole)
}

/// What stands before the sign between two measures at the end of a text.
fn left_open(text: &str) -> Option<&str> {
    let ends = matches!(text.as_bytes().last()?, b'x' | b'X' | 0x97 | b'y' | b'Y');
    let rest = ends.then(|| text.strip_suffix(['x', 'X', '\u{d7}']).or_else(|| text.strip_suffix("by")))??;
    let rest = rest.trim_end();
    rest.ends_with(|sign: char| sign.is_ascii_digit() || "'\"\u{2019}\u{201d}".contains(sign)).then_some(rest)
}

/// Whether the cell and the one right of it are one size, and it alone is none.
fn is_split(row: &Row, first: usize) -> bool {
    let (cell, Some(next)) = (&row.cells[first], row.cells.get(first + 1)) else { return false };
    next.column == cell.column + 1
        && !(cell.struck || next.struck)
        && next.text.starts_with(|sign: char| sign.is_ascii_digit())
        && size::parse_size(&format!("{} {}", cell.text, next.text)).is_some()
}
