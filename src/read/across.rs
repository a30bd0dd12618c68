//! Sets that stand across: items down, a column for each set, and in the cells how many of the item the set has. Each
//! count becomes a line of its set, at its own cell; a row of door numbers says which doors the sets serve.

use super::columns;
use super::doorlist;
use super::doors::whole_count;
use super::headings::{self, Heard, Meaning as M};
use super::schedule::{LayoutNote, Line, PartRole, Role, Wording};
use super::setheading;
use super::sheet::{Cell, Row, Sheet};
use super::walk::{Gathered, Walker, add_set, note};
use super::words::{self, plain};
use crate::place::column_letter;

/// Columns of sets, at least: one alone is a table of one set with a strange heading.
const FEWEST_SETS: usize = 2;
/// Rows of counts, at least.
const FEWEST_ROWS: usize = 2;
/// Rows in which the title of a sheet may stand.
const NEAR_TOP: usize = 10;
/// A count above this is no count of goods on one opening.
const MOST: u32 = 99;

/// One table of sets that stand across.
#[derive(Debug)]
pub(super) struct Across {
    /// Indices of the heading row, of the row above it that only names what stands across, and of the row after the last.
    heading: usize,
    above: Option<usize>,
    end: usize,
    /// The column that names the items.
    item: usize,
    /// The other columns that say something of an item.
    parts: Vec<(usize, PartRole)>,
    /// The column of each set with its heading.
    sets: Vec<(usize, Cell)>,
    /// The sets in the schedule, once they are there.
    made: Vec<usize>,
}

impl Across {
    /// Whether a row is one of its own.
    pub(super) fn covers(&self, index: usize) -> bool {
        self.above == Some(index) || (self.heading..self.end).contains(&index)
    }
}

/// The tables of a sheet.
pub(super) fn find(sheet: &Sheet) -> Vec<Across> {
    let mut found: Vec<Across> = Vec::new();
    for index in 0..sheet.rows.len() {
        if may_begin(sheet, index)
            && found.last().is_none_or(|last| index >= last.end)
            && let Some(across) = table(sheet, index)
        {
            found.push(across);
        }
    }
    found
}

/// Whether a table may begin in a row: near the top, after a gap, under a title. The rows of long tables are not looked at.
fn may_begin(sheet: &Sheet, index: usize) -> bool {
    let before = index.checked_sub(1).and_then(|before| sheet.rows.get(before));
    index < NEAR_TOP
        || before
            .is_none_or(|before| before.cells.len() <= 2 || sheet.rows[index].number.saturating_sub(before.number) > 1)
}

fn table(sheet: &Sheet, heading: usize) -> Option<Across> {
    let row = &sheet.rows[heading];
    if row.cells.len() <= FEWEST_SETS {
        return None;
    }
    let over = heading.checked_sub(1).filter(|above| sheet.rows[*above].number + 1 == row.number);
    let above = heading.checked_sub(1).filter(|above| says_sets(&sheet.rows[*above]));
    let sets: Vec<(usize, Cell)> =
        row.cells.iter().filter(|cell| is_set(cell, above.is_some())).map(|cell| (cell.column, cell.clone())).collect();
    let first = sets.first()?.0;
    if sets.len() < FEWEST_SETS {
        return None;
    }
    let mut parts = Vec::new();
    let mut item = None;
    // Where the row has nothing but sets, the other headings stand in the row above, merged down.
    let merged = over.filter(|over| {
        let named = |cell: &Cell| cell.column < first && headings::exact(&headings::key(&cell.text)).is_some();
        sets.len() == row.cells.len() && sheet.rows[*over].cells.iter().any(named)
    });
    let above = above.or(merged);
    let others = merged.map_or(&row.cells, |over| &sheet.rows[over].cells);
    for cell in others.iter().filter(|cell| !sets.iter().any(|(column, _)| *column == cell.column)) {
        match headings::exact(&headings::key(&cell.text)) {
            Some(Heard::One(M::DoorNumber | M::Room | M::RoomNumber | M::Set | M::Quantity | M::DoorsServed)) => {
                return None;
            }
            Some(Heard::One(M::CatalogNumber)) => parts.push((cell.column, PartRole::CatalogNumber)),
            Some(Heard::One(M::Finish)) => parts.push((cell.column, PartRole::Finish)),
            Some(Heard::One(M::Maker)) => parts.push((cell.column, PartRole::Maker)),
            Some(Heard::One(M::Unit)) => parts.push((cell.column, PartRole::Unit)),
            Some(Heard::One(M::Description)) if item.is_none() => item = Some(cell.column),
            _ if cell.column < first && item.is_none() => item = Some(cell.column),
            _ => {}
        }
    }
    let mut across = Across { heading, above, end: heading + 1, item: item?, parts, sets, made: Vec::new() };
    let (mut counted, mut odd) = (0, 0);
    while let Some(row) = sheet.rows.get(across.end) {
        let next = row.number.saturating_sub(sheet.rows[across.end - 1].number) > 1;
        if next
            || setheading::heading(&row.joined()).is_some()
            || across.name(row).is_none_or(|name| is_door_list(&name)) && !across.says_doors(row)
        {
            break;
        }
        if across.counts(row).next().is_some() && across.is_item(row) {
            counted += 1;
        } else if across.is_item(row) && across.cells(row).next().is_some() {
            odd += 1;
        }
        across.end += 1;
    }
    (counted >= FEWEST_ROWS && odd * 4 <= counted).then_some(across)
}

/// Whether a row only says that sets stand below it.
fn says_sets(row: &Row) -> bool {
    row.cells.len() <= 2 && row.cells.iter().any(|cell| words::list("sets-across").is(&plain(&cell.text)))
}

