//! Sets that stand across: items down, a column for each set, and in the cells how many of the item the set has. Each
//! count becomes a line of its set, at its own cell; a row of door numbers says which doors the sets serve.

use crate::finding::{Finding, Kind, Weight};

use super::acrosscells::{self, Said};
use super::acrossids::{is_set, labelled, over_goods, run_of_ids};
use super::itemkeys;
use crate::place::column_letter;
use crate::read::openings::doorlist;
use crate::read::openings::doors::whole_count;
use crate::read::schedule::{LayoutNote, Line, PartRole, Role, Wording};
use crate::read::sets::setheading;
use crate::read::sets::setids::SetIds;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::columns;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::walk::{Gathered, Walker, add_set, note};
use crate::read::words::{self, plain};

/// Columns of sets, at least: one alone is a table of one set with a strange heading.
const FEWEST_SETS: usize = 2;
/// Rows of counts, at least.
const FEWEST_ROWS: usize = 2;
/// Rows in which the title of a sheet may stand.
const NEAR_TOP: usize = 10;
/// One table of sets that stand across.
#[derive(Debug)]
pub(crate) struct Across {
    /// Indices of the heading row, of the row above it that only names what stands across, and of the row after the last.
    heading: usize,
    above: Option<usize>,
    end: usize,
    /// The columns that name the items: `Stop | Wall`; the first names them, the others where it is blank.
    items: Vec<usize>,
    /// The other columns that say something of an item.
    parts: Vec<(usize, PartRole)>,
    /// Columns that say nothing of an item: its number, the sum of its row, its revision.
    passed: Vec<usize>,
    /// The column of each set with its heading.
    sets: Vec<(usize, Cell)>,
    /// The sets in the schedule, once they are there.
    made: Vec<usize>,
    /// How many openings each set has, where a row counts them.
    opened: Vec<u32>,
}

impl Across {
    /// Whether a row is one of its own.
    pub(crate) fn covers(&self, index: usize) -> bool {
        self.above == Some(index) || (self.heading..self.end).contains(&index)
    }
}

