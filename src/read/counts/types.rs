//! Schedules that name no doors: door types, rooms, counts of types by dwelling or room, and asset workbooks whose
//! components name their type. They are joined once all sheets are read: a type lends its facts to the doors that name it;
//! it stands for doors of its own only where nothing else does.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::symbols::Symbols;
use super::typesbeside;
use crate::read::openings::doors::{self, Reader, whole_count};
use crate::read::schedule::{LayoutNote, Note, Opening, Role};
use crate::read::sheet::{Row, join};
use crate::read::tables::headings::Meaning as M;
use crate::read::walk::{Gathered, Walker, note};
use crate::read::words::{self, plain};

/// A row of a table of door types or rooms.
pub(crate) struct Type {
    name: String,
    pub opening: Opening,
    /// It names doors somewhere in its row, or its table can only hold doors.
    pub door: bool,
    pub counted: bool,
    pub used: bool,
    text: String,
    /// What was found in its row; told only when the type counts.
    pub findings: Vec<Finding>,
}

/// How many doors of a type one room or dwelling has.
pub(crate) struct Count {
    pub room: String,
    pub name: String,
    pub count: u32,
    pub place: Place,
    pub door: bool,
}

/// A component of an asset workbook.
struct Component {
    number: String,
    name: String,
    room: String,
    text: String,
    place: Place,
}

/// What is to be joined when all sheets are read.
#[derive(Default)]
pub(crate) struct Types {
    types: Vec<Type>,
    counts: Vec<Count>,
    components: Vec<Component>,
    /// What may be matrices of rooms with types of doors in their cells.
    pub symbols: Symbols,
    /// Doors that name their type: the index of the opening, and the name.
    doors: Vec<(usize, String)>,
}

impl Types {
    /// A door of a door schedule names its type.
    pub fn door(&mut self, opening: usize, name: &str) {
        if !name.trim().is_empty() {
            self.doors.push((opening, plain(name)));
        }
    }
}

impl Walker<'_> {
    pub(crate) fn type_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let (kind, room) = (reader.text(M::DoorType), reader.all(M::Room));
        let text = join(&row.cells);
        let facts = [M::Set, M::Size, M::Width, M::Height, M::LeafWidth, M::DoorMaterial, M::Count]
            .iter()
            .filter(|meaning| reader.cell(**meaning).is_some())
            .count();
        let name = if kind.is_empty() { room.clone() } else { kind.to_string() };
        let counts_dwellings = table.dwellings.row == Some(row.number);
        if counts_dwellings || name.is_empty() || facts == 0 || words::list("total").begins(&plain(&text)).is_some() {
            return note(self.sheet, &text, row, out);
        }
        let number = if kind.is_empty() || room.is_empty() { name.clone() } else { format!("{room} {kind}") };
        let mut findings = Vec::new();
        let opening = doors::opening(&reader, &number, &mut findings);
        let assets = table
            .columns
            .iter()
            .any(|column| words::list("asset-category").is(&crate::read::tables::headings::key(&column.heading)));
        out.types.types.push(Type {
            name: plain(&name),
            opening,
            door: !assets || names_door(&text),
            counted: reader.cell(M::Count).is_some() || table.has(M::CountPart) || table.has(M::CountFactor),
            used: false,
            text,
            findings,
        });
        Role::Opening
    }

    pub(crate) fn count_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let text = join(&row.cells);
        let room = [reader.all(M::Room), reader.all(M::RoomNumber)].join(" ").trim().to_string();
        let units = whole_count(reader.text(M::Count));
        let total = words::list("total").begins(&plain(&text)).is_some();
        if total {
            self.sums.total(self.sheet, &table, row, out);
        } else {
            self.sums.row(self.sheet, &table, row, u64::from(units.unwrap_or(1)), out);
        }
        if room.is_empty() || total {
            return note(self.sheet, &text, row, out);
        }
        let door = names_door(&self.sheet.name) || self.seen.iter().any(|seen| names_door(seen));
        let before = out.types.counts.len();
        for column in table.columns.iter().filter(|column| column.meaning == M::TypeCount) {
            let Some(cell) = row.cell(column.index).filter(|cell| !cell.struck) else { continue };
            let count = whole_count(&cell.text).map(|count| count.saturating_mul(units.unwrap_or(1)));
            let none = count == Some(0) || words::list("falsy").is(&plain(&cell.text));
            if !none && count.is_none_or(|count| count > 50_000) {
                let says = format!("\"{}\" is no count of doors of type {}", cell.text, column.heading);
                let finding = Finding {
                    priced_as: "no door".into(),
                    ..Finding::new("count-not-read", Kind::Question, Weight::Goods, says)
                };
                out.schedule.findings.push(
                    finding
                        .at(self.sheet.at(row.number, column.index), text.clone())
                        .help("ask how many such doors there are, and write the number"),
                );
            }
            if let Some(count) = count.filter(|count| (1..=50_000).contains(count)) {
                let (room, name) = (room.clone(), column.heading.clone());
                let place = self.sheet.at(row.number, column.index);
                out.types.counts.push(Count { room, name, count, place, door });
            }
        }
        if out.types.counts.len() == before { note(self.sheet, &text, row, out) } else { Role::Opening }
    }

    pub(crate) fn component_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let (number, name) = (reader.text(M::DoorNumber), reader.text(M::DoorType));
        let text = join(&row.cells);
        if number.is_empty() || name.is_empty() {
            return note(self.sheet, &text, row, out);
        }
        let place = self.sheet.place(row.number);
        out.types.components.push(Component {
            number: number.to_string(),
            name: plain(name),
            room: reader.all(M::Room),
            text,
            place,
        });
        Role::Opening
    }
}

