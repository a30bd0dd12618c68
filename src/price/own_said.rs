//! What is said of figures typed over in the estimate: of those that are not used any more, and of rows that were left out
//! while the rest of their line stays.

use super::own::{good_of, is_for, is_ours, name_of};
use super::quote::PricedItem;
use super::{pages, row_of};
use crate::complete::spec::Completed;
use crate::complete::told::{Typed, What};
use crate::count::takeoff::From;
use crate::finding::Finding;

/// Findings for totals and prices that were typed for another good or another count, and for rows left out.
pub(super) fn find(job: &Completed, items: &[PricedItem]) -> Vec<Finding> {
    let mut found = Vec::new();
    let of_row = |one: &&Typed| matches!(one.what, What::Quantity | What::Price) || one.leaves_row_out();
    for one in job.typed.iter().filter(of_row) {
        let about = |item: &&PricedItem| one.is_about(&name_of(job, item.item.from), &good_of(&item.item));
        let mine: Vec<&PricedItem> = items.iter().filter(about).collect();
        let used = mine.iter().filter(|item| match one.what {
            What::Quantity => item.over.quantity == one.was.parse().ok() && item.over.quantity.is_some(),
            What::LeaveOut => {
                item.over.left_out.is_some()
                    && is_for(one, What::LeaveOut, &name_of(job, item.item.from), &good_of(&item.item))
            }
            _ => item.over.is_priced,
        });
        let used: Vec<&&PricedItem> = used.collect();
        match (mine.first(), used.is_empty()) {
            (Some(item), true) => found.push(about_item(stale(job, one, item), job, one, item)),
            (_, false) if one.leaves_row_out() => {
                found.extend(used.into_iter().map(|item| about_item(left_out(job, one, item), job, one, item)));
            }
            _ => {}
        }
    }
    found
}

/// What a finding is about.
fn about_item(mut finding: Finding, job: &Completed, one: &Typed, item: &PricedItem) -> Finding {
    finding.excerpt = one.line.words.clone();
    if let From::Line(id) = item.item.from {
        finding.lines = vec![id];
        finding.set = job.sets.get(id.set).map(|set| set.id.clone());
        finding.place = row_of(item.item.from, job).cloned();
    }
    finding
}

/// `"closer" of set 4`.
fn line_words(one: &Typed) -> String {
    let set = if one.line.set.is_empty() { String::new() } else { format!(" of set {}", one.line.set) };
    format!("\"{}\"{set}", one.line.words)
}

/// What was typed and is not used, and why.
fn stale(job: &Completed, one: &Typed, item: &PricedItem) -> Finding {
    let good = good_of(&item.item);
    let is = if good.is_empty() { "has no good of the catalog".to_owned() } else { format!("is {good}") };
    let now = if !is_ours(job, item.item.from) {
        "the line is not priced now".to_owned()
    } else if one.what == What::Quantity && item.counted() != one.was.parse().unwrap_or_default() {
        format!("it was typed for a count of {}, and the count is {} now", one.was, item.counted().normalize())
    } else if one.good.is_empty() {
        format!("the line had no good of the catalog then and {is} now")
    } else {
        format!("it was typed for {}, and the line {is} now", one.good)
    };
    let what = match one.what {
        What::LeaveOut => "x in Leave out".to_owned(),
        what => format!("{} {} typed over", what.word(), one.value),
    };
    let says = format!("The {what} for {} is not used: {now}.", line_words(one));
    pages::finding("typed-over-stale", says)
        .help("type it over again on Priced goods if it still holds, or end it: x in Withdraw on Answers given")
}

/// A row that was left out while the rest of its line stays.
fn left_out(job: &Completed, one: &Typed, item: &PricedItem) -> Finding {
    let openings = item.over.left_out.as_deref().unwrap_or_default();
    let numbers: Vec<&str> = openings
        .iter()
        .filter_map(|index| job.schedule.openings.get(*index))
        .map(|door| door.number.as_str())
        .collect();
    const SHOWN: usize = 12;
    let more = numbers.len().saturating_sub(SHOWN);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let shown = &numbers[..numbers.len().min(SHOWN)];
    let at = match numbers.len() {
        0 => String::new(),
        1 => format!(" at door {}", shown.join(", ")),
        _ => format!(" at doors {}{more}", shown.join(", ")),
    };
    let good = good_of(&item.item);
    let good = if good.is_empty() { "what it has of no catalog".to_owned() } else { good };
    let says = format!(
        "Of {}, {} of {good} {} left out by {}{at}; the rest of the line stays.",
        line_words(one),
        item.counted().normalize(),
        if item.counted() == rust_decimal::Decimal::ONE { "is" } else { "are" },
        if one.by.is_empty() { "the estimator" } else { &one.by },
    );
    pages::finding("typed-row-left-out", says).help("clear the x in Leave out on its row to have it priced again")
}
