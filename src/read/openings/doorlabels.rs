//! Labels that lead to doors without a word for them: `Applies to: 101, 103, 105`, `Used at: 104`; and those that lead to
//! places, `Locations: classrooms 101, 102`, whose numbers are those of doors where nothing speaks against it.

use super::doorlead;
use super::doorlist::{self, Entry};
use crate::read::goods::userows::names_numbers;
use crate::read::schedule::{Note, Role};
use crate::read::sets::{setheading, titledoors};
use crate::read::sheet::Row;
use crate::read::sizes::size;
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};
use crate::trade::finish;

/// A label is no longer.
const LONGEST: usize = 30;

/// The label before the first colon of a text, in its plain form, and what stands behind it.
fn parted(text: &str) -> Option<(String, &str)> {
    let (label, list) = text.split_once(':')?;
    let label = label.trim();
    (label.len() <= LONGEST).then(|| (plain(label), list.trim()))
}

/// Whether entries are doors by their look: one of two signs at least, or several.
fn is_sure(entries: &[Entry]) -> bool {
    let long =
        |entry: &Entry| matches!(entry, Entry::Range(..)) || matches!(entry, Entry::Door(door) if door.len() > 1);
    // `3070` alone is a size.
    let sized = |entry: &Entry| matches!(entry, Entry::Door(door) if size::parse_size(door).is_some());
    entries.len() > 1 || entries.iter().all(|entry| long(entry) && !sized(entry))
}

/// `Applies to: 101, 103`: a label that leads to doors, and nothing but doors behind it.
pub(crate) fn labelled(straight: &str) -> Option<Vec<Entry>> {
    let (_, list) = parted(straight).filter(|(label, _)| words::list("labels-of-doors").is(label))?;
    let (entries, behind) = doorlead::lead(list)?;
    let said = behind.trim_matches(|sign: char| !sign.is_alphanumeric());
    let left = words::list("doors-except").begins(&plain(said)).is_some();
    let alone = said.is_empty() || left || doorlead::only_kind(behind);
    (alone && is_sure(&entries)).then(|| titledoors::less(entries, behind))
}

/// Where such labels stand in a title, as those of `Classroom  Used at: 101, 102`.
pub(crate) fn inside(upper: &str) -> Vec<(usize, usize)> {
    if !upper.contains(':') {
        return Vec::new();
    }
    let of_word = |word: &'static str| upper.match_indices(word).map(move |(at, _)| (at, word.len()));
    let label = |(at, length): &(usize, usize)| {
        let before = upper[..*at].chars().next_back();
        before.is_none_or(|sign| !sign.is_alphanumeric()) && upper[at + length..].trim_start().starts_with(':')
    };
    words::list("labels-of-doors").phrases().flat_map(of_word).filter(label).collect()
}

/// The list behind a word for doors, without what belongs to that word: `(s): 101`, `NUMBERS: 101`, ` #(s): 101`, `NO-105`. An S
/// that no bracket ends may begin a number, `S-101`.
pub(crate) fn behind_word(text: &str) -> &str {
    let bare = |text: &str| text.len() - text.trim_start_matches([' ', ':', '.', '#', '-', '(', ')']).len();
    let mut list = &text[bare(text)..];
    while let Some(word) = words::list("behind-doors").leads(list) {
        let rest = &list[word.len()..];
        let numbered = || rest.strip_prefix('-').unwrap_or(rest).starts_with(|sign: char| sign.is_ascii_digit());
        let ends = rest.starts_with([':', ' ', ')', '.', '#', '(']) || numbered();
        if !(rest.starts_with(')') || word.len() > 1 && ends) {
            break;
        }
        list = &rest[bare(rest)..];
    }
    list
}

/// What stands before a word for doors, without the words that lead to it: `STORAGE - For use on`. A short one stands behind a
/// sign, `Stair - at`; else it is of the words before.
pub(crate) fn before_word(before: &str) -> &str {
    let upper = before.trim_end().to_ascii_uppercase();
    let Some(word) = words::list("leads-to-doors").ends(&upper) else { return before };
    let rest = before[..upper.len() - word.len()].trim_end();
    let apart = rest.len() + word.len() < upper.len();
    let signed = rest.ends_with(['-', ':', ',', ';', '\u{2013}', '\u{2014}']);
    if apart && (signed || word.contains(' ')) { rest } else { before }
}

/// `Locations: classrooms 101, 102`: numbers behind a label that leads to places.
fn places(text: &str) -> Option<Vec<Entry>> {
    let (_, list) = parted(text).filter(|(label, _)| words::list("labels-of-places").is(label))?;
    // `Labs 100 series` names a place.
    let entries = if names_numbers(&plain(list)) { titledoors::named(list) } else { Vec::new() };
    (!entries.is_empty()).then_some(entries)
}

