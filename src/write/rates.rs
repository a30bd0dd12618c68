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
        is_shared(working).then(|| self.named(&working.rate_words)).flatten()
    }

    /// Name, words, rate, and whether it is a margin.
    pub fn each(&self) -> impl Iterator<Item = (String, &str, Decimal, bool)> {
        self.rows.iter().map(|(words, (rate, is_margin))| {
            (self.named(words).unwrap_or_default(), words.as_str(), *rate, *is_margin)
        })
    }

    /// The name of the rate of those words; where two would have the same, a number tells them apart.
    fn named(&self, words: &str) -> Option<String> {
        let index = self.rows.keys().position(|other| other == words)?;
        let plain = name(words);
        let before = self.rows.keys().take(index).filter(|other| name(other) == plain).count();
        Some(if before == 0 { plain } else { format!("{plain}_no_{}", before + 1) })
    }
}

/// `margin_hinge` for `margin 28% (hinge)`: a name that no program takes for the address of a cell.
fn name(words: &str) -> String {
    let mut name = String::new();
    for letter in key(words).chars() {
        if letter.is_ascii_alphanumeric() {
            name.push(letter.to_ascii_lowercase());
        } else if !name.ends_with('_') && !name.is_empty() {
            name.push('_');
        }
    }
    name.truncate(100);
    name.trim_end_matches('_').to_owned()
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
