//! Works out what answers are worth that change what was read: the openings that a question is about, with their sets, go
//! through the rooms once as read and once for each such answer.

use crate::complete::altered::{alter, is_anew};
use crate::complete::spec::Completed;
use crate::complete::{Answers, complete};
use crate::count::count;
use crate::finding::{Finding, Kind};
use crate::price::anew::{Anew, Weighed, weigh};
use crate::read::schedule::Schedule;
use crate::terms::Terms;
use crate::understand::understand_sets;

use super::setup::Setup;

/// Openings that go through the rooms, over all answers of a job. Beyond that answers say that they are priced once picked.
const MOST: usize = 400;

/// What such answers of a completed job are worth.
pub fn anew(setup: &Setup, job: &Completed, answers: &Answers, terms: &Terms) -> Anew {
    let mut found = Anew::default();
    let mut left = MOST;
    // What was typed over belongs to lines of the whole job.
    let answers = Answers { typed: Default::default(), ..answers.clone() };
    for finding in job.findings.iter().filter(|finding| finding.kind == Kind::Question) {
        let asked: Vec<usize> =
            (0..finding.answers.len()).filter(|answer| is_anew(&finding.answers[*answer].does)).collect();
        if asked.is_empty() {
            continue;
        }
        let part = part_of(job, finding);
        let cost = part.openings.len().saturating_mul(asked.len() + 1);
        if cost == 0 || cost > left {
            continue;
        }
        left -= cost;
        let run = |schedule: Schedule| -> Weighed {
            let readings = understand_sets(&setup.lexicon, &schedule);
            let completed = complete(schedule, readings, &setup.catalog, terms, &answers);
            let takeoff = count(&completed, &setup.catalog);
            weigh(&completed, takeoff, terms)
        };
        let before = run(part.clone());
        for answer in asked {
            let mut altered = part.clone();
            alter(&mut altered, &finding.openings, &finding.answers[answer].does);
            found.note(&finding.id, answer, &before, &run(altered));
        }
    }
    found
}

/// The openings of a finding with the sets that serve them, and nothing of the rest.
fn part_of(job: &Completed, finding: &Finding) -> Schedule {
    let about = |index: &usize| {
        job.schedule.openings.get(*index).is_some_and(|opening| finding.openings.contains(&opening.number))
    };
    let served = job.sets.iter().zip(&job.schedule.sets).filter(|(set, _)| set.openings.iter().any(about));
    let sets = served.map(|(_, set)| {
        let mut set = set.clone();
        set.openings.retain(|number| finding.openings.contains(number));
        set
    });
    Schedule {
        inputs: Vec::new(),
        openings: job
            .schedule
            .openings
            .iter()
            .filter(|door| finding.openings.contains(&door.number))
            .cloned()
            .collect(),
        sets: sets.collect(),
        notes: job.schedule.notes.clone(),
        ledger: Vec::new(),
        findings: Vec::new(),
        layout: Vec::new(),
    }
}
