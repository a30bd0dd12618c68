//! Runs the rules to a fixed point. Each round shows every rule the same state, gathers what they would do, and makes
//! the next state from what was read plus all of it. The rules are settled when a round would do what the last one did.
//! Two rules that want different things of one value are named in a finding; the surer one, then the first by code, wins.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rayon::prelude::*;
use rust_decimal::Decimal;

use crate::finding::{Finding, LineId};
use crate::trade::attribute::{Attr, Value};

use super::act::{Act, Out, Rule};
use super::job::Job;
use super::rules::{LATE, rules_quarrel};
use super::spec::{Addition, From, Grade, Prep, Sourced, Spec};

/// Rounds after which rules are taken not to settle.
const ROUNDS: usize = 10;

/// What the rules made of a job.
pub struct Settled {
    /// Lines and additions completed.
    pub sets: Vec<super::spec::CompletedSet>,
    /// Additions.
    pub added: Vec<Addition>,
    /// Findings, `id` holding what each is about.
    pub findings: Vec<Finding>,
    /// Preps.
    pub preps: Vec<Prep>,
}

type Acts = Vec<(&'static str, Act)>;

/// What the user's answers make of the additions of a round: some go, some come.
pub type Told<'t> = &'t (dyn Fn(&mut Vec<Addition>, &Job) + Sync);

/// Runs the rules. What the user leaves out or asks for is part of every round, so that rules see it: a wired hinge that is
/// left out takes no ordinary hinge's place.
pub fn settle(base: &Job, rules: &[Rule], told: Told) -> Settled {
    let mut rules: Vec<&Rule> = rules
        .iter()
        .filter(|rule| base.terms.rules.get(rule.page.code).is_none_or(|word| word.trim() != "off"))
        .collect();
    // Whatever the order of the registry, acts come in order of code.
    rules.sort_by_key(|rule| rule.page.code);
    let mut state = base.clone();
    let mut last: Acts = Vec::new();
    let mut findings = Vec::new();
    // Rules still at work after half the rounds; a quarrel may need several rounds to come round again.
    let mut restless: BTreeSet<&'static str> = BTreeSet::new();
    let mut settled = false;
    for round in 0..ROUNDS {
        let acts = gather(&state, &rules, false);
        if round > 0 && acts == last {
            settled = true;
            break;
        }
        if round >= ROUNDS / 2 {
            restless.extend(differing(&last, &acts));
        }
        (state, findings) = apply(base, &acts, told);
        last = acts;
    }
    if !settled {
        findings.push(unsettled(&restless));
    }
    // Settled rules would say again what they said last; only those that wait for it still have to speak.
    let last = if settled {
        let late: Vec<&Rule> = rules.iter().copied().filter(|rule| LATE.contains(&rule.page.code)).collect();
        let mut said = last;
        said.extend(gather(&state, &late, true));
        said
    } else {
        gather(&state, &rules, true)
    };
    let mut preps = Vec::new();
    for (_, act) in last {
        match act {
            Act::Say(finding) => findings.push(finding),
            Act::Prep(prep) => preps.push(prep),
            _ => {}
        }
    }
    Settled { sets: state.sets, added: state.added, findings, preps }
}

fn gather(state: &Job, rules: &[&Rule], settled: bool) -> Acts {
    // Every rule sees the same state, so they run side by side; what they want comes in their order.
    let acts: Vec<Acts> = rules
        .par_iter()
        .map(|rule| {
            let mut out = Out { page: rule.page, acts: Vec::new(), settled };
            (rule.run)(state, &mut out);
            out.acts.into_iter().map(|act| (rule.page.code, act)).collect()
        })
        .collect();
    acts.into_iter().flatten().collect()
}

/// Codes whose acts differ between two rounds.
fn differing(last: &Acts, acts: &Acts) -> BTreeSet<&'static str> {
    let of = |acts: &Acts| {
        let mut by_code: BTreeMap<&'static str, Vec<Act>> = BTreeMap::new();
        for (code, act) in acts {
            by_code.entry(code).or_default().push(act.clone());
        }
        by_code
    };
    let (last, acts) = (of(last), of(acts));
    let codes: BTreeSet<&'static str> = last.keys().chain(acts.keys()).copied().collect();
    codes.into_iter().filter(|code| last.get(code) != acts.get(code)).collect()
}

/// The finding for rules that do not settle.
fn unsettled(codes: &BTreeSet<&'static str>) -> Finding {
    let names = codes.iter().copied().collect::<Vec<_>>().join(", ");
    let says = if codes.len() == 1 {
        format!("the rule {names} undoes its own work; the last round was kept")
    } else {
        format!("the rules {names} undo each other's work; the last round was kept")
    };
    rules_quarrel::finding(&names, says)
}

/// A value wanted by a rule.
struct Wish {
    code: &'static str,
    value: Value,
    grade: Grade,
    over_words: bool,
}

impl Wish {
    fn rank(&self) -> (bool, u8, &'static str) {
        (!self.over_words, self.grade as u8, self.code)
    }
}

