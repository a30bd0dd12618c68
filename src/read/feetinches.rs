//! Widths and heights whose feet and inches stand in columns of their own, `Wft | Win | Hft | Hin`, `Width ft | (in)`: each two
//! are one measure before anything is read.

use super::headings::{self, Heard, Meaning as M};
use super::schedule::LedgerRow;
use super::sheet::{Cell, CellKind, Row, Sheet};
use super::walk::ledger_row;
use super::words::{self, plain};

/// A heading of such a column is no longer.
const LONGEST: usize = 18;

/// The sheet with such cells joined; `None` where there are none, as in nearly all.
pub(super) fn joined(sheet: &Sheet) -> Option<Sheet> {
    let heads: Vec<(usize, Vec<(usize, String)>)> =
        (0..sheet.rows.len()).map(|at| (at, pairs(&sheet.rows[at]))).filter(|(_, pairs)| !pairs.is_empty()).collect();
    let mut whole: Option<Sheet> = None;
    for (place, (at, pairs)) in heads.iter().enumerate() {
        let end = heads.get(place + 1).map_or(sheet.rows.len(), |(next, _)| *next);
        // Of rows of such headings right below each other that do not agree, nobody knows whose columns the figures stand in.
        let mut next = *at;
        let mut above = heads[..place].iter().rev().take_while(|(above, _)| {
            let right = above + 1 == next;
            next = *above;
            right
        });
        if above.any(|(_, own)| own != pairs) {
            continue;
        }
        for (column, name) in pairs {
            let below = sheet.rows[at + 1..end].iter();
            let said = below.filter(|row| row.cell(*column).is_some() || row.cell(column + 1).is_some());
            let fits: Vec<bool> = said.map(|row| measure(row, *column).is_some()).collect();
            let fit = fits.iter().filter(|fits| **fits).count();
            if fit == 0 || fit * 10 < fits.len() * 9 {
                continue;
            }
            let own = whole.get_or_insert_with(|| sheet.clone());
            // The heading of the inches stays, over nothing: an empty column would part the table.
            for cell in &mut own.rows[*at].cells {
                if cell.column == *column {
                    cell.text.clone_from(name);
                } else if cell.column == column + 1 {
                    cell.text = unit(&cell.text);
                }
            }
            for row in &mut own.rows[at + 1..end] {
                if let Some(text) = measure(row, *column) {
                    put(row, *column, text);
                }
            }
        }
    }
    whole
}

/// Gives the rows of the ledger the words that stand in the file.
pub(super) fn as_written(sheet: &Sheet, ledger: &mut [LedgerRow]) {
    for told in ledger.iter_mut().filter(|told| told.place.file == sheet.file && told.place.sheet == sheet.name) {
        let row = sheet.rows.get(sheet.index_of(told.place.row)).filter(|row| row.number == told.place.row);
        if let Some(row) = row {
            told.text = ledger_row(sheet, row.number, row.joined(), told.role).text;
        }
    }
}

/// The columns of feet with a column of inches right of them, and what the measure is called.
fn pairs(row: &Row) -> Vec<(usize, String)> {
    let two = row.cells.windows(2).filter_map(|two| {
        let [feet, inches] = two else { return None };
        // Nearly no cell ends so.
        let ends = |cell: &Cell, last: &[char]| {
            cell.text.len() <= LONGEST && cell.text.trim_end_matches([')', ']', '.', ' ']).ends_with(last)
        };
        if inches.column != feet.column + 1
            || !ends(feet, &['t', 'T'])
            || !ends(inches, &['n', 'N', 'h', 'H', 's', 'S'])
        {
            return None;
        }
        let name = without(&feet.text, "feet-in-headings")?;
        let other = without(&inches.text, "inches-in-headings")?;
        let measure = |name: &str| match headings::of_cell(name) {
            Some(Heard::One(meaning @ (M::Width | M::LeafWidth | M::Height))) => Some(meaning),
            _ => None,
        };
        let meaning = measure(&name)?;
        (other.is_empty() || measure(&other) == Some(meaning)).then_some((feet.column, name))
    });
    two.collect()
}

/// A heading without the unit at its end: `Wft`, `Width (ft)`, `Width - feet`.
fn without(heading: &str, units: &str) -> Option<String> {
    let folded = plain(heading);
    let bare = folded.trim_end_matches([')', ']', '.', ' ']);
    let unit = words::list(units).phrases().find(|unit| bare.ends_with(*unit))?;
    let name = bare[..bare.len() - unit.len()].trim_end_matches(['(', '[', '-', ',', ' ', '/', '_']);
    Some(name.to_string())
}

/// What is left of the heading of a column of inches: its unit, in brackets.
fn unit(heading: &str) -> String {
    let (folded, name) = (plain(heading), without(heading, "inches-in-headings").unwrap_or_default());
    let unit = folded.get(name.len()..).unwrap_or(&folded);
    format!("({})", unit.trim_matches(|sign: char| !sign.is_ascii_alphabetic()))
}

/// The feet of a cell and the inches of the one beside it.
fn measure(row: &Row, column: usize) -> Option<String> {
    let digits = |cell: &Cell| {
        let text = cell.text.trim();
        let plain = !cell.struck && matches!(cell.kind, CellKind::Text | CellKind::Number);
        let number = text.strip_suffix(".0").unwrap_or(text);
        let figures = plain && matches!(number.len(), 1 | 2) && number.bytes().all(|byte| byte.is_ascii_digit());
        figures.then(|| number.to_string())
    };
    let feet = row.cell(column).and_then(digits)?;
    let inches = match row.cell(column + 1) {
        Some(cell) => digits(cell)?,
        None => "0".to_string(),
    };
    let less: u32 = inches.parse().ok()?;
    (less < 12).then(|| format!("{feet}'-{inches}\""))
}

/// Puts the whole measure into the column of its feet.
fn put(row: &mut Row, column: usize, text: String) {
    row.cells.retain(|cell| cell.column != column + 1);
    if let Some(cell) = row.cells.iter_mut().find(|cell| cell.column == column) {
        (cell.text, cell.kind) = (text, CellKind::Text);
    }
}
