//! Rows of tables that are not items: doors, matrices, types, legends, sets with their doors.

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::aside;
use super::headings::Meaning as M;
use crate::read::goods::{celllist, doorgoods};
use crate::read::grids::matrixcells;
use crate::read::openings::cardparts;
use crate::read::openings::doorlist::{self, Entry};
use crate::read::openings::doors::{self, Reader};
use crate::read::repairs::{dashed, zeros::NumberCell};
use crate::read::schedule::{Opening, Role};
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, CellKind, Row, Sheet, join};
use crate::read::walk::{Gathered, Last, Walker, add_set, note};
use crate::read::words::{self, plain};

impl Walker<'_> {
    pub(crate) fn door_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        if table.dwellings.row == Some(row.number) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let number = reader.text(M::DoorNumber);
        if let Some(role) = self.row_as_other(lane, row, &reader, out) {
            return role;
        }
        let known = || {
            let told = table.columns.iter().filter(|column| column.meaning != M::Other);
            told.filter(|column| row.cell(column.index).is_some()).count()
        };
        if self.is_keynote(lane, row) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        let first = &row.cells[..row.cells.len().min(2)];
        // No word for a total begins with a figure; most door numbers do.
        let figure = first[0].text.starts_with(|letter: char| letter.is_ascii_digit());
        // `LEVEL 1 TOTAL | 7`
        let sums = row.cells.len() <= 3
            && first.iter().any(|cell| words::list("total").find(&plain(&cell.text)).is_some())
            && row.cells.last().is_some_and(|cell| cell.text.trim().parse::<u32>().is_ok());
        if !figure && (sums || words::list("total").begins(&plain(&join(first))).is_some()) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        // `N/A | Spare | NOT USED`, `112 | OMITTED`
        let unused = |cell: &Cell| words::list("not-used").is(&plain(&cell.text));
        let none = words::list("no-set").is(&plain(number)) && !row.joined().contains(char::is_numeric);
        if none && row.cells.iter().any(unused) || row.cells.len() > 1 && row.cells.iter().skip(1).all(unused) {
            note(self.sheet, &join(&row.cells), row, out);
            return Role::Excluded;
        }
        if let Some(role) = self.goods_of_set(lane, number, row, out) {
            return role;
        }
        // `LEVEL 1` alone in its row is the heading of the rows below it; so is it beside a remark alone.
        let said = |cell: &Cell| {
            // `FLOOR 2 | NOT IN CONTRACT` is told as left out.
            let out = ["excluded", "not-used", "hardware-by"]
                .iter()
                .any(|list| words::list(list).find(&plain(&cell.text)).is_some());
            !out && table.at(cell.column).is_some_and(|column| column.meaning == M::Remarks)
        };
        let level = |word: &str| words::list("level-word").is(word);
        let group = plain(number).split_once(' ').is_some_and(|(word, _)| {
            let alone = row.cells.len() == 1;
            let worded = word.len() > 2 && word.bytes().all(|byte| byte.is_ascii_uppercase());
            alone && worded || level(word) && row.cells.len() == 2 && row.cells.get(1).is_some_and(said)
        });
        if self.is_numbered_note(number, row, out) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        if !number.is_empty()
            && !group
            && (doorlist::looks_like(number)
                || known() >= 3 && number.len() <= 24 && !plain(number).starts_with("NOTE")
                || doorgoods::is_named_door(&reader, number, out.schedule.openings.last()))
        {
            let opening = match self.ahead.door(self.sheet, &table, row) {
                Some((opening, mut findings)) => {
                    out.schedule.findings.append(&mut findings);
                    opening
                }
                None => doors::opening(&reader, number, &mut out.schedule.findings),
            };
            self.push_doors(lane, &reader, crate::read::counts::countwords::without_count(opening), out);
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Opening, row.number);
            return Role::Opening;
        }
        if number.is_empty() {
            let facts = [M::Set, M::Size, M::Width, M::LeafWidth]
                .iter()
                .filter(|meaning| reader.cell(**meaning).is_some())
                .count();
            if facts >= 2 || facts == 1 && known() >= 4 {
                let made = cardparts::by_row(row.number);
                let opening = doors::opening(&reader, &made, &mut out.schedule.findings);
                out.schedule.findings.push(unnumbered(self.sheet, row));
                out.schedule.openings.push(opening);
                (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Opening, row.number);
                return Role::Opening;
            }
            let lane = &mut self.lanes[lane];
            let follows = lane.last == Last::Opening && row.number == lane.last_row + 1;
            let more = reader.all(M::Remarks);
            if follows
                && row.cells.len() <= 3
                && !more.is_empty()
                && let Some(opening) = out.schedule.openings.last_mut()
            {
                opening.remarks = format!("{} {more}", opening.remarks).trim().to_string();
                lane.last_row = row.number;
                return Role::Continuation;
            }
        }
        note(self.sheet, &join(&row.cells), row, out)
    }

    /// `KEYNOTES` alone in its row under doors, and `1 | PROVIDE DUTCH DOOR SHELF` below it: notes by their numbers, no doors.
    pub(crate) fn is_keynote(&mut self, lane: usize, row: &Row) -> bool {
        let noting = &mut self.lanes[lane].noting;
        match &row.cells[..] {
            [one] => {
                let caption = aside::is_caption(&one.text);
                *noting |= caption;
                caption
            }
            [number, words] if *noting => {
                let number = number.text.trim().trim_end_matches(['.', ')', ':']);
                let short = number.len() <= 2 && number.bytes().all(|byte| byte.is_ascii_digit());
                (short || number.len() == 1) && words.text.trim().contains(' ')
            }
            several => {
                *noting &= several.len() <= 2;
                false
            }
        }
    }

    /// Whether a row under a set heading inside a door schedule is a door: a door number with a size, or two other facts
    /// that look like what their column holds.
    pub(crate) fn is_grouped_door(&self, lane: usize, row: &Row) -> bool {
        let Some(table) = self.lanes[lane].doors.as_ref().filter(|_| !crate::read::goods::itemtext::counts_goods(row))
        else {
            return false;
        };
        let fits = |meaning: M| {
            let cell = table.column(meaning).and_then(|column| row.cell(column.index));
            cell.is_some_and(|cell| super::columns::looks(meaning, &cell.text) == Some(true))
        };
        // `HINGES 4.5 X 4.5` is the size of goods.
        let of_goods = table
            .column(M::Size)
            .and_then(|column| row.cell(column.index))
            .is_some_and(|cell| crate::read::goods::doorgoods::names_goods(&cell.text));
        let sized = fits(M::Size) && !of_goods || fits(M::Width) && fits(M::Height);
        let others =
            [M::DoorMaterial, M::FrameMaterial, M::Rating, M::Hand, M::Set].into_iter().filter(|m| fits(*m)).count();
        fits(M::DoorNumber) && (sized || others >= 2)
    }

    /// A door under a set heading: it has that set unless its row names another.
    pub(crate) fn grouped_door(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let before = out.schedule.openings.len();
        let own = self.lanes[lane].table.take();
        self.lanes[lane].table = self.lanes[lane].doors.clone();
        let role = self.door_row(lane, row, out);
        self.lanes[lane].table = own;
        if let Some(set) = self.lanes[lane].set {
            let id = out.schedule.sets[set].id.clone();
            for opening in &mut out.schedule.openings[before..] {
                opening.set.get_or_insert_with(|| id.clone());
            }
        }
        role
    }

    /// Takes in a row's door, or its doors where the number names several: `U01.1&2`, `201A,B,C`, `105 THRU 109`.
    fn push_doors(&mut self, lane: usize, reader: &Reader<'_>, opening: Opening, out: &mut Gathered) {
        let cell = reader.cell(M::DoorNumber);
        out.buildings.extend(crate::read::openings::buildings::of_row(reader));
        let doors = cell.map(|cell| self.doors_in(lane, cell, reader.row.number, out)).unwrap_or_default();
        if doors.len() > 1 && (opening.count == 1 || opening.count as usize == doors.len()) {
            out.schedule.findings.push(doors_in_one_row(&doors, &opening));
            for number in doors {
                name_goods(reader, out);
                out.unnamed.keep(out.schedule.openings.len(), reader);
                out.second_sets.keep(out.schedule.openings.len(), reader);
                out.not_used.keep(out.schedule.openings.len(), reader);
                out.marked.door(reader);
                out.types.door(out.schedule.openings.len(), reader.text(M::DoorType));
                out.schedule.openings.push(Opening { number, count: 1, ..opening.clone() });
            }
            return;
        }
        name_goods(reader, out);
        let index = out.schedule.openings.len();
        out.unnamed.keep(index, reader);
        out.second_sets.keep(index, reader);
        out.not_used.keep(index, reader);
        out.marked.door(reader);
        out.row_counts.keep(index, opening.count, reader);
        out.types.door(index, reader.text(M::DoorType));
        if let Some(cell) = cell {
            let number = cell.kind == CellKind::Number;
            out.number_cells.push(NumberCell { opening: index, number, column: cell.column });
        }
        out.schedule.openings.push(opening);
    }

    /// The doors that a number cell names. `105-109` is one number where a third of the column is written so.
    pub(crate) fn doors_in(&mut self, lane: usize, cell: &Cell, number: u32, out: &mut Gathered) -> Vec<String> {
        if cell.text.bytes().all(|byte| byte.is_ascii_alphanumeric()) {
            return Vec::new();
        }
        let listed = crate::read::counts::countwords::counted_list(&cell.text);
        let Some(entries) = listed.and_then(doorlist::parse) else { return Vec::new() };
        if cell.kind != CellKind::Text || plain(&cell.text).contains(" OF ") {
            return Vec::new();
        }
        let range = matches!(entries[..], [Entry::Range(..)]);
        let words = cell.text.contains(['&', ',', ';', '\n', ' ']);
        // `100 - 1101` is one number too where many are written so: blanks around the dash tell nothing.
        if range && !cell.text.contains(['&', ',', ';', '\n']) {
            let heads = self.lanes[lane].table.as_ref().map_or(0, |table| table.rows.1);
            let known = self.lanes[lane].dashed.get(&(heads, cell.column)).copied();
            let most = known.unwrap_or_else(|| self.mostly_dashed(heads, cell, number, out));
            self.lanes[lane].dashed.insert((heads, cell.column), most);
            if most {
                return Vec::new();
            }
        }
        if range || words { doorlist::spell_out(&entries, &doorlist::Known::of_a_row()) } else { Vec::new() }
    }

    /// Whether so many cells of a column of numbers have a dash that these are numbers; judged once for a table.
    fn mostly_dashed(&self, heads: usize, cell: &Cell, number: u32, out: &mut Gathered) -> bool {
        let column: Vec<&Cell> =
            self.sheet.rows[heads..].iter().filter_map(|row| row.cell(cell.column)).take(500).collect();
        let texts = || column.iter().map(|cell| cell.text.as_str());
        // `SECOND FLOOR - WEST` heads rows.
        let mut dashed: Vec<&str> =
            texts().filter(|text| text.contains('-') && doorlist::parse(text).is_some()).collect();
        let most = dashed.len() * 3 > column.len();
        if most && dashed::are_ranges(texts()) {
            return false;
        }
        if most {
            // Beside each item of a door its number stands again.
            dashed.dedup();
            self.range_or_number(cell, number, &dashed, out);
        }
        most
    }

    /// Many numbers of a column, a third or more, are written as ranges. Where none begins before the one above it ends they may be ranges, and
    /// that is asked once; `100-101`, `100-102` are numbers.
    fn range_or_number(&self, cell: &Cell, number: u32, dashed: &[&str], out: &mut Gathered) {
        let ranges = dashed::may_be_ranges(dashed);
        let place = self.sheet.at(number, cell.column);
        let told = |finding: &Finding| {
            let of_column = |at: &Place| at.file == place.file && at.sheet == place.sheet && at.column == place.column;
            finding.code == "range-or-number" && finding.place.as_ref().is_some_and(of_column)
        };
        if ranges.is_empty() || out.schedule.findings.iter().any(told) {
            return;
        }
        let says = format!(
            "\"{}\" may be the number of one door or a range of doors; as many numbers of the column are written so, each was read as one door",
            cell.text
        );
        out.schedule.findings.push(
            Finding {
                openings: ranges.iter().map(|text| (*text).to_string()).collect(),
                priced_as: "one door for each row".into(),
                ..Finding::new("range-or-number", Kind::Question, Weight::Goods, says)
            }
            .at(place, cell.text.clone())
            .help("ask which is meant; give each door of a range a row of its own"),
        );
    }

    pub(crate) fn matrix_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let number = reader.text(M::DoorNumber);
        let marked = table.columns.iter().any(|column| column.meaning == M::Kind && row.cell(column.index).is_some());
        let sized =
            crate::read::sizes::size::parse_size(reader.text(M::Size)).is_some() || reader.cell(M::Width).is_some();
        // `102, 103` and `104 & 105` are the doors of one row here too.
        let cell = reader.cell(M::DoorNumber).filter(|_| !doorlist::looks_like(number));
        let several = cell.is_some_and(|cell| self.doors_in(lane, cell, row.number, out).len() > 1);
        if self.explains_unused(lane, &reader)
            || number.is_empty()
            || !doorlist::looks_like(number) && !several
            || !marked && !sized
            || out.matrix.uses(&row.cells[0].text)
                && !matrixcells::counts_doors(number, &reader, |code| out.matrix.uses(code))
                && reader.table.column(M::DoorNumber).is_some_and(|c| c.index == row.cells[0].column)
        {
            return self.key_row(row, out);
        }
        self.key_beside(&reader, out);
        let opening = doors::opening(&reader, number, &mut out.schedule.findings);
        let first = out.schedule.openings.len();
        self.push_doors(lane, &reader, opening, out);
        (first..out.schedule.openings.len()).for_each(|at| out.matrix.door(at, &reader));
        Role::Opening
    }

    /// A set a row, the kinds of its goods across.
    pub(crate) fn set_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let id = reader.cell(M::Set).and_then(|cell| setheading::id_of_cell(&cell.text)).filter(|id| id.len() <= 14);
        let marked = table.columns.iter().any(|column| column.meaning == M::Kind && row.cell(column.index).is_some());
        let Some(id) = id.filter(|_| marked && !self.explains_code(lane, &reader, out)) else {
            return self.key_row(row, out);
        };
        self.key_beside(&reader, out);
        let words = [M::SetTitle, M::Room, M::Remarks].map(|meaning| reader.all(meaning));
        let title = words.into_iter().find(|words| !words.is_empty()).unwrap_or_default();
        let not_used = setheading::not_used(&title);
        let heading = setheading::Heading { id, title, doors: Vec::new(), not_used };
        let place = self.sheet.place(row.number);
        let set = add_set(heading, place.clone(), out);
        if let Some(entries) = reader.cell(M::DoorsServed).and_then(|cell| doorlist::parse(&cell.text)) {
            out.served.push((set, entries, place));
        }
        out.matrix.set_of(set, &reader);
        Role::Line
    }

    /// A row under a matrix that explains a code: `H1  ball bearing hinge 4-1/2 x 4-1/2`.
    pub(crate) fn key_row(&mut self, row: &Row, out: &mut Gathered) -> Role {
        // `STOP | S1 | Wall stop`: the kind of goods stands before the first of its codes.
        if let [label, code, rest @ ..] = &row.cells[..]
            && !rest.is_empty()
            && !out.matrix.uses(&label.text)
            && out.matrix.uses(&code.text)
        {
            out.matrix.key(&code.text, &join(rest));
        } else if let [code, rest @ ..] = &row.cells[..]
            && code.text.len() <= 8
            && !rest.is_empty()
        {
            out.matrix.key(&code.text, &join(rest));
        } else if let Some((code, rest)) = row.cells.first().and_then(|cell| {
            let parted = cell.text.split_once(['=', ':']).or_else(|| cell.text.split_once(" - "));
            parted.or_else(|| cell.text.split_once(" \u{2013} "))
        }) && code.trim().len() <= 8
        {
            out.matrix.key(code, rest);
        }
        note(self.sheet, &join(&row.cells), row, out)
    }

    pub(crate) fn legend_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let code = reader.text(M::Code);
        let others: Vec<Cell> = row
            .cells
            .iter()
            .filter(|cell| Some(cell.column) != table.column(M::Code).map(|column| column.index))
            .cloned()
            .collect();
        out.item_keys.entry(code, &reader);
        out.matrix.key(code, &join(&others));
        note(self.sheet, &join(&row.cells), row, out)
    }

    pub(crate) fn index_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let said = reader.text(M::DoorsServed);
        let (Some(id), Some(entries)) = (setheading::id_of_cell(reader.text(M::Set)), doorlist::parse(said)) else {
            return note(self.sheet, &join(&row.cells), row, out);
        };
        let place = self.sheet.place(row.number);
        let titles = [reader.text(M::Description), reader.text(M::SetTitle)];
        let index = match out.schedule.sets.iter().position(|set| set.id == id) {
            Some(index) => index,
            None => add_set(
                setheading::Heading {
                    id,
                    title: titles.into_iter().filter(|title| !title.is_empty()).collect::<Vec<_>>().join(", "),
                    doors: Vec::new(),
                    not_used: None,
                },
                place.clone(),
                out,
            ),
        };
        let column = table.column(M::DoorsServed);
        if !column.is_some_and(|column| out.assigned.column(index, column, said, &place)) {
            out.served.push((index, entries, place));
        }
        Role::SetOpenings
    }
}

