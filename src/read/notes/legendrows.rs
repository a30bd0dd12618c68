//! Keys below the goods of the last set, in the columns of its table: `MANUFACTURERS:` over `OD | Oddenby Hardware`, `FINISHES:`
//! over `626 | Satin chromium plated`, `NOTES:` over `1 | Coordinate strike`. Their rows are notes and no goods.

use crate::read::goods::itemtext::is_quantity;
use crate::read::schedule::Role;
use crate::read::sheet::{Row, join};
use crate::read::tables::aside;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Walker, note};
use crate::read::words::{self, plain};

/// A code that a key explains is no longer.
const CODE: usize = 8;

impl Walker<'_> {
    /// The role of a row of such a key: its caption after an empty row, or a code with its words right below it.
    pub(crate) fn key_below(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        if row.cells.len() > 2 || !self.lanes[lane].table.as_ref().is_some_and(|table| table.holds == Holds::Items) {
            return None;
        }
        let state = &self.lanes[lane];
        let begins = || {
            let [one] = &row.cells[..] else { return false };
            let next = self.sheet.rows.get(self.sheet.index_of(row.number) + 1);
            let follows = next.is_some_and(|next| next.number == row.number + 1 && self.explains(lane, next));
            row.number > state.last_row + 1 && follows && is_caption(&one.text)
        };
        let goes_on = state.legend != 0 && row.number == state.legend + 1 && self.explains(lane, row);
        if !goes_on && !begins() {
            return None;
        }
        self.lanes[lane].legend = row.number;
        Some(note(self.sheet, &join(&row.cells), row, out))
    }

    /// Whether a row is a code and its words, and counts nothing.
    fn explains(&self, lane: usize, row: &Row) -> bool {
        let ([code, said], Some(table)) = (&row.cells[..], &self.lanes[lane].table) else { return false };
        let counted = table.column(M::Quantity).and_then(|column| row.cell(column.index));
        let counts = counted.is_some_and(|cell| is_quantity(&plain(&cell.text)));
        let code = code.text.trim();
        let short = !code.is_empty() && code.chars().count() <= CODE && !code.contains(' ');
        short
            && !counts
            && said.text.bytes().any(|byte| byte.is_ascii_alphabetic())
            && said.text.trim().chars().count() > 2
    }
}

/// Whether a text is the caption of notes or of a key.
fn is_caption(text: &str) -> bool {
    aside::is_caption(text) || words::list("legend-under-goods").is(plain(text).trim_end_matches([':', '.', ' ']))
}
