//! What became of charges (freight, tax and the like) and of findings.

use std::collections::{BTreeMap, BTreeSet};

use super::causes as cause;
use super::changes::{Happened, What};
use super::compare::Compare;
use super::pairs::{plain, squeezed};
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
        let twins = self.twins();
        let (old_twins, new_twins): (BTreeSet<&str>, BTreeSet<&str>) =
            (twins.values().map(String::as_str).collect(), twins.keys().map(String::as_str).collect());
        let mut found = Vec::new();
        // Notes on the old files are not told again where an addendum holds only what changed.
        let of_old_files = |one: &FindingRecord| {
            partial && one.kind == "note" && crate::read::PAGES.iter().any(|page| page.code == one.rule)
        };
        let gone = |one: &&FindingRecord| {
            !still.contains_key(one.id.as_str()) && !old_twins.contains(one.id.as_str()) && !of_old_files(one)
        };
        for one in old.iter().filter(gone) {
            // What was answered stays as a note of the answer.
            let why = format!("no longer arises: {}", one.says);
            found.push((Happened::Removed, one.clone(), why, None));
        }
        for one in new {
            match known.get(one.id.as_str()) {
                None if new_twins.contains(one.id.as_str()) => {}
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

    /// Findings that are the same under another id, since the words they speak of are written in another order or under
    /// another set id: new id → old id. First those that say the same of the same doors, then those that are the only ones
    /// of their rule, attribute and set on both sides.
    pub(super) fn twins(&self) -> BTreeMap<String, String> {
        let (old, new) = (&self.old.snapshot.findings, &self.new.snapshot.findings);
        let ids = |list: &[FindingRecord]| list.iter().map(|one| one.id.clone()).collect::<BTreeSet<_>>();
        let (old_ids, new_ids) = (ids(old), ids(new));
        let set_now: BTreeMap<String, String> = self
            .sets
            .to_new
            .iter()
            .map(|(old, (new, _))| (plain(&self.old.snapshot.sets[*old].id), plain(&self.new.snapshot.sets[*new].id)))
            .collect();
        let set = |one: &FindingRecord, is_old: bool| {
            let id = plain(one.set.as_deref().unwrap_or_default());
            if is_old { set_now.get(&id).cloned().unwrap_or(id) } else { id }
        };
        let says = |one: &FindingRecord, is_old: bool| {
            let mut doors = one.openings.clone();
            doors.sort();
            vec![one.rule.clone(), one.kind.clone(), set(one, is_old), squeezed(&one.says), doors.join(",")]
        };
        let is_about = |one: &FindingRecord, is_old: bool| {
            vec![one.rule.clone(), one.kind.clone(), set(one, is_old), one.attribute.clone().unwrap_or_default()]
        };
        let mut twins: BTreeMap<String, String> = BTreeMap::new();
        for precisely in [true, false] {
            let key =
                |one: &FindingRecord, is_old: bool| if precisely { says(one, is_old) } else { is_about(one, is_old) };
            let mut groups: BTreeMap<Vec<String>, (Vec<&str>, Vec<&str>)> = BTreeMap::new();
            let paired: BTreeSet<&String> = twins.values().collect();
            for one in old.iter().filter(|one| !new_ids.contains(&one.id) && !paired.contains(&one.id)) {
                groups.entry(key(one, true)).or_default().0.push(&one.id);
            }
            for one in new.iter().filter(|one| !old_ids.contains(&one.id) && !twins.contains_key(&one.id)) {
                groups.entry(key(one, false)).or_default().1.push(&one.id);
            }
            for (olds, news) in groups.into_values().filter(|(olds, news)| olds.len() == 1 && news.len() == 1) {
                twins.insert(news[0].to_owned(), olds[0].to_owned());
            }
        }
        twins
    }
}
