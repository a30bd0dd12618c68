//! A second column of sets in a door schedule, such as those of security hardware beside those of the doors. Where its cells
//! name other sets that are defined, a door has both; where it repeats the ids of the first column, that is asked.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::columns::UNKNOWN;
use super::doors::Reader;
use super::headings::{self, Meaning as M};
use super::schedule::{Schedule, loose_id};
use super::setcells;
use super::setheading;
use super::walk::Gathered;
use super::words::{self, plain};

/// An id is no longer than this.
const LONGEST: usize = 14;

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// The cells of further columns of sets.
#[derive(Default)]
pub(crate) struct SecondSets {
    columns: BTreeMap<Key, Column>,
}

/// One such column.
struct Column {
    heading: String,
    /// Its heading says that it holds sets.
    named: bool,
    /// Its heading, or that of the first, says that one is in place of the other.
    instead: bool,
    /// Some of its cells hold no ids.
    others: bool,
    cells: Vec<Said>,
}

/// What such a cell says of a door.
struct Said {
    opening: usize,
    text: String,
    place: Place,
}

impl SecondSets {
    /// Keeps what a door's row says in columns of sets after the first, and beside it in columns that are not known.
    pub fn keep(&mut self, opening: usize, reader: &Reader<'_>) {
        for index in &reader.table.further_sets {
            let Some(column) = reader.table.columns.iter().find(|column| column.index == *index) else { continue };
            let named = column.meaning == M::SecondSet;
            let Some(cell) = reader.row.cell(column.index).filter(|cell| !cell.struck) else { continue };
            let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), column.index);
            let new = || Column {
                heading: column.heading.replace('\n', " "),
                named: named && says_sets(&column.heading),
                instead: [Some(column), reader.table.column(M::Set)].into_iter().flatten().any(is_instead),
                others: false,
                cells: Vec::new(),
            };
            let kept = self.columns.entry(key).or_insert_with(new);
            // What is no id tells that a column without a known heading names no sets.
            if !named && !may_be_id(&cell.text) {
                kept.others = true;
                continue;
            }
            let place = reader.sheet.at(reader.row.number, column.index);
            kept.cells.push(Said { opening, text: cell.text.clone(), place });
        }
    }
}

/// Whether a heading speaks of hardware or of sets: `KEY GROUP` is one of groups.
fn says_sets(heading: &str) -> bool {
    let key = headings::key(heading);
    let ours = [words::list("words-for-hardware"), words::list("of-sets")];
    key.split(' ').any(|word| ours.iter().any(|list| list.is(word)))
}

/// The columns of a table that may name further sets of its doors: called so, or under a heading that is not known.
pub(super) fn columns(columns: &[super::table::Column]) -> Vec<usize> {
    if !columns.iter().any(|column| column.meaning == M::Set) {
        return Vec::new();
    }
    let may = |column: &&super::table::Column| {
        column.meaning == M::SecondSet || column.meaning == M::Other && column.why == UNKNOWN
    };
    columns.iter().filter(may).map(|column| column.index).collect()
}

/// Whether a cell may be an id with a letter, or a dash, by its signs alone.
fn may_be_id(text: &str) -> bool {
    text.len() <= LONGEST
        && (text.bytes().any(|byte| byte.is_ascii_alphabetic()) || !text.bytes().any(|byte| byte.is_ascii_digit()))
}

/// `REVISED HW SET`, `ALT. SET`, `SPEC SET`.
fn is_instead(column: &super::table::Column) -> bool {
    let said = words::list("set-in-place-of-another");
    headings::key(&column.heading).split(' ').any(|word| said.is(word))
}

/// The ids that a cell names, if all of them are defined.
fn ids(text: &str, defined: &BTreeMap<String, usize>) -> Option<Vec<usize>> {
    let whole = setheading::id_of_cell(text).and_then(|id| defined.get(&loose_id(&id)).copied());
    whole.map(|at| vec![at]).or_else(|| setcells::named_sets(text, defined))
}

/// Gives doors the sets of a second column too, or asks.
pub(super) fn settle(out: &mut Gathered) {
    let columns = std::mem::take(&mut out.second_sets).columns;
    if columns.is_empty() || out.schedule.sets.is_empty() {
        return;
    }
    let defined = setcells::defined(&out.schedule);
    for column in columns.into_values() {
        settle_one(&column, &defined, out);
    }
}

