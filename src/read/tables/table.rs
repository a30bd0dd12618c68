//! Finds the tables of a sheet: rows of column headings, what each column means and why, by its heading and its cells.

use rayon::prelude::*;

use crate::place::column_index;
use crate::terms::ReadTerms;

use super::headingpath::{hear, part_common, path};
use super::headings::{self, Heard, Meaning as M};
use super::{bycells, columns, headless, kinds, numbered, otherdoors, othertrade, settled, unheaded};
use crate::read::addenda::revision;
use crate::read::counts::{doortypes, dwellings::Dwellings, takeoff};
use crate::read::goods::itemcells;
use crate::read::goods::itemtext::is_count;
use crate::read::grids::{matrixcells, matrixkeys};
use crate::read::repairs::suspect;
use crate::read::sets::secondset;
use crate::read::sheet::{Cell, Merge, Row, Sheet};
use crate::read::words;

/// What a table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Holds {
    /// One door a row.
    Doors,
    /// One item a row.
    Items,
    /// One item a row, and its door in every row.
    DoorItems,
    /// Doors against kinds of hardware.
    Matrix,
    /// Sets against kinds of hardware.
    SetMatrix,
    /// Types of doors without numbers.
    Types,
    /// Set and the doors it serves.
    SetIndex,
    /// Rooms or dwellings against types of doors, counts in the cells.
    Counts,
    /// Components that name their type.
    Components,
    /// Code and its words.
    Legend,
    /// Nothing of ours.
    Passed,
}

impl Holds {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Holds::Doors => "door schedule",
            Holds::Items => "hardware items",
            Holds::DoorItems => "hardware items by door",
            Holds::Matrix => "hardware matrix",
            Holds::SetMatrix => "sets against kinds of hardware",
            Holds::Types => "door types",
            Holds::SetIndex => "sets and their doors",
            Holds::Counts => "counts of door types",
            Holds::Components => "components by type",
            Holds::Legend => "legend of codes",
            Holds::Passed => "passed over",
        }
    }
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Column {
    /// Counted from 0.
    pub index: usize,
    /// Heading as written, rows joined.
    pub heading: String,
    /// What it holds.
    pub meaning: M,
    /// Why.
    pub why: String,
}

impl Column {
    /// A column of a row that is made of labels and their values; no cells speak for its meaning.
    pub fn named(index: usize, heading: &str, meaning: M) -> Self {
        Self { index, heading: heading.to_string(), meaning, why: String::new() }
    }
}

/// A table: its heading rows and columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Table {
    /// What it is.
    pub holds: Holds,
    /// Why it is that, or why it is passed over.
    pub why: String,
    /// Indices of its heading rows in the sheet.
    pub rows: (usize, usize),
    /// Columns.
    pub columns: Vec<Column>,
    /// First and last column of its lane.
    pub lane: (usize, usize),
    /// It has no heading rows: `rows` is its first row.
    pub headless: bool,
    /// What contradicts its headings.
    pub doubts: Vec<Doubt>,
    /// Dwellings whose doors its columns count.
    pub dwellings: Dwellings,
    /// Its columns of revisions.
    pub revisions: Vec<revision::Revised>,
    /// Its columns that may name further sets of its doors.
    pub further_sets: Vec<usize>,
}

/// Cells that contradict their heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Doubt {
    /// Code of the finding.
    pub code: &'static str,
    /// The column, counted from 0.
    pub column: usize,
    /// What was found, and what was made of it.
    pub says: String,
}

impl Table {
    /// A table made of what stands about doors elsewhere: on a card, under the heading of a set.
    pub fn of_doors(columns: Vec<Column>) -> Self {
        Table {
            holds: Holds::Doors,
            why: String::new(),
            rows: (0, 0),
            columns,
            lane: (0, usize::MAX),
            headless: false,
            doubts: Vec::new(),
            dwellings: Dwellings::default(),
            revisions: Vec::new(),
            further_sets: Vec::new(),
        }
    }

    /// The column at an index of the sheet. Columns mostly stand one beside the other.
    pub fn at(&self, index: usize) -> Option<&Column> {
        let first = self.columns.first()?.index;
        let beside = self.columns.get(index.wrapping_sub(first)).filter(|column| column.index == index);
        beside.or_else(|| self.columns.iter().find(|column| column.index == index))
    }

    /// The column of a meaning.
    pub fn column(&self, meaning: M) -> Option<&Column> {
        self.columns.iter().find(|column| column.meaning == meaning)
    }

    /// Whether it has a column of a meaning.
    pub fn has(&self, meaning: M) -> bool {
        self.column(meaning).is_some()
    }
}

/// A column's index, heading, and what the heading may mean with the reason.
pub(crate) type HeardColumn = (usize, String, Option<(Heard, String)>);

