//! Doors of long schedules, read ahead of their rows on all cores: what a row says of its door depends on nothing but the
//! row and its table. The walk takes each in its turn, so that the result is the same as without.

use std::sync::Arc;

use rayon::prelude::*;

use crate::finding::Finding;

use super::doorlist;
use super::doors::{self, Reader};
use super::headings::Meaning as M;
use super::schedule::Opening;
use super::sheet::{Row, Sheet};
use super::table::Table;

/// So many rows are read ahead at once.
const BLOCK: usize = 8_192;
/// Fewer are not worth the trouble.
const FEWEST: usize = 256;

/// A door and what was found in its row.
type Door = (Opening, Vec<Finding>);

/// The doors read ahead of one table.
#[derive(Default)]
pub(super) struct Ahead {
    table: Option<Arc<Table>>,
    /// Index of the first row.
    first: usize,
    doors: Vec<Option<Door>>,
}

impl Ahead {
    /// The door of a row of the sheet; `None` where it was not read ahead.
    pub fn door(&mut self, sheet: &Sheet, table: &Arc<Table>, row: &Row) -> Option<Door> {
        let at = sheet.index_of(row.number);
        // A part of a row, or one that merged cells were carried down to, is not the sheet's own.
        if !sheet.rows.get(at).is_some_and(|own| std::ptr::eq(own, row)) {
            return None;
        }
        let known = self.table.as_ref().is_some_and(|known| Arc::ptr_eq(known, table));
        if !known || at < self.first || at >= self.first + self.doors.len() {
            let rows = &sheet.rows[at..sheet.rows.len().min(at + BLOCK)];
            if rows.len() < FEWEST {
                return None;
            }
            self.table = Some(table.clone());
            self.first = at;
            self.doors = rows.par_iter().with_min_len(64).map(|row| read(sheet, table, row)).collect();
        }
        self.doors[at - self.first].take()
    }
}

fn read(sheet: &Sheet, table: &Table, row: &Row) -> Option<Door> {
    let reader = Reader { sheet, row, table };
    let number = reader.text(M::DoorNumber);
    if !doorlist::looks_like(&number) {
        return None;
    }
    let mut findings = Vec::new();
    let opening = doors::opening(&reader, &number, &mut findings);
    Some((opening, findings))
}
