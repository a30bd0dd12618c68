//! Goes through the rows of a sheet once and gives each exactly one role: the ledger is complete because every row
//! passes through `row_role`, whose result is written down before the next row is looked at.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;
use crate::terms::ReadTerms;

use super::damage;
use super::doorlist::{self, Entry};
use super::doors::{self, Reader};
use super::headings::{self, Meaning as M};
use super::matrix::Matrix;
use super::schedule::{Basis, HardwareSet, LayoutNote, LedgerRow, Line, Note, PartRole, Role, Schedule, Wording};
use super::setheading;
use super::sheet::{Cell, CellKind, Row, Sheet, join};
use super::table::{self, Holds, Table};
use super::words::{self, plain};

/// What is gathered over all sheets and files.
#[derive(Default)]
pub(crate) struct Gathered {
    /// The schedule so far.
    pub schedule: Schedule,
    /// Doors named under headings: set index, entries, where.
    pub served: Vec<(usize, Vec<Entry>, crate::place::Place)>,
    /// Matrices, turned into sets at the end.
    pub matrix: Matrix,
    /// Why tables were passed over.
    pub passed: Vec<String>,
    /// Whether a door schedule had a set column.
    pub set_column: bool,
}

/// What the last row of a lane was, for rows that go on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Last {
    Nothing,
    Opening,
    Line,
    Doors,
}

/// One table being read, or the free text of a sheet.
struct Lane {
    table: Option<Table>,
    range: (usize, usize),
    set: Option<usize>,
    basis: Option<Basis>,
    section: Option<Arc<str>>,
    pair_named: bool,
    last: Last,
    last_row: u32,
}

impl Lane {
    fn free() -> Self {
        Self {
            table: None,
            range: (0, usize::MAX),
            set: None,
            basis: None,
            section: None,
            pair_named: false,
            last: Last::Nothing,
            last_row: 0,
        }
    }

    fn open_set(&mut self, set: usize) {
        self.set = Some(set);
        self.basis = None;
        self.section = None;
        self.pair_named = false;
        self.last = Last::Nothing;
    }
}

/// Reads one sheet.
pub(crate) fn sheet(sheet: &Sheet, terms: Option<&ReadTerms>, out: &mut Gathered) {
    let tables = if terms.and_then(|terms| terms.holds.as_deref()) == Some("ignore") {
        Vec::new()
    } else {
        table::find(sheet, terms)
    };
    let ignored = terms.and_then(|terms| terms.holds.as_deref()) == Some("ignore");
    for table in &tables {
        explain(sheet, table, out);
    }
    let mut walker = Walker {
        sheet,
        lanes: vec![Lane::free()],
        next: 0,
        tables,
        seen: Vec::new(),
        after_table: false,
        passing: ignored,
        foreign: false,
    };
    walker.free_columns();
    if let Some(found) = setheading::heading(&sheet.name) {
        walker.sheet_set(found, out);
    }
    for index in 0..sheet.rows.len() {
        let role = walker.row_role(index, out);
        let row = &sheet.rows[index];
        let text: String = row.joined().chars().take(120).collect();
        out.schedule.ledger.push(LedgerRow { place: sheet.place(row.number), role, text });
    }
}

fn explain(sheet: &Sheet, table: &Table, out: &mut Gathered) {
    let row = sheet.rows[table.rows.1].number;
    let what =
        if table.holds == Holds::Passed { "passed over".to_string() } else { format!("table: {}", table.holds.name()) };
    out.schedule.layout.push(LayoutNote { place: sheet.place(row), what, why: table.why.clone() });
    if table.holds == Holds::Passed {
        out.passed.push(format!("{}: {}", sheet.place(row), table.why));
        return;
    }
    out.set_column |= table.holds == Holds::Doors && table.has(M::Set);
    for column in &table.columns {
        let what = match column.meaning {
            M::Other => "column passed over".to_string(),
            meaning => format!("column: {}", meaning.name()),
        };
        let why = if column.heading.is_empty() {
            column.why.clone()
        } else {
            format!("\"{}\": {}", column.heading.replace('\n', " "), column.why)
        };
        out.schedule.layout.push(LayoutNote { place: sheet.at(row, column.index), what, why });
    }
}

