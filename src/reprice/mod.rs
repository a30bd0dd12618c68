//! Compares two quotes: what was added, removed, changed, and what each change costs, tying to the cent.
//!
//! In: the records of two quotes (`Snapshot`). Out: `Changes`. Which is which is found in `pairs`; what differs in
//! `compare` (openings, sets), `compare_lines` and `compare_rest` (charges, findings).
//! A schedule that holds only what changed is laid over the old one (`as_read`, `merge`).

pub mod as_read;
pub mod changes;
mod compare;
mod compare_lines;
mod compare_rest;
mod flat;
pub mod merge;
mod pairs;
pub mod snapshot;

use changes::{Bridge, Change, Changes, Happened, Side as Named, What};
use compare::Compare;
use flat::Side;
use snapshot::Snapshot;

use crate::money::Money;

/// Name and version of the form of changes.
pub const SCHEMA: &str = "pintle.changes/1";

/// The changes from one quote to another. `partial`: the new schedule was laid over the old one, so what was found while
/// reading the old files still stands.
///
/// # Errors
/// When the two are of different jobs or nothing in them pairs; says what to do.
pub fn reprice(old: &Snapshot, new: &Snapshot, partial: bool) -> Result<Changes, String> {
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
    compare.run(partial);
    let mut changes = compare.changes;
    changes.sort_by_key(|change| change.what);
    let totals = bridge(old, new, &changes);
    Ok(Changes { schema: SCHEMA, from: named(old), to: named(new), changes, totals })
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
    let mut by_cause: Vec<(String, Money)> = Vec::new();
    for change in changes.iter().filter(|change| !change.delta.is_zero()) {
        let cause = cause(change);
        match by_cause.iter_mut().find(|(known, _)| known == cause) {
            Some((_, sum)) => *sum += change.delta,
            None => by_cause.push((cause.to_owned(), change.delta)),
        }
    }
    let (before, after) = (old.totals.total, new.totals.total);
    Bridge { before, after, delta: after - before, by_cause }
}

fn cause(change: &Change) -> &'static str {
    match (change.what, change.kind) {
        (What::Opening, Happened::Added) => "openings added",
        (What::Opening, Happened::Removed) => "openings removed",
        (What::Opening, _) => "openings given another set",
        (What::Set, _) => "sets added or removed",
        (What::Line, Happened::Added) => "lines added",
        (What::Line, Happened::Removed) => "lines removed",
        (What::Line, _) => "lines changed",
        (What::Price, _) if change.field.as_deref() == Some("amount") => "freight, tax and other charges",
        (What::Price, _) => "prices",
        (What::Finding, _) => "questions",
    }
}
