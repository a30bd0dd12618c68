//! After all sheets are read: doors named under headings against the schedule, duplicates, remarks that ask for hardware,
//! columns that contradict their heading, hidden rows and sheets.

use std::collections::hash_map;
use std::collections::{BTreeMap, BTreeSet, HashSet};

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::place::Place;

use super::excluded::others;
use super::files::floating;
use super::memo::ByText;
use super::notes::{asked, remarks};
use super::openings::doorlist::{self, Entry};
use super::openings::{asotherdoor, doormore};
use super::schedule::{Opening, Role, Schedule, loose_id};
use super::sets::{assigned, headasked, headfacts, titledoors};
use super::sheet::Sheet;
use super::walk::{Gathered, Served};
use super::words::plain;

/// Brings doors and sets together.
pub(crate) fn reconcile(out: &mut Gathered) {
    let served = std::mem::take(&mut out.served);
    let had_schedule = !out.schedule.openings.is_empty();
    if !served.is_empty() {
        headings(served, out);
        super::openings::doorcells::settle(out);
    }
    assigned::settle(had_schedule, out);
    asotherdoor::settle(out);
    recheck(&mut out.schedule);
}

/// The doors that set headings name.
fn headings(served: Vec<Served>, out: &mut Gathered) {
    let known: Vec<String> = out.schedule.openings.iter().map(|opening| opening.number.clone()).collect();
    let had_schedule = !known.is_empty();
    let known = doorlist::Known::of(&known);
    let mut by_number: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (index, opening) in out.schedule.openings.iter().enumerate() {
        by_number.entry(plain(&opening.number)).or_default().push(index);
    }
    let mut has: HashSet<(usize, String)> = HashSet::new();
    for (at, set) in out.schedule.sets.iter().enumerate() {
        has.extend(set.openings.iter().map(|door| (at, door.clone())));
    }
    let rows = headasked::Rows::new(&out.schedule);
    let mut left = Vec::new();
    for (set, entries, place) in served {
        too_long(&entries, &known, &place, out);
        let facts = headfacts::of_row(set, &place, out);
        let (mut lent, mut paired, mut said): (Vec<String>, Vec<String>, Vec<String>) = Default::default();
        let id = out.schedule.sets[set].id.clone();
        let out_of = rows.text(&place, &out.schedule).map(titledoors::left_in).filter(|doors| !doors.is_empty());
        left.extend(out_of.map(|doors| (id.clone(), place.clone(), doors)));
        let said_pairs = rows.text(&place, &out.schedule).map(doormore::said_pairs).unwrap_or_default();
        let doors = doorlist::spell_out(&entries, &known);
        for door in doors.clone() {
            if has.insert((set, door.clone())) {
                out.schedule.sets[set].openings.push(door.clone());
            }
            match by_number.get(&plain(&door)).cloned() {
                Some(indices) => {
                    for index in indices {
                        let own = &mut out.schedule.openings[index];
                        if let Some(facts) = facts.as_ref().filter(|_| headfacts::is_bare(own)) {
                            super::sets::setfacts::lend_all(facts, own);
                            lent.push(door.clone());
                        } else if let Some(pair) = facts.as_ref().filter(|facts| facts.leaves > own.leaves) {
                            // Only a width says that a door is none of a pair.
                            if own.width.is_none() {
                                own.leaves = pair.leaves;
                                paired.push(door.clone());
                            }
                        }
                        if own.leaves == 1 && own.width.is_none() && said_pairs.contains(&door) {
                            own.leaves = 2;
                            said.push(door.clone());
                        }
                        agree(index, &id, &place, out);
                    }
                }
                None if had_schedule => out.schedule.findings.push(not_in_schedule(&door, &id, &place)),
                None => {
                    by_number.insert(plain(&door), vec![out.schedule.openings.len()]);
                    let mut opening = Opening::bare(&door, &id, place.clone());
                    if let Some(facts) = &facts {
                        super::sets::setfacts::lend_all(facts, &mut opening);
                        lent.push(door.clone());
                    }
                    if opening.leaves == 1 && opening.width.is_none() && said_pairs.contains(&door) {
                        opening.leaves = 2;
                        said.push(door.clone());
                    }
                    out.schedule.openings.push(opening);
                }
            }
        }
        let pair = !lent.is_empty() && facts.as_ref().is_some_and(|facts| facts.leaves == 2) || !paired.is_empty();
        headasked::of_row(&id, &place, &doors, pair, &rows, &mut out.schedule);
        // What brackets say of one door of the list is said of it alone.
        paired.append(&mut said);
        if !paired.is_empty() {
            let leaves = Opening { leaves: 2, ..Opening::bare("", &id, place.clone()) };
            out.schedule.findings.extend(headfacts::finding(&id, paired, &leaves, &place));
        }
        if let Some(facts) = facts.filter(|_| !lent.is_empty()) {
            out.schedule.findings.extend(headfacts::finding(&id, lent, &facts, &place));
        }
    }
    titledoors::tell_left(left, &mut out.schedule);
}

