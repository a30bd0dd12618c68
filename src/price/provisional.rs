//! Puts money on answers, takes the provisional policy of the terms (likeliest, dearest, leave out), and finds the
//! exposure. An answer's effect is the difference of the whole total, charges included, with everything else as priced.

use std::collections::{BTreeMap, BTreeSet};

use super::answers::{After, Part};
use super::exposure::{Search, Way};
use super::quote::{PricedItem, Totals, Trouble};
use super::stakes::{Choice, Stakes};
use super::totals::{self, Sums};
use crate::complete::spec::{Addition, Spec};
use crate::count::takeoff::From;
use crate::finding::LineId;
use crate::money::Money;
use crate::terms::Provisional;

/// What pricing the questions gives.
#[derive(Default)]
pub(super) struct Outcome {
    /// Effect of each answer, by finding and answer; `None`: not known.
    pub(super) effects: BTreeMap<(usize, usize), Option<Money>>,
    /// What was priced instead of the likeliest, by finding, in words.
    pub(super) priced_as: BTreeMap<usize, String>,
    /// Lines that the policy changed.
    pub(super) lines: BTreeMap<LineId, (Spec, Vec<PricedItem>)>,
    /// Additions that the policy changed.
    pub(super) added: BTreeMap<usize, (Addition, Vec<PricedItem>)>,
    /// Additions that the policy makes.
    pub(super) new: Vec<(Addition, Vec<PricedItem>)>,
    /// Parts that the policy leaves out.
    pub(super) left_out: BTreeSet<From>,
    /// Sums as priced.
    pub(super) sums: Sums,
    /// Totals with exposure.
    pub(super) totals: Totals,
    /// Charges of the total.
    pub(super) charges: Vec<super::quote::Charge>,
}

/// Prices the questions of a job whose items, all as completed, add up to `sums`.
pub(super) fn weigh(stakes: &Stakes, sums: &Sums) -> Outcome {
    let terms = stakes.desk.terms;
    let as_completed = vec![0; stakes.stakes.len()];
    let mut outcome = Outcome { sums: sums.clone(), ..Outcome::default() };
    let mut current: Vec<Choice> = as_completed.clone();
    let mut out: BTreeSet<Part> = BTreeSet::new();
    match terms.price.provisional {
        Provisional::Likeliest => {}
        Provisional::Dearest => {
            let dearest = Search::new(stakes, &as_completed, Way::Dear).run();
            // What changes the openings themselves is put into the job by an answer alone.
            let anew = |stake: usize| stakes.stakes[stake].parts.iter().any(|part| matches!(part, Part::Anew(_)));
            for (stake, choice) in dearest.choices.into_iter().filter(|(stake, _)| !anew(*stake)) {
                current[stake] = choice;
            }
            choose(stakes, &current, &mut outcome);
        }
        Provisional::LeaveOut => {
            out = undecided(stakes);
            leave_out(stakes, &out, &mut outcome);
        }
    }
    stakes.reckon_each(&current);
    let (base, charges) = totals::finish(&outcome.sums, terms);
    let (mut low, mut high) = (base.total, base.total);
    let now = |stake: usize| current[stake];
    let likeliest = matches!(terms.price.provisional, Provisional::Likeliest);
    for (index, stake) in stakes.stakes.iter().enumerate() {
        let answers = stake.choices - 1;
        for answer in 0..answers {
            let with = |other: usize| if other == index { answer + 1 } else { current[other] };
            let mut sums = Some(outcome.sums.clone());
            for part in &stake.parts {
                let before = if out.contains(part) { Some(Sums::default()) } else { stakes.cost(*part, &now) };
                sums = match (sums, before, stakes.cost(*part, &with)) {
                    (Some(mut sums), Some(before), Some(after)) => {
                        sums -= &before;
                        sums += &after;
                        Some(sums)
                    }
                    _ => None,
                };
            }
            // Where the rules were run with the answer, that is what it is worth.
            if let Some(difference) = stakes.worked_out(index, answer).filter(|_| likeliest) {
                sums = difference.map(|difference| {
                    let mut with = outcome.sums.clone();
                    with += &difference;
                    with
                });
            }
            let total = sums.map(|sums| totals::finish(&sums, terms).0.total);
            if let Some(total) = total.filter(|_| stake.is_question) {
                (low, high) = (low.min(total), high.max(total));
            }
            outcome.effects.insert((stake.finding, answer), total.map(|total| total - base.total));
        }
    }
    for way in [Way::Cheap, Way::Dear] {
        let mut sums = outcome.sums.clone();
        for part in &out {
            sums += &stakes.cost(*part, &now).unwrap_or_default();
        }
        sums += &Search::new(stakes, &current, way).run().sums;
        let total = totals::finish(&sums, terms).0.total;
        (low, high) = (low.min(total), high.max(total));
    }
    outcome.totals = Totals { exposure_low: low, exposure_high: high, ..base };
    outcome.charges = charges;
    outcome
}

