//! A door schedule that names no sets, and another table that gives the same doors their set or their goods: `Door | Size |
//! Material` on one sheet or in one file, `Door | Set` or doors against kinds of hardware on the next. Both rows are one door:
//! its facts stand in the schedule, its set in the other table. A number that stands twice in one table stays twice.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use crate::finding::{Finding, Kind, Weight, some_of};
use crate::place::Place;

use crate::read::excluded::others;
use crate::read::memo::ByText;
use crate::read::openings::buildings;
use crate::read::schedule::{Opening, Role, Schedule};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// Rows that say one door: of the list, and of the schedule.
type Same = (usize, Vec<usize>);

/// Joins the doors of lists and matrices to those of the schedules that name no sets.
pub(crate) fn settle(out: &mut Gathered) {
    let doors = &out.schedule.openings;
    let listed = |door: &Opening| door.set.is_some() && is_lean(door);
    if !doors.iter().any(|door| door.set.is_none()) || !doors.iter().any(listed) {
        return;
    }
    let tables = tables(&out.schedule);
    let (mut scheduled, mut lists): (ByText<Vec<usize>>, Vec<Vec<usize>>) = Default::default();
    let mut all = 0;
    let mut table_of = vec![0; doors.len()];
    for (table, rows) in tables.into_values().enumerate() {
        rows.iter().for_each(|at| table_of[*at] = table);
        let with_set = rows.iter().filter(|at| doors[**at].set.is_some()).count();
        if with_set == 0 {
            for at in rows.into_iter().filter(|at| doors[*at].count == 1) {
                all += 1;
                scheduled.entry(plain(&doors[at].number)).or_default().push(at);
            }
        } else if with_set * 2 > rows.len() && rows.iter().all(|at| is_lean(&doors[*at])) {
            lists.push(rows);
        }
    }
    if scheduled.is_empty() || lists.is_empty() {
        return;
    }
    let buildings = buildings::of_doors(out);
    let (mut joined, mut gone): (BTreeSet<usize>, BTreeSet<usize>) = Default::default();
    for list in lists {
        let same = same(&list, &scheduled, &table_of, &buildings, &out.schedule);
        let same: Vec<Same> = same.into_iter().filter(|(_, own)| own.iter().all(|at| !joined.contains(at))).collect();
        if same.len() * 2 < list.len().min(all) || same.is_empty() || other_rooms(&same, &out.schedule.openings) {
            continue;
        }
        joined.extend(same.iter().flat_map(|(at, own)| own.iter().chain([at])));
        let both_have_more = same.len() < list.len() && same.len() < all;
        let is_unsure = both_have_more || is_headed_apart(&list, &out.schedule);
        tell(&same, is_unsure, &mut out.schedule);
        for (at, own) in same {
            let from = out.schedule.openings[at].clone();
            for own in own {
                let told = lend(&from, &mut out.schedule.openings[own]);
                out.schedule.findings.extend(told);
            }
            gone.insert(at);
        }
    }
    if !gone.is_empty() {
        take_out(&gone, out);
    }
}

/// Whether a row gives no size and no material of its door, and stands for one.
fn is_lean(door: &Opening) -> bool {
    let sized = door.width.is_some() || door.height.is_some() || door.thickness.is_some();
    let made = door.door_material.is_some() || door.frame_material.is_some() || door.wall.is_some();
    !sized && !made && door.leaf_widths.is_empty() && door.count == 1
}

/// The doors of each table, which its sheet and the heading row above them tell.
fn tables(schedule: &Schedule) -> BTreeMap<Place, Vec<usize>> {
    let heads = schedule.ledger.iter().filter(|row| row.role == Role::Header);
    let heads: BTreeSet<Place> = heads.map(|row| row.place.clone()).collect();
    let mut tables: BTreeMap<Place, Vec<usize>> = BTreeMap::new();
    for (at, door) in schedule.openings.iter().enumerate() {
        let own = |head: &&Place| head.file == door.place.file && head.sheet == door.place.sheet;
        let row = heads.range::<Place, _>(..=&door.place).next_back().filter(own).map_or(0, |head| head.row);
        tables.entry(Place { row, column: None, ..door.place.clone() }).or_default().push(at);
    }
    tables
}

/// The rows of a list with those of the schedule that say the same door. Doors of one number in several tables or buildings may
/// be any of them.
fn same(
    list: &[usize],
    scheduled: &ByText<Vec<usize>>,
    table_of: &[usize],
    buildings: &[Option<String>],
    schedule: &Schedule,
) -> Vec<Same> {
    let mut by_number: ByText<Vec<usize>> = ByText::default();
    for at in list {
        by_number.entry(plain(&schedule.openings[*at].number)).or_default().push(*at);
    }
    let mut found = Vec::new();
    for (number, rows) in by_number {
        let Some(own) = scheduled.get(&number) else { continue };
        let one_each = rows.len() == 1 && own.len() == 1;
        let fits = |at: usize, own: usize| {
            let place = match (&buildings[at], &buildings[own]) {
                (Some(one), Some(other)) => plain(one) == plain(other),
                (None, None) => true,
                _ => one_each,
            };
            place && agree(&schedule.openings[at], &schedule.openings[own])
        };
        let of = |at: usize| -> Vec<usize> { own.iter().copied().filter(|own| fits(at, *own)).collect() };
        let in_one = |own: &[usize]| own.iter().map(|at| table_of[*at]).collect::<HashSet<_>>().len() == 1;
        if let [at] = rows[..] {
            found.extend(Some((at, of(at))).filter(|(_, own)| in_one(own)));
        } else if in_one(own) {
            let pairs = rows.into_iter().zip(own).filter(|(at, own)| fits(*at, **own));
            found.extend(pairs.map(|(at, own)| (at, vec![*own])));
        }
    }
    found.sort_unstable();
    found
}

