//! What the reading room hands on: openings, sets and lines as they were written, each with its place.

use std::collections::{BTreeMap, HashSet};
use std::ops::Range;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::finding::Finding;
use crate::place::Place;
use crate::trade::inches::Inches;
use crate::trade::rating::Rating;

use super::memo::{self, Memo};

/// Everything read from the files of one job.
#[derive(Debug, Clone, Default)]
pub struct Schedule {
    /// The files, in the order given.
    pub inputs: Vec<Input>,
    /// Every door of the door schedules, in the order read.
    pub openings: Vec<Opening>,
    /// Every hardware set, in the order read.
    pub sets: Vec<HardwareSet>,
    /// Notes that stand outside any set: general notes, legends, exclusions.
    pub notes: Vec<Note>,
    /// One row for every non-empty row of every sheet.
    pub ledger: Vec<LedgerRow>,
    /// Damage, columns that look wrong, doors and sets that do not agree.
    pub findings: Vec<Finding>,
    /// The building of doors, by their place, where a column or the sheet says it.
    pub buildings: BTreeMap<Place, String>,
    /// Which tables and columns were chosen, and why (`pintle check --layout`).
    pub layout: Vec<LayoutNote>,
}

impl Schedule {
    /// Gives rows of the ledger a role, unless a line or a door still comes from them: from other columns, another table.
    pub(crate) fn pass_rows<'p>(&mut self, places: impl Iterator<Item = &'p Place>, role: Role) {
        let row = |place: &Place| Place { column: None, ..place.clone() };
        let passed: HashSet<Place> = places.map(row).collect();
        if passed.is_empty() {
            return;
        }
        let lines = self.sets.iter().flat_map(|set| &set.lines).map(|line| row(&line.place));
        let used: HashSet<Place> = lines.chain(self.openings.iter().map(|opening| row(&opening.place))).collect();
        for entry in &mut self.ledger {
            let place = row(&entry.place);
            if passed.contains(&place) && !used.contains(&place) {
                entry.role = role;
            }
        }
    }
}

/// One input file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// File name without folders.
    pub file: Arc<str>,
    /// SHA-256 of its bytes, lower-case hex.
    pub sha256: String,
}

/// A door opening as the schedule gives it. What the schedule does not say is `None` or empty; nothing is filled in here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// Door number as written, trimmed.
    pub number: String,
    /// Leaves: 1 or 2 (1 when nothing says otherwise).
    pub leaves: u32,
    /// Width of the whole opening, nominal.
    pub width: Option<Inches>,
    /// Nominal height of the leaf.
    pub height: Option<Inches>,
    /// Thickness of the leaf.
    pub thickness: Option<Inches>,
    /// Widths of the leaves of a pair, active leaf first; empty for singles.
    pub leaf_widths: Vec<Inches>,
    /// Canonical material (`hollow-metal`, `wood`, `aluminum`, `fiberglass`, `glass` ...), from `catalogs/trade/materials.csv`; or the words as written.
    pub door_material: Option<String>,
    /// Same for the frame.
    pub frame_material: Option<String>,
    /// Wall construction, canonical (`masonry`, `stud`, `concrete`), if the schedule says.
    pub wall: Option<String>,
    /// The rating cell, read.
    pub rating: Rating,
    /// Interior or exterior, if the schedule says (a column, a remark, a room called EXTERIOR).
    pub exterior: Option<bool>,
    /// `LH`, `RH`, `LHR`, `RHR`.
    pub hand: Option<String>,
    /// Set id as written in the schedule, `None` when blank or a dash.
    pub set: Option<String>,
    /// Room name, or both sides.
    pub room: String,
    /// Remarks as written.
    pub remarks: String,
    /// How many such openings the row stands for (count schedules); 1 otherwise.
    pub count: u32,
    /// By others, not in contract, existing: the words, when the row or its remark says so.
    pub excluded: Option<String>,
    /// Its row.
    pub place: Place,
}

