//! Prices what was counted: list + adders → discount chain → net → margin or markup → sell; freight, tax, exposure.
//!
//! In: `Takeoff`, `Completed`, catalog, terms. Out: `Quote`. The only roundings are the named functions of `rounding`.
//! A unit price is made in `working`, its rate found in `rates`, sums and charges in `totals`; `views` and `buying` add the
//! same figures up in other ways.

pub mod quote;
mod rates;
pub mod rounding;
mod surcharges;
mod totals;
pub mod views;
mod working;

pub use working::chain;

use crate::catalog::Catalog;
use crate::complete::spec::Completed;
use crate::count::takeoff::{From, Item, Takeoff};
use crate::place::Place;
use crate::terms::Terms;
use crate::trade::category::Category;
use quote::{CatalogStamp, PricedItem, Quote};
use totals::Sums;

/// Prices a counted job and puts money on the answers of its findings. `date` is the date of the quote (ISO).
pub fn price(mut job: Completed, takeoff: Takeoff, catalog: &Catalog, terms: &Terms, date: &str) -> Quote {
    let mut items: Vec<PricedItem> = takeoff.items.into_iter().map(|item| priced(item, &job, terms)).collect();
    let mut sums = Sums::default();
    for item in &items {
        sums += &Sums::of(item, category_of(item.item.from, &job), terms);
    }
    let (totals, charges) = totals::finish(&sums, terms);
    surcharges::append(&sums, &mut job, &mut items, terms);
    Quote {
        job,
        terms: terms.clone(),
        catalog: CatalogStamp {
            name: catalog.name.clone(),
            effective: catalog.effective.clone(),
            sha256: catalog.sha256.clone(),
            currency: catalog.currency.clone(),
        },
        date: date.to_owned(),
        items,
        charges,
        totals,
    }
}

/// Prices one counted item of a job.
fn priced(item: Item, job: &Completed, terms: &Terms) -> PricedItem {
    let (category, row) = (category_of(item.from, job), row_of(item.from, job));
    working::item(item, category, row, &terms.price)
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
