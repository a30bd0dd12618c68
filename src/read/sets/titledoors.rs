//! Doors that the words of a heading name by their numbers, without a word for doors: `SET 3 - Stair 105`, `Restrooms 110, 111`,
//! `classrooms 101 thru 108 (except 102 and 103)`. They are believed where no door schedule tells of the doors.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::trade::{finish, function};

use super::{headfacts, setheading};
use crate::read::openings::doorlist::{self, Entry};
use crate::read::openings::{doorlabels, doorlead, doormore};
use crate::read::schedule::Schedule;
use crate::read::sizes::size;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// The code of what is said here.
const IN_TITLE: &str = "doors-in-title";

/// The doors that words name, less those that they leave out.
pub(crate) fn named(text: &str) -> Vec<Entry> {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let (said, out) = parted(&straight);
    let mut found = numbers(said);
    let Some(out) = out else { return found };
    // `101 thru 108 (except 102 and 103), 110`: behind the bracket the list goes on.
    let (out, behind) = out.split_once(')').unwrap_or((out, ""));
    found.extend(numbers(behind));
    without(&found, &left_out(out))
}

/// The doors that words leave out, where they are a list of doors and nothing else: `except 103 has no closer` leaves out none.
fn left_out(out: &str) -> BTreeSet<String> {
    let left = doorlist::parse(out.trim_matches([' ', ',', ';', ':', '.', ')'])).unwrap_or_default();
    doorlist::spell_out(&left, &doorlist::Known::default()).into_iter().collect()
}

/// What stands before the word that leaves doors out, and behind it.
fn parted(text: &str) -> (&str, Option<&str>) {
    let folded = plain(text);
    let Some(word) = words::list("doors-except").find(&folded).filter(|_| folded.len() == text.len()) else {
        return (text, None);
    };
    let at = words::offset(&folded, word);
    match (text.get(..at), text.get(at + word.len()..)) {
        (Some(before), Some(behind)) => (before, Some(behind)),
        _ => (text, None),
    }
}

/// What stands before and behind the list of doors that a text names; `None` where it names none.
pub(crate) fn beside_doors(text: &str) -> Option<String> {
    setheading::doors_in(text).into_iter().find_map(|(before, list)| {
        let (entries, rest) = doorlead::lead(list)?;
        // The word for doors goes with what stands before it: `1 PR. DOORS`, `WD DOOR`.
        let word = text.get(before.len()..text.len() - list.len())?.trim_matches([' ', '#', ':', '.', '-', '(']);
        Some(format!("{before}{word}  {}", doormore::without_doors(&entries, rest)))
    })
}

/// A list of doors less those that the words behind it leave out: `except 102 and 103`; with those that follow behind other words.
pub(crate) fn less(entries: Vec<Entry>, behind: &str) -> Vec<Entry> {
    let (before, out) = parted(behind);
    let Some(out) = out.filter(|_| !before.bytes().any(|byte| byte.is_ascii_alphanumeric())) else {
        return doormore::further(entries, behind);
    };
    let out = if before.contains('(') { out.split_once(')').map_or(out, |(inside, _)| inside) } else { out };
    without(&entries, &left_out(out))
}

/// The doors of a range that the words of a row leave out, `DOORS 101 THRU 105 EXCEPT 103`, and the numbers behind words that end a
/// list, `DOORS 101, 102 NOT 105, 106`.
pub(crate) fn left_in(text: &str) -> Vec<String> {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let Some((entries, behind)) = setheading::doors_of(&straight) else { return Vec::new() };
    let known = doorlist::Known::default();
    let kept = || doorlist::spell_out(&less(entries.clone(), behind), &known);
    if parted(&straight).1.is_some() {
        let kept = kept();
        return doorlist::spell_out(&entries, &known).into_iter().filter(|door| !kept.contains(door)).collect();
    }
    let over = doorlist::spell_out(&doormore::left_over(&entries, behind), &known);
    if over.is_empty() {
        return over;
    }
    let kept = kept();
    over.into_iter().filter(|door| !kept.contains(door)).collect()
}

