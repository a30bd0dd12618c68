//! Applies a list of changes (add, delete, revise) to the schedule of the last quote. What cannot be found there is asked
//! about and not guessed.

use std::collections::HashMap;

use super::likeness;
use super::merge::{fill_from, lay_over};
use super::pairs::{plain, squeezed};
use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::read::amendment::{Amendment, AtDoors};
use crate::read::schedule::{HardwareSet, Line, Opening, PartRole, Schedule, Wording, loose_id};
use crate::understand::Lexicon;

/// The old schedule with everything of the amendment done to it.
pub fn amended(old: Schedule, amendment: Amendment, lexicon: &Lexicon) -> Schedule {
    let mut whole = lay_over(old, amendment.reissued);
    for id in &amendment.dropped_sets {
        let many = whole.sets.len();
        whole.sets.retain(|set| loose_id(&set.id) != loose_id(id));
        if whole.sets.len() == many {
            let place = whole.ledger.first().map(|row| row.place.clone());
            whole.findings.push(missing(format!("Set {id} is to be deleted and is not in the last quote."), place, id));
        }
    }
    // A row with a door and an item is about the item; where its words name no good, it is about the door.
    let items = [&amendment.added, &amendment.revised, &amendment.deleted].into_iter().flat_map(|part| &part.sets);
    let lines = items.flat_map(|set| &set.lines);
    let of_doors: Vec<Place> = lines
        .filter(|line| {
            let at_doors = amendment.at_doors.iter().any(|at| is_row(&at.place, &line.place));
            at_doors && !is_item(&line.wording, lexicon)
        })
        .map(|line| line.place.clone())
        .collect();
    let mut at_doors = amendment.at_doors;
    at_doors.retain(|at| {
        let unread = !of_doors.iter().any(|place| is_row(place, &at.place));
        if !unread {
            tell_door(&mut whole, at);
        }
        unread
    });
    let at = |place: &Place| at_doors.iter().find(|at| is_row(&at.place, place));
    let is_door_row = |opening: &Opening| at(&opening.place).is_none();
    let is_line = |line: &Line| !of_doors.iter().any(|place| is_row(place, &line.place));
    for opening in amendment.deleted.openings.into_iter().filter(is_door_row) {
        delete_door(&mut whole, &opening);
    }
    // What such a row says of the door besides is done too.
    let says_door = |opening: &Opening| at(&opening.place).is_none_or(|at| at.says_door);
    for mut opening in amendment.revised.openings.into_iter().filter(says_door) {
        if !is_door_row(&opening) {
            opening.set = None;
        }
        revise_door(&mut whole, opening);
    }
    for opening in amendment.added.openings.into_iter().filter(says_door) {
        if is_door_row(&opening) || position(&whole, &opening.number).is_none() {
            add_door(&mut whole, opening);
        }
    }
    for set in amendment.deleted.sets {
        for line in set.lines.into_iter().filter(is_line) {
            for id in sets_meant(&mut whole, &set.id, &line, at(&line.place), "deleted") {
                if let Some((at, index)) = found(&mut whole, &id, (&line, None), lexicon, Does::Delete) {
                    whole.sets[at].lines.remove(index);
                }
            }
        }
    }
    for set in amendment.revised.sets {
        for line in set.lines.into_iter().filter(is_line) {
            let was = amendment.was.iter().find(|(place, _)| is_row(place, &line.place)).map(|(_, was)| was);
            for id in sets_meant(&mut whole, &set.id, &line, at(&line.place), "revised") {
                if let Some((at, index)) = found(&mut whole, &id, (&line, was), lexicon, Does::Revise) {
                    revise_line(&mut whole, (at, index), &line, lexicon);
                }
            }
        }
    }
    for set in amendment.added.sets {
        for line in set.lines.iter().filter(|line| is_line(line)) {
            for id in sets_meant(&mut whole, &set.id, line, at(&line.place), "added") {
                add_lines(&mut whole, HardwareSet { id, lines: vec![line.clone()], ..set.clone() });
            }
        }
    }
    whole
}

/// Whether the words of a row are about a good: they name one, or a count or a finish stands beside them.
fn is_item(wording: &Wording, lexicon: &Lexicon) -> bool {
    let has_cell = [PartRole::Quantity, PartRole::Finish].iter().any(|role| wording.part(*role).is_some());
    has_cell || likeness::goods(wording, lexicon) > 0
}

/// Says that a row with a door was taken to be about the door.
fn tell_door(whole: &mut Schedule, at: &AtDoors) {
    let says = format!("\"{}\" names no good, so the row was taken to be about door {}", at.words, at.doors.join(", "));
    let mut finding = Finding::new("change-line-chosen", Kind::Assumption, Weight::Goods, says);
    finding.place = Some(at.place.clone());
    finding.excerpt.clone_from(&at.words);
    whole.findings.push(finding.help("if an item is meant, give its quantity and its usual name, and run again"));
}

