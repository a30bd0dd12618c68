//! Finds the changes. Money goes to openings that came, went or changed set; what is left, to the lines of the openings
//! that stayed: first the change of count at the old price, then the change of price on the new count; then charges.

use std::collections::BTreeMap;

use super::changes::{Change, Happened, What};
use super::compare_lines::left;
use super::flat::{Flat, Side};
use super::pairs::{self, FIELDS, Pairs, shown};
use crate::money::Money;

/// A comparison under way.
pub(super) struct Compare<'a> {
    pub(super) old: Side<'a>,
    pub(super) new: Side<'a>,
    pub(super) sets: Pairs,
    pub(super) openings: Pairs,
    pub(super) lines: Pairs,
    /// Openings whose whole money is told with them, by old and by new index.
    pub(super) told_old: Vec<bool>,
    pub(super) told_new: Vec<bool>,
    pub(super) changes: Vec<Change>,
}

impl<'a> Compare<'a> {
    pub(super) fn new(old: Side<'a>, new: Side<'a>) -> Self {
        let sets = pairs::sets(&old.snapshot.sets, &new.snapshot.sets);
        let openings = pairs::openings(old.snapshot, new.snapshot, &sets);
        let lines = pair_lines(&old, &new, &sets);
        let (told_old, told_new) = (vec![false; old.set_of.len()], vec![false; new.set_of.len()]);
        Compare { old, new, sets, openings, lines, told_old, told_new, changes: Vec::new() }
    }

    /// Whether anything at all is the same on both sides.
    pub(super) fn pairs_anything(&self) -> bool {
        !self.openings.to_new.is_empty() || !self.sets.to_new.is_empty()
    }

    pub(super) fn run(&mut self, partial: bool) {
        self.compare_openings();
        self.compare_sets();
        self.compare_lines();
        self.compare_charges();
        self.compare_findings(partial);
    }

    /// A new change, to be filled in.
    pub(super) fn push(&mut self, kind: Happened, what: What, id: impl Into<String>) -> &mut Change {
        self.changes.push(Change {
            kind,
            what,
            id: id.into(),
            field: None,
            from: None,
            to: None,
            openings: Vec::new(),
            delta: Money::ZERO,
            why: String::new(),
            figures: None,
        });
        let last = self.changes.len() - 1;
        &mut self.changes[last]
    }

    fn compare_openings(&mut self) {
        for old in 0..self.old.set_of.len() {
            match self.openings.to_new.get(&old).cloned() {
                Some((new, why)) => self.paired_opening(old, new, &why),
                None => {
                    self.told_old[old] = true;
                    let (number, delta) = (self.old.number(old), -self.old.money_at[old]);
                    let set = self.old.set_id(self.old.set_of[old]);
                    let change = self.push(Happened::Removed, What::Opening, number.clone());
                    (change.openings, change.delta) = (vec![number], delta);
                    change.why = format!("not in the new schedule; had set {set}");
                }
            }
        }
        for new in (0..self.new.set_of.len()).filter(|new| !self.openings.to_old.contains_key(new)).collect::<Vec<_>>()
        {
            self.told_new[new] = true;
            let (number, delta) = (self.new.number(new), self.new.money_at[new]);
            let set = self.new.set_id(self.new.set_of[new]);
            let change = self.push(Happened::Added, What::Opening, number.clone());
            (change.openings, change.delta) = (vec![number], delta);
            change.why = format!("new in this schedule; has set {set}");
        }
    }

    fn paired_opening(&mut self, old: usize, new: usize, why: &str) {
        let (number_old, number) = (self.old.number(old), self.new.number(new));
        if pairs::plain(&number_old) != pairs::plain(&number) {
            let change = self.push(Happened::Renumbered, What::Opening, number.clone());
            (change.from, change.to) = (Some(number_old), Some(number.clone()));
            (change.openings, change.why) = (vec![number.clone()], why.to_owned());
        }
        let (set_old, set_new) = (self.old.set_of[old], self.new.set_of[new]);
        let (before, after) = (&self.old.snapshot.openings[old], &self.new.snapshot.openings[new]);
        let moved =
            set_old.and_then(|set| self.sets.new_of(set)) != set_new || (set_old.is_none() != set_new.is_none());
        let excluded = before.get("excluded").is_some_and(|words| !words.is_null())
            != after.get("excluded").is_some_and(|words| !words.is_null());
        let delta = self.new.money_at[new] - self.old.money_at[old];
        if moved || excluded {
            (self.told_old[old], self.told_new[new]) = (true, true);
        }
        if moved {
            let (from, to) = (self.old.set_id(set_old).to_owned(), self.new.set_id(set_new).to_owned());
            let kind = if from.is_empty() || to.is_empty() { Happened::Changed } else { Happened::Moved };
            let change = self.push(kind, What::Opening, number.clone());
            change.why = format!("{why}; now has set {}", if to.is_empty() { "none" } else { to.as_str() });
            (change.field, change.from, change.to) = (Some("set".into()), Some(from), Some(to));
            (change.openings, change.delta) = (vec![number.clone()], delta);
        }
        for field in FIELDS {
            let (from, to) = (shown(before.get(field)), shown(after.get(field)));
            let restyled = from.to_lowercase().split_whitespace().eq(to.to_lowercase().split_whitespace());
            let told_otherwise = match field {
                "set" => true,
                "rating" => {
                    before.get("fire_minutes") != after.get("fire_minutes")
                        || !shown(before.get("fire_minutes")).is_empty()
                }
                _ => false,
            };
            if restyled || told_otherwise {
                continue;
            }
            let delta = if field == "excluded" && !moved { delta } else { Money::ZERO };
            let change = self.push(Happened::Changed, What::Opening, number.clone());
            (change.field, change.from, change.to) = (Some(field.to_owned()), Some(from), Some(to));
            (change.openings, change.delta, change.why) = (vec![number.clone()], delta, why.to_owned());
        }
    }

