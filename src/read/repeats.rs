//! Headers and footers of pages that recur inside a sheet.

use std::collections::{BTreeMap, BTreeSet};

use super::setheading;
use super::sheet::Sheet;
use super::walk::Walker;
use super::words::plain;

impl Walker<'_> {
    /// Whether a row is a header or footer of a page: it recurs with another page number, or begins as the title does.
    pub(super) fn page_header(&self, folded: &str) -> bool {
        let stem = page_stem(folded);
        let titled = self
            .seen
            .iter()
            .any(|seen| seen.len() >= 12 && folded.len() > seen.len() && folded.starts_with(seen.as_str()));
        stem.len() >= 12 && stem.len() < folded.len() && (titled || self.recurring.contains(stem))
    }
}

/// A text without the page number at its end.
pub(super) fn page_stem(folded: &str) -> &str {
    folded
        .trim_end_matches(|letter: char| letter.is_ascii_digit())
        .trim_end_matches([' ', '-', '/', '.'])
        .trim_end_matches("PAGE")
}

pub(super) fn recurring(sheet: &Sheet) -> BTreeSet<String> {
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for row in sheet.rows.iter().filter(|row| row.cells.len() <= 2 && row.cells[0].text.len() < 120) {
        let folded = plain(&row.joined());
        let stem = page_stem(&folded);
        if stem.len() < folded.len() && setheading::heading(&folded).is_none() {
            *times.entry(stem.to_string()).or_default() += 1;
        }
    }
    times.into_iter().filter(|(_, times)| *times >= 2).map(|(stem, _)| stem).collect()
}

pub(super) fn is_page(folded: &str) -> bool {
    let Some(rest) = folded.strip_prefix("PAGE ") else { return false };
    rest.len() <= 12 && rest.starts_with(|letter: char| letter.is_ascii_digit())
}
