//! Doors of long schedules, read ahead of their rows on all cores: what a row says of its door depends on nothing but the
//! row and its table. The walk takes each in its turn, so that the result is the same as without.

use std::ops::Range;
use std::sync::Arc;

use rayon::prelude::*;

use crate::finding::Finding;

use super::doorlist;
use super::doors::{self, Reader};
use crate::read::schedule::Opening;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Table;

/// So many rows are walked at a time, while the next are read ahead.
const PIECE: usize = 1_024;
/// Fewer are not worth the trouble.
const FEWEST: usize = 256;

/// A door and what was found in its row.
type Door = (Opening, Vec<Finding>);

/// The doors of rows that follow each other.
#[derive(Default)]
struct Block {
    /// Index of the first row.
    first: usize,
    doors: Vec<Option<Door>>,
}

impl Block {
    /// Reads the doors of the rows, on all cores that are free.
    fn read(sheet: &Sheet, table: &Table, rows: Range<usize>) -> Self {
        let first = rows.start;
        let rows = sheet.rows.get(rows).unwrap_or_default();
        Self { first, doors: rows.par_iter().with_min_len(64).map(|row| read(sheet, table, row)).collect() }
    }

    fn slot(&mut self, at: usize) -> Option<&mut Option<Door>> {
        self.doors.get_mut(at.checked_sub(self.first)?)
    }
}

/// The doors read ahead of one table: of the rows that are walked, and of those behind them.
#[derive(Default)]
pub(crate) struct Ahead {
    table: Option<Arc<Table>>,
    now: Block,
    next: Block,
    /// Index of the row behind those that are walked.
    end: usize,
}

impl Ahead {
    /// The door of a row of the sheet; `None` where it was not read ahead.
    pub fn door(&mut self, sheet: &Sheet, table: &Arc<Table>, row: &Row) -> Option<Door> {
        let at = sheet.index_of(row.number);
        // A part of a row, or one that merged cells were carried down to, is not the sheet's own.
        if !sheet.rows.get(at).is_some_and(|own| std::ptr::eq(own, row)) {
            return None;
        }
        if !self.table.as_ref().is_some_and(|known| Arc::ptr_eq(known, table)) {
            *self = Self { table: Some(table.clone()), end: self.end, ..Self::default() };
        }
        if self.now.slot(at).is_none() {
            if self.next.slot(at).is_some() {
                self.now = std::mem::take(&mut self.next);
            } else if at + FEWEST <= self.end {
                self.now = Block::read(sheet, table, at..self.end);
            }
        }
        self.now.slot(at)?.take()
    }
}

/// Walks the rows of a sheet piece by piece; where doors of a long table were read ahead in one, those of the next are read
/// while it is walked.
pub(crate) fn walk<W: Send>(
    sheet: &Sheet,
    walker: &mut W,
    ahead: fn(&mut W) -> &mut Ahead,
    row: impl Fn(&mut W, usize) + Sync,
) {
    let all = sheet.rows.len();
    for first in (0..all).step_by(PIECE) {
        let end = all.min(first + PIECE);
        ahead(walker).end = end;
        let behind = end..all.min(end + PIECE);
        let table = ahead(walker).table.clone().filter(|_| behind.len() >= FEWEST);
        let steps = || (first..end).for_each(|index| row(walker, index));
        let read = || table.as_ref().map(|table| Block::read(sheet, table, behind)).unwrap_or_default();
        let next = rayon::join(steps, read).1;
        // Another table may have begun meanwhile; its rows are not those that were read.
        let ahead = ahead(walker);
        if ahead.table.as_ref().zip(table.as_ref()).is_some_and(|(now, of)| Arc::ptr_eq(now, of)) {
            ahead.next = next;
        }
    }
}

fn read(sheet: &Sheet, table: &Table, row: &Row) -> Option<Door> {
    let reader = Reader { sheet, row, table };
    let number = reader.text(M::DoorNumber);
    if !doorlist::looks_like(number) {
        return None;
    }
    let mut findings = Vec::new();
    let opening = doors::opening(&reader, number, &mut findings);
    Some((opening, findings))
}
