//! What became of the lines of the openings that stayed: changed in words, in count, in good, in price; each cent once.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::causes as cause;
use super::changes::{Figures, Happened, Moved, What};
use super::compare::Compare;
use super::flat::Flat;
use super::pairs::{self, shown};
use crate::money::Money;
use crate::price::surcharges;

/// The money and goods of one cause.
type Part = (Money, Vec<Moved>);

/// What a paired line changes the total by: first the count at the old price, then the price on the new count.
struct Due {
    counts: (Decimal, Decimal),
    count: Option<Part>,
    price: Option<Part>,
}

impl Due {
    fn of(before: &Flat, after: &Flat, count_old: Decimal, count_new: Decimal) -> Due {
        let more = count_new.saturating_sub(count_old);
        let (was, is) = (before.line.unit(), after.line.unit());
        let other_good = before.line.good != after.line.good;
        Due {
            counts: (count_old, count_new),
            count: (!more.is_zero()).then(|| (before.worth(more), before.moved(more).into_iter().collect())),
            price: (other_good || was != is).then(|| {
                let goods = before.moved(-count_new).into_iter().chain(after.moved(count_new));
                ((is - was).times(count_new).unwrap_or_default(), goods.collect())
            }),
        }
    }

    fn figures(&self, before: &Flat, after: &Flat, set: String) -> Figures {
        Figures {
            set,
            category: after.line.category.clone().unwrap_or_default(),
            good_from: before.line.designation().to_owned(),
            good_to: after.line.designation().to_owned(),
            count_from: self.counts.0.normalize().to_string(),
            count_to: self.counts.1.normalize().to_string(),
            unit_from: before.line.unit(),
            unit_to: after.line.unit(),
            extended_from: before.worth(self.counts.0),
            extended_to: after.worth(self.counts.1),
        }
    }
}

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
        let (side, told) = if is_old { (&self.old, &self.told_old) } else { (&self.new, &self.told_new) };
        let flat = side.lines[index].clone();
        let (count, openings) = left(&flat, told);
        let lone_set = flat.set.is_some_and(|set| {
            if is_old { !self.sets.to_new.contains_key(&set) } else { !self.sets.to_old.contains_key(&set) }
        });
        // An opening or a set that came or went has told it.
        let is_told = count.is_zero() && (flat.is_addition || !flat.line.counted().is_zero());
        if (!flat.is_addition && lone_set) || is_told {
            return;
        }
        let numbers: Vec<String> = openings.iter().map(|opening| side.number(*opening)).collect();
        let set = side.set_id(flat.set).to_owned();
        let worth = flat.worth(count);
        let mut figures = Figures {
            set: set.clone(),
            category: flat.line.category.clone().unwrap_or_default(),
            ..Figures::default()
        };
        let (good, number, unit) =
            (flat.line.designation().to_owned(), count.normalize().to_string(), flat.line.unit());
        if is_old {
            (figures.good_from, figures.count_from, figures.count_to) = (good, number, "0".into());
            (figures.unit_from, figures.extended_from) = (unit, worth);
        } else {
            (figures.good_to, figures.count_from, figures.count_to) = (good, "0".into(), number);
            (figures.unit_to, figures.extended_to) = (unit, worth);
        }
        let mut why = match (flat.is_addition, is_old) {
            (true, false) => flat.line.why.clone(),
            (true, true) => format!("no longer implied (rule {})", flat.line.rule),
            (false, false) => "new in this set".to_owned(),
            (false, true) => "no longer in this set".to_owned(),
        };
        if flat.is_addition {
            let because = self.because(&numbers);
            if !because.is_empty() {
                why.truncate(why.trim_end_matches('.').len());
            }
            why.push_str(&because);
        }
        if let Some(doubt) = &flat.doubt {
            why = format!("{why}; {doubt}");
        }
        let (kind, cause) = match (flat.is_addition, is_old) {
            (true, true) => (Happened::Removed, cause::IMPLIED),
            (true, false) => (Happened::Added, cause::IMPLIED),
            (false, true) => (Happened::Removed, cause::LINE_REMOVED),
            (false, false) => (Happened::Added, cause::LINE_ADDED),
        };
        let change = self.push(kind, What::Line, name(&flat, &set), cause);
        change.openings = numbers;
        change.delta = if is_old { -worth } else { worth };
        change.goods.extend(flat.moved(if is_old { -count } else { count }));
        (change.why, change.figures) = (why, Some(figures));
    }

    fn paired_line(&mut self, old: usize, new: usize, why: &str) {
        let (before, after) = (self.old.lines[old].clone(), self.new.lines[new].clone());
        let ((count_old, at_old), (count_new, at_new)) = (left(&before, &self.told_old), left(&after, &self.told_new));
        let set = self.new.set_id(after.set).to_owned();
        let id = name(&after, &set);
        let same_good = before.line.good == after.line.good;
        let mut due = Due::of(&before, &after, count_old, count_new);
        let figures = due.figures(&before, &after, set);
        let numbers: Vec<String> = at_new.iter().map(|opening| self.new.number(*opening)).collect();
        let implied = after.is_addition || pairs::squeezed(&before.line.text) == pairs::squeezed(&after.line.text);
        let because = if implied { self.because(&numbers) } else { String::new() };
        let mut told = false;
        for (field, from, to) in differing(&before, &after) {
            let part = match field.as_str() {
                "quantity" | "basis" | "unit" => due.count.take(),
                _ if !same_good => due.price.take(),
                _ => None,
            };
            let cause = match field.as_str() {
                _ if self.answered(&after) => cause::ANSWERED,
                _ if implied => cause::IMPLIED,
                "quantity" | "basis" | "unit" => cause::QUANTITY,
                _ => cause::LINE_CHANGED,
            };
            let change = self.push(Happened::Changed, What::Line, id.clone(), cause);
            (change.field, change.from, change.to) = (Some(field), Some(from), Some(to));
            change.openings.clone_from(&numbers);
            (change.why, change.figures) = (format!("{why}{because}"), Some(figures.clone()));
            (change.delta, change.goods) = part.unwrap_or_default();
            told = true;
        }
        if !same_good && !told {
            let reason = self.price_reason(&before, &after);
            let change = self.push(Happened::Changed, What::Line, id.clone(), cause::IMPLIED);
            (change.field, change.from, change.to) =
                (Some("good".into()), Some(figures.good_from.clone()), Some(figures.good_to.clone()));
            change.openings.clone_from(&numbers);
            change.why = format!("another good meets the same words: {reason}{because}");
            change.figures = Some(figures.clone());
            (change.delta, change.goods) = due.price.take().unwrap_or_default();
        }
        if let Some((delta, goods)) = due.count.take() {
            let differ = self.other_counts((&before, &after), (&at_old, &at_new));
            let because = self.because(&differ);
            let change = self.push(Happened::Changed, What::Line, id.clone(), cause::IMPLIED);
            (change.field, change.from, change.to) =
                (Some("count".into()), Some(figures.count_from.clone()), Some(figures.count_to.clone()));
            change.why = format!("these openings now take another number{because}");
            (change.openings, change.delta, change.figures) = (differ, delta, Some(figures.clone()));
            change.goods = goods;
        }
        if let Some((delta, goods)) = due.price.take() {
            let reason = self.price_reason(&before, &after);
            let follows = after.is_addition && after.line.rule == surcharges::RULE;
            let cause = if follows { cause::CHARGE } else { cause::PRICE };
            let change = self.push(Happened::Changed, What::Price, id, cause);
            (change.field, change.from, change.to) =
                (Some("unit_price".into()), Some(figures.unit_from.to_string()), Some(figures.unit_to.to_string()));
            (change.openings, change.delta, change.why, change.figures) = (numbers, delta, reason, Some(figures));
            change.goods = goods;
        }
    }

    /// Whether an answer that the old quote did not have speaks of a line.
    fn answered(&self, after: &Flat) -> bool {
        let (old, new) = (&self.old.snapshot.answers, &self.new.snapshot.answers);
        after.line.findings.iter().any(|id| new.contains_key(id) && old.get(id) != new.get(id))
    }

    /// What changed about these openings, as the reason of what follows: `; door 118: fire_minutes none -> 20`.
    fn because(&self, numbers: &[String]) -> String {
        let told =
            |number: &String| self.facts.get(number).map(|facts| format!("; door {number}: {}", facts.join(", ")));
        let mut reasons = numbers.iter().filter_map(told);
        let first = reasons.next().unwrap_or_default();
        let more = reasons.count();
        if more > 0 { format!("{first}; and {more} more doors") } else { first }
    }

    /// Openings on both sides that take another number of a line.
    fn other_counts(&self, (before, after): (&Flat, &Flat), (at_old, at_new): (&[usize], &[usize])) -> Vec<String> {
        let (shares_old, shares_new) = (by_opening(before), by_opening(after));
        let was = at_old.iter().filter_map(|old| self.openings.new_of(*old).map(|new| (*old, new)));
        let is = at_new.iter().filter_map(|new| self.openings.to_old.get(new).map(|old| (*old, *new)));
        let differ = was.chain(is).filter(|(old, new)| shares_old.get(old) != shares_new.get(new));
        differ.map(|(_, new)| self.new.number(new)).collect::<BTreeSet<String>>().into_iter().collect()
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
    let names: BTreeSet<&String> = old.attributes.keys().chain(new.attributes.keys()).collect();
    for name in names {
        compare(name, shown(old.attributes.get(name)), shown(new.attributes.get(name)));
    }
    if !before.is_addition {
        compare("quantity", old.quantity.clone(), new.quantity.clone());
        compare("basis", old.basis.clone(), new.basis.clone());
        // Whether a line is settled is told by its questions; whether it is ours at all is told here.
        let ours =
            |line: &super::snapshot::LineRecord| !["excluded", "unread", "unpriced"].contains(&line.status.as_str());
        if ours(old) != ours(new) {
            compare("status", old.status.clone(), new.status.clone());
        }
    }
    compare("unit", old.unit.clone(), new.unit.clone());
    differ
}

/// `set 3: (3) HINGE …`, `set 3: added frame-guard`.
fn name(flat: &Flat, set: &str) -> String {
    let words = if flat.line.rule == surcharges::RULE {
        // Its reason names it; the category tells nothing.
        format!("{} ({})", flat.line.why.replace(surcharges::IN_FORCE, ""), surcharges::RULE)
    } else if flat.is_addition {
        format!("added {} ({})", flat.line.category.as_deref().unwrap_or_default(), flat.line.rule)
    } else {
        flat.line.text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    if set.is_empty() { words } else { format!("set {set}: {words}") }
}
