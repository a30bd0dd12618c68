//! The schedule as it was read, kept in the record, so that an addendum which holds only what changed can be laid over it
//! and the whole job run again. A mirror of the reading room's types in plain words.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::told::{self, Told};
use crate::place::Place;
use crate::read::schedule::{Basis, HardwareSet, Input, Line, Mark, Note, Opening, Part, PartRole, Schedule, Wording};
use crate::trade::inches::Inches;
use crate::trade::rating::Rating;

/// A schedule as the record keeps it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct AsRead {
    inputs: Vec<(String, String)>,
    openings: Vec<Door>,
    sets: Vec<Set>,
    notes: Vec<Words>,
    told: Vec<Told>,
}

/// File, sheet, row, column.
pub(super) type At = (String, String, u32, Option<String>);

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
struct Door {
    number: String,
    leaves: u32,
    width: Option<String>,
    height: Option<String>,
    thickness: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    leaf_widths: Vec<String>,
    door: Option<String>,
    frame: Option<String>,
    wall: Option<String>,
    rating: (String, Option<u32>, bool, Option<bool>, Option<u32>, Option<u32>),
    #[serde(skip_serializing_if = "Option::is_none")]
    frame_minutes: Option<u32>,
    exterior: Option<bool>,
    hand: Option<String>,
    set: Option<String>,
    room: String,
    remarks: String,
    count: u32,
    excluded: Option<String>,
    at: At,
}

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
struct Set {
    id: String,
    title: String,
    openings: Vec<String>,
    lines: Vec<Item>,
    notes: Vec<Words>,
    not_used: Option<String>,
    at: At,
}

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
struct Item {
    text: String,
    /// Role, first and last byte of the text, column.
    parts: Vec<(String, usize, usize, Option<String>)>,
    basis: Option<String>,
    section: Option<String>,
    excluded: Option<String>,
    /// A mark, and whether the goods are not ours by it.
    #[serde(skip_serializing_if = "Option::is_none")]
    mark: Option<(String, bool)>,
    at: At,
}

#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
struct Words {
    text: String,
    at: At,
}

const ROLES: [(PartRole, &str); 8] = [
    (PartRole::Quantity, "quantity"),
    (PartRole::Unit, "unit"),
    (PartRole::Description, "description"),
    (PartRole::CatalogNumber, "catalog-number"),
    (PartRole::Finish, "finish"),
    (PartRole::Maker, "maker"),
    (PartRole::Remarks, "remarks"),
    (PartRole::Free, "free"),
];
const BASES: [Basis; 3] = [Basis::Opening, Basis::Leaf, Basis::Lot];

impl AsRead {
    /// What the record keeps of a schedule.
    pub fn of(schedule: &Schedule) -> AsRead {
        AsRead {
            inputs: schedule.inputs.iter().map(|input| (input.file.to_string(), input.sha256.clone())).collect(),
            openings: schedule.openings.iter().map(door).collect(),
            sets: schedule.sets.iter().map(set).collect(),
            notes: schedule.notes.iter().map(words).collect(),
            told: told::of(schedule),
        }
    }

    /// The schedule again, with what was asked about it; the ledger belongs to the files.
    pub fn schedule(&self) -> Schedule {
        let input = |(file, sha256): &(String, String)| Input { file: file.as_str().into(), sha256: sha256.clone() };
        Schedule {
            inputs: self.inputs.iter().map(input).collect(),
            openings: self.openings.iter().map(opening).collect(),
            sets: self.sets.iter().map(hardware_set).collect(),
            notes: self.notes.iter().map(note).collect(),
            findings: told::again(&self.told),
            ..Schedule::default()
        }
    }

    /// Whether nothing is kept.
    pub fn is_empty(&self) -> bool {
        self.openings.is_empty() && self.sets.is_empty()
    }
}

pub(super) fn at(place: &Place) -> At {
    (place.file.to_string(), place.sheet.to_string(), place.row, place.column.as_deref().map(str::to_owned))
}

pub(super) fn place(at: &At) -> Place {
    Place { file: at.0.as_str().into(), sheet: at.1.as_str().into(), row: at.2, column: at.3.as_deref().map(Arc::from) }
}

