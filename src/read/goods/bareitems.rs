//! Goods in cells below the heading of a set, without headings of their own: `1 | 3 | EA | HINGES`, `HINGES | 3 | 652`,
//! `EA | 3 | HINGES`. Which cell counts them is told by the rows near that have the same cells filled.

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::itemtext::starts_with_quantity;
use crate::read::sheet::{Cell, Row};
use crate::read::tables::columns;
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// So many rows before and behind are near.
const NEAR: usize = 50;
/// As many goods a line may have; a larger number is a size or a code.
const MOST: u32 = 24;
/// More without a unit beside it may be a size.
const FEW: u32 = 8;
/// So many hinges a leaf or a pair has.
const HINGES: [u32; 2] = [3, 6];

/// The whole number that is all a cell says.
fn whole(cell: &Cell) -> Option<u32> {
    let text = cell.text.trim();
    let text = text.strip_suffix('.').unwrap_or(text);
    let figures = !text.is_empty() && !text.starts_with('0') && text.bytes().all(|sign| sign.is_ascii_digit());
    if figures && text.len() <= 3 { text.parse().ok() } else { None }
}

fn counts(cell: &Cell) -> bool {
    whole(cell).is_some_and(|many| many <= MOST)
}

/// Whether the first cells number the rows: each one more than that before it, or one again, and in some it rises.
fn numbers_rows(near: &[&Row]) -> bool {
    let numbers: Option<Vec<u32>> = near.iter().map(|row| whole(row.cells.first()?)).collect();
    let Some(numbers) = numbers.filter(|numbers| numbers.len() >= 3) else { return false };
    let rises = |pair: &[u32]| pair[1] == pair[0] + 1;
    numbers.windows(2).all(|pair| rises(pair) || pair[1] == 1)
        && numbers.windows(2).filter(|pair| rises(pair)).count() >= 2
}

/// The code of what is said here.
const UNSURE: &str = "counts-not-sure";

/// Asks whether the figures beside goods count them.
fn ask(row: &Row, at: usize, place: Place) -> Finding {
    let figure = row.cells[at].text.trim();
    let says = format!(
        "\"{figure}\" beside goods without a heading may count them, be a size or the number of a note, as may the figures of the rows like it"
    );
    let finding = Finding {
        priced_as: "as if no count were written".into(),
        ..Finding::new(UNSURE, Kind::Question, Weight::Goods, says)
    };
    finding.at(place, row.joined()).help("write QTY over the figures that count")
}

impl Walker<'_> {
    /// A row of goods with the cell that counts them first, and without the running number of the row.
    pub(crate) fn ordered_goods(&self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Row> {
        let lane = &self.lanes[lane];
        if lane.table.is_some() || lane.set.is_none() || row.cells.len() < 3 {
            return None;
        }
        let places: Vec<usize> = (0..row.cells.len()).filter(|at| counts(&row.cells[*at])).collect();
        if places.iter().all(|at| *at == 0)
            || whole(&row.cells[0]).is_none() && starts_with_quantity(&plain(&row.cells[0].text))
        {
            return None;
        }
        let at = self.sheet.index_of(row.number);
        let alike = |other: &&Row| {
            other.cells.len() == row.cells.len()
                && other.cells.iter().zip(&row.cells).all(|(one, own)| one.column == own.column)
        };
        let rows = self.sheet.rows.iter().skip(at.saturating_sub(NEAR)).take(2 * NEAR);
        let near: Vec<&Row> = rows.filter(alike).collect();
        // A size or the number of a note may be as small: a column of counts has a one, or three hinges, and few above eight unless
        // units stand beside or the goods come by the dozen.
        let unit =
            |row: &Row, at: usize| row.cells.get(at + 1).is_some_and(|next| columns::is_unit(&plain(&next.text)));
        let names =
            |row: &Row, list: &str| row.cells.iter().any(|cell| words::list(list).find(&plain(&cell.text)).is_some());
        let all_count = |at: &usize| near.iter().all(|row| counts(&row.cells[*at]));
        let counted = |at: &usize| {
            let few = |row: &&Row| {
                unit(row, *at)
                    || whole(&row.cells[*at]).is_some_and(|many| many <= FEW)
                    || names(row, "goods-by-the-dozen")
            };
            let hung = |many: u32| HINGES.contains(&many);
            let sure = |row: &&Row| {
                whole(&row.cells[*at]).is_some_and(|many| many == 1 || hung(many) && names(row, "counted-by-rule"))
            };
            all_count(at) && near.iter().all(few) && near.iter().any(sure)
        };
        let numbered = numbers_rows(&near);
        let first_counts = whole(&row.cells[0]).is_some();
        // `1 | PR | FLUSH BOLT` begins with its count.
        if first_counts && unit(row, 0) {
            return None;
        }
        if near.len() < 2 || first_counts && !numbered || !names(row, "hardware") {
            return None;
        }
        let behind: Vec<usize> = places.into_iter().filter(|at| *at > 0).collect();
        let [place] = behind.iter().copied().filter(|at| counted(at)).collect::<Vec<_>>()[..] else {
            let asked = |known: &Finding| {
                let here = |place: &Place| place.file == self.sheet.file && place.sheet == self.sheet.name;
                known.code == UNSURE && known.place.as_ref().is_some_and(here)
            };
            if let [at] = behind[..]
                && all_count(&at)
                && !out.schedule.findings.iter().any(asked)
            {
                out.schedule.findings.push(ask(row, at, self.sheet.place(row.number)));
            }
            return None;
        };
        let mut cells = row.cells.clone();
        let count = cells.remove(place);
        if first_counts {
            cells.remove(0);
        }
        cells.insert(0, count);
        Some(Row { number: row.number, cells, hidden: row.hidden })
    }
}
