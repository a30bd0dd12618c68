//! Kinds of tables that their headings alone do not tell: counts of door types, and schedules of other trades that have
//! marks and sizes as doors do.

use std::collections::{BTreeMap, BTreeSet};

use crate::terms::ReadTerms;

use super::columns::{FROM_JOB_FILE, NEITHER, UNKNOWN};
use super::headingpath::STATE;
use super::headings::{self, Heard, Meaning as M};
use super::table::{Column, HeardColumn, Holds, Table};
use crate::read::grids::{itemkeys, matrixcells};
use crate::read::repairs::wrapped::is_finish;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::words::{self, plain};

/// Whether a row heads a count of door types: rooms or dwellings on the left, short names across, small counts below.
pub(crate) fn counts_types(sheet: &Sheet, at: usize) -> bool {
    let row = &sheet.rows[at];
    let heard = |cell: &Cell| headings::of_cell(&cell.text);
    let rooms = |cell: &Cell| matches!(heard(cell), Some(Heard::One(M::Room | M::RoomNumber | M::Level)));
    if row.cells.len() < 3 || !rooms(&row.cells[0]) {
        return false;
    }
    let types: Vec<usize> = row
        .cells
        .iter()
        .skip(1)
        .filter(|cell| cell.text.len() <= 14 && !rooms(cell) && heard(cell) != Some(Heard::One(M::Count)))
        .map(|cell| cell.column)
        .collect();
    // The table ends where a row is empty.
    let below: Vec<&Row> = sheet.rows[at + 1..]
        .iter()
        .zip(row.number + 1..)
        .take(12)
        .take_while(|(row, number)| row.number == *number && row.cells.len() >= 2)
        .map(|(row, _)| row)
        .collect();
    let cells: Vec<&Cell> = below.iter().flat_map(|row| types.iter().filter_map(|column| row.cell(*column))).collect();
    let counts = cells.iter().filter(|cell| {
        let text = cell.text.trim();
        text == "-" || text.len() <= 3 && text.bytes().all(|byte| byte.is_ascii_digit())
    });
    types.len() >= 2 && types.len() + 3 >= row.cells.len() && cells.len() >= 2 && counts.count() == cells.len()
}

/// A table of windows, louvers or equipment has marks and sizes as doors have, but its title says so and nothing else
/// speaks of doors.
pub(crate) fn other_schedule(sheet: &Sheet, first: usize, table: &Table) -> bool {
    let heading = table.column(M::DoorNumber).map_or("", |column| &column.heading);
    let ours = words::list("doors-of-a-schedule");
    let says_door = |text: &str| plain(text).split(|letter: char| !letter.is_alphanumeric()).any(|word| ours.is(word));
    // `HARDWARE` over cranks and locks names no set.
    let sets =
        table.column(M::Set).is_some_and(|column| !words::list("heading-hardware").is(&headings::key(&column.heading)));
    if sets || table.has(M::Hand) || says_door(heading) || says_door(&sheet.name) {
        return false;
    }
    let above: Vec<String> =
        sheet.rows[first.saturating_sub(5)..first].iter().map(|row| plain(&row.joined())).collect();
    if above.iter().any(|text| says_door(text) || words::list("says-door").is_within(text)) {
        return false;
    }
    let named = words::list("other-schedule");
    let titled = above.iter().any(|text| named.find(text).is_some()) || named.find(&plain(&sheet.name)).is_some();
    let sills = words::list("heading-sill");
    let glazed = table.columns.iter().any(|column| sills.is(&headings::key(&column.heading)));
    let doors =
        table.has(M::DoorMaterial) || table.has(M::FrameMaterial) || table.has(M::Rating) || table.has(M::Thickness);
    titled || glazed && !doors
}

