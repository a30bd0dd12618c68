//! Completes what was read: fills in what is implied, asks about what is missing, adds what the schedule does not say.
//!
//! In: schedule, readings, catalog, terms, answers. Out: `Completed`: specs, additions, findings, preps. Steps: doors and
//! sets are matched (`reconcile`), catalog numbers are read (`numbers`), each reading becomes a spec (`build`), rules run to a fixed point (`settle`), goods are
//! chosen (`select`), findings are put together (`gather`), answers of the user are applied and the rules run again
//! (`answers`), and so is what was typed over in priced lines (`typed`); `told` is the type of both. One file per rule in `rules/` and one registry: to add a rule, write its file and name it in the registry;
//! its page and its two examples are tested there. Knows nothing of workbook formats.

pub mod act;
mod also_named;
pub mod altered;
#[cfg(test)]
mod answered_proofs;
pub mod answers;
mod as_told;
pub mod asked_for;
mod borrowed;
mod both;
mod build;
mod conditions;
mod devices;
pub mod door;
pub mod doubts;
#[cfg(test)]
pub mod example;
pub mod exposure;
mod finish_notes;
pub mod gather;
pub mod job;
mod kinds_asked;
mod lacking;
pub mod left_out;
mod list_numbers;
mod load;
pub mod named_again;
mod number_makers;
mod number_tail;
mod numbers;
#[cfg(test)]
mod proofs;
mod reach;
pub mod reconcile;
mod rooms_only;
pub mod rules;
pub mod select;
mod settle;
pub mod spec;
#[cfg(test)]
mod speech;
#[cfg(test)]
mod split;
pub mod told;
mod trims;
pub mod typed;

use std::collections::BTreeMap;

use crate::catalog::Catalog;
use crate::finding::{Answer, Finding, Kind};
use crate::read::schedule::Schedule;
use crate::terms::Terms;
use crate::understand::reading::Reading;
use act::Rule;
use answers::Given;
use door::Door;
use job::Job;
pub use rules::PAGES;
use rules::{remark_function, remark_of_goods, set_not_defined};
use spec::{Addition, Completed, Grade, Spec, Status};

pub use told::Answers;

/// Times that answers may bring up questions which other answers settle.
const ANSWER_ROUNDS: usize = 6;

/// Completes a job: reconciles openings and sets, runs the rules to a fixed point, selects goods, gathers findings.
pub fn complete(
    schedule: Schedule,
    readings: Vec<Vec<Vec<Reading>>>,
    catalog: &Catalog,
    terms: &Terms,
    answers: &Answers,
) -> Completed {
    complete_knowing(&job::Known::default(), schedule, readings, catalog, terms, answers)
}

/// `complete` with the answers of the same catalog, by the same terms, that are known already; what is asked anew joins them.
pub fn complete_knowing(
    known: &job::Known,
    schedule: Schedule,
    readings: Vec<Vec<Vec<Reading>>>,
    catalog: &Catalog,
    terms: &Terms,
    answers: &Answers,
) -> Completed {
    complete_by((rules::RULES, known), schedule, readings, catalog, terms, answers)
}

/// `complete_knowing` with other rules, for tests.
pub fn complete_by(
    by: (&[Rule], &job::Known),
    schedule: Schedule,
    readings: Vec<Vec<Vec<Reading>>>,
    catalog: &Catalog,
    terms: &Terms,
    answers: &Answers,
) -> Completed {
    complete_after(by, Given::default(), schedule, readings, catalog, terms, answers)
}

