//! Applies what the user typed over in priced lines: quantities and left-out lines before the rules run, goods after they
//! are chosen. Typed totals and prices are applied where they are reckoned, in the pricing room.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::catalog::good::{Candidate, Good};
use crate::finding::{Finding, Kind, Weight};
use crate::trade::attribute::{Attr, Attributes, names};

use super::job::Job;
use super::spec::{Addition, CompletedSet, From, Spec};
use super::told::{LineName, Scope, Typed, What, name_in, name_of_addition, names_good};

/// Code for a good that was typed over and is not offered for the line.
pub const NOT_OFFERED: &str = "typed-good-not-offered";
/// Code for what was typed over on a line that is no longer there.
pub const IDLE: &str = "typed-over-idle";
/// Code for a figure that was typed over where nothing takes it up.
pub const BESIDE: &str = "typed-over-beside";

/// Attributes that name a good instead of describing it: an equal need not have them.
const NAMING: [Attr; 3] = [names::MAKER, names::DESIGNATION, Attr::of("series")];

/// Maker and designation: how a good is named in the cells to pick from.
pub fn label(good: &Good) -> String {
    format!("{} {}", good.maker, good.designation)
}

/// Puts typed quantities and left-out lines into the state that rules start from.
pub(super) fn apply(typed: &[Typed], job: &mut Job) {
    let about = |what: &[What]| typed.iter().any(|one| what.contains(&one.what));
    if !about(&[What::Each, What::LeaveOut]) {
        return;
    }
    let mut fixed = Vec::new();
    for set in &mut job.sets {
        for line in 0..set.specs.len() {
            let name = name_in(set, line);
            let Some(spec) = set.specs.get_mut(line) else { continue };
            for one in typed.iter().filter(|one| one.scope != Scope::Job && one.is_about(&name, "")) {
                match (one.what, one.value.parse::<Decimal>()) {
                    (What::Each, Ok(quantity)) => {
                        spec.quantity = quantity;
                        spec.at.clear();
                        fixed.push(spec.id);
                    }
                    (What::LeaveOut, _) if spec.excluded.is_none() && !one.leaves_row_out() => {
                        spec.excluded = Some(left_out_words(one));
                    }
                    _ => {}
                }
            }
        }
    }
    job.typed.extend(fixed.iter().copied());
    job.fixed.extend(fixed);
}

/// Takes what the user left out from what we supply; the addition stays and says so.
pub(super) fn leave_out(typed: &[Typed], sets: &[CompletedSet], added: &mut [Addition]) {
    let out: Vec<&Typed> = typed
        .iter()
        .filter(|one| one.what == What::LeaveOut && !one.leaves_row_out() && one.scope != Scope::Job)
        .collect();
    if out.is_empty() {
        return;
    }
    for addition in added.iter_mut().filter(|addition| addition.ours) {
        let name = name_of_addition(sets, addition);
        if let Some(one) = out.iter().find(|one| one.is_about(&name, "")) {
            addition.ours = false;
            addition.by = Some(left_out_words(one));
        }
    }
}

/// Why a line that the user left out is not priced.
pub fn left_out_words(typed: &Typed) -> String {
    let by = if typed.by.is_empty() { "the estimator" } else { &typed.by };
    format!("left out by {by}")
}

/// Puts the goods picked first among the candidates of their lines; says which are not offered, with those that are.
pub(super) fn pick(typed: &[Typed], job: &Job, sets: &mut [CompletedSet]) -> Vec<Finding> {
    let mut findings = Vec::new();
    let picks: Vec<&Typed> = typed.iter().filter(|one| one.what == What::Good).collect();
    if picks.is_empty() {
        return findings;
    }
    for set in sets {
        let names: Vec<LineName> = (0..set.specs.len()).map(|line| name_in(set, line)).collect();
        for (spec, name) in set.specs.iter_mut().zip(&names) {
            if spec.excluded.is_some() || spec.category.is_none() {
                continue;
            }
            let now = spec.selection.candidates.first().map(|best| label(&best.good)).unwrap_or_default();
            let Some(one) = picks.iter().rev().find(|one| one.is_about(name, &now)) else { continue };
            if !choose(job, spec, &one.value) {
                findings.push(refused(one, spec, &set.id));
            }
        }
    }
    findings
}

