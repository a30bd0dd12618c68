//! Matrices of rooms whose cells name types of doors: `KING STANDARD | 42 | D1 | D2 (2)`. How many doors of each type there are
//! is the rooms times what the cell says; which symbols are types is known once all sheets are read.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::types::Count;
use crate::read::openings::doors::whole_count;
use crate::read::schedule::Role;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A symbol of a type is no longer than this.
const LONGEST: usize = 12;

/// A matrix of rooms has no more rows; what is longer lists rooms one by one.
const MOST_ROWS: usize = 500;

/// A row of rooms of one kind.
struct Rooms {
    place: Place,
    room: String,
    count: u32,
    text: String,
    /// Its other cells with their places.
    cells: Vec<(Place, String)>,
}

/// What may be matrices of rooms, each with its rows.
#[derive(Default)]
pub(crate) struct Symbols {
    tables: Vec<Vec<Rooms>>,
}

impl Symbols {
    /// Keeps the tables of a sheet that begin with rooms.
    pub fn look(&mut self, sheet: &Sheet) {
        for (at, row) in sheet.rows.iter().enumerate() {
            let Some(first) = row.cells.first() else { continue };
            let rooms = matches!(headings::of_cell(&first.text), Some(Heard::One(M::Room | M::RoomNumber | M::Level)));
            if !rooms || row.cells.len() < 3 {
                continue;
            }
            let counts = row.cells.iter().find(|cell| words::list("count-rooms").is(&headings::key(&cell.text)));
            let below = sheet.rows[at + 1..].iter().zip(row.number + 1..);
            let rows =
                below.take_while(|(row, number)| row.number == *number && row.cells.len() >= 2).map(|(row, _)| row);
            let of_row = |row: &Row| rooms_of(sheet, row, first.column, counts.map(|cell| cell.column));
            let table: Vec<Rooms> = rows.take(MOST_ROWS).filter_map(of_row).collect();
            if !table.is_empty() {
                self.tables.push(table);
            }
        }
    }

    /// Turns the matrices whose cells name types into counts of doors.
    pub fn settle(self, out: &mut Gathered, types: &BTreeSet<String>) -> Vec<Count> {
        let mut counts = Vec::new();
        if types.is_empty() {
            return counts;
        }
        let mut taken: HashSet<Place> = HashSet::new();
        let rows: HashMap<Place, usize> = match self.tables.is_empty() {
            true => HashMap::new(),
            false => out.schedule.ledger.iter().enumerate().map(|(at, entry)| (entry.place.clone(), at)).collect(),
        };
        for table in self.tables {
            let free = |place: &Place| {
                let entry = rows.get(place).and_then(|at| out.schedule.ledger.get(*at));
                entry.is_some_and(|entry| matches!(entry.role, Role::Title | Role::Note | Role::Unread | Role::Header))
            };
            let hits: Vec<&Place> = table
                .iter()
                .flat_map(|rooms| &rooms.cells)
                .filter(|(_, text)| named(text, types).is_some())
                .map(|(place, _)| place)
                .collect();
            let columns: BTreeSet<_> = hits.iter().filter_map(|place| place.column.clone()).collect();
            // One word may stand in some cell by chance.
            if hits.len() < 2
                || columns.len() < 2 && hits.len() < table.len()
                || !table.iter().all(|rooms| free(&rooms.place))
            {
                continue;
            }
            for rooms in table {
                for (place, text) in &rooms.cells {
                    if !place.column.as_ref().is_some_and(|column| columns.contains(column)) {
                        continue;
                    }
                    let folded = plain(text);
                    if words::list("no-set").is(&folded) || words::list("falsy").is(&folded) {
                        continue;
                    }
                    let Some(found) = named(text, types) else {
                        out.schedule.findings.push(not_read(&rooms, place, text));
                        continue;
                    };
                    for (name, each) in found {
                        let count = each.saturating_mul(rooms.count).min(crate::read::openings::doors::MOST_ALIKE);
                        let row = &rooms.place;
                        let same = |known: &&mut Count| {
                            known.name == name && known.place.row == row.row && known.place.sheet == row.sheet
                        };
                        match counts.iter_mut().rev().take(rooms.cells.len() * 4).find(same) {
                            Some(known) => known.count = known.count.saturating_add(count),
                            None => counts.push(Count {
                                room: rooms.room.clone(),
                                name,
                                count,
                                place: place.clone(),
                                door: true,
                            }),
                        }
                    }
                }
                if let Some(entry) = rows.get(&rooms.place).and_then(|at| out.schedule.ledger.get_mut(*at)) {
                    entry.role = Role::Opening;
                }
                taken.insert(rooms.place);
            }
        }
        out.schedule.notes.retain(|note| !taken.contains(&note.place));
        counts.retain(|count| count.count > 0);
        counts
    }
}

