//! Lays an addendum that holds only what changed over the schedule of the last quote: its sets and doors take the place
//! of those with the same id or number, the others come after them.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::pairs::plain;
use crate::finding::{Finding, Kind, Weight, some_of};
use crate::read::schedule::{HardwareSet, Opening, Schedule, loose_id};

/// The old schedule with the addendum over it. Ledger, layout and findings are those of the addendum's own files.
pub fn lay_over(old: Schedule, addendum: Schedule) -> Schedule {
    let mut whole =
        Schedule { inputs: old.inputs, notes: old.notes, openings: old.openings, sets: old.sets, ..addendum };
    for input in addendum.inputs {
        whole.inputs.retain(|known| known.file != input.file);
        whole.inputs.push(input);
    }
    whole.notes.extend(addendum.notes);
    let has = given(&addendum.openings);
    let again: BTreeSet<String> = addendum.openings.iter().map(|opening| plain(&opening.number)).collect();
    // A number that stands twice: the first row means the first of them, the second the second.
    let mut places: BTreeMap<String, VecDeque<usize>> = BTreeMap::new();
    for (at, known) in whole.openings.iter().enumerate() {
        places.entry(plain(&known.number)).or_default().push_back(at);
    }
    let tails = without_building(&whole.openings);
    for opening in addendum.openings {
        let at = places.get_mut(&plain(&opening.number)).and_then(VecDeque::pop_front);
        match at.and_then(|at| whole.openings.get_mut(at)) {
            Some(known) => {
                // What no row of its sheet gives has no column there; it stays as it was.
                let given =
                    has.iter().find(|(sheet, _)| *sheet == (opening.place.file.clone(), opening.place.sheet.clone()));
                let before = known.clone();
                *known = match given {
                    Some((_, given)) => missing_columns(opening, &before, given),
                    None => opening,
                };
            }
            None => {
                let such = tails.get(&plain(&opening.number)).filter(|such| such.len() > 1);
                whole.findings.extend(such.map(|such| in_which_building(&opening, such)));
                whole.openings.push(opening);
            }
        }
    }
    for set in addendum.sets {
        // A door named under a re-issued set leaves the headings of the others.
        let named: BTreeSet<String> = set.openings.iter().map(|number| plain(number)).collect();
        for known in whole.sets.iter_mut().filter(|_| !named.is_empty()) {
            known.openings.retain(|number| !named.contains(&plain(number)));
        }
        match namesake(&whole.sets, &set.id) {
            // It keeps the id by which its doors name it.
            Some(at) => {
                let known = &mut whole.sets[at];
                let (id, mut named) = (std::mem::take(&mut known.id), std::mem::take(&mut known.openings));
                named.retain(|number| !again.contains(&plain(number)));
                let openings = if set.openings.is_empty() { named } else { set.openings.clone() };
                // A heading alone takes no goods away: it may be a row of a list of changes.
                if set.lines.is_empty() && set.not_used.is_none() && !known.lines.is_empty() {
                    whole.findings.push(without_lines(&id, &set));
                    (known.id, known.openings) = (id, openings);
                    known.notes.extend(set.notes);
                    continue;
                }
                *known = HardwareSet { id, openings, ..set };
            }
            None => whole.sets.push(set),
        }
    }
    whole
}

/// A set that the addendum names and under which it lists nothing.
fn without_lines(id: &str, set: &HardwareSet) -> Finding {
    let says = format!("the addendum names set {id} and lists no goods under it; the set stays as it was");
    let finding = Finding::new("set-without-goods", Kind::Question, Weight::Goods, says);
    let words = if set.title.is_empty() { set.id.clone() } else { set.title.clone() };
    Finding { set: Some(id.to_owned()), priced_as: "the goods that the set had".into(), ..finding }
        .at(set.place.clone(), words)
        .help("make the change in the schedule, or give it as a row of a list of changes: action, set, item")
}