/// Says of doors that a list leaves out that they are none of the job, where nothing else names them.
pub(crate) fn tell_left(left: Vec<(String, crate::place::Place, Vec<String>)>, schedule: &mut Schedule) {
    if left.is_empty() {
        return;
    }
    let known: BTreeSet<String> = schedule.openings.iter().map(|door| plain(&door.number)).collect();
    for (set, place, doors) in left {
        let openings: Vec<String> = doors.into_iter().filter(|door| !known.contains(&plain(door))).collect();
        if openings.is_empty() {
            continue;
        }
        let says =
            format!("set {set} leaves out {}, which nothing else names: no door of the job", openings.join(", "));
        let finding = Finding::new("doors-left-out", Kind::Assumption, Weight::Goods, says);
        let finding = Finding { set: Some(set), ..finding }.at(place, openings.join(", "));
        schedule.findings.push(finding.help("ask whether these are doors, and which set they have"));
    }
}

fn without(entries: &[Entry], left: &BTreeSet<String>) -> Vec<Entry> {
    if left.is_empty() {
        return entries.to_vec();
    }
    let doors = doorlist::spell_out(entries, &doorlist::Known::default());
    doors.into_iter().filter(|door| !left.contains(door)).map(Entry::Door).collect()
}

/// The numbers of doors in words, each with what goes on from it.
fn numbers(text: &str) -> Vec<Entry> {
    let mut found: Vec<Entry> = Vec::new();
    let mut at = 0;
    let (mut before, mut of_other) = ("", false);
    while let Some(start) = text[at..].find(|sign: char| !sign.is_whitespace()).map(|next| at + next) {
        let end = text[start..].find(char::is_whitespace).map_or(text.len(), |next| start + next);
        let word = &text[start..end];
        let bare = word.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
        at = end;
        // `SECTION 08 71 00`, `FLOORS 10 THRU 14`: all that follows is of something else, up to the next word.
        let figures = bare.bytes().any(|byte| byte.is_ascii_digit());
        let joins = words::list("joins-numbers").is(&plain(bare)) || bare.is_empty();
        of_other = numbers_other(&plain(before)) || of_other && (figures || joins);
        before = if joins { before } else { bare };
        if of_other || !is_number(bare) {
            continue;
        }
        let Some((entries, rest)) = doorlead::lead(&text[start..]) else { continue };
        let whole = entries.iter().all(|entry| match entry {
            Entry::Door(door) => is_number(door),
            Entry::Range(from, to) => is_number(from) && is_number(to),
        });
        if whole {
            at = (text.len() - rest.len()).max(end);
            found.extend(entries);
        }
    }
    found
}

/// Whether the number behind a word is none of a door: `SECTION 08 71 00`, `ZONE 300`.
pub(crate) fn numbers_other(word: &str) -> bool {
    ["number-of-other", "number-of-place"].iter().any(|list| words::list(list).is(word))
}

/// Whether a word may be the number of a door whatever stands before it: `105`, `100B`, `A-101`; no size, no finish with
/// letters before it, no function.
fn is_number(word: &str) -> bool {
    let figures = word.bytes().filter(u8::is_ascii_digit).count();
    let ends = word.split("..").next().unwrap_or(word);
    let lettered = word.starts_with(|first: char| first.is_ascii_alphabetic());
    let of_goods = || {
        finish::look_of(word).is_some() || function::all().iter().any(|known| known.number.eq_ignore_ascii_case(word))
    };
    (figures >= 3 || figures == 2 && word.bytes().any(|byte| byte.is_ascii_alphabetic()))
        && word.len() <= 8
        && doorlist::is_door(ends)
        && size::parse_size(word).is_none()
        && !(lettered && of_goods())
}

