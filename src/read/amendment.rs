//! Reads a list of changes: a table in which a column says add, delete or revise, and the others name doors, sets and items.
//! Its rows are sorted by what they do and read as the tables they are: rows with an item as items of a set, rows with a door
//! as doors.

use std::path::PathBuf;

use crate::finding::{Finding, Kind, Weight};
use crate::terms::ReadTerms;

use super::doorlist;
use super::headings::{self, Heard, Meaning as M};
use super::schedule::{LedgerRow, Role, Schedule};
use super::sheet::{Cell, Row, Sheet};
use super::words::{self, plain};
use super::{reconcile, source, terms_of, walk, with_help};
use crate::place::{Place, column_letter};

/// What a re-issue holds: schedules as they are, and lists of changes.
#[derive(Debug, Clone, Default)]
pub struct Amendment {
    /// What is issued again as it is; also inputs, ledger and findings of all files.
    pub reissued: Schedule,
    /// Doors and lines to add.
    pub added: Schedule,
    /// Doors and lines to revise.
    pub revised: Schedule,
    /// Doors and lines to take out.
    pub deleted: Schedule,
    /// Sets to take out whole.
    pub dropped_sets: Vec<String>,
    /// Rows that name doors and an item: their lines are among the sets, their doors among the openings.
    pub at_doors: Vec<AtDoors>,
    /// What rows that revise say their line was before: the row and the words.
    pub was: Vec<(Place, String)>,
}

/// A row that names doors and an item. Whether its words are a good, the reading room does not know.
#[derive(Debug, Clone)]
pub struct AtDoors {
    /// The row.
    pub place: Place,
    /// Its doors, ranges spelled out.
    pub doors: Vec<String>,
    /// Whether it names a set; if not, its line stands in a set called by the number of the row.
    pub has_set: bool,
    /// Whether it says something of the door itself (size, rating ...).
    pub says_door: bool,
    /// Its description.
    pub words: String,
}

/// What a row of the list does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Action {
    Add,
    Delete,
    Revise,
}

/// Where a list of changes stands in a sheet.
struct List {
    /// Index of the heading row.
    heading: usize,
    action: usize,
    door: Option<usize>,
    set: Option<usize>,
    /// What an item was before.
    was: Option<usize>,
    /// Columns of items: letter and meaning.
    items: Vec<(usize, M)>,
    /// Columns of doors: letter and meaning.
    doors: Vec<(usize, M)>,
}

/// The amendment in these files; `None` if no sheet of them is a list of changes.
///
/// # Errors
/// As `read`, except that nothing need be a schedule.
pub fn amendment(files: &[PathBuf], terms: &[ReadTerms]) -> Result<Option<Amendment>, String> {
    let mut rest = walk::Gathered::default();
    let mut gathered = [walk::Gathered::default(), walk::Gathered::default(), walk::Gathered::default()];
    let mut amendment = Amendment::default();
    let mut lists = 0;
    for file in files {
        let (input, sheets) = source::open(file).map_err(with_help)?;
        super::ours::refuse(&input.file, &sheets)?;
        rest.schedule.inputs.push(input);
        for sheet in &sheets {
            match list_of(sheet) {
                Some(list) => {
                    lists += 1;
                    sort(sheet, &list, &mut gathered, &mut amendment, &mut rest.schedule);
                }
                None => {
                    reconcile::hidden(sheet, &mut rest);
                    walk::sheet(sheet, terms_of(sheet, terms), &mut rest);
                }
            }
        }
    }
    if lists == 0 {
        return Ok(None);
    }
    // The job file speaks of the sets of the job, which need not be issued anew.
    super::finish(&mut rest, &[], false)?;
    amendment.reissued = rest.schedule;
    let [added, deleted, revised] = gathered.map(|out| out.schedule);
    for part in [&added, &deleted, &revised] {
        amendment.reissued.findings.extend(part.findings.iter().cloned());
    }
    (amendment.added, amendment.deleted, amendment.revised) = (added, deleted, revised);
    Ok(Some(amendment))
}

