//! Rows whose cells do not stand under their headings while those of the other rows do: pushed one column aside by a cell too
//! many or too few, or the quantity and the words of a good exchanged. A reading that makes the cells fit is taken and told.

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;

use super::suspect;
use crate::read::goods::itemtext::is_quantity;
use crate::read::sheet::{Cell, Row};
use crate::read::tables::columns::looks;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Column, Holds, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// What is judged: cells of these meanings can be told from others.
const MEASURES: [M; 5] = [M::Size, M::Width, M::LeafWidth, M::Height, M::Thickness];
const TOLD: [M; 8] =
    [M::Size, M::Width, M::LeafWidth, M::Height, M::Thickness, M::DoorMaterial, M::FrameMaterial, M::Rating];

impl Walker<'_> {
    /// The row as it was meant, where its own cells cannot be what their headings say.
    pub(crate) fn mended_row(&self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Row> {
        let table = self.lanes[lane].table.as_ref()?;
        let (mended, says) = match table.holds {
            Holds::Doors if self.lanes[lane].set.is_none() => shifted(table, row)?,
            Holds::Items => exchanged(table, row)?,
            _ => return None,
        };
        out.schedule.findings.push(
            Finding::new("row-mended", Kind::Assumption, Weight::Reading, says)
                .at(self.sheet.place(row.number), row.joined())
                .help("check the row, and mend it in the schedule"),
        );
        Some(mended)
    }
}

/// A row of a door schedule whose cells stand one column beside their headings from some column on.
fn shifted(table: &Table, row: &Row) -> Option<(Row, String)> {
    // Nearly every row is as it should be: a measure that begins with a letter is what makes one suspect.
    let lettered = |cell: &Cell| {
        if !cell.text.trim_start().starts_with(char::is_alphabetic) {
            return false;
        }
        let folded = plain(&cell.text);
        folded.starts_with(|first: char| first.is_ascii_alphabetic())
            && !words::list("pair").is(folded.split(' ').next().unwrap_or_default())
    };
    let suspects = table.columns.iter().filter(|column| MEASURES.contains(&column.meaning));
    if !suspects.filter_map(|column| row.cell(column.index)).any(lettered) && !begins_empty(table, row) {
        return None;
    }
    let own = score(table, row)?;
    let number = table.column(M::DoorNumber).map_or(0, |column| column.index);
    let mut best: Option<(i32, Row, usize, &str)> = None;
    for column in table.columns.iter().filter(|column| column.index > number) {
        for (aside, whither) in [(true, "right"), (false, "left")] {
            let Some(mut moved) = moved(row, column.index, number, aside) else { continue };
            keep_set(table, row, &mut moved);
            let Some(score) = score(table, &moved) else { continue };
            if best.as_ref().is_none_or(|(most, ..)| score > *most) {
                best = Some((score, moved, column.index, whither));
            }
        }
    }
    let (score, moved, from, whither) = best?;
    // Three cells at least change from a contradiction, or nothing, to what their headings say.
    (score >= own + 3 && score >= 3).then(|| {
        let says = format!(
            "the cells of the row stand one column {whither} of their headings from column {} on; they were read that way",
            column_letter(from)
        );
        (moved, says)
    })
}

/// A set that would be moved away with nothing in its place stood in its own column.
fn keep_set(table: &Table, row: &Row, moved: &mut Row) {
    let Some(set) = table.column(M::Set).map(|column| column.index) else { return };
    let Some(own) = row.cell(set).filter(|_| moved.cell(set).is_none()) else { return };
    let Some(cell) = moved.cells.iter_mut().find(|cell| cell.column + 1 == set && cell.text == own.text) else {
        return;
    };
    cell.column = set;
}

/// Whether the width is missing and what follows cannot stand where it does: `| 3'-0" | 7'-0"` under WIDTH, HEIGHT, THK.
fn begins_empty(table: &Table, row: &Row) -> bool {
    let wide = table.columns.iter().find(|column| matches!(column.meaning, M::Width | M::LeafWidth | M::Size));
    if wide.is_none_or(|column| row.cell(column.index).is_some()) {
        return false;
    }
    let odd = |column: &Column| {
        let cell = row.cell(column.index).filter(|_| matches!(column.meaning, M::Height | M::Thickness));
        cell.is_some_and(|cell| !suspect::fits(column.meaning, cell, &plain(&cell.text)))
    };
    table.columns.iter().any(odd)
}

/// How many cells look like their headings, less twice those that contradict them; `None`: a row of few cells.
fn score(table: &Table, row: &Row) -> Option<i32> {
    let judged = table.columns.iter().filter(|column| TOLD.contains(&column.meaning));
    let (mut score, mut cells) = (0, 0);
    for column in judged {
        let Some(cell) = row.cell(column.index) else { continue };
        cells += 1;
        if looks(column.meaning, &cell.text) == Some(true) {
            score += 1;
        } else if !suspect::fits(column.meaning, cell, &plain(&cell.text)) || MEASURES.contains(&column.meaning) {
            score -= 2;
        }
    }
    (cells >= 2).then_some(score)
}

/// The row with its cells from a column on moved back by one, to the left where they stand too far right; a cell that is in
/// the way goes on with the words before it.
fn moved(row: &Row, from: usize, number: usize, too_far_right: bool) -> Option<Row> {
    let mut cells: Vec<Cell> = Vec::with_capacity(row.cells.len());
    for cell in &row.cells {
        if cell.column < from {
            cells.push(cell.clone());
            continue;
        }
        let column = if too_far_right { cell.column.checked_sub(1)? } else { cell.column + 1 };
        if too_far_right
            && cell.column == from
            && let Some(before) = cells.last_mut().filter(|before| before.column == column)
        {
            // `STAIR | B` in two cells: the second one pushed the others aside.
            let over = before.text.clone();
            let (last, rest) = cells.split_last_mut()?;
            let words = rest.last_mut().filter(|words| words.column > number)?;
            words.text = format!("{} {over}", words.text);
            *last = Cell { column, ..cell.clone() };
            continue;
        }
        cells.push(Cell { column, ..cell.clone() });
    }
    Some(Row { number: row.number, cells, hidden: row.hidden })
}

/// A row of goods with its words under QTY and its number under DESCRIPTION.
fn exchanged(table: &Table, row: &Row) -> Option<(Row, String)> {
    let (quantity, words_at) = (table.column(M::Quantity)?.index, table.column(M::Description)?.index);
    let (count, text) = (row.cell(quantity)?, row.cell(words_at)?);
    if count.text.len() <= 3 || !is_quantity(&plain(&text.text)) || is_quantity(&plain(&count.text)) {
        return None;
    }
    words::list("hardware").find(&plain(&count.text))?;
    let swap = |cell: &Cell| match cell.column {
        at if at == quantity => Cell { column: words_at, ..cell.clone() },
        at if at == words_at => Cell { column: quantity, ..cell.clone() },
        _ => cell.clone(),
    };
    let mut cells: Vec<Cell> = row.cells.iter().map(swap).collect();
    cells.sort_by_key(|cell| cell.column);
    let says = "the quantity and the words of the good stand in each other's column; they were exchanged".to_string();
    Some((Row { number: row.number, cells, hidden: row.hidden }, says))
}
