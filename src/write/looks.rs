//! Which cells of a page have one look, so that it is named once for all of them; and text cut to what a cell holds.

use super::page::{Cell, Content, Page};
use super::style::Style;

/// Longest text of a cell in UTF-16 units, less a little for the mark of the cut.
pub const LONGEST: usize = 32_700;

/// Cells one below the other that have one look.
#[derive(Debug, PartialEq, Eq)]
pub struct Run {
    /// Their look.
    pub style: Style,
    /// Their column.
    pub column: usize,
    /// The first row.
    pub first: usize,
    /// The last row.
    pub last: usize,
    /// Whether the last row or column of the page is reached.
    pub is_edge: bool,
}

/// The runs of the cells that are written bare, column by column.
pub fn runs(page: &Page) -> Vec<Run> {
    let columns = page.rows.iter().map(|line| line.cells.len()).max().unwrap_or(0);
    let rows = page.rows.len();
    let mut runs = Vec::new();
    for column in 0..columns {
        let style =
            |row: usize| page.rows.get(row)?.cells.get(column).filter(|cell| is_bare(cell)).map(|cell| cell.style);
        let mut first = 0;
        for next in 1..=rows {
            let of_run = style(first);
            if next < rows && style(next) == of_run {
                continue;
            }
            let is_edge = next == rows || column + 1 == columns;
            runs.extend(of_run.map(|style| Run { style, column, first, last: next - 1, is_edge }));
            first = next;
        }
    }
    runs
}

/// Whether a cell is written without its look, which comes with its run. Cells without content come to be by their look.
pub fn is_bare(cell: &Cell) -> bool {
    cell.across <= 1
        && match cell.content {
            Content::Blank => cell.style != Style::PLAIN,
            Content::Text(_) | Content::Number(_) | Content::Formula(..) | Content::TextFormula(..) => true,
            Content::Marked(_) | Content::Link { .. } => false,
        }
}

/// Stands at the end of a text that did not fit its cell.
pub const CUT: &str = " … (cut)";

/// Text that fits a cell.
pub fn shortened(text: &str) -> String {
    if text.len() <= LONGEST {
        return text.to_owned();
    }
    let mut units = 0;
    let cut: String = text
        .chars()
        .take_while(|letter| {
            units += letter.len_utf16();
            units <= LONGEST
        })
        .collect();
    format!("{cut}{CUT}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::style::{CELL, MONEY};

    #[test]
    fn every_bare_cell_is_in_one_run_of_its_look() {
        let mut page = Page::new("Page", &[10, 10, 10]);
        page.push(vec![Cell::text("a", CELL), Cell::number(1.into(), MONEY)]);
        page.push(vec![Cell::text("b", CELL)]);
        page.push(vec![Cell::blank(CELL), Cell::number(2.into(), MONEY), Cell::text("wide", CELL).across(2)]);
        page.push(vec![Cell::text("c", MONEY), Cell::blank(Style::PLAIN)]);
        let found: Vec<(usize, usize, usize, bool)> =
            runs(&page).iter().map(|run| (run.column, run.first, run.last, run.is_edge)).collect();
        assert_eq!(found, [(0, 0, 2, false), (0, 3, 3, true), (1, 0, 0, false), (1, 2, 2, false)]);
    }

    #[test]
    fn long_text_is_cut_and_says_so() {
        assert_eq!(shortened("short"), "short");
        let cut = shortened(&"é".repeat(40_000));
        assert!(cut.ends_with("(cut)") && cut.encode_utf16().count() <= 32_767);
    }
}