/// The list of changes that a sheet is: a heading such as ACTION over cells that say add, delete or revise.
fn list_of(sheet: &Sheet) -> Option<List> {
    for (heading, row) in sheet.rows.iter().enumerate().take(40) {
        let Some(action) = row.cells.iter().find(|cell| words::list("change-heading").is(&headings::key(&cell.text)))
        else {
            continue;
        };
        // A schedule in which some rows are flagged as new is a schedule; a list of changes says it of most rows.
        let below = || sheet.rows[heading + 1..].iter().filter(|row| row.cells.len() > 1);
        let all = below().count();
        let says = |row: &&Row| row.cell(action.column).is_some_and(|cell| action_of(&cell.text).is_some());
        let acts = below().filter(says).count();
        let mut list = List {
            heading,
            action: action.column,
            door: None,
            set: None,
            was: None,
            items: Vec::new(),
            doors: Vec::new(),
        };
        row.cells.iter().filter(|cell| cell.column != action.column).for_each(|cell| list.column(cell));
        list.two_sides(row);
        if acts > 0 && acts * 2 >= all && (list.door.is_some() || list.set.is_some()) {
            return Some(list);
        }
    }
    None
}

/// Whether a sheet is a list of changes with a column of actions.
pub(super) fn is_list(sheet: &Sheet) -> bool {
    list_of(sheet).is_some()
}

/// Whether a text begins with what to do: add, delete, revise.
pub(super) fn is_action(text: &str) -> bool {
    action_of(text).is_some()
}

fn action_of(text: &str) -> Option<Action> {
    let text = plain(text);
    let begins = |use_: &str| words::list(use_).begins(&text).is_some();
    if begins("change-add") {
        Some(Action::Add)
    } else if begins("change-delete") {
        Some(Action::Delete)
    } else if begins("change-revise") {
        Some(Action::Revise)
    } else {
        None
    }
}

impl List {
    fn column(&mut self, cell: &Cell) {
        let key = headings::key(&cell.text);
        if words::list("change-was-heading").is(&key) {
            self.was = Some(cell.column);
            return;
        }
        if words::list("change-now-heading").is(&key) {
            self.items.push((cell.column, M::Description));
            return;
        }
        let meaning = match headings::exact(&key) {
            Some(Heard::One(meaning)) => meaning,
            Some(Heard::SetOrDescription) => M::Description,
            Some(Heard::Material) => M::DoorMaterial,
            Some(Heard::NumberOrQuantity) => M::Quantity,
            Some(Heard::SmokeOrKind) => M::Smoke,
            Some(Heard::RemarksOrKind) => M::Remarks,
            _ => return,
        };
        match meaning {
            M::DoorNumber => self.door = Some(cell.column),
            M::DoorsServed if self.door.is_none() => self.door = Some(cell.column),
            M::Set => self.set = Some(cell.column),
            M::Quantity | M::Unit | M::Description | M::CatalogNumber | M::Finish | M::Maker => {
                self.items.push((cell.column, meaning));
            }
            M::Remarks => {
                self.items.push((cell.column, meaning));
                self.doors.push((cell.column, meaning));
            }
            other => self.doors.push((cell.column, other)),
        }
    }

    /// FROM and TO side by side are what an item was and is, unless something else says what the items are.
    fn two_sides(&mut self, row: &Row) {
        let column = |use_: &str| {
            let is = |cell: &&Cell| words::list(use_).is(&headings::key(&cell.text));
            row.cells.iter().find(is).map(|cell| cell.column)
        };
        if let (Some(from), Some(to), None, None) =
            (column("change-from-heading"), column("change-to-heading"), self.item(), self.door)
        {
            self.doors.retain(|(column, _)| ![from, to].contains(column));
            self.was = Some(from);
            self.items.push((to, M::Description));
        }
    }

    /// Whether a row names an item.
    fn has_item(&self, row: &Row) -> bool {
        let named = |(column, meaning): &(usize, M)| {
            matches!(meaning, M::Description | M::CatalogNumber) && row.cell(*column).is_some()
        };
        self.items.iter().any(named)
    }

