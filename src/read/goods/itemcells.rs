//! The cells of a row of goods as the wording of its line: each cell with the role that its column has.

use std::sync::Arc;

use crate::place::column_letter;
use crate::trade::finish;
use crate::trade::inches::Inches;

use super::itemtext::{is_count, is_count_alone, is_quantity, starts_with_quantity};
use crate::read::repairs::damage;
use crate::read::schedule::{PartRole, Wording};
use crate::read::sheet::{Cell, CellKind, Row};
use crate::read::sizes::size;
use crate::read::tables::columns;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{Column, Holds, Table};
use crate::read::walk::Walker;
use crate::read::words::{self, plain};

/// Whether a row that has words of headings is an item, `E | 1 | SET | SMOKE SEAL`, `SET | 1 | SMOKE SEAL`: a count beside its
/// unit, goods, and no headings besides them, as those of doors beside a flat table. `3 ea. | Silencers | S | RO` and `Threshold | T |
/// (1)` are items too.
pub(crate) fn is_item(row: &Row) -> bool {
    let unit = |cell: &Cell| columns::is_unit(&plain(&cell.text));
    let beside = |two: &[Cell]| is_count(&two[0].text) && unit(&two[1]) || is_count(&two[1].text) && unit(&two[0]);
    let good = |cell: &Cell| columns::names_good(&cell.text);
    let other = |cell: &&Cell| headings::of_cell(&cell.text).is_some() && !unit(cell) && !good(cell);
    row.cells.windows(2).any(beside) && row.cells.iter().any(good) && row.cells.iter().filter(other).count() < 3
        || begins_counted(row)
        || ends_counted(row)
        || is_coded(row)
}

/// `Coordinator | S | W`, `Viewer | 626 | W | RO`: goods that nothing counts, with codes alone beside them or a finish by its number.
fn is_coded(row: &Row) -> bool {
    let [first, rest @ ..] = &row.cells[..] else { return false };
    let code = |cell: &Cell| cell.text.trim().len() <= 2;
    let finished = |cell: &Cell| {
        cell.text.trim().len() == 3 && is_count(&cell.text) && finish::look_of(cell.text.trim()).is_some()
    };
    !rest.is_empty() && columns::names_good(&first.text) && (rest.iter().all(code) || rest.iter().any(finished))
}

/// `3 ea. | Hinges | HW`, `(1) Threshold | T | RO`: a row that begins with a count and names goods in that cell or in the next one.
/// Behind a figure alone, which may number a row of headings, `1 | HARDWARE | SET`, that one alone begins with the name of goods.
fn begins_counted(row: &Row) -> bool {
    let folded = plain(&row.cells[0].text);
    let figures = folded.bytes().filter(u8::is_ascii_digit).count();
    let worded = figures == 0 && words::list(words::NUMBERS).begins(&folded).is_some();
    let counted = figures > 0 && starts_with_quantity(&folded) || worded || is_count_alone(&folded);
    if !counted || figures > MOST_FIGURES {
        return false;
    }
    if is_count(&row.cells[0].text) {
        let kind = |cell: &&Cell| headings::of_cell(&cell.text) == Some(Heard::One(M::Kind));
        return row.cells.get(1).is_some_and(|cell| columns::names_good(&cell.text))
            && row.cells.iter().filter(kind).count() < 2;
    }
    row.cells.iter().take(2).any(|cell| words::list("hardware").find(&plain(&cell.text)).is_some())
}

/// So many figures has a count, `10-1/2 PR`, at most.
const MOST_FIGURES: usize = 4;

/// `Silencers | S | 3 ea.`, `Smoke seal | (1) | W`: goods, and behind them in a cell their count with a sign that it is one.
fn ends_counted(row: &Row) -> bool {
    row.cells.iter().skip(1).any(|cell| is_count_alone(&plain(&cell.text)))
        && words::list("hardware").find(&plain(&row.cells[0].text)).is_some()
}

/// Widths and heights of doors, in inches.
const WIDTHS: (i64, i64) = (18, 240);
const HEIGHTS: (i64, i64) = (60, 240);

/// Whether a text is the whole size of a door, which is higher than a leaf is wide: `4.5 x 4.5` would be metres.
pub(crate) fn is_of_door(text: &str) -> bool {
    let Some(size) = size::parse_size(text) else { return false };
    let within = |side: Option<Inches>, (least, most): (i64, i64)| {
        side.filter(|side| *side >= Inches::whole(least) && *side <= Inches::whole(most))
    };
    let (Some(width), Some(height)) = (within(size.width, WIDTHS), within(size.height, HEIGHTS)) else { return false };
    let hinge = text.bytes().all(|sign| sign.is_ascii_digit() || b". xX".contains(&sign)) && text.contains('.');
    !hinge || width < height && width <= Inches::whole(LEAF)
}

/// `EACH OPENING`: a cell that says what the quantity of its row is per, and nothing else. `LEAF` does under `PER` or `QTY BASIS`;
/// under `PREP` it says where the goods go.
fn is_basis(text: &str, column: Option<&Column>) -> bool {
    let asked = || column.is_some_and(|column| words::list("basis-heading").is(&headings::key(&column.heading)));
    text.len() <= LONGEST_BASIS && {
        let folded = plain(text);
        words::list("basis-of-a-column").is(&folded) || words::list("basis-alone").is(&folded) && asked()
    }
}