/// The sets that a row means: the one it names, or those of its doors. A set that serves other doors too is none of them:
/// what is said of one door must not befall the others.
fn sets_meant(whole: &mut Schedule, id: &str, line: &Line, at: Option<&AtDoors>, what: &str) -> Vec<String> {
    let Some(at) = at else { return vec![id.to_owned()] };
    // ALL, VARIOUS: no door by that name.
    if at.has_set && !at.doors.iter().any(|door| door.chars().any(|letter| letter.is_ascii_digit())) {
        return vec![id.to_owned()];
    }
    let says = &line.wording.text;
    match sets_of_doors(whole, at.has_set.then_some(id), &at.doors) {
        Ok(ids) => ids,
        Err((why, help)) => {
            let doors = at.doors.join(", ");
            let mut finding = missing(
                format!("\"{says}\" is to be {what} at door {doors}, and {why}."),
                Some(at.place.clone()),
                says,
            );
            finding.help = format!("this row was left out; {help}, and run again");
            whole.findings.push(finding);
            Vec::new()
        }
    }
}

/// The sets that serve these doors and no others; else why there are none, and what to do about it.
fn sets_of_doors(whole: &Schedule, id: Option<&str>, doors: &[String]) -> Result<Vec<String>, (String, String)> {
    let number = "correct the door number".to_owned();
    let places = places(whole);
    let mut ids: Vec<String> = Vec::new();
    for door in doors {
        let door_set = whole.sets.iter().find(|set| serves(whole, &places, set, door));
        let Some(set) = door_set else {
            let why = match places.get(&plain(door)) {
                Some(_) => format!("door {door} has no set"),
                None => format!("door {door} is not in the last quote"),
            };
            return Err((why, format!("{number}, or name a set")));
        };
        if let Some(id) = id.filter(|id| loose_id(id) != loose_id(&set.id)) {
            return Err((
                format!("door {door} has set {}, not {id}", set.id),
                "correct the door or the set".to_owned(),
            ));
        }
        let others: Vec<&str> = served(whole, &places, set)
            .into_iter()
            .filter(|number| !doors.iter().any(|door| plain(door) == plain(number)))
            .map(String::as_str)
            .collect();
        if !others.is_empty() {
            let why = format!("its set {} serves door {} too", set.id, others.join(", "));
            let help = format!(
                "name set {} and no door to change it at all its doors, or give door {} a set of its own",
                set.id,
                doors.join(", ")
            );
            return Err((why, help));
        }
        if !ids.contains(&set.id) {
            ids.push(set.id.clone());
        }
    }
    Ok(ids)
}

/// The openings of each door number, in order.
type Places = HashMap<String, Vec<usize>>;

fn places(whole: &Schedule) -> Places {
    let mut places = Places::with_capacity(whole.openings.len());
    for (at, opening) in whole.openings.iter().enumerate() {
        places.entry(plain(&opening.number)).or_default().push(at);
    }
    places
}

/// Whether a heading may give a door its set: its row gives it none.
fn is_bare(whole: &Schedule, places: &Places, number: &str) -> bool {
    let first = places.get(&plain(number)).and_then(|places| places.first());
    first.is_none_or(|at| whole.openings[*at].set.is_none())
}

/// The doors that a set serves: by their rows, else by its heading.
fn served<'s>(whole: &'s Schedule, places: &Places, set: &'s HardwareSet) -> Vec<&'s String> {
    let own = loose_id(&set.id);
    let has = |opening: &&Opening| opening.set.as_ref().is_some_and(|id| loose_id(id) == own);
    let by_row = whole.openings.iter().filter(has).map(|opening| &opening.number);
    by_row.chain(set.openings.iter().filter(|number| is_bare(whole, places, number))).collect()
}

/// Whether a door is among them.
fn serves(whole: &Schedule, places: &Places, set: &HardwareSet, door: &str) -> bool {
    let door = plain(door);
    let own = loose_id(&set.id);
    let row = |at: &usize| whole.openings[*at].set.as_ref().is_some_and(|id| loose_id(id) == own);
    places.get(&door).is_some_and(|rows| rows.iter().any(row))
        || set.openings.iter().any(|number| plain(number) == door && is_bare(whole, places, number))
}

fn revise_line(whole: &mut Schedule, (at, index): (usize, usize), line: &Line, lexicon: &Lexicon) {
    let known = &mut whole.sets[at].lines[index];
    match likeness::revised(&known.wording, &line.wording, lexicon) {
        Some(wording) => {
            known.wording = wording;
            known.place = line.place.clone();
            known.excluded.clone_from(&line.excluded);
        }
        None => {
            let (id, says) = (whole.sets[at].id.clone(), &line.wording.text);
            let told = format!("\"{says}\" in set {id} is to be revised, and the row says nothing of it that is new.");
            let mut finding = missing(told, Some(line.place.clone()), says);
            finding.help =
                "nothing was changed; say what becomes of it (quantity, finish, the new words), or leave the row \
                            out, and run again"
                    .to_owned();
            whole.findings.push(finding);
        }
    }
}

fn missing(says: String, place: Option<Place>, excerpt: &str) -> Finding {
    let mut finding = Finding::new("change-not-found", Kind::Question, Weight::Goods, says);
    finding.place = place;
    excerpt.clone_into(&mut finding.excerpt);
    finding.help("correct the list of changes and run again; this row was left out".to_owned())
}

