//! Matrix schedules: doors down, kinds of hardware across, a code, a count or a mark in the cell. Each distinct
//! combination becomes one set whose lines come from the cells of the first door that has it.

use std::collections::BTreeMap;

use crate::place::{Place, column_letter};

use super::doors::Reader;
use super::headings::Meaning as M;
use super::schedule::{HardwareSet, Line, PartRole, Schedule, Wording};
use super::words::{self, plain};

/// One cell of a matrix that says something.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Said {
    kind: String,
    cell: String,
    column: usize,
}

/// The doors of all matrices and the key of their codes.
#[derive(Debug, Default)]
pub(crate) struct Matrix {
    doors: Vec<(usize, Place, Vec<Said>)>,
    keys: BTreeMap<String, String>,
}

impl Matrix {
    /// Takes a door's row.
    pub fn door(&mut self, opening: usize, reader: &Reader<'_>) {
        let said = reader
            .table
            .columns
            .iter()
            .filter(|column| column.meaning == M::Kind)
            .filter_map(|column| {
                let cell = reader.row.cell(column.index).filter(|cell| !cell.struck)?;
                let nothing = words::list("falsy").is(&plain(&cell.text));
                (!nothing).then(|| Said {
                    kind: column.heading.replace('\n', " "),
                    cell: cell.text.clone(),
                    column: column.index,
                })
            })
            .collect();
        self.doors.push((opening, reader.sheet.place(reader.row.number), said));
    }

    /// Takes an entry of a key.
    pub fn key(&mut self, code: &str, words: &str) {
        let code = plain(code);
        if !code.is_empty() && !words.trim().is_empty() {
            self.keys.entry(code).or_insert_with(|| words.trim().to_string());
        }
    }

    /// Turns the combinations into sets.
    pub fn into_sets(self, schedule: &mut Schedule) {
        let mut known: Vec<(Vec<(String, String)>, String)> = Vec::new();
        for (opening, place, said) in &self.doors {
            if said.is_empty() {
                continue;
            }
            let combination: Vec<(String, String)> =
                said.iter().map(|said| (said.kind.clone(), plain(&said.cell))).collect();
            let id = match known.iter().find(|(known, _)| *known == combination) {
                Some((_, id)) => id.clone(),
                None => {
                    let mut number = known.len() + 1;
                    while schedule.sets.iter().any(|set| set.id == format!("M{number}")) {
                        number += 1;
                    }
                    let id = format!("M{number}");
                    let title = format!("as door {}", schedule.openings[*opening].number);
                    schedule.sets.push(self.set(&id, title, place, said));
                    known.push((combination, id.clone()));
                    id
                }
            };
            if let Some(set) = schedule.sets.iter_mut().find(|set| set.id == id) {
                set.openings.push(schedule.openings[*opening].number.clone());
            }
            schedule.openings[*opening].set = Some(id);
        }
    }

    fn set(&self, id: &str, title: String, place: &Place, said: &[Said]) -> HardwareSet {
        let lines = said.iter().map(|said| self.line(place, said)).collect();
        HardwareSet {
            id: id.to_string(),
            title,
            openings: Vec::new(),
            lines,
            notes: Vec::new(),
            not_used: None,
            place: place.clone(),
        }
    }

    fn line(&self, place: &Place, said: &Said) -> Line {
        let column = Some(column_letter(said.column).into());
        let folded = plain(&said.cell);
        let mut wording = Wording::default();
        let count = folded.trim_start_matches('X').trim_end_matches('X');
        let counted = !count.is_empty() && count.len() <= 2 && count.bytes().all(|byte| byte.is_ascii_digit());
        if counted {
            wording.push(PartRole::Quantity, count, column.clone());
        } else if words::list("truthy").is(&folded) {
            wording.push(PartRole::Quantity, "1", column.clone());
        }
        wording.push(PartRole::Free, &said.kind, column.clone());
        if !counted && !words::list("truthy").is(&folded) {
            wording.push(PartRole::Free, &said.cell, column.clone());
            if let Some(words) = self.keys.get(&folded) {
                wording.push(PartRole::Description, words, column);
            }
        }
        Line { place: place.cell(said.column), wording, basis: None, section: None, excluded: None }
    }
}