/// One row names several doors.
pub(crate) fn doors_in_one_row(doors: &[String], row: &Opening) -> Finding {
    let says = format!("the row names {} doors, \"{}\"; each was read as a door of its own", doors.len(), row.number);
    let finding =
        Finding { openings: doors.to_vec(), ..Finding::new("doors-in-one-row", Kind::Assumption, Weight::Goods, says) };
    finding.at(row.place.clone(), row.number.clone()).help("check that they are several doors and not one number")
}

/// Keeps the set cell of the door that comes next where it names goods, and a list of goods beside it.
fn name_goods(reader: &Reader<'_>, out: &mut Gathered) {
    // A description of the door itself (`WOOD DOOR`) lists nothing.
    let lists = |text: &str| celllist::items(text).is_some() || doorgoods::names_goods(text);
    if let Some(cell) = reader.cell(M::Description).filter(|cell| reader.table.has(M::Set) && lists(&cell.text)) {
        out.lists_beside.push(doorgoods::Named {
            opening: out.schedule.openings.len(),
            place: reader.sheet.place(reader.row.number),
            column: cell.column,
            text: cell.text.clone(),
        });
    }
    if reader.table.has(M::Set)
        && reader.table.has(M::Description)
        && reader.cell(M::Set).is_none()
        && reader.cell(M::Description).is_none()
    {
        out.blank_beside.push(out.schedule.openings.len());
    }
    if let Some(cell) = reader.cell(M::Set).filter(|cell| doorgoods::names_goods(&cell.text)) {
        out.goods.push(doorgoods::Named {
            opening: out.schedule.openings.len(),
            place: reader.sheet.place(reader.row.number),
            column: cell.column,
            text: cell.text.clone(),
        });
    }
}

/// Asks for the number of a door whose row or card has none; the door is called by its row.
pub(crate) fn unnumbered(sheet: &Sheet, row: &Row) -> Finding {
    let says = "a row of the door schedule has no door number";
    let finding = Finding {
        openings: vec![cardparts::by_row(row.number)],
        ..Finding::new("door-without-number", Kind::Question, Weight::Reading, says)
    };
    finding.at(sheet.place(row.number), row.joined()).help("give the door number; the row was read as one opening")
}
