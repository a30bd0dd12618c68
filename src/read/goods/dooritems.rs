//! Tables with an item in every row and its door beside it, `1001 | 3-0 | HW-1 | 3 | EA | HINGE`, as programs for drawings
//! export them: each door stands once for each of its items. Doors that have the same goods share one set.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::{celllist, itemcells};
use crate::read::memo::ByText;
use crate::read::openings::doorcells;
use crate::read::openings::doorlist::{self, Entry};
use crate::read::openings::doors::{self, Reader};
use crate::read::schedule::{HardwareSet, Line, Opening, Role, loose_id};
use crate::read::sheet::{Cell, Row, join};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Column, Table};
use crate::read::tables::tablerows::doors_in_one_row;
use crate::read::walk::{Gathered, Last, Walker, note};
use crate::read::words::{self, plain};

/// The goods of one door, or of the doors that one cell names.
struct Goods {
    /// Indices of the doors.
    openings: Vec<usize>,
    lines: Vec<Line>,
}

/// The doors of such tables, in the order read.
#[derive(Default)]
pub(crate) struct DoorItems {
    doors: Vec<Goods>,
    /// By sheet and number.
    known: ByText<usize>,
}

/// Whether most cells of the door numbers say what the one above them says, beside items with quantities; or the numbers and
/// sizes of doors stand in the first row of each alone.
pub(crate) fn are(columns: &[Column], sample: &BTreeMap<usize, Vec<&Cell>>) -> bool {
    let column = |meaning: M| columns.iter().find(|column| column.meaning == meaning);
    let cells = |meaning: M| column(meaning).and_then(|column| sample.get(&column.index));
    let item = column(M::Description).is_some() || column(M::CatalogNumber).is_some();
    let (Some(numbers), Some(counts)) = (cells(M::DoorNumber), cells(M::Quantity)) else { return false };
    let again = numbers.windows(2).filter(|pair| pair[0].text == pair[1].text).count();
    let repeated = numbers.len() >= 4 && again * 3 >= numbers.len() && numbers.len() * 10 >= counts.len() * 9;
    let sized = [M::Size, M::Width].iter().any(|meaning| cells(*meaning).is_some_and(|cells| !cells.is_empty()));
    item && (repeated || sized && !numbers.is_empty() && numbers.len() * 10 < counts.len() * 6)
}

/// `B101, B102`, `B110-B115` in the rows of a set's items: the doors that the set serves, whatever the column is called.
pub(crate) fn serve_sets(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let has = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
    let item = has(M::Description) || has(M::CatalogNumber);
    let of_doors = [M::Size, M::Width, M::DoorsServed].iter().any(|meaning| has(*meaning));
    // `SET | DOOR NUMBERS | ITEMS`: a cell that lists all goods of a set stands once beside the doors that have it.
    let goods =
        columns.iter().find(|column| column.meaning == M::Description).and_then(|column| sample.get(&column.index));
    let listed = |cell: &&&Cell| celllist::items(&cell.text).is_some();
    let lists_goods =
        goods.is_some_and(|cells| !cells.is_empty() && cells.iter().filter(listed).count() * 2 > cells.len());
    if !item || !has(M::Set) || !(has(M::Quantity) || lists_goods) || of_doors {
        return;
    }
    let lists = |cell: &&Cell| {
        let several = |entries: Vec<Entry>| entries.len() > 1 || matches!(entries[..], [Entry::Range(..)]);
        doorcells::of(&cell.text).is_some_and(|doors| several(doors.entries))
    };
    let sets = columns.iter().find(|column| column.meaning == M::Set).and_then(|column| sample.get(&column.index));
    // One door each, in the first row of each set alone.
    let rows = goods.map_or(0, Vec::len);
    let first_rows = |cells: &Vec<&Cell>| {
        sets.is_some_and(|sets| sets.len() == cells.len()) && rows > 2 && cells.len() * 10 <= rows * 7
    };
    let numbers = columns.iter_mut().find(|column| {
        let cells = sample.get(&column.index);
        column.meaning == M::DoorNumber
            && cells.is_some_and(|cells| {
                let serves = cells.iter().any(lists) || lists_goods || first_rows(cells);
                serves && !change_within(cells, sets) && !overlap(cells)
            })
    });
    if let Some(column) = numbers {
        column.meaning = M::DoorsServed;
        column.why.push_str("; lists of doors beside the items of sets: the doors that each set serves");
    }
}

