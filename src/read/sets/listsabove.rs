//! Lists of doors that stand above the heading of their set, `Doors: 101, 102` and in the next row `HARDWARE SET 1`: where the
//! lists of a sheet stand right above headings, the first of them above the first, each is of the heading below it.

use std::collections::BTreeSet;

use crate::place::Place;

use super::setheading;
use crate::read::openings::doorlist::{self, Entry};
use crate::read::repairs::repeats;
use crate::read::schedule::Role;
use crate::read::sheet::{Row, Sheet};
use crate::read::walk::{Gathered, join_single};
use crate::read::words::{self, plain};

/// The lists of a sheet that stand above their headings.
#[derive(Debug, Default)]
pub(crate) struct Above {
    rows: BTreeSet<u32>,
    /// Only the first heading has one: its doors are believed where nothing else tells of them, and asked.
    alone: bool,
    /// The doors that wait for their heading.
    waiting: Option<(Vec<Entry>, Place)>,
    /// Whether a row of the sheet is the heading of a set, once it was looked for.
    headed: Option<bool>,
}

impl Above {
    /// Looks at a sheet.
    pub(crate) fn of(sheet: &Sheet) -> Self {
        let (rows, alone) = find(sheet).unwrap_or_default();
        Self { rows, alone, ..Self::default() }
    }

    /// Takes a row that lists the doors of the heading below it.
    pub(crate) fn list(&mut self, row: &Row, place: Place) -> Option<Role> {
        let entries = self.rows.contains(&row.number).then(|| listed(row)).flatten()?;
        self.waiting = Some((entries, place));
        Some(Role::SetOpenings)
    }

    /// Gives the doors that wait for a heading to its set.
    pub(crate) fn serve(&mut self, set: usize, out: &mut Gathered) {
        let Some((entries, place)) = self.waiting.take() else { return };
        let served = if self.alone { &mut out.place_labels } else { &mut out.served };
        served.push((set, entries, place));
    }

    /// Whether a row of the sheet is the heading of a set; all are looked at but once.
    pub(crate) fn is_headed(&mut self, sheet: &Sheet) -> bool {
        let heads = |row: &Row| setheading::heading(&row.joined()).is_some();
        *self.headed.get_or_insert_with(|| sheet.rows.iter().any(heads))
    }
}

fn listed(row: &Row) -> Option<Vec<Entry>> {
    if row.cells.len() > 3 {
        return None;
    }
    let text = join_single(&row.cells);
    // `Door 101 changed to pair` is no list.
    let folded = plain(&text);
    let behind = &folded[folded.find(|sign: char| sign.is_ascii_digit())?..];
    let short = |word: &str| {
        word.len() <= 3
            || word.bytes().any(|sign| sign.is_ascii_digit())
            || ["pair", "single", "joins-numbers"].iter().any(|list| words::list(list).is(word))
    };
    let alone = behind.split(|sign: char| !sign.is_ascii_alphanumeric()).all(short);
    alone.then(|| setheading::served(&text)).flatten().map(|(entries, _)| entries)
}

/// The rows of such lists. The first heading has its list right above it, and so have all lists of the sheet. Where others stand
/// elsewhere, the first alone is of the heading below it, unless that has another: there is no set above it.
fn find(sheet: &Sheet) -> Option<(BTreeSet<u32>, bool)> {
    let heads = |row: &&Row| {
        row.cells.len() <= 4
            && row.cells.first().is_some_and(|cell| setheading::may_begin(&cell.text))
            && setheading::heading(&join_single(&row.cells)).is_some()
    };
    let first = sheet.rows.iter().position(|row| heads(&row))?;
    // A page may end between a list and its heading.
    let above = |at: usize| {
        let paged = (0..at).rev().take_while(|above| repeats::is_of_page(sheet, *above)).count();
        let list = sheet.rows.get(at.checked_sub(paged + 1)?)?;
        let near = paged > 0 || list.number + 1 == sheet.rows.get(at)?.number;
        (near && listed(list).is_some()).then_some(list.number)
    };
    let own = above(first)?;
    let behind = sheet.rows.get(first..)?;
    let lists = |row: &&Row| !heads(row) && listed(row).is_some();
    let rest: BTreeSet<u32> = behind.iter().filter(lists).map(|row| row.number).collect();
    let mut all: BTreeSet<u32> =
        (first + 1..sheet.rows.len()).filter(|at| heads(&&sheet.rows[*at])).filter_map(above).collect();
    if all == rest && !all.is_empty() {
        all.insert(own);
        return Some((all, false));
    }
    // One list above several sets may be of all of them.
    if rest.is_empty() && behind.iter().filter(heads).count() > 1 {
        return None;
    }
    // Doors that stand elsewhere too are not of the first set alone: `Openings 101 to 120` above all of them.
    let spelled = |entries: Vec<Entry>| doorlist::spell_out(&entries, &doorlist::Known::default());
    let first_list: BTreeSet<String> =
        sheet.rows.iter().find(|row| row.number == own).and_then(listed).map(spelled)?.into_iter().collect();
    let headings = behind.iter().filter(heads).filter_map(|row| setheading::heading(&join_single(&row.cells)));
    let named = headings.map(|found| found.doors).chain(behind.iter().filter(lists).filter_map(listed));
    if named.flat_map(spelled).any(|door| first_list.contains(&door)) {
        return None;
    }
    let until = behind.iter().skip(1).find(heads).map_or(u32::MAX, |row| row.number);
    rest.iter().all(|row| *row >= until).then(|| (BTreeSet::from([own]), true))
}
