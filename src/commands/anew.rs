//! Works out what answers are worth from which other things follow: another size, another kind of goods, goods that the
//! rules add. The openings that a question is about go through the rooms with their sets, once as read and once for each
//! such answer.

use std::collections::{BTreeSet, HashMap, HashSet};

use rayon::prelude::*;

use crate::complete::altered::{alter, is_anew};
use crate::complete::job::Known;
use crate::complete::spec::{Completed, Spec, Status};
use crate::complete::told::Told;
use crate::complete::{Answers, complete_knowing};
use crate::count::count;
use crate::finding::{Answer, Effect, Fact, Finding, Kind};
use crate::price::anew::{Anew, Weighed, weigh};
use crate::read::schedule::{Opening, Schedule, loose_id};
use crate::terms::Terms;
use crate::trade::attribute::names;
use crate::understand::understand_sets;

use super::setup::Setup;

/// Openings that go through the rooms, over all answers of a job. Beyond that, answers are worth what their own lines tell.
const MOST: usize = 400;

/// So many lines are as much work as an opening: a set that is longer than its doors would lead one to think costs more.
const LINES: usize = 32;

/// How likely rules follow an answer with more than its own lines: not at all (0), where what comes or goes is another
/// rule's reason (1: a closer makes hinges heavier), surely (2).
fn draws_more(effect: &Effect) -> u8 {
    match effect {
        // Size and kind of other goods follow from them.
        Effect::Category { .. }
        | Effect::Several(_)
        | Effect::Follows { .. }
        | Effect::Doors { .. }
        | Effect::Size { .. }
        | Effect::Served { .. } => 2,
        Effect::Set { attribute, .. } if [names::FINISH, names::LOOK, names::BASE].contains(attribute) => 2,
        Effect::Exclude { .. } | Effect::Supply { .. } | Effect::Add { .. } | Effect::Quantity { .. } => 1,
        _ => 0,
    }
}

/// What was worked out: finding, answer, the sums before and after; no sums where something has no price then.
type Worth = (String, usize, Option<(Weighed, Weighed)>);

/// A finding with those of its answers that are worked out, and its openings.
type Asked<'a> = (&'a Finding, Vec<usize>, Schedule);

