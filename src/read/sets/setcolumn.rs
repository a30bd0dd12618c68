//! Door schedules of which no heading is known to stand above the sets, while one column holds the ids of sets that are
//! read elsewhere: by its cells it is the column of sets.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::setheading;
use crate::read::memo::ByText;
use crate::read::openings::doorlist;
use crate::read::openings::doors::Reader;
use crate::read::schedule::loose_id;
use crate::read::tables::columns::{TAKEN, UNKNOWN};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Column;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// An id is no longer than this.
const LONGEST: usize = 14;

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// The cells of columns without a known heading.
#[derive(Default)]
pub(crate) struct Unnamed {
    columns: BTreeMap<Key, Vec<Said>>,
}

/// What such a cell says of a door.
struct Said {
    opening: usize,
    heading: String,
    text: String,
    place: Place,
    /// Another column is called that of the sets.
    beside_sets: bool,
}

impl Unnamed {
    /// Keeps what a door's row says in columns whose headings are not known; where one is called that of the sets, in the
    /// columns of types too, with which it may be exchanged.
    pub fn keep(&mut self, opening: usize, reader: &Reader<'_>) {
        let beside_sets = reader.table.has(M::Set);
        let free = |column: &&Column| match column.meaning {
            M::Other => column.why == UNKNOWN || column.why.ends_with(TAKEN),
            M::SecondSet => true,
            M::DoorType | M::FrameType => beside_sets,
            // `Hardware Type` may name sets, and may say that a lock is a mortise lock.
            M::Description => !beside_sets && words::list("set-type-heading").find(&plain(&column.heading)).is_some(),
            _ => false,
        };
        for column in reader.table.columns.iter().filter(free) {
            let Some(cell) = reader.row.cell(column.index).filter(|cell| !cell.struck) else { continue };
            let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), column.index);
            self.columns.entry(key).or_default().push(Said {
                opening,
                heading: column.heading.clone(),
                text: cell.text.clone(),
                place: reader.sheet.at(reader.row.number, column.index),
                beside_sets,
            });
        }
    }
}

/// How well a column fits the sets.
struct Fit {
    key: Key,
    /// Doors that headings of sets name, and name under the set that the column says.
    agree: usize,
    disagree: usize,
}

/// Gives doors the sets that such a column names.
pub(crate) fn settle(out: &mut Gathered) {
    let columns = std::mem::take(&mut out.unnamed).columns;
    if columns.is_empty() || out.schedule.sets.is_empty() {
        return;
    }
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let named = named_by_headings(out);
    let mut best: BTreeMap<(Arc<str>, Arc<str>), Vec<Fit>> = BTreeMap::new();
    for (key, said) in &columns {
        if let Some(fit) = fits(key, said, &defined, &named, out) {
            best.entry((key.0.clone(), key.1.clone())).or_default().push(fit);
        }
    }
    for mut fits in best.into_values() {
        fits.sort_by_key(|fit| std::cmp::Reverse(fit.agree));
        // Where nothing speaks for one of several columns, none is taken: the doors are asked about.
        if let [first, second, ..] = &fits[..]
            && first.agree == second.agree
        {
            continue;
        }
        let fit = &fits[0];
        if let Some(said) = columns.get(&fit.key) {
            take(fit, said, out);
        }
    }
}

/// The sets under whose headings doors are named.
fn named_by_headings(out: &Gathered) -> ByText<Vec<String>> {
    let known: Vec<String> = out.schedule.openings.iter().map(|opening| opening.number.clone()).collect();
    let known = doorlist::Known::of(&known);
    let mut named: ByText<Vec<String>> = ByText::default();
    for (set, entries, _) in &out.served {
        for door in doorlist::spell_out(entries, &known) {
            named.entry(plain(&door)).or_default().push(loose_id(&out.schedule.sets[*set].id));
        }
    }
    named
}

fn fits(
    key: &Key,
    said: &[Said],
    defined: &BTreeSet<String>,
    named: &ByText<Vec<String>>,
    out: &Gathered,
) -> Option<Fit> {
    let mut ids: BTreeSet<String> = BTreeSet::new();
    let (mut agree, mut disagree, mut cells, mut known) = (0, 0, 0, 0);
    for one in said.iter().filter(|one| !words::list("no-set").is(&plain(&one.text))) {
        cells += 1;
        let Some(id) = setheading::id_of_cell(&one.text).filter(|id| id.len() <= LONGEST) else { continue };
        let id = loose_id(&id);
        if !defined.contains(&id) {
            continue;
        }
        known += 1;
        let number = &out.schedule.openings[one.opening].number;
        if let Some(sets) = named.get(&plain(number)) {
            let is_same = sets.contains(&id);
            agree += usize::from(is_same);
            disagree += usize::from(!is_same);
        }
        ids.insert(id);
    }
    let mostly = cells >= 3 && known * 10 >= cells * 8;
    if said.iter().any(|one| one.beside_sets) {
        // The column that is called that of the sets stands unless no set that it names is defined, and each of this one is.
        let own = |one: &Said| out.schedule.openings[one.opening].set.as_deref().map(loose_id);
        let stands = said.iter().any(|one| own(one).is_none_or(|id| defined.contains(&id)));
        let whole = mostly && known == cells && ids.len() >= 2 && disagree == 0;
        return (whole && !stands).then(|| Fit { key: key.clone(), agree, disagree });
    }
    // Small figures may count leaves or name details; what headings say of the same doors, or many ids, tell sets.
    let lettered = ids.iter().any(|id| id.bytes().any(|byte| byte.is_ascii_alphabetic()));
    let distinct = ids.len() >= if lettered { 2 } else { 3 };
    let told = if agree + disagree == 0 { distinct } else { ids.len() >= 2 && agree > 2 * disagree };
    (mostly && told).then(|| Fit { key: key.clone(), agree, disagree })
}

fn take(fit: &Fit, said: &[Said], out: &mut Gathered) {
    let Some(first) = said.first() else { return };
    let mut openings = Vec::new();
    for one in said {
        let Some(id) = setheading::id_of_cell(&one.text) else { continue };
        let opening = &mut out.schedule.openings[one.opening];
        opening.set = Some(id);
        openings.push(opening.number.clone());
    }
    out.set_column = true;
    let heading = if first.heading.is_empty() { "without a heading".into() } else { format!("\"{}\"", first.heading) };
    let proof = match (fit.agree, fit.disagree) {
        (0, 0) => "its cells name sets that are read".to_string(),
        (agree, 0) => {
            format!("its cells name sets that are read, and the headings of sets say the same of {agree} doors")
        }
        (agree, other) => format!(
            "its cells name sets that are read; the headings of sets say the same of {agree} doors and otherwise of {other}"
        ),
    };
    let (kind, against) = match first.beside_sets {
        true => (Kind::Question, ", while no set of the column that is called so is defined anywhere"),
        false => (Kind::Assumption, ""),
    };
    let says = format!("the column {heading} was read as the sets of the doors: {proof}{against}");
    out.schedule.findings.push(
        Finding { openings, ..Finding::new("set-column-by-ids", kind, Weight::Goods, says) }
            .at(first.place.clone(), first.text.clone())
            .help("check that it names sets; if not, say in the job file what it holds"),
    );
}
