//! Completes what was read: fills in what is implied, asks about what is missing, adds what the schedule does not say.
//!
//! In: schedule, readings, catalog, terms. Out: `Completed`: specs, additions, findings, preps. One file per rule in
//! `rules/` and one registry. Knows nothing of workbook formats.

pub mod spec;

use crate::catalog::Catalog;
use crate::read::schedule::Schedule;
use crate::terms::Terms;
use crate::understand::reading::Reading;
use spec::{Completed, CompletedSet};

/// Answers of the user: finding id → words picked. Empty on a first run.
pub type Answers = std::collections::BTreeMap<String, String>;

/// Completes a job: reconciles openings and sets, runs the rules to a fixed point, selects goods, gathers findings.
pub fn complete(
    schedule: Schedule,
    readings: Vec<Vec<Vec<Reading>>>,
    catalog: &Catalog,
    terms: &Terms,
    answers: &Answers,
) -> Completed {
    let _ = (readings, catalog, terms, answers);
    let sets: Vec<CompletedSet> = Vec::new();
    Completed { schedule, sets, added: Vec::new(), findings: Vec::new(), preps: Vec::new() }
}