    fn compare_sets(&mut self) {
        for old in 0..self.old.snapshot.sets.len() {
            let set = &self.old.snapshot.sets[old];
            match self.sets.to_new.get(&old).cloned() {
                None => {
                    let delta = -self.unpaired_set(true, old);
                    let into = self.flow(old, true);
                    let change = self.push(Happened::Removed, What::Set, set.id.clone());
                    change.delta = delta;
                    change.openings = set.openings.clone();
                    change.why = match into {
                        Some(other) => format!("merged into set {other}: its doors now have that set"),
                        None => format!("not in the new schedule; it had {} lines", set.lines.len()),
                    };
                }
                Some((new, why)) => {
                    let other = &self.new.snapshot.sets[new];
                    if pairs::plain(&set.id) != pairs::plain(&other.id) {
                        let change = self.push(Happened::Renumbered, What::Set, other.id.clone());
                        (change.from, change.to) = (Some(set.id.clone()), Some(other.id.clone()));
                        (change.openings, change.why) = (other.openings.clone(), why.clone());
                    }
                    if !set.title.split_whitespace().eq(other.title.split_whitespace()) {
                        let change = self.push(Happened::Changed, What::Set, other.id.clone());
                        (change.from, change.to) = (Some(set.title.clone()), Some(other.title.clone()));
                        (change.field, change.why) = (Some("title".into()), why);
                    }
                }
            }
        }
        for new in
            (0..self.new.snapshot.sets.len()).filter(|new| !self.sets.to_old.contains_key(new)).collect::<Vec<_>>()
        {
            let set = &self.new.snapshot.sets[new];
            let delta = self.unpaired_set(false, new);
            let from = self.flow(new, false);
            let change = self.push(Happened::Added, What::Set, set.id.clone());
            change.delta = delta;
            change.openings = set.openings.clone();
            change.why = match from {
                Some(other) => format!("split from set {other}: its doors had that set"),
                None => format!("new in this schedule; it has {} lines", set.lines.len()),
            };
        }
    }

    /// Money of a set's own lines that no opening tells: lots.
    fn unpaired_set(&self, is_old: bool, set: usize) -> Money {
        let (side, told) = if is_old { (&self.old, &self.told_old) } else { (&self.new, &self.told_new) };
        let lines = side.lines.iter().filter(|line| !line.is_addition && line.set == Some(set));
        lines.map(|line| line.worth(left(line, told).0)).sum()
    }

    /// The one set on the other side that all doors of a set went to or came from.
    fn flow(&self, set: usize, is_old: bool) -> Option<String> {
        let (side, other, to) = if is_old { (&self.old, &self.new, true) } else { (&self.new, &self.old, false) };
        let mut found = None;
        for opening in (0..side.set_of.len()).filter(|opening| side.set_of[*opening] == Some(set)) {
            let there = if to { self.openings.new_of(opening) } else { self.openings.to_old.get(&opening).copied() };
            let there = there.and_then(|there| other.set_of[there])?;
            if found.is_some_and(|known| known != there) {
                return None;
            }
            found = Some(there);
        }
        found.map(|set| other.set_id(Some(set)).to_owned())
    }
}

/// Lines within paired sets, additions within rule, category and paired set.
fn pair_lines(old: &Side, new: &Side, sets: &Pairs) -> Pairs {
    type Key<'k> = (bool, Option<usize>, &'k str, &'k str);
    fn key<'k>(flat: &'k Flat, set: Option<usize>) -> Key<'k> {
        let category = if flat.is_addition { flat.line.category.as_deref().unwrap_or_default() } else { "" };
        (flat.is_addition, set, flat.line.rule.as_str(), category)
    }
    let mut groups: BTreeMap<Key, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for (index, flat) in old.lines.iter().enumerate() {
        match flat.set {
            None => groups.entry(key(flat, None)).or_default().0.push(index),
            Some(set) => {
                if let Some(set) = sets.new_of(set) {
                    groups.entry(key(flat, Some(set))).or_default().0.push(index);
                }
            }
        }
    }
    for (index, flat) in new.lines.iter().enumerate() {
        groups.entry(key(flat, flat.set)).or_default().1.push(index);
    }
    let mut all = Pairs::default();
    for (olds, news) in groups.into_values().filter(|(olds, news)| !olds.is_empty() && !news.is_empty()) {
        let lines = |side: &Side<'_>, indexes: &[usize]| {
            indexes.iter().map(|index| side.lines[*index].line.clone()).collect::<Vec<_>>()
        };
        let (one, two) = (lines(old, &olds), lines(new, &news));
        let found = pairs::lines(&one.iter().collect::<Vec<_>>(), &two.iter().collect::<Vec<_>>());
        for (from, (to, why)) in found.to_new {
            all.to_new.insert(olds[from], (news[to], why));
            all.to_old.insert(news[to], olds[from]);
        }
    }
    all
}
