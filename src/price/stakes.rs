//! What is at stake: every finding with answers, the parts its answers touch, and what each part costs under any
//! combination of the answers that touch it.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;
use rust_decimal::Decimal;

use super::anew::Anew;
use super::answers::{self, After, Change, Part};
use super::desk::Desk;
use super::totals::Sums;
use crate::complete::spec::Completed;
use crate::finding::Kind;

/// The choice made for a question: 0 as completed, `k` its answer `k - 1`.
pub(super) type Choice = usize;

/// A part, and the choices of the stakes that touch it.
pub(super) type Chosen = (Part, Vec<Choice>);

/// A finding with answers.
pub(super) struct Stake {
    /// Index of the finding.
    pub(super) finding: usize,
    /// Whether it is a question, and so counts for exposure.
    pub(super) is_question: bool,
    /// How many choices there are, "as completed" among them.
    pub(super) choices: usize,
    /// Parts it touches.
    pub(super) parts: BTreeSet<Part>,
}

/// All that is at stake in a job.
pub(super) struct Stakes<'a> {
    pub(super) desk: &'a Desk<'a>,
    pub(super) stakes: Vec<Stake>,
    /// Which stakes touch a part.
    pub(super) by_part: BTreeMap<Part, Vec<usize>>,
    /// What each part costs as completed.
    base: BTreeMap<Part, Sums>,
    /// What each answer changes: by stake, choice and part.
    changes: HashMap<(usize, Choice, Part), Vec<Change<'a>>>,
    known: Mutex<HashMap<Chosen, Option<Sums>>>,
    anew: &'a Anew,
}

impl<'a> Stakes<'a> {
    /// Gathers what is at stake. `base` tells what a part costs as completed.
    pub(super) fn gather(desk: &'a Desk<'a>, base: BTreeMap<Part, Sums>, anew: &'a Anew) -> Self {
        let job: &'a Completed = desk.job;
        let mut stakes = Vec::new();
        let mut changes: HashMap<(usize, Choice, Part), Vec<Change<'a>>> = HashMap::new();
        let mut by_part: BTreeMap<Part, Vec<usize>> = BTreeMap::new();
        for (index, finding) in job.findings.iter().enumerate().filter(|(_, finding)| !finding.answers.is_empty()) {
            let mut parts = BTreeSet::new();
            for (answer, part, change) in answers::touched(job, index, finding) {
                parts.insert(part);
                changes.entry((stakes.len(), answer + 1, part)).or_default().push(change);
            }
            for part in &parts {
                by_part.entry(*part).or_default().push(stakes.len());
            }
            stakes.push(Stake {
                finding: index,
                is_question: finding.kind == Kind::Question,
                choices: finding.answers.len() + 1,
                parts,
            });
        }
        Stakes { desk, stakes, by_part, base, changes, known: Mutex::default(), anew }
    }

    /// What a part costs when the stakes that touch it are chosen so. `None`: not known.
    pub(super) fn cost(&self, part: Part, choice_of: &dyn Fn(usize) -> Choice) -> Option<Sums> {
        let choices = self.choices_at(part, choice_of);
        let key = (part, choices);
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known().get(&key) {
            return known.clone();
        }
        let choices = &key.1;
        let changes = self.changes_at(part, choices);
        let sums = if changes.is_empty() {
            Some(self.base.get(&part).cloned().unwrap_or_default())
        } else if let Part::Anew(finding) = part {
            let answer = choices.first().and_then(|choice| choice.checked_sub(1));
            let finding = self.desk.job.findings.get(finding);
            finding.zip(answer).and_then(|(finding, answer)| self.anew.of(&finding.id, answer)).flatten()
        } else {
            answers::after(self.desk, part, &changes).and_then(|after| self.desk.known(&after))
        };
        known().insert(key, sums.clone());
        sums
    }

    /// Reckons what each answer by itself makes of the parts it touches, on several threads: of a large job that is most of
    /// what is asked of `cost` afterwards.
    pub(super) fn reckon_each(&self, current: &[Choice]) {
        self.stakes.par_iter().enumerate().for_each(|(index, stake)| {
            for part in &stake.parts {
                for choice in 0..stake.choices {
                    self.cost(*part, &|other| if other == index { choice } else { current[other] });
                }
            }
        });
    }

    /// What an answer makes of the sums as completed, where its openings were worked out with it.
    pub(super) fn worked_out(&self, stake: usize, answer: usize) -> Option<Option<Sums>> {
        let finding = self.desk.job.findings.get(self.stakes.get(stake)?.finding)?;
        self.anew.of(&finding.id, answer)
    }

    /// A part as it stands when the stakes are chosen so; `None` where nothing changes it or nothing fits.
    pub(super) fn state(&self, part: Part, choice_of: &dyn Fn(usize) -> Choice) -> Option<After> {
        let changes = self.changes_at(part, &self.choices_at(part, choice_of));
        if changes.is_empty() { None } else { answers::after(self.desk, part, &changes) }
    }

    fn choices_at(&self, part: Part, choice_of: &dyn Fn(usize) -> Choice) -> Vec<Choice> {
        self.by_part.get(&part).map(|stakes| stakes.iter().map(|stake| choice_of(*stake)).collect()).unwrap_or_default()
    }

    fn changes_at(&self, part: Part, choices: &[Choice]) -> Vec<Change<'a>> {
        let stakes = self.by_part.get(&part).map(Vec::as_slice).unwrap_or_default();
        let made = stakes.iter().zip(choices).filter_map(|(stake, choice)| self.changes.get(&(*stake, *choice, part)));
        made.flatten().cloned().collect()
    }

    /// How many combinations of answers a part can meet.
    pub(super) fn combinations(&self, stakes: &[usize]) -> usize {
        stakes.iter().fold(1, |product: usize, stake| product.saturating_mul(self.stakes[*stake].choices))
    }
}

/// Counts up through all combinations, the last stake fastest, from all "as completed". Ends by returning `false`.
pub(super) fn next(choices: &mut [Choice], limits: impl DoubleEndedIterator<Item = usize>) -> bool {
    for (choice, limit) in choices.iter_mut().rev().zip(limits.rev()) {
        *choice += 1;
        if *choice < limit {
            return true;
        }
        *choice = 0;
    }
    false
}

/// About what a difference in sums makes in the total; exact enough to find the cheapest and the dearest.
pub(super) fn weigh(sums: &Sums, desk: &Desk) -> Decimal {
    let terms = desk.terms;
    let rate = |percent: Option<crate::terms::Percent>| percent.map(|percent| percent.fraction()).unwrap_or_default();
    let freight = rate(terms.freight.rate);
    let (bond, tax) = (rate(terms.price.bond), rate(terms.tax.rate));
    let freight_tax = if terms.tax.on_freight { Decimal::ONE + tax } else { Decimal::ONE };
    let mut whole = (sums.goods + sums.rounding).decimal();
    let mut taxable = sums.taxable.decimal();
    for (key, on) in &sums.surcharged {
        let money = on.decimal() * key.1 / Decimal::ONE_HUNDRED;
        whole += money;
        taxable += if key.2 { money } else { Decimal::ZERO };
    }
    let pounds = terms.freight.per_pound.filter(|_| terms.freight.rate.is_none()).map_or(Decimal::ZERO, |sum| sum.0);
    whole * (Decimal::ONE + bond + freight * freight_tax)
        + taxable * tax
        + sums.weight.saturating_mul(pounds) * freight_tax
}