/// Takes the good of that label, from the candidates or from their equals. False: it is not offered.
fn choose(job: &Job, spec: &mut Spec, wanted: &str) -> bool {
    let is_it = |candidate: &Arc<Candidate>| names_good(wanted, &label(&candidate.good));
    let Some(category) = spec.category else { return false };
    if !spec.selection.candidates.iter().any(is_it) {
        let equals = job.select(category, described(spec));
        let Some(found) = equals.candidates.iter().find(|candidate| is_it(candidate)).cloned() else { return false };
        spec.attributes.retain(|name, _| !NAMING.contains(name));
        Arc::make_mut(&mut spec.selection).candidates.insert(0, found);
        return true;
    }
    // The one picked comes first, the others keep their order.
    Arc::make_mut(&mut spec.selection).candidates.sort_by_key(|candidate| !is_it(candidate));
    true
}

/// What the line asks for, without what names a single good.
fn described(spec: &Spec) -> Attributes {
    let mut asked: Attributes = spec
        .attributes
        .iter()
        .filter(|(name, _)| !NAMING.contains(name))
        .map(|(name, sourced)| (*name, sourced.value.clone()))
        .collect();
    let names_only = spec
        .attributes
        .iter()
        .all(|(name, sourced)| NAMING.contains(name) || !matches!(sourced.from, From::Said(_) | From::Answer(_)));
    if names_only && let Some(best) = spec.selection.candidates.first() {
        asked = best.good.attributes.clone();
        asked.retain(|name, _| !NAMING.contains(name));
    }
    asked
}

fn refused(one: &Typed, spec: &Spec, set: &str) -> Finding {
    let (line, it, stays) = match one.scope {
        Scope::This => ("this line", "it", "the line stays"),
        _ => ("more than one line", "these", "they stay"),
    };
    let choices: Vec<String> = spec.selection.candidates.iter().map(|candidate| label(&candidate.good)).collect();
    let mut finding = Finding::new(
        NOT_OFFERED,
        Kind::Note,
        Weight::Goods,
        format!("The good \"{}\" typed for {line} is not one that meets {it}; {stays} as before.", one.value),
    )
    .at(spec.place.clone(), spec.words());
    finding.help = if choices.is_empty() {
        "nothing in the catalog meets the line; type a price instead".to_owned()
    } else {
        format!("pick one of: {}", choices.join("; "))
    };
    finding.set = Some(set.to_owned());
    finding.lines = vec![spec.id];
    // What was typed for many lines is said once of all that it does not fit.
    finding.id = match one.scope {
        Scope::This => spec.words(),
        _ => format!("job:{}", one.value),
    };
    finding
}

/// The finding for a figure that was typed over where nothing takes it up.
pub(super) fn beside(says: &str) -> Finding {
    let says = format!("{says}; what the catalog and the rates make stands.");
    let mut finding = Finding::new(BESIDE, Kind::Note, Weight::Goods, says);
    finding.help = "type a price under Your price on that row, or change the rate on the first page".to_owned();
    finding.id = format!("{BESIDE}:{}", super::gather::slug(&finding.says));
    finding
}

/// Findings for what was typed over on lines or additions that are not there.
pub(super) fn idle(typed: &[Typed], sets: &[CompletedSet], added: &[Addition]) -> Vec<Finding> {
    if typed.is_empty() {
        return Vec::new();
    }
    let lines = sets.iter().flat_map(|set| (0..set.specs.len()).map(|line| name_in(set, line)));
    let names: Vec<LineName> = lines.chain(added.iter().map(|added| name_of_addition(sets, added))).collect();
    let gone = typed.iter().filter(|one| {
        one.what != What::Rate && one.scope != Scope::Job && !names.iter().any(|name| one.is_about(name, ""))
    });
    gone.map(|one| {
        let set = if one.line.set.is_empty() { String::new() } else { format!(" of set {}", one.line.set) };
        let mut finding = Finding::new(
            IDLE,
            Kind::Note,
            Weight::Reading,
            format!(
                "The {} \"{}\" typed for \"{}\"{set} is not used: the schedule has no such line now.",
                one.what.word(),
                one.value,
                one.line.words
            ),
        );
        finding.help =
            "type it over on the line that took its place, or end it: x in Withdraw on Answers given".to_owned();
        finding.id = format!(
            "{IDLE}:{}",
            super::gather::slug(&format!("{} {} {}", one.what.word(), one.line.set, one.line.words))
        );
        finding
    })
    .collect()
}