/// So many columns passed over are kept and explained.
const MOST_PASSED: usize = 200;

/// Finds every row of headings of a sheet, in order.
pub(crate) fn find(sheet: &Sheet, terms: Option<&ReadTerms>) -> Vec<Table> {
    let mut tables = Vec::new();
    let mut at = 0;
    let forced = terms.and_then(|terms| terms.header_row);
    let headed: Vec<bool> = match forced {
        Some(row) => sheet.rows.iter().map(|own| own.number == row).collect(),
        None => sheet.rows.par_iter().with_min_len(512).map(is_heading_row).collect(),
    };
    while at < sheet.rows.len() {
        let of_goods =
            |table: &Table| settled::names_a_set(table, &sheet.rows[at]) || settled::goes_on(table, sheet, at);
        if headed[at] && forced.is_none() && tables.last().is_some_and(of_goods) {
            at += 1;
            continue;
        }
        if !headed[at] && (forced.is_some() || !kinds::counts_types(sheet, at)) {
            at += 1;
            continue;
        }
        let band = band(sheet, at, forced.is_some());
        tables.extend(tables_of(sheet, band, terms));
        at = band.1 + 1;
    }
    if tables.is_empty() && forced.is_none() {
        tables.extend(headless::find(sheet));
    }
    tables
}

/// Whether a row is one of column headings: three different ones in a good part of its cells, or two and nothing else.
pub(crate) fn is_heading_row(row: &Row) -> bool {
    let mut seen: Vec<Heard> = Vec::new();
    // `1 | set | Perimeter seal | 2 | no | Silencers`, `1 | SET | SMOKE | SEAL` are goods.
    let mut counted = row.cells.iter().filter(|cell| is_count(&cell.text));
    let unit = |cell: &Cell| columns::is_unit(&words::plain(&cell.text));
    if is_count(&row.cells[0].text) && (counted.nth(1).is_some() || row.cells.get(1).is_some_and(unit)) {
        return false;
    }
    let cells = row.cells.iter().filter(|cell| !cell.struck).count();
    if matrixcells::heads_goods(row) {
        return true;
    }
    let (mut looked, mut known, mut kinds) = (0, 0, 0);
    for cell in row.cells.iter().filter(|cell| !cell.struck) {
        // Too many others by now, whatever follows.
        if cells > 3 && (looked - known) * 5 > cells * 3 {
            return false;
        }
        looked += 1;
        let figures = cell.text.bytes().all(|byte| byte.is_ascii_digit());
        if figures || cell.text.len() > headings::LONGEST || cell.kind != crate::read::sheet::CellKind::Text {
            continue;
        }
        if let Some(heard) = headings::of_cell(&cell.text) {
            known += 1;
            kinds += usize::from(heard == Heard::One(M::Kind));
            if !seen.contains(&heard) {
                seen.push(heard);
            }
        }
    }
    // `1  SET  PERIMETER SEAL` is an item.
    let counts = row.cells.iter().any(|cell| is_count(&cell.text));
    // `W | Wall stop` explains a code.
    let explains = cells == 2 && seen.contains(&Heard::One(M::Kind)) && row.cells[0].text.trim().len() <= 3;
    // `Set | Hinges | Lock / Exit | Closer | Stop | Other`: sets against kinds, some of which are called otherwise.
    let of_sets =
        || kinds >= 3 && known * 2 >= cells && headings::of_cell(&row.cells[0].text) == Some(Heard::One(M::Set));
    let heads = seen.len() >= 3 && known * 5 >= cells * 2
        || of_sets()
        || seen.len() == 2 && !explains && (known == cells || cells == 3 && !counts);
    heads && !itemcells::is_item(row)
}

/// The rows that make up one heading: up to two more below, one group row above.
fn band(sheet: &Sheet, at: usize, forced: bool) -> (usize, usize) {
    let (mut first, mut last) = (at, at);
    let next_to = |a: usize, b: usize| sheet.rows[b].number - sheet.rows[a].number == 1;
    while !forced
        && last + 1 < sheet.rows.len()
        && last - first < 2
        && next_to(last, last + 1)
        && is_sub_row(sheet, first, last + 1)
    {
        last += 1;
    }
    while first > 0
        && last - first < 2
        && next_to(first - 1, first)
        && is_group_row(&sheet.rows[first - 1], &sheet.rows[first])
    {
        first -= 1;
    }
    (first, last)
}