/// The set of that id; where none is written so, the only one whose id is the same but for the words and zeros around it.
fn namesake(sets: &[HardwareSet], id: &str) -> Option<usize> {
    let exact = sets.iter().position(|known| plain(&known.id) == plain(id));
    exact.or_else(|| {
        let mut loosely = sets.iter().enumerate().filter(|(_, known)| loose_id(&known.id) == loose_id(id));
        let (at, _) = loosely.next()?;
        loosely.next().is_none().then_some(at)
    })
}

/// Which properties the rows of a sheet give at all: width, height, thickness, door, frame, wall, rating, exterior, hand,
/// set, room, remarks (with what they leave out of the bid), how many doors a row stands for.
type Given = [bool; 14];

fn said(opening: &Opening) -> Given {
    [
        opening.width.is_some(),
        opening.height.is_some(),
        opening.thickness.is_some(),
        opening.door_material.is_some(),
        opening.frame_material.is_some(),
        opening.wall.is_some(),
        !opening.rating.text.is_empty() || opening.rating.minutes.is_some(),
        opening.exterior.is_some(),
        opening.hand.is_some(),
        opening.set.is_some(),
        !opening.room.is_empty(),
        !opening.remarks.is_empty() || opening.excluded.is_some(),
        opening.count != 1,
        opening.leaves != 1 || opening.width.is_some(),
    ]
}

type SheetName = (std::sync::Arc<str>, std::sync::Arc<str>);

fn given(openings: &[Opening]) -> Vec<(SheetName, Given)> {
    let mut all: Vec<(SheetName, Given)> = Vec::new();
    for opening in openings {
        let sheet = (opening.place.file.clone(), opening.place.sheet.clone());
        let at = all.iter().position(|(known, _)| *known == sheet).unwrap_or_else(|| {
            all.push((sheet, [false; 14]));
            all.len() - 1
        });
        all[at].1.iter_mut().zip(said(opening)).for_each(|(all, one)| *all |= one);
    }
    all
}

/// An opening with what it does not say taken from the one before it.
pub(super) fn fill_from(opening: Opening, before: &Opening) -> Opening {
    let said = said(&opening);
    missing_columns(opening, before, &said)
}

fn missing_columns(mut opening: Opening, before: &Opening, given: &Given) -> Opening {
    let [width, height, thickness, door, frame, wall, rating, exterior, hand, set, room, remarks, count, leaves] =
        *given;
    if !width {
        opening.width = before.width;
        if !leaves || opening.leaves == before.leaves {
            opening.leaf_widths.clone_from(&before.leaf_widths);
        }
    }
    if !leaves {
        opening.leaves = before.leaves;
    }
    if !height {
        opening.height = before.height;
    }
    if !thickness {
        opening.thickness = before.thickness;
    }
    if !door {
        opening.door_material.clone_from(&before.door_material);
    }
    if !frame {
        opening.frame_material.clone_from(&before.frame_material);
    }
    if !wall {
        opening.wall.clone_from(&before.wall);
    }
    if !rating {
        opening.rating = before.rating.clone();
    }
    if !exterior {
        opening.exterior = before.exterior;
    }
    if !hand {
        opening.hand.clone_from(&before.hand);
    }
    if !set {
        opening.set.clone_from(&before.set);
    }
    if !room {
        opening.room.clone_from(&before.room);
    }
    if !remarks {
        opening.remarks.clone_from(&before.remarks);
        opening.excluded.clone_from(&before.excluded);
    }
    if !count {
        opening.count = before.count;
    }
    opening
}

/// Leads numbers of an addendum by their building where the last quote leads those of that building: it may hold one
/// building alone, in which no number stands twice.
pub fn tell_apart(old: &Schedule, addendum: &mut Schedule) {
    if addendum.buildings.is_empty() {
        return;
    }
    let known: BTreeSet<String> = old.openings.iter().map(|opening| plain(&opening.number)).collect();
    for opening in addendum.openings.iter_mut().filter(|opening| !known.contains(&plain(&opening.number))) {
        let Some(building) = addendum.buildings.get(&opening.place) else { continue };
        let lead = format!("{}-", plain(building));
        let leads = known.range(lead.clone()..).next().is_some_and(|known| known.starts_with(&lead));
        if leads && !plain(&opening.number).starts_with(&lead) {
            opening.number = format!("{building}-{}", opening.number);
        }
    }
}