/// Whether a heading is that of a set: `SET 1`, or, where the row above says so, an id alone.
fn is_set(cell: &Cell, said: bool) -> bool {
    let text = cell.text.trim();
    let id = said
        && text.len() <= 6
        && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'.')
        && text.bytes().any(|byte| byte.is_ascii_digit());
    id || setheading::heading(text).is_some_and(|found| found.title.is_empty() && found.doors.is_empty())
}

fn is_door_list(name: &str) -> bool {
    name.bytes().all(|byte| byte.is_ascii_digit())
}

impl Across {
    fn name(&self, row: &Row) -> Option<String> {
        row.cell(self.item).map(|cell| plain(&cell.text)).filter(|name| !name.is_empty())
    }

    /// Whether a row is one of goods: no total of the others, no list of doors.
    fn is_item(&self, row: &Row) -> bool {
        let sums = words::list("total");
        let counts = words::list("count-of");
        self.name(row).is_some_and(|name| sums.begins(&name).is_none() && counts.begins(&name).is_none())
            && !self.says_doors(row)
    }

    fn says_doors(&self, row: &Row) -> bool {
        self.name(row).is_some_and(|name| words::list("doors-label").is(&name))
    }

    /// The cells of the sets.
    fn cells<'r>(&'r self, row: &'r Row) -> impl Iterator<Item = (usize, &'r Cell)> {
        self.sets.iter().enumerate().filter_map(|(at, (column, _))| Some((at, row.cell(*column)?)))
    }

    /// The sets that have the item of a row, with the cell that counts.
    fn counts<'r>(&'r self, row: &'r Row) -> impl Iterator<Item = (usize, &'r Cell)> {
        self.cells(row).filter(|(_, cell)| !cell.struck && count(&cell.text).is_some())
    }
}

/// What a cell says of the item: how many, or that there is one.
fn count(text: &str) -> Option<String> {
    let text = text.trim();
    if is_mark(text) {
        return Some("1".to_string());
    }
    let whole = whole_count(text).filter(|count| (1..=MOST).contains(count)).map(|count| count.to_string());
    // Pairs: `1.5`, `1-1/2`.
    whole.or_else(|| {
        let pairs = ["1.5", "1-1/2", "1 1/2", "2.5", "2-1/2", "0.5", "1/2"];
        pairs.contains(&text).then(|| text.to_string())
    })
}

fn is_mark(text: &str) -> bool {
    words::list("truthy").is(&plain(text)) && whole_count(text).is_none()
}

impl Walker<'_> {
    /// What a row of sets that stand across is; none: it is none of them.
    pub(super) fn across_row(&mut self, index: usize, text: &str, out: &mut Gathered) -> Option<Role> {
        let at = self.across.iter().position(|across| across.covers(index))?;
        // Where its heading was taken for something else, none of its sets is there.
        if index > self.across[at].heading && self.across[at].made.is_empty() {
            return None;
        }
        let row = &self.sheet.rows[index];
        if self.across[at].above == Some(index) {
            return Some(Role::Header);
        }
        if self.across[at].heading == index {
            let across = &mut self.across[at];
            for (column, cell) in &across.sets {
                let heading = setheading::heading(&cell.text).unwrap_or_else(|| setheading::Heading {
                    id: cell.text.trim().to_string(),
                    title: String::new(),
                    doors: Vec::new(),
                    not_used: None,
                });
                across.made.push(add_set(heading, self.sheet.at(row.number, *column), out));
            }
            out.schedule.layout.push(LayoutNote {
                place: self.sheet.place(row.number),
                what: "table: sets across".to_string(),
                why: format!("items down, {} sets side by side, counts in the cells", across.sets.len()),
            });
            return Some(Role::Header);
        }
        let across = &self.across[at];
        if across.says_doors(row) {
            for (at, cell) in across.cells(row) {
                if let Some(entries) = doorlist::parse(&cell.text) {
                    out.served.push((across.made[at], entries, self.sheet.at(row.number, cell.column)));
                }
            }
            return Some(Role::SetOpenings);
        }
        let mut is_line = false;
        for (at, cell) in across.counts(row).filter(|_| across.is_item(row)) {
            out.schedule.sets[across.made[at]].lines.push(across.line(self.sheet, row, cell));
            is_line = true;
        }
        Some(if is_line { Role::Line } else { note(self.sheet, text, row, out) })
    }
}

impl Across {
    /// The line that a count makes.
    fn line(&self, sheet: &Sheet, row: &Row, counted: &Cell) -> Line {
        let mut wording = Wording::default();
        let letter = |column: usize| Some(column_letter(column).into());
        // A mark says that there is one and is no figure.
        let figure = count(&counted.text).filter(|_| !is_mark(&counted.text));
        wording.push(PartRole::Quantity, &figure.unwrap_or_default(), letter(counted.column));
        for cell in row.cells.iter().filter(|cell| !self.sets.iter().any(|(column, _)| *column == cell.column)) {
            let said = self.parts.iter().find(|(column, _)| *column == cell.column).map(|(_, role)| *role);
            let role = match said {
                Some(role) => role,
                None if cell.column == self.item => PartRole::Description,
                None if columns::is_unit(&plain(&cell.text)) => PartRole::Unit,
                // A sum of the row.
                None if whole_count(&cell.text).is_some() => continue,
                None => PartRole::Free,
            };
            wording.push(role, &cell.text, letter(cell.column));
        }
        let place = sheet.at(row.number, counted.column);
        Line { place, wording, basis: None, section: None, excluded: None }
    }
}
