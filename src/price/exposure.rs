//! The cheapest and the dearest that the open questions can make of a job. Questions that touch no common line are
//! taken each by itself; questions that meet on a line are tried together. Where too many meet, the widest question is
//! settled first, each way, and the rest falls apart; past the budget each part takes its own extreme, which is a bound.

use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet, HashMap};

use rust_decimal::Decimal;

use super::answers::Part;
use super::stakes::{self, Choice, Chosen, Stakes};
use super::totals::Sums;
use crate::finding::{Effect, Fact};

/// Combinations tried for one group before the widest question is settled first.
const GROUP: usize = 2_048;
/// Combinations tried for the whole job in one direction.
const BUDGET: usize = 60_000;
/// Combinations of answers tried on one part.
const PART: usize = 256;

/// Which way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Cheap,
    Dear,
}

/// An extreme: the difference to the sums as priced, and the choices that give it.
#[derive(Debug, Clone, Default)]
pub(super) struct Extreme {
    pub(super) sums: Sums,
    pub(super) choices: BTreeMap<usize, Choice>,
}

/// Looks for one extreme.
pub(super) struct Search<'s, 'a> {
    stakes: &'s Stakes<'a>,
    current: &'s [Choice],
    way: Way,
    tried: Cell<usize>,
    weights: RefCell<HashMap<Chosen, Option<Decimal>>>,
}

type Fixed = BTreeMap<usize, Choice>;

impl<'s, 'a> Search<'s, 'a> {
    pub(super) fn new(stakes: &'s Stakes<'a>, current: &'s [Choice], way: Way) -> Self {
        Search { stakes, current, way, tried: Cell::new(0), weights: RefCell::default() }
    }

    /// The extreme over all questions.
    pub(super) fn run(&self) -> Extreme {
        let questions: Vec<usize> =
            (0..self.stakes.stakes.len()).filter(|stake| self.stakes.stakes[*stake].is_question).collect();
        let parts: BTreeSet<Part> =
            questions.iter().flat_map(|stake| self.stakes.stakes[*stake].parts.iter().copied()).collect();
        let (_, fixed, bounds) = self.best(&questions, &parts, &Fixed::new());
        let fixed = self.of_doors_that_stay(fixed);
        let mut extreme = Extreme::default();
        for part in &parts {
            let sums = match bounds.get(part) {
                Some(choices) => self.sums(*part, &|stake| self.at(choices, stake)),
                None => self.sums(*part, &|stake| self.at(&fixed, stake)),
            };
            extreme.sums += &sums.unwrap_or_default();
            extreme.sums -= &self.sums(*part, &|stake| self.current[stake]).unwrap_or_default();
        }
        extreme.choices = fixed;
        extreme
    }

    /// The choices without those that are only about doors which another choice leaves out: of a door that is out nothing else
    /// can be spared, or come on top.
    fn of_doors_that_stay(&self, mut fixed: Fixed) -> Fixed {
        let job = self.stakes.desk.job;
        let finding = |stake: usize| self.stakes.stakes.get(stake).and_then(|of| job.findings.get(of.finding));
        let leaves_out = |stake: usize, choice: Choice| {
            let chosen = choice.checked_sub(1).and_then(|answer| finding(stake)?.answers.get(answer));
            chosen.is_some_and(|answer| puts_doors_out(&answer.does))
        };
        let out: Vec<usize> =
            fixed.iter().filter(|(stake, choice)| leaves_out(**stake, **choice)).map(|(stake, _)| *stake).collect();
        for stake in out {
            // Its own choice may have been taken back for another that leaves the same doors out.
            if fixed.get(&stake).copied().is_none_or(|choice| !leaves_out(stake, choice)) {
                continue;
            }
            let gone: BTreeSet<&str> =
                finding(stake).into_iter().flat_map(|of| &of.openings).map(String::as_str).collect();
            for (other, choice) in fixed.iter_mut().filter(|(other, _)| **other != stake) {
                let openings = finding(*other).map(|of| of.openings.as_slice()).unwrap_or_default();
                if !openings.is_empty() && openings.iter().all(|door| gone.contains(door.as_str())) {
                    *choice = self.current[*other];
                }
            }
        }
        fixed
    }

    fn at(&self, fixed: &Fixed, stake: usize) -> Choice {
        fixed.get(&stake).copied().unwrap_or(self.current[stake])
    }

    fn sums(&self, part: Part, choice_of: &dyn Fn(usize) -> Choice) -> Option<Sums> {
        self.stakes.cost(part, choice_of)
    }

    /// Weight of the parts under these choices; `None`: some money is not known.
    fn weight(&self, parts: &BTreeSet<Part>, fixed: &Fixed) -> Option<Decimal> {
        parts.iter().try_fold(Decimal::ZERO, |sum, part| {
            let stakes = &self.stakes.by_part[part];
            let key = (*part, stakes.iter().map(|stake| self.at(fixed, *stake)).collect::<Vec<_>>());
            if let Some(known) = self.weights.borrow().get(&key) {
                return known.map(|weight| sum + weight);
            }
            let sums = self.sums(*part, &|stake| self.at(fixed, stake));
            let weight = sums.map(|sums| stakes::weigh(&sums, self.stakes.desk));
            self.weights.borrow_mut().insert(key, weight);
            weight.map(|weight| sum + weight)
        })
    }

    fn better(&self, new: Decimal, old: Decimal) -> bool {
        match self.way {
            Way::Cheap => new < old,
            Way::Dear => new > old,
        }
    }