    /// The column in which items are described.
    fn item(&self) -> Option<usize> {
        self.items.iter().find(|(_, meaning)| *meaning == M::Description).map(|(column, _)| *column)
    }

    /// The column of the set; where there is none, one beyond all others.
    fn set_column(&self) -> usize {
        let all = self.items.iter().chain(&self.doors).map(|(column, _)| *column).chain(self.door).chain(self.was);
        self.set.unwrap_or_else(|| all.max().unwrap_or(0).max(self.action) + 1)
    }

    fn set_of(&self, holds: &str) -> Option<usize> {
        if holds == "items" { Some(self.set_column()) } else { self.set }
    }

    fn terms(&self, sheet: &Sheet, holds: &str, columns: &[(usize, M)]) -> ReadTerms {
        let key = if holds == "doors" { self.door.map(|at| (at, M::DoorNumber)) } else { None };
        let named = columns.iter().copied().chain(key).chain(self.set_of(holds).map(|at| (at, M::Set)));
        ReadTerms {
            header_row: Some(sheet.rows[self.heading].number),
            holds: Some(holds.to_owned()),
            columns: named.map(|(column, meaning)| (column_letter(column), meaning.name().to_owned())).collect(),
            ..ReadTerms::default()
        }
    }
}

/// Sorts the rows of a list and reads each kind as the table it is.
fn sort(
    sheet: &Sheet,
    list: &List,
    gathered: &mut [walk::Gathered; 3],
    amendment: &mut Amendment,
    told: &mut Schedule,
) {
    let mut items: [Vec<Row>; 3] = Default::default();
    let mut doors: [Vec<Row>; 3] = Default::default();
    for (index, row) in sheet.rows.iter().enumerate() {
        let role = if index < list.heading {
            Role::Title
        } else if index == list.heading {
            Role::Header
        } else {
            match row.cell(list.action).map(|cell| action_of(&cell.text)) {
                Some(Some(action)) => {
                    place((row, sheet.place(row.number)), list, action, &mut items, &mut doors, amendment)
                }
                None => Role::Note,
                Some(None) => Role::Unread,
            }
        };
        if role == Role::Unread {
            told.findings.push(
                Finding::new(
                    "change-not-read",
                    Kind::Question,
                    Weight::Goods,
                    "a row of the list of changes does not say what to add, delete or revise",
                )
                .at(sheet.place(row.number), row.joined())
                .help("name the action (add, delete, revise) and a door, a set, or a set with an item"),
            );
        }
        let text: String = row.joined().chars().take(120).collect();
        told.ledger.push(LedgerRow { place: sheet.place(row.number), role, text });
    }
    for (at, out) in gathered.iter_mut().enumerate() {
        for (rows, holds, columns) in [(&doors[at], "doors", &list.doors), (&items[at], "items", &list.items)] {
            if rows.is_empty() {
                continue;
            }
            let mut part = Sheet::new(&sheet.file, &sheet.name);
            part.rows.push(sheet.rows[list.heading].clone());
            part.rows.extend(rows.iter().cloned());
            walk::sheet(&part, Some(&list.terms(sheet, holds, columns)), out);
        }
    }
}

