//! What a proposal says that it does not price: lines without a price and openings without hardware, each with the reason
//! that the customer can see in the schedule.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::words::counted;

use crate::complete::select::title;
use crate::complete::spec::{CompletedSet, Spec, Status};
use crate::count::takeoff::From;
use crate::price::quote::{PricedItem, Quote};
use crate::price::without_good;

/// Lines that carry no price, in the customer's own words, with the reason as far as it is the customer's.
pub(super) fn lines(quote: &Quote) -> Vec<String> {
    let priced: BTreeSet<From> =
        quote.items.iter().filter(|item| item.working.is_some()).map(|item| item.item.from).collect();
    let mut words = Vec::new();
    for (set, of) in quote.job.sets.iter().enumerate() {
        for (line, spec) in of.specs.iter().enumerate() {
            let nowhere = spec.excluded.is_none() && is_nowhere(quote, of, spec);
            // One sentence may name several goods that others furnish: the customer reads it once.
            let again = |before: &Spec| {
                before.place == spec.place && before.wording == spec.wording && before.excluded == spec.excluded
            };
            if spec.excluded.is_some() && line.checked_sub(1).is_some_and(|before| again(&of.specs[before])) {
                continue;
            }
            let why = match priced.contains(&From::Line(crate::finding::LineId { set, line })) {
                _ if nowhere => "at no door of the schedule".to_owned(),
                true => continue,
                false => why_unpriced(spec),
            };
            let written: Vec<&str> = spec.wording.text.split_whitespace().collect();
            words.push(format!("Set {}: {} ({why})", of.id, written.join(" ")));
        }
    }
    words.extend(parts(quote, &priced));
    words
}

/// Whether a line holds at none of the doors that its set serves: it has a price, and nothing of it is in the sum.
fn is_nowhere(quote: &Quote, set: &CompletedSet, spec: &Spec) -> bool {
    let live =
        |door: &&usize| quote.job.schedule.openings.get(**door).is_some_and(|opening| opening.excluded.is_none());
    let mut doors = set.openings.iter().filter(live).peekable();
    doors.peek().is_some() && doors.all(|door| spec.left_out.contains(door) && !spec.others.contains(door))
}

/// The doors at which a line has no price, where it has one at others.
pub(super) fn doors_alone(quote: &Quote, spec: &Spec) -> Option<String> {
    let of_line = |item: &&PricedItem| item.item.from == From::Line(spec.id);
    let is_priced = quote.items.iter().filter(of_line).any(|item| item.working.is_some());
    let bare: Vec<&PricedItem> = without_good::bare(quote).filter(of_line).collect();
    let doors = without_good::numbers(&quote.job, &bare).join(", ");
    (is_priced && !doors.is_empty()).then_some(doors)
}

/// Additions that carry no price, for the estimate: the good and its doors; what comes nearest.
pub(super) fn added(quote: &Quote) -> Vec<(String, String)> {
    let job = &quote.job;
    let words = |(from, items): (From, Vec<&PricedItem>)| {
        let From::Added(index) = from else { return None };
        let added = job.added.get(index)?;
        let set = added.set.and_then(|set| job.sets.get(set)).map(|set| format!("Set {}: ", set.id));
        let doors = without_good::numbers(job, &items).join(", ");
        let words = format!("{}added {}, {} ({doors})", set.unwrap_or_default(), title(added.category), added.rule);
        let near = added.selection.near.first().map(|(good, why)| format!("Nearest: {}; {why}", good.description));
        Some((words, near.unwrap_or_else(|| "No price".to_owned())))
    };
    bare_by_from(quote).into_iter().filter_map(words).collect()
}

fn bare_by_from(quote: &Quote) -> BTreeMap<From, Vec<&PricedItem>> {
    let mut by_from: BTreeMap<From, Vec<&PricedItem>> = BTreeMap::new();
    for item in without_good::bare(quote) {
        by_from.entry(item.item.from).or_default().push(item);
    }
    by_from
}