/// Where nothing but the titles of sets names doors, these are the doors; which is asked once for the job. Doors of a schedule
/// that have no set have that of the title that names them.
pub(crate) fn serve(out: &mut Gathered) {
    // Long schedules of doors rarely have sets whose titles name numbers.
    let mut known: Option<BTreeMap<String, Option<String>>> = None;
    let labels = std::mem::take(&mut out.place_labels);
    let served: BTreeSet<usize> = out.served.iter().map(|(set, ..)| *set).collect();
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    let mut first = None;
    for at in 0..out.schedule.sets.len() {
        let set = &out.schedule.sets[at];
        if set.not_used.is_some() || set.lines.is_empty() || served.contains(&at) || !set.openings.is_empty() {
            continue;
        }
        let mut entries = named(set.title.split(": ").next().unwrap_or_default());
        if entries.is_empty() {
            entries = doorlabels::places_in(&set.title);
        }
        let mut place = set.place.clone();
        if entries.is_empty() {
            for (_, more, at) in labels.iter().filter(|(of, ..)| *of == at) {
                entries.extend(more.iter().cloned());
                place = at.clone();
            }
        }
        if entries.is_empty() || out.assigned.counts_doors_of(at) {
            continue;
        }
        let doors = doorlist::spell_out(&entries, &doorlist::Known::default());
        let sets_of = known.get_or_insert_with(|| {
            out.schedule.openings.iter().map(|door| (plain(&door.number), door.set.clone())).collect()
        });
        let open = |door: &String| sets_of.get(&plain(door)).is_some_and(Option::is_none);
        if !sets_of.is_empty() && !doors.iter().all(open) {
            continue;
        }
        told.push((set.id.clone(), doors));
        first.get_or_insert_with(|| (place.clone(), set.title.clone()));
        out.served.push((at, entries, place));
    }
    let Some((place, title)) = first else { return };
    let some = told.iter().take(8).map(|(set, doors)| format!("set {set}: {}", doors.join(", ")));
    let more = if told.len() > 8 { " and more" } else { "" };
    let says = format!(
        "the words at the headings of sets name numbers, which were read as those of doors: {}{more}",
        some.collect::<Vec<_>>().join("; ")
    );
    out.schedule.findings.push(
        Finding {
            openings: told.into_iter().flat_map(|(_, doors)| doors).collect(),
            priced_as: "one door for each number".into(),
            ..Finding::new(IN_TITLE, Kind::Question, Weight::Goods, says)
        }
        .at(place, title)
        .help("ask for the door schedule; a room may have several doors"),
    );
}

/// What a text that names doors says of them, for the row at a place.
pub(crate) fn facts(text: &str, place: &crate::place::Place, out: &mut Gathered) {
    let Schedule { findings, .. } = &mut out.schedule;
    if let Some(told) = headfacts::Facts::of(text).opening(place, findings) {
        out.line_facts.insert(place.clone(), told);
    }
}

/// The doors that follow a word for doors in a title, less those that it leaves out.
pub(crate) fn worded(title: &str) -> Option<Vec<Entry>> {
    let straight: String = title.chars().map(crate::trade::signs::straight).collect();
    let (entries, behind) = setheading::doors_of(&straight)?;
    Some(less(entries, behind))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_name_doors_by_their_numbers() {
        let of = |text: &str| doorlist::spell_out(&named(text), &doorlist::Known::default()).join(" ");
        for (text, doors) in [
            ("classrooms 101 thru 108 (except 102 and 103)", "101 104 105 106 107 108"),
            ("restrooms 110, 111", "110 111"),
            ("kitchen 112, 45 minute", "112"),
            ("janitor 113 and storage 114", "113 114"),
            ("Stair 105", "105"),
            ("main entry 100A and 100B, pairs, 3-0 x 7-0 each leaf, aluminum", "100A 100B"),
            ("Offices A-101, A-102 - 20 min", "A-101 A-102"),
            ("pairs 3070, 90 minute", ""),
            ("STC 45", ""),
            ("OFFICES QTY 24", ""),
            ("CLASSROOMS (12)", ""),
            ("FLOORS 101 THRU 104", ""),
            ("LEVELS 02-05 STAIR", ""),
            ("SECTION 087 100 200", ""),
            ("ICC A117.1 2017 RESTROOM", ""),
            ("classrooms 101 thru 104 except 103 has no closer", "101 102 103 104"),
            ("TYPE 304 stainless", ""),
            ("Finish US26D", ""),
            ("Level 2", ""),
            ("Corridor single, card reader", ""),
        ] {
            assert_eq!(of(text), doors, "{text}");
        }
    }
}
