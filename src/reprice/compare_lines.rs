//! What became of the lines of the openings that stayed: changed in words, in count, in good, in price; each cent once.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::changes::{Figures, Happened, What};
use super::compare::Compare;
use super::flat::Flat;
use super::pairs::shown;
use crate::money::Money;

impl Compare<'_> {
    pub(super) fn compare_lines(&mut self) {
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
}

/// How many of a line are left when the openings that tell their own money are taken out, and which openings those are.
pub(super) fn left(flat: &Flat, told: &[bool]) -> (Decimal, Vec<usize>) {
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