fn door(opening: &Opening) -> Door {
    let length = |length: Option<Inches>| length.map(|length| length.to_string());
    let rating = &opening.rating;
    Door {
        number: opening.number.clone(),
        leaves: opening.leaves,
        width: length(opening.width),
        height: length(opening.height),
        thickness: length(opening.thickness),
        leaf_widths: opening.leaf_widths.iter().map(ToString::to_string).collect(),
        door: opening.door_material.clone(),
        frame: opening.frame_material.clone(),
        wall: opening.wall.clone(),
        rating: (
            rating.text.clone(),
            rating.minutes,
            rating.rated_unknown,
            rating.smoke,
            rating.temperature_rise,
            rating.wall_minutes,
        ),
        frame_minutes: rating.frame_minutes,
        exterior: opening.exterior,
        hand: opening.hand.clone(),
        set: opening.set.clone(),
        room: opening.room.clone(),
        remarks: opening.remarks.clone(),
        count: opening.count,
        excluded: opening.excluded.clone(),
        at: at(&opening.place),
    }
}

fn opening(door: &Door) -> Opening {
    let length = |text: &Option<String>| text.as_deref().and_then(|text| text.parse::<Inches>().ok());
    let (text, minutes, rated_unknown, smoke, temperature_rise, wall_minutes) = door.rating.clone();
    Opening {
        number: door.number.clone(),
        leaves: door.leaves,
        width: length(&door.width),
        height: length(&door.height),
        thickness: length(&door.thickness),
        leaf_widths: door.leaf_widths.iter().filter_map(|text| text.parse().ok()).collect(),
        door_material: door.door.clone(),
        frame_material: door.frame.clone(),
        wall: door.wall.clone(),
        rating: Rating {
            text,
            minutes,
            rated_unknown,
            smoke,
            temperature_rise,
            wall_minutes,
            frame_minutes: door.frame_minutes,
        },
        exterior: door.exterior,
        hand: door.hand.clone(),
        set: door.set.clone(),
        room: door.room.clone(),
        remarks: door.remarks.clone(),
        count: door.count,
        excluded: door.excluded.clone(),
        place: place(&door.at),
    }
}

fn set(set: &HardwareSet) -> Set {
    Set {
        id: set.id.clone(),
        title: set.title.clone(),
        openings: set.openings.clone(),
        lines: set.lines.iter().map(item).collect(),
        notes: set.notes.iter().map(words).collect(),
        not_used: set.not_used.clone(),
        at: at(&set.place),
    }
}

fn hardware_set(set: &Set) -> HardwareSet {
    HardwareSet {
        id: set.id.clone(),
        title: set.title.clone(),
        openings: set.openings.clone(),
        lines: set.lines.iter().map(line).collect(),
        notes: set.notes.iter().map(note).collect(),
        not_used: set.not_used.clone(),
        place: place(&set.at),
    }
}

fn item(line: &Line) -> Item {
    let part = |part: &Part| {
        let role = ROLES.iter().find(|(role, _)| *role == part.role).map_or("free", |(_, word)| word);
        (role.to_owned(), part.span.start, part.span.end, part.column.as_deref().map(str::to_owned))
    };
    Item {
        text: line.wording.text.clone(),
        parts: line.wording.parts.iter().map(part).collect(),
        basis: line.basis.map(|basis| basis.word().to_owned()),
        section: line.section.as_deref().map(str::to_owned),
        excluded: line.excluded.clone(),
        mark: line.mark.as_ref().map(|mark| (mark.words.clone(), mark.out)),
        at: at(&line.place),
    }
}

fn line(item: &Item) -> Line {
    let parts = item.parts.iter().filter(|(_, start, end, _)| item.text.get(*start..*end).is_some());
    let parts = parts.map(|(word, start, end, column)| Part {
        role: ROLES.iter().find(|(_, known)| known == word).map_or(PartRole::Free, |(role, _)| *role),
        span: *start..*end,
        column: column.as_deref().map(Arc::from),
    });
    Line {
        place: place(&item.at),
        wording: Wording { text: item.text.clone(), parts: parts.collect() },
        basis: item.basis.as_deref().and_then(|word| BASES.into_iter().find(|basis| basis.word() == word)),
        section: item.section.as_deref().map(Arc::from),
        excluded: item.excluded.clone(),
        mark: item.mark.clone().map(|(words, out)| Mark { words, out }),
    }
}

fn words(note: &Note) -> Words {
    Words { text: note.text.clone(), at: at(&note.place) }
}

fn note(words: &Words) -> Note {
    Note { text: words.text.clone(), place: place(&words.at) }
}
