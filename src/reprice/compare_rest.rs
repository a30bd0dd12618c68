//! What became of charges (freight, tax and the like) and of findings.

use std::collections::BTreeMap;

use super::causes as cause;
use super::changes::{Happened, What};
use super::compare::Compare;
use super::snapshot::FindingRecord;
use crate::money::Money;

impl Compare<'_> {
    pub(super) fn compare_charges(&mut self) {
        let mut sums: BTreeMap<(String, String), (Money, Money)> = BTreeMap::new();
        let key = |charge: &super::snapshot::ChargeRecord| {
            // Allowances are told apart by their names; the words of the others hold figures.
            let words = if charge.kind == "allowance" { charge.words.clone() } else { String::new() };
            (charge.kind.clone(), words)
        };
        for charge in &self.old.snapshot.charges {
            sums.entry(key(charge)).or_default().0 += charge.amount;
        }
        for charge in &self.new.snapshot.charges {
            sums.entry(key(charge)).or_default().1 += charge.amount;
        }
        for ((kind, words), (from, to)) in sums.into_iter().filter(|(_, (from, to))| from != to) {
            let id = if words.is_empty() { kind.clone() } else { format!("{kind}: {words}") };
            let change = self.push(Happened::Changed, What::Price, id, cause::CHARGE);
            (change.field, change.from, change.to) =
                (Some("amount".into()), Some(from.to_string()), Some(to.to_string()));
            (change.delta, change.why) = (to - from, format!("{kind} follows from the goods and the terms"));
        }
    }

    pub(super) fn compare_findings(&mut self, partial: bool) {
        let (old, new) = (&self.old.snapshot.findings, &self.new.snapshot.findings);
        let known: BTreeMap<&str, &str> = old.iter().map(|one| (one.id.as_str(), one.kind.as_str())).collect();
        let still: BTreeMap<&str, &str> = new.iter().map(|one| (one.id.as_str(), one.kind.as_str())).collect();
        let answers = &self.new.snapshot.answers;
        let mut found = Vec::new();
        let of_old_files = |one: &FindingRecord| partial && crate::read::PAGES.iter().any(|page| page.code == one.rule);
        for one in old.iter().filter(|one| !still.contains_key(one.id.as_str()) && !of_old_files(one)) {
            let why = match answers.get(&one.id) {
                Some(told) => format!("answered: {}", told.answer),
                None => "no longer arises".to_owned(),
            };
            found.push((Happened::Removed, one.clone(), why, None));
        }
        for one in new {
            match known.get(one.id.as_str()) {
                None => found.push((Happened::Added, one.clone(), one.says.clone(), None)),
                Some(kind) if *kind != one.kind => {
                    found.push((Happened::Changed, one.clone(), one.says.clone(), Some((*kind).to_owned())));
                }
                Some(_) => {}
            }
        }
        for (kind, one, why, was) in found {
            let change = self.push(kind, What::Finding, one.id, cause::FINDING);
            (change.openings, change.why) = (one.openings, why);
            match kind {
                Happened::Removed => change.from = Some(one.kind),
                Happened::Added => change.to = Some(one.kind),
                _ => (change.field, change.from, change.to) = (Some("kind".into()), was, Some(one.kind)),
            }
        }
    }
}