/// Whether words speak of doors.
fn names_door(text: &str) -> bool {
    let folded = plain(text);
    folded.split(|letter: char| !letter.is_ascii_alphabetic()).any(|word| words::list("doors").is(word))
}

/// Brings types, counts and components together with the doors.
pub(crate) fn join_types(out: &mut Gathered) {
    let before = out.schedule.layout.len();
    join_all(out);
    // Rows that turned out to be no doors are notes in the ledger.
    let passed: Vec<Place> = out.schedule.layout[before..].iter().map(|note| note.place.clone()).collect();
    out.schedule.pass_rows(passed.iter(), Role::Note);
}

fn join_all(out: &mut Gathered) {
    let mut types = std::mem::take(&mut out.types);
    let numbered = !out.schedule.openings.is_empty();
    let names: BTreeMap<String, usize> =
        types.types.iter().enumerate().rev().map(|(index, kind)| (kind.name.clone(), index)).collect();
    for (opening, name) in std::mem::take(&mut types.doors) {
        if let Some(index) = names.get(&name) {
            lend(&types.types[*index].opening, &mut out.schedule.openings[opening]);
            types.types[*index].used = true;
        }
    }
    let known = types.types.iter().map(|kind| kind.name.clone()).collect();
    let symbols = std::mem::take(&mut types.symbols);
    types.counts.extend(symbols.settle(out, &known));
    components(&mut types, &names, out);
    counts(&mut types, &names, out);
    let used = types.types.iter().any(|kind| kind.used);
    if used || numbered {
        for mut kind in typesbeside::settle(types.types, out) {
            let why = if kind.used { "a type of doors: it lends its facts" } else { "a type that no door names" };
            pass(&kind.opening.place, &kind.text, why, out);
            if kind.used {
                out.schedule.findings.append(&mut kind.findings);
            }
        }
        return;
    }
    standing_alone(types.types, out);
}

/// The facts of a type for a door that lacks them.
pub(crate) fn lend(kind: &Opening, door: &mut Opening) {
    if door.width.is_none() {
        (door.width, door.leaves) = (kind.width, door.leaves.max(kind.leaves));
        door.leaf_widths.clone_from(&kind.leaf_widths);
    }
    door.height = door.height.or(kind.height);
    door.thickness = door.thickness.or(kind.thickness);
    for (own, lent) in [
        (&mut door.door_material, &kind.door_material),
        (&mut door.frame_material, &kind.frame_material),
        (&mut door.hand, &kind.hand),
        (&mut door.set, &kind.set),
    ] {
        if own.is_none() {
            own.clone_from(lent);
        }
    }
    if door.rating.text.is_empty() {
        door.rating = kind.rating.clone();
    }
    if door.remarks.is_empty() {
        door.remarks.clone_from(&kind.remarks);
    }
}