impl Opening {
    /// A single door of which only the number, the set and the place are known.
    pub fn bare(number: &str, set: &str, place: Place) -> Self {
        Self {
            number: number.to_owned(),
            leaves: 1,
            width: None,
            height: None,
            thickness: None,
            leaf_widths: Vec::new(),
            door_material: None,
            frame_material: None,
            wall: None,
            rating: Rating::default(),
            exterior: None,
            hand: None,
            set: Some(set.to_owned()),
            room: String::new(),
            remarks: String::new(),
            count: 1,
            excluded: None,
            place,
        }
    }
}

/// A hardware set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HardwareSet {
    /// Set id as written, without the words around it: `3`, `12A`, `E01`.
    pub id: String,
    /// What stands beside the id: `Corridor single, card reader`.
    pub title: String,
    /// Doors named under the heading, ranges spelled out.
    pub openings: Vec<String>,
    /// Lines in the order read.
    pub lines: Vec<Line>,
    /// Notes inside the set, as written.
    pub notes: Vec<Note>,
    /// `NOT USED`, `RESERVED`: the words.
    pub not_used: Option<String>,
    /// Row of its heading, or of its first line.
    pub place: Place,
}

/// What a quantity multiplies by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Basis {
    /// Per opening.
    Opening,
    /// Per leaf: "each leaf to have".
    Leaf,
    /// Once for the set or job.
    Lot,
}

impl Basis {
    /// The word in the record.
    pub fn word(self) -> &'static str {
        match self {
            Basis::Opening => "opening",
            Basis::Leaf => "leaf",
            Basis::Lot => "lot",
        }
    }
}

/// One item line of a set: its text, and which part of the text came from which cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Row, and column where one row gives several lines.
    pub place: Place,
    /// The cells joined; evidence counts in bytes of this text.
    pub wording: Wording,
    /// "each leaf to have" and the like above the line.
    pub basis: Option<Basis>,
    /// Section heading above the line inside the set (`HINGES`, `Locking`), if any.
    pub section: Option<Arc<str>>,
    /// Struck through, NOT USED, excluded by a note: the reason. Kept, never priced.
    pub excluded: Option<String>,
    /// What a mark, or a column of suppliers, says of who furnishes it.
    pub mark: Option<Mark>,
}

impl Line {
    /// A line that only its place and its words are known of.
    pub fn new(place: Place, wording: Wording) -> Self {
        Self { place, wording, basis: None, section: None, excluded: None, mark: None }
    }
}

/// What a mark of a line, or its column of suppliers, says of who furnishes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// The mark, with its meaning where the file gives it.
    pub words: String,
    /// It is not ours; otherwise nothing tells what the mark means.
    pub out: bool,
}

/// The text of a line and the cells it was joined from.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wording {
    /// The cells' texts joined by two spaces, in column order (continuation rows after them). Text is as in the file.
    pub text: String,
    /// The parts, in order, not overlapping.
    pub parts: Vec<Part>,
}

/// One cell's share of a wording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What the column is.
    pub role: PartRole,
    /// Bytes of `Wording::text`.
    pub span: Range<usize>,
    /// Column letter, if from a table.
    pub column: Option<Arc<str>>,
}

/// What the column of a part says it is. `Free` when nothing said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartRole {
    /// Quantity, perhaps with its unit.
    Quantity,
    /// Unit.
    Unit,
    /// Description, item.
    Description,
    /// Catalog number, model.
    CatalogNumber,
    /// Finish.
    Finish,
    /// Maker.
    Maker,
    /// Remarks of the line.
    Remarks,
    /// A column of a matrix, a cell without columns: anything may stand in it.
    Free,
}

impl Wording {
    /// One free text, as given to `pintle explain`.
    pub fn free(text: &str) -> Self {
        let mut wording = Self::default();
        wording.push(PartRole::Free, text, None);
        wording
    }

    /// Appends a cell's text.
    pub fn push(&mut self, role: PartRole, text: &str, column: Option<Arc<str>>) {
        let text = text.trim();
        if text.is_empty() {
            return;
        }
        if !self.text.is_empty() {
            self.text.push_str("  ");
        }
        let start = self.text.len();
        self.text.push_str(text);
        self.parts.push(Part { role, span: start..self.text.len(), column });
    }

