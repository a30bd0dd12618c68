//! Cells of doors beside the items of a set with a remark behind a door: `101, 102 (STAIR), 103`, `102 - STAIR`, `100A PR`. What is
//! written so is said of that door alone. A cell with anything else, prose or goods, is not read here.

use std::collections::{BTreeMap, BTreeSet};

use super::doorlead;
use super::doorlist::{self, Entry};
use super::doormore::speaks_of_goods;
use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::read::schedule::Opening;
use crate::read::sets::headfacts::{self, Facts};
use crate::read::sets::setfacts::lend_all;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// The doors of a cell, and what it says of some of them.
#[derive(Debug, Default, PartialEq, Eq)]
pub(crate) struct Doors {
    /// All of them.
    pub entries: Vec<Entry>,
    /// Doors with their remark.
    pub said: Vec<(Entry, String)>,
}

/// Reads the cell; `None` where it holds more than doors and remarks.
pub(crate) fn of(text: &str) -> Option<Doors> {
    let whole = || doorlist::parse(text).map(|entries| Doors { entries, said: Vec::new() });
    remarked(text).or_else(whole)
}

fn remarked(text: &str) -> Option<Doors> {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let mut out = Doors::default();
    for part in parts(&straight)? {
        let (entries, rest) = doorlead::lead(part)?;
        let remark = remark(rest.trim())?;
        out.entries.extend(entries);
        if remark.is_empty() {
            continue;
        }
        if words::list("pairs-in-a-cell").is(plain(remark).trim_matches('.')) {
            // `101, 102 & 103 (PAIRS)`
            let bare = out.entries.iter().filter(|entry| !out.said.iter().any(|(known, _)| known == *entry));
            let said: Vec<_> = bare.map(|entry| (entry.clone(), remark.to_string())).collect();
            out.said.extend(said);
        } else if let Some(last) = out.entries.last() {
            out.said.push((last.clone(), remark.to_string()));
        }
    }
    (!out.said.is_empty()).then_some(out)
}

/// The parts between commas outside brackets; `None` where a bracket has no other.
fn parts(text: &str) -> Option<Vec<&str>> {
    let (mut depth, mut from, mut out) = (0_i32, 0, Vec::new());
    for (at, sign) in text.char_indices() {
        match sign {
            '(' => depth += 1,
            ')' => depth -= 1,
            ',' | ';' | '\n' if depth == 0 => {
                out.push(text[from..at].trim());
                from = at + 1;
            }
            _ => {}
        }
        if !(0..=1).contains(&depth) {
            return None;
        }
    }
    out.push(text[from..].trim());
    out.retain(|part| !part.is_empty());
    (depth == 0).then_some(out)
}

/// The remark that stands alone behind a door: in brackets, behind a dash, or a word for a pair. Nothing is an empty one.
fn remark(rest: &str) -> Option<&str> {
    let enclosed = || rest.strip_prefix('(')?.strip_suffix(')').filter(|inside| !inside.contains(['(', ')']));
    let behind_dash = || {
        let words = rest.strip_prefix("- ")?;
        (!words.contains('(') && !words.bytes().any(|byte| byte.is_ascii_digit())).then_some(words)
    };
    let pair = || words::list("pair").is(plain(rest).trim_matches('.')).then_some(rest);
    if rest.is_empty() {
        return Some(rest);
    }
    let found = enclosed().or_else(behind_dash).or_else(pair)?.trim();
    let folded = plain(found);
    // `(EXCEPT 103)`, `(SIM. TO 104)` name other doors.
    let others = ["doors-except", "list-ends-at"].iter().any(|list| words::list(list).find(&folded).is_some());
    let named = found.bytes().any(|byte| byte.is_ascii_alphabetic());
    (named && !speaks_of_goods(found) && !(others && found.bytes().any(|byte| byte.is_ascii_digit()))).then_some(found)
}

/// Takes the doors of a set from a cell beside its goods; asks about one that begins with a door and cannot be read.
pub(crate) fn serve(set: usize, text: &str, place: Place, out: &mut Gathered) {
    let Some(doors) = of(text) else {
        let begins = doorlead::lead(text.trim()).is_some_and(|(entries, _)| {
            entries.iter().any(|(Entry::Door(door) | Entry::Range(door, _))| door.len() >= SHORTEST)
        });
        // Rows that share a cell ask one after the other.
        let told = |finding: &Finding| finding.code == NOT_READ && finding.place.as_ref() == Some(&place);
        if begins && !out.schedule.findings.iter().rev().take(NEAR).any(told) {
            let id = out.schedule.sets[set].id.clone();
            let says = format!("the doors of set {id} stand among words that were not read; none of them was counted");
            let finding = Finding {
                set: Some(id),
                priced_as: "no doors from this cell".into(),
                ..Finding::new(NOT_READ, Kind::Question, Weight::Goods, says)
            };
            let finding = finding.at(place, text.to_string());
            out.schedule.findings.push(finding.help("list the doors with commas, remarks in brackets behind each"));
        }
        return;
    };
    if out.served.iter().any(|(known, listed, _)| *known == set && *listed == doors.entries) {
        return;
    }
    let said = doors.said.into_iter().map(|(door, said)| (set, door, place.clone(), said));
    out.said_of_doors.extend(said);
    out.served.push((set, doors.entries, place));
}