/// Whether the doors beside a set are others in some of its rows: then each row is of its own doors, and the goods of the set
/// stand once for each.
fn change_within(doors: &[&Cell], sets: Option<&Vec<&Cell>>) -> bool {
    let Some(sets) = sets.filter(|sets| sets.len() == doors.len()) else { return false };
    let mut known: BTreeMap<String, &str> = BTreeMap::new();
    let mut beside = doors.iter().zip(sets);
    beside.any(|(door, set)| *known.entry(loose_id(&set.text)).or_insert(&door.text) != door.text)
}

/// `100-101`, `100-102`: numbers of one door each, where nothing else is a list.
fn overlap(doors: &[&Cell]) -> bool {
    let texts: BTreeSet<&str> = doors.iter().map(|cell| cell.text.as_str()).collect();
    let parsed: Vec<Vec<Entry>> = texts.into_iter().filter_map(doorlist::parse).collect();
    let listed = parsed.iter().any(|entries| entries.len() > 1);
    !listed && doorlist::share_ends(parsed.iter().flatten())
}

/// Whether a column tells of the item and not of the door.
fn of_item(meaning: M) -> bool {
    matches!(meaning, M::Quantity | M::Unit | M::Description | M::CatalogNumber | M::Finish | M::Maker | M::Remarks)
}

/// Whether what stands under SIZE is the size of the goods: `8 x 34` beside a kick plate.
fn is_of_goods(text: &str) -> bool {
    text.bytes().any(|byte| byte.is_ascii_digit()) && !itemcells::is_of_door(text)
}

impl Walker<'_> {
    pub(crate) fn door_item_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let number = reader.text(M::DoorNumber);
        let first = &row.cells[..row.cells.len().min(2)];
        let goods = [M::Description, M::CatalogNumber].iter().any(|meaning| reader.cell(*meaning).is_some());
        let follows = self.lanes[lane].last == Last::Line && row.number == self.lanes[lane].last_row + 1;
        let goes_on = follows || number.is_empty() && goods && self.after_break(&reader, out);
        if words::list("total").begins(&plain(&join(first))).is_some() || number.is_empty() && !(goes_on && goods) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        let meaning = |column: usize| table.columns.iter().find(|of| of.index == column).map(|of| of.meaning);
        let cells = row.cells.iter().filter(|cell| match meaning(cell.column) {
            Some(M::Size) => is_of_goods(&cell.text),
            meaning => meaning.is_some_and(of_item),
        });
        let own = Row { number: row.number, cells: cells.cloned().collect(), hidden: row.hidden };
        let door = if number.is_empty() {
            out.by_door.doors.len().checked_sub(1)
        } else {
            self.door_of(lane, &table, row, number, out)
        };
        let Some(door) = door else { return note(self.sheet, &join(&row.cells), row, out) };
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Line, row.number);
        if !goods {
            return Role::Opening;
        }
        let wording = self.wording(lane, &own);
        self.tell_dates(&own, &wording, out);
        let lines = &mut out.by_door.doors[door].lines;
        if number.is_empty()
            && reader.cell(M::Quantity).is_none()
            && let Some(line) = lines.last_mut()
        {
            for part in &wording.parts {
                line.wording.push(part.role, &wording.text[part.span.clone()], part.column.clone());
            }
            return Role::Continuation;
        }
        let place = self.sheet.place(row.number);
        lines.push(Line::new(place, wording));
        Role::Line
    }

    /// Whether a counted item without a door stands behind a gap or a page's heading: it goes on with the last door of the
    /// sheet, and that is said.
    fn after_break(&self, reader: &Reader<'_>, out: &mut Gathered) -> bool {
        let Some(last) = out.by_door.doors.last() else { return false };
        let Some(door) = last.openings.first().and_then(|door| out.schedule.openings.get(*door)) else { return false };
        let same = door.place.file == self.sheet.file && door.place.sheet == self.sheet.name;
        if !same || reader.cell(M::Quantity).is_none() {
            return false;
        }
        let number = door.number.clone();
        let says = format!("an item stands behind a break and names no door; it was taken for door {number} above it");
        let finding = Finding {
            openings: vec![number],
            ..Finding::new("item-after-break", Kind::Assumption, Weight::Goods, says)
        };
        let finding = finding.at(self.sheet.place(reader.row.number), join(&reader.row.cells));
        out.schedule
            .findings
            .push(finding.help("check that the item is of that door; write the number beside it if not"));
        true
    }

    /// The door of a row: the one that rows before it named, or a new one.
    fn door_of(&mut self, lane: usize, table: &Table, row: &Row, number: &str, out: &mut Gathered) -> Option<usize> {
        let key = format!("{}\n{}\n{}", self.sheet.file, self.sheet.name, plain(number));
        if let Some(known) = out.by_door.known.get(&key) {
            return Some(*known);
        }
        if crate::read::openings::doorlist::looks_like(number) || number.len() <= 24 {
            // What the remarks say is said of the item.
            let of_goods = |column: &Column| {
                let sized =
                    column.meaning == M::Size && row.cell(column.index).is_some_and(|cell| is_of_goods(&cell.text));
                of_item(column.meaning) || sized
            };
            let columns = table.columns.iter().filter(|column| !of_goods(column)).cloned().collect();
            let of_doors = Table { columns, ..table.clone() };
            let reader = Reader { sheet: self.sheet, row, table: &of_doors };
            let opening = doors::opening(&reader, number, &mut out.schedule.findings);
            out.set_column |= table.has(M::Set);
            out.by_door.known.insert(key, out.by_door.doors.len());
            let first = out.schedule.openings.len();
            // `103, 104` are two doors that have the same goods.
            let several = reader.cell(M::DoorNumber).map(|cell| self.doors_in(lane, cell, row.number, out));
            match several.filter(|doors| doors.len() > 1) {
                Some(doors) => {
                    out.schedule.findings.push(doors_in_one_row(&doors, &opening));
                    let doors = doors.into_iter().map(|number| Opening { number, count: 1, ..opening.clone() });
                    out.schedule.openings.extend(doors);
                }
                None => out.schedule.openings.push(opening),
            }
            let openings = (first..out.schedule.openings.len()).collect();
            out.by_door.doors.push(Goods { openings, lines: Vec::new() });
            return out.by_door.doors.len().checked_sub(1);
        }
        None
    }
}