/// What such answers of a completed job are worth; `known` is what the catalog was asked for it.
pub fn anew(setup: &Setup, known: &Known, job: &Completed, answers: &Answers, terms: &Terms) -> Anew {
    let mut left = MOST;
    // What was typed over belongs to lines of the whole job.
    let answers = Answers { typed: Default::default(), ..answers.clone() };
    let mut asked: Vec<(&Finding, Vec<usize>, _)> = Vec::new();
    let mut plan: Option<Plan> = None;
    let questions: Vec<(u8, &Finding)> = job
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Question)
        .map(|finding| {
            (finding.answers.iter().map(|answer| draws_more(&answer.does)).max().unwrap_or_default(), finding)
        })
        .collect();
    // Those from which more surely follows come first: there may be more questions than openings to spend on them.
    let in_turn = [2, 1].into_iter().flat_map(|likely| questions.iter().filter(move |(own, _)| *own == likely));
    for (_, finding) in in_turn {
        let picks: Vec<usize> =
            (0..finding.answers.len()).filter(|answer| draws_more(&finding.answers[*answer].does) > 0).collect();
        let least = finding.openings.len().saturating_mul(picks.len() + 1);
        if picks.is_empty() || least == 0 || least > left {
            continue;
        }
        let most = left.checked_div(picks.len() + 1).unwrap_or_default();
        let Some(part) = plan.get_or_insert_with(|| Plan::of(job)).part(finding, most) else { continue };
        let work = plan.as_ref().map_or(0, |plan| plan.work(&part)).saturating_mul(picks.len() + 1);
        if work > left {
            continue;
        }
        left -= work;
        asked.push((finding, picks, part));
    }
    let Some(plan) = plan else { return Anew::default() };
    let found: Vec<_> = asked
        .into_par_iter()
        .flat_map_iter(|(finding, picks, part)| {
            worth(setup, job, &(finding, picks, plan.schedule(finding, &part)), (&answers, terms, known))
        })
        .collect();
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
    (answers, terms, known): (&Answers, &Terms, &Known),
) -> Vec<Worth> {
    let run = |schedule: Schedule, answers: &Answers| {
        let readings = understand_sets(&setup.lexicon, &schedule);
        let completed = complete_knowing(known, schedule, readings, &setup.catalog, terms, answers);
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
            alter(&mut altered, &finding.openings, &answer.does, finding.place.as_ref());
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

/// Where the openings of a number stand in a job, and which sets serve each.
struct Plan<'a> {
    job: &'a Completed,
    by_number: HashMap<&'a str, Vec<usize>>,
    sets_of: Vec<Vec<usize>>,
}

impl<'a> Plan<'a> {
    fn of(job: &'a Completed) -> Plan<'a> {
        let mut by_number: HashMap<&str, Vec<usize>> = HashMap::new();
        for (index, opening) in job.schedule.openings.iter().enumerate() {
            by_number.entry(opening.number.as_str()).or_default().push(index);
        }
        let mut sets_of = vec![Vec::new(); job.schedule.openings.len()];
        for (set, served) in job.sets.iter().enumerate() {
            for index in &served.openings {
                if let Some(sets) = sets_of.get_mut(*index) {
                    sets.push(set);
                }
            }
        }
        Plan { job, by_number, sets_of }
    }

    /// The openings of a finding and those that share a set with them, since rules look at a set as a whole; and these sets.
    /// `None` where there are none, or more than `most`: that is known before they are gone through, however many share a
    /// set.
    fn part(&self, finding: &Finding, most: usize) -> Option<(BTreeSet<usize>, BTreeSet<usize>)> {
        let named = finding.openings.iter().filter_map(|number| self.by_number.get(number.as_str())).flatten();
        let mut openings: BTreeSet<usize> = named.copied().collect();
        let mut sets: BTreeSet<usize> =
            openings.iter().filter_map(|index| self.sets_of.get(*index)).flatten().copied().collect();
        // And the set that an answer would give them.
        sets.extend(finding.answers.iter().filter_map(|answer| match &answer.does {
            Effect::Served { set, .. } => self.job.sets.iter().position(|known| known.id == *set),
            _ => None,
        }));
        // A row that is left out has no set yet.
        let stays = |answer: &Answer| matches!(answer.does, Effect::Doors { are: Fact::Stay, .. });
        if finding.answers.iter().any(stays) {
            let named = openings.iter().filter_map(|index| self.job.schedule.openings.get(*index)?.set.as_deref());
            let ids: BTreeSet<String> = named.map(loose_id).collect();
            let of_rows = self.job.sets.iter().enumerate().filter(|(_, set)| ids.contains(&loose_id(&set.id)));
            sets.extend(of_rows.map(|(at, _)| at));
        }
        let served = || sets.iter().filter_map(|set| self.job.sets.get(*set)).map(|set| &set.openings);
        // What one set serves is there in whole.
        if served().any(|of_set| of_set.len() > most) {
            return None;
        }
        openings.extend(served().flatten().copied());
        (!openings.is_empty() && openings.len() <= most).then_some((openings, sets))
    }

    /// What it takes to work these openings and sets out once, in openings.
    fn work(&self, (openings, sets): &(BTreeSet<usize>, BTreeSet<usize>)) -> usize {
        let lines: usize = sets.iter().filter_map(|set| self.job.sets.get(*set)).map(|set| set.specs.len()).sum();
        openings.len().max(lines.div_ceil(LINES))
    }

    /// A schedule of these openings and sets, and nothing of the rest; what reading asked is asked there too.
    fn schedule(&self, finding: &Finding, (openings, sets): &(BTreeSet<usize>, BTreeSet<usize>)) -> Schedule {
        let all = &self.job.schedule;
        let openings: Vec<Opening> = openings.iter().filter_map(|index| all.openings.get(*index)).cloned().collect();
        let here: HashSet<&str> = openings.iter().map(|opening| opening.number.as_str()).collect();
        let sets = sets.iter().filter_map(|set| all.sets.get(*set)).map(|set| {
            let mut set = set.clone();
            set.openings.retain(|number| here.contains(number.as_str()));
            set
        });
        let asked = all
            .findings
            .iter()
            .filter(|one| one.code == finding.code && one.place == finding.place && one.says == finding.says);
        Schedule {
            buildings: Default::default(),
            inputs: Vec::new(),
            sets: sets.collect(),
            notes: all.notes.clone(),
            ledger: Vec::new(),
            findings: asked.cloned().collect(),
            layout: Vec::new(),
            openings,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::complete::example::completed;

    #[test]
    fn a_long_set_is_more_work_than_its_one_door_and_a_usual_one_is_not() {
        let work = |lines: usize| {
            let job = completed(&format!("door 101 36x84 hm; hinge 3{}", "; stop 1".repeat(lines - 1)));
            let plan = Plan::of(&job);
            plan.work(&(BTreeSet::from([0]), BTreeSet::from([0])))
        };
        assert_eq!([work(2), work(LINES), work(LINES + 1), work(10 * LINES)], [1, 1, 2, 10]);
    }
}