const NOT_READ: &str = "doors-not-read";

/// A question about the same cell is among so many of the last.
const NEAR: usize = 16;

/// The number of a door that words follow has at least so many signs: `3 doors` counts them.
const SHORTEST: usize = 3;

/// Gives the doors what their cells say of them, and tells it.
pub(crate) fn settle(out: &mut Gathered) {
    let said = std::mem::take(&mut out.said_of_doors);
    if said.is_empty() {
        return;
    }
    let schedule = &mut out.schedule;
    let numbers: Vec<String> = schedule.openings.iter().map(|door| door.number.clone()).collect();
    let known = doorlist::Known::of(&numbers);
    // Thousands of cells may say something of their door.
    let mut at: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    numbers.iter().enumerate().for_each(|(index, number)| at.entry(plain(number)).or_default().push(index));
    let mut told: BTreeMap<(String, String), (Place, Opening, Vec<String>)> = BTreeMap::new();
    for (set, entry, place, words) in said {
        let Some(id) = schedule.sets.get(set).map(|set| set.id.clone()) else { continue };
        let spelled = doorlist::spell_out(&[entry], &known);
        let named: BTreeSet<usize> =
            spelled.iter().filter_map(|door| at.get(&plain(door))).flatten().copied().collect();
        for index in named {
            let door = &mut schedule.openings[index];
            if door.set.as_ref() != Some(&id) {
                continue;
            }
            let Some(facts) = lend(&words, &place, door) else { continue };
            let key = (id.clone(), words.clone());
            told.entry(key).or_insert_with(|| (place.clone(), facts, Vec::new())).2.push(door.number.clone());
        }
    }
    for ((id, words), (place, facts, doors)) in told {
        let finding = headfacts::finding_of("behind doors of", &id, doors, &facts, &place);
        schedule.findings.extend(finding.map(|finding| finding.at(place, words)));
    }
}

/// Gives a door what its cell says of it: its facts, or two leaves where the schedule does not say how wide it is.
fn lend(said: &str, place: &Place, door: &mut Opening) -> Option<Opening> {
    let told = Facts::of_remark(said).opening(place, &mut Vec::new())?;
    let (bare, mut lent) = (headfacts::is_bare(door), false);
    if bare {
        let remarks = std::mem::take(&mut door.remarks);
        lend_all(&Opening { remarks: String::new(), ..told.clone() }, door);
        door.leaves = door.leaves.max(told.leaves);
        (door.remarks, lent) = (remarks, true);
    } else if told.leaves > door.leaves && door.width.is_none() {
        (door.leaves, lent) = (told.leaves, true);
    }
    if door.excluded.is_none() {
        door.excluded.clone_from(&told.excluded);
    }
    if !words::list("pair").is(plain(said).trim_matches('.')) && !door.remarks.contains(said) {
        let comma = if door.remarks.is_empty() { "" } else { "; " };
        door.remarks.push_str(&format!("{comma}{said}"));
    }
    let leaves = |told: Opening| Opening { leaves: told.leaves, ..Opening::bare("", "", place.clone()) };
    lent.then(|| if bare { told } else { leaves(told) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_of_doors_says_of_each_what_stands_behind_it() {
        for (text, expected) in [
            ("101, 102 (STAIR), 103", "101 102 103: 102 STAIR"),
            ("101, 102 - STAIR, 103", "101 102 103: 102 STAIR"),
            ("101 (EXISTING FRAME), 102, 103", "101 102 103: 101 EXISTING FRAME"),
            ("100A (LOBBY)", "100A: 100A LOBBY"),
            ("100A (PR 3-0 x 7-0, ALUM)", "100A: 100A PR 3-0 x 7-0, ALUM"),
            ("100A PR", "100A: 100A PR"),
            ("101, 102 (PR), 103", "101 102 103: 102 PR"),
            ("101, 102 & 103 (PAIRS)", "101 102 103: 101 PAIRS, 102 PAIRS, 103 PAIRS"),
            ("101 (2)", "101: "),
            ("101-103", "101 102 103: "),
            ("101, 102", "101 102: "),
        ] {
            let Doors { entries, said } = of(text).unwrap_or_else(|| panic!("{text}"));
            let known = doorlist::Known::default();
            let spelled = |entry: &Entry| doorlist::spell_out(std::slice::from_ref(entry), &known).join(" ");
            let said: Vec<String> = said.iter().map(|(door, said)| format!("{} {said}", spelled(door))).collect();
            let found = format!("{}: {}", doorlist::spell_out(&entries, &known).join(" "), said.join(", "));
            assert_eq!(found, expected, "{text}");
        }
        for text in [
            "Typical of 3",
            "101-105 (EXCEPT 103)",
            "101 (3 HINGES)",
            "101 doors of the addition are by others",
            "See plan for doors 101 (STAIR)",
            "101 - 3 HINGES",
            "ALL (STAIR)",
        ] {
            assert_eq!(of(text), None, "{text}");
        }
    }
}
