//! What the lines below a door schedule say of its cells: `* Provide electric strike` of door `104*`, and
//! `Label: A = 3 hr, B = 1-1/2 hr` of its ratings.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::trade::rating::Rating;

use super::legend;
use crate::read::excluded::others::{self, Ours};
use crate::read::excluded::{othersasked, outsaid};
use crate::read::schedule::{Opening, Schedule};
use crate::read::words::{self, plain};

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
pub(crate) fn settle(schedule: &mut Schedule) {
    marked_numbers(schedule);
    letters(schedule);
    materials(schedule);
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
    let (mut tied, mut doors, mut asked): (BTreeSet<Place>, Vec<String>, Vec<Finding>) = Default::default();
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
        asked.extend(left_out(door, words));
        doors.push(door.number.clone());
        tied.insert(place.clone());
    }
    schedule.findings.extend(asked);
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

/// Leaves a door out that its footnote says is existing or others', as a remark would; with a set of others' it is asked.
fn left_out(door: &mut Opening, words: &str) -> Option<Finding> {
    if others::ours(&plain(words)) != Ours::Unsaid || door.excluded.is_some() {
        return None;
    }
    if let Some(reason) = outsaid::reason(words) {
        door.excluded = Some(reason);
        return None;
    }
    let by = others::supplier(words, Ours::Unsaid)?;
    match &door.set {
        None => {
            door.excluded = Some(by);
            None
        }
        Some(set) => Some(othersasked::with_set(&door.number, set, &by, door.place.clone(), words.to_string())),
    }
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

/// The materials that notes name, where the first stands, and its words.
type OfAll = (BTreeSet<&'static str>, Place, String);

/// `Frames: hollow metal. Doors: hollow metal.`: of what all doors and all frames are where their rows do not say.
fn materials(schedule: &mut Schedule) {
    let mut said: BTreeMap<(Arc<str>, bool), OfAll> = BTreeMap::new();
    for note in &schedule.notes {
        for (of_frame, material) in of_all(&note.text) {
            let key = (note.place.file.clone(), of_frame);
            let known = said.entry(key).or_insert_with(|| (BTreeSet::new(), note.place.clone(), note.text.clone()));
            known.0.insert(material);
        }
    }
    for ((file, of_frame), (materials, place, text)) in said {
        // Two notes that differ are said of some doors each.
        let [material] = materials.into_iter().collect::<Vec<_>>()[..] else { continue };
        let mut doors = Vec::new();
        for door in schedule.openings.iter_mut().filter(|door| door.place.file == file && door.excluded.is_none()) {
            let own = if of_frame { &mut door.frame_material } else { &mut door.door_material };
            if own.is_none() {
                *own = Some(material.to_string());
                doors.push(door.number.clone());
            }
        }
        if doors.is_empty() {
            continue;
        }
        let what = if of_frame { "frames" } else { "doors" };
        let says =
            format!("a note gives the material of all {what}, {material}; it was taken where the schedule gives none");
        let finding =
            Finding { openings: doors, ..Finding::new("material-by-note", Kind::Assumption, Weight::Goods, says) };
        schedule.findings.push(finding.at(place, text).help("check that the note holds for these doors"));
    }
}

/// A material has no more words.
const MOST_WORDS: usize = 3;

/// The parts of a note that say of what the doors (`false`) or the frames (`true`) are, and nothing else.
fn of_all(text: &str) -> Vec<(bool, &'static str)> {
    let folded = plain(text);
    if !words::list("says-door").is_within(&folded) && !words::list("says-frame").is_within(&folded) {
        return Vec::new();
    }
    let one = |part: &str| {
        let mut rest = part.trim().trim_start_matches(|sign: char| sign.is_ascii_digit() || sign == '.' || sign == ' ');
        if let Some(lead) = words::list("note").begins(rest) {
            rest = rest[lead.len()..].trim_start_matches([':', ' ', '-']);
        }
        rest = rest.strip_prefix("ALL ").unwrap_or(rest);
        let word = rest.split([' ', ':', '=']).next()?;
        let of_frame = words::list("frames-alone").is(word);
        if !of_frame && !words::list("doors-alone").is(word) {
            return None;
        }
        let rest = rest[word.len()..].trim_start_matches([' ', ':', '=', '-']);
        let verb = words::list("is-made-of").begins(rest).map_or(0, str::len);
        let material = rest[verb..].trim().trim_end_matches('.');
        // `Wood at offices` is said of some doors.
        let limits =
            |word: &str| words::list("limits-a-note").is(word) || word.bytes().any(|byte| byte.is_ascii_digit());
        if material.split(' ').count() > MOST_WORDS || material.split([' ', ',', '/', '(']).any(limits) {
            return None;
        }
        words::leaf_material(material).filter(|found| *found != "none").map(|found| (of_frame, found))
    };
    folded.split(['.', ';', '\n']).filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_say_of_what_all_doors_and_frames_are() {
        for (text, said) in [
            ("Frames: hollow metal. Doors: hollow metal.", vec![(true, "hollow-metal"), (false, "hollow-metal")]),
            ("NOTES: ALL DOORS TO BE WOOD; ALL FRAMES ARE HM", vec![(false, "wood"), (true, "hollow-metal")]),
            ("Doors: wood at offices.", vec![]),
            ("DOOR 101: WOOD", vec![]),
            ("FRAMES: PAINT", vec![]),
        ] {
            assert_eq!(of_all(text), said, "{text}");
        }
    }

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
