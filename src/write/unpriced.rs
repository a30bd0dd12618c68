//! What a proposal says that it does not price: lines without a price and openings without hardware, each with the reason
//! that the customer can see in the schedule.

use std::collections::{BTreeMap, BTreeSet};

use crate::complete::spec::{Spec, Status};
use crate::count::takeoff::From;
use crate::price::quote::Quote;

/// Lines that carry no price, in the customer's own words, with the reason as far as it is the customer's.
pub(super) fn lines(quote: &Quote) -> Vec<String> {
    let priced: BTreeSet<From> =
        quote.items.iter().filter(|item| item.working.is_some()).map(|item| item.item.from).collect();
    let mut words = Vec::new();
    for (set, of) in quote.job.sets.iter().enumerate() {
        for (line, spec) in of.specs.iter().enumerate() {
            if !priced.contains(&From::Line(crate::finding::LineId { set, line })) {
                let written: Vec<&str> = spec.wording.text.split_whitespace().collect();
                words.push(format!("Set {}: {} ({})", of.id, written.join(" "), why_unpriced(spec)));
            }
        }
    }
    words
}

/// Openings for which nothing is priced, by the reason that the customer can see in the schedule: nobody is to find out on
/// site that a door was never in the sum.
pub(super) fn openings(quote: &Quote) -> Vec<String> {
    let priced = quote.items.iter().filter(|item| item.working.is_some());
    let has: BTreeSet<usize> = priced.flat_map(|item| item.item.shares.iter().map(|(opening, _)| *opening)).collect();
    let served: BTreeSet<usize> = quote.job.sets.iter().flat_map(|set| set.openings.iter().copied()).collect();
    let mut by_reason: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    for (index, opening) in quote.job.schedule.openings.iter().enumerate().filter(|(index, _)| !has.contains(index)) {
        let reason = match (&opening.set, opening.excluded.is_some()) {
            (_, true) => "by others, existing or not in contract, as the schedule says".to_owned(),
            (None, _) => "no hardware set is given".to_owned(),
            (Some(id), _) if !served.contains(&index) => format!("set {id} is not in the schedule"),
            (Some(id), _) => format!("no line of set {id} has a price"),
        };
        by_reason.entry(reason).or_default().push(&opening.number);
    }
    by_reason.into_iter().map(|(reason, numbers)| format!("{}: {reason}", numbers.join(", "))).collect()
}

fn why_unpriced(spec: &Spec) -> &'static str {
    // What was left out by us or by an answer is not what the schedule says.
    let is_own = |why: &String| why.starts_with("left out") || why.starts_with("answered");
    match spec.status {
        Status::Excluded if spec.excluded.as_ref().is_some_and(is_own) => "not included",
        Status::Excluded => "by others, existing or not in contract, as the schedule says",
        Status::Unread => "not understood; please clarify",
        _ => "price to follow",
    }
}
