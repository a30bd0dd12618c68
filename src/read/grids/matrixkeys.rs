//! Keys of the codes of matrices that stand without headings of their own: below a matrix of sets, where the column of the
//! codes is that of the sets, and to the right of a matrix.

use crate::read::openings::doors::Reader;
use crate::read::sheet::{Cell, Row};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Holds, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// A row of a key has no more cells.
const CELLS: usize = 3;

/// A code is no longer than this.
const CODE: usize = 8;

/// `CODE | MEANING`, `KEY` to the right of a matrix: the codes of its cells with their words, whatever stands over these.
pub(crate) fn beside(table: &mut Table, before: Option<&Table>) {
    let of_matrix = before.is_some_and(|before| matches!(before.holds, Holds::Matrix | Holds::SetMatrix));
    let first = table.columns.first().is_some_and(|column| column.meaning == M::Code);
    if of_matrix && first && table.holds == Holds::Passed && table.columns.len() <= CELLS {
        table.holds = Holds::Legend;
        table.why = "codes and their words, beside a matrix".into();
    }
}

/// `H1 = Ball bearing hinge` where a heading should be: the first entry of a key beside a matrix.
pub(crate) fn explains(heading: &str) -> bool {
    let code = heading.split_once('=').map(|(code, _)| code.trim());
    code.is_some_and(|code| (1..=CODE).contains(&code.len()) && !code.contains(' '))
}

impl Walker<'_> {
    /// Whether a row in the columns of a matrix of sets explains a code of its cells and is no set: `H1 | Ball bearing hinge,
    /// 4-1/2 x 4-1/2` below sets whose cells are codes.
    pub(crate) fn explains_code(&mut self, lane: usize, reader: &Reader<'_>, out: &Gathered) -> bool {
        let row = reader.row;
        let [code, said @ ..] = &row.cells[..] else { return false };
        let of_sets = reader.table.column(M::Set).is_some_and(|column| column.index == code.column);
        let worded = |cell: &Cell| {
            let text = cell.text.trim();
            !out.matrix.uses(text) && text.chars().count() > 2 && text.bytes().any(|byte| byte.is_ascii_alphabetic())
        };
        let is_code = code.text.trim().len() <= CODE && code.text.bytes().any(|byte| byte.is_ascii_alphabetic());
        if !of_sets || !is_code || said.is_empty() || row.cells.len() > CELLS || !said.iter().all(worded) {
            return false;
        }
        let goods = || said.iter().any(|cell| words::list("hardware").find(&plain(&cell.text)).is_some());
        let goes_on = self.lanes[lane].legend != 0 && row.number == self.lanes[lane].legend + 1;
        let begins =
            || (out.matrix.uses(&code.text) || self.below_title(row)) && out.matrix.sets_are_coded() && goods();
        let explains = goes_on || begins();
        if explains {
            self.lanes[lane].legend = row.number;
        }
        explains
    }

    /// Whether a row of a key in the columns of a matrix of doors explains a code that no door has: `K1 | Kick plate` right below
    /// the title of the key or another of its rows is no door.
    pub(crate) fn explains_unused(&mut self, lane: usize, reader: &Reader<'_>) -> bool {
        let row = reader.row;
        let [code, said] = &row.cells[..] else { return false };
        let of_doors = reader.table.column(M::DoorNumber).is_some_and(|column| column.index == code.column);
        let short = code.text.trim().len() <= CODE && code.text.starts_with(|sign: char| sign.is_ascii_alphabetic());
        let goods = || words::list("hardware").find(&plain(&said.text)).is_some();
        let goes_on = self.lanes[lane].legend != 0 && row.number == self.lanes[lane].legend + 1;
        let explains =
            of_doors && short && said.column == code.column + 1 && (goes_on || self.below_title(row)) && goods();
        if explains {
            self.lanes[lane].legend = row.number;
        }
        explains
    }

    /// Whether the row above holds nothing but the title of a key.
    fn below_title(&self, row: &Row) -> bool {
        let above = self.sheet.index_of(row.number).checked_sub(1).and_then(|at| self.sheet.rows.get(at));
        let title = |cell: &Cell| words::list("legend-title").find(&plain(&cell.text)).is_some();
        above.is_some_and(|above| matches!(&above.cells[..], [one] if title(one)))
    }

    /// Takes what stands beside the columns of a matrix as entries of its key: `A = entry lock` in one cell, `CH | Continuous
    /// hinge` in two that nothing heads.
    pub(crate) fn key_beside(&self, reader: &Reader<'_>, out: &mut Gathered) {
        let column = |at: usize| reader.table.columns.iter().find(|own| own.index == at);
        let known = |cell: &&Cell| column(cell.column).is_some_and(|own| own.meaning != M::Other);
        for column in reader.table.columns.iter().filter(|own| own.meaning == M::Other && explains(&own.heading)) {
            let place = self.sheet.at(self.sheet.rows[reader.table.rows.1].number, column.index);
            out.matrix.explain(&column.heading, &place);
        }
        let beside: Vec<&Cell> = reader.row.cells.iter().filter(|cell| !known(cell)).collect();
        for cell in &beside {
            out.matrix.explain(&cell.text, &self.sheet.at(reader.row.number, cell.column));
        }
        for pair in beside.windows(2) {
            let [code, said] = pair else { continue };
            let headed = column(said.column).is_some_and(|own| !own.heading.is_empty());
            let goods = || words::list("hardware").find(&plain(&said.text)).is_some();
            let short = code.text.trim().len() <= CODE && !code.text.trim().contains(' ');
            if said.column == code.column + 1 && short && !headed && goods() {
                out.matrix.key(&code.text, &said.text);
            }
        }
    }
}
