//! Doors that are said to be as another door: `Door 109 same as 108` in a row of its own, `109 | SAME AS 108` in a schedule of
//! doors. The door has the set of the other, and what its own row does not say of its size and make.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::doorlist;
use super::doors::{self, Reader};
use crate::read::schedule::{Opening, Role};
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::walk::{Gathered, Last, Walker, join_single};
use crate::read::words::{self, plain};
use crate::trade::finish;

/// What a row says of its door.
#[derive(Debug)]
pub(crate) struct AsOther {
    number: String,
    other: String,
    place: Place,
    words: String,
}

/// The doors that are said to be as others, and the numbers of the schedule that was asked last for one.
#[derive(Debug, Default)]
pub(crate) struct AsOthers {
    said: Vec<AsOther>,
    numbers: Option<(Place, usize, BTreeSet<String>)>,
}

impl AsOthers {
    /// Whether a column of a sheet has a cell with this number. Many rows ask: its numbers are kept.
    fn stands(&mut self, sheet: &Sheet, column: usize, number: &str) -> bool {
        let place = sheet.place(0);
        if !self.numbers.as_ref().is_some_and(|kept| kept.0 == place && kept.1 == column) {
            let cells = sheet.rows.iter().filter_map(|row| row.cell(column));
            self.numbers = Some((place, column, cells.map(|cell| plain(&cell.text)).collect()));
        }
        self.numbers.as_ref().is_some_and(|kept| kept.2.contains(&plain(number)))
    }
}

/// A row that says so and more is no longer.
const LONGEST: usize = 48;

/// The other door, where words say that it is as that one and nothing else.
fn as_door(text: &str) -> Option<String> {
    if text.len() > LONGEST || !text.trim().contains(' ') {
        return None;
    }
    let other = setheading::same_as(text).filter(|other| may_number(other))?;
    let folded = plain(text);
    let whole = folded.trim_end_matches(['.', ')']).ends_with(&plain(&other));
    let of_set = words::list("heading-sets").find(&folded).is_some();
    (whole
        && !of_set
        && words::list("same-but")
            .all(&folded)
            .iter()
            .all(|word| words::list("same-word").is(word) || words::list("same-short").is(word)))
    .then_some(other)
}

/// Whether nothing else is meant than a door: 626 is the code of a finish.
fn is_number(text: &str) -> bool {
    may_number(text) && finish::find(text).is_none()
}

/// Doors are called by two signs at least, one of them a figure.
fn may_number(text: &str) -> bool {
    text.len() >= 2 && text.bytes().any(|sign| sign.is_ascii_digit()) && doorlist::looks_like(text)
}

/// `Door 109 same as 108`, `109 - SAME AS DOOR 108`: the door and the other one.
fn sentence(text: &str) -> Option<(String, String)> {
    let trimmed = text.trim();
    if trimmed.len() > LONGEST {
        return None;
    }
    let (first, rest) = trimmed.split_once(' ')?;
    let led = words::list("one-door").is(plain(first).trim_end_matches([':', '#', '.']));
    let (number, rest) = if led { rest.trim_start().split_once(' ')? } else { (first, rest) };
    let number = number.trim_matches(|sign: char| !sign.is_alphanumeric());
    let rest = rest.trim_start_matches(|sign: char| !sign.is_alphanumeric());
    let rest = words::list("is-as-another")
        .leads(&rest.to_ascii_uppercase())
        .map_or(rest, |word| rest[word.len()..].trim_start());
    let other = as_door(rest)?;
    (is_number(number) && is_number(&other) && plain(number) != plain(&other)).then(|| (number.to_string(), other))
}