fn position(whole: &Schedule, number: &str) -> Option<usize> {
    whole.openings.iter().position(|known| plain(&known.number) == plain(number))
}

fn leave_headings(whole: &mut Schedule, number: &str) {
    for set in &mut whole.sets {
        set.openings.retain(|known| plain(known) != plain(number));
    }
}

fn delete_door(whole: &mut Schedule, opening: &Opening) {
    match position(whole, &opening.number) {
        Some(at) => {
            whole.openings.remove(at);
            leave_headings(whole, &opening.number);
        }
        None => {
            let says = format!("Door {} is to be deleted and is not in the last quote.", opening.number);
            whole.findings.push(missing(says, Some(opening.place.clone()), &opening.number));
        }
    }
}

fn revise_door(whole: &mut Schedule, opening: Opening) {
    match position(whole, &opening.number) {
        Some(at) => {
            if opening.set.is_some() {
                leave_headings(whole, &opening.number);
            }
            let before = whole.openings[at].clone();
            whole.openings[at] = fill_from(opening, &before);
        }
        None => {
            let says = format!("Door {} is to be revised and is not in the last quote.", opening.number);
            whole.findings.push(missing(says, Some(opening.place.clone()), &opening.number));
        }
    }
}

fn add_door(whole: &mut Schedule, opening: Opening) {
    if position(whole, &opening.number).is_some() {
        let says = format!("Door {} is to be added and is in the last quote already; it was revised.", opening.number);
        let mut finding = missing(says, Some(opening.place.clone()), &opening.number);
        finding.help = "check the number; the row was taken as a revision of that door".to_owned();
        whole.findings.push(finding);
        revise_door(whole, opening);
    } else {
        whole.openings.push(opening);
    }
}

fn add_lines(whole: &mut Schedule, set: HardwareSet) {
    match whole.sets.iter_mut().find(|known| loose_id(&known.id) == loose_id(&set.id)) {
        Some(known) => known.lines.extend(set.lines),
        None => whole.sets.push(set),
    }
}

/// What a row of the list does to a line.
#[derive(Clone, Copy)]
enum Does {
    Delete,
    Revise,
}

/// The line of a set that a row of the list means, by the words it had before if the list gives them.
fn found(
    whole: &mut Schedule,
    id: &str,
    (line, was): (&Line, Option<&String>),
    lexicon: &Lexicon,
    does: Does,
) -> Option<(usize, usize)> {
    let what = match does {
        Does::Delete => "deleted",
        Does::Revise => "revised",
    };
    let says = &line.wording.text;
    let Some(at) = whole.sets.iter().position(|set| loose_id(&set.id) == loose_id(id)) else {
        let says = format!("\"{says}\" in set {id} is to be {what}, and the last quote has no such set.");
        whole.findings.push(missing(says, Some(line.place.clone()), &line.wording.text));
        return None;
    };
    let lines = &whole.sets[at].lines;
    let is_known = lines.iter().any(|known| squeezed(&known.wording.text) == squeezed(says));
    let many = likeness::goods(&line.wording, lexicon);
    let chosen = match (was, does) {
        (Some(was), _) => likeness::to_delete(lines, &Wording::free(was), lexicon),
        (None, Does::Delete) => likeness::to_delete(lines, &line.wording, lexicon),
        (None, Does::Revise) => likeness::to_revise(lines, &line.wording, lexicon),
    };
    // A row of two goods is about one line only if that line has both.
    let chosen = chosen.and_then(|chosen| {
        let of_line = likeness::goods(&lines[chosen.index].wording, lexicon);
        if many > of_line.max(1) && !is_known {
            Err("it names several goods; give each a row".to_owned())
        } else {
            Ok(chosen)
        }
    });
    match chosen {
        Ok(chosen) => {
            let before = &lines[chosen.index].wording.text;
            if was.is_none() && chosen.others > 0 && squeezed(before) != squeezed(says) {
                let told = format!(
                    "\"{says}\" was taken as what becomes of \"{before}\" in set {id}, which has {} more of that kind",
                    chosen.others
                );
                let mut finding = Finding::new("change-line-chosen", Kind::Assumption, Weight::Goods, told);
                finding.place = Some(line.place.clone());
                finding.excerpt.clone_from(says);
                whole.findings.push(
                    finding.help("if another line is meant, give its words in a column headed WAS and run again"),
                );
            }
            Some((at, chosen.index))
        }
        Err(why) => {
            let said = format!("\"{says}\" in set {id} is to be {what}, and {why}.");
            let known: Vec<String> = lines.iter().map(|line| format!("\"{}\"", line.wording.text)).collect();
            let mut finding = missing(said, Some(line.place.clone()), says);
            finding.help = format!(
                "this row was left out; write ADD if it comes on top, or give the words of the line it is about in a column \
                 headed WAS, and run again; set {id} has {}",
                known.join(", ")
            );
            whole.findings.push(finding);
            None
        }
    }
}

fn is_row(one: &Place, other: &Place) -> bool {
    (&one.file, &one.sheet, one.row) == (&other.file, &other.sheet, other.row)
}