/// A list of codes may say how many of each there are where nothing else is said: on a sheet that is called a key, and
/// names no set, it is no list of goods.
pub(crate) fn keys(sheet: &Sheet, tables: &mut [Table], terms: Option<&ReadTerms>) {
    if terms.is_none_or(|terms| terms.holds.is_none()) {
        tables.iter_mut().for_each(|table| key_by_look(sheet, table));
        tables.iter_mut().for_each(|table| key_of_names(sheet, table));
    }
    let names_codes = |text: &str| headings::exact(&headings::key(text)) == Some(Heard::One(M::Code));
    // `KEY TO HARDWARE ITEMS`
    let led = |text: &str| {
        let folded = plain(text);
        let mut words = folded.split(' ');
        names_codes(words.next().unwrap_or_default())
            && words.next().is_some_and(|word| words::list("behind-key").is(word))
    };
    let titled = |row: &Row| matches!(&row.cells[..], [cell] if names_codes(&cell.text) || led(&cell.text));
    let key = names_codes(&sheet.name) || sheet.rows.iter().take(3).any(titled);
    if !key || terms.is_some_and(|terms| terms.holds.is_some()) {
        return;
    }
    let lists = |table: &Table| {
        let codes = table.holds == Holds::Items && table.has(M::Code) && table.has(M::Description);
        codes && !table.has(M::Set) && !table.has(M::DoorNumber)
    };
    if sheet.rows.iter().any(|row| setheading::heading(&row.joined()).is_some()) {
        return;
    }
    for table in tables.iter_mut() {
        items_as_codes(sheet, table);
        if !lists(table) {
            continue;
        }
        table.holds = Holds::Legend;
        table.why = "codes and their words, on a sheet that is a key".into();
    }
}

/// A list that would be passed over, `MARK | DESCRIPTION`: codes, each once, and words for hardware beside them.
fn key_by_look(sheet: &Sheet, table: &mut Table) {
    let Some(first) = table.columns.first().map(|column| column.index) else { return };
    let words_of = |row: &Row| {
        row.cells.iter().filter(|cell| cell.column > first).map(|cell| plain(&cell.text)).collect::<Vec<_>>()
    };
    if table.why != NEITHER
        || !table.columns.iter().any(|column| column.index > first && column.meaning == M::Description)
    {
        return;
    }
    let coded = |row: &&Row| row.cell(first).is_some_and(|cell| itemkeys::is_code(&cell.text));
    let rows: Vec<&Row> = sheet.rows[table.rows.1 + 1..].iter().take_while(coded).collect();
    let codes: BTreeSet<&str> = rows.iter().filter_map(|row| row.cell(first)).map(|cell| cell.text.trim()).collect();
    let goods = |row: &&&Row| words_of(row).iter().any(|text| words::list("hardware").find(text).is_some());
    if rows.len() < 2 || codes.len() < rows.len() || rows.iter().filter(goods).count() * 2 < rows.len() {
        return;
    }
    for column in table.columns.iter_mut().filter(|column| column.index == first) {
        column.meaning = M::Code;
        column.why.push_str("; short codes, each once, hardware beside them");
    }
    table.holds = Holds::Legend;
    table.why = "codes and their words".into();
}

/// `MFR | NAME` over letters of makers, `FINISH | DESCRIPTION` over finishes, each once with its words: a key and no goods,
/// even where a maker's name has goods in it.
fn key_of_names(sheet: &Sheet, table: &mut Table) {
    let (Some(head), [code, names @ ..]) = (sheet.rows.get(table.rows.1), &table.columns[..]) else { return };
    let called = |list: &str, column: &Column| words::list(list).is(&headings::key(&column.heading));
    let finishes = code.meaning == M::Finish;
    let coded = code.meaning == M::Code || called("legend-under-goods", code);
    if !matches!(table.holds, Holds::Items | Holds::Passed)
        || head.cells.len() != table.columns.len()
        || names.is_empty()
        || !coded
        || !names
            .iter()
            .all(|column| called("legend-names", column) || finishes && called("legend-finish-names", column))
    {
        return;
    }
    let (first, mut number) = (code.index, head.number);
    let right_below = |row: &&Row| {
        number += 1;
        row.number == number && row.cells.len() >= 2
    };
    let rows: Vec<&Row> = sheet.rows[table.rows.1 + 1..].iter().take_while(right_below).collect();
    let codes: BTreeSet<&str> = rows.iter().filter_map(|row| row.cell(first)).map(|cell| cell.text.trim()).collect();
    let explains = |row: &&Row| {
        let [own, said @ ..] = &row.cells[..] else { return false };
        let names_goods = |cell: &Cell| words::list("hardware").find(&plain(&cell.text)).is_some();
        match finishes {
            true => is_finish(own.text.trim()) && !said.iter().any(names_goods),
            false => own.column == first && is_short_form(own.text.trim()),
        }
    };
    let begins_goods = |row: &&&Row| words::list("goods").begins(&plain(&row.cells[1].text)).is_some();
    let goods = rows.iter().filter(begins_goods).count() * 2 > rows.len();
    if rows.is_empty() || goods || codes.len() < rows.len() || !rows.iter().all(explains) {
        return;
    }
    for column in table.columns.iter_mut().filter(|column| column.index == first) {
        column.meaning = M::Code;
        column.why.push_str("; short codes, each once, with their names");
    }
    table.holds = Holds::Legend;
    table.why = "codes and their words".into();
}