struct Walker<'a> {
    sheet: &'a Sheet,
    tables: Vec<Table>,
    next: usize,
    lanes: Vec<Lane>,
    /// Joined texts of heading and title rows, to know repeats.
    seen: Vec<String>,
    after_table: bool,
    passing: bool,
    foreign: bool,
}

impl Walker<'_> {
    fn sheet_set(&mut self, found: setheading::Heading, out: &mut Gathered) {
        let rows = self.sheet.rows.first().map_or(1, |row| row.number);
        let has_heading = self.sheet.rows.iter().any(|row| setheading::heading(&row.joined()).is_some());
        let in_column = self.tables.iter().any(|table| table.has(M::Set) || table.holds != Holds::Items);
        if has_heading || in_column || self.tables.is_empty() {
            return;
        }
        let index = add_set(found, self.sheet.place(rows), out);
        for lane in &mut self.lanes {
            lane.open_set(index);
        }
    }

    /// A sheet that speaks of bathroom accessories and the like, and names no set, is passed over.
    fn free_columns(&mut self) {
        let mut hardware = 0;
        let mut foreign = 0;
        let mut sets = 0;
        for row in self.sheet.rows.iter().take(400) {
            let text = plain(&row.joined());
            hardware += usize::from(words::list("hardware").find(&text).is_some());
            foreign += usize::from(
                words::list("foreign").find(&text).is_some() || words::list("accessories").find(&text).is_some(),
            );
            sets += usize::from(setheading::heading(&row.joined()).is_some());
        }
        let doors = self.tables.iter().any(|table| matches!(table.holds, Holds::Doors | Holds::Matrix | Holds::Types));
        self.foreign = !doors && sets == 0 && foreign >= 3 && foreign >= hardware;
        if self.foreign {
            self.passing = true;
        }
    }

    /// The one role of a row.
    fn row_role(&mut self, index: usize, out: &mut Gathered) -> Role {
        let sheet = self.sheet;
        let row = &sheet.rows[index];
        self.tell_damage(row, out);
        if self.passing {
            return if index == 0 { Role::Title } else { Role::Note };
        }
        if let Some(role) = self.heading_row(index) {
            return role;
        }
        let text = row.joined();
        let folded = plain(&text);
        if words::list("end").is(folded.trim_matches(['*', '-', ' ', '.'])) {
            self.lanes.iter_mut().for_each(|lane| lane.set = None);
            return Role::Note;
        }
        if row.cells.iter().all(|cell| cell.struck) {
            return self.struck_row(row, out);
        }
        if row.cells.len() <= 4
            && (self.seen.contains(&folded) || is_page(&folded))
            && setheading::heading(&text).is_none()
        {
            return Role::Repeat;
        }
        let mut best: Option<Role> = None;
        for lane in 0..self.lanes.len() {
            let range = self.lanes[lane].range;
            let cells: Vec<Cell> = row
                .cells
                .iter()
                .filter(|cell| (range.0..=range.1).contains(&cell.column) && !cell.struck)
                .cloned()
                .collect();
            if cells.is_empty() {
                continue;
            }
            let part = Row { number: row.number, cells, hidden: row.hidden };
            let role = self.lane_role(lane, &part, out);
            best = Some(best.map_or(role, |before| stronger(before, role)));
        }
        let role = best.unwrap_or(Role::Note);
        if role == Role::Title && row.cells.len() <= 4 {
            self.seen.push(folded);
        }
        role
    }

    fn heading_row(&mut self, index: usize) -> Option<Role> {
        let table = self.tables.get(self.next)?;
        if index < table.rows.0 || index > table.rows.1 {
            return None;
        }
        let rows = table.rows;
        let key = |at: usize| {
            self.sheet.rows[at].cells.iter().map(|cell| headings::key(&cell.text)).collect::<Vec<_>>().join("|")
        };
        let text = key(index);
        let repeat = self.seen.contains(&text);
        if !repeat {
            self.seen.push(text);
        }
        if index == rows.1 {
            let mut fresh: Vec<Table> = Vec::new();
            while self.tables.get(self.next).is_some_and(|table| table.rows == rows) {
                fresh.push(self.tables[self.next].clone());
                self.next += 1;
            }
            let same = self.lanes.len() == fresh.len();
            let before: Vec<Lane> = std::mem::take(&mut self.lanes);
            let current = before.iter().find_map(|lane| lane.set);
            let kept: Vec<Option<Lane>> =
                if same { before.into_iter().map(Some).collect() } else { fresh.iter().map(|_| None).collect() };
            for (table, old) in fresh.into_iter().zip(kept) {
                let mut lane = old.unwrap_or_else(Lane::free);
                lane.set = lane.set.or(current);
                lane.range = table.lane;
                lane.last = Last::Nothing;
                lane.table = Some(table);
                self.lanes.push(lane);
            }
            self.after_table = true;
        }
        Some(if repeat { Role::Repeat } else { Role::Header })
    }

    fn struck_row(&mut self, row: &Row, out: &mut Gathered) -> Role {
        let holds = self.lanes.first().and_then(|lane| lane.table.as_ref()).map(|table| table.holds);
        if let (Some(set), true) = (self.lanes.first().and_then(|lane| lane.set), holds != Some(Holds::Doors)) {
            let wording = self.wording(0, row);
            let line = Line {
                place: self.sheet.place(row.number),
                wording,
                basis: None,
                section: None,
                excluded: Some("struck through".into()),
            };
            out.schedule.sets[set].lines.push(line);
        }
        Role::Excluded
    }

    /// Findings that any row may have, whatever it is used as.
    fn tell_damage(&self, row: &Row, out: &mut Gathered) {
        for cell in &row.cells {
            let finding = if cell.struck {
                Finding::new(
                    "struck-through",
                    Kind::Assumption,
                    Weight::Reading,
                    format!("\"{}\" is struck through and was treated as deleted", cell.text),
                )
                .help("check the drawing's revision; take the strike-through away if the words count")
            } else if !cell.struck_words.is_empty() {
                Finding::new(
                    "struck-through",
                    Kind::Assumption,
                    Weight::Reading,
                    format!("\"{}\" is struck through inside the cell and was left out", cell.struck_words.trim()),
                )
                .help("check the drawing's revision; take the strike-through away if the words count")
            } else if cell.kind == CellKind::Error {
                Finding::new(
                    "error-cell",
                    Kind::Question,
                    Weight::Reading,
                    format!("the cell holds the error {}", cell.text),
                )
                .help("open the schedule where its links work and save it again")
            } else if cell.kind == CellKind::Formula {
                Finding::new(
                    "formula-without-value",
                    Kind::Question,
                    Weight::Reading,
                    format!("the formula {} has no result in the file", cell.text),
                )
                .help("open the file in the spreadsheet program and save it again, so that results are stored")
            } else {
                continue;
            };
            out.schedule.findings.push(finding.at(self.sheet.at(row.number, cell.column), cell.text.clone()));
        }
    }

    fn lane_role(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let text = join(&row.cells);
        let holds = self.lanes[lane].table.as_ref().map(|table| table.holds);
        let in_set_column =
            holds == Some(Holds::Items) && self.lanes[lane].table.as_ref().is_some_and(|table| table.has(M::Set));
        if row.cells.len() <= 4
            && let Some(found) =
                setheading::heading(&join_single(&row.cells)).filter(|found| is_plausible(found, row, in_set_column))
        {
            return self.set_heading(lane, found, row, out);
        }
        match holds {
            Some(Holds::Doors) if self.lanes[lane].set.is_none() => self.door_row(lane, row, out),
            Some(Holds::Matrix) => self.matrix_row(lane, row, out),
            Some(Holds::Types) => self.type_row(lane, row, out),
            Some(Holds::SetIndex) => self.index_row(lane, row, out),
            Some(Holds::Legend) => self.legend_row(lane, row, out),
            Some(Holds::Passed) if self.lanes[lane].set.is_none() => note(self.sheet, &text, row, out),
            _ => self.item_row(lane, row, out),
        }
    }

    fn set_heading(&mut self, lane: usize, found: setheading::Heading, row: &Row, out: &mut Gathered) -> Role {
        let place = self.sheet.place(row.number);
        let doors = found.doors.clone();
        let again = out
            .schedule
            .sets
            .iter()
            .position(|set| set.id == found.id && set.place.file == place.file && set.place.sheet == place.sheet);
        // `HARDWARE SET 4 (CONT'D)` on the next page goes on with the set.
        let goes_on = again.filter(|_| plain(&found.title).contains("CONT"));
        let index = goes_on.unwrap_or_else(|| add_set(found, place.clone(), out));
        let old = self.lanes[lane].table.take().filter(|table| table.holds == Holds::Items && !table.has(M::Set));
        if old.is_none() {
            self.lanes[lane].range = (0, usize::MAX);
        }
        self.lanes[lane].table = old;
        self.lanes[lane].open_set(index);
        if !doors.is_empty() {
            out.served.push((index, doors, place));
        }
        self.lanes[lane].last = Last::Doors;
        self.lanes[lane].last_row = row.number;
        if goes_on.is_some() { Role::Repeat } else { Role::Set }
    }

    fn door_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let number = reader.text(M::DoorNumber);
        let folded = plain(&number);
        let text = join(&row.cells);
        let known = table
            .columns
            .iter()
            .filter(|column| column.meaning != M::Other && row.cell(column.index).is_some())
            .count();
        if words::list("total").begins(&plain(&text)).is_some() {
            return note(self.sheet, &text, row, out);
        }
        if !number.is_empty()
            && (doorlist::looks_like(&number) || known >= 3 && number.len() <= 24 && !folded.starts_with("NOTE"))
        {
            let opening = doors::opening(&reader, &number, &mut out.schedule.findings);
            out.schedule.openings.push(opening);
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Opening, row.number);
            return Role::Opening;
        }
        if number.is_empty() {
            let facts = [M::Set, M::Size, M::Width, M::LeafWidth]
                .iter()
                .filter(|meaning| reader.cell(**meaning).is_some())
                .count();
            if facts >= 2 || facts == 1 && known >= 4 {
                let made = format!("row {}", row.number);
                let opening = doors::opening(&reader, &made, &mut out.schedule.findings);
                out.schedule.findings.push(
                    Finding {
                        openings: vec![made],
                        ..Finding::new(
                            "door-without-number",
                            Kind::Question,
                            Weight::Reading,
                            "a row of the door schedule has no door number",
                        )
                    }
                    .at(self.sheet.place(row.number), text)
                    .help("give the door number; the row was read as one opening"),
                );
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
        note(self.sheet, &text, row, out)
    }

    fn matrix_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let number = reader.text(M::DoorNumber);
        let marked = table.columns.iter().any(|column| column.meaning == M::Kind && row.cell(column.index).is_some());
        let sized = super::size::parse_size(&reader.text(M::Size)).is_some() || reader.cell(M::Width).is_some();
        if number.is_empty() || !doorlist::looks_like(&number) || !marked && !sized {
            return self.key_row(row, out);
        }
        let opening = doors::opening(&reader, &number, &mut out.schedule.findings);
        out.schedule.openings.push(opening);
        out.matrix.door(out.schedule.openings.len() - 1, &reader);
        Role::Opening
    }

    /// A row under a matrix that explains a code: `H1  ball bearing hinge 4-1/2 x 4-1/2`.
    fn key_row(&mut self, row: &Row, out: &mut Gathered) -> Role {
        if let [code, rest @ ..] = &row.cells[..]
            && code.text.len() <= 8
            && !rest.is_empty()
        {
            out.matrix.key(&code.text, &join(rest));
        } else if let Some((code, rest)) = row.cells.first().and_then(|cell| cell.text.split_once(['=', ':']))
            && code.trim().len() <= 8
        {
            out.matrix.key(code, rest);
        }
        note(self.sheet, &join(&row.cells), row, out)
    }

    fn legend_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let code = reader.text(M::Code);
        let others: Vec<Cell> = row
            .cells
            .iter()
            .filter(|cell| Some(cell.column) != table.column(M::Code).map(|column| column.index))
            .cloned()
            .collect();
        out.matrix.key(&code, &join(&others));
        note(self.sheet, &join(&row.cells), row, out)
    }

    fn type_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let kind = reader.text(M::DoorType);
        let room = reader.all(M::Room);
        let name = if kind.is_empty() { room.clone() } else { kind };
        let facts = [M::Set, M::Size, M::Width, M::Height, M::DoorMaterial]
            .iter()
            .filter(|meaning| reader.cell(**meaning).is_some())
            .count();
        if name.is_empty() || facts == 0 {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        let opening = doors::opening(&reader, &name, &mut out.schedule.findings);
        out.schedule.openings.push(opening);
        Role::Opening
    }

    fn index_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let Some(table) = self.lanes[lane].table.clone() else { return Role::Unread };
        let reader = Reader { sheet: self.sheet, row, table: &table };
        let (Some(id), Some(entries)) =
            (setheading::id_of_cell(&reader.text(M::Set)), doorlist::parse(&reader.text(M::DoorsServed)))
        else {
            return note(self.sheet, &join(&row.cells), row, out);
        };
        let place = self.sheet.place(row.number);
        let index = match out.schedule.sets.iter().position(|set| set.id == id) {
            Some(index) => index,
            None => add_set(
                setheading::Heading { id, title: reader.text(M::Description), doors: Vec::new(), not_used: None },
                place.clone(),
                out,
            ),
        };
        out.served.push((index, entries, place));
        Role::SetOpenings
    }

    fn item_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        if let Some(set) = self.set_by_column(lane, row, out)
            && self.lanes[lane].set != Some(set)
        {
            self.lanes[lane].open_set(set);
        }
        let text = join(&row.cells);
        let single = join_single(&row.cells);
        let folded = plain(&single);
        let place = self.sheet.place(row.number);
        let Some(set) = self.lanes[lane].set else { return self.outside(lane, row, &single, out) };
        if let Some(basis) = setheading::basis(&single, self.lanes[lane].pair_named)
            .filter(|_| !starts_with_quantity(&folded) || folded.contains("EACH"))
        {
            if let Some((entries, _)) = setheading::served(&single) {
                out.served.push((set, entries, place));
            }
            self.lanes[lane].basis = Some(basis);
            return Role::Note;
        }
        if row.cells.len() <= 3
            && let Some((entries, basis)) = setheading::served(&single)
        {
            self.lanes[lane].pair_named |= basis == Some(Basis::Opening);
            out.served.push((set, entries, place));
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
            return Role::SetOpenings;
        }
        if self.lanes[lane].last == Last::Doors
            && out.schedule.sets[set].lines.is_empty()
            && let Some(entries) = setheading::bare_list(&single)
        {
            out.served.push((set, entries, place));
            self.lanes[lane].last_row = row.number;
            return Role::SetOpenings;
        }
        if row.cells.len() <= 2 && words::list("not-used").is(folded.trim_matches(['(', ')', '*', ' ', '.'])) {
            out.schedule.sets[set].not_used = Some(single);
            return Role::Excluded;
        }
        self.item(lane, row, set, &text, &folded, out)
    }

    fn item(&mut self, lane: usize, row: &Row, set: usize, text: &str, folded: &str, out: &mut Gathered) -> Role {
        let place = self.sheet.place(row.number);
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let quantity = match table.and_then(|table| table.column(M::Quantity)) {
            Some(column) => row.cell(column.index).is_some(),
            None => starts_with_quantity(folded),
        };
        let counted = table.is_none_or(|table| table.has(M::Quantity));
        if words::list("note")
            .begins(folded)
            .is_some_and(|word| folded[word.len()..].starts_with([':', '.', ' ', '-']) || folded == word)
            && !quantity
            || is_sentence(folded) && !quantity && row.cells.len() <= 2
        {
            out.schedule.sets[set].notes.push(Note { text: text.to_string(), place });
            return Role::Note;
        }
        if words::list("total").begins(folded).is_some() && !quantity {
            return Role::Note;
        }
        if !quantity
            && row.cells.len() == 1
            && (words::list("section").is(folded.trim_end_matches([':', '-', ' ']))
                || folded.ends_with(':') && folded.len() < 40)
        {
            self.lanes[lane].section = Some(row.cells[0].text.trim_end_matches(':').into());
            self.lanes[lane].last = Last::Nothing;
            return Role::Note;
        }
        let excluded = words::list("excluded").find(folded).is_some();
        let lane_state = &self.lanes[lane];
        let follows = lane_state.last == Last::Line && row.number == lane_state.last_row + 1;
        let sparse = row.cells.len() <= 2;
        if follows && counted && !quantity && sparse && !excluded && !out.schedule.sets[set].lines.is_empty() {
            let before = out.schedule.sets[set].lines.last().is_some_and(|line| {
                line.wording.part(PartRole::Quantity).is_some() || starts_with_quantity(&plain(&line.wording.text))
            });
            if before {
                let more = self.wording(lane, row);
                if let Some(line) = out.schedule.sets[set].lines.last_mut() {
                    for part in &more.parts {
                        line.wording.push(part.role, &more.text[part.span.clone()], part.column.clone());
                    }
                }
                self.lanes[lane].last_row = row.number;
                return Role::Continuation;
            }
        }
        let wording = self.wording(lane, row);
        if wording.text.is_empty() {
            return Role::Set;
        }
        let struck = self.sheet.rows.get(self.sheet.index_of(row.number)).is_some_and(|whole| {
            whole.cells.iter().any(|cell| cell.struck && cell.text.len() > 4)
                && row.cells.iter().map(|cell| cell.text.len()).sum::<usize>() <= 8
        });
        let lane_state = &mut self.lanes[lane];
        (lane_state.last, lane_state.last_row) = (Last::Line, row.number);
        let line = Line {
            place,
            wording,
            basis: lane_state.basis,
            section: lane_state.section.clone(),
            excluded: struck.then(|| "struck through".to_string()),
        };
        out.schedule.sets[set].lines.push(line);
        if struck { Role::Excluded } else { Role::Line }
    }

    /// A row outside any set: title, note, or an item that has no set.
    fn outside(&mut self, lane: usize, row: &Row, single: &str, out: &mut Gathered) -> Role {
        let folded = plain(single);
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let item = table.is_some_and(|table| {
            table.column(M::Quantity).is_some_and(|column| row.cell(column.index).is_some())
                && [M::Description, M::CatalogNumber]
                    .iter()
                    .any(|meaning| table.column(*meaning).is_some_and(|column| row.cell(column.index).is_some()))
        });
        let free_item =
            table.is_none() && starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some();
        if item || free_item {
            let name: Arc<str> =
                if self.sheet.name.is_empty() { self.sheet.file.clone() } else { self.sheet.name.clone() };
            out.schedule.findings.push(
                Finding::new(
                    "items-without-set",
                    Kind::Question,
                    Weight::Reading,
                    format!("items stand under no set heading; they were gathered as the set \"{name}\""),
                )
                .at(self.sheet.place(row.number), single)
                .help("name the set above its items or in a column"),
            );
            let heading =
                setheading::Heading { id: name.to_string(), title: String::new(), doors: Vec::new(), not_used: None };
            let index = add_set(heading, self.sheet.place(row.number), out);
            self.lanes[lane].open_set(index);
            return self.item_row(lane, row, out);
        }
        if self.after_table || words::list("note").begins(&folded).is_some() {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        Role::Title
    }

    /// The set that the set column of a flat table names in this row.
    fn set_by_column(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<usize> {
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items)?;
        let column = table.column(M::Set).or_else(|| table.column(M::DoorNumber))?;
        let by_door = column.meaning == M::DoorNumber;
        let cell = row.cell(column.index)?;
        let text = damage::id_from_exponent(cell).unwrap_or_else(|| cell.text.clone());
        let found = setheading::heading(&text);
        let (id, title) = match found {
            Some(found) => (found.id, found.title),
            None => (setheading::id_of_cell(&text).filter(|id| id.len() <= 24)?, String::new()),
        };
        let place = self.sheet.place(row.number);
        let known = out
            .schedule
            .sets
            .iter()
            .position(|set| set.id == id && set.place.file == place.file && set.place.sheet == place.sheet);
        Some(known.unwrap_or_else(|| {
            let doors = if by_door { doorlist::parse(&id).unwrap_or_default() } else { Vec::new() };
            let index =
                add_set(setheading::Heading { id, title, doors: Vec::new(), not_used: None }, place.clone(), out);
            if !doors.is_empty() {
                out.served.push((index, doors, place));
            }
            index
        }))
    }

    /// The cells of a row as the wording of a line.
    fn wording(&self, lane: usize, row: &Row) -> Wording {
        let mut wording = Wording::default();
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        for cell in &row.cells {
            let column = table.and_then(|table| table.columns.iter().find(|column| column.index == cell.column));
            let role = match column.map(|column| column.meaning) {
                Some(M::Set | M::DoorNumber | M::Price | M::Level) => continue,
                Some(M::Quantity | M::Count) => PartRole::Quantity,
                Some(M::Unit) => PartRole::Unit,
                Some(M::Description) => PartRole::Description,
                Some(M::CatalogNumber) => PartRole::CatalogNumber,
                Some(M::Finish | M::DoorFinish | M::FrameFinish) => PartRole::Finish,
                Some(M::Maker) => PartRole::Maker,
                Some(M::Remarks) => PartRole::Remarks,
                Some(M::Other | M::Room)
                    if table.is_some()
                        && column.is_some_and(|column| {
                            column.why.contains("heading") && headings::exact(&headings::key(&column.heading)).is_some()
                        }) =>
                {
                    continue;
                }
                _ if table.is_none()
                    && row.cells.len() > 1
                    && cell.column == row.cells[0].column
                    && starts_with_quantity(&plain(&cell.text))
                    && cell.text.len() <= 10 =>
                {
                    PartRole::Quantity
                }
                _ if table.is_none() && table::is_unit(&plain(&cell.text)) => PartRole::Unit,
                _ => PartRole::Free,
            };
            let text = match damage::date(cell) {
                Some(date) => damage::undone(date),
                None => cell.text.clone(),
            };
            wording.push(role, &text, Some(column_letter(cell.column).into()));
        }
        wording
    }
}