fn settle_one(column: &Column, defined: &BTreeMap<String, usize>, out: &mut Gathered) {
    let own = |said: &Said| out.schedule.openings.get(said.opening).and_then(|door| door.set.clone());
    // The column may have been taken for that of the sets meanwhile.
    let same = |said: &Said| own(said).is_some_and(|own| loose_id(&own) == loose_id(&said.text));
    let none = |text: &str| ["no-set", "falsy", "not-used"].iter().any(|used| words::list(used).is(&plain(text)));
    let filled = column.cells.iter().filter(|said| !none(&said.text) && !same(said));
    let (known, open): (Vec<&Said>, Vec<&Said>) = filled.partition(|said| ids(&said.text, defined).is_some());
    let named = |said: &[&Said]| -> BTreeSet<usize> {
        said.iter().filter_map(|said| ids(&said.text, defined)).flatten().collect()
    };
    let first = column.cells.iter().filter_map(|said| ids(&own(said)?, defined)).flatten().collect();
    let apart = named(&known).is_disjoint(&first);
    let lettered = |said: &&Said| said.text.bytes().any(|byte| byte.is_ascii_alphabetic());
    if known.is_empty()
        || !(column.named
            || !column.others && open.is_empty() && known.len() > 1 && apart && known.iter().all(lettered))
    {
        return;
    }
    if !column.named || column.instead || !apart {
        let why = match (column.instead, apart) {
            (true, _) => "sets that may be in place of the others",
            (false, true) => "sets that are defined",
            (false, false) => "the same sets as the column before it",
        };
        let says = format!("the column \"{}\" names {why}, and was not used", column.heading);
        out.schedule.findings.push(asked(&known, says, &out.schedule));
        return;
    }
    let (both, lost): (Vec<&Said>, Vec<&Said>) =
        known.into_iter().partition(|said| own(said).is_none_or(|own| ids(&own, defined).is_some()));
    join(column, &both, defined, out);
    for (said, why) in [(open, "is defined nowhere"), (lost, "stands beside one that is defined nowhere")] {
        let Some(one) = said.first() else { continue };
        let says = format!("\"{}\" in the column \"{}\" {why}, and was not counted", one.text, column.heading);
        out.schedule.findings.push(asked(&said, says, &out.schedule));
    }
}

/// Gives each door the lines of its sets of both columns.
fn join(column: &Column, said: &[&Said], defined: &BTreeMap<String, usize>, out: &mut Gathered) {
    let mut together: BTreeMap<String, (Vec<usize>, Vec<&Said>)> = BTreeMap::new();
    for said in said {
        let Some(door) = out.schedule.openings.get_mut(said.opening) else { continue };
        let (text, mut all) = match &door.set {
            Some(own) => (format!("{own} + {}", said.text.trim()), ids(own, defined).unwrap_or_default()),
            None => (said.text.trim().to_string(), Vec::new()),
        };
        all.extend(ids(&said.text, defined).unwrap_or_default());
        door.set = Some(text.clone());
        // A single set of either column is there already.
        if all.len() > 1 {
            together.entry(text).or_insert_with(|| (all, Vec::new())).1.push(said);
        }
    }
    for (text, (sets, said)) in together {
        let ids = setcells::join(&text, &sets, out);
        let openings: Vec<String> =
            said.iter().filter_map(|said| Some(out.schedule.openings.get(said.opening)?.number.clone())).collect();
        let says = format!(
            "the columns of sets name the sets {} for a door, the last in the column \"{}\"; the lines of both count for it",
            setcells::in_words(&ids),
            column.heading
        );
        let Some(first) = said.first() else { continue };
        out.schedule.findings.push(
            Finding {
                openings,
                set: ids.first().cloned(),
                ..Finding::new("several-sets", Kind::Assumption, Weight::Goods, says)
            }
            .at(first.place.clone(), text)
            .help("check that the door has both sets and not one of them"),
        );
    }
}

fn asked(said: &[&Said], says: String, schedule: &Schedule) -> Finding {
    let door = |said: &&Said| Some(schedule.openings.get(said.opening)?.number.clone());
    let finding = Finding {
        openings: said.iter().filter_map(door).collect(),
        priced_as: "the sets of the first column alone".into(),
        ..Finding::new("second-set", Kind::Question, Weight::Goods, says)
    };
    let help = "ask which sets these doors have; where a door has both, write both into one cell: 1 + S2";
    match said.first() {
        Some(first) => finding.at(first.place.clone(), first.text.clone()).help(help),
        None => finding.help(help),
    }
}