/// Ranges of more doors than are counted out: what lies between their ends is asked about.
pub(crate) fn too_long(entries: &[Entry], known: &doorlist::Known<'_>, place: &Place, out: &mut Gathered) {
    for (from, to) in doorlist::not_spelled(entries, known) {
        let says = format!("the doors from {from} to {to} cannot be counted out; {from} and {to} alone were read");
        out.schedule.findings.push(
            Finding {
                openings: vec![from.clone(), to.clone()],
                priced_as: format!("doors {from} and {to}"),
                ..Finding::new("range-not-read", Kind::Question, Weight::Goods, says)
            }
            .at(place.clone(), format!("{from} THRU {to}"))
            .help("list the doors between the two, or give the door schedule"),
        );
    }
}

/// A door that a set names and the door schedule does not have.
pub(crate) fn not_in_schedule(door: &str, id: &str, place: &Place) -> Finding {
    let says = format!("set {id} names door {door}, which the door schedule does not have");
    Finding {
        openings: vec![door.to_string()],
        set: Some(id.to_string()),
        ..Finding::new("door-not-in-schedule", Kind::Question, Weight::Goods, says)
    }
    .at(place.clone(), door.to_string())
    .help("ask whether the door exists; it is not counted meanwhile")
}

/// What depends on the whole schedule, said anew: doors that stand twice, remarks and notes that ask for goods.
pub fn recheck(schedule: &mut Schedule) {
    let told = |code| code == DUPLICATE || code == asked::IN_NOTES || remarks::CODES.contains(&code);
    schedule.findings.retain(|finding| !told(finding.code));
    duplicates(schedule);
    remarks::tell(schedule);
    asked::tell(schedule);
}

const DUPLICATE: &str = "duplicate-door";

pub(crate) fn agree(index: usize, id: &str, place: &Place, out: &mut Gathered) {
    let opening = &mut out.schedule.openings[index];
    match &opening.set {
        None => {
            opening.set = Some(id.to_string());
            out.schedule.findings.extend(others::named_by_heading(opening, id));
            if out.set_column {
                out.schedule.findings.push(
                    Finding {
                        openings: vec![opening.number.clone()],
                        set: Some(id.to_string()),
                        ..Finding::new(
                            "set-from-heading",
                            Kind::Assumption,
                            Weight::Goods,
                            format!(
                                "the door schedule gives door {} no set; the heading of set {id} names it",
                                opening.number
                            ),
                        )
                    }
                    .at(place.clone(), opening.number.clone())
                    .help("check that the set is meant for the door"),
                );
            }
        }
        Some(own)
            if loose_id(own) != loose_id(id)
                && !out.several.get(own).is_some_and(|ids| ids.iter().any(|of| loose_id(of) == loose_id(id))) =>
        {
            let row = out.schedule.ledger.iter().find(|row| row.place.same_row(&opening.place));
            let scheduled = row.is_some_and(|row| row.role == Role::Opening);
            let (says, followed) = if scheduled {
                ("the door schedule gives door", "the door schedule was followed")
            } else {
                ("a heading gives door", "the first heading was followed")
            };
            let says = format!("{says} {} set {own}, the heading of set {id} names it too", opening.number);
            out.schedule.findings.push(
                Finding {
                    openings: vec![opening.number.clone()],
                    set: Some(own.clone()),
                    priced_as: format!("set {own}"),
                    answers: vec![
                        Answer::new(format!("set {own}"), Effect::Nothing),
                        Answer::new(format!("set {id}"), Effect::Served { from: own.clone(), set: id.to_string() }),
                    ],
                    ..Finding::new("set-disagrees", Kind::Question, Weight::Goods, says)
                }
                .at(place.clone(), opening.number.clone())
                .help(format!("ask which set is meant; {followed}")),
            );
        }
        Some(_) => {}
    }
}

/// The ways in which rows write a number, each once.
fn spellings(schedule: &Schedule, rows: &[usize]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for row in rows {
        let number = &schedule.openings[*row].number;
        if !all.contains(number) {
            all.push(number.clone());
        }
    }
    all
}