/// Letters that may stand for a name.
fn is_short_form(text: &str) -> bool {
    text.len() <= 8
        && text.starts_with(|first: char| first.is_ascii_uppercase())
        && text.bytes().all(|sign| !sign.is_ascii_lowercase() && sign != b' ')
}

/// `ITEM` over H1, H2, L1, each once, and what they are beside it: codes.
fn items_as_codes(sheet: &Sheet, table: &mut Table) {
    if table.holds != Holds::Items || [M::Code, M::Quantity, M::Set, M::DoorNumber].iter().any(|of| table.has(*of)) {
        return;
    }
    let Some(item) = table.column(M::Description).map(|column| column.index) else { return };
    let others = |column: &Column| column.index > item && column.meaning == M::Description;
    let cells: Vec<&str> =
        sheet.rows[table.rows.1 + 1..].iter().filter_map(|row| row.cell(item)).map(|cell| cell.text.trim()).collect();
    let distinct: BTreeSet<&&str> = cells.iter().collect();
    let codes = cells.len() >= 2 && distinct.len() == cells.len() && cells.iter().all(|text| itemkeys::is_code(text));
    if codes && table.columns.iter().any(others) {
        for column in table.columns.iter_mut().filter(|column| column.index == item) {
            column.meaning = M::Code;
            column.why.push_str("; short codes, each once");
        }
    }
}

/// Items down and sets across, `SET 1`, `SET 2`, with counts in the cells: not a form that is read, and none of its columns
/// is the set of its rows.
pub(crate) fn sets_across(table: &mut Table, terms: Option<&ReadTerms>) {
    let heading = |column: &&Column| setheading::heading(&column.heading).filter(|found| found.title.is_empty());
    let mut ids: Vec<String> =
        table.columns.iter().filter_map(|column| heading(&column)).map(|found| found.id).collect();
    ids.sort();
    ids.dedup();
    if ids.len() >= 2 && table.holds == Holds::Items && terms.is_none_or(|terms| terms.holds.is_none()) {
        table.holds = Holds::Passed;
        table.why = format!(
            "the sets {} stand across its columns, one beside the other; give each set its own rows",
            ids.join(", ")
        );
    }
}

/// Makes a table one of counts: its short headings name types of doors.
pub(crate) fn of_counts(table: &mut Table) {
    table.holds = Holds::Counts;
    table.why = "rooms or dwellings against short names, with small counts below them".into();
    for column in table.columns.iter_mut().skip(1) {
        let known = matches!(column.meaning, M::Room | M::RoomNumber | M::Level | M::Count);
        let total = words::list("heading-total").leads(&plain(&column.heading)).is_some();
        if !known && !total {
            column.meaning = M::TypeCount;
            column.why = "a short name over small counts".into();
        }
    }
}

/// The sheets of an asset workbook: components with a name, a type name and a space; types with a name and sizes or a
/// category. Neither counts goods.
pub(crate) fn is_assets(heard: &[HeardColumn]) -> Option<Holds> {
    let has = |list: &str| heard.iter().any(|(_, heading, _)| words::list(list).is(&headings::key(heading)));
    if !has("asset-name") || has("asset-quantity") {
        return None;
    }
    if has("asset-type") && has("asset-space") {
        return Some(Holds::Components);
    }
    (has("asset-size") && has("asset-kind")).then_some(Holds::Types)
}

/// Why a column of quantities in a door schedule counts doors.
pub(crate) const COUNTS_ROWS: &str = "goods stand in no row: how many doors each row stands for";