/// `INSTALL AT: 102`, `FOR: 103, 104` before the goods of a set: nothing but numbers of doors or rooms, and no finish.
fn before_goods(text: &str) -> Option<Vec<Entry>> {
    let (_, list) = parted(text).filter(|(label, _)| words::list("labels-before-goods").is(label))?;
    let entries = doorlist::parse(list).map(|_| titledoors::named(list)).filter(|entries| !entries.is_empty())?;
    let finished = matches!(&entries[..], [Entry::Door(door)] if finish::look_of(door).is_some());
    (!finished).then_some(entries)
}

/// The numbers behind a label of places in a title.
pub(crate) fn places_in(title: &str) -> Vec<Entry> {
    let Some((before, list)) = title.rsplit_once(':') else { return Vec::new() };
    let folded = plain(before);
    let leads = words::list("labels-of-places").ends(&folded).is_some_and(|label| {
        folded[..folded.len() - label.len()].chars().next_back().is_none_or(|sign| !sign.is_alphanumeric())
    });
    if leads { titledoors::named(list) } else { Vec::new() }
}

impl Walker<'_> {
    /// A row under the heading of a set that names places by their numbers. Whether those are doors is known once all is read.
    pub(crate) fn place_row(
        &self,
        set: usize,
        row: &Row,
        (single, text): (&str, &str),
        out: &mut Gathered,
    ) -> Option<Role> {
        if row.cells.len() > 3 || !single.contains(':') || setheading::heading(single).is_some() {
            return None;
        }
        let bare = || out.schedule.sets[set].lines.is_empty();
        let entries = places(single).or_else(|| before_goods(single).filter(|_| bare()))?;
        let place = self.sheet.place(row.number);
        // A room alone is that of the doors.
        let several = entries.len() > 1 || entries.iter().any(|entry| matches!(entry, Entry::Range(..)));
        out.place_labels.push((set, entries, place.clone()));
        let of = &mut out.schedule.sets[set];
        if !several && of.lines.is_empty() && self.set_facts(set, row, out).is_some() {
            return Some(Role::Note);
        }
        out.schedule.sets[set].notes.push(Note { text: text.to_string(), place });
        Some(Role::Note)
    }
}

/// `For use on doors: | 101 | 102 | 103 | 104`: a label and numbers of doors.
pub(crate) fn lists_doors(row: &Row) -> bool {
    let [label, doors @ ..] = &row.cells[..] else { return false };
    let numbers = label.text.trim_end().rsplit_once(':').map(|(_, rest)| rest.trim());
    let is_door = |text: &str| doorlist::looks_like(text.trim_end_matches([',', ';']));
    numbers.is_some_and(|rest| rest.is_empty() || is_door(rest)) && doors.iter().all(|cell| is_door(&cell.text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_lead_to_doors_where_nothing_else_stands_behind_them() {
        for (text, doors) in [
            ("Applies to: 101, 103, 105", 3),
            ("USED AT: 104", 1),
            ("Serves: 101 thru 104", 1),
            ("Applies to: 12, 14 except 13", 2),
        ] {
            assert_eq!(labelled(text).map(|found| found.len()), Some(doors), "{text}");
        }
        for text in [
            "For: 101, 102",
            "Used at: 3070",
            "Install at: 102",
            "Used at: 3 hinges",
            "Applies to: stair doors",
            "For: 1",
            "Function: 101",
            "Used at: 101 Lobby",
            "HINGES: 3",
        ] {
            assert_eq!(labelled(text), None, "{text}");
        }
    }

    #[test]
    fn what_belongs_to_a_word_for_doors_is_no_part_of_its_list() {
        for (text, list) in [
            ("(s): 101", "101"),
            (" NUMBERS: A-101", "A-101"),
            (" Nos. 101, 102", "101, 102"),
            (" NO-105", "105"),
            (" NO105", "105"),
            (" NUMBER-107", "107"),
            (" S-101, S-102", "S-101, S-102"),
            (" NORTH 101", "NORTH 101"),
        ] {
            assert_eq!(behind_word(text), list, "{text}");
        }
    }

    #[test]
    fn labels_of_places_give_their_numbers() {
        assert_eq!(places("Locations: Classroom 101, 102").map(|found| found.len()), Some(2));
        assert_eq!(places("Rooms: 101, 102, 103").map(|found| found.len()), Some(3));
        assert_eq!(places_in("Classroom  Locations: 101, 102").len(), 2);
        assert_eq!(places("Location: Classroom"), None);
        assert_eq!(places("Size: 3070"), None);
        for (text, doors) in [("INSTALL AT: 102", 1), ("For: 103, 104", 2)] {
            assert_eq!(before_goods(text).map(|found| found.len()), Some(doors), "{text}");
        }
        for text in ["For: 626", "INSTALL AT: 48 IN", "For: 120 VAC", "FOR: 3070", "For: stair doors"] {
            assert_eq!(before_goods(text), None, "{text}");
        }
        assert_eq!(places("Areas: Labs 100 series"), None);
        assert!(places_in("Office: card reader, 24 VDC").is_empty());
    }
}