/// The numbers of doors by what stands behind the building that leads them.
fn without_building(known: &[Opening]) -> BTreeMap<String, Vec<String>> {
    let mut tails: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for number in known.iter().map(|known| &known.number) {
        if let Some((_, tail)) = number.split_once('-') {
            tails.entry(plain(tail)).or_default().push(number.clone());
        }
    }
    tails
}

/// A door that an addendum names without its building, while the last quote has doors of that number in several.
fn in_which_building(opening: &Opening, such: &[String]) -> Finding {
    let says = format!(
        "the addendum names door {} without a building, and the last quote has {}: it was added as a door of its own",
        opening.number,
        some_of(such)
    );
    let finding = Finding::new("door-not-in-schedule", Kind::Question, Weight::Goods, says);
    let openings = vec![opening.number.clone()];
    Finding { openings, priced_as: "a door of its own".into(), ..finding }
        .at(opening.place.clone(), opening.number.clone())
        .help("write the number as the last quote has it")
}

/// Whether nothing in a re-issued schedule is of the job: no door, no set, and no set that a door names.
pub fn is_foreign(old: &Schedule, new: &Schedule) -> bool {
    let numbers: BTreeSet<String> = old.openings.iter().map(|opening| plain(&opening.number)).collect();
    let ids: BTreeSet<String> = old.sets.iter().map(|set| loose_id(&set.id)).collect();
    let door = |opening: &Opening| {
        numbers.contains(&plain(&opening.number))
            || opening.set.as_deref().is_some_and(|id| ids.contains(&loose_id(id)))
    };
    !new.openings.iter().any(door) && !new.sets.iter().any(|set| ids.contains(&loose_id(&set.id)))
}