/// Whether numbers or types without a word for doors stand beside facts that doors alone have.
pub(crate) fn numbers_doors(heard: &[HeardColumn]) -> bool {
    let any =
        |fits: &dyn Fn(Heard) -> bool| heard.iter().any(|(_, _, heard)| heard.as_ref().is_some_and(|h| fits(h.0)));
    any(&|heard| matches!(heard, Heard::NumberOrQuantity | Heard::Type | Heard::One(M::DoorType)))
        && any(&|heard| matches!(heard, Heard::One(M::Size | M::Width | M::LeafWidth)))
        && any(&|heard| {
            let material = matches!(heard, Heard::Material | Heard::One(M::DoorMaterial | M::FrameMaterial));
            material || matches!(heard, Heard::One(M::Rating | M::Hand))
        })
        && !any(&|heard| matches!(heard, Heard::One(M::Maker | M::Unit | M::Price)))
}

/// QTY in a schedule of doors counts doors, since no row of it holds goods.
pub(crate) fn count_rows(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    if columns.iter().any(|column| matches!(column.meaning, M::Count | M::CountPart | M::CountFactor)) {
        return;
    }
    // `HANGING Qty` counts goods of a group.
    let alone = |column: &Column| headings::exact(&headings::key(&column.heading)) == Some(Heard::One(M::Quantity));
    // What the user says it is, it is.
    let quantity = |column: &Column| column.meaning == M::Quantity && !column.why.starts_with(FROM_JOB_FILE);
    // A total of whole numbers that nothing else adds up to.
    let totals = |column: &Column| {
        let whole = |cell: &&Cell| cell.text.len() <= 4 && cell.text.bytes().all(|byte| byte.is_ascii_digit());
        let cells = sample.get(&column.index).filter(|cells| !cells.is_empty());
        is_total(&headings::key(&column.heading)) && cells.is_some_and(|cells| cells.iter().all(whole))
    };
    let found = columns.iter().position(|column| quantity(column) && alone(column));
    let found = found.or_else(|| columns.iter().position(|column| column.meaning == M::Other && totals(column)));
    if let Some(column) = found.and_then(|at| columns.get_mut(at)) {
        column.meaning = M::Count;
        column.why = format!("{}; {COUNTS_ROWS}", column.why);
    }
}

/// `TOTAL`, `TOTAL QTY`, `QTY TOTAL`, `TTL NO OF DOORS`: a heading that says total, and otherwise only what is counted.
pub(crate) fn is_total(key: &str) -> bool {
    let totals = words::list("totals");
    words::list("total").is(key)
        || key.split(' ').any(|word| totals.is(word))
            && key.split(' ').all(|word| totals.is(word) || words::list("counted-in-rows").is(word))
}

/// Marks under `DOOR New`, `HARDWARE Reuse` beside the sets: kept with their heading among the remarks of the door.
pub(crate) fn states(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    if !columns.iter().any(|column| column.meaning == M::Set) {
        return;
    }
    let marks = |index: &usize| {
        let mark = |cell: &&Cell| {
            let folded = plain(&cell.text);
            words::list("truthy").is(&folded) || words::list("falsy").is(&folded)
        };
        sample.get(index).is_some_and(|cells| cells.iter().all(mark))
    };
    for column in columns.iter_mut().filter(|column| column.meaning == M::Other && column.why.ends_with(STATE)) {
        if marks(&column.index) {
            column.meaning = M::Kind;
            // `EXISTING DOOR` in one would leave the door out.
            column.heading = column.heading.replace(' ', " / ");
        }
    }
}

/// In a matrix a column of codes or counts beside a kind of hardware is one too, whatever its heading is short for.
pub(crate) fn by_codes(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let is_code = |text: &str| {
        // `R1+R2`, `R1, R2`: several codes.
        plain(text).split(['+', ',', '&', '/']).map(str::trim).all(|code| {
            let letters = code.bytes().filter(u8::is_ascii_alphabetic).count();
            code.len() <= 8 && code.split(' ').count() <= 2 && letters <= 4
        })
    };
    let codes = |column: &Column| {
        let cells = sample.get(&column.index);
        // Minutes and hours are codes of another kind.
        let rated =
            |cells: &Vec<&Cell>| cells.iter().any(|cell| words::list("units-of-time").is_within(&plain(&cell.text)));
        cells.is_some_and(|cells| cells.iter().all(|cell| is_code(&cell.text)) && !rated(cells))
    };
    let free = |column: &Column| {
        column.meaning == M::Other && column.why == UNKNOWN && !matrixcells::is_aside(&column.heading)
    };
    let fits: Vec<bool> = columns.iter().map(|column| free(column) && codes(column)).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for at in 0..columns.len() {
            let beside = |other: Option<usize>| {
                other.and_then(|other| columns.get(other)).is_some_and(|column| column.meaning == M::Kind)
            };
            if fits[at] && columns[at].meaning == M::Other && (beside(at.checked_sub(1)) || beside(Some(at + 1))) {
                columns[at].meaning = M::Kind;
                columns[at].why = "heading not known; codes and counts beside kinds of hardware".into();
                changed = true;
            }
        }
    }
}

