//! Works out what answers are worth from which other things follow: another size, another kind of goods, goods that the
//! rules add. The openings that a question is about go through the rooms with their sets, once as read and once for each
//! such answer.

use std::collections::HashSet;

use rayon::prelude::*;

use crate::complete::altered::{alter, is_anew};
use crate::complete::spec::{Completed, Spec, Status};
use crate::complete::told::Told;
use crate::complete::{Answers, complete};
use crate::count::count;
use crate::finding::{Effect, Finding, Kind};
use crate::price::anew::{Anew, Weighed, weigh};
use crate::read::schedule::{Opening, Schedule};
use crate::terms::Terms;
use crate::trade::attribute::names;
use crate::understand::understand_sets;

use super::setup::Setup;

/// Openings that go through the rooms, over all answers of a job. Beyond that, answers are worth what their own lines tell.
const MOST: usize = 400;

/// Whether rules may follow an answer with more than its own lines.
fn draws_more(effect: &Effect) -> bool {
    match effect {
        // Size and kind of other goods follow from them.
        Effect::Category { .. }
        | Effect::Several(_)
        | Effect::Follows { .. }
        | Effect::Doors { .. }
        | Effect::Size { .. } => true,
        Effect::Set { attribute, .. } => [names::FINISH, names::LOOK, names::BASE].contains(attribute),
        _ => false,
    }
}

/// A finding with those of its answers that are worked out, and its openings.
type Asked<'a> = (&'a Finding, Vec<usize>, Schedule);

/// What such answers of a completed job are worth.
pub fn anew(setup: &Setup, job: &Completed, answers: &Answers, terms: &Terms) -> Anew {
    let mut left = MOST;
    // What was typed over belongs to lines of the whole job.
    let answers = Answers { typed: Default::default(), ..answers.clone() };
    let mut asked: Vec<Asked> = Vec::new();
    for finding in job.findings.iter().filter(|finding| finding.kind == Kind::Question) {
        let picks: Vec<usize> =
            (0..finding.answers.len()).filter(|answer| draws_more(&finding.answers[*answer].does)).collect();
        let least = finding.openings.len().saturating_mul(picks.len() + 1);
        if picks.is_empty() || least == 0 || least > left {
            continue;
        }
        let part = part_of(job, finding);
        let cost = part.openings.len().saturating_mul(picks.len() + 1);
        if cost > 0 && cost <= left {
            left -= cost;
            asked.push((finding, picks, part));
        }
    }
    let found: Vec<_> = asked.par_iter().flat_map_iter(|one| worth(setup, job, one, (&answers, terms))).collect();
    let mut anew = Anew::default();
    for (finding, answer, sums) in found {
        anew.note(&finding, answer, sums.as_ref().map(|(before, after)| (before, after)));
    }
    anew
}

/// What each answer of a finding makes of its openings and those beside them.
fn worth(
    setup: &Setup,
    job: &Completed,
    (finding, picks, part): &Asked,
    (answers, terms): (&Answers, &Terms),
) -> Vec<(String, usize, Option<(Weighed, Weighed)>)> {
    let run = |schedule: Schedule, answers: &Answers| {
        let readings = understand_sets(&setup.lexicon, &schedule);
        let completed = complete(schedule, readings, &setup.catalog, terms, answers);
        let takeoff = count(&completed, &setup.catalog);
        let sums = weigh(&completed, takeoff, terms);
        (completed, sums)
    };
    let (completed, before) = run(part.clone(), answers);
    // The part alone must ask the same, or the answer would not be heard.
    let same = completed.findings.iter().find(|one| one.id == finding.id && one.kind == Kind::Question);
    let same = same.filter(|_| is_alike(&completed, job));
    let mut found = Vec::new();
    for pick in picks {
        let answer = &finding.answers[*pick];
        let after = if is_anew(&answer.does) {
            let mut altered = part.clone();
            alter(&mut altered, &finding.openings, &answer.does);
            run(altered, answers)
        } else if same.is_some_and(|one| one.answers.iter().any(|offered| offered.value == answer.value)) {
            let mut answers = answers.clone();
            answers.questions.insert(finding.id.clone(), Told::plain(&answer.value));
            run(part.clone(), &answers)
        } else {
            continue;
        };
        // What no good fits any more has no price: then nobody knows what the answer is worth.
        let lost = without_good(&after.0) > without_good(&completed);
        let sums = (!lost).then_some((before.clone(), after.1));
        found.push((finding.id.clone(), *pick, sums));
    }
    found
}

/// Lines for which the catalog has no good.
fn without_good(job: &Completed) -> usize {
    job.sets.iter().flat_map(|set| &set.specs).filter(|spec| spec.status == Status::Unpriced).count()
}

/// Whether the lines of the part were completed as in the whole job: the usual finish of all its lines, say, may be another.
fn is_alike(part: &Completed, whole: &Completed) -> bool {
    part.sets.iter().all(|set| {
        let same = whole.sets.iter().find(|other| other.id == set.id && other.specs.len() == set.specs.len());
        let alike = |(one, other): (&Spec, &Spec)| {
            one.category == other.category
                && one.attributes.len() == other.attributes.len()
                && one.attributes.iter().all(|(name, value)| other.value(*name) == Some(&value.value))
        };
        same.is_some_and(|other| set.specs.iter().zip(&other.specs).all(alike))
    })
}

/// The sets that serve openings of a finding, with all their doors, since rules look at a set as a whole; nothing of the rest.
fn part_of(job: &Completed, finding: &Finding) -> Schedule {
    let all = &job.schedule.openings;
    let numbers: HashSet<&str> = finding.openings.iter().map(String::as_str).collect();
    let about = |index: usize| all.get(index).is_some_and(|opening| numbers.contains(opening.number.as_str()));
    let served =
        || job.sets.iter().zip(&job.schedule.sets).filter(|(set, _)| set.openings.iter().any(|index| about(*index)));
    let beside: HashSet<usize> = served().flat_map(|(set, _)| set.openings.iter().copied()).collect();
    let taken = |index: usize| about(index) || beside.contains(&index);
    let openings: Vec<Opening> = (0..all.len()).filter(|index| taken(*index)).map(|index| all[index].clone()).collect();
    let here: HashSet<&str> = openings.iter().map(|opening| opening.number.as_str()).collect();
    let sets = served().map(|(_, set)| {
        let mut set = set.clone();
        set.openings.retain(|number| here.contains(number.as_str()));
        set
    });
    Schedule {
        inputs: Vec::new(),
        sets: sets.collect(),
        notes: job.schedule.notes.clone(),
        ledger: Vec::new(),
        findings: Vec::new(),
        layout: Vec::new(),
        openings,
    }
}