/// `EACH DOOR OPENING` is the longest.
const LONGEST_BASIS: usize = 18;

/// A pair is hardly wider in metres; hinges of as few inches are.
const LEAF: i64 = 96;

/// So many rows before and behind are near.
const NEAR: usize = 50;

impl Walker<'_> {
    /// The cells of a row as the wording of a line.
    pub(crate) fn wording(&self, lane: usize, row: &Row) -> Wording {
        let mut wording = Wording::default();
        let of_items = |table: &&Arc<Table>| matches!(table.holds, Holds::Items | Holds::DoorItems);
        let table = self.lanes[lane].table.as_ref().filter(of_items);
        // `#DIV/0!` is told as an error of its cell: neither a count nor words.
        for cell in row.cells.iter().filter(|cell| cell.kind != CellKind::Error) {
            let column = table.and_then(|table| table.columns.iter().find(|column| column.index == cell.column));
            let role = match column.map(|column| column.meaning) {
                Some(M::Set | M::DoorNumber | M::DoorsServed | M::Price | M::Level) => continue,
                // What the doors measure is no word of their goods; `8 x 34` beside a kick plate is.
                Some(M::Size) if table.is_some_and(|table| table.has(M::Set)) && is_of_door(&cell.text) => continue,
                // `FOR` beside goods whose set stands in a heading says something of the goods.
                Some(M::SetTitle)
                    if table.is_some_and(|table| table.columns.iter().any(|column| column.meaning == M::Set)) =>
                {
                    continue;
                }
                Some(M::SetTitle) => PartRole::Remarks,
                // `UNITS` beside the quantities may be the units.
                Some(M::Count) if columns::is_unit(&plain(&cell.text)) => PartRole::Unit,
                // `NO. OF OPENINGS` beside the quantities counts doors.
                Some(M::Count)
                    if table.is_some_and(|table| table.has(M::Quantity) && !self.counts_alone(table, row)) =>
                {
                    continue;
                }
                // Words may begin in the column of quantities: `RECORDS 103: ALSO DROP SEAL BY OWNER`.
                Some(M::Quantity | M::Count) if row.cells.len() == 1 && !is_quantity(&plain(&cell.text)) => {
                    PartRole::Free
                }
                Some(M::Quantity | M::Count) => PartRole::Quantity,
                Some(M::Unit) => PartRole::Unit,
                Some(M::Description) => PartRole::Description,
                Some(M::CatalogNumber) => PartRole::CatalogNumber,
                Some(M::Finish | M::DoorFinish | M::FrameFinish) => PartRole::Finish,
                Some(M::Maker) => PartRole::Maker,
                Some(M::Remarks | M::Furnisher) => PartRole::Remarks,
                // `QTY BASIS`, `PER`: what the quantity is per.
                Some(M::Other) | None if is_basis(&cell.text, column) => PartRole::Unit,
                Some(M::Other | M::Room)
                    if table.is_some()
                        && column.is_some_and(|column| {
                            let key = headings::key(&column.heading);
                            // `SIZE/DIM` over sizes of goods, whose cells deny what half of it says: their words.
                            column.why.contains("heading")
                                && column.why != columns::UNKNOWN
                                && headings::exact(&key).is_some()
                                && !words::list("item-heading").is(&key)
                        }) =>
                {
                    continue;
                }
                _ if table.is_none()
                    && row.cells.len() > 1
                    && cell.column == row.cells[0].column
                    && (starts_with_quantity(&plain(&cell.text))
                        || words::list(words::NUMBERS).is(&plain(&cell.text)))
                    && cell.text.len() <= 10
                    // `1 Closer` in the first column of aligned text is the good with its count.
                    && words::list("hardware").find(&plain(&cell.text)).is_none() =>
                {
                    PartRole::Quantity
                }
                // `Hinges 652 | x3`
                _ if table.is_none()
                    && cell.column > row.cells[0].column
                    && wording.part(PartRole::Quantity).is_none()
                    && !starts_with_quantity(&plain(&row.cells[0].text))
                    && is_count_alone(&plain(&cell.text)) =>
                {
                    PartRole::Quantity
                }
                _ if columns::is_unit(&plain(&cell.text)) => PartRole::Unit,
                _ => PartRole::Free,
            };
            let text = match damage::date(cell) {
                Some(date) => damage::undone_in_goods(date),
                None => cell.text.clone(),
            };
            wording.push(role, &text, Some(column_letter(cell.column).into()));
        }
        wording
    }
    /// Whether a count stands in a row of goods near which no cell of the quantities is filled: then it is the quantity,
    /// and not the number of doors.
    pub(crate) fn counts_alone(&self, table: &Table, row: &Row) -> bool {
        let Some(quantity) = table.column(M::Quantity).map(|column| column.index) else { return false };
        let at = self.sheet.index_of(row.number).saturating_sub(NEAR);
        let mut near = self.sheet.rows.iter().skip(at).take(2 * NEAR);
        let filled = |near: &Row| near.cell(quantity).is_some_and(|cell| is_quantity(&plain(&cell.text)));
        row.cells.iter().any(|cell| words::list("hardware").find(&plain(&cell.text)).is_some()) && !near.any(filled)
    }
}
