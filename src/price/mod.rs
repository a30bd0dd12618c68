//! Prices what was counted: list + adders → discount chain → net → margin or markup → sell; freight, tax, exposure.
//!
//! In: `Takeoff`, `Completed`, catalog, terms. Out: `Quote`. The only roundings are the named functions of `rounding`.
//! A unit price is made in `working`, its rate found in `rates`, sums and charges in `totals`. What answers to findings
//! do is in `answers`, what they can cost together in `stakes` and `exposure`, the policy for open ones in `provisional`.
//! What was typed over in the estimate is in `own`. `order` sets the findings in the order of showing. `views` and `buying` add the same figures up in other ways.

pub mod alternates;
pub mod anew;
mod answers;
pub mod buying;
mod desk;
mod exposure;
mod misnamed;
pub mod offers;
mod order;
pub mod own;
mod own_said;
mod pages;
mod provisional;
pub mod quote;
mod rates;
pub mod rounding;
mod stakes;
pub mod surcharges;
mod totals;
pub mod units;
pub mod views;
mod warnings;
pub mod without_good;
pub mod working;

pub use pages::PAGES;
pub use working::chain;

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::catalog::Catalog;
use crate::complete::spec::Completed;
use crate::count::takeoff::{From, Item, Takeoff};
use crate::finding::Effect;
use crate::place::Place;
use crate::terms::Terms;
use crate::trade::category::Category;
use anew::Anew;
use answers::Part;
use desk::Desk;
use provisional::Outcome;
use quote::{CatalogStamp, PricedItem, Quote};
use stakes::Stakes;
use totals::Sums;

/// Prices a counted job and puts money on the answers of its findings. `date` is the date of the quote (ISO).
pub fn price(job: Completed, takeoff: Takeoff, catalog: &Catalog, terms: &Terms, date: &str) -> Quote {
    price_with(job, takeoff, (catalog, terms), date, &Anew::default())
}

/// `price`, with what those answers are worth that the job as completed does not tell.
pub fn price_with(
    mut job: Completed,
    takeoff: Takeoff,
    (catalog, terms): (&Catalog, &Terms),
    date: &str,
    anew: &Anew,
) -> Quote {
    let items: Vec<PricedItem> = takeoff.items.into_par_iter().map(|item| priced(item, &job, terms)).collect();
    own::settle(&mut job, &items);
    let mut sums = Sums::default();
    let mut base: BTreeMap<Part, Sums> = BTreeMap::new();
    for item in &items {
        let adds = Sums::of(item, category_of(item.item.from, &job), terms);
        sums += &adds;
        *base.entry(part_of(item.item.from)).or_default() += &adds;
    }
    let outcome = {
        let desk = Desk::new(&job, catalog, terms);
        provisional::weigh(&Stakes::gather(&desk, base, anew), &sums)
    };
    let (sums, totals, charges) = (outcome.sums.clone(), outcome.totals, outcome.charges.clone());
    let mut items = taken_in(outcome, &mut job, items);
    let (alternates, equals, unit_prices) = {
        let desk = Desk::new(&job, catalog, terms);
        (alternates::price(&desk, &items, &sums), offers::equals(&desk, &items), units::price(&desk))
    };
    surcharges::append(&sums, &mut job, &mut items, terms);
    warnings::add(&mut job, &items, (&unit_prices, &alternates), catalog, terms);
    order::arrange(&mut job);
    Quote {
        job,
        terms: terms.clone(),
        catalog: CatalogStamp {
            name: catalog.name.clone(),
            effective: catalog.effective.clone(),
            sha256: catalog.sha256.clone(),
            currency: catalog.currency.clone(),
            invented: catalog.invented,
        },
        date: date.to_owned(),
        answers: Default::default(),
        items,
        charges,
        totals,
        alternates,
        equals,
        unit_prices,
        taken_up_by: None,
        ways: Default::default(),
    }
}

fn part_of(from: From) -> Part {
    match from {
        From::Line(id) => Part::Line(id),
        From::Added(index) => Part::Added(index),
    }
}

/// Takes the money of answers, and what the provisional policy chose, into the job and its items.
fn taken_in(outcome: Outcome, job: &mut Completed, items: Vec<PricedItem>) -> Vec<PricedItem> {
    for ((finding, answer), effect) in outcome.effects {
        if let Some(answer) = job.findings.get_mut(finding).and_then(|finding| finding.answers.get_mut(answer)) {
            // What a person carries out has no price here.
            answer.effect = effect.filter(|_| answer.does != Effect::ByHand);
        }
    }
    for (finding, words) in outcome.priced_as {
        if let Some(finding) = job.findings.get_mut(finding) {
            finding.priced_as = words;
        }
    }
    let mut by_from: BTreeMap<From, Vec<PricedItem>> = BTreeMap::new();
    for item in items {
        by_from.entry(item.item.from).or_default().push(item);
    }
    for from in outcome.left_out {
        if let Some(items) = by_from.get_mut(&from) {
            *items = std::mem::take(items).into_iter().map(provisional::without_price).collect();
        }
    }
    for (id, (spec, items)) in outcome.lines {
        by_from.insert(From::Line(id), items);
        if let Some(old) = job.sets.get_mut(id.set).and_then(|set| set.specs.get_mut(id.line)) {
            *old = spec;
        }
    }
    for (index, (added, items)) in outcome.added {
        by_from.insert(From::Added(index), items);
        if let Some(old) = job.added.get_mut(index) {
            *old = added;
        }
    }
    for (added, mut items) in outcome.new {
        let from = From::Added(job.added.len());
        items.iter_mut().for_each(|item| item.item.from = from);
        by_from.insert(from, items);
        job.added.push(added);
    }
    by_from.into_values().flatten().collect()
}

/// Prices one counted item of a job.
fn priced(item: Item, job: &Completed, terms: &Terms) -> PricedItem {
    let category = category_of(item.from, job);
    own::price(job, item, category, &terms.price)
}

/// The category of what was counted.
pub fn category_of(from: From, job: &Completed) -> Option<Category> {
    match from {
        From::Line(id) => job.sets.get(id.set)?.specs.get(id.line)?.category,
        From::Added(index) => job.added.get(index).map(|added| added.category),
    }
}

fn row_of(from: From, job: &Completed) -> Option<&Place> {
    match from {
        From::Line(id) => Some(&job.sets.get(id.set)?.specs.get(id.line)?.place),
        From::Added(_) => None,
    }
}
