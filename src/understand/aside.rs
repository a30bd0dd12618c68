//! What is said beside the good and not of it: words that the lists know of other goods only, a good named without a quantity.

use super::assemble::Builder;
use super::meaning::{ANY, members};
use super::reading::Doubt;
use super::scope::Placed;
use crate::trade::facts;

impl Builder<'_> {
    /// Words that the lists know of other goods only: "less bottom rod" of a closer is said, and explained, not lost.
    pub(super) fn of_others(&mut self, placed: &Placed) {
        let claim = placed.claim;
        let Some(own) = self.category().filter(|_| !self.used[claim.from..claim.to].contains(&true)) else { return };
        let meanings = || claim.entries(self.scope.claims.lexicon).flat_map(|entry| &entry.meanings);
        if meanings().any(|meaning| meaning.categories == ANY || meaning.sets.is_empty()) {
            return;
        }
        let all = meanings().fold(0, |all, meaning| all | meaning.categories);
        let title = |category| facts::of(category).map_or(String::new(), |facts| facts.titles.to_lowercase());
        let others: Vec<String> = members(all).map(title).collect();
        if others.is_empty() || others.len() > 4 {
            return;
        }
        let span = self.scope.span(claim);
        let words = self.original(span.clone());
        let says =
            format!("\"{words}\" is known of {} only, not of {}; it is left aside", others.join(", "), title(own));
        self.doubts.push(Doubt { code: "said-of-other-goods", says, span, attribute: None });
        self.take(claim);
    }

    /// A noun that names another good, without a quantity of its own.
    pub(super) fn second_good(&mut self, from: usize) {
        let Some(placed) = self.scope.placed.iter().find(|placed| placed.claim.from == from) else { return };
        if self.used[from] {
            return;
        }
        let span = self.scope.span(placed.claim);
        let says = format!(
            "\"{}\" is named beside the good; it is not counted as a line of its own",
            self.original(span.clone())
        );
        self.doubts.push(Doubt { code: "named-beside", says, span, attribute: None });
    }
}