/// Takes the chosen answers into the job.
fn choose(stakes: &Stakes, current: &[Choice], outcome: &mut Outcome) {
    let (now, before) = (|stake: usize| current[stake], |_: usize| 0);
    for part in stakes.by_part.keys() {
        let (Some(after), Some(old), Some(new)) =
            (stakes.state(*part, &now), stakes.cost(*part, &before), stakes.cost(*part, &now))
        else {
            continue;
        };
        outcome.sums -= &old;
        outcome.sums += &new;
        match (part, after) {
            (Part::Line(id), After::Line(spec, items)) => {
                outcome.lines.insert(*id, (*spec, items));
            }
            (Part::Added(index), After::Added(added, items)) => {
                outcome.added.insert(*index, (*added, items));
            }
            (Part::New(..), After::Added(added, items)) => outcome.new.push((*added, items)),
            _ => {}
        }
    }
    for (index, stake) in stakes.stakes.iter().enumerate().filter(|(_, stake)| stake.is_question) {
        if let Some(answer) = current[index].checked_sub(1) {
            let words = stakes.desk.job.findings[stake.finding].answers.get(answer).map(|answer| answer.value.as_str());
            outcome.priced_as.insert(stake.finding, format!("the dearest answer: {}", words.unwrap_or_default()));
        }
    }
}

/// Parts whose price an open question can change.
fn undecided(stakes: &Stakes) -> BTreeSet<Part> {
    let mut parts = BTreeSet::new();
    for (index, stake) in stakes.stakes.iter().enumerate().filter(|(_, stake)| stake.is_question) {
        for part in stake.parts.iter().filter(|part| !matches!(part, Part::New(..) | Part::Anew(_))) {
            let as_completed = stakes.cost(*part, &|_| 0);
            let differs = (1..stake.choices)
                .any(|choice| stakes.cost(*part, &|other| if other == index { choice } else { 0 }) != as_completed);
            if differs {
                parts.insert(*part);
            }
        }
    }
    parts
}

fn leave_out(stakes: &Stakes, out: &BTreeSet<Part>, outcome: &mut Outcome) {
    for part in out {
        outcome.sums -= &stakes.cost(*part, &|_| 0).unwrap_or_default();
        match part {
            Part::Line(id) => outcome.left_out.insert(From::Line(*id)),
            Part::Added(index) => outcome.left_out.insert(From::Added(*index)),
            Part::New(..) | Part::Anew(_) => continue,
        };
    }
    for stake in stakes.stakes.iter().filter(|stake| stake.is_question && !stake.parts.is_disjoint(out)) {
        outcome.priced_as.insert(stake.finding, "left out of the price until answered".to_owned());
    }
}

/// An item whose price is left out.
pub(super) fn without_price(item: PricedItem) -> PricedItem {
    PricedItem {
        working: None,
        trouble: item.working.as_ref().map(|_| Trouble::LeftOut).or(item.trouble),
        extended: Money::ZERO,
        rounding: Money::ZERO,
        cost: Money::ZERO,
        ..item
    }
}
