//! Rows and doors that are struck through: they are read as deleted, and kept as that.

use crate::read::schedule::{Line, Role};
use crate::read::sheet::Row;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Lane, Walker};

/// Why a line counts for nothing whose row is struck through.
pub const STRUCK: &str = "struck through";

impl Walker<'_> {
    /// A door whose number is struck through is deleted, whatever stands beside it.
    pub(crate) fn struck_door(&self, row: &Row) -> bool {
        let [Lane { table: Some(table), .. }] = &self.lanes[..] else { return false };
        let number = table.column(M::DoorNumber).filter(|_| matches!(table.holds, Holds::Doors | Holds::Matrix));
        number.and_then(|column| row.cell(column.index)).is_some_and(|cell| cell.struck)
    }

    pub(crate) fn struck_row(&mut self, row: &Row, out: &mut Gathered) -> Role {
        let holds = self.lanes.first().and_then(|lane| lane.table.as_ref()).map(|table| table.holds);
        if let (Some(set), true) = (self.lanes.first().and_then(|lane| lane.set), holds != Some(Holds::Doors)) {
            let wording = self.wording(0, row);
            let bare = Line::new(self.sheet.place(row.number), wording);
            let line = Line { excluded: Some(STRUCK.into()), ..bare };
            out.schedule.sets[set].lines.push(line);
        }
        Role::Excluded
    }
}
