//! Wordings that go on in the next row: below their own column, or in the middle of a word.

use std::sync::Arc;

use crate::trade::finish;

use crate::read::schedule::{Part, PartRole, Wording};
use crate::read::words;

impl Wording {
    /// Goes on with the cell of a column in the row below: behind what stands in the column, not behind the whole row. `less
    /// bottom | 630` above `rod, passage function` is a less bottom rod, in 630.
    pub(crate) fn go_on(&mut self, role: PartRole, text: &str, column: Option<Arc<str>>) {
        let text = text.trim();
        let worded =
            matches!(role, PartRole::Description | PartRole::CatalogNumber | PartRole::Remarks | PartRole::Free);
        let same = |part: &Part| column.is_some() && part.column == column && part.role == role;
        let own = self.parts.iter().rposition(same).filter(|_| worded);
        let in_column = self.parts.iter().any(|part| part.role == PartRole::Finish);
        let end = own.and_then(|at| self.parts.get(at)).map(|part| {
            let before =
                self.text.get(part.span.clone()).filter(|_| !in_column).and_then(|own| before_finish(own, text));
            before.map_or(part.span.end, |length| part.span.start + length)
        });
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
    pub(crate) fn mend_hyphen(&mut self, text: &str) -> bool {
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
    pub(crate) fn rewrite(&mut self, text_of: impl Fn(usize, &str) -> String) {
        let mut left = Self::default();
        for (at, part) in self.parts.iter().enumerate() {
            if let Some(text) = self.text.get(part.span.clone()) {
                left.push(part.role, &text_of(at, text), part.column.clone());
            }
        }
        *self = left;
    }
}

/// Words that go on before a finish, at most.
const MOST_WORDS: usize = 4;

/// A code that stands for a finish beyond doubt: `652`, `US32D`.
pub(crate) fn is_finish(word: &str) -> bool {
    let figures = word.bytes().filter(u8::is_ascii_digit).count();
    // `HEIGHT 10`, a page: two figures alone may be anything.
    let sure = figures == 3 || figures == 2 && word.len() > 2;
    sure && word.len() <= 6 && finish::look_of(&word.to_uppercase()).is_some()
}

/// The length of a text up to the finish at its end, where words go on that tell none: `HINGE, BALL 652` above `BEARING`.
fn before_finish(own: &str, more: &str) -> Option<usize> {
    let (before, last) = own.trim_end().rsplit_once(' ')?;
    let before = before.trim_end();
    let worded = more.bytes().all(|byte| byte.is_ascii_alphabetic() || b" ,-/&.".contains(&byte));
    let few = more.split(' ').count() <= MOST_WORDS && more.starts_with(|first: char| first.is_ascii_alphabetic());
    let open = before.ends_with(|last: char| last.is_ascii_alphanumeric() || last == ',');
    let measure = before.ends_with(" X") || before.ends_with(" x");
    let named = words::list("finish-words")
        .all(&before.to_uppercase())
        .last()
        .is_some_and(|word| before.to_uppercase().ends_with(word));
    // `NO.` would make a number of the finish.
    let labels = words::list("sign-of-an-id").is(&more.to_uppercase());
    (is_finish(last) && worded && few && open && !measure && !named && !labels).then_some(before.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_go_on_before_a_finish_at_the_end() {
        for (own, more, expected) in [
            ("3 EA HINGE, STANDARD WEIGHT, BALL 652", "BEARING", "3 EA HINGE, STANDARD WEIGHT, BALL BEARING 652"),
            ("1 EA LOCK, STOREROOM 626", "FUNCTION", "1 EA LOCK, STOREROOM FUNCTION 626"),
            ("1 EA CLOSER", "W/ STOP", "1 EA CLOSER W/ STOP"),
            ("1 EA KICK PLATE 10 X 34", "LDW", "1 EA KICK PLATE 10 X 34 LDW"),
            ("1 EA LOCK FINISH 626", "LEVER", "1 EA LOCK FINISH 626 LEVER"),
            ("1 EA LOCK 626", "TRIM 630", "1 EA LOCK 626 TRIM 630"),
            ("1 EA HINGE 652", "NO.", "1 EA HINGE 652 NO."),
        ] {
            let mut wording = Wording::default();
            wording.push(PartRole::Free, own, Some("A".into()));
            wording.go_on(PartRole::Free, more, Some("A".into()));
            assert_eq!(wording.text, expected);
            assert_eq!(wording.parts.len(), 1);
            assert_eq!(wording.parts[0].span, 0..expected.len());
        }
    }
}
