//! A lane: one table that is being read down its columns, or the free text of a sheet, with the set that stands open in it.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::place::Place;

use super::goods::itemtext::is_count;
use super::schedule::{Basis, HardwareSet, Note, Role};
use super::sets::setheading;
use super::sheet::{Cell, Row, Sheet};
use super::tables::columns::is_unit;
use super::tables::headings::Meaning as M;
use super::tables::othertrade;
use super::tables::table::{Holds, Table};
use super::walk::Gathered;
use super::words::plain;

/// What the last row of a lane was, for rows that go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Last {
    Nothing,
    Opening,
    Line,
    Doors,
    /// A paragraph of a note whose sentence has no end yet.
    Paragraph,
}

/// One table being read, or the free text of a sheet.
pub(crate) struct Lane {
    pub(crate) table: Option<Arc<Table>>,
    /// The door schedule in which a set heading stood: doors may follow it.
    pub(crate) doors: Option<Arc<Table>>,
    pub(crate) range: (usize, usize),
    pub(crate) set: Option<usize>,
    /// The list that a door's own row opened last.
    pub(crate) of_door: Option<usize>,
    pub(crate) basis: Option<Basis>,
    pub(crate) section: Option<Arc<str>>,
    pub(crate) pair_named: bool,
    pub(crate) last: Last,
    pub(crate) last_row: u32,
    /// `NOTES:` stood under the items of its set.
    pub(crate) noting: bool,
    /// The last row of a key below the items, by its number.
    pub(crate) legend: u32,
    /// The columns of its table were lost: each row is one text.
    pub(crate) lost: bool,
    /// The row that is being read names its set in a column.
    pub(crate) named: bool,
    /// The rows below words that lead to a list, `FOR USE ON DOORS:`, name doors.
    pub(crate) listing: bool,
    /// Whether the numbers with a dash are numbers and no ranges, by the first row of the table and the column.
    pub(crate) dashed: BTreeMap<(usize, usize), bool>,
}

impl Lane {
    pub(crate) fn free() -> Self {
        Self {
            table: None,
            doors: None,
            range: (0, usize::MAX),
            set: None,
            of_door: None,
            basis: None,
            section: None,
            pair_named: false,
            last: Last::Nothing,
            last_row: 0,
            noting: false,
            listing: false,
            legend: 0,
            lost: false,
            named: false,
            dashed: BTreeMap::new(),
        }
    }

    /// Takes up a table at its heading row. A door schedule ends the block of sets above it: its rows are doors. Only
    /// where it has no set column and stands between a set's heading and the set's items are its doors that set's.
    pub(crate) fn begin(&mut self, table: Arc<Table>, out: &Gathered) {
        if table.holds == Holds::Doors
            && let Some(set) = self.set
        {
            if !table.has(M::Set) && out.schedule.sets[set].lines.is_empty() {
                (self.doors, self.table) = (Some(table), None);
                return;
            }
            (self.set, self.doors, self.basis, self.section) = (None, None, None, None);
            self.pair_named = false;
        }
        // Its rows are none of the set above it.
        if othertrade::is(&table) {
            self.set = None;
        }
        self.noting = false;
        self.table = Some(table);
    }

    pub(crate) fn open_set(&mut self, set: usize) {
        self.set = Some(set);
        self.basis = None;
        self.section = None;
        self.pair_named = false;
        self.noting = false;
        self.listing = false;
        self.last = Last::Nothing;
    }
}

impl Lane {
    /// Whether a row counts goods in the columns of a table: what stands under its headings of quantity and unit is one.
    pub(crate) fn counts(&self, row: &Row) -> bool {
        let table = self.table.as_ref().filter(|table| table.holds == Holds::Items);
        let cell = |meaning| row.cell(table?.column(meaning)?.index);
        cell(M::Quantity).is_some_and(|cell| is_count(&cell.text))
            && cell(M::Unit).is_some_and(|cell| is_unit(&plain(&cell.text)))
    }
}

/// Adds a set by its heading; its index.
pub(crate) fn add_set(found: setheading::Heading, place: Place, out: &mut Gathered) -> usize {
    out.schedule.sets.push(HardwareSet {
        id: found.id,
        title: found.title,
        openings: Vec::new(),
        lines: Vec::new(),
        notes: Vec::new(),
        not_used: found.not_used,
        place,
    });
    out.schedule.sets.len() - 1
}

/// Whether anything is read from a column: beside tables whose columns are known, not from one that none of them knows.
pub(crate) fn reads(lanes: &[Lane], column: usize) -> bool {
    let known = || lanes.iter().filter_map(|lane| lane.table.as_deref());
    known().next().is_none() || known().any(|table| table.at(column).is_some_and(|own| own.meaning != M::Other))
}

/// The texts of cells joined by one space.
pub(crate) fn join_single(cells: &[Cell]) -> String {
    cells.iter().map(|cell| cell.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Keeps the words of a row as a note of the job.
pub(crate) fn note(sheet: &Sheet, text: &str, row: &Row, out: &mut Gathered) -> Role {
    // Wherever the key of a matrix stands: beside it, under it, on a sheet of its own.
    out.matrix.explain(text, &sheet.place(row.number));
    out.schedule.notes.push(Note { text: text.to_string(), place: sheet.place(row.number) });
    Role::Note
}