    /// The text of the first part of a role.
    pub fn part(&self, role: PartRole) -> Option<&str> {
        self.parts.iter().find(|part| part.role == role).map(|part| &self.text[part.span.clone()])
    }
}

/// A note with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// As written.
    pub text: String,
    /// Where.
    pub place: Place,
}

/// What a row of the input was used as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Title block, project name, date.
    Title,
    /// Column headings.
    Header,
    /// A door.
    Opening,
    /// Heading of a set.
    Set,
    /// The doors a set serves.
    SetOpenings,
    /// An item.
    Line,
    /// Goes on from the row above.
    Continuation,
    /// A note, a legend, a section heading, a total.
    Note,
    /// A page header or column heading repeated.
    Repeat,
    /// Struck through or not used.
    Excluded,
    /// Not understood.
    Unread,
}

impl Role {
    /// The word in the record.
    pub fn word(self) -> &'static str {
        match self {
            Role::Title => "title",
            Role::Header => "header",
            Role::Opening => "opening",
            Role::Set => "set",
            Role::SetOpenings => "set-openings",
            Role::Line => "line",
            Role::Continuation => "continuation",
            Role::Note => "note",
            Role::Repeat => "repeat",
            Role::Excluded => "excluded",
            Role::Unread => "unread",
        }
    }

    /// Which of two roles of one row counts, where tables stand side by side.
    pub(crate) fn stronger(self, other: Role) -> Role {
        let rank = |role: Role| match role {
            Role::Opening => 9,
            Role::Line => 8,
            Role::Set => 7,
            Role::SetOpenings => 6,
            Role::Continuation => 5,
            Role::Excluded => 4,
            Role::Unread => 3,
            Role::Note => 2,
            _ => 1,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

/// One row of the ledger.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LedgerRow {
    /// The row.
    pub place: Place,
    /// What it was used as.
    pub role: Role,
    /// Its text, cells joined, shortened to about 120 characters.
    pub text: String,
}

/// Why a table or column was taken for what it was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LayoutNote {
    /// Sheet, heading row, perhaps the column.
    pub place: Place,
    /// `door schedule`, `column: door number`, `passed over`.
    pub what: String,
    /// The evidence.
    pub why: String,
}

/// A set id in the form in which ids are compared: without the words around it, leading zeros, spaces and dashes but those
/// between figures, in upper case. `04`, `4`, `HW-04` and `Set 4` are one set.
pub fn loose_id(id: &str) -> String {
    memo::once(&LOOSE, id, loosened)
}

thread_local! {
    static LOOSE: Memo<String> = Memo::default();
}

fn loosened(id: &str) -> String {
    let mut rest = id.trim().to_uppercase();
    for list in ["words-for-hardware", "heading-sets", "sign-of-an-id"] {
        if let Some(tail) = super::words::list(list).leads(&rest).map(|word| &rest[word.len()..])
            && tail.bytes().any(|byte| byte.is_ascii_digit())
        {
            rest = tail.trim_start_matches([' ', '-', '.', ':', '#']).to_string();
        }
    }
    let digits_end = rest.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(rest.len());
    let number = rest[..digits_end].trim_start_matches('0');
    let number = if number.is_empty() && digits_end > 0 { "0" } else { number };
    let tail = rest[digits_end..].strip_suffix(".0").unwrap_or(&rest[digits_end..]);
    let mut loose = number.to_string();
    let mut letters = tail.chars().filter(|letter| *letter != ' ').peekable();
    while let Some(letter) = letters.next() {
        // `HW-4` is HW4, but 1-1 is not 11.
        let parts =
            loose.ends_with(|last: char| last.is_ascii_digit()) && letters.peek().is_some_and(char::is_ascii_digit);
        if letter != '-' || parts {
            loose.push(letter);
        }
    }
    loose
}

/// A count as text in the record: `3`, `1.5`.
pub fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}
