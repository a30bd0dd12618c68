//! Cells of a door schedule that stand for the cell above them: `"`, `DITTO`, `DO.`. They are filled before the schedule is
//! read, since a rating of `"` is no door without a rating; that they were is told.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;
use crate::terms::ReadTerms;

use crate::read::memo::{self, Memo};
use crate::read::openings::doorlist;
use crate::read::schedule::LedgerRow;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{self, Holds, Table};
use crate::read::words::{self, plain};

/// Fewer rows are not worth a core of their own.
const FEWEST: usize = 1_024;

/// Whether a cell is nothing but a sign of repetition.
fn is_sign(text: &str) -> bool {
    let signs = |sign: char| crate::trade::signs::straight(sign) == '"' || "'\u{3003}".contains(sign);
    let bare = || text.chars().filter(|sign| !sign.is_whitespace() && !"-.".contains(*sign));
    let count = bare().take(5).count();
    (1..=4).contains(&count) && bare().all(signs) && !(count == 1 && bare().next() == Some('\''))
}

/// Every cell of a sheet is asked: neither a sign nor a word of repetition has a figure, and words recur.
fn says_ditto(text: &str) -> bool {
    if text.is_empty() || text.len() > 24 || text.bytes().any(|byte| byte.is_ascii_digit()) {
        return false;
    }
    if text.bytes().any(|byte| byte.is_ascii_alphabetic()) {
        return memo::once(&DITTOS, text, |text| words::list("ditto").is(&plain(text)));
    }
    is_sign(text)
}

thread_local! {
    static DITTOS: Memo<bool> = Memo::default();
}

/// The sheet with such cells filled from above; `None` where there are none.
pub(crate) fn carried(sheet: &Sheet, terms: Option<&ReadTerms>, findings: &mut Vec<Finding>) -> Option<Sheet> {
    let says = |row: &Row| row.cells.iter().any(|cell| says_ditto(&cell.text));
    if !sheet.rows.par_iter().with_min_len(FEWEST).any(says) {
        return None;
    }
    let tables = table::find(sheet, terms);
    let mut filled = sheet.clone();
    let mut told: BTreeMap<usize, Vec<u32>> = BTreeMap::new();
    for table in tables.iter().filter(|table| matches!(table.holds, Holds::Doors | Holds::Matrix | Holds::Types)) {
        let ends = tables.iter().map(|other| other.rows.0).filter(|first| *first > table.rows.1).min();
        fill(&mut filled, table, ends.unwrap_or(sheet.rows.len()), &mut told);
    }
    let first = told.iter().min_by_key(|(_, rows)| rows.first().copied())?;
    let place = sheet.at(*first.1.first()?, *first.0);
    let columns = told.keys().map(|column| column_letter(*column)).collect::<Vec<_>>().join(", ");
    let count: usize = told.values().map(Vec::len).sum();
    let says = format!("cells that say ditto stand for the cell above them: {count} in the columns {columns}");
    let finding = Finding::new("ditto-cells", Kind::Assumption, Weight::Goods, says);
    findings.push(finding.at(place, "").help("check that no row stands between a ditto and the cell that it means"));
    Some(filled)
}

/// Fills the cells of one table's rows; a row of a door follows the row of the door above it.
fn fill(sheet: &mut Sheet, table: &Table, end: usize, told: &mut BTreeMap<usize, Vec<u32>>) {
    let number = [M::DoorNumber, M::DoorType].iter().find_map(|meaning| table.column(*meaning)).map(|of| of.index);
    let is_door = |row: &Row| number.and_then(|at| row.cell(at)).is_some_and(|cell| doorlist::looks_like(&cell.text));
    let mut above: Option<Row> = None;
    // Below the heading of a set stand goods.
    let doors = sheet.rows.iter().take(end).skip(table.rows.1 + 1);
    let doors = doors.take_while(|row| row.cells.len() > 2 || setheading::heading(&row.joined()).is_none()).count();
    for row in sheet.rows.iter_mut().skip(table.rows.1 + 1).take(doors).filter(|row| is_door(row)) {
        let before: Option<Row> = above.take();
        let mut cells: Vec<Cell> = Vec::with_capacity(row.cells.len());
        for cell in std::mem::take(&mut row.cells) {
            let column = table.columns.iter().find(|column| column.index == cell.column);
            // In the column of sets the word is read with the sets of all doors at hand.
            let known = column.is_some_and(|column| !matches!(column.meaning, M::Set | M::Other));
            let own = known || column.is_some() && is_sign(&cell.text);
            let from = before.as_ref().filter(|_| own && Some(cell.column) != number && says_ditto(&cell.text));
            let Some(from) = from else {
                cells.push(cell);
                continue;
            };
            told.entry(cell.column).or_default().push(row.number);
            cells.extend(from.cell(cell.column).cloned());
        }
        row.cells = cells;
        // `LEVEL 2` alone parts no door from the one above it.
        above = if row.cells.len() > 1 { Some(row.clone()) } else { before };
    }
}

/// Gives the ledger back what its rows say in the file.
pub(crate) fn as_written(sheet: &Sheet, ledger: &mut [LedgerRow], length: usize) {
    for entry in ledger {
        let row = sheet.rows.get(sheet.index_of(entry.place.row)).filter(|row| row.number == entry.place.row);
        if let Some(row) = row.filter(|row| row.cells.iter().any(|cell| says_ditto(&cell.text))) {
            entry.text = row.joined().chars().take(length).collect();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_words_of_repetition() {
        for text in ["\"", "''", "\u{201d}", " \" ", "- \" -", "DITTO", "do.", "Same as above", "\"\"", "\u{3003}"] {
            assert!(says_ditto(text), "{text}");
        }
        for text in ["", "-", "--", "36\"", "'", "DOOR", "SAME AS 103", "N/A"] {
            assert!(!says_ditto(text), "{text}");
        }
    }
}
