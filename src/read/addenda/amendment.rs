//! Reads a list of changes: a table in which a column says add, delete or revise, and the others name doors, sets and items.
//! Its rows are sorted by what they do and read as the tables they are: rows with an item as items of a set, rows with a door
//! as doors.

use std::path::PathBuf;

use crate::finding::{Finding, Kind, Weight};
use crate::terms::ReadTerms;

use super::changekey;
use super::changelist::{Action, List, action_of, list_of};
use crate::read::openings::doorlist;
use crate::read::schedule::{LedgerRow, Role, Schedule};
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::Meaning as M;

use crate::place::Place;
use crate::read::files::source;
use crate::read::{reconcile, terms_of, walk, with_help};

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
        crate::read::files::ours::refuse(&input.file, &sheets)?;
        rest.schedule.inputs.push(input);
        for sheet in super::superseded::in_turn(&sheets) {
            let parted = changekey::parted(sheet);
            match list_of(parted.as_ref().unwrap_or(sheet)) {
                Some(list) => {
                    lists += 1;
                    let sheet = parted.as_ref().unwrap_or(sheet);
                    sort(sheet, &list, &mut gathered, &mut amendment, &mut rest.schedule);
                }
                None => {
                    reconcile::hidden(sheet, &mut rest);
                    super::superseded::note(sheet, &mut rest);
                    crate::read::tables::parts::read(sheet, terms_of(sheet, terms), &mut rest);
                }
            }
        }
    }
    if lists == 0 {
        return Ok(None);
    }
    // The job file speaks of the sets of the job, which need not be issued anew.
    crate::read::finish(&mut rest, &[], false)?;
    amendment.reissued = rest.schedule;
    let [added, deleted, revised] = gathered.map(|out| out.schedule);
    for part in [&added, &deleted, &revised] {
        amendment.reissued.findings.extend(part.findings.iter().cloned());
    }
    (amendment.added, amendment.deleted, amendment.revised) = (added, deleted, revised);
    Ok(Some(amendment))
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
    // The row above, where it said what to do.
    let mut above: Option<(Row, Action)> = None;
    for (index, row) in sheet.rows.iter().enumerate() {
        let before = above.take();
        let role = if index < list.heading {
            Role::Title
        } else if index == list.heading {
            Role::Header
        } else {
            match row.cell(list.action).map(|cell| action_of(&cell.text)) {
                Some(Some(action)) => {
                    above = Some((row.clone(), action));
                    place((row, sheet.place(row.number)), list, action, &mut items, &mut doors, amendment)
                }
                None if !list.says_something(row) => Role::Note,
                // Nothing in the column of actions: what the row above says, if it stands right above.
                None => match before.filter(|(last, _)| last.number + 1 == row.number) {
                    Some((last, action)) => {
                        let whole = list.as_above(row, &last);
                        let at = sheet.place(row.number);
                        let role = place((&whole, at.clone()), list, action, &mut items, &mut doors, amendment);
                        if role != Role::Unread {
                            told_as_above(action, at, row, &mut *told);
                            above = Some((whole, action));
                        }
                        role
                    }
                    None => Role::Unread,
                },
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

/// What is asked of a row without an action of its own.
fn told_as_above(action: Action, at: Place, row: &Row, told: &mut Schedule) {
    let does = match action {
        Action::Add => "add",
        Action::Delete => "delete",
        Action::Revise => "revise",
    };
    let says = format!("a row of the list of changes names no action; the row above says {does}");
    told.findings.push(
        Finding { priced_as: does.to_owned(), ..Finding::new("change-not-read", Kind::Question, Weight::Goods, says) }
            .at(at, row.joined())
            .help("write the action (add, delete, revise) into the row"),
    );
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
        let spelled = doorlist::parse(&text).map(|entries| doorlist::spell_out(&entries, &doorlist::Known::default()));
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