/// The tables of a sheet.
pub(crate) fn find(sheet: &Sheet, known: &SetIds) -> Vec<Across> {
    let mut found: Vec<Across> = Vec::new();
    for index in 0..sheet.rows.len() {
        if may_begin(sheet, index)
            && found.last().is_none_or(|last| index >= last.end)
            && let Some(across) = table(sheet, index, known)
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

fn table(sheet: &Sheet, heading: usize, known: &SetIds) -> Option<Across> {
    let row = &sheet.rows[heading];
    if row.cells.len() <= FEWEST_SETS {
        return None;
    }
    let over = heading.checked_sub(1).filter(|above| sheet.rows[*above].number + 1 == row.number);
    let above = heading.checked_sub(1).filter(|above| says_sets(&sheet.rows[*above]));
    let said = above.and_then(|above| sets_from(&sheet.rows[above]));
    let (mut run, mut goods) = (run_of_ids(row), None);
    if run.is_empty()
        && !row.cells.iter().any(|cell| is_set(cell, false))
        && let Some((ids, column)) = over_goods(sheet, heading, known)
    {
        (run, goods) = (ids, Some(column));
    }
    let sets: Vec<(usize, Cell)> = row
        .cells
        .iter()
        .filter_map(|cell| {
            if let Some(id) = labelled(row, cell) {
                return Some((cell.column, Cell { text: id.to_string(), ..cell.clone() }));
            }
            let set = run.contains(&cell.column) || is_set(cell, said.filter(|from| cell.column >= *from).is_some());
            set.then(|| (cell.column, cell.clone()))
        })
        .collect();
    let first = sets.first()?.0;
    if sets.len() < FEWEST_SETS {
        return None;
    }
    let last = sets.last()?.0;
    let mut parts = Vec::new();
    // Headings that may name the items; the one under which most words stand does.
    let mut named: Vec<usize> = goods.into_iter().collect();
    let mut passed: Vec<usize> = Vec::new();
    // Where the row has nothing but sets, the other headings stand in the row above, merged down.
    let merged = over.filter(|over| {
        let named = |cell: &Cell| cell.column < first && headings::exact(&headings::key(&cell.text)).is_some();
        sets.len() == row.cells.len() && sheet.rows[*over].cells.iter().any(named)
    });
    let above = above.or(merged);
    let others = merged.map_or(&row.cells, |over| &sheet.rows[over].cells);
    let own = |column: usize| goods == Some(column) || sets.iter().any(|(set, _)| *set == column);
    for cell in others.iter().filter(|cell| !own(cell.column)) {
        let key = headings::key(&cell.text);
        match headings::exact(&key) {
            // Behind the sets stands the sum of each row.
            Some(Heard::One(M::Quantity)) if cell.column > last || sums(sheet, heading, cell.column, &sets) => {
                passed.push(cell.column);
            }
            // Function, keying and gauge are words of the goods.
            Some(Heard::One(M::Other)) if words::list("item-heading").is(&key) => {}
            Some(Heard::One(M::Other)) => passed.push(cell.column),
            Some(Heard::One(M::DoorNumber | M::Room | M::RoomNumber | M::Set | M::Quantity | M::DoorsServed)) => {
                return None;
            }
            Some(Heard::One(M::CatalogNumber)) => parts.push((cell.column, PartRole::CatalogNumber)),
            Some(Heard::One(M::Finish)) => parts.push((cell.column, PartRole::Finish)),
            Some(Heard::One(M::Maker)) => parts.push((cell.column, PartRole::Maker)),
            Some(Heard::One(M::Unit)) => parts.push((cell.column, PartRole::Unit)),
            Some(Heard::One(M::Description)) => named.push(cell.column),
            _ if cell.column < first && named.is_empty() => named.push(cell.column),
            _ => {}
        }
    }
    let item = worded(sheet, heading, &named)?;
    let items: Vec<usize> =
        named.iter().copied().filter(|column| *column == item || names_things(sheet, heading, *column)).collect();
    // Beside what names the items a column of figures numbers them.
    passed.extend(named.into_iter().filter(|column| !items.contains(column) && *column < item));
    let mut across =
        Across { heading, above, end: heading + 1, items, parts, passed, sets, made: Vec::new(), opened: Vec::new() };
    across.opened = across.openings(sheet);
    let (mut counted, mut odd) = (0, 0);
    while let Some(row) = sheet.rows.get(across.end) {
        let next = row.number.saturating_sub(sheet.rows[across.end - 1].number) > 1;
        if next
            || setheading::heading(&row.joined()).is_some()
            || across.name(row).is_none_or(|name| is_door_list(&name)) && !across.says_doors(row)
        {
            break;
        }
        if across.counts(row) && across.is_item(row) {
            counted += 1;
        } else if across.is_item(row) && across.cells(row).next().is_some() {
            odd += 1;
        }
        across.end += 1;
    }
    (counted >= FEWEST_ROWS && odd * 4 <= counted).then_some(across)
}

/// Whether a column of quantities is blank, or sums up what stands under the sets.
fn sums(sheet: &Sheet, heading: usize, column: usize, sets: &[(usize, Cell)]) -> bool {
    let number = |cell: &Cell| cell.text.trim().parse::<u32>().ok();
    let mut rows = sheet.rows[heading + 1..].iter().take(40).filter(|row| row.cell(column).is_some());
    rows.all(|row| {
        let own = sets.iter().filter_map(|(set, _)| row.cell(*set));
        let sum = |own: &mut dyn Iterator<Item = &Cell>| own.filter_map(number).fold(0, u32::saturating_add);
        let said = row.cell(column).and_then(number);
        // The sum may be older or newer than what was struck through.
        said == Some(sum(&mut own.clone())) || said == Some(sum(&mut own.filter(|cell| !cell.struck)))
    })
}

/// Whether a row only says that sets stand below it, perhaps with a total of theirs.
fn says_sets(row: &Row) -> bool {
    let sums = |cell: &Cell| {
        let folded = plain(&cell.text);
        words::list("total").begins(&folded).is_some() || folded.chars().all(|sign| !sign.is_ascii_alphanumeric())
    };
    let others = row.cells.iter().filter(|cell| !words::list("sets-across").is(&plain(&cell.text)));
    sets_from(row).is_some() && (row.cells.len() <= 2 || others.into_iter().all(sums))
}

/// The column from which on sets stand, by the row above them.
fn sets_from(row: &Row) -> Option<usize> {
    row.cells.iter().find(|cell| words::list("sets-across").is(&plain(&cell.text))).map(|cell| cell.column)
}

/// Of several columns that may name the items the one with most words.
fn worded(sheet: &Sheet, heading: usize, named: &[usize]) -> Option<usize> {
    let letters = |column: usize| -> usize {
        let rows = sheet.rows[heading + 1..].iter().take(20);
        let cells = rows.filter_map(|row| row.cell(column));
        cells.map(|cell| cell.text.chars().filter(|sign| sign.is_alphabetic()).count()).sum()
    };
    match named {
        [one] => Some(*one),
        several => several.iter().copied().max_by_key(|column| (letters(*column), std::cmp::Reverse(*column))),
    }
}

/// Items of a table of sets across are no more than these.
const LONGEST: usize = 200;

/// Whether the cells of a column are words, and not the numbers or marks of the items: `HINGE`, but neither `3` nor `H1`.
fn names_things(sheet: &Sheet, heading: usize, column: usize) -> bool {
    let cells: Vec<String> = sheet.rows[heading + 1..]
        .iter()
        .take(20)
        .filter_map(|row| row.cell(column))
        .map(|cell| plain(&cell.text))
        .collect();
    let is_word =
        |text: &&String| text.split(' ').any(|word| word.len() > 2 && word.bytes().all(|b| b.is_ascii_alphabetic()));
    !cells.is_empty() && cells.iter().filter(is_word).count() * 2 > cells.len()
}

fn is_door_list(name: &str) -> bool {
    name.bytes().all(|byte| byte.is_ascii_digit())
}

impl Across {
    fn name(&self, row: &Row) -> Option<String> {
        let mut names = self.items.iter().filter_map(|column| row.cell(*column)).map(|cell| plain(&cell.text));
        names.find(|name| !name.is_empty())
    }

    /// Whether a row is one of goods: no total of the others, no list of doors.
    fn is_item(&self, row: &Row) -> bool {
        let sums = words::list("total");
        let counts = words::list("count-of");
        self.name(row).is_some_and(|name| sums.begins(&name).is_none() && counts.begins(&name).is_none())
            && !self.says_doors(row)
    }

    fn says_doors(&self, row: &Row) -> bool {
        self.name(row).is_some_and(|name| words::list("doors-label").is(name.trim_matches(['(', ')', ':', '.'])))
    }

    /// How many openings each set has: a row of small numbers under the word for doors of which two sets have the same,
    /// or that some cell behind them sums up. No two sets serve one door.
    fn openings(&self, sheet: &Sheet) -> Vec<u32> {
        // Above the goods or below them; a set that no door has says 0.
        let rows = sheet.rows[self.heading + 1..].iter().take(LONGEST);
        let Some(row) = rows.into_iter().find(|row| self.says_doors(row)) else { return Vec::new() };
        let count = |cell: &Cell| match cell.text.trim() {
            "0" | "-" => Some(0),
            text => whole_count(text),
        };
        let counts: Vec<u32> = self.cells(row).filter_map(|(_, cell)| count(cell)).collect();
        let sum: u32 = counts.iter().fold(0, |sum, count| sum.saturating_add(*count));
        let summed = row.cells.iter().any(|cell| !self.is_own(cell) && whole_count(&cell.text) == Some(sum));
        let distinct: std::collections::BTreeSet<&u32> = counts.iter().collect();
        let small =
            counts.len() == self.sets.len() && counts.iter().all(|count| (0..=acrosscells::MOST).contains(count));
        if small && (summed || distinct.len() < counts.len()) { counts } else { Vec::new() }
    }

    /// Whether a cell is that of a set.
    fn is_own(&self, cell: &Cell) -> bool {
        self.sets.iter().any(|(column, _)| *column == cell.column)
    }

    /// The sum that a row gives of its item, against its counts, or those times the openings of their sets.
    fn sum(&self, sheet: &Sheet, row: &Row, out: &mut Gathered) {
        let last = self.sets.last().map_or(0, |(column, _)| *column);
        let behind = self.passed.iter().filter(|column| **column > last).find_map(|column| row.cell(*column));
        let Some((cell, total)) = behind.and_then(|cell| Some((cell, cell.text.trim().parse::<u32>().ok()?))) else {
            return;
        };
        // Pairs and what is counted as needed add up to nothing.
        if self.have(row).any(|(_, cell, said)| said != Said::One && whole_count(&cell.text).is_none()) {
            return;
        }
        let counts: Vec<(usize, u32)> =
            self.have(row).filter_map(|(at, cell, _)| Some((at, whole_count(&cell.text)?))).collect();
        let plain_sum = counts.iter().fold(0, |sum: u32, (_, count)| sum.saturating_add(*count));
        let times = |at: &usize| self.opened.get(*at).copied().unwrap_or(1);
        let whole = counts.iter().fold(0, |sum: u32, (at, count)| sum.saturating_add(count.saturating_mul(times(at))));
        if total == plain_sum || total == whole {
            return;
        }
        let says = format!("the total of the row says {total}, but its counts add up to {whole}");
        out.schedule.findings.push(
            Finding {
                priced_as: "the single counts".into(),
                ..Finding::new("total-disagrees", Kind::Question, Weight::Goods, says)
            }
            .at(sheet.at(row.number, cell.column), row.joined())
            .help("ask which is right; a row or a count may be missing"),
        );
    }

    /// The cells of the sets.
    fn cells<'r>(&'r self, row: &'r Row) -> impl Iterator<Item = (usize, &'r Cell)> {
        self.sets.iter().enumerate().filter_map(|(at, (column, _))| Some((at, row.cell(*column)?)))
    }

    /// Whether a row counts its item in a cell at least. A number beyond any count alone is none: `626` stands in a row of
    /// finishes.
    fn counts(&self, row: &Row) -> bool {
        self.cells(row).any(|(_, cell)| !cell.struck && matches!(Said::of(&cell.text), Said::One | Said::Count))
    }

    /// The sets that have the item of a row that counts, with the cell that says so and what it says. No cell but one that
    /// says "none" is passed over.
    fn have<'r>(&'r self, row: &'r Row) -> impl Iterator<Item = (usize, &'r Cell, Said)> {
        let said = |(at, cell): (usize, &'r Cell)| Some((at, cell, Said::of(&cell.text)));
        self.cells(row).filter(|(_, cell)| !cell.struck).filter_map(said).filter(|(.., said)| *said != Said::None)
    }
}

impl Walker<'_> {
    /// What a row of sets that stand across is; none: it is none of them.
    pub(crate) fn across_row(&mut self, index: usize, text: &str, out: &mut Gathered) -> Option<Role> {
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
        if row.cells.iter().all(|cell| cell.struck) {
            return Some(Role::Excluded);
        }
        if across.says_doors(row) && !across.opened.is_empty() {
            for (at, count) in across.opened.iter().enumerate().filter(|(_, count)| **count > 0) {
                out.assigned.count(across.made[at], *count, self.sheet.place(row.number));
            }
            return Some(Role::Note);
        }
        if across.says_doors(row) {
            for (at, cell) in across.cells(row) {
                if let Some(entries) = doorlist::parse(&cell.text) {
                    out.served.push((across.made[at], entries, self.sheet.at(row.number, cell.column)));
                }
            }
            return Some(Role::SetOpenings);
        }
        if !across.is_item(row) || !across.counts(row) {
            return Some(note(self.sheet, text, row, out));
        }
        for (at, cell, said) in across.have(row) {
            let set = &mut out.schedule.sets[across.made[at]];
            if said == Said::Words {
                let says = format!("\"{}\" stands where set {} counts its goods", cell.text, set.id);
                let finding = Finding {
                    set: Some(set.id.clone()),
                    priced_as: "a line without a count".to_owned(),
                    ..Finding::new("count-not-read", Kind::Question, Weight::Goods, says)
                };
                let finding = finding.at(self.sheet.at(row.number, cell.column), row.joined());
                out.schedule.findings.push(finding.help("ask how many there are, and write the number"));
            }
            set.lines.push(across.line(self.sheet, row, cell, said));
            if let Some(code) = itemkeys::leading(row).filter(|cell| !across.is_own(cell)) {
                out.item_keys.line(across.made[at], set.lines.len() - 1, &code.text);
            }
        }
        across.sum(self.sheet, row, out);
        Some(Role::Line)
    }
}

impl Across {
    /// The line that a count makes.
    fn line(&self, sheet: &Sheet, row: &Row, counted: &Cell, said: Said) -> Line {
        let mut wording = Wording::default();
        let letter = |column: usize| Some(column_letter(column).into());
        // A mark says that there is one and is no figure.
        if matches!(said, Said::Count | Said::Much) {
            wording.push(PartRole::Quantity, &counted.text, letter(counted.column));
        }
        for cell in row.cells.iter().filter(|cell| !self.is_own(cell) && !self.passed.contains(&cell.column)) {
            let said = self.parts.iter().find(|(column, _)| *column == cell.column).map(|(_, role)| *role);
            let role = match said {
                Some(role) => role,
                None if self.items.contains(&cell.column) => PartRole::Description,
                None if columns::is_unit(&plain(&cell.text)) => PartRole::Unit,
                // A sum of the row.
                None if whole_count(&cell.text).is_some() => continue,
                None => PartRole::Free,
            };
            wording.push(role, &cell.text, letter(cell.column));
        }
        if said == Said::Words {
            wording.push(PartRole::Remarks, &counted.text, letter(counted.column));
        }
        let place = sheet.at(row.number, counted.column);
        Line::new(place, wording)
    }
}
