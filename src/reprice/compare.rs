//! Finds the changes. Money goes to openings that came, went or changed set; what is left, to the lines of the openings
//! that stayed: first the change of count at the old price, then the change of price on the new count; then charges.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::changes::{Change, Figures, Happened, What};
use super::flat::{Flat, Side};
use super::pairs::{self, FIELDS, Pairs, shown};
use crate::money::Money;

/// A comparison under way.
pub(super) struct Compare<'a> {
    old: Side<'a>,
    new: Side<'a>,
    sets: Pairs,
    openings: Pairs,
    lines: Pairs,
    /// Openings whose whole money is told with them, by old and by new index.
    told_old: Vec<bool>,
    told_new: Vec<bool>,
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

    pub(super) fn run(&mut self) {
        self.compare_openings();
        self.compare_sets();
        self.compare_lines();
        self.compare_charges();
        self.compare_findings();
    }

    fn push(&mut self, kind: Happened, what: What, id: impl Into<String>) -> &mut Change {
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

    fn compare_lines(&mut self) {
        for old in 0..self.old.lines.len() {
            match self.lines.to_new.get(&old).cloned() {
                Some((new, why)) => self.paired_line(old, new, &why),
                None => self.lone_line(old, true),
            }
        }
        for new in (0..self.new.lines.len()).filter(|new| !self.lines.to_old.contains_key(new)).collect::<Vec<_>>() {
            self.lone_line(new, false);
        }
    }

    fn lone_line(&mut self, index: usize, is_old: bool) {
        let (side, told, sets) = if is_old {
            (&self.old, &self.told_old, self.sets.to_new.keys().copied().collect::<std::collections::BTreeSet<_>>())
        } else {
            (&self.new, &self.told_new, self.sets.to_old.keys().copied().collect())
        };
        let flat = side.lines[index].clone();
        let (count, openings) = left(&flat, told);
        let lone_set = flat.set.is_some_and(|set| !sets.contains(&set));
        // An opening or a set that came or went has told it.
        if (!flat.is_addition && lone_set) || (flat.is_addition && count.is_zero()) {
            return;
        }
        let numbers: Vec<String> = openings.iter().map(|opening| side.number(*opening)).collect();
        let set = side.set_id(flat.set).to_owned();
        let worth = flat.worth(count);
        let kind = if is_old { Happened::Removed } else { Happened::Added };
        let nothing = Figures {
            set: set.clone(),
            category: flat.line.category.clone().unwrap_or_default(),
            good_from: String::new(),
            good_to: String::new(),
            count_from: "0".into(),
            count_to: "0".into(),
            unit_from: Money::ZERO,
            unit_to: Money::ZERO,
            extended_from: Money::ZERO,
            extended_to: Money::ZERO,
        };
        let (good, number, unit) =
            (flat.line.designation().to_owned(), count.normalize().to_string(), flat.line.unit());
        let figures = if is_old {
            Figures { good_from: good, count_from: number, unit_from: unit, extended_from: worth, ..nothing }
        } else {
            Figures { good_to: good, count_to: number, unit_to: unit, extended_to: worth, ..nothing }
        };
        let why = match (flat.is_addition, is_old) {
            (true, false) => flat.line.why.clone(),
            (true, true) => format!("no longer implied (rule {})", flat.line.rule),
            (false, false) => "new in this set".to_owned(),
            (false, true) => "no longer in this set".to_owned(),
        };
        let change = self.push(kind, What::Line, name(&flat, &set));
        change.openings = numbers;
        change.delta = if is_old { -worth } else { worth };
        (change.why, change.figures) = (why, Some(figures));
    }

    fn paired_line(&mut self, old: usize, new: usize, why: &str) {
        let (before, after) = (self.old.lines[old].clone(), self.new.lines[new].clone());
        let (count_old, at_old) = left(&before, &self.told_old);
        let (count_new, at_new) = left(&after, &self.told_new);
        let set = self.new.set_id(after.set).to_owned();
        let id = name(&after, &set);
        let (unit_old, unit_new) = (before.line.unit(), after.line.unit());
        let mut by_count = unit_old.times(count_new.saturating_sub(count_old)).unwrap_or_default();
        let mut by_price = (unit_new - unit_old).times(count_new).unwrap_or_default();
        let figures = Figures {
            set,
            category: after.line.category.clone().unwrap_or_default(),
            good_from: before.line.designation().to_owned(),
            good_to: after.line.designation().to_owned(),
            count_from: count_old.normalize().to_string(),
            count_to: count_new.normalize().to_string(),
            unit_from: unit_old,
            unit_to: unit_new,
            extended_from: before.worth(count_old),
            extended_to: after.worth(count_new),
        };
        let numbers: Vec<String> = at_new.iter().map(|opening| self.new.number(*opening)).collect();
        let same_good = before.line.good == after.line.good;
        for (field, from, to) in differing(&before, &after) {
            let delta = match field.as_str() {
                "quantity" | "basis" | "unit" => std::mem::take(&mut by_count),
                _ if !same_good => std::mem::take(&mut by_price),
                _ => Money::ZERO,
            };
            let change = self.push(Happened::Changed, What::Line, id.clone());
            (change.field, change.from, change.to) = (Some(field), Some(from), Some(to));
            (change.openings, change.delta) = (numbers.clone(), delta);
            (change.why, change.figures) = (why.to_owned(), Some(figures.clone()));
        }
        if !same_good || !by_count.is_zero() {
            self.good_and_count(&id, &figures, (&before, &after), (&at_old, &at_new), (&mut by_count, &mut by_price));
        }
        if !by_price.is_zero() || (same_good && unit_old != unit_new) {
            let reason = self.price_reason(&before, &after);
            let change = self.push(Happened::Changed, What::Price, id);
            (change.field, change.from, change.to) =
                (Some("unit_price".into()), Some(unit_old.to_string()), Some(unit_new.to_string()));
            (change.openings, change.delta, change.why, change.figures) = (numbers, by_price, reason, Some(figures));
        }
    }

    /// Another good for what is asked the same way, and counts that changed without a word of the line: both follow from
    /// the openings or from the catalog.
    fn good_and_count(
        &mut self,
        id: &str,
        figures: &Figures,
        (before, after): (&Flat, &Flat),
        (at_old, at_new): (&[usize], &[usize]),
        (by_count, by_price): (&mut Money, &mut Money),
    ) {
        let numbers: Vec<String> = at_new.iter().map(|opening| self.new.number(*opening)).collect();
        let told =
            self.changes.iter().rev().take_while(|change| change.id == id && change.what == What::Line).count() > 0;
        if before.line.good != after.line.good && !told {
            let reason = self.price_reason(before, after);
            let change = self.push(Happened::Changed, What::Line, id.to_owned());
            (change.field, change.from, change.to) =
                (Some("good".into()), Some(figures.good_from.clone()), Some(figures.good_to.clone()));
            (change.openings, change.delta) = (numbers, std::mem::take(by_price));
            (change.why, change.figures) =
                (format!("another good meets the same words: {reason}"), Some(figures.clone()));
        }
        if by_count.is_zero() {
            return;
        }
        let (shares_old, shares_new) = (by_opening(before), by_opening(after));
        let differ: Vec<String> = at_old
            .iter()
            .filter_map(|old| self.openings.new_of(*old).map(|new| (*old, new)))
            .chain(at_new.iter().filter_map(|new| self.openings.to_old.get(new).map(|old| (*old, *new))))
            .filter(|(old, new)| shares_old.get(old) != shares_new.get(new))
            .map(|(_, new)| self.new.number(new))
            .collect::<std::collections::BTreeSet<String>>()
            .into_iter()
            .collect();
        let change = self.push(Happened::Changed, What::Line, id.to_owned());
        (change.field, change.from, change.to) =
            (Some("count".into()), Some(figures.count_from.clone()), Some(figures.count_to.clone()));
        change.why = "these openings now take another number".to_owned();
        (change.openings, change.delta, change.figures) = (differ, std::mem::take(by_count), Some(figures.clone()));
    }

    /// Why a unit price is another one.
    fn price_reason(&self, before: &Flat, after: &Flat) -> String {
        let (old, new) = (&self.old.snapshot.catalog, &self.new.snapshot.catalog);
        let words = |flat: &Flat| flat.line.working.clone().unwrap_or_default();
        let (was, is) = (words(before), words(after));
        if before.line.unit_price.is_none() || after.line.unit_price.is_none() {
            return "priced on one side only".to_owned();
        }
        if was.net != is.net && old != new {
            return format!("catalog {} of {} → {} of {}", old.name, old.effective, new.name, new.effective);
        }
        if was.rate_words != is.rate_words {
            return format!("{} → {}", was.rate_words, is.rate_words);
        }
        "figures it is reckoned from changed".to_owned()
    }

    fn compare_charges(&mut self) {
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
            let change = self.push(Happened::Changed, What::Price, id);
            (change.field, change.from, change.to) =
                (Some("amount".into()), Some(from.to_string()), Some(to.to_string()));
            (change.delta, change.why) = (to - from, format!("{kind} follows from the goods and the terms"));
        }
    }

    fn compare_findings(&mut self) {
        let (old, new) = (&self.old.snapshot.findings, &self.new.snapshot.findings);
        let known: BTreeMap<&str, &str> = old.iter().map(|one| (one.id.as_str(), one.kind.as_str())).collect();
        let still: BTreeMap<&str, &str> = new.iter().map(|one| (one.id.as_str(), one.kind.as_str())).collect();
        let answers = &self.new.snapshot.answers;
        let mut found = Vec::new();
        for one in old.iter().filter(|one| !still.contains_key(one.id.as_str())) {
            let why = match answers.get(&one.id) {
                Some(words) => format!("answered: {words}"),
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
            let change = self.push(kind, What::Finding, one.id);
            (change.openings, change.why) = (one.openings, why);
            match kind {
                Happened::Removed => change.from = Some(one.kind),
                Happened::Added => change.to = Some(one.kind),
                _ => (change.field, change.from, change.to) = (Some("kind".into()), was, Some(one.kind)),
            }
        }
    }
}