/// Whether a row under a heading row goes on with headings: no door numbers, no quantities, short words that are headings.
fn is_sub_row(sheet: &Sheet, above: usize, at: usize) -> bool {
    let row = &sheet.rows[at];
    let known = row
        .cells
        .iter()
        .filter(|cell| {
            let key = headings::key(&cell.text);
            headings::exact(&key).is_some() || key.is_empty() || words::list("heading-of-parts").is(&key)
        })
        .count();
    // Under the last heading alone, and beside the column of numbers: its parts, of which fewer need be known.
    let beyond = sheet.rows[above].cells.last().is_some_and(|group| row.cells[0].column >= group.column);
    let parts = row.cells.len() >= 3 && sheet.rows[above].cells.len() >= 2 && beyond;
    let enough = if parts { known * 2 >= row.cells.len() } else { known * 3 >= row.cells.len() * 2 };
    if row.cells.is_empty() || !enough && !under_merges(sheet, above, row) {
        return false;
    }
    let figures = row.cells.iter().any(|cell| cell.text.bytes().any(|byte| byte.is_ascii_digit()));
    // The same headings again are a repeat, not a second row.
    let same = sheet.rows[above]
        .cells
        .iter()
        .map(|cell| headings::key(&cell.text))
        .eq(row.cells.iter().map(|cell| headings::key(&cell.text)));
    !figures && !same && row.cells.len() <= 40
}

/// Whether a row stands under merged headings of the row above it and nowhere else: `WIDTH | HEIGHT` under DOOR SIZE, `EXIST. |
/// NEW` under DOOR and FRAME.
fn under_merges(sheet: &Sheet, above: usize, row: &Row) -> bool {
    let number = sheet.rows[above].number;
    let merged = |cell: &Cell| {
        let over = |merge: &Merge| {
            merge.rows == (number, number)
                && merge.columns.1 > merge.columns.0
                && (merge.columns.0..=merge.columns.1).contains(&cell.column)
        };
        cell.text.len() <= SHORT && sheet.merges.iter().any(over)
    };
    row.cells.len() >= 2 && row.cells.iter().all(merged)
}

/// A longer text under a merged heading is no heading.
const SHORT: usize = 24;

/// Whether a row above a heading row names groups of its columns.
fn is_group_row(row: &Row, below: &Row) -> bool {
    let count = row.cells.len();
    let names_doors = |cell: &Cell| crate::read::sets::setheading::served(&cell.text).is_some();
    if count == 0
        || count > below.cells.len()
        || crate::read::sets::setheading::heading(&row.joined()).is_some()
        || itemcells::is_item(row)
        || row.cells.iter().any(|cell| names_doors(cell) || is_count(&cell.text))
    {
        return false;
    }
    let grouped = row
        .cells
        .iter()
        .filter(|cell| {
            let key = headings::key(&cell.text);
            key.len() <= 32 && (headings::exact(&key).is_some() || words::list("group-heading").find(&key).is_some())
        })
        .count();
    // A title such as `DOOR SCHEDULE` is one cell with that word; groups are several, or not at the left edge.
    let title = count == 1
        && (row.cells[0].column <= below.cells[0].column
            || words::list("title-of-a-table").is_within(&row.cells[0].text.to_uppercase()));
    grouped * 3 >= count * 2 && !title
}

