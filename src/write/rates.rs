//! The distinct margins or markups of a quote, each with a cell of its own and a name that the priced goods refer to.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::price::quote::{Quote, Working};

/// The rates in order of their words.
pub struct Rates {
    rows: BTreeMap<String, (Decimal, bool)>,
}

impl Rates {
    /// The rates of a quote.
    pub fn of(quote: &Quote) -> Self {
        let workings = quote.items.iter().filter_map(|item| item.working.as_ref());
        Self { rows: workings.map(|working| (working.rate_words.clone(), (working.rate, working.is_margin))).collect() }
    }

    /// The name of a working's rate.
    pub fn name(&self, working: &Working) -> String {
        let index = self.rows.keys().position(|words| *words == working.rate_words).unwrap_or_default();
        name(index)
    }

    /// Name, words, rate, and whether it is a margin.
    pub fn each(&self) -> impl Iterator<Item = (String, &str, Decimal, bool)> {
        let rows = self.rows.iter().enumerate();
        rows.map(|(index, (words, (rate, is_margin)))| (name(index), words.as_str(), *rate, *is_margin))
    }
}

/// A name that no program takes for the address of a cell.
fn name(index: usize) -> String {
    format!("rate_no_{}", index + 1)
}
