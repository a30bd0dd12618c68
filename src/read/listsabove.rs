//! Lists of doors that stand above the heading of their set, `Doors: 101, 102` and in the next row `HARDWARE SET 1`: where the
//! lists of a sheet stand right above headings, the first of them above the first, each is of the heading below it.

use std::collections::BTreeSet;

use crate::place::Place;

use super::doorlist::Entry;
use super::schedule::Role;
use super::setheading;
use super::sheet::{Row, Sheet};
use super::walk::{Served, join_single};
use super::words::{self, plain};

/// The lists of a sheet that stand above their headings.
#[derive(Debug, Default)]
pub(super) struct Above {
    rows: BTreeSet<u32>,
    /// The doors that wait for their heading.
    waiting: Option<(Vec<Entry>, Place)>,
}

impl Above {
    /// Looks at a sheet.
    pub(super) fn of(sheet: &Sheet) -> Self {
        Self { rows: find(sheet).unwrap_or_default(), waiting: None }
    }

    /// Takes a row that lists the doors of the heading below it.
    pub(super) fn list(&mut self, row: &Row, place: Place) -> Option<Role> {
        let entries = self.rows.contains(&row.number).then(|| listed(row)).flatten()?;
        self.waiting = Some((entries, place));
        Some(Role::SetOpenings)
    }

    /// The doors that wait for a heading, which is that of a set.
    pub(super) fn take(&mut self, set: usize) -> Option<Served> {
        self.waiting.take().map(|(entries, place)| (set, entries, place))
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
fn find(sheet: &Sheet) -> Option<BTreeSet<u32>> {
    let heads = |row: &&Row| {
        row.cells.len() <= 4
            && row.cells.first().is_some_and(|cell| setheading::may_begin(&cell.text))
            && setheading::heading(&join_single(&row.cells)).is_some()
    };
    let first = sheet.rows.iter().position(|row| heads(&row))?;
    let above = |at: usize| {
        let list = sheet.rows.get(at.checked_sub(1)?)?;
        (list.number + 1 == sheet.rows.get(at)?.number && listed(list).is_some()).then_some(list.number)
    };
    let own = above(first)?;
    let behind = sheet.rows.get(first..)?;
    let lists = |row: &&Row| !heads(row) && listed(row).is_some();
    let rest: BTreeSet<u32> = behind.iter().filter(lists).map(|row| row.number).collect();
    let mut all: BTreeSet<u32> =
        (first + 1..sheet.rows.len()).filter(|at| heads(&&sheet.rows[*at])).filter_map(above).collect();
    if all == rest && (!all.is_empty() || behind.iter().filter(heads).count() == 1) {
        all.insert(own);
        return Some(all);
    }
    // One list above several sets may be of all of them.
    if rest.is_empty() && behind.iter().filter(heads).count() > 1 {
        return None;
    }
    let until = behind.iter().skip(1).find(heads).map_or(u32::MAX, |row| row.number);
    let named = setheading::heading(&join_single(&behind.first()?.cells)).is_some_and(|found| !found.doors.is_empty());
    (!named && rest.iter().all(|row| *row >= until)).then(|| BTreeSet::from([own]))
}
