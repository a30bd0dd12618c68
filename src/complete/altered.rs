//! Answers that change what was read of openings: their size, their set, how long they are rated, whether a number that
//! stands twice is one door, two numbers one pair, and a row that is said to be none a door. The whole job follows from them, so it is worked out anew.

use std::collections::{HashMap, HashSet};

use rust_decimal::Decimal;

use crate::finding::{Effect, Fact};
use crate::place::Place;
use crate::read::schedule::{Opening, Schedule};
use crate::trade::inches::Inches;

/// Whether an answer is put into the schedule before the rules run.
pub(super) fn is_put_in(effect: &Effect) -> bool {
    matches!(effect, Effect::Doors { are, .. } if is_of_rows(*are))
        || matches!(effect, Effect::Size { .. } | Effect::Served { .. })
}

/// Whether a fact is of how the rows of doors were read.
pub(super) fn is_of_rows(are: Fact) -> bool {
    matches!(are, Fact::Once | Fact::OnePair | Fact::Stay | Fact::Out | Fact::Count(_) | Fact::Leaf(_) | Fact::Frame(_))
}

/// Whether what an answer is worth is known only once its openings are worked out anew.
pub fn is_anew(effect: &Effect) -> bool {
    let rated = matches!(effect, Effect::Doors { are: Fact::Rated(_) | Fact::NotRated, .. });
    is_put_in(effect) || rated
}

/// Puts an answer about the openings of these numbers into a schedule. Whether anything changed.
///
/// A number may stand on several rows: a size, a count, a material that was asked about at one of them, `place`, is answered
/// for those that are read like it.
pub fn alter(schedule: &mut Schedule, numbers: &[String], effect: &Effect, place: Option<&Place>) -> bool {
    let asked = place.and_then(|place| schedule.openings.iter().find(|opening| opening.place.same_row(place))).cloned();
    let mut rows: HashMap<String, usize> = HashMap::new();
    let of_rows = |are: &Fact| matches!(are, Fact::Count(_) | Fact::Leaf(_) | Fact::Frame(_));
    if matches!(effect, Effect::Size { .. }) || matches!(effect, Effect::Doors { are, .. } if of_rows(are)) {
        for opening in &schedule.openings {
            *rows.entry(loose(&opening.number)).or_default() += 1;
        }
    }
    let mut changed = false;
    let mut met: HashSet<String> = HashSet::new();
    let numbers: HashSet<&str> = numbers.iter().map(String::as_str).collect();
    for opening in schedule.openings.iter_mut().filter(|opening| numbers.contains(opening.number.as_str())) {
        let before = opening.clone();
        match effect {
            effect
                if rows.get(&loose(&opening.number)).is_some_and(|rows| *rows > 1)
                    && asked.as_ref().is_some_and(|asked| !is_read_like(opening, asked, effect)) => {}
            Effect::Size { width, height, leaf_widths } => resize(opening, *width, *height, leaf_widths),
            Effect::Served { from, set } if opening.set.as_deref().is_some_and(|own| own.trim() == from.trim()) => {
                opening.set = Some(set.clone());
            }
            Effect::Doors { are: Fact::Rated(minutes), .. } => rate(opening, *minutes),
            Effect::Doors { are: Fact::NotRated, .. } => rate(opening, 0),
            Effect::Doors { are: Fact::Once, .. } if met.contains(&loose(&opening.number)) => {
                opening.excluded.get_or_insert_with(|| "answered: stands twice".to_owned());
            }
            Effect::Doors { are: Fact::OnePair, .. } if !met.is_empty() => {
                opening.excluded.get_or_insert_with(|| "answered: the other leaf of a pair".to_owned());
            }
            Effect::Doors { are: Fact::Stay, .. } if place.is_some_and(|place| opening.place.same_row(place)) => {
                opening.excluded = None;
            }
            Effect::Doors { are: Fact::Out, .. } => {
                opening.excluded.get_or_insert_with(|| "answered: not of the job".to_owned());
            }
            Effect::Doors { are: Fact::Count(count), .. } => opening.count = *count,
            Effect::Doors { are: Fact::Leaf(material), .. } => opening.door_material = Some((*material).to_owned()),
            Effect::Doors { are: Fact::Frame(material), .. } => opening.frame_material = Some((*material).to_owned()),
            _ => {}
        }
        // A row that is not ours stands for no door of the job.
        if opening.excluded.is_none() {
            met.insert(loose(&opening.number));
        }
        changed |= before != *opening;
    }
    changed
}

/// Whether a row says of what was asked the same as the row at which it was asked.
fn is_read_like(opening: &Opening, asked: &Opening, effect: &Effect) -> bool {
    let sized = |opening: &Opening| (opening.leaves, opening.width, opening.height);
    match effect {
        Effect::Size { .. } => sized(opening) == sized(asked),
        Effect::Doors { are: Fact::Count(_), .. } => {
            (opening.count, &opening.room, &opening.remarks) == (asked.count, &asked.room, &asked.remarks)
        }
        Effect::Doors { are: Fact::Leaf(_), .. } => opening.door_material == asked.door_material,
        Effect::Doors { are: Fact::Frame(_), .. } => opening.frame_material == asked.frame_material,
        _ => true,
    }
}

/// A number as those that read it compare it: without regard to case and spaces.
fn loose(number: &str) -> String {
    number.split_whitespace().collect::<String>().to_uppercase()
}

fn rate(opening: &mut Opening, minutes: u32) {
    opening.rating.minutes = Some(minutes);
    opening.rating.rated_unknown = false;
    opening.rating.wall_minutes = None;
    opening.rating.frame_minutes = None;
}

