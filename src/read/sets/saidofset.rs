//! Rows that begin like the heading of a set and only say something of one that is defined elsewhere, `Set C2: Door normally
//! closed and locked. Valid card unlocks.`, `Set 1 - kick plates by others`: notes, which open no second set.

use std::collections::BTreeSet;

use super::headfacts::{Facts, of_doors_above};
use crate::read::addenda::superseded;
use crate::read::goods::itemtext::{self, is_sentence, starts_with_quantity};
use crate::read::schedule::{HardwareSet, Note, PartRole, Role, loose_id};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// Makes notes of such rows, and of what stands below them without counts.
pub(crate) fn settle(out: &mut Gathered) {
    let sets = &out.schedule.sets;
    let headed: BTreeSet<usize> = out.served.iter().map(|one| one.0).chain(out.same.iter().map(|one| one.0)).collect();
    let gone: Vec<bool> = sets.iter().enumerate().map(|(at, set)| says(set) && !headed.contains(&at)).collect();
    if !gone.contains(&true) {
        return;
    }
    let defined = sets.iter().zip(&gone).filter(|(set, gone)| !**gone && !set.lines.is_empty());
    let whole: BTreeSet<String> = defined.map(|(set, _)| loose_id(&set.id)).collect();
    let gone: Vec<bool> = sets.iter().zip(gone).map(|(set, gone)| gone && whole.contains(&loose_id(&set.id))).collect();
    let (mut notes, mut rows, mut told) = (Vec::new(), Vec::new(), Vec::new());
    for set in sets.iter().zip(&gone).filter(|(_, gone)| **gone).map(|(set, _)| set) {
        let row = out.schedule.ledger.iter().find(|row| row.place.same_row(&set.place));
        let text = row.map_or_else(|| format!("{}: {}", set.id, set.title), |row| row.text.clone());
        notes.push(Note { text, place: set.place.clone() });
        notes.extend(set.lines.iter().map(|line| Note { text: line.wording.text.clone(), place: line.place.clone() }));
        notes.extend(set.notes.iter().cloned());
        // `Set 1 is a pair of doors`: what stands at its heading would say so of its doors.
        if words::list("said-of-a-set").begins(&plain(&set.title)).is_some() {
            told.push((loose_id(&set.id), Facts::of(&set.title), set.place.clone()));
        }
        rows.push(set.place.clone());
        rows.extend(set.lines.iter().map(|line| line.place.clone()));
    }
    if notes.is_empty() {
        return;
    }
    superseded::take_out(&gone, out);
    for (id, facts, place) in told {
        let of = out.schedule.sets.iter().position(|set| loose_id(&set.id) == id && !set.lines.is_empty());
        if let Some((of, facts)) = of.zip(facts.opening(&place, &mut out.schedule.findings)) {
            of_doors_above(of, facts, out);
        }
    }
    out.schedule.notes.extend(notes);
    out.schedule.pass_rows(rows.iter(), Role::Note);
}

/// Whether the heading of a set is a sentence over rows that count nothing, or names goods over no row at all.
fn says(set: &HardwareSet) -> bool {
    if set.title.is_empty() || set.not_used.is_some() || !set.openings.is_empty() {
        return false;
    }
    let folded = plain(&set.title);
    let counted = || {
        set.lines.iter().any(|line| {
            let by_column = line.wording.parts.iter().any(|part| part.role == PartRole::Quantity);
            let text = plain(&line.wording.text);
            by_column || starts_with_quantity(&text) && !text.ends_with('.') && !itemtext::by_others(&text)
        })
    };
    // The dot of `EXT. ENTRY PAIR W/ ALUM. DOORS` ends no sentence.
    let prose = words::list("prose");
    let verb = prose.find(&folded).is_some();
    if is_sentence(&folded) || verb && folded.contains(". ") && folded.split(' ').count() > 5 {
        let names_good = |text: &str| words::list("goods").find(text).is_some() && prose.find(text).is_none();
        let goods = || set.lines.iter().filter(|line| names_good(&plain(&line.wording.text))).count();
        return !counted() && (verb || goods() < 2);
    }
    let of_goods = || words::list("goods").find(&folded).is_some() || itemtext::by_others(&folded);
    // `Set 1 is a pair of doors`, `Set 2 doors to be keyed alike`.
    set.lines.is_empty() && (verb || of_goods())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Place;
    use std::sync::Arc;

    #[test]
    fn a_sentence_or_goods_say_something_of_a_set() {
        let place = Place::row(&Arc::from("a.csv"), &Arc::from(""), 1);
        for (title, is_said) in [
            ("Door normally closed and locked. Valid card unlocks outside lever.", true),
            ("kick plates by others", true),
            ("is a pair of doors", true),
            ("doors to be keyed alike", true),
            ("Pair of doors", false),
            ("Stair doors", false),
            ("", false),
        ] {
            let set = HardwareSet {
                id: "1".into(),
                title: title.into(),
                openings: Vec::new(),
                lines: Vec::new(),
                notes: Vec::new(),
                place: place.clone(),
                not_used: None,
            };
            assert_eq!(says(&set), is_said, "{title}");
        }
    }
}