/// How many of a line are left when the openings that tell their own money are taken out, and which openings those are.
fn left(flat: &Flat, told: &[bool]) -> (Decimal, Vec<usize>) {
    let mut count = flat.lot;
    let mut openings = Vec::new();
    for (opening, share) in flat.shares.iter().filter(|(opening, _)| !told[*opening]) {
        count = count.saturating_add(*share);
        openings.push(*opening);
    }
    (count, openings)
}

fn by_opening(flat: &Flat) -> BTreeMap<usize, Decimal> {
    let mut shares = BTreeMap::new();
    for (opening, share) in &flat.shares {
        let sum = shares.entry(*opening).or_insert(Decimal::ZERO);
        *sum = sum.saturating_add(*share);
    }
    shares
}

/// What a line says otherwise than before: field, from, to.
fn differing(before: &Flat, after: &Flat) -> Vec<(String, String, String)> {
    let (old, new) = (before.line, after.line);
    let mut differ = Vec::new();
    let mut compare = |field: &str, from: String, to: String| {
        if from != to {
            differ.push((field.to_owned(), from, to));
        }
    };
    compare("category", old.category.clone().unwrap_or_default(), new.category.clone().unwrap_or_default());
    let names: std::collections::BTreeSet<&String> = old.attributes.keys().chain(new.attributes.keys()).collect();
    for name in names {
        compare(name, shown(old.attributes.get(name)), shown(new.attributes.get(name)));
    }
    if !before.is_addition {
        compare("quantity", old.quantity.clone(), new.quantity.clone());
        compare("basis", old.basis.clone(), new.basis.clone());
        compare("status", old.status.clone(), new.status.clone());
    }
    compare("unit", old.unit.clone(), new.unit.clone());
    differ
}

/// `set 3: (3) HINGE …`, `set 3: added frame-guard`.
fn name(flat: &Flat, set: &str) -> String {
    let words = if flat.is_addition {
        format!("added {} ({})", flat.line.category.as_deref().unwrap_or_default(), flat.line.rule)
    } else {
        flat.line.text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    if set.is_empty() { words } else { format!("set {set}: {words}") }
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
