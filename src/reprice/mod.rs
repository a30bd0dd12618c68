//! Compares two quotes: what was added, removed, changed, and what each change costs, tying to the cent.
//!
//! In: the records of two quotes (`Snapshot`). Out: `Changes`. Which opening and set is which is found in `pairs`, which
//! piece of a line in `split`; what differs in `compare` (openings), `compare_sets`, `compare_lines` and `compare_rest`
//! (charges, findings); `beside` lays both out for the eye, `request` makes a change request of it. A schedule that holds
//! only what changed is laid over the old one (`as_read`, `merge`); a list of changes is done to it (`amend`). `history` is the chain of addenda.

pub mod amend;
pub mod answers;
pub mod as_read;
pub mod beside;
mod causes;
pub mod changes;
mod compare;
mod compare_lines;
mod compare_rest;
mod compare_sets;
mod flat;
pub mod history;
mod likeness;
pub mod merge;
mod pages;
mod pairs;
pub mod request;
pub mod snapshot;
mod split;
pub mod told;

use std::collections::BTreeMap;

pub use pages::PAGES;

use changes::{Bridge, Change, Changes, Side as Named};
use compare::Compare;
use flat::Side;
use snapshot::Snapshot;

use crate::money::Money;

/// Name and version of the form of changes.
pub const SCHEMA: &str = "pintle.changes/1";

/// What the caller knows of a comparison besides the two quotes.
#[derive(Debug, Clone, Default)]
pub struct Context {
    /// The new schedule was laid over the old one, so what was found while reading the old files still stands.
    pub is_partial: bool,
    /// Questions asked again, and the answer of before: what they are about has changed.
    pub again: BTreeMap<String, String>,
}

/// The changes from one quote to another.
///
/// # Errors
/// When the two are of different jobs or nothing in them pairs; says what to do.
pub fn reprice(old: &Snapshot, new: &Snapshot, context: &Context) -> Result<Changes, String> {
    let (was, is) = (&old.job.number, &new.job.number);
    if !was.is_empty() && !is.is_empty() && was != is {
        return Err(format!(
            "the record is of job {was} \"{}\", the new schedule of job {is} \"{}\"\n  help: give the record of the same job",
            old.job.name, new.job.name
        ));
    }
    if old.catalog.currency != new.catalog.currency && !old.catalog.currency.is_empty() {
        return Err(format!(
            "the record is in {}, the catalog in {}\n  help: use a catalog in the currency of the quote",
            old.catalog.currency, new.catalog.currency
        ));
    }
    let mut compare = Compare::new(Side::new(old), Side::new(new));
    let has_something = |side: &Snapshot| !side.openings.is_empty() || !side.sets.is_empty();
    if !compare.pairs_anything() && has_something(old) && has_something(new) {
        return Err(
            "no door and no set of the new schedule is in the record\n  help: check that the record is of this job; \
                    `pintle quote` prices the new schedule by itself"
                .to_owned(),
        );
    }
    compare.run(context.is_partial);
    let (openings, sets) = (compare.openings_beside(), compare.sets_beside());
    let questions = compare.questions(&context.again);
    let mut changes = joined(compare.changes);
    changes.sort_by_key(|change| change.what);
    let totals = bridge(old, new, &changes);
    let mut changes = Changes {
        schema: SCHEMA,
        from: named(old),
        to: named(new),
        changes,
        totals,
        steps: Vec::new(),
        openings,
        sets,
        questions,
        request: None,
    };
    changes.tell_steps(old, new);
    Ok(changes)
}

/// A line that stands in pieces, one for each good it comes to, changed its words once.
fn joined(changes: Vec<Change>) -> Vec<Change> {
    type Key = (changes::Happened, String, Option<String>, Option<String>, Option<String>, &'static str);
    let mut at: BTreeMap<Key, usize> = BTreeMap::new();
    let mut all: Vec<Change> = Vec::new();
    for change in changes {
        let is_wording =
            change.what == changes::What::Line && change.field.as_deref().is_some_and(|field| field != "count");
        if !is_wording {
            all.push(change);
            continue;
        }
        let key = (
            change.kind,
            change.id.clone(),
            change.field.clone(),
            change.from.clone(),
            change.to.clone(),
            change.cause,
        );
        match at.get(&key) {
            Some(known) => all[*known].take(change),
            None => {
                at.insert(key, all.len());
                all.push(change);
            }
        }
    }
    all
}

fn named(side: &Snapshot) -> Named {
    Named {
        date: side.date.clone(),
        job: side.job.name.clone(),
        catalog: format!("{} of {}", side.catalog.name, side.catalog.effective),
        addenda: side.job.addenda.clone(),
    }
}

fn bridge(old: &Snapshot, new: &Snapshot, changes: &[Change]) -> Bridge {
    let mut sums: BTreeMap<&str, Money> = BTreeMap::new();
    for change in changes {
        *sums.entry(change.cause).or_default() += change.delta;
    }
    let sum = |cause: &&str| sums.get(*cause).copied().filter(|sum| !sum.is_zero());
    let by_cause = causes::ALL.iter().filter_map(|cause| Some(((*cause).to_owned(), sum(cause)?))).collect();
    let (before, after) = (old.totals.total, new.totals.total);
    Bridge { before, after, delta: after - before, by_cause, by_addendum: Vec::new() }
}
