//! Finds the changes. Money goes to openings that came, went or changed set; what is left, to the lines of the openings
//! that stayed: first the change of count at the old price, then the change of price on the new count; then charges.

use std::collections::BTreeMap;

use super::causes as cause;
use super::changes::{Change, Happened, Moved, What};
use super::flat::Side;
use super::pairs::{self, FIELDS, Pairs, shown};
use super::split;
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
    /// What changed about each opening, by its number now.
    pub(super) facts: BTreeMap<String, Vec<String>>,
    pub(super) changes: Vec<Change>,
}

impl<'a> Compare<'a> {
    pub(super) fn new(mut old: Side<'a>, mut new: Side<'a>) -> Self {
        let sets = pairs::sets(&old.snapshot.sets, &new.snapshot.sets);
        let openings = pairs::openings(old.snapshot, new.snapshot, &sets);
        let cut = split::lines(&old, &new, &sets, &openings);
        (old.lines, new.lines) = (cut.old, cut.new);
        let lines = cut.pairs;
        let (told_old, told_new) = (vec![false; old.set_of.len()], vec![false; new.set_of.len()]);
        Compare { old, new, sets, openings, lines, told_old, told_new, facts: BTreeMap::new(), changes: Vec::new() }
    }

    /// Whether anything at all is the same on both sides.
    pub(super) fn pairs_anything(&self) -> bool {
        !self.openings.to_new.is_empty() || !self.sets.to_new.is_empty()
    }

    pub(super) fn run(&mut self, partial: bool) {
        self.compare_openings();
        self.facts = facts(&self.changes);
        self.compare_sets();
        self.compare_lines();
        self.compare_charges();
        self.compare_findings(partial);
    }

    /// A new change, to be filled in.
    pub(super) fn push(
        &mut self,
        kind: Happened,
        what: What,
        id: impl Into<String>,
        cause: &'static str,
    ) -> &mut Change {
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
            cause,
            goods: Vec::new(),
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
                    let goods = taken(&self.old.goods_at[old]);
                    let doubt = noted(self.openings.doubt_old(old));
                    let change = self.push(Happened::Removed, What::Opening, number.clone(), cause::OPENING_REMOVED);
                    (change.openings, change.delta, change.goods) = (vec![number], delta, goods);
                    change.why = format!("not in the new schedule; had set {}{doubt}", none_if_empty(set));
                }
            }
        }
        for new in (0..self.new.set_of.len()).filter(|new| !self.openings.to_old.contains_key(new)).collect::<Vec<_>>()
        {
            self.told_new[new] = true;
            let (number, delta) = (self.new.number(new), self.new.money_at[new]);
            let set = self.new.set_id(self.new.set_of[new]);
            let goods = self.new.goods_at[new].clone();
            let doubt = noted(self.openings.doubt_new(new));
            let change = self.push(Happened::Added, What::Opening, number.clone(), cause::OPENING_ADDED);
            (change.openings, change.delta, change.goods) = (vec![number], delta, goods);
            change.why = format!("new in this schedule; has set {}{doubt}", none_if_empty(set));
        }
    }

    fn paired_opening(&mut self, old: usize, new: usize, why: &str) {
        let (number_old, number) = (self.old.number(old), self.new.number(new));
        if pairs::plain(&number_old) != pairs::plain(&number) {
            let change = self.push(Happened::Renumbered, What::Opening, number.clone(), cause::OPENING_CHANGED);
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
            let goods = self.exchanged(old, new);
            let change = self.push(kind, What::Opening, number.clone(), cause::OPENING_MOVED);
            change.why = format!("{why}; now has set {}", none_if_empty(&to));
            (change.field, change.from, change.to) = (Some("set".into()), Some(from), Some(to));
            (change.openings, change.delta, change.goods) = (vec![number.clone()], delta, goods);
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
            let tells = field == "excluded" && excluded && !moved;
            let delta = if tells { delta } else { Money::ZERO };
            let goods = if tells { self.exchanged(old, new) } else { Vec::new() };
            let cause = if tells { cause::IN_OR_OUT } else { cause::OPENING_CHANGED };
            let change = self.push(Happened::Changed, What::Opening, number.clone(), cause);
            (change.field, change.from, change.to) = (Some(field.to_owned()), Some(from), Some(to));
            (change.openings, change.delta, change.why) = (vec![number.clone()], delta, why.to_owned());
            change.goods = goods;
        }
    }

    /// Goods of an opening that go and come, what stays left out.
    fn exchanged(&self, old: usize, new: usize) -> Vec<Moved> {
        let (mut gone, mut come) = (self.old.goods_at[old].clone(), self.new.goods_at[new].clone());
        gone.retain(|was| match come.iter().position(|is| is == was) {
            Some(at) => {
                come.remove(at);
                false
            }
            None => true,
        });
        taken(&gone).into_iter().chain(come).collect()
    }
}

/// Properties that changed, by opening: `height 84 -> 96`.
fn facts(changes: &[Change]) -> BTreeMap<String, Vec<String>> {
    let mut facts: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for change in changes.iter().filter(|change| change.kind == Happened::Changed && change.what == What::Opening) {
        let (Some(field), Some(from), Some(to)) = (&change.field, &change.from, &change.to) else { continue };
        if field != "remarks" && field != "room" {
            let words = format!("{} {} -> {}", field.replace('_', " "), none_if_empty(from), none_if_empty(to));
            facts.entry(change.id.clone()).or_default().push(words);
        }
    }
    facts
}

/// Goods with their counts turned about.
pub(super) fn taken(goods: &[Moved]) -> Vec<Moved> {
    goods.iter().map(|moved| Moved { count: -moved.count, ..moved.clone() }).collect()
}

fn noted(doubt: Option<&str>) -> String {
    doubt.map(|doubt| format!("; {doubt}")).unwrap_or_default()
}

fn none_if_empty(set: &str) -> &str {
    if set.is_empty() { "none" } else { set }
}