/// The next state: the base with all acts.
fn apply<'a>(base: &Job<'a>, acts: &Acts, told: Told) -> (Job<'a>, Vec<Finding>) {
    let mut quarrels = Vec::new();
    let mut job = base.clone();
    let mut added_by: AddedBy = HashMap::new();
    let mut wishes: BTreeMap<(LineId, Attr), Vec<Wish>> = BTreeMap::new();
    let mut less: BTreeMap<(LineId, usize), BTreeMap<&'static str, Decimal>> = BTreeMap::new();
    for (code, act) in acts {
        match act {
            Act::Fill { line, attribute, value, grade } => {
                let wish = Wish { code, value: value.clone(), grade: *grade, over_words: false };
                wishes.entry((*line, *attribute)).or_default().push(wish);
            }
            Act::Change { line, attribute, value, grade } => {
                let wish = Wish { code, value: value.clone(), grade: *grade, over_words: true };
                wishes.entry((*line, *attribute)).or_default().push(wish);
            }
            Act::Less { line, opening, quantity } => {
                less.entry((*line, *opening)).or_default().insert(code, *quantity);
            }
            Act::Add(addition) => merge_addition(&mut job.added, &mut added_by, addition),
            Act::Say(_) | Act::Prep(_) => {}
            simple => apply_simple(&mut job, simple),
        }
    }
    for ((line, attribute), wished) in wishes {
        let Some(spec) = spec_of(&mut job, line) else { continue };
        grant(spec, attribute, wished, &mut quarrels);
    }
    for ((line, opening), fewer) in less {
        // A number that was typed over is meant as it stands.
        if job.typed.contains(&line) {
            continue;
        }
        let doors = job.doors;
        let Some(spec) = spec_of(&mut job, line) else { continue };
        let Some(door) = doors.get(opening) else { continue };
        let fewer: Decimal = fewer.values().copied().sum();
        let left = (spec.count_at(door) - fewer).max(Decimal::ZERO);
        spec.at.insert(opening, left);
    }
    let mut added = std::mem::take(&mut job.added);
    told(&mut added, &job);
    job.added = added;
    for (index, added) in job.added.iter().enumerate() {
        for (opening, _) in &added.shares {
            job.added_at.entry(*opening).or_default().push(index);
        }
    }
    (job, quarrels)
}

fn spec_of<'j>(job: &'j mut Job, line: LineId) -> Option<&'j mut Spec> {
    job.sets.get_mut(line.set)?.specs.get_mut(line.line)
}

fn apply_simple(job: &mut Job, act: &Act) {
    match act {
        Act::Vary { line, opening, attribute, value } => {
            if !job.given_at.contains(&(*line, *opening, *attribute))
                && let Some(spec) = spec_of(job, *line)
            {
                spec.vary(*opening, *attribute, value.clone());
            }
        }
        Act::Count { line, opening, quantity } => {
            if !job.fixed.contains(line)
                && !job.fixed_at.contains(&(*line, *opening))
                && let Some(spec) = spec_of(job, *line)
            {
                spec.at.insert(*opening, *quantity);
            }
        }
        Act::Basis { line, basis } => {
            if let Some(spec) = spec_of(job, *line) {
                spec.basis = *basis;
            }
        }
        Act::Exclude { line, why } => {
            if let Some(spec) = spec_of(job, *line) {
                // What was excluded by its own words stays so.
                if spec.excluded.is_none() {
                    spec.excluded = Some(why.clone());
                    job.ruled_out.insert(*line);
                }
            }
        }
        _ => {}
    }
}

/// Where the additions of a rule to a set stand.
type AddedBy = HashMap<(&'static str, Option<usize>), Vec<usize>>;

/// Additions of one rule with the same goods are one: their shares are put together.
fn merge_addition(added: &mut Vec<Addition>, by: &mut AddedBy, new: &Addition) {
    let of_rule = by.entry((new.rule, new.set)).or_default();
    let same = of_rule.iter().copied().find(|index| {
        added.get(*index).is_some_and(|old| {
            old.category == new.category
                && old.attributes == new.attributes
                && old.ours == new.ours
                && old.why == new.why
        })
    });
    match same.and_then(|index| added.get_mut(index)) {
        Some(old) => {
            old.shares.extend(new.shares.iter().copied());
            old.varies.extend(new.varies.iter().map(|(at, what)| (*at, what.clone())));
        }
        None => {
            of_rule.push(added.len());
            added.push(new.clone());
        }
    }
}

/// Gives a line what the strongest rule wants, and names the quarrel if others want something else just as surely.
fn grant(spec: &mut Spec, attribute: Attr, mut wished: Vec<Wish>, quarrels: &mut Vec<Finding>) {
    let answered = matches!(spec.attributes.get(&attribute), Some(Sourced { from: From::Answer(_), .. }));
    let settled = spec.says(attribute);
    wished.retain(|wish| !answered && (wish.over_words || !settled));
    wished.sort_by(|a, b| a.rank().cmp(&b.rank()));
    let Some(first) = wished.first() else { return };
    for other in &wished[1..] {
        let equal = other.over_words == first.over_words && other.grade == first.grade;
        if equal && other.value != first.value {
            let about = format!("{} {} {attribute}", first.code, other.code);
            let says = format!(
                "the rules {} and {} want different values of {attribute} ({} and {}); the first was taken",
                first.code, other.code, first.value, other.value
            );
            quarrels.push(rules_quarrel::finding(&about, says));
        }
    }
    let from = From::Rule(first.code, first.grade);
    spec.attributes.insert(attribute, Sourced { value: first.value.clone(), from });
}
