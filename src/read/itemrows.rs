//! Rows under set headings: the doors served, bases, sections, items, wrapped descriptions, notes.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;

use super::columns;
use super::damage;
use super::doorlist;
use super::headings::{self, Meaning as M};
use super::schedule::{Basis, Line, Note, PartRole, Role, Wording};
use super::setheading;
use super::sheet::{Row, join};
use super::table::Holds;
use super::walk::{Gathered, Last, Walker, add_set, join_single, note};
use super::words::{self, plain};

impl Walker<'_> {
    pub(super) fn item_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
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

    pub(super) fn item(
        &mut self,
        lane: usize,
        row: &Row,
        set: usize,
        text: &str,
        folded: &str,
        out: &mut Gathered,
    ) -> Role {
        let place = self.sheet.place(row.number);
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let quantity = match table.and_then(|table| table.column(M::Quantity)) {
            // A sentence that begins in the first column is a note, even where that column holds quantities.
            Some(column) => row.cell(column.index).is_some_and(|cell| !is_sentence(&plain(&cell.text))),
            None => starts_with_quantity(folded),
        };
        let counted = table.is_none_or(|table| table.has(M::Quantity));
        if words::list("note")
            .begins(folded)
            .is_some_and(|word| folded[word.len()..].starts_with([':', '.', ' ', '-']) || folded == word)
            && !quantity
            || is_sentence(folded) && !quantity && row.cells.len() <= 2 && !by_others(folded)
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
        let excluded = by_others(folded);
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
        // `Balance of hardware by entrance supplier`: names goods, but only to leave them out.
        let others = words::list("hardware-by").find(folded).filter(|_| !quantity).map(str::to_string);
        let lane_state = &mut self.lanes[lane];
        (lane_state.last, lane_state.last_row) = (Last::Line, row.number);
        let line = Line {
            place,
            wording,
            basis: lane_state.basis,
            section: lane_state.section.clone(),
            excluded: struck.then(|| "struck through".to_string()).or(others),
        };
        out.schedule.sets[set].lines.push(line);
        if struck { Role::Excluded } else { Role::Line }
    }

    /// A row outside any set: title, note, or an item that has no set.
    pub(super) fn outside(&mut self, lane: usize, row: &Row, single: &str, out: &mut Gathered) -> Role {
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
        self.noting |= words::list("note").begins(&folded).is_some();
        if self.after_table || self.noting || is_sentence(&folded) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        Role::Title
    }

    /// The set that the set column of a flat table names in this row.
    pub(super) fn set_by_column(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<usize> {
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
    pub(super) fn wording(&self, lane: usize, row: &Row) -> Wording {
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
                _ if table.is_none() && columns::is_unit(&plain(&cell.text)) => PartRole::Unit,
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

/// `Hardware by storefront supplier`, `NIC`: an item that others supply, never a continuation or a note.
fn by_others(folded: &str) -> bool {
    words::list("excluded").find(folded).or_else(|| words::list("hardware-by").find(folded)).is_some()
}

/// Whole sentences are notes: many words and a full stop, or a numbered note.
fn is_sentence(folded: &str) -> bool {
    let words = folded.split(' ').count();
    // `A. Finishes are …`, `1) …`
    let numbered = folded.split_once(['.', ')']).is_some_and(|(number, rest)| {
        number.len() <= 2
            && (number.bytes().all(|byte| byte.is_ascii_digit()) || number.len() == 1)
            && !number.is_empty()
            && rest.starts_with(' ')
    });
    words >= 6 && folded.ends_with('.')
        || numbered && words >= 4
        || words >= 16
        || folded.starts_with('*') && words >= 4
}