/// Why a re-issued schedule is taken for a part of the job; `None`: it is taken for the whole.
pub fn is_part(old: &Schedule, new: &Schedule) -> Option<String> {
    if old.openings.is_empty() || old.sets.is_empty() {
        return None;
    }
    if new.openings.is_empty() {
        return Some("it has sets and no doors".to_owned());
    }
    if new.sets.is_empty() {
        return Some("it has doors and no sets".to_owned());
    }
    let numbers: BTreeSet<String> = new.openings.iter().map(|opening| plain(&opening.number)).collect();
    let ids: BTreeSet<String> = new.sets.iter().map(|set| loose_id(&set.id)).collect();
    let doors = old.openings.iter().filter(|opening| numbers.contains(&plain(&opening.number))).count();
    let sets = old.sets.iter().filter(|set| ids.contains(&loose_id(&set.id))).count();
    let few = 2 * doors < old.openings.len() && 2 * sets < old.sets.len();
    few.then(|| {
        format!(
            "it has {doors} of the {} doors and {sets} of the {} sets of the last quote",
            old.openings.len(),
            old.sets.len()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Place;

    fn schedule(ids: &[&str]) -> Schedule {
        let place = Place::row(&"a.csv".into(), &"".into(), 1);
        let set = |id: &&str| HardwareSet {
            id: (*id).to_owned(),
            title: String::new(),
            openings: vec![format!("door of {id}"), "7".into()],
            lines: Vec::new(),
            notes: Vec::new(),
            not_used: None,
            place: place.clone(),
        };
        Schedule { sets: ids.iter().map(set).collect(), ..Schedule::default() }
    }

    #[test]
    fn leaves_come_without_a_width_where_the_addendum_tells_them() {
        let opening = |number: &str, leaves: u32, width: Option<&str>| Opening {
            leaves,
            width: width.map(|width| width.parse().unwrap()),
            ..Opening::bare(number, "", Place::row(&"a.csv".into(), &"".into(), 1))
        };
        let of = |openings: Vec<Opening>| Schedule { openings, ..Schedule::default() };
        let before = || of(vec![opening("1", 1, Some("36")), opening("2", 2, Some("72"))]);
        let leaves = |whole: &Schedule| whole.openings.iter().map(|opening| opening.leaves).collect::<Vec<_>>();
        let told = lay_over(before(), of(vec![opening("1", 2, None), opening("2", 1, None)]));
        assert_eq!(leaves(&told), [2, 1]);
        assert!(told.openings.iter().all(|opening| opening.width.is_some()), "widths stay");
        let silent = lay_over(before(), of(vec![opening("1", 1, None), opening("2", 1, None)]));
        assert_eq!(leaves(&silent), [1, 2], "no leaf count is told on that sheet");
    }

    #[test]
    fn doors_of_one_building_are_found_among_those_of_several() {
        let at = |row: u32| Place::row(&"a.csv".into(), &"".into(), row);
        let of = |doors: &[&str]| Schedule {
            openings: doors.iter().zip(1..).map(|(door, row)| Opening::bare(door, "1", at(row))).collect(),
            ..Schedule::default()
        };
        let old = of(&["A-101", "B-101", "7"]);
        let mut addendum = of(&["101", "7", "9"]);
        addendum.buildings = (1..=3).map(|row| (at(row), "B".to_owned())).collect();
        tell_apart(&old, &mut addendum);
        let numbers: Vec<&str> = addendum.openings.iter().map(|opening| opening.number.as_str()).collect();
        assert_eq!(numbers, ["B-101", "7", "B-9"], "a new door of a building that leads its numbers is led too");
        assert_eq!(lay_over(old.clone(), addendum).openings.len(), 4);
        let whole = lay_over(old.clone(), of(&["101", "9"]));
        let asked: Vec<_> = whole.findings.iter().map(|finding| &finding.openings[..]).collect();
        assert_eq!(asked, [["101"]], "which of the two is meant is asked; a new number is not");
        let one = of(&["7", "8"]);
        let mut addendum = of(&["9"]);
        addendum.buildings = [(at(1), "B".to_owned())].into();
        tell_apart(&one, &mut addendum);
        assert_eq!(addendum.openings[0].number, "9", "nothing leads the numbers of a job of one building");
    }

    #[test]
    fn a_set_takes_the_place_of_its_namesake_and_takes_its_doors_along() {
        let mut addendum = schedule(&["b", "9"]);
        addendum.sets[0].title = "new".into();
        let whole = lay_over(schedule(&["A", "B", "C"]), addendum);
        let ids: Vec<&str> = whole.sets.iter().map(|set| set.id.as_str()).collect();
        assert_eq!(ids, ["A", "B", "C", "9"]);
        assert_eq!(whole.sets[1].title, "new");
        assert_eq!(whole.sets[0].openings, ["door of A"]);
        assert_eq!(whole.sets[3].openings, ["door of 9", "7"]);
    }

    #[test]
    fn a_set_without_goods_empties_none() {
        let mut before = schedule(&["4"]);
        let wording = crate::read::schedule::Wording::free("1 EA LOCK F07 626");
        before.sets[0].lines = vec![crate::read::schedule::Line::new(before.sets[0].place.clone(), wording)];
        let mut addendum = schedule(&["4"]);
        addendum.sets[0].title = "Change storeroom lock to classroom lock".into();
        let whole = lay_over(before.clone(), addendum.clone());
        assert_eq!((whole.sets[0].lines.len(), whole.findings.len()), (1, 1));
        addendum.sets[0].not_used = Some("NOT USED".into());
        let whole = lay_over(before, addendum);
        assert_eq!((whole.sets[0].lines.len(), whole.findings.len()), (0, 0));
    }
}
