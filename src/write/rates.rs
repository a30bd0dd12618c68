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
        let workings = quote.items.iter().filter_map(|item| item.reckoned()).filter(|working| is_shared(working));
        Self { rows: workings.map(|working| (working.rate_words.clone(), (working.rate, working.is_margin))).collect() }
    }

    /// The name of a working's rate; none for a rate of its own, such as the one that a price held leaves.
    pub fn name(&self, working: &Working) -> Option<String> {
        let index = self.rows.keys().position(|words| *words == working.rate_words)?;
        is_shared(working).then(|| name(index))
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

/// Whether a rate is one of the job terms, which many goods take.
fn is_shared(working: &Working) -> bool {
    working.rate_words.starts_with("margin ") || working.rate_words.starts_with("markup ")
}

/// `margin (hinge)` of `margin 28% (hinge)`: what the rate is called whatever it is.
pub fn key(words: &str) -> String {
    let mut parts = words.splitn(3, ' ');
    let (method, _, whose) = (parts.next(), parts.next(), parts.next());
    format!("{} {}", method.unwrap_or_default(), whose.unwrap_or_default())
}