/// What the lines of a door say.
type Said = Vec<String>;

/// Gives the doors their sets.
pub(crate) fn settle(out: &mut Gathered) {
    let doors = std::mem::take(&mut out.by_door).doors;
    let mut known: BTreeMap<(Option<String>, Said), String> = BTreeMap::new();
    let mut first: BTreeMap<String, String> = BTreeMap::new();
    let mut again: BTreeSet<Place> = BTreeSet::new();
    for Goods { openings, lines } in doors {
        let Some(&opening) = openings.first() else { continue };
        let (number, set, place) = {
            let door = &out.schedule.openings[opening];
            (door.number.clone(), door.set.clone(), door.place.clone())
        };
        if lines.is_empty() {
            continue;
        }
        let said: Said = lines.iter().map(|line| plain(&line.wording.text)).collect();
        let key = (set.as_deref().map(loose_id), said);
        if let Some(id) = known.get(&key) {
            again.extend(lines.into_iter().map(|line| line.place));
            openings.iter().for_each(|door| out.schedule.openings[*door].set = Some(id.clone()));
            continue;
        }
        let before = key.0.as_ref().and_then(|id| first.get(id)).cloned();
        let id = match (&set, &before) {
            (Some(set), None) => set.clone(),
            (Some(set), Some(_)) => format!("{set} ({number})"),
            (None, _) => number.clone(),
        };
        if let (Some(set), Some(other)) = (&set, before) {
            let says = format!(
                "door {number} has other goods than door {other}, and both are given set {set}; each has what its rows say"
            );
            out.schedule.findings.push(
                Finding {
                    openings: vec![number.clone()],
                    set: Some(id.clone()),
                    priced_as: "what the rows of the door say".into(),
                    ..Finding::new("set-differs-by-door", Kind::Question, Weight::Goods, says)
                }
                .at(place.clone(), set.clone())
                .help("ask which goods the set has"),
            );
        }
        if let Some(set) = &key.0 {
            first.entry(set.clone()).or_insert_with(|| number.clone());
        }
        openings.iter().for_each(|door| out.schedule.openings[*door].set = Some(id.clone()));
        out.schedule.sets.push(HardwareSet {
            id: id.clone(),
            title: if Some(&id) == set.as_ref() { String::new() } else { format!("as door {number}") },
            openings: Vec::new(),
            lines,
            notes: Vec::new(),
            not_used: None,
            place,
        });
        known.insert(key, id);
    }
    if again.is_empty() {
        return;
    }
    let doors: BTreeSet<&Place> = out.schedule.openings.iter().map(|door| &door.place).collect();
    for row in out.schedule.ledger.iter_mut().filter(|row| again.contains(&row.place)) {
        row.role = if doors.contains(&row.place) { Role::Opening } else { Role::Repeat };
    }
}