/// The tables of one band of heading rows: usually one, more where they stand side by side.
fn tables_of(sheet: &Sheet, band: (usize, usize), terms: Option<&ReadTerms>) -> Vec<Table> {
    let mut columns: Vec<usize> =
        (band.0..=band.1).flat_map(|at| sheet.rows[at].cells.iter().map(|cell| cell.column)).collect();
    if let Some(terms) = terms {
        columns.extend(terms.columns.keys().filter_map(|letter| column_index(letter)));
    }
    columns.sort_unstable();
    columns.dedup();
    let spanned = (sheet.rows[band.0].number, sheet.rows[band.1].number);
    let merges: Vec<Merge> =
        sheet.merges.iter().filter(|merge| merge.rows.0 <= spanned.1 && merge.rows.1 >= spanned.0).copied().collect();
    let below = suspect::sample(sheet, band.1 + 1, 0, usize::MAX, false);
    let whole: Vec<Vec<String>> = columns.iter().map(|column| path(sheet, &merges, band, *column)).collect();
    let mut paths = whole.clone();
    part_common(&mut paths);
    let mut heard: Vec<HeardColumn> = columns
        .iter()
        .zip(paths.iter().zip(&whole))
        .map(|(column, (path, whole))| {
            let heard = bycells::unless_denied(path, hear(path), below.get(column));
            (*column, whole.join(" "), otherdoors::material_not_number(heard, below.get(column)))
        })
        .collect();
    otherdoors::other_doors(&mut heard, &below);
    let numbers = |column: usize| below.get(&column).is_none_or(|cells| !only_marks(cells));
    let starts = lane_starts(&heard, |column| below.contains_key(&column), numbers);
    let mut tables = Vec::new();
    for (lane, start) in starts.iter().enumerate() {
        let end = starts.get(lane + 1).copied().unwrap_or(heard.len());
        let last = heard.get(end).map_or(usize::MAX, |next| next.0 - 1);
        let first = if lane == 0 { 0 } else { heard[*start].0 };
        let to_set = suspect::ends_at_sets(&heard[*start..end]);
        let sample = suspect::sample(sheet, band.1 + 1, first, last, to_set);
        let next = sheet.rows.get(band.1 + 1).filter(|row| row.number == spanned.1 + 1);
        let mut heard = bycells::in_company(&heard[*start..end], &sample);
        numbered::before_doors(&mut heard, || suspect::sample(sheet, band.1 + 1, first, last, true));
        doortypes::described(&mut heard, &sample);
        let (heard, dwellings) = takeoff::across(heard, &sample, next);
        let mut table = columns::table(&heard, (first, last), band, &sample, terms);
        table.dwellings = dwellings;
        if table.holds == Holds::Doors && kinds::other_schedule(sheet, band.0, &table) {
            table.holds = Holds::Passed;
            table.why = "it is the schedule of another trade: neither sets nor doors in its title and headings".into();
        }
        kinds::sets_across(&mut table, terms);
        // Hardware sets under a door schedule, the key under a matrix stand in the same columns: those cells are none of its own.
        let own = matches!(table.holds, Holds::Doors | Holds::Matrix)
            .then(|| suspect::sample(sheet, band.1 + 1, first, last, true));
        suspect::mend(&mut table, own.as_ref().unwrap_or(&sample), terms);
        if terms.is_none_or(|terms| terms.columns.is_empty() && terms.holds.is_none()) {
            unheaded::find(&mut table, own.as_ref().unwrap_or(&sample));
        }
        if starts.len() == 1 && table.holds != Holds::Doors && kinds::counts_types(sheet, band.1) {
            kinds::of_counts(&mut table);
        }
        // A sheet may have thousands of columns; those passed over are of no use to its rows.
        let mut passed = 0;
        table.columns.retain(|column| {
            passed += usize::from(column.meaning == M::Other);
            column.meaning != M::Other || passed <= MOST_PASSED
        });
        othertrade::leave_out(sheet, band.0, &mut table, terms);
        matrixkeys::beside(&mut table, tables.last());
        table.revisions = revision::columns(&table.columns, own.as_ref().unwrap_or(&sample));
        table.further_sets = secondset::columns(&table.columns);
        takeoff::tell(&mut table);
        tables.push(table);
    }
    tables
}

/// Whether cells are marks, X under DOOR, which are the numbers of nothing.
fn only_marks(cells: &[&Cell]) -> bool {
    let mark = |cell: &&Cell| {
        let folded = words::plain(&cell.text);
        folded.bytes().all(|sign| !sign.is_ascii_digit()) && words::list("truthy").is(&folded)
    };
    !cells.is_empty() && cells.iter().all(mark)
}

/// Where tables that stand side by side begin: after an empty column, where the anchor of a table comes again.
fn lane_starts(heard: &[HeardColumn], filled: impl Fn(usize) -> bool, numbers: impl Fn(usize) -> bool) -> Vec<usize> {
    let mut starts = vec![0];
    let anchor = |(column, _, heard): &HeardColumn| {
        numbers(*column)
            && matches!(
                heard,
                Some((Heard::One(M::DoorNumber | M::Quantity | M::Set | M::DoorType | M::Code), _))
                    | Some((Heard::NumberOrQuantity, _))
            )
    };
    for at in 1..heard.len() {
        // A column without a heading is no gap when it has cells.
        let gap = (heard[at - 1].0 + 1..heard[at].0).any(|column| !filled(column));
        let from = *starts.last().unwrap_or(&0);
        let again = anchor(&heard[at])
            && heard[from..at]
                .iter()
                .any(|(_, _, before)| before.as_ref().map(|b| b.0) == heard[at].2.as_ref().map(|h| h.0));
        let other_table = gap
            && heard[from..at].len() >= 2
            && settled::begins_beside(&heard[from..at], &heard[at..], anchor(&heard[at]));
        // `LOCATION, OPENING, SET` and beside it the same once more: the first heading need be no anchor.
        let twin = gap
            && heard[from..at].len() >= 2
            && heard[at].1.eq_ignore_ascii_case(&heard[from].1)
            && heard[at..].iter().any(anchor);
        if twin
            || again && (gap || heard[from..at].len() >= 2 && heard[at].1.eq_ignore_ascii_case(&heard[from].1))
            || other_table
        {
            starts.push(at);
        }
    }
    starts
}
