//! Goods that are counted and that nothing in the catalog fits, where the question about the line does not show it: what
//! rules added, and the goods of a line for some of its doors while the others have theirs.

use std::collections::BTreeMap;

use super::own::is_ours;
use super::quote::{PricedItem, Quote, Trouble};
use super::{category_of, pages};
use crate::catalog::Catalog;
use crate::catalog::good::Request;
use crate::complete::select::title;
use crate::complete::spec::{Completed, Status};
use crate::count::takeoff::From;
use crate::finding::{Finding, LineId};
use crate::trade::attribute::Attributes;

/// Whether an item is ours to supply, is counted, and yet adds nothing to the total for want of a price.
pub(super) fn is_bare(job: &Completed, item: &PricedItem) -> bool {
    let is_read = match item.item.from {
        From::Line(id) => job
            .sets
            .get(id.set)
            .and_then(|set| set.specs.get(id.line))
            .is_some_and(|spec| !matches!(spec.status, Status::Excluded | Status::Unread)),
        From::Added(index) => job.added.get(index).is_some_and(|added| added.rule != super::surcharges::RULE),
    };
    is_read && item.working.is_none() && !item.item.count.is_zero() && is_ours(job, item.item.from)
}

/// The items of a quote that are ours and carry no price.
pub fn bare(quote: &Quote) -> impl Iterator<Item = &PricedItem> {
    quote.items.iter().filter(|item| is_bare(&quote.job, item))
}

/// What was added and carries no price: how many additions.
pub fn added_bare(quote: &Quote) -> usize {
    let added = bare(quote).filter_map(|item| match item.item.from {
        From::Added(index) => Some(index),
        From::Line(_) => None,
    });
    added.collect::<std::collections::BTreeSet<_>>().len()
}

/// The findings: one for each line, one for what a rule added of a category.
pub(super) fn find(job: &mut Completed, items: &[PricedItem], catalog: &Catalog) -> Vec<Finding> {
    let mut lines: BTreeMap<LineId, Vec<&PricedItem>> = BTreeMap::new();
    let mut added: BTreeMap<(&'static str, &'static str), Vec<&PricedItem>> = BTreeMap::new();
    for item in items.iter().filter(|item| item.item.candidate.is_none() && is_bare(job, item)) {
        match item.item.from {
            _ if item.trouble == Some(Trouble::LeftOut) => {}
            // Where nothing fits the line at all, that is asked already.
            From::Line(id) if fits_some(job, id) => lines.entry(id).or_default().push(item),
            From::Line(_) => {}
            From::Added(index) => {
                let Some(one) = job.added.get(index) else { continue };
                added.entry((one.category.name(), one.rule)).or_default().push(item);
            }
        }
    }
    let mut found: Vec<Finding> = lines.iter().filter_map(|(id, items)| of_line(job, *id, items, catalog)).collect();
    found.extend(added.values().filter_map(|items| of_added(job, items)));
    for id in lines.into_keys() {
        if let Some(spec) = job.sets.get_mut(id.set).and_then(|set| set.specs.get_mut(id.line)) {
            spec.status = Status::Unpriced;
        }
    }
    found
}

fn fits_some(job: &Completed, id: LineId) -> bool {
    let spec = job.sets.get(id.set).and_then(|set| set.specs.get(id.line));
    spec.is_some_and(|spec| !spec.selection.candidates.is_empty())
}

fn of_line(job: &Completed, id: LineId, items: &[&PricedItem], catalog: &Catalog) -> Option<Finding> {
    let set = job.sets.get(id.set)?;
    let spec = set.specs.get(id.line)?;
    let category = spec.category?;
    let mut attributes: Attributes = spec.asked();
    attributes.extend(items.first()?.item.varied.iter().map(|(name, value)| (*name, value.clone())));
    let request = Request { category, attributes, makers: spec.selection.makers.clone() };
    let near = nearest(catalog.select(&request).near.first().map(|(_, why)| why.as_str()));
    let says = format!(
        "Nothing in the catalog fits this {} for some of its doors; there it carries no price.{near}",
        title(category)
    );
    let mut finding = question(job, says, items);
    finding.excerpt = spec.words();
    finding.place = Some(spec.place.clone());
    finding.set = Some(set.id.clone());
    finding.lines = vec![id];
    Some(finding)
}

fn of_added(job: &Completed, items: &[&PricedItem]) -> Option<Finding> {
    let index = |item: &PricedItem| match item.item.from {
        From::Added(index) => Some(index),
        From::Line(_) => None,
    };
    let of: Vec<_> = items.iter().filter_map(|item| job.added.get(index(item)?)).collect();
    let first = of.first()?;
    let category = category_of(items.first()?.item.from, job)?;
    let near = nearest(first.selection.near.first().map(|(_, why)| why.as_str()));
    let says = format!(
        "Nothing in the catalog fits the {} that a rule adds ({}); it carries no price.{near}",
        title(category),
        first.rule
    );
    let mut finding = question(job, says, items);
    finding.excerpt = format!("added {} {}", category.name(), first.rule);
    let mut sets: Vec<usize> = of.iter().filter_map(|added| added.set).collect();
    sets.dedup();
    if let [set] = sets.as_slice() {
        finding.set = job.sets.get(*set).map(|set| set.id.clone());
    }
    Some(finding)
}

fn nearest(why: Option<&str>) -> String {
    why.map(|why| format!(" Nearest: {why}.")).unwrap_or_default()
}

fn question(job: &Completed, says: String, items: &[&PricedItem]) -> Finding {
    let mut finding = pages::finding("without-good", says)
        .help("add the product to the catalog, type a price on Priced goods, or leave it out there");
    finding.openings = numbers(job, items);
    finding.priced_as = "not priced".to_owned();
    finding
}

/// Numbers of the openings that items are for, in their order, each once.
pub fn numbers(job: &Completed, items: &[&PricedItem]) -> Vec<String> {
    let openings: std::collections::BTreeSet<usize> =
        items.iter().flat_map(|item| item.item.shares.iter().map(|(opening, _)| *opening)).collect();
    let openings = openings.into_iter().filter_map(|at| job.schedule.openings.get(at));
    openings.map(|opening| opening.number.clone()).collect()
}