/// `complete_by`, on a schedule into which some answers are put already.
fn complete_after(
    (rules, known): (&[Rule], &job::Known),
    mut given: Given,
    mut schedule: Schedule,
    mut readings: Vec<Vec<Vec<Reading>>>,
    catalog: &Catalog,
    terms: &Terms,
    answers: &Answers,
) -> Completed {
    // A size that is answered changes everything after it: then all is done again on the schedule with that size.
    let gives_size = |answer: &Answer| altered::is_put_in(&answer.does);
    let asks_of_sets = |id: &String, told: &told::Told| {
        told.code == set_not_defined::RULE.page.code || id.starts_with(set_not_defined::RULE.page.code)
    };
    let may_be_sized = !answers.questions.is_empty()
        && (schedule.findings.iter().any(|finding| finding.answers.iter().any(gives_size))
            || answers.questions.iter().any(|(id, told)| asks_of_sets(id, told)));
    let as_read = may_be_sized.then(|| (schedule.clone(), readings.clone()));
    numbers::decode(&schedule.sets, &mut readings, (catalog, known.words.as_deref()));
    lacking::hear_hinges(&schedule.sets, &mut readings);
    trims::hear(&schedule.sets, &mut readings, known.words.as_deref());
    reconcile::add_named_doors(&mut schedule);
    let matching = reconcile::reconcile(&schedule);
    let mut doors: Vec<Door> =
        schedule.openings.iter().enumerate().map(|(index, opening)| Door::of(index, opening, terms)).collect();
    let numbers = left_out::Numbers::of(&doors);
    let (sets, void) = build::sets(&schedule.sets, readings, &matching, (&doors, &numbers));
    exposure::judge(&mut doors, &sets, &void);
    let base = Job {
        schedule: &schedule,
        doors: &doors,
        numbers_said: &numbers,
        sets,
        added: Vec::new(),
        added_at: BTreeMap::new(),
        void,
        ruled_out: Default::default(),
        fixed: Default::default(),
        typed: Default::default(),
        fixed_at: Default::default(),
        given_at: Default::default(),
        matching: &matching,
        catalog,
        terms,
        cache: known,
        kinds: Vec::new(),
    };
    let mut completed = run(&base, rules, &given, answers);
    for _ in 0..ANSWER_ROUNDS {
        if answers.questions.is_empty() || !given.take(&completed.findings, answers) {
            break;
        }
        completed = run(&base, rules, &given, answers);
    }
    if let Some((schedule, readings)) = as_read
        && let Some(sized) = given.put_in(&schedule)
    {
        return complete_after((rules, known), given.only_put_in(), sized, readings, catalog, terms, answers);
    }
    given.close(&mut completed.findings, answers);
    completed.findings.extend(answers.beside.iter().map(|says| typed::beside(says)));
    completed.findings.extend(typed::idle(&answers.typed, &completed.sets, &completed.added));
    tie(&mut completed);
    Completed {
        sets: completed.sets,
        added: completed.added,
        findings: completed.findings,
        preps: completed.preps,
        typed: answers.typed.clone(),
        names: told::Names::default(),
        schedule,
    }
}

/// One run: rules, goods, findings.
fn run(base: &Job, rules: &[Rule], given: &Given, answers: &Answers) -> settle::Settled {
    let over = answers.typed.as_slice();
    let doors = given.doors(base.doors);
    let mut start = Job { doors: doors.as_deref().unwrap_or(base.doors), ..base.clone() };
    conditions::apply(&mut start);
    given.apply(&mut start);
    typed::apply(over, &mut start);
    start.note_kinds();
    let told = |added: &mut Vec<Addition>, job: &Job| {
        given.apply_to_additions(added, job);
        typed::leave_out(over, &job.sets, added);
    };
    let mut settled = settle::settle(&start, rules, &told);
    let mut findings = std::mem::take(&mut settled.findings);
    let read = start
        .schedule
        .findings
        .iter()
        .filter(|finding| {
            let of_goods = || remark_of_goods::is_of_goods_alone(&start, finding);
            !doubts::settled_by_set(&start, finding) && !of_goods() && !remark_function::is_heard(&start, finding)
        })
        .cloned();
    findings.extend(read.map(|finding| as_told::heard(finding, &settled.sets)));
    start.added.clone_from(&settled.added);
    findings.extend(doubts::findings(&start, &settled.sets));
    let off = |finding: &Finding| start.terms.rules.get(finding.code).is_some_and(|word| word.trim() == "off");
    findings.extend(select::lines(&start, &mut settled.sets));
    findings.extend(typed::pick(over, &start, &mut settled.sets));
    select::additions(&start, &mut settled.added);
    findings.retain(|finding| !off(finding));
    settled.findings = gather::gather(findings, &settled.added, &start, answers);
    settled
}

/// Ties findings to lines, and gives each line its state.
fn tie(job: &mut settle::Settled) {
    let mut about: BTreeMap<crate::finding::LineId, Vec<usize>> = BTreeMap::new();
    for (index, finding) in job.findings.iter().enumerate() {
        for line in &finding.lines {
            about.entry(*line).or_default().push(index);
        }
    }
    for spec in job.sets.iter_mut().flat_map(|set| set.specs.iter_mut()) {
        spec.findings = about.remove(&spec.id).unwrap_or_default();
        spec.status = status(spec, &job.findings);
    }
}

fn status(spec: &Spec, findings: &[Finding]) -> Status {
    if spec.excluded.is_some() {
        return Status::Excluded;
    }
    if spec.category.is_none() {
        return Status::Unread;
    }
    if spec.selection.candidates.is_empty() {
        return Status::Unpriced;
    }
    let kinds = || spec.findings.iter().filter_map(|index| findings.get(*index)).map(|finding| finding.kind);
    if kinds().any(|kind| kind == Kind::Question) {
        return Status::Open;
    }
    let filled = spec.weakest().is_some_and(|grade| grade != Grade::Certain);
    if filled || kinds().any(|kind| kind == Kind::Assumption) { Status::Assumed } else { Status::Settled }
}
