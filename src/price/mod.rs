//! Prices what was counted: list + adders → discount chain → net → margin or markup → sell; freight, tax, exposure.
//!
//! In: `Takeoff`, `Completed`, catalog, terms. Out: `Quote`. The only roundings are the named functions of `rounding`.

pub mod quote;

use crate::catalog::Catalog;
use crate::complete::spec::Completed;
use crate::count::takeoff::Takeoff;
use crate::terms::Terms;
use quote::{CatalogStamp, Quote, Totals};

/// Prices a counted job and puts money on the answers of its findings. `date` is the date of the quote (ISO).
pub fn price(job: Completed, takeoff: Takeoff, catalog: &Catalog, terms: &Terms, date: &str) -> Quote {
    let _ = takeoff;
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
        items: Vec::new(),
        totals: Totals::default(),
    }
}
