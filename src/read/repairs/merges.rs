//! Cells merged over several rows of a door schedule: the value counts for each of them.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};

use crate::read::sheet::{Row, Sheet};
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Walker};

/// For each row the columns that a merge carries down to it, and the row its value stands in.
pub(crate) type Down = BTreeMap<u32, Vec<(usize, u32)>>;

/// Most rows that merges are followed down over, all together; a merge over a whole column is a title or a border.
const MOST: usize = 200_000;
/// A merge over more rows than this is no group of doors.
const TALLEST: u32 = 500;

/// What the merges of a sheet carry down.
pub(crate) fn down(sheet: &Sheet) -> Down {
    let mut down = Down::new();
    let mut left = MOST;
    for merge in &sheet.merges {
        let (first, last) = merge.rows;
        if last <= first || last - first > TALLEST || merge.columns.0 != merge.columns.1 {
            continue;
        }
        let holds = sheet.rows.get(sheet.index_of(first)).filter(|row| row.number == first);
        if holds.is_none_or(|row| row.cell(merge.columns.0).is_none()) {
            continue;
        }
        for row in first + 1..=last {
            if left == 0 {
                return down;
            }
            left -= 1;
            down.entry(row).or_default().push((merge.columns.0, first));
        }
    }
    down
}

impl Walker<'_> {
    /// Gives a row of a door schedule the values that merged cells carry down to it, and says so once.
    pub(crate) fn fill_merged(&mut self, lane: usize, row: &mut Row, out: &mut Gathered) {
        let Some(carried) = self.merged.get(&row.number) else { return };
        let lane = &self.lanes[lane];
        let Some(table) = lane.table.as_ref().filter(|table| matches!(table.holds, Holds::Doors | Holds::Matrix))
        else {
            return;
        };
        let heads = self.sheet.rows[table.rows.1].number;
        let mut filled = None;
        for (column, from) in carried {
            let known = table.columns.iter().any(|known| known.index == *column);
            if !known || *from <= heads || !(lane.range.0..=lane.range.1).contains(column) {
                continue;
            }
            let source = &self.sheet.rows[self.sheet.index_of(*from)];
            if let (Some(cell), Err(at)) = (
                source.cell(*column).filter(|cell| !cell.struck),
                row.cells.binary_search_by_key(column, |cell| cell.column),
            ) {
                row.cells.insert(at, cell.clone());
                filled = Some((*from, *column, cell.text.clone()));
            }
        }
        if let Some((from, column, text)) = filled.filter(|_| !self.merges_told) {
            self.merges_told = true;
            out.schedule.findings.push(
                Finding::new(
                    "merged-cells",
                    Kind::Note,
                    Weight::Reading,
                    "cells are merged over several doors; their value was read for each of them",
                )
                .at(self.sheet.at(from, column), text)
                .help("check that the value is meant for every row it spans"),
            );
        }
    }
}