fn resize(opening: &mut Opening, width: Inches, height: Option<Inches>, leaf_widths: &[Inches]) {
    (opening.width, opening.height) = (Some(width), height.or(opening.height));
    // One width is that of a leaf alone, two are those of a pair, whatever was read.
    match leaf_widths {
        [] => {}
        [_] => (opening.leaves, opening.leaf_widths) = (1, Vec::new()),
        _ => opening.leaves = 2,
    }
    if opening.leaves == 2 {
        let leaf = if width < Inches::feet(5, 0) { width } else { Inches::new(width.decimal() / Decimal::TWO) };
        opening.leaf_widths = if leaf_widths.is_empty() { vec![leaf; 2] } else { leaf_widths.to_vec() };
        opening.width = Some(opening.leaf_widths.iter().fold(Inches::whole(0), |sum, leaf| sum + *leaf));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_answered_for_the_rows_that_were_asked_about() {
        let row = |number: &str, row: u32, width: i64| {
            let place = Place { file: "a.csv".into(), sheet: "".into(), row, column: None };
            Opening { width: Some(Inches::whole(width)), ..Opening::bare(number, "1", place) }
        };
        let mut schedule =
            Schedule { openings: vec![row("101", 1, 40), row("101", 2, 72), row("102", 3, 40)], ..Default::default() };
        let size = Effect::Size { width: Inches::whole(48), height: None, leaf_widths: Vec::new() };
        let numbers = ["101".to_owned(), "102".to_owned()];
        let asked = schedule.openings[0].place.clone();
        assert!(alter(&mut schedule, &numbers, &size, Some(&asked)));
        let widths: Vec<Option<Inches>> = schedule.openings.iter().map(|opening| opening.width).collect();
        assert_eq!(widths, [48, 72, 48].map(|width| Some(Inches::whole(width))));
    }

    #[test]
    fn two_numbers_become_one_pair_and_a_second_width_no_leaf() {
        let pair = |number: &str, row: u32| {
            let place = Place { file: "a.csv".into(), sheet: "".into(), row, column: None };
            let (width, leaf) = (Some(Inches::whole(54)), Inches::whole(36));
            let leaf_widths = vec![leaf, Inches::whole(18)];
            Opening { leaves: 2, width, leaf_widths, ..Opening::bare(number, "1", place) }
        };
        let mut schedule = Schedule { openings: vec![pair("105A", 1), pair("105B", 2)], ..Default::default() };
        let numbers = ["105A".to_owned(), "105B".to_owned()];
        let one = Effect::Doors { are: Fact::OnePair, goods: Vec::new() };
        assert!(is_put_in(&one) && alter(&mut schedule, &numbers, &one, None));
        let out: Vec<bool> = schedule.openings.iter().map(|door| door.excluded.is_some()).collect();
        assert_eq!(out, [false, true]);
        let leaf = Inches::whole(36);
        let single = Effect::Size { width: leaf, height: None, leaf_widths: vec![leaf] };
        assert!(alter(&mut schedule, &numbers[..1], &single, None));
        assert_eq!((schedule.openings[0].leaves, schedule.openings[0].width), (1, Some(leaf)));
        let both = Effect::Size { width: leaf * 2, height: None, leaf_widths: vec![leaf, leaf] };
        assert!(alter(&mut schedule, &numbers[..1], &both, None));
        assert_eq!((schedule.openings[0].leaves, schedule.openings[0].leaf_widths.len()), (2, 2));
    }

    #[test]
    fn a_row_that_is_said_to_be_gone_stays_and_materials_are_told() {
        let row = |row: u32| Place { file: "a.csv".into(), sheet: "".into(), row, column: None };
        let gone = |at: u32| Opening { excluded: Some("DEL".to_owned()), ..Opening::bare("101", "1", row(at)) };
        let mut schedule = Schedule { openings: vec![gone(1), gone(2)], ..Default::default() };
        let numbers = ["101".to_owned()];
        let of = |are: Fact| Effect::Doors { are, goods: Vec::new() };
        assert!(is_put_in(&of(Fact::Stay)) && alter(&mut schedule, &numbers, &of(Fact::Stay), Some(&row(2))));
        let out: Vec<bool> = schedule.openings.iter().map(|door| door.excluded.is_some()).collect();
        assert_eq!(out, [true, false], "the row that was asked about alone");
        assert!(alter(&mut schedule, &numbers, &of(Fact::Count(42)), None) && schedule.openings[1].count == 42);
        assert!(alter(&mut schedule, &numbers, &of(Fact::Leaf("wood")), Some(&row(2))));
        assert!(alter(&mut schedule, &numbers, &of(Fact::Frame("aluminum")), Some(&row(2))));
        // The other row of the number says what it is of: that is kept.
        (schedule.openings[0].door_material, schedule.openings[0].room) =
            (Some("hollow-metal".into()), "OFFICE".into());
        schedule.openings[1].door_material = None;
        assert!(alter(&mut schedule, &numbers, &of(Fact::Leaf("wood")), Some(&row(2))));
        assert!(alter(&mut schedule, &numbers, &of(Fact::Count(7)), Some(&row(2))));
        let rows: Vec<_> = schedule.openings.iter().map(|row| (row.count, row.door_material.as_deref())).collect();
        assert_eq!(rows, [(42, Some("hollow-metal")), (7, Some("wood"))]);
        assert!(is_put_in(&of(Fact::Out)) && alter(&mut schedule, &numbers, &of(Fact::Out), None));
        assert!(schedule.openings.iter().all(|door| door.excluded.is_some()));
        let door = &schedule.openings[1];
        assert_eq!((door.door_material.as_deref(), door.frame_material.as_deref()), (Some("wood"), Some("aluminum")));
    }
}