/// Why a column of the doors of sets holds counts of them.
pub(crate) const COUNTS_DOORS: &str =
    "small numbers that two sets share or a total sums up: how many doors each set has";

/// Why a column of the doors of sets may hold counts of them.
pub(crate) const MAY_COUNT_DOORS: &str = "one small number for each set: read as a door; it may count doors";

/// What a column of the doors of sets says, over all tables of a sheet with the same headings.
#[derive(Default)]
struct DoorNumbers {
    /// Each number with the first set that has it.
    sets: BTreeMap<u32, String>,
    /// Each set with its numbers.
    of: BTreeSet<(String, u32)>,
    shared: bool,
    summed: bool,
    others: bool,
}

impl DoorNumbers {
    /// Whether each of several sets has one number and no more.
    fn is_one_each(&self) -> bool {
        let sets: BTreeSet<&String> = self.of.iter().map(|(set, _)| set).collect();
        sets.len() >= 2 && sets.len() == self.of.len()
    }

    /// Takes the rows of a table; the id of a set holds for the rows under it.
    fn take(&mut self, rows: &[Row], doors: usize, set: usize) {
        let mut own = String::new();
        for row in rows {
            let number = row.cell(doors).filter(|cell| !cell.struck).map(|cell| cell.text.trim());
            let sums = |cell: &Cell| words::list("total").is(plain(&cell.text).trim_end_matches([':', '.']));
            if row.cells.iter().take(2).any(sums) {
                let sum = self.of.iter().fold(0, |sum: u32, (_, count)| sum.saturating_add(*count));
                let sets: BTreeSet<&String> = self.of.iter().map(|(set, _)| set).collect();
                self.summed |= sets.len() >= 2 && number.and_then(|number| number.parse().ok()) == Some(sum);
                continue;
            }
            if let Some(cell) = row.cell(set) {
                own = plain(&cell.text);
            }
            let Some(number) = number.filter(|number| number.bytes().any(|byte| byte.is_ascii_alphanumeric())) else {
                continue;
            };
            let count = number.parse::<u32>().ok().filter(|count| (1..100).contains(count) && !number.starts_with('0'));
            let Some(count) = count.filter(|_| !own.is_empty()) else {
                self.others = true;
                continue;
            };
            self.shared |= *self.sets.entry(count).or_insert_with(|| own.clone()) != own;
            self.of.insert((own.clone(), count));
        }
    }
}

/// Under OPENINGS a flat table may say how many each set has: no door has two sets, so that numbers which two sets share,
/// or which a total sums up, are no numbers of doors.
pub(crate) fn count_doors(sheet: &Sheet, tables: &mut [Table]) {
    let columns = |table: &Table| {
        let (doors, set) = (table.column(M::DoorsServed)?, table.column(M::Set)?);
        let is_of_sets = matches!(table.holds, Holds::Items | Holds::SetIndex) && !table.has(M::DoorNumber);
        is_of_sets.then(|| (doors.index, set.index, plain(&doors.heading)))
    };
    let mut said: BTreeMap<(usize, usize, String), DoorNumbers> = BTreeMap::new();
    for (at, table) in tables.iter().enumerate() {
        let Some(key) = columns(table) else { continue };
        let from = table.rows.1 + 1;
        let next = tables[at..].iter().map(|next| next.rows.0).find(|next| *next >= from).unwrap_or(sheet.rows.len());
        said.entry(key.clone()).or_default().take(&sheet.rows[from..next], key.0, key.1);
    }
    for table in tables {
        let numbers = columns(table).and_then(|key| said.get(&key));
        let Some(numbers) = numbers.filter(|numbers| !numbers.others) else { continue };
        let why = match (numbers.shared || numbers.summed, numbers.is_one_each()) {
            (true, _) => COUNTS_DOORS,
            (false, true) => MAY_COUNT_DOORS,
            (false, false) => continue,
        };
        for column in table.columns.iter_mut().filter(|column| column.meaning == M::DoorsServed) {
            column.why = why.into();
        }
    }
}
