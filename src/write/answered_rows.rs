//! Rows of priced goods that are of one line: which of them an x leaves out, and what stands on one of several that nothing
//! tells apart.

use super::answered::{Line, number};
use super::goods::{self, at};
use crate::complete::told::{NO_GOOD, same_words};

/// Whether a cell of *Leave out* says so.
pub(super) fn is_out(text: &str) -> bool {
    is_exclude(text) || ["x", "yes", "y", "1", "true"].contains(&text.trim().to_lowercase().as_str())
}

/// What tells the rows of one line apart: the good picked, else the one it has.
fn good_cell<'a>(line: &'a Line) -> &'a str {
    let picked = line.text(goods::HEADINGS[at::OWN_GOOD]);
    if picked.is_empty() || is_exclude(picked) { line.text(goods::HEADINGS[at::WAS_GOOD]) } else { picked }
}

/// The good that x on a row names: that of the row, where the line has other rows without x; else none, for the whole line.
pub(super) fn row_good(line: &Line, rows: &[&Line]) -> String {
    let out = goods::HEADINGS[at::LEAVE_OUT];
    if rows.len() < 2 || rows.iter().all(|row| is_out(row.text(out))) {
        return String::new();
    }
    Some(good_cell(line)).filter(|good| !good.is_empty()).unwrap_or(NO_GOOD).to_owned()
}

/// Refuses what stands on one row only of several that nothing tells apart: it would hold for all of them.
pub(super) fn unlike_rows(line: &Line, rows: &[&Line], wrong: &mut Vec<String>) {
    for column in [at::OWN_QUANTITY, at::OWN_PRICE, at::LEAVE_OUT] {
        let heading = goods::HEADINGS[column];
        let here = line.text(heading);
        let counted = |row: &Line| number(row.text(goods::HEADINGS[at::WAS_QUANTITY]));
        let is_twin = |row: &&&Line| {
            row.number != line.number
                && same_words(good_cell(row), good_cell(line))
                && (column != at::OWN_QUANTITY || counted(row) == counted(line))
        };
        let differs = |row: &&Line| {
            let there = row.text(heading);
            let same = same_words(here, there) || (number(here).is_some() && number(here) == number(there));
            // Of two rows that differ the later one is named, or the only one that says something.
            !same && (there.is_empty() || row.number < line.number)
        };
        let unlike: Vec<String> =
            rows.iter().filter(is_twin).copied().filter(differs).map(|row| row.number.to_string()).collect();
        if !here.is_empty() && !unlike.is_empty() {
            wrong.push(format!(
                "{}: \"{here}\" would hold for row {} too, which is of the same line and good; write the same in each of them",
                line.place(heading),
                unlike.join(", ")
            ));
        }
    }
}

/// Whether a word takes its row out.
pub(super) fn is_exclude(text: &str) -> bool {
    let plain = text.trim().to_lowercase();
    ["exclude", "excluded", "omit", "leave out", "left out", "nic", "by others"].contains(&plain.as_str())
}