fn duplicates(schedule: &mut Schedule) {
    let mut first: ByText<usize> = ByText::with_capacity_and_hasher(schedule.openings.len(), Default::default());
    // The numbers that stand more than once, in the order in which they came again, with all their rows.
    let (mut several, mut again): (Vec<Vec<usize>>, ByText<usize>) = Default::default();
    // Rooms stand for doors without numbers, which is asked about: two offices are two doors.
    let numberless = schedule.findings.iter().any(|finding| finding.code == super::counts::types::UNNUMBERED);
    let is_room = |opening: &Opening| numberless && plain(&opening.number) == plain(&opening.room);
    let counted =
        schedule.openings.iter().enumerate().filter(|(_, opening)| opening.excluded.is_none() && !is_room(opening));
    for (index, opening) in counted {
        match first.entry(plain(&opening.number)) {
            hash_map::Entry::Vacant(number) => drop(number.insert(index)),
            hash_map::Entry::Occupied(number) => {
                let at = *again.entry(number.key().clone()).or_insert_with(|| {
                    several.push(vec![*number.get()]);
                    several.len() - 1
                });
                several[at].push(index);
            }
        }
    }
    for of_number in &several {
        let [first, second, ..] = of_number.as_slice() else { continue };
        let (opening, again) = (&schedule.openings[*first], &schedule.openings[*second]);
        let times = if of_number.len() == 2 { "twice".to_owned() } else { format!("{} times", of_number.len()) };
        let both = if of_number.len() == 2 { "two doors: both rows count" } else { "as many doors: every row counts" };
        let finding = Finding {
            openings: spellings(schedule, of_number),
            priced_as: if of_number.len() == 2 { "both rows counted" } else { "every row counted" }.into(),
            answers: vec![
                Answer::new(both, Effect::Nothing),
                Answer::new("one door: the first row counts", Effect::Doors { are: Fact::Once, goods: Vec::new() }),
            ],
            ..Finding::new(
                DUPLICATE,
                Kind::Question,
                Weight::Goods,
                format!("door {} stands {times} in the schedule, first at {}", opening.number, opening.place),
            )
        }
        .at(again.place.clone(), again.number.clone())
        .help("ask whether it is one door or several; strike the row that is wrong");
        schedule.findings.push(finding);
    }
}

/// What a sheet hides, and what was odd about its file.
pub(crate) fn hidden(sheet: &Sheet, out: &mut Gathered) {
    let place = sheet.place(sheet.rows.first().map_or(1, |row| row.number));
    let findings = &mut out.schedule.findings;
    if sheet.hidden && !sheet.rows.is_empty() {
        findings.push(
            Finding::new(
                "hidden-sheet",
                Kind::Note,
                Weight::Reading,
                format!("the sheet \"{}\" is hidden; it was read", sheet.name),
            )
            .at(place.clone(), sheet.name.to_string())
            .help("show the sheet and check whether it counts, or pass it over in the job file"),
        );
    }
    let hidden: Vec<u32> = sheet.rows.iter().filter(|row| row.hidden).map(|row| row.number).collect();
    if let Some(first) = hidden.first() {
        let list = hidden.iter().take(12).map(u32::to_string).collect::<Vec<_>>().join(", ");
        let more = if hidden.len() > 12 { format!(" and {} more", hidden.len() - 12) } else { String::new() };
        findings.push(
            Finding::new("hidden-rows", Kind::Note, Weight::Reading, format!("hidden rows were read: {list}{more}"))
                .at(sheet.place(*first), list)
                .help("show the rows and check whether they count"),
        );
    }
    if let Some(first) = sheet.hidden_columns.first() {
        let list: Vec<String> =
            sheet.hidden_columns.iter().map(|column| crate::place::column_letter(*column)).collect();
        findings.push(
            Finding::new(
                "hidden-columns",
                Kind::Note,
                Weight::Reading,
                format!("hidden columns were read: {}", list.join(", ")),
            )
            .at(place.cell(*first), list.join(", "))
            .help("show the columns and check whether they count"),
        );
    }
    floating::tell(sheet, findings);
    let rows: BTreeSet<u32> = sheet.rows.iter().map(|row| row.number).collect();
    for oddity in &sheet.oddities {
        let row = rows.range(..=oddity.row).next_back().copied().unwrap_or(1);
        findings.push(
            Finding::new(oddity.code, Kind::Note, Weight::Reading, oddity.says.clone())
                .at(sheet.place(row), oddity.excerpt.clone())
                .help(oddity.help),
        );
    }
}
