//! Wordings that go on in the next row: below their own column, or in the middle of a word.

use std::sync::Arc;

use super::schedule::{Part, PartRole, Wording};
use super::words;

impl Wording {
    /// Goes on with the cell of a column in the row below: behind what stands in the column, not behind the whole row. `less
    /// bottom | 630` above `rod, passage function` is a less bottom rod, in 630.
    pub(super) fn go_on(&mut self, role: PartRole, text: &str, column: Option<Arc<str>>) {
        let text = text.trim();
        let worded =
            matches!(role, PartRole::Description | PartRole::CatalogNumber | PartRole::Remarks | PartRole::Free);
        let same = |part: &Part| column.is_some() && part.column == column && part.role == role;
        let own = self.parts.iter().rposition(same).filter(|_| worded);
        let end = own.and_then(|at| self.parts.get(at)).map(|part| part.span.end);
        let (Some(at), Some(end)) = (own, end) else {
            return self.push(role, text, column);
        };
        if text.is_empty() {
            return;
        }
        self.text.insert_str(end, text);
        self.text.insert(end, ' ');
        let more = text.len() + 1;
        for (later, part) in self.parts.iter_mut().enumerate().skip(at) {
            let start = if later == at { part.span.start } else { part.span.start + more };
            part.span = start..part.span.end + more;
        }
    }

    /// Joins a word to the half of it that a hyphen at the end leaves open; false where none does. `heavy-` keeps its hyphen.
    pub(super) fn mend_hyphen(&mut self, text: &str) -> bool {
        let text = text.trim();
        let half = self.text.strip_suffix('-').and_then(|before| before.rsplit(' ').next());
        let goes_on = text.starts_with(|letter: char| letter.is_lowercase());
        let (Some(half), Some(last)) = (half.map(str::to_uppercase), self.parts.len().checked_sub(1)) else {
            return false;
        };
        if half.is_empty() || !goes_on || half.bytes().any(|byte| !byte.is_ascii_alphabetic()) {
            return false;
        }
        if !words::list("hyphen-kept").is(&half) {
            self.text.pop();
        }
        self.text.push_str(text);
        self.parts[last].span.end = self.text.len();
        true
    }

    /// Writes each part anew, by its number; a part of which nothing is left goes.
    pub(super) fn rewrite(&mut self, text_of: impl Fn(usize, &str) -> String) {
        let mut left = Self::default();
        for (at, part) in self.parts.iter().enumerate() {
            if let Some(text) = self.text.get(part.span.clone()) {
                left.push(part.role, &text_of(at, text), part.column.clone());
            }
        }
        *self = left;
    }
}
