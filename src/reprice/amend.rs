//! Applies a list of changes (add, delete, revise) to the schedule of the last quote. What cannot be found there is asked
//! about and not guessed.

use std::collections::BTreeSet;

use super::merge::{fill_from, lay_over};
use super::pairs::{plain, squeezed};
use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::read::amendment::Amendment;
use crate::read::schedule::{HardwareSet, Line, Opening, Schedule, loose_id};
use crate::trade::category::Category;
use crate::understand::reading::Surroundings;
use crate::understand::{Lexicon, understand};

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
    for opening in amendment.deleted.openings {
        delete_door(&mut whole, &opening);
    }
    for opening in amendment.revised.openings {
        revise_door(&mut whole, opening);
    }
    for opening in amendment.added.openings {
        add_door(&mut whole, opening);
    }
    for set in amendment.deleted.sets {
        for line in set.lines {
            if let Some((at, index)) = found(&mut whole, &set.id, &line, lexicon, "deleted") {
                whole.sets[at].lines.remove(index);
            }
        }
    }
    for set in amendment.revised.sets {
        for line in set.lines {
            if let Some((at, index)) = found(&mut whole, &set.id, &line, lexicon, "revised") {
                let known = &mut whole.sets[at].lines[index];
                (known.wording, known.place) = (line.wording, line.place);
                known.excluded = line.excluded;
            }
        }
    }
    for set in amendment.added.sets {
        add_lines(&mut whole, set);
    }
    whole
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

/// The one line of a set that a row of the list means: the same words, else the only one of its category, else the one of
/// its category with the most words in common.
fn found(whole: &mut Schedule, id: &str, line: &Line, lexicon: &Lexicon, what: &str) -> Option<(usize, usize)> {
    let ask = |whole: &mut Schedule, why: &str| {
        let says = format!("\"{}\" in set {id} is to be {what}, and {why}.", line.wording.text);
        whole.findings.push(missing(says, Some(line.place.clone()), &line.wording.text));
    };
    let Some(at) = whole.sets.iter().position(|set| loose_id(&set.id) == loose_id(id)) else {
        ask(whole, "the last quote has no such set");
        return None;
    };
    let lines = &whole.sets[at].lines;
    if let Some(index) = lines.iter().position(|known| squeezed(&known.wording.text) == squeezed(&line.wording.text)) {
        return Some((at, index));
    }
    let category = category_of(line, lexicon);
    let mut close: Vec<(usize, usize)> = lines
        .iter()
        .enumerate()
        .filter(|(_, known)| category.is_some() && category_of(known, lexicon) == category)
        .map(|(index, known)| (in_common(known, line), index))
        .collect();
    close.sort_by_key(|(common, index)| (std::cmp::Reverse(*common), *index));
    match close.as_slice() {
        [] => {
            ask(whole, "no line of that set is of its kind");
            None
        }
        [(best, _), (next, _), ..] if best == next => {
            ask(whole, "several lines of that set may be meant");
            None
        }
        [(_, index), ..] => Some((at, *index)),
    }
}

fn category_of(line: &Line, lexicon: &Lexicon) -> Option<Category> {
    let readings = understand(lexicon, &line.wording, &Surroundings::default());
    readings.first().and_then(|reading| reading.category.found().copied())
}

/// How many words two lines share.
fn in_common(one: &Line, two: &Line) -> usize {
    let words =
        |line: &Line| -> BTreeSet<String> { squeezed(&line.wording.text).split(' ').map(str::to_owned).collect() };
    words(one).intersection(&words(two)).count()
}