/// Puts a row among those of its kind.
fn place(
    (row, at_row): (&Row, Place),
    list: &List,
    action: Action,
    items: &mut [Vec<Row>; 3],
    doors: &mut [Vec<Row>; 3],
    amendment: &mut Amendment,
) -> Role {
    let at = match action {
        Action::Add => 0,
        Action::Delete => 1,
        Action::Revise => 2,
    };
    let cell = |column: Option<usize>| column.and_then(|column| row.cell(column)).map(|cell| cell.text.clone());
    let (door, set) = (cell(list.door), cell(list.set));
    let mut one = without(row, &[Some(list.action), list.door, list.was]);
    match (list.was.and_then(|column| row.cell(column)), list.item()) {
        // The line to take out may be named where its old words stand.
        (Some(was), Some(column)) if action == Action::Delete && !list.has_item(row) => {
            let mut was = was.clone();
            was.column = column;
            one.cells.push(was);
            one.cells.sort_by_key(|cell| cell.column);
        }
        // A count, a finish: what the item described was before in that, and not its words.
        (Some(was), _) if action == Action::Revise && list.has_item(row) && is_number(&was.text) => {}
        (Some(was), _) if action == Action::Revise => amendment.was.push((at_row.clone(), was.text.clone())),
        _ => {}
    }
    let has_item = list.has_item(&one);
    if has_item && set.is_some() && door.is_none() {
        items[at].push(one);
        return Role::Line;
    }
    if let Some(text) = door {
        let spelled = doorlist::parse(&text).map(|entries| doorlist::spell_out(&entries, &[]));
        let numbers: Vec<String> =
            spelled.unwrap_or_else(|| vec![text]).iter().flat_map(|number| lettered(number)).collect();
        for number in &numbers {
            let mut one = without(row, &[Some(list.action)]);
            for cell in one.cells.iter_mut().filter(|cell| Some(cell.column) == list.door) {
                number.clone_into(&mut cell.text);
            }
            doors[at].push(one);
        }
        if !has_item {
            return Role::Opening;
        }
        let words = |(column, meaning): &(usize, M)| {
            let is_words = matches!(meaning, M::Description | M::CatalogNumber);
            is_words.then(|| one.cell(*column)).flatten().map(|cell| cell.text.clone())
        };
        amendment.at_doors.push(AtDoors {
            place: at_row,
            doors: numbers,
            has_set: set.is_some(),
            says_door: list.doors.iter().any(|(column, meaning)| *meaning != M::Remarks && row.cell(*column).is_some()),
            words: list.items.iter().filter_map(words).collect::<Vec<_>>().join("  "),
        });
        if set.is_none() {
            one.cells.push(Cell { column: list.set_column(), ..one.cells[0].clone() });
            if let Some(cell) = one.cells.last_mut() {
                cell.text = row.number.to_string();
            }
            one.cells.sort_by_key(|cell| cell.column);
        }
        items[at].push(one);
        return Role::Line;
    }
    match set {
        Some(set) if action == Action::Delete && !list.has_item(row) => {
            amendment.dropped_sets.push(set);
            Role::Set
        }
        _ => Role::Unread,
    }
}

/// `3`, `3 EA`, `626`: nothing that names an item.
fn is_number(text: &str) -> bool {
    let rest = text.trim().trim_start_matches(|letter: char| letter.is_ascii_digit() || letter == '.');
    rest.len() < text.trim().len() && !rest.starts_with(|letter: char| letter.is_alphabetic()) && rest.trim().len() < 4
}

/// A row without the cells of some columns.
fn without(row: &Row, columns: &[Option<usize>]) -> Row {
    let mut row = row.clone();
    row.cells.retain(|cell| !columns.contains(&Some(cell.column)));
    row
}

/// `210A-210C` and `210A-C` as the doors from the first letter to the last; anything else as it stands.
fn lettered(number: &str) -> Vec<String> {
    let ends = number.split_once('-').and_then(|(from, to)| {
        let stem = from.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
        let last = to.strip_prefix(stem).unwrap_or(to);
        let one = |text: &str| text.bytes().next().filter(|letter| text.len() == 1 && letter.is_ascii_alphabetic());
        let (first, last) = (one(&from[stem.len()..])?, one(last)?);
        let is_range = !stem.is_empty() && first.is_ascii_uppercase() == last.is_ascii_uppercase() && first < last;
        is_range.then_some((stem, first, last))
    });
    match ends {
        Some((stem, first, last)) => (first..=last).map(|letter| format!("{stem}{}", char::from(letter))).collect(),
        None => vec![number.to_owned()],
    }
}

#[cfg(test)]
mod tests {
    use super::lettered;

    #[test]
    fn letters_are_spelled_out() {
        assert_eq!(lettered("210A-210C"), ["210A", "210B", "210C"]);
        assert_eq!(lettered("210A-C"), ["210A", "210B", "210C"]);
        assert_eq!(lettered("100-1"), ["100-1"]);
        assert_eq!(lettered("A-205"), ["A-205"]);
    }
}