/// Whether what a list says of a door beside its set is not other than what the schedule says.
fn agree(list: &Opening, own: &Opening) -> bool {
    let rating = [&list.rating.text, &own.rating.text].map(|text| plain(text));
    // `1-1/2 HR` is `90 MIN`.
    let timed = list.rating.minutes.is_some() && list.rating.minutes == own.rating.minutes;
    (list.leaves == 1 || list.leaves == own.leaves)
        && (rating.iter().any(String::is_empty) || timed || rating[0] == rating[1])
        && (list.hand.is_none() || own.hand.is_none() || list.hand == own.hand)
        && (list.exterior.is_none() || own.exterior.is_none() || list.exterior == own.exterior)
}

/// Whether most rooms are others: the doors of another building have the same numbers.
fn other_rooms(same: &[Same], doors: &[Opening]) -> bool {
    let rooms = same.iter().filter_map(|(at, own)| Some((plain(&doors[*at].room), plain(&doors[*own.first()?].room))));
    let (mut both, mut others) = (0, 0);
    for (list, own) in rooms.filter(|(list, own)| !list.is_empty() && !own.is_empty()) {
        let words: HashSet<&str> = own.split(' ').collect();
        both += 1;
        // `MECH` is `Mechanical`.
        let alike = list.chars().take(3).eq(own.chars().take(3)) || list.split(' ').any(|word| words.contains(word));
        others += usize::from(!alike);
    }
    others * 2 > both
}

/// Gives a door of the schedule its set and what else the list alone says of it.
fn lend(from: &Opening, own: &mut Opening) -> Option<Finding> {
    if own.room.is_empty() {
        own.room.clone_from(&from.room);
    }
    if !from.remarks.is_empty() && !own.remarks.contains(&from.remarks) {
        let join = if own.remarks.is_empty() { "" } else { "; " };
        own.remarks = format!("{}{join}{}", own.remarks, from.remarks);
    }
    if own.rating.text.is_empty() {
        own.rating.clone_from(&from.rating);
    }
    own.hand = own.hand.take().or_else(|| from.hand.clone());
    own.exterior = own.exterior.or(from.exterior);
    own.excluded = own.excluded.take().or_else(|| from.excluded.clone());
    own.set.clone_from(&from.set);
    own.set.clone().and_then(|set| others::named_by_heading(own, &set))
}

/// Whether a row right above the headings of a list names a part of the job: `PHASE 2`, `NORTH ADDITION`.
fn is_headed_apart(list: &[usize], schedule: &Schedule) -> bool {
    let Some(door) = list.first().map(|at| &schedule.openings[*at]) else { return false };
    let mut above = schedule.ledger.iter().rev().skip_while(|row| !row.place.same_row(&door.place));
    let heads = above.by_ref().find(|row| row.role == Role::Header);
    let title = above.next().filter(|title| {
        heads.is_some_and(|heads| title.place.file == heads.place.file && title.place.sheet == heads.place.sheet)
    });
    title.is_some_and(|row| {
        !matches!(row.role, Role::Opening | Role::Line | Role::Set | Role::Header)
            && words::list("part-of-the-job").find(&plain(&row.text)).is_some()
    })
}

/// Says that two tables were read as one.
fn tell(same: &[Same], is_unsure: bool, schedule: &mut Schedule) {
    let doors = &schedule.openings;
    let with_set = || same.iter().filter(|(at, _)| doors[*at].set.is_some());
    let Some((list, own)) = with_set().next().and_then(|(at, own)| Some((&doors[*at], &doors[*own.first()?]))) else {
        return;
    };
    let numbers: Vec<String> = with_set().map(|(at, _)| doors[*at].number.clone()).collect();
    let says = format!(
        "the door schedule ({}) gives no sets; another table names the same doors and was taken to say their hardware: {}",
        own.place,
        some_of(&numbers)
    );
    let kind = if is_unsure { Kind::Question } else { Kind::Assumption };
    let weight = if is_unsure { Weight::Goods } else { Weight::Reading };
    let priced_as = if is_unsure { "each number is one door".to_string() } else { String::new() };
    let finding = Finding::new("set-from-heading", kind, weight, says);
    let finding = Finding { openings: numbers, priced_as, ..finding }.at(list.place.clone(), list.number.clone());
    schedule.findings.push(finding.help("check that both tables speak of the same doors"));
}

/// Takes the rows out that said the set of another; where no goods come from them they say the doors of a set.
fn take_out(gone: &BTreeSet<usize>, out: &mut Gathered) {
    let row = |place: &Place| Place { column: None, ..place.clone() };
    let doors = &out.schedule.openings;
    let mut rows: BTreeSet<Place> = gone.iter().map(|at| row(&doors[*at].place)).collect();
    let mut at = 0;
    out.schedule.openings.retain(|_| {
        at += 1;
        !gone.contains(&(at - 1))
    });
    for line in out.schedule.sets.iter().flat_map(|set| &set.lines) {
        rows.remove(&row(&line.place));
    }
    for door in &out.schedule.openings {
        rows.remove(&row(&door.place));
    }
    for row in out.schedule.ledger.iter_mut().filter(|row| row.role == Role::Opening && rows.contains(&row.place)) {
        row.role = Role::SetOpenings;
    }
}