/// What carries no price at some doors alone, or was added and carries none.
fn parts(quote: &Quote, priced: &BTreeSet<From>) -> Vec<String> {
    let job = &quote.job;
    let words = |(from, items): (From, Vec<&PricedItem>)| {
        let (set, what) = match from {
            // A line without any price has been named.
            From::Line(_) if !priced.contains(&from) => return None,
            From::Line(id) => {
                let spec = job.sets.get(id.set)?.specs.get(id.line)?;
                (Some(id.set), spec.wording.text.split_whitespace().collect::<Vec<_>>().join(" "))
            }
            From::Added(index) => {
                let added = job.added.get(index)?;
                let count: Decimal = items.iter().map(|item| item.item.count).sum();
                (added.set, format!("{} {}, not in the schedule", count.normalize(), title(added.category)))
            }
        };
        let set = set.and_then(|set| job.sets.get(set)).map(|set| format!("Set {}: ", set.id)).unwrap_or_default();
        let doors = without_good::numbers(job, &items).join(", ");
        let at = if doors.is_empty() { String::new() } else { format!(", for {doors}") };
        Some(format!("{set}{what}{at} (price to follow)"))
    };
    bare_by_from(quote).into_iter().filter_map(words).collect()
}

/// Openings for which nothing is priced, by the reason that the customer can see in the schedule: nobody is to find out on
/// site that a door was never in the sum.
pub(super) fn openings(quote: &Quote) -> Vec<String> {
    let priced = quote.items.iter().filter(|item| item.working.is_some());
    let has: BTreeSet<usize> = priced.flat_map(|item| item.item.shares.iter().map(|(opening, _)| *opening)).collect();
    let served: BTreeSet<usize> = quote.job.sets.iter().flat_map(|set| set.openings.iter().copied()).collect();
    let mut by_reason: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for (index, opening) in quote.job.schedule.openings.iter().enumerate().filter(|(index, _)| !has.contains(index)) {
        let reason = match (&opening.set, &opening.excluded) {
            (_, Some(why)) if why.starts_with("answered") => "not included".to_owned(),
            (_, Some(why)) => format!("{}, as the schedule says", said(why)),
            (None, _) => "no hardware set is given".to_owned(),
            (Some(id), _) if !served.contains(&index) => format!("set {id} is not in the schedule"),
            (Some(id), _) => format!("no line of set {id} has a price"),
        };
        by_reason.entry(reason).or_default().push(&opening.number);
    }
    by_reason.into_iter().map(|(reason, numbers)| format!("{}: {reason}", numbers.join(", "))).collect()
}

/// The words of a schedule within a sentence: abbreviations, `N.I.C.`, keep their capitals.
fn said(why: &str) -> String {
    let short = why.contains('.') || !why.contains(' ') && why.chars().count() <= ABBREVIATION;
    if short { why.to_owned() } else { why.to_lowercase() }
}

/// Letters of a word by itself that is an abbreviation: NIC, ETR, OFCI.
const ABBREVIATION: usize = 4;

/// How many doors and sets the sum is for, and how many doors of the schedule it is not for.
pub(super) fn scope(quote: &Quote) -> String {
    let count = |out: bool| -> usize {
        let openings = quote.job.schedule.openings.iter().filter(|opening| opening.excluded.is_some() == out);
        openings.map(|opening| opening.count as usize).sum()
    };
    let openings = counted(count(false), "opening", "openings");
    let sets = counted(quote.job.sets.len(), "hardware set", "hardware sets");
    match count(true) {
        0 => format!("{openings}, {sets}"),
        out => format!("{openings}, {sets}; {} of the schedule left out", counted(out, "opening", "openings")),
    }
}

fn why_unpriced(spec: &Spec) -> String {
    // What was left out by us or by an answer is not what the schedule says.
    let is_own = |why: &String| why.starts_with("left out") || why.starts_with("answered");
    let rule = spec.excluded.as_deref().and_then(|why| why.strip_prefix("left out: "));
    if let (Status::Excluded, Some(why)) = (spec.status, rule) {
        return format!("not included: {why}");
    }
    let why = match spec.status {
        Status::Excluded if spec.excluded.as_deref() == Some(crate::read::STRUCK) => "struck through in the schedule",
        Status::Excluded if spec.excluded.as_ref().is_some_and(is_own) => "not included",
        Status::Excluded if spec.excluded.as_deref().and_then(crate::read::alternate).is_some() => {
            "an alternate, not in the sum"
        }
        Status::Excluded => "by others, existing or not in contract, as the schedule says",
        Status::Unread => "not understood; please clarify",
        _ => "price to follow",
    };
    why.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn abbreviations_keep_their_capitals() {
        let told = ["N.I.C.", "OFCI", "BY OTHERS", "Existing"].map(said);
        assert_eq!(told, ["N.I.C.", "OFCI", "by others", "existing"]);
    }
}