    /// The best of these open questions on these parts, the fixed ones given. Third: parts bounded each by itself.
    fn best(&self, open: &[usize], parts: &BTreeSet<Part>, fixed: &Fixed) -> (Decimal, Fixed, BTreeMap<Part, Fixed>) {
        let mut whole = (Decimal::ZERO, fixed.clone(), BTreeMap::new());
        for (group, its_parts) in self.groups(open, parts) {
            let (weight, choices, bounds) = if self.tried.get() > BUDGET {
                self.bound(&its_parts, fixed)
            } else if group.len() <= 1 || self.stakes.combinations(&group) <= GROUP {
                self.all(&group, &its_parts, fixed)
            } else {
                self.split(&group, &its_parts, fixed)
            };
            whole.0 += weight;
            whole.1.extend(choices);
            whole.2.extend(bounds);
        }
        whole
    }

    /// Tries every combination.
    fn all(&self, group: &[usize], parts: &BTreeSet<Part>, fixed: &Fixed) -> (Decimal, Fixed, BTreeMap<Part, Fixed>) {
        let mut best: Option<(Decimal, Fixed)> = None;
        let mut choices = vec![0; group.len()];
        loop {
            self.tried.set(self.tried.get() + 1);
            let mut here = fixed.clone();
            here.extend(group.iter().copied().zip(choices.iter().copied()));
            if let Some(weight) = self.weight(parts, &here)
                && best.as_ref().is_none_or(|(old, _)| self.better(weight, *old))
            {
                best = Some((weight, here));
            }
            if !stakes::next(&mut choices, group.iter().map(|stake| self.stakes.stakes[*stake].choices)) {
                break;
            }
        }
        let (weight, choices) = best.unwrap_or_else(|| (Decimal::ZERO, self.as_priced(group, fixed)));
        (weight, choices, BTreeMap::new())
    }

    /// Settles the question that touches most parts, each way, and solves the rest.
    fn split(&self, group: &[usize], parts: &BTreeSet<Part>, fixed: &Fixed) -> (Decimal, Fixed, BTreeMap<Part, Fixed>) {
        let touches = |stake: usize| self.stakes.stakes[stake].parts.intersection(parts).count();
        let Some(widest) = group.iter().copied().max_by_key(|stake| (touches(*stake), std::cmp::Reverse(*stake)))
        else {
            return self.all(group, parts, fixed);
        };
        let rest: Vec<usize> = group.iter().copied().filter(|stake| *stake != widest).collect();
        let mut best: Option<(Decimal, Fixed, BTreeMap<Part, Fixed>)> = None;
        for choice in 0..self.stakes.stakes[widest].choices {
            let mut here = fixed.clone();
            here.insert(widest, choice);
            let alone: BTreeSet<Part> = parts
                .iter()
                .copied()
                .filter(|part| !self.stakes.by_part[part].iter().any(|stake| rest.contains(stake)))
                .collect();
            let Some(settled) = self.weight(&alone, &here) else { continue };
            let (weight, choices, bounds) = self.best(&rest, &(parts - &alone), &here);
            if best.as_ref().is_none_or(|(old, _, _)| self.better(weight + settled, *old)) {
                best = Some((weight + settled, choices, bounds));
            }
        }
        best.unwrap_or_else(|| (Decimal::ZERO, self.as_priced(group, fixed), BTreeMap::new()))
    }

    /// Each part at its own extreme: a bound that no consistent choice of answers need reach.
    fn bound(&self, parts: &BTreeSet<Part>, fixed: &Fixed) -> (Decimal, Fixed, BTreeMap<Part, Fixed>) {
        let mut whole = (Decimal::ZERO, Fixed::new(), BTreeMap::new());
        for part in parts {
            let open: Vec<usize> = self.stakes.by_part[part]
                .iter()
                .copied()
                .filter(|stake| self.stakes.stakes[*stake].is_question && !fixed.contains_key(stake))
                .collect();
            let one = BTreeSet::from([*part]);
            let few =
                &open[..(1..=open.len()).rev().find(|n| self.stakes.combinations(&open[..*n]) <= PART).unwrap_or(0)];
            let (weight, choices, _) = self.all(few, &one, fixed);
            whole.0 += weight;
            whole.2.insert(*part, choices);
        }
        whole
    }

    fn as_priced(&self, group: &[usize], fixed: &Fixed) -> Fixed {
        let mut choices = fixed.clone();
        choices.extend(group.iter().map(|stake| (*stake, self.current[*stake])));
        choices
    }

    /// Open questions that meet on a part, with the parts they touch.
    fn groups(&self, open: &[usize], parts: &BTreeSet<Part>) -> Vec<(Vec<usize>, BTreeSet<Part>)> {
        let mut left: BTreeSet<usize> = open.iter().copied().collect();
        let mut groups = Vec::new();
        while let Some(first) = left.pop_first() {
            let (mut group, mut touched, mut next) = (BTreeSet::from([first]), BTreeSet::new(), vec![first]);
            while let Some(stake) = next.pop() {
                for part in self.stakes.stakes[stake].parts.intersection(parts) {
                    if !touched.insert(*part) {
                        continue;
                    }
                    for other in &self.stakes.by_part[part] {
                        if left.remove(other) {
                            group.insert(*other);
                            next.push(*other);
                        }
                    }
                }
            }
            groups.push((group.into_iter().collect(), touched));
        }
        groups
    }
}

/// Whether an answer leaves the doors of its question out.
fn puts_doors_out(effect: &Effect) -> bool {
    match effect {
        Effect::Doors { are, .. } => *are == Fact::Out,
        Effect::Several(effects) => effects.iter().any(puts_doors_out),
        _ => false,
    }
}
