//! What became of the sets: added, removed, renumbered, retitled, split, merged, each with its evidence.

use std::collections::BTreeMap;

use super::causes as cause;
use super::changes::{Happened, Moved, What};
use super::compare::{Compare, taken};
use super::compare_lines::left;
use super::pairs;
use crate::money::Money;

impl Compare<'_> {
    pub(super) fn compare_sets(&mut self) {
        for old in 0..self.old.snapshot.sets.len() {
            match self.sets.to_new.get(&old).cloned() {
                None => self.lone_set(old, true),
                Some((new, why)) => self.paired_set(old, new, &why),
            }
        }
        for new in
            (0..self.new.snapshot.sets.len()).filter(|new| !self.sets.to_old.contains_key(new)).collect::<Vec<_>>()
        {
            self.lone_set(new, false);
        }
    }

    fn paired_set(&mut self, old: usize, new: usize, why: &str) {
        let (set, other) = (&self.old.snapshot.sets[old], &self.new.snapshot.sets[new]);
        if pairs::plain(&set.id) != pairs::plain(&other.id) {
            let change = self.push(Happened::Renumbered, What::Set, other.id.clone(), cause::SET);
            (change.from, change.to) = (Some(set.id.clone()), Some(other.id.clone()));
            (change.openings, change.why) = (other.openings.clone(), why.to_owned());
        }
        if !set.title.split_whitespace().eq(other.title.split_whitespace()) {
            let change = self.push(Happened::Changed, What::Set, other.id.clone(), cause::SET);
            (change.from, change.to) = (Some(set.title.clone()), Some(other.title.clone()));
            (change.field, change.why) = (Some("title".into()), why.to_owned());
        }
    }

    fn lone_set(&mut self, index: usize, is_old: bool) {
        let side = if is_old { &self.old } else { &self.new };
        let set = &side.snapshot.sets[index];
        let (worth, goods) = self.lots(is_old, index);
        let flow = self.flow(index, is_old);
        let doubt = if is_old { self.sets.doubt_old(index) } else { self.sets.doubt_new(index) };
        let mut why = match (&flow, is_old) {
            (Some(flow), _) => flow.why.clone(),
            (None, true) => format!("not in the new schedule; it had {} lines", set.lines.len()),
            (None, false) => format!("new in this schedule; it has {} lines", set.lines.len()),
        };
        if let Some(doubt) = doubt.filter(|_| flow.is_none()) {
            why = format!("{why}; {doubt}");
        }
        let kind = if is_old { Happened::Removed } else { Happened::Added };
        let (id, openings) = (set.id.clone(), set.openings.clone());
        let change = self.push(kind, What::Set, id.clone(), cause::SET);
        if let Some(flow) = flow {
            change.field = Some(flow.word.to_owned());
            let (from, to) = if is_old { (id, flow.others) } else { (flow.others, id) };
            (change.from, change.to) = (Some(from), Some(to));
        }
        change.delta = if is_old { -worth } else { worth };
        change.goods = if is_old { taken(&goods) } else { goods };
        (change.openings, change.why) = (openings, why);
    }

    /// Money and goods of a set's own lines that no opening tells: lots.
    fn lots(&self, is_old: bool, set: usize) -> (Money, Vec<Moved>) {
        let (side, told) = if is_old { (&self.old, &self.told_old) } else { (&self.new, &self.told_new) };
        let lines = side.lines.iter().filter(|line| !line.is_addition && line.set == Some(set));
        let (mut money, mut goods) = (Money::ZERO, Vec::new());
        for line in lines {
            let count = left(line, told).0;
            money += line.worth(count);
            goods.extend(line.moved(count));
        }
        (money, goods)
    }

    /// Where the doors of a set that is gone went, or whence those of a new one came.
    fn flow(&self, set: usize, is_old: bool) -> Option<Flow> {
        let (side, other) = if is_old { (&self.old, &self.new) } else { (&self.new, &self.old) };
        let mut there: BTreeMap<usize, usize> = BTreeMap::new();
        let mut doors = 0;
        for opening in (0..side.set_of.len()).filter(|opening| side.set_of[*opening] == Some(set)) {
            doors += 1;
            let partner =
                if is_old { self.openings.new_of(opening) } else { self.openings.to_old.get(&opening).copied() };
            if let Some(partner) = partner.and_then(|partner| other.set_of[partner]) {
                *there.entry(partner).or_default() += 1;
            }
        }
        // More than half of its doors have to say the same; otherwise the set is new, and some doors have moved to it.
        if there.is_empty() || 2 * there.values().sum::<usize>() <= doors {
            return None;
        }
        let stays = |set: usize| {
            if is_old { self.sets.to_old.contains_key(&set) } else { self.sets.to_new.contains_key(&set) }
        };
        let names: Vec<&str> = there.keys().map(|set| other.set_id(Some(*set))).collect();
        let counts: Vec<String> = there
            .iter()
            .map(|(set, many)| {
                format!(
                    "{many} of its {doors} doors {} set {}",
                    if is_old { "now have" } else { "had" },
                    other.set_id(Some(*set))
                )
            })
            .collect();
        let counts = counts.join(", ");
        let first = *there.keys().next()?;
        let (word, lead) = match (there.len(), is_old, stays(first)) {
            (1, true, true) => ("merged", format!("merged into set {}", names[0])),
            (1, false, true) => ("split", format!("split from set {}", names[0])),
            (1, true, false) => ("replaced", format!("replaced by set {}", names[0])),
            (1, false, false) => ("replaced", format!("takes the place of set {}", names[0])),
            (_, true, _) => ("split", format!("split into sets {}", names.join(" and "))),
            (_, false, _) => ("merged", format!("merged from sets {}", names.join(" and "))),
        };
        Some(Flow { word, others: names.join(", "), why: format!("{lead}: {counts}") })
    }
}

/// Where doors went or came from.
struct Flow {
    word: &'static str,
    others: String,
    why: String,
}
