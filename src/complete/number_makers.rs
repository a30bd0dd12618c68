//! Whose number a line has: the maker that it names, by name or by letters of it.

use std::ops::Range;

use crate::trade::attribute::{Value, names};
use crate::understand::reading::{Heard, Reading};

/// The maker that the line names; empty: none.
pub(super) fn said_maker(reading: &Reading) -> &str {
    reading.attributes.get(&names::MAKER).and_then(Heard::found).and_then(Value::as_text).unwrap_or("")
}

/// Whether letters may stand for a name: they stand in it in their order.
pub(super) fn abbreviates(letters: &str, name: &str) -> bool {
    let mut name = name.chars().flat_map(char::to_lowercase);
    letters
        .chars()
        .flat_map(char::to_lowercase)
        .filter(|letter| letter.is_alphanumeric())
        .all(|wanted| name.any(|own| own == wanted))
}

/// Whether what a line says of its maker may mean one by that name; a line that names none may.
pub(super) fn may_be(said: &str, name: &str) -> bool {
    abbreviates(said, name) || place_of(said, name).is_some()
}

/// Where a maker's name stands in the line as words of its own.
pub(super) fn place_of(text: &str, name: &str) -> Option<Range<usize>> {
    let (text, name) = (text.to_ascii_lowercase(), name.to_ascii_lowercase());
    let edge = |letter: Option<char>| letter.is_none_or(|letter| !letter.is_alphanumeric());
    text.match_indices(&name)
        .map(|(at, found)| at..at + found.len())
        .find(|span| edge(text[..span.start].chars().next_back()) && edge(text[span.end..].chars().next()))
}

#[cfg(test)]
mod tests {
    use super::may_be;

    #[test]
    fn letters_and_lists_may_mean_a_maker_and_other_names_do_not() {
        for said in ["", "Hethwick", "HTW", "Hethwick or approved equal", "Brumthorn / Hethwick"] {
            assert!(may_be(said, "Hethwick"), "{said}");
        }
        for said in ["Brumthorn", "BRW", "Hethwicker"] {
            assert!(!may_be(said, "Hethwick"), "{said}");
        }
    }
}
