//! Cells as a file gives them into rows in order.

use crate::read::sheet::{Cell, Row};

/// Gathers cells into rows; files usually give them in order, but nothing makes them.
#[derive(Default)]
pub(crate) struct Rows {
    rows: Vec<Row>,
    unsorted: bool,
}

impl Rows {
    /// Takes a cell of a row.
    pub fn push(&mut self, number: u32, cell: Cell) {
        match self.rows.last_mut() {
            Some(last) if last.number == number => {
                self.unsorted |= last.cells.last().is_some_and(|before| before.column >= cell.column);
                last.cells.push(cell);
            }
            last => {
                self.unsorted |= last.as_ref().is_some_and(|last| last.number > number);
                // Rows of a table are about as long as the row above.
                let mut cells = Vec::with_capacity(last.map_or(1, |last| last.cells.len().min(64)));
                cells.push(cell);
                self.rows.push(Row { number, cells, hidden: false });
            }
        }
    }

    /// Takes the rows that follow, gathered apart; a row may begin here and end there.
    pub fn append(&mut self, mut next: Self) {
        if let (Some(last), Some(first)) = (self.rows.last_mut(), next.rows.first_mut())
            && last.number == first.number
        {
            self.unsorted |= last.cells.last().map(|cell| cell.column) >= first.cells.first().map(|cell| cell.column);
            last.cells.append(&mut first.cells);
            next.rows.remove(0);
        }
        let before = self.rows.last().map_or(0, |last| last.number);
        self.unsorted |= next.unsorted || next.rows.first().is_some_and(|first| first.number <= before);
        self.rows.extend(next.rows);
    }

    /// The rows, in order, each with its cells in order.
    pub fn done(mut self) -> Vec<Row> {
        if self.unsorted {
            self.rows.sort_by_key(|row| row.number);
            let mut merged: Vec<Row> = Vec::with_capacity(self.rows.len());
            for row in self.rows {
                match merged.last_mut().filter(|last| last.number == row.number) {
                    Some(last) => last.cells.extend(row.cells),
                    None => merged.push(row),
                }
            }
            for row in &mut merged {
                row.cells.sort_by_key(|cell| cell.column);
                // Two cells of one address: the last one written is what the spreadsheet program shows.
                row.cells.reverse();
                row.cells.dedup_by_key(|cell| cell.column);
                row.cells.reverse();
            }
            self.rows = merged;
        }
        self.rows
    }
}
