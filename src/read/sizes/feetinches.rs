//! Widths and heights whose feet and inches stand in columns of their own, `Wft | Win | Hft | Hin`, `Width ft | (in)`: each two
//! are one measure before anything is read.

use std::ops::Range;

use crate::read::schedule::LedgerRow;
use crate::read::sheet::{Cell, CellKind, Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::walk::ledger_row;
use crate::read::words::{self, plain};

/// A heading of such a column is no longer.
const LONGEST: usize = 18;

/// The sheet with such cells joined; `None` where there are none, as in nearly all.
pub(crate) fn joined(sheet: &Sheet) -> Option<Sheet> {
    let heads: Vec<(usize, Vec<(usize, String)>)> =
        (0..sheet.rows.len()).map(|at| (at, pairs_at(sheet, at))).filter(|(_, pairs)| !pairs.is_empty()).collect();
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
        // Whatever they are called: `W FT` above `Width FT`.
        let columns = |pairs: &[(usize, String)]| pairs.iter().map(|(column, _)| *column).collect::<Vec<_>>();
        if above.any(|(_, own)| columns(own) != columns(pairs)) {
            continue;
        }
        for (column, name) in pairs {
            let tables = stretches(&sheet.rows, at + 1..end);
            let fitting: Vec<Range<usize>> =
                tables.into_iter().filter(|rows| fit(&sheet.rows[rows.clone()], *column)).collect();
            if fitting.is_empty() {
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
            for row in fitting.into_iter().flatten() {
                if let Some(text) = measure(&own.rows[row], *column) {
                    put(&mut own.rows[row], *column, text);
                }
            }
        }
    }
    whole
}

/// The rows below headings in stretches that end at blank rows, at rows of one cell and where other headings stand: what is
/// below a schedule is judged by itself.
fn stretches(rows: &[Row], within: Range<usize>) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut from = within.start;
    for at in within.clone() {
        let row = &rows[at];
        if row.cells.len() > 2 && heads(row) {
            found.push(from..at);
            return found;
        }
        let apart = at > within.start && row.number > rows[at - 1].number + 1;
        if apart || row.cells.len() == 1 {
            found.push(from..at);
            from = at;
        }
    }
    found.push(from..within.end);
    found
}

/// Whether a row is the headings of another table.
fn heads(row: &Row) -> bool {
    let number = |cell: &Cell| cell.text.bytes().any(|byte| byte.is_ascii_digit());
    !row.cells.iter().any(number) && row.cells.iter().all(|cell| headings::exact(&headings::key(&cell.text)).is_some())
}

/// Whether the figures of a stretch are feet and inches: nearly all rows that have a figure in the columns. Words stand there
/// in rows of another kind.
fn fit(rows: &[Row], column: usize) -> bool {
    let figures = |cell: &Cell| cell.text.trim().parse::<rust_decimal::Decimal>().is_ok();
    let counts = |row: &&Row| [column, column + 1].into_iter().any(|at| row.cell(at).is_some_and(figures));
    let fits: Vec<bool> = rows.iter().filter(counts).map(|row| measure(row, column).is_some()).collect();
    let fit = fits.iter().filter(|fits| **fits).count();
    fit > 0 && fit * 10 >= fits.len() * 9
}

/// The columns of feet and inches of a row, whose measures may be named in the row above: `Width` over `Ft | In`.
fn pairs_at(sheet: &Sheet, at: usize) -> Vec<(usize, String)> {
    let row = &sheet.rows[at];
    pairs(row, at.checked_sub(1).map(|above| &sheet.rows[above]).filter(|above| above.number + 1 == row.number))
}

/// Gives the rows of the ledger the words that stand in the file.
pub(crate) fn as_written(sheet: &Sheet, ledger: &mut [LedgerRow]) {
    for told in ledger.iter_mut().filter(|told| told.place.file == sheet.file && told.place.sheet == sheet.name) {
        let row = sheet.rows.get(sheet.index_of(told.place.row)).filter(|row| row.number == told.place.row);
        if let Some(row) = row {
            told.text = ledger_row(sheet, row.number, row.joined(), told.role).text;
        }
    }
}

/// The columns of feet with a column of inches right of them, and what the measure is called.
fn pairs(row: &Row, above: Option<&Row>) -> Vec<(usize, String)> {
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
        let bare = name.is_empty();
        let name = if bare { plain(&above?.cell(feet.column)?.text) } else { name };
        let other = without(&inches.text, "inches-in-headings")?;
        let measure = |name: &str| match headings::of_cell(name) {
            Some(Heard::One(meaning @ (M::Width | M::LeafWidth | M::Height))) => Some(meaning),
            _ => None,
        };
        let meaning = measure(&name)?;
        let named = if bare { format!("({})", plain(&feet.text).trim_matches(['(', ')', '.'])) } else { name };
        (other.is_empty() || measure(&other) == Some(meaning)).then_some((feet.column, named))
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
