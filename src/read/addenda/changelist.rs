//! A list of changes on a sheet: where its heading stands, which columns hold actions, doors, sets and items, and what a row
//! of it says.

use super::changekey;
use crate::place::column_letter;
use crate::read::goods::itemtext;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::words::{self, plain};
use crate::terms::ReadTerms;

/// What a row of the list does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Action {
    Add,
    Delete,
    Revise,
}

/// Where a list of changes stands in a sheet.
pub(crate) struct List {
    /// Index of the heading row.
    pub(crate) heading: usize,
    pub(crate) action: usize,
    pub(crate) door: Option<usize>,
    pub(crate) set: Option<usize>,
    /// What an item was before.
    pub(crate) was: Option<usize>,
    /// Columns of items: letter and meaning.
    pub(crate) items: Vec<(usize, M)>,
    /// Columns of doors: letter and meaning.
    pub(crate) doors: Vec<(usize, M)>,
}

/// The list of changes that a sheet is: a heading such as ACTION over cells that say add, delete or revise.
pub(crate) fn list_of(sheet: &Sheet) -> Option<List> {
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
        list.without_counters(&sheet.rows[heading + 1..]);
        if acts > 0 && acts * 2 >= all && (list.door.is_some() || list.set.is_some()) {
            return Some(list);
        }
    }
    None
}

/// Whether a sheet is a list of changes with a column of actions.
pub(crate) fn is_list(sheet: &Sheet) -> bool {
    list_of(changekey::parted(sheet).as_ref().unwrap_or(sheet)).is_some()
}

/// Whether a text begins with what to do: add, delete, revise.
pub(crate) fn is_action(text: &str) -> bool {
    action_of(text).is_some()
}

pub(crate) fn action_of(text: &str) -> Option<Action> {
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
        // `ACTION | CHANGE`: the second tells what.
        if words::list("change-now-heading").is(&key) || words::list("change-heading").is(&key) {
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

    /// `ITEM` over 1, 2, 3 beside a column of words counts the rows and describes nothing.
    fn without_counters(&mut self, below: &[Row]) {
        let counts = |column: usize| {
            let mut cells = below.iter().filter_map(|row| row.cell(column)).peekable();
            cells.peek().is_some() && cells.all(|cell| cell.text.bytes().all(|byte| byte.is_ascii_digit()))
        };
        let described = |meaning: M| matches!(meaning, M::Description | M::CatalogNumber);
        if self.items.iter().any(|(column, meaning)| described(*meaning) && !counts(*column)) {
            self.items.retain(|(column, meaning)| !described(*meaning) || !counts(*column));
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

    /// Whether a row without an action tells of a change all the same: it names a door, a set or goods, and is no note.
    pub(crate) fn says_something(&self, row: &Row) -> bool {
        let folded = plain(&row.joined());
        let first = row.cells.first().map(|cell| plain(&cell.text)).unwrap_or_default();
        let noted = words::list("note").begins(&first).is_some() || words::list("total").begins(&first).is_some();
        let keyed = [self.door, self.set].into_iter().flatten().any(|column| row.cell(column).is_some());
        let goods = self.has_item(row) && words::list("hardware").find(&folded).is_some();
        let struck = row.cells.iter().all(|cell| cell.struck);
        !noted && !struck && !itemtext::is_sentence(&folded) && (keyed && row.cells.len() > 1 || goods)
    }

    /// A row without action, with the door and the set of the row above where it names neither.
    pub(crate) fn as_above(&self, row: &Row, above: &Row) -> Row {
        let mut row = row.clone();
        let keys = || [self.door, self.set].into_iter().flatten();
        if keys().all(|column| row.cell(column).is_none()) {
            row.cells.extend(keys().filter_map(|column| above.cell(column)).cloned());
            row.cells.sort_by_key(|cell| cell.column);
        }
        row
    }

    /// Whether a row names an item.
    pub(crate) fn has_item(&self, row: &Row) -> bool {
        let named = |(column, meaning): &(usize, M)| {
            matches!(meaning, M::Description | M::CatalogNumber) && row.cell(*column).is_some()
        };
        self.items.iter().any(named)
    }

    /// The column in which items are described.
    pub(crate) fn item(&self) -> Option<usize> {
        self.items.iter().find(|(_, meaning)| *meaning == M::Description).map(|(column, _)| *column)
    }

    /// The column of the set; where there is none, one beyond all others.
    pub(crate) fn set_column(&self) -> usize {
        let all = self.items.iter().chain(&self.doors).map(|(column, _)| *column).chain(self.door).chain(self.was);
        self.set.unwrap_or_else(|| all.max().unwrap_or(0).max(self.action) + 1)
    }

    fn set_of(&self, holds: &str) -> Option<usize> {
        if holds == "items" { Some(self.set_column()) } else { self.set }
    }

    pub(crate) fn terms(&self, sheet: &Sheet, holds: &str, columns: &[(usize, M)]) -> ReadTerms {
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
