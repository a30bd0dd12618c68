//! `NO | SIZE | DOOR | FRAME`: which of two columns that may number doors does so, by the cells of both.

use std::collections::BTreeSet;

use super::columns::share;
use super::headings::{self, Heard, Meaning as M};
use super::table::HeardColumn;
use crate::read::goods::itemtext::is_sentence;
use crate::read::openings::doorlist;
use crate::read::repairs::suspect::Sample;
use crate::read::schedule::Opening;
use crate::read::sheet::{Cell, Row};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};
use crate::trade::room;

/// Where `DOOR` stands over types or materials and the numbers of the doors under `NO` before it, says so of both. The
/// cells are asked for only where both columns are there.
pub(crate) fn before_doors<'s>(heard: &mut [HeardColumn], sample: impl Fn() -> Sample<'s>) {
    let at = |heard: &[HeardColumn], of: Heard| {
        heard.iter().position(|(_, _, own)| own.as_ref().is_some_and(|(own, _)| *own == of))
    };
    let door = at(heard, Heard::One(M::DoorNumber));
    let (Some(number), Some(door)) = (at(heard, Heard::NumberOrQuantity), door) else { return };
    let one_more = heard[door + 1..].iter().any(|(_, _, own)| matches!(own, Some((Heard::One(M::DoorNumber), _))));
    if number > door || one_more || !words::list("doors").is(&headings::key(&heard[door].1)) {
        return;
    }
    let sample = sample();
    let cells = |at: usize| sample.get(&heard[at].0).map_or(&[][..], Vec::as_slice);
    if !are_numbers(cells(number), cells(door)) {
        return;
    }
    let of = if share(sample.get(&heard[door].0), M::DoorMaterial).is_some_and(|share| share > 70) {
        Heard::Material
    } else {
        Heard::Type
    };
    let (numbers, types) = (heard[number].1.clone(), heard[door].1.clone());
    heard[number].2 =
        Some((Heard::One(M::DoorNumber), format!("heading \"{numbers}\", over the numbers of the doors")));
    heard[door].2 = Some((of, format!("heading \"{types}\", beside the numbers under \"{numbers}\"")));
}

/// Whether the first cells are the numbers of the doors, and the others cannot be. `1, 2, 3` may count the rows, and do
/// where what stands under `DOOR` differs in most.
fn are_numbers(numbers: &[&Cell], doors: &[&Cell]) -> bool {
    let distinct = |cells: &[&Cell]| cells.iter().map(|cell| plain(&cell.text)).collect::<BTreeSet<_>>().len();
    let figure_first = |cell: &&&Cell| cell.text.trim_start().starts_with(|sign: char| sign.is_ascii_digit());
    let long = |cell: &&Cell| cell.text.bytes().filter(u8::is_ascii_alphanumeric).count() >= 3;
    let counts_rows = numbers.iter().zip(1..).all(|(cell, at)| cell.text.trim() == at.to_string());
    let figures = |cell: &Cell| cell.text.bytes().filter(u8::is_ascii_digit).count();
    // A door on two rows, `A101, A102, A102`, repeats right below itself: types come again apart. `A, B, C, A` are letters of
    // types; of names with figures, `D1, D2, D1`, half are as others.
    let mut runs: Vec<String> = doors.iter().map(|cell| plain(&cell.text)).collect();
    runs.dedup();
    let kinds = runs.iter().collect::<BTreeSet<_>>().len();
    let recur = kinds * 2 <= runs.len() + 1 && kinds < runs.len();
    let are_types = || {
        let material = || share(Some(&doors.to_vec()), M::DoorMaterial).is_some_and(|share| share > 70);
        let worded = doors.iter().all(|cell| figures(cell) == 0);
        let apart = kinds < runs.len();
        recur
            || worded && (apart || distinct(doors) < doors.len() && (distinct(doors) * 2 <= doors.len() || material()))
    };
    numbers.len() >= 3
        && distinct(numbers) == numbers.len()
        && share(Some(&numbers.to_vec()), M::DoorNumber) == Some(100)
        && !doors.is_empty()
        && doors.iter().filter(figure_first).count() * 10 < doors.len() * 3
        && (recur && kinds * 2 <= runs.len()
            || doors.iter().filter(|cell| figures(cell) >= 3).count() * 2 < doors.len())
        && (numbers.iter().all(long) || recur || counts_rows && are_types())
}

impl Walker<'_> {
    /// `1 | VERIFY ALL DIMENSIONS IN FIELD.` below doors whose numbers are of another form: a note with its number in a cell.
    pub(crate) fn is_numbered_note(&self, number: &str, row: &Row, out: &Gathered) -> bool {
        let [_, said] = &row.cells[..] else { return false };
        let small = number.len() <= 2 && number.bytes().all(|byte| byte.is_ascii_digit()) && !number.is_empty();
        let said = plain(&said.text);
        let asks = is_sentence(&said) || words::list("note-begins").begins(&said).is_some();
        // `All stair doors to have 90 minute labels.`: a sentence may name rooms.
        let of_room = || !said.ends_with('.') && !room::uses(&said).is_empty();
        let worded = small && said.split(' ').count() > 2 && asks && !of_room();
        // Notes count up from 1.
        let above = self.sheet.index_of(row.number).checked_sub(1).and_then(|at| self.sheet.rows.get(at));
        let before = above.and_then(|above| above.cells.first()?.text.trim().parse::<u32>().ok());
        let runs = number.parse::<u32>().is_ok_and(|own| own == 1 || before == own.checked_sub(1));
        let other = |door: &Opening| doorlist::shape(&door.number) != doorlist::shape(number);
        worded && runs && out.schedule.openings.last().is_some_and(other)
    }
}
