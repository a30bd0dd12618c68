//! Remarks that are numbers of notes: `1, 3` beside a door, and `3. MAGNETIC HOLD OPEN` under the table. The words of the
//! note are added to the remark, so that what they ask for is seen, and what they say of the door itself is taken: `PAIR OF
//! DOORS`, `EXTERIOR DOOR, INSULATED`, `HARDWARE BY DOOR SUPPLIER`.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::doors;
use super::others::{self, Ours};
use super::othersasked;
use super::schedule::Opening;
use super::size::pair_of;
use super::walk::Gathered;
use super::words::{self, plain};

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
    let mut findings = Vec::new();
    for opening in &mut out.schedule.openings {
        let Some(numbers) = references(&opening.remarks) else { continue };
        let sheet = sheet_of(&opening.place);
        for number in numbers {
            let Some(words) = known.get(&(sheet.clone(), number)) else { continue };
            opening.remarks.push_str("; ");
            opening.remarks.push_str(words);
            findings.extend(of_door(opening, number, words));
        }
    }
    out.schedule.findings.append(&mut findings);
}

/// Takes what a note says of a door whose row does not say it. A note that begins otherwise speaks of doors in general:
/// `COORDINATOR AT PAIRS`.
fn of_door(opening: &mut Opening, number: u32, note: &str) -> Option<Finding> {
    let folded = plain(note);
    let begins = |list: &str| folded.split([',', ';', '.']).any(|part| words::list(list).begins(part.trim()).is_some());
    let mut said: Vec<String> = Vec::new();
    if opening.leaves == 1 && opening.leaf_widths.is_empty() && begins("pair") && !doors::moves(note) {
        opening.leaves = 2;
        if let Some(width) = opening.width {
            let pair = pair_of(width);
            (opening.width, opening.leaf_widths) = (Some(pair.opening), pair.leaves);
        }
        said.push("two leaves".into());
    }
    if opening.exterior.is_none() && begins("exterior") {
        opening.exterior = Some(true);
        said.push("exterior".into());
    }
    if let Some(words) = others::supplier(note, Ours::Unsaid).filter(|_| opening.excluded.is_none()) {
        match &opening.set {
            Some(set) => {
                let (place, remarks) = (opening.place.clone(), opening.remarks.clone());
                return Some(othersasked::with_set(&opening.number, set, &words, place, remarks));
            }
            None => {
                said.push(format!("left out, {words}"));
                opening.excluded = Some(words);
            }
        }
    }
    if said.is_empty() {
        return None;
    }
    let says = format!("note {number} beside door {} says of it: {}", opening.number, said.join(", "));
    let finding = Finding::new("note-of-door", Kind::Assumption, Weight::Goods, says);
    Some(
        Finding { openings: vec![opening.number.clone()], set: opening.set.clone(), ..finding }
            .at(opening.place.clone(), note.to_string())
            .help("check that the note is the one that the row means"),
    )
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