fn rooms_of(sheet: &Sheet, row: &Row, first: usize, counts: Option<usize>) -> Option<Rooms> {
    let room = row.cell(first)?;
    if words::list("total").begins(&plain(&room.text)).is_some() {
        return None;
    }
    let count = counts.and_then(|column| whole_count(&row.cell(column)?.text));
    let cells = row.cells.iter().filter(|cell| {
        cell.column != first && Some(cell.column) != counts && !cell.struck && cell.text.len() <= LONGEST * 4
    });
    Some(Rooms {
        place: sheet.place(row.number),
        room: room.text.clone(),
        count: if counts.is_some() { count? } else { 1 },
        text: row.joined(),
        cells: cells.map(|cell| (sheet.at(row.number, cell.column), cell.text.clone())).collect(),
    })
}

/// The types that a cell names, each with its count; `None` where it names anything else.
fn named(text: &str, types: &BTreeSet<String>) -> Option<Vec<(String, u32)>> {
    let folded = plain(text).replace(" AND ", ",");
    if folded.len() > LONGEST * 4 {
        return None;
    }
    let parts = folded.split([',', ';', '&', '+', '\n', '/']).map(str::trim).filter(|part| !part.is_empty());
    let found: Option<Vec<_>> = parts.map(|part| one(part, types)).collect();
    found.filter(|found| !found.is_empty())
}

/// `D2`, `D2 (2)`, `(2) D2`, `2 D2`, `2XD2`, `D2 X 2`.
fn one(part: &str, types: &BTreeSet<String>) -> Option<(String, u32)> {
    if types.contains(part) {
        return Some((part.to_string(), 1));
    }
    types.iter().find_map(|name| {
        let rest = match (part.strip_prefix(name.as_str()), part.strip_suffix(name.as_str())) {
            (Some(rest), _) if !rest.starts_with(|letter: char| letter.is_ascii_alphanumeric() && letter != 'X') => {
                rest
            }
            (_, Some(rest)) if !rest.ends_with(|letter: char| letter.is_ascii_alphabetic() && letter != 'X') => rest,
            _ => return None,
        };
        let number = rest.trim_matches([' ', '(', ')', 'X', '-', '@', '*']);
        let count = number.parse().ok().filter(|count| (1..100).contains(count))?;
        Some((name.clone(), count))
    })
}

fn not_read(rooms: &Rooms, place: &Place, text: &str) -> Finding {
    let says = format!("\"{text}\" beside the rooms {} names no type of doors", rooms.room);
    let finding =
        Finding { priced_as: "no door".into(), ..Finding::new("count-not-read", Kind::Question, Weight::Goods, says) };
    finding.at(place.clone(), rooms.text.clone()).help("ask how many doors of which type these rooms have")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_name_types_with_counts() {
        let types: BTreeSet<String> = ["D1", "D1A", "D2", "2A"].into_iter().map(str::to_string).collect();
        let says = |text: &str| {
            named(text, &types)
                .map(|all| all.iter().map(|(name, count)| format!("{name}:{count}")).collect::<Vec<_>>().join(" "))
        };
        for (text, want) in [
            ("D1", Some("D1:1")),
            ("D1A", Some("D1A:1")),
            ("D2 (2)", Some("D2:2")),
            ("(2) D2", Some("D2:2")),
            ("2 x D2", Some("D2:2")),
            ("D1, D2 (3)", Some("D1:1 D2:3")),
            ("2A", Some("2A:1")),
            ("D3", None),
            ("KING STANDARD", None),
            ("D11", None),
            ("2", None),
        ] {
            assert_eq!(says(text).as_deref(), want, "{text}");
        }
    }
}
