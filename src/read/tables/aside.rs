//! Notes, abbreviations and keys that stand at the right of a schedule, an empty column between, in rows that hold doors or
//! goods at their left: `GENERAL NOTES:` over `1. VERIFY IN FIELD`, `FINISH KEY:` over `626 | SATIN CHROME`. They are notes of
//! the sheet and no words of the rows beside them.

use std::collections::BTreeSet;

use super::{table, titleblock};
use crate::read::memo::{self, Memo};
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::words::{self, plain};

/// A code that a key explains is no longer.
const CODE: usize = 8;

/// A caption is no longer.
const LONGEST: usize = 40;

/// Rows beside something else that make a block, at least.
const FEWEST: usize = 2;

/// Empty rows within a block, at most.
const BLANKS: u32 = 2;

/// The sheet without such blocks, and the rows of the blocks; `None` where there are none.
pub(crate) fn apart(sheet: &Sheet) -> Option<(Sheet, Vec<Row>)> {
    let mut taken: BTreeSet<(u32, usize)> = BTreeSet::new();
    for (at, row) in sheet.rows.iter().enumerate() {
        for pair in row.cells.windows(2) {
            // A heading over a column of remarks has the heading of another column right at its left.
            let (before, cell) = (&pair[0], &pair[1]);
            let gap = cell.column > before.column + 1 && is_caption(&cell.text);
            if gap && !taken.contains(&(row.number, cell.column)) {
                taken.extend(block(sheet, at, cell.column).into_iter().flatten());
            }
        }
    }
    taken.extend(titleblock::cells(sheet));
    if taken.is_empty() {
        return None;
    }
    let is_taken = |row: &Row, cell: &Cell| taken.contains(&(row.number, cell.column));
    let part = |inside: bool| -> Vec<Row> {
        let rows = sheet.rows.iter().filter_map(|row| {
            let cells: Vec<Cell> = row.cells.iter().filter(|cell| is_taken(row, cell) == inside).cloned().collect();
            (!cells.is_empty()).then_some(Row { number: row.number, cells, hidden: row.hidden })
        });
        rows.collect()
    };
    let rest = Sheet {
        rows: part(false),
        hidden_columns: sheet.hidden_columns.clone(),
        merges: sheet.merges.clone(),
        oddities: sheet.oddities.clone(),
        floating: Vec::new(),
        file: sheet.file.clone(),
        name: sheet.name.clone(),
        hidden: sheet.hidden,
    };
    Some((rest, part(true)))
}

/// Whether a text is the caption of notes or of a key.
pub(crate) fn is_caption(text: &str) -> bool {
    // Nearly all cells of a schedule are none, and this is asked of many.
    let may_be = (3..=LONGEST).contains(&text.len()) && text.bytes().all(|byte| !byte.is_ascii_digit());
    let is_one = |text: &str| words::list("aside-caption").is(plain(text).trim_end_matches([':', '.', ' ']));
    may_be && memo::once(&CAPTIONS, text, is_one)
}

thread_local! {
    static CAPTIONS: Memo<bool> = Memo::default();
}

/// The cells of the block under a caption, by row and column; `None` where what is below it is no list of notes or codes, or
/// nothing stands beside it.
fn block(sheet: &Sheet, caption: usize, column: usize) -> Option<Vec<(u32, usize)>> {
    let mut cells: Vec<(u32, usize)> = vec![(sheet.rows[caption].number, column)];
    let (mut last, mut beside, mut numbered) = (sheet.rows[caption].number, 0, false);
    // `NOTES` in a row of headings is a column of remarks, whose numbers come again; a list of notes counts up.
    let (mut headings, mut number) = (table::is_heading_row(&sheet.rows[caption]), 0);
    for row in &sheet.rows[caption + 1..] {
        let first = row.cells.partition_point(|cell| cell.column < column);
        let (left, own) = row.cells.split_at(first);
        if own.is_empty() {
            continue;
        }
        if row.number > last + 1 + BLANKS || left.last().is_some_and(|cell| cell.column + 1 == column) {
            break;
        }
        let note = numbered_by(&own[0].text);
        let caption = own.len() == 1 && is_caption(&own[0].text);
        if caption {
            (headings, number) = (false, 0);
        }
        let goes_on = numbered && own.len() == 1 && left.is_empty();
        let counts_up = note.is_some_and(|own| own > number && !headings);
        if !(counts_up || goes_on || is_pair(own) || caption) {
            break;
        }
        number = note.unwrap_or(number);
        numbered = counts_up || goes_on;
        (last, beside) = (row.number, beside + usize::from(!left.is_empty()));
        cells.extend(own.iter().map(|cell| (row.number, cell.column)));
    }
    (beside >= FEWEST).then_some(cells)
}

/// The number of a note: `1. VERIFY ALL DIMENSIONS`, `2) GLASS`.
fn numbered_by(text: &str) -> Option<u32> {
    let figures = text.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = text.split_at(figures);
    let words = rest.starts_with(['.', ')']) && rest.bytes().any(|byte| byte.is_ascii_alphabetic());
    number.parse().ok().filter(|_| figures <= 2 && words)
}

/// A short code and its words, in two cells or with a sign between: `HM | HOLLOW METAL`, `AL = ALUMINUM`. The key of goods
/// belongs to the sets that use it.
fn is_pair(cells: &[Cell]) -> bool {
    let (code, words) = match cells {
        [code, words] => (code.text.trim(), words.text.as_str()),
        [one] => match one.text.split_once(['=', ':', '\u{2013}']).or_else(|| one.text.split_once(" - ")) {
            Some((code, words)) => (code.trim(), words),
            None => return false,
        },
        _ => return false,
    };
    let short = !code.is_empty() && code.chars().count() <= CODE;
    let letters = words.bytes().any(|byte| byte.is_ascii_alphabetic());
    short && letters && words::list("goods").find(&plain(words)).is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn captions_notes_and_codes_are_told_from_other_cells() {
        for text in ["GENERAL NOTES:", "Finish key:", "ABBREVIATIONS", "Notes"] {
            assert!(is_caption(text), "{text}");
        }
        assert!(!is_caption("Notes: see 3") && !is_caption("HARDWARE GROUPS"));
        let cell = Cell::text;
        assert!(is_pair(&[cell(8, "626"), cell(9, "SATIN CHROME")]));
        assert!(is_pair(&[cell(8, "HM = HOLLOW METAL")]));
        assert!(!is_pair(&[cell(8, "H1"), cell(9, "Hinge 4-1/2 x 4-1/2")]));
        assert_eq!(numbered_by("1. VERIFY ALL"), Some(1));
        assert!(numbered_by("101 Lobby").is_none() && numbered_by("1.5").is_none());
    }
}