impl Walker<'_> {
    /// A row of words alone that says of a door that it is as another.
    pub(crate) fn door_as_other(&mut self, row: &Row, out: &mut Gathered) -> Option<Role> {
        if row.cells.len() > 2 {
            return None;
        }
        let text = join_single(&row.cells);
        let (number, other) = sentence(&text)?;
        let place = self.sheet.place(row.number);
        out.as_other.said.push(AsOther { number, other, place, words: text });
        Some(Role::SetOpenings)
    }

    /// A row of a schedule of doors without a set that says so in another cell.
    pub(crate) fn row_as_other(
        &mut self,
        lane: usize,
        row: &Row,
        reader: &Reader<'_>,
        out: &mut Gathered,
    ) -> Option<Role> {
        let table = reader.table;
        let number = reader.text(M::DoorNumber);
        if !table.has(M::Set) || reader.cell(M::Set).is_some() || !may_number(number) {
            return None;
        }
        let own = table.column(M::DoorNumber)?.index;
        let said = |cell: &&Cell| cell.column != own && !cell.struck;
        // The code of a finish is a door where the schedule has one of that number.
        let mut stands = |other: &String| is_number(other) || out.as_other.stands(self.sheet, own, other);
        let mut as_other = |cell: &Cell| as_door(&cell.text).filter(&mut stands);
        let (cell, other) = row.cells.iter().filter(said).find_map(|cell| Some((cell, as_other(cell)?)))?;
        let cells = row.cells.iter().filter(|own| own.column != cell.column).cloned().collect();
        let rest = Row { number: row.number, cells, hidden: row.hidden };
        let rest = Reader { sheet: self.sheet, row: &rest, table };
        let opening = doors::opening(&rest, number, &mut out.schedule.findings);
        let (number, place) = (opening.number.clone(), opening.place.clone());
        out.schedule.openings.push(opening);
        out.as_other.said.push(AsOther { number, other, place, words: cell.text.clone() });
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Opening, row.number);
        Some(Role::Opening)
    }
}

/// Gives such doors the set of the other and what their own rows do not say; tells it, or asks where there is no such door.
pub(crate) fn settle(out: &mut Gathered) {
    let said = std::mem::take(&mut out.as_other.said);
    if said.is_empty() {
        return;
    }
    // Where the doors of a number stand: thousands may say so.
    let mut numbered: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, door) in out.schedule.openings.iter().enumerate() {
        numbered.entry(plain(&door.number)).or_default().push(at);
    }
    for said in said {
        let doors = &mut out.schedule.openings;
        let alike = numbered.entry(plain(&said.number)).or_default();
        // A row of words adds its door, unless that stands in the schedule without a set.
        let own = alike.iter().copied().find(|at| {
            doors[*at].number == said.number && (doors[*at].place == said.place || doors[*at].set.is_none())
        });
        let own = own.unwrap_or_else(|| {
            doors.push(Opening { set: None, ..Opening::bare(&said.number, "", said.place.clone()) });
            alike.push(doors.len() - 1);
            doors.len() - 1
        });
        let other = numbered.get(&plain(&said.other)).and_then(|at| at.iter().copied().find(|at| *at != own));
        let (kind, says) = match other {
            Some(other) => {
                let from = doors[other].clone();
                let set = from.set.as_ref().map_or("no set".to_string(), |set| format!("set {set}"));
                take(&mut out.schedule.openings[own], from);
                let says = format!(
                    "door {} is said to be as door {}; {set} was taken, and what its own row does not say",
                    said.number, said.other
                );
                (Kind::Assumption, says)
            }
            None => (
                Kind::Question,
                format!("door {} is said to be as door {}, which stands nowhere", said.number, said.other),
            ),
        };
        let finding = Finding {
            openings: vec![said.number.clone()],
            set: out.schedule.openings[own].set.clone(),
            ..Finding::new("set-as-another", kind, Weight::Goods, says)
        };
        out.schedule
            .findings
            .push(finding.at(said.place, said.words).help("check that the door has this set as it is"));
    }
}

/// What a door does not say itself it has from another.
fn take(door: &mut Opening, from: Opening) {
    door.set = door.set.take().or(from.set);
    if door.width.is_none() && door.height.is_none() {
        (door.leaves, door.width, door.height, door.leaf_widths) =
            (from.leaves, from.width, from.height, from.leaf_widths);
    }
    door.thickness = door.thickness.take().or(from.thickness);
    door.door_material = door.door_material.take().or(from.door_material);
    door.frame_material = door.frame_material.take().or(from.frame_material);
    door.wall = door.wall.take().or(from.wall);
    if door.rating.text.is_empty() {
        door.rating = from.rating;
    }
    door.exterior = door.exterior.or(from.exterior);
    door.excluded = door.excluded.take().or(from.excluded);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_door_is_as_another_where_nothing_else_is_said() {
        for (text, number, other) in [
            ("Door 109 same as 108", "109", "108"),
            ("109 - SAME AS 108", "109", "108"),
            ("109: same as door 108", "109", "108"),
            ("Door 109A is identical to door 108.", "109A", "108"),
        ] {
            assert_eq!(sentence(text), Some((number.to_string(), other.to_string())), "{text}");
        }
        for text in [
            "Door 109 same as 108 except closer",
            "Set 4 same as 3",
            "109 SAME AS SET 2",
            "Door 109",
            "SAME AS 108",
            "3 HINGES SAME AS 108",
            "108 SAME AS 108",
        ] {
            assert_eq!(sentence(text), None, "{text}");
        }
    }
}
