//! Equals: for a line that names a maker or a series, what the acceptable makers have with the same attributes, cheapest
//! first. Each is a substitution to be approved; none is ever put in place of what is specified.

use std::collections::HashMap;
use std::sync::Arc;

use super::desk::Desk;
use super::quote::PricedItem;
use crate::catalog::good::Good;
use crate::complete::spec::{Completed, From, Spec};
use crate::count::{self, takeoff};
use crate::finding::LineId;
use crate::money::Money;
use crate::terms::Terms;
use crate::trade::attribute::{Attr, Attributes, names};

/// The equals of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Equals {
    /// The line.
    pub line: LineId,
    /// What is specified: maker and designation, if the catalog sells it.
    pub specified: Option<String>,
    /// What could be offered instead.
    pub offers: Vec<Offer>,
}

/// A good offered as an equal.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// Maker.
    pub maker: String,
    /// Designation.
    pub designation: String,
    /// Words.
    pub description: String,
    /// Price of the line with it.
    pub extended: Money,
    /// Against the line as priced; negative is cheaper.
    pub difference: Money,
    /// How it meets what is asked.
    pub why: Vec<String>,
}

/// Attributes that name a good instead of describing it.
const NAMING: [Attr; 3] = [names::MAKER, names::DESIGNATION, Attr::of("series")];

/// The equals of every line that names a maker, a designation or a series.
pub(super) fn equals(desk: &Desk, items: &[PricedItem]) -> Vec<Equals> {
    let mut now: HashMap<LineId, Money> = HashMap::new();
    for item in items {
        if let takeoff::From::Line(id) = item.item.from {
            *now.entry(id).or_insert(Money::ZERO) += item.extended;
        }
    }
    let specs = desk.job.sets.iter().flat_map(|set| &set.specs);
    let now = |spec: &Spec| now.get(&spec.id).copied().unwrap_or(Money::ZERO);
    specs.filter_map(|spec| of_line(desk, spec, now(spec))).filter(|equals| !equals.offers.is_empty()).collect()
}

/// The equals of a line that costs so much as priced.
fn of_line(desk: &Desk, spec: &Spec, now: Money) -> Option<Equals> {
    let category = spec.category?;
    let names_it = |name: &Attr| spec.attributes.get(name).is_some_and(|sourced| matches!(sourced.from, From::Said(_)));
    if !NAMING.iter().any(names_it) {
        return None;
    }
    // Of a maker that the catalog does not sell, what is priced is a substitution like the others.
    let named = spec.attributes.get(&names::MAKER).and_then(|sourced| sourced.value.as_text());
    let is_named = |good: &Good| named.is_none_or(|named| named.eq_ignore_ascii_case(&good.maker));
    let best = spec.selection.candidates.first().filter(|best| is_named(&best.good));
    let mut asked: Attributes = spec
        .attributes
        .iter()
        .filter(|(name, _)| !NAMING.contains(name))
        .map(|(name, sourced)| (*name, sourced.value.clone()))
        .collect();
    // A designation says more than the words do: its good's attributes are what an equal must have.
    if asked.is_empty() {
        asked = best.map(|best| best.good.attributes.clone()).unwrap_or_default();
        asked.retain(|name, _| !NAMING.contains(name));
    }
    let accepted = desk.terms.makers_of(category);
    let set = desk.job.sets.get(spec.id.set)?;
    let mut offers: Vec<Offer> = Vec::new();
    for candidate in &desk.select(category, &asked).candidates {
        let good = &candidate.good;
        let is_specified = best.is_some_and(|best| best.good.line == good.line);
        let is_accepted =
            accepted.is_none_or(|makers| makers.iter().any(|maker| maker.eq_ignore_ascii_case(&good.maker)));
        if is_specified || !is_accepted {
            continue;
        }
        let mut offered = spec.clone();
        offered.attributes.retain(|name, _| !NAMING.contains(name));
        Arc::make_mut(&mut offered.selection).candidates = vec![Arc::clone(candidate)];
        let counted = count::line(&desk.job.schedule, set, &offered, desk.catalog);
        let priced = desk.price(counted, Some(category));
        if priced.iter().any(|item| item.working.is_none()) {
            continue;
        }
        let extended: Money = priced.iter().map(|item| item.extended).sum();
        offers.push(Offer {
            maker: good.maker.to_string(),
            designation: good.designation.clone(),
            description: good.description.clone(),
            extended,
            difference: extended - now,
            why: candidate.why.clone(),
        });
    }
    offers.sort_by(|one, two| {
        (one.extended, &one.maker, &one.designation).cmp(&(two.extended, &two.maker, &two.designation))
    });
    let specified = best.map(|best| format!("{} {}", best.good.maker, best.good.designation));
    Some(Equals { line: spec.id, specified, offers })
}

/// A good priced in place of one whose maker the catalog does not sell.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Substitute {
    /// The maker that the line names.
    pub named: String,
    /// What is priced instead: maker and designation.
    pub good: String,
    /// The line.
    pub line: LineId,
}

/// The lines that are priced with goods of another maker than they name, and than the terms accept.
pub fn substitutes(job: &Completed, items: &[PricedItem], terms: &Terms) -> Vec<Substitute> {
    let of_item = |item: &PricedItem| {
        let takeoff::From::Line(id) = item.item.from else { return None };
        let spec = job.sets.get(id.set)?.specs.get(id.line)?;
        let named = spec.attributes.get(&names::MAKER)?.value.as_text()?;
        let good = &item.item.candidate.as_ref().filter(|_| item.working.is_some())?.good;
        let accepted = terms.makers_of(spec.category?);
        let is_accepted = |maker: &String| maker.eq_ignore_ascii_case(&good.maker);
        let is_another =
            !named.eq_ignore_ascii_case(&good.maker) && !accepted.is_some_and(|m| m.iter().any(is_accepted));
        let good = format!("{} {}", good.maker, good.designation);
        is_another.then(|| Substitute { named: named.to_owned(), good, line: id })
    };
    let mut all: Vec<Substitute> = items.iter().filter_map(of_item).collect();
    all.sort();
    all.dedup();
    all
}
