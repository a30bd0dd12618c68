//! Remarks that are numbers of notes: `1, 3` beside a door, and `3. MAGNETIC HOLD OPEN` under the table. The words of the
//! note are added to the remark, so that what they ask for is seen.

use std::collections::BTreeMap;

use crate::place::Place;

use super::walk::Gathered;

/// The number of a note and its words: `1. PROVIDE CARD READER`, `NOTE 3: HOLD OPEN`, `(2) VERIFY`.
fn numbered(text: &str) -> Option<(u32, &str)> {
    let text = text.trim().trim_start_matches(['(', '#', '[']);
    let text = text.get(..5).filter(|start| start.eq_ignore_ascii_case("NOTE ")).map_or(text, |_| &text[5..]);
    let figures = text.bytes().take_while(u8::is_ascii_digit).count();
    let (number, rest) = text.split_at(figures);
    let signs = [')', ']', '.', ':', '-', ' ', '='];
    let words = rest.trim_start_matches(signs);
    let apart = rest.starts_with(signs) && words.starts_with(|letter: char| letter.is_alphabetic());
    ((1..=2).contains(&figures) && apart && words.contains(' ')).then_some((number.parse().ok()?, words))
}

/// The numbers of notes that a remark consists of.
fn references(text: &str) -> Option<Vec<u32>> {
    let upper = text.to_uppercase();
    let bare = upper.strip_prefix("SEE ").unwrap_or(&upper);
    let bare = ["NOTES", "NOTE"].iter().find_map(|word| bare.strip_prefix(word)).unwrap_or(bare);
    let parts = bare.split([',', ';', '&', ' ', '/', '#', '(', ')', '.']).filter(|part| !part.is_empty());
    let numbers: Option<Vec<u32>> = parts.map(|part| part.parse().ok().filter(|number| *number < 100)).collect();
    numbers.filter(|numbers| !numbers.is_empty())
}

/// Adds the words of notes to the remarks that name their numbers.
pub(super) fn join(out: &mut Gathered) {
    let sheet_of = |place: &Place| Place { row: 0, column: None, ..place.clone() };
    let mut known: BTreeMap<(Place, u32), &str> = BTreeMap::new();
    let of_sets = out.schedule.sets.iter().flat_map(|set| &set.notes);
    for note in out.schedule.notes.iter().chain(of_sets) {
        if let Some((number, words)) = numbered(&note.text) {
            known.entry((sheet_of(&note.place), number)).or_insert(words);
        }
    }
    if known.is_empty() {
        return;
    }
    for opening in &mut out.schedule.openings {
        let Some(numbers) = references(&opening.remarks) else { continue };
        let sheet = sheet_of(&opening.place);
        for words in numbers.iter().filter_map(|number| known.get(&(sheet.clone(), *number))) {
            opening.remarks.push_str("; ");
            opening.remarks.push_str(words);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_and_their_numbers_are_told_from_other_texts() {
        assert_eq!(numbered("1. PROVIDE CARD READER."), Some((1, "PROVIDE CARD READER.")));
        assert_eq!(numbered("NOTE 12: hold open"), Some((12, "hold open")));
        assert_eq!(numbered("101 LOBBY"), None);
        assert_eq!(references("1, 3"), Some(vec![1, 3]));
        assert_eq!(references("SEE NOTE 4"), Some(vec![4]));
        assert_eq!(references("2 HOUR"), None);
        assert_eq!(references(""), None);
    }
}