fn is_plausible(found: &setheading::Heading, row: &Row, in_set_column: bool) -> bool {
    // In a flat table the set column itself says `SET 3` in every row.
    !(in_set_column && row.cells.len() > 1)
        && (row.cells.len() <= 2 || found.title.len() < 120)
        && row.cells[0].kind == CellKind::Text
}

fn add_set(found: setheading::Heading, place: crate::place::Place, out: &mut Gathered) -> usize {
    out.schedule.sets.push(HardwareSet {
        id: found.id,
        title: found.title,
        openings: Vec::new(),
        lines: Vec::new(),
        notes: Vec::new(),
        not_used: found.not_used,
        place,
    });
    out.schedule.sets.len() - 1
}

fn note(sheet: &Sheet, text: &str, row: &Row, out: &mut Gathered) -> Role {
    out.schedule.notes.push(Note { text: text.to_string(), place: sheet.place(row.number) });
    Role::Note
}

fn join_single(cells: &[Cell]) -> String {
    cells.iter().map(|cell| cell.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Which of two roles of one row counts, where tables stand side by side.
fn stronger(one: Role, other: Role) -> Role {
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
    if rank(other) > rank(one) { other } else { one }
}

/// `3`, `3 EA`, `(3)`, `1-1/2 PR`, `3x`, `THREE`: whether a text begins with a quantity.
pub(crate) fn starts_with_quantity(folded: &str) -> bool {
    let rest = folded.trim_start_matches('(');
    let figures = rest.bytes().take_while(|byte| byte.is_ascii_digit() || b"-/.".contains(byte)).count();
    if figures == 0 {
        return ["AS REQ", "A/R", "ONE ", "TWO ", "THREE ", "FOUR ", "SIX ", "EIGHT "]
            .iter()
            .any(|word| folded.starts_with(word));
    }
    if figures > 5 || !rest.as_bytes()[0].is_ascii_digit() {
        return false;
    }
    let tail = rest[figures..].trim_start_matches([')', 'X', ' ']);
    // `1. General note` and `4-1/2 x 4-1/2` are no quantities.
    let spaced = rest[figures..].starts_with([' ', ')', 'X'])
        || rest.len() == figures
        || rest[figures..].starts_with(|letter: char| letter.is_ascii_alphabetic());
    let dimension = [" X ", "\""].iter().any(|sign| rest[figures..].starts_with(sign));
    spaced && !dimension && !rest[..figures].ends_with('.') && !tail.starts_with("X ")
}

/// Whole sentences are notes: many words and a full stop, or a numbered note.
fn is_sentence(folded: &str) -> bool {
    let words = folded.split(' ').count();
    let numbered = folded.split_once(['.', ')']).is_some_and(|(number, rest)| {
        number.len() <= 2
            && number.bytes().all(|byte| byte.is_ascii_digit())
            && !number.is_empty()
            && rest.starts_with(' ')
    });
    words >= 9 && folded.ends_with('.')
        || numbered && words >= 4
        || words >= 16
        || folded.starts_with('*') && words >= 4
}

fn is_page(folded: &str) -> bool {
    let Some(rest) = folded.strip_prefix("PAGE ") else { return false };
    rest.len() <= 12 && rest.starts_with(|letter: char| letter.is_ascii_digit())
}