/// A row that turned out to be no door: the layout says why.
fn pass(place: &Place, text: &str, why: &str, out: &mut Gathered) {
    if !why.contains("lends") {
        out.schedule.notes.push(Note { text: text.to_string(), place: place.clone() });
    }
    out.schedule.layout.push(LayoutNote { place: place.clone(), what: "row passed over".into(), why: why.into() });
}

fn components(types: &mut Types, names: &BTreeMap<String, usize>, out: &mut Gathered) {
    for component in std::mem::take(&mut types.components) {
        let kind = names.get(&component.name).copied();
        let door = names_door(&component.text) || kind.is_some_and(|index| names_door(&types.types[index].text));
        let other = kind.is_some_and(|index| !types.types[index].door);
        if !door || other {
            pass(&component.place, &component.text, "a component whose type is no door", out);
            continue;
        }
        let mut opening = Opening::bare(&component.number, "", component.place);
        (opening.set, opening.room) = (None, component.room);
        if let Some(index) = kind {
            lend(&types.types[index].opening, &mut opening);
            types.types[index].used = true;
        }
        out.schedule.openings.push(opening);
    }
}

fn counts(types: &mut Types, names: &BTreeMap<String, usize>, out: &mut Gathered) {
    let mut first: Option<Place> = None;
    for count in std::mem::take(&mut types.counts) {
        let kind = names.get(&plain(&count.name)).copied();
        let row = count.place.clone();
        let place = Place { column: None, ..count.place };
        if kind.is_none() && !count.door {
            pass(
                &place,
                &format!("{} {}: {}", count.room, count.name, count.count),
                "counts of things that nothing calls doors",
                out,
            );
            continue;
        }
        let mut opening = Opening::bare(&format!("{} {}", count.room, count.name), "", place);
        (opening.set, opening.room, opening.count) = (None, count.room, count.count);
        if let Some(index) = kind {
            lend(&types.types[index].opening, &mut opening);
            types.types[index].used = true;
        }
        first.get_or_insert(row);
        out.schedule.openings.push(opening);
    }
    if let Some(place) = first {
        out.schedule.findings.push(unnumbered(
            "the schedule counts types of doors by room or dwelling; each count became one opening with that count",
            place,
        ));
    }
}

/// The code of what is said where no door is named.
pub(crate) const UNNUMBERED: &str = "doors-without-numbers";

/// What is said where doors are counted and none is named.
pub(crate) fn unnumbered(says: &str, place: Place) -> Finding {
    Finding { priced_as: "as counted".into(), ..Finding::new(UNNUMBERED, Kind::Question, Weight::Goods, says) }
        .at(place, "")
        .help("ask for a schedule with door numbers, or check the counts against the plans")
}

/// Types that nothing names are the doors of the job, as often as they say.
fn standing_alone(types: Vec<Type>, out: &mut Gathered) {
    let mut first: Option<(Place, bool)> = None;
    for mut kind in types {
        if !kind.door {
            pass(&kind.opening.place, &kind.text, "a type that is no door", out);
            continue;
        }
        let known = first.get_or_insert((kind.opening.place.clone(), true));
        known.1 &= kind.counted;
        out.schedule.findings.append(&mut kind.findings);
        out.schedule.openings.push(kind.opening);
    }
    let Some((place, counted)) = first else { return };
    let says = if counted {
        "the schedule names types of doors, not doors; each is counted as often as its row says"
    } else {
        "the schedule names rooms or types of doors, not doors; each row was counted as often as it says, once where it says nothing"
    };
    out.schedule.findings.push(unnumbered(says, place));
}
