//! What the lines below a door schedule say of its cells: `* Provide electric strike` of door `104*`, and
//! `Label: A = 3 hr, B = 1-1/2 hr` of its ratings.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::trade::rating::Rating;

use super::legend;
use super::schedule::Schedule;
use super::words::{self, plain};

/// So many asterisks on a sheet of a file.
type Mark = (Arc<str>, Arc<str>, usize);

/// Asterisks at the end of a number or at the head of a line.
fn stars(text: &str) -> usize {
    text.bytes().rev().take_while(|byte| *byte == b'*').count()
}

/// A line that explains so many asterisks, and its words.
fn footnote(text: &str) -> Option<(usize, &str)> {
    let count = text.bytes().take_while(|byte| *byte == b'*').count();
    let words = text.get(count..)?.trim_start_matches([' ', '-', '=', ':', '.', ')']).trim();
    let said = words.bytes().any(|byte| byte.is_ascii_alphabetic()) && !words.ends_with('*');
    ((1..=6).contains(&count) && said).then_some((count, words))
}

/// Takes the marks off the numbers of doors that a footnote explains, and gives the doors its words.
pub(super) fn settle(schedule: &mut Schedule) {
    marked_numbers(schedule);
    letters(schedule);
}

fn marked_numbers(schedule: &mut Schedule) {
    if !schedule.openings.iter().any(|door| door.number.ends_with('*')) {
        return;
    }
    let mut notes: BTreeMap<Mark, (String, Place)> = BTreeMap::new();
    for note in &schedule.notes {
        if let Some((count, words)) = footnote(note.text.trim()) {
            let key = (note.place.file.clone(), note.place.sheet.clone(), count);
            notes.entry(key).or_insert_with(|| (words.to_string(), note.place.clone()));
        }
    }
    let numbers: BTreeSet<String> = schedule.openings.iter().map(|door| plain(&door.number)).collect();
    let (mut tied, mut doors): (BTreeSet<Place>, Vec<String>) = Default::default();
    for door in schedule.openings.iter_mut().filter(|door| door.number.ends_with('*')) {
        let count = stars(&door.number);
        let bare = door.number[..door.number.len() - count].trim_end();
        let Some((words, place)) = notes.get(&(door.place.file.clone(), door.place.sheet.clone(), count)) else {
            continue;
        };
        // Another door may have the number without the mark.
        if bare.is_empty() || numbers.contains(&plain(bare)) {
            continue;
        }
        door.number = bare.to_string();
        let comma = if door.remarks.is_empty() { "" } else { "; " };
        door.remarks.push_str(&format!("{comma}{words}"));
        doors.push(door.number.clone());
        tied.insert(place.clone());
    }
    let Some(first) = tied.iter().next().cloned() else { return };
    // The words stand beside the doors now.
    schedule.notes.retain(|note| !tied.contains(&note.place));
    let says = "the numbers of doors have asterisks that footnotes explain; these are marks and no part of the numbers";
    schedule.findings.push(
        Finding { openings: doors, ..Finding::new("footnote-of-doors", Kind::Assumption, Weight::Reading, says) }
            .at(first, "*")
            .help("check which doors the footnotes are said of"),
    );
}

/// Ratings by letters that a line of the file explains.
fn letters(schedule: &mut Schedule) {
    let lead = words::list("rating-key-lead");
    let keys = schedule.notes.iter().filter(|note| note.text.contains(['=', '-', ':']));
    let mut meant: BTreeMap<(Arc<str>, String), (u32, Place)> = BTreeMap::new();
    for note in keys {
        let folded = plain(&note.text);
        if lead.find(&folded).is_none() {
            continue;
        }
        for (code, said) in legend::definitions(&note.text) {
            if let Some(minutes) = Rating::parse(said).minutes {
                meant.entry((note.place.file.clone(), code)).or_insert((minutes, note.place.clone()));
            }
        }
    }
    if meant.len() < 2 {
        return;
    }
    let mut read: BTreeMap<(String, u32, Place), Vec<String>> = BTreeMap::new();
    for door in schedule.openings.iter_mut().filter(|door| !door.rating.text.is_empty()) {
        let folded = plain(&door.rating.text);
        let code = folded.trim_matches(['"', '\'', ' ']).trim_end_matches("LABEL").trim_end_matches(['-', ' ', '"']);
        let Some((minutes, place)) = meant.get(&(door.place.file.clone(), code.to_string())) else { continue };
        if door.rating.minutes != Some(*minutes) {
            (door.rating.minutes, door.rating.rated_unknown) = (Some(*minutes), false);
            read.entry((code.to_string(), *minutes, place.clone())).or_default().push(door.number.clone());
        }
    }
    for ((code, minutes, place), doors) in read {
        let says = format!("the rating {code} was read as {minutes} minutes, as the key in the file says");
        let finding =
            Finding { openings: doors, ..Finding::new("rating-by-key", Kind::Assumption, Weight::Reading, says) };
        schedule.findings.push(finding.at(place, code).help("check the key of the ratings"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn footnotes_begin_with_their_mark() {
        assert_eq!(footnote("** Verify rating"), Some((2, "Verify rating")));
        assert_eq!(footnote("*= see spec"), Some((1, "see spec")));
        assert_eq!(footnote("*** END ***"), None);
        assert_eq!(footnote("* 12"), None);
        assert_eq!(footnote("no mark"), None);
        assert_eq!((stars("104*"), stars("110***"), stars("104")), (1, 3, 0));
    }
}
