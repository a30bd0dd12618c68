//! Applies a list of changes (add, delete, revise) to the schedule of the last quote. What cannot be found there is asked
//! about and not guessed.

use super::likeness;
use super::merge::{fill_from, lay_over};
use super::pairs::{plain, squeezed};
use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::read::amendment::Amendment;
use crate::read::schedule::{HardwareSet, Line, Opening, Schedule, Wording, loose_id};
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
            if let Some((at, index)) = found(&mut whole, &set.id, (&line, None), lexicon, Does::Delete) {
                whole.sets[at].lines.remove(index);
            }
        }
    }
    for set in amendment.revised.sets {
        for line in set.lines {
            let was = amendment.was.iter().find(|(place, _)| is_row(place, &line.place)).map(|(_, was)| was);
            if let Some((at, index)) = found(&mut whole, &set.id, (&line, was), lexicon, Does::Revise) {
                let known = &mut whole.sets[at].lines[index];
                known.wording = likeness::revised(&known.wording, &line.wording, lexicon);
                (known.place, known.excluded) = (line.place, line.excluded);
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
    let chosen = match (was, does) {
        (Some(was), _) => likeness::to_delete(lines, &Wording::free(was), lexicon),
        (None, Does::Delete) => likeness::to_delete(lines, &line.wording, lexicon),
        (None, Does::Revise) => likeness::to_revise(lines, &line.wording, lexicon),
    };
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
