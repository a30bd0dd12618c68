//! Flat tables with a column of sets: the set that a row names, its title and doors, and the notes below.

use super::headfacts::Facts;
use super::setheading;
use crate::read::goods::itemtext::{by_others, has_quantity_behind, is_quantity, is_sentence, starts_with_quantity};
use crate::read::notes::{alternates, captions};
use crate::read::openings::{doorcells, doorlist, doors};
use crate::read::repairs::damage;
use crate::read::sheet::Row;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Walker, add_set, join_single};
use crate::read::words::{self, plain};

/// Whether words name goods, and not only what a door is for.
fn names_goods(folded: &str) -> bool {
    let uses = |word: &&str| ["words-of-use", "nouns-in-titles"].iter().any(|list| words::list(list).is(word));
    !words::list("hardware").all(folded).iter().all(uses) || !words::nouns().all(folded).iter().all(uses)
}

impl Walker<'_> {
    /// The set that the set column of a flat table names in this row.
    pub(crate) fn set_by_column(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<usize> {
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items)?;
        let column = table.column(M::Set).or_else(|| table.column(M::DoorNumber))?;
        let by_door = column.meaning == M::DoorNumber;
        let cell = row.cell(column.index)?;
        // `EXCLUSIONS`, `ALTERNATE 1` alone in the column of sets head what follows, and are no set.
        if row.cells.len() == 1 && (captions::apart(&cell.text).is_some() || alternates::heads_part(&cell.text)) {
            return None;
        }
        // `Doors: | 101, 102` names the doors of the set that the row above began.
        if names_doors(row) {
            return None;
        }
        let mended = damage::id_from_exponent(cell);
        let text = mended.clone().unwrap_or_else(|| cell.text.clone());
        let found = setheading::heading(&text);
        let goods = [M::Description, M::CatalogNumber, M::Quantity]
            .iter()
            .any(|meaning| table.column(*meaning).is_some_and(|column| row.cell(column.index).is_some()));
        let (id, title) = match found {
            Some(found) => (found.id, found.title),
            None => {
                let longest = if goods { 24 } else { 14 };
                let id = setheading::id_of_cell(&text).filter(|id| id.len() <= longest)?;
                let folded = plain(&id);
                let other = ["total", "note"].iter().any(|list| words::list(list).begins(&folded).is_some());
                // `3 Hinges` in the column of sets is an item of the block that a heading began there.
                let item = || starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some();
                if other || !goods && item() {
                    return None;
                }
                (id, String::new())
            }
        };
        let place = self.sheet.place(row.number);
        let known = out
            .schedule
            .sets
            .iter()
            .position(|set| set.id == id && set.place.file == place.file && set.place.sheet == place.sheet);
        if mended.is_some() && known.is_none() {
            out.schedule.findings.push(damage::exponent(self.sheet.at(row.number, cell.column), cell, &id));
        }
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

    /// `NO. OF OPENINGS` beside the quantities of a set's items: how many doors the set has, and what size they are.
    pub(crate) fn count_of_set(&self, lane: usize, set: usize, row: &Row, out: &mut Gathered) {
        self.size_of_doors(lane, set, row, out);
        let Some(table) = self.lanes[lane].table.as_ref().filter(|table| table.has(M::Quantity)) else { return };
        if self.counts_alone(table, row) {
            return;
        }
        let cell = table.column(M::Count).and_then(|column| row.cell(column.index)).filter(|cell| !cell.struck);
        let count = cell.and_then(|cell| Some((cell.column, doors::whole_count(&cell.text)?)));
        if let Some((column, count)) = count.filter(|(_, count)| (1..=5000).contains(count)) {
            out.assigned.count(set, count, self.sheet.at(row.number, column));
        }
    }

    /// `DOOR SIZE` beside the doors of a set's items: what these doors are like, where all rows of the set say the same.
    fn size_of_doors(&self, lane: usize, set: usize, row: &Row, out: &mut Gathered) {
        let Some(table) = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items) else { return };
        let Some(cell) = table.column(M::Size).and_then(|column| row.cell(column.index)).filter(|cell| !cell.struck)
        else {
            return;
        };
        let place = self.sheet.at(row.number, cell.column);
        let Some(told) = Facts::of(&cell.text).opening(&place, &mut Vec::new()) else { return };
        match out.set_facts.get_mut(&set) {
            None => drop(out.set_facts.insert(set, told)),
            Some(known) if known.width.is_some() && (known.width, known.height) != (told.width, told.height) => {
                (known.width, known.height) = (None, None);
                known.leaf_widths.clear();
            }
            Some(_) => {}
        }
    }

    /// `1E1 | PUBLIC ENTRY PAIR` above rows with quantities: words alone beside the id of a set, and nothing counts them.
    pub(crate) fn is_title(&self, lane: usize, set: usize, row: &Row, out: &Gathered) -> bool {
        let [cell] = &row.cells[..] else { return false };
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let Some(table) = table else { return false };
        let quantity = table.column(M::Quantity).map(|column| column.index);
        let of = &out.schedule.sets[set];
        let folded = plain(&cell.text);
        let words = table.columns.iter().any(|column| column.index == cell.column && column.meaning == M::Description);
        let at = self.sheet.index_of(row.number) + 1;
        let skipped = u32::from(self.sheet.rows.get(at).is_some_and(names_doors));
        let next = self.sheet.rows.get(at + skipped as usize);
        // The next row counts goods, of the same set if it names one. Without a column of quantities it does so in its words, and
        // the title names no goods: `A | ENTRY` above `1 cont. hinge`.
        let counted = next.filter(|next| next.number == row.number + 1 + skipped).is_some_and(|next| match quantity {
            Some(quantity) => next.cell(quantity).is_some_and(|cell| is_quantity(&plain(&cell.text))),
            None => {
                let said = |meaning| table.column(meaning).and_then(|column| next.cell(column.index));
                let goods = said(M::Description).map(|cell| plain(&cell.text)).unwrap_or_default();
                said(M::Set).is_none() && starts_with_quantity(&goods) && !names_goods(&folded)
            }
        });
        // So it is above `Same as set 1, add:` in the same column.
        let as_another = || {
            let alone = next.filter(|next| next.number == row.number + 1 && next.cells.len() == 1);
            let said = alone.and_then(|next| next.cell(cell.column));
            said.is_some_and(|said| setheading::same_as(&said.text).is_some()) && !names_goods(&folded)
        };
        words
            && (counted || as_another())
            && of.lines.is_empty()
            && of.title.is_empty()
            && !starts_with_quantity(&folded)
            && !has_quantity_behind(&folded)
            && !by_others(&folded)
            && setheading::as_other(&cell.text, Some(&of.id)).is_none()
            && setheading::served(&cell.text).is_none()
            && words::list("not-used").begins(&folded).is_none()
            && !(words::list("state-of-goods").begins(&folded).is_some()
                && words::list("hardware").find(&folded).is_some())
    }

    /// Notes under a flat table begin in the column of its sets: they belong to no set.
    pub(crate) fn flat_notes(&mut self, lane: usize, row: &Row) -> bool {
        let set_column = self.lanes[lane]
            .table
            .as_ref()
            .filter(|table| table.holds == Holds::Items)
            .and_then(|table| table.column(M::Set))
            .map(|column| column.index);
        let [cell] = &row.cells[..] else { return false };
        let folded = plain(&cell.text);
        let noted = words::list("note").begins(&folded).is_some() || is_sentence(&folded);
        let notes = set_column == Some(cell.column) && noted && setheading::heading(&cell.text).is_none();
        if notes {
            self.lanes[lane].set = None;
            self.noting = true;
        }
        notes
    }

    /// In a table with a set column, the row without the cells that name its set; the doors and the title beside the set are taken from them.
    pub(crate) fn without_set(&self, lane: usize, row: &Row, set: Option<usize>, out: &mut Gathered) -> Option<Row> {
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items && table.has(M::Set))?;
        let by_column = set.is_some();
        let set = set.or(self.lanes[lane].set);
        let text =
            |meaning| table.column(meaning).and_then(|column| row.cell(column.index)).map(|cell| cell.text.clone());
        if let Some(set) = set {
            if let Some(title) = text(M::SetTitle)
                && out.schedule.sets[set].title.is_empty()
                && !words::list("not-used").is(&plain(&title))
            {
                out.schedule.sets[set].title = title;
            }
            let place = self.sheet.place(row.number);
            let said = table.column(M::DoorsServed).and_then(|column| Some((column, row.cell(column.index)?)));
            let counted = said.is_some_and(|(column, cell)| out.assigned.column(set, column, &cell.text, &place));
            if let Some((_, cell)) = said.filter(|_| !counted) {
                doorcells::serve(set, &cell.text, place, out);
            }
        }
        let title_used =
            set.is_some_and(|set| text(M::SetTitle).is_some_and(|title| out.schedule.sets[set].title == title));
        let names = |cell: &&crate::read::sheet::Cell| {
            let meaning = table.columns.iter().find(|column| column.index == cell.column).map(|column| column.meaning);
            meaning == Some(M::Set) && by_column
                || meaning == Some(M::DoorsServed) && doorcells::of(&cell.text).is_some()
                || meaning == Some(M::SetTitle) && title_used
        };
        let cells = row.cells.iter().filter(|cell| !names(cell)).cloned().collect();
        Some(Row { number: row.number, cells, hidden: row.hidden })
    }

    /// `Total | 22` under the rows of a flat table.
    pub(crate) fn is_flat_total(&self, lane: usize, row: &Row) -> bool {
        let flat = |table: &crate::read::tables::table::Table| table.holds == Holds::Items && table.has(M::Set);
        row.cells.len() <= 3
            && self.lanes[lane].table.as_ref().is_some_and(|table| flat(table))
            && row
                .cells
                .iter()
                .take(2)
                .any(|cell| words::list("total").is(plain(&cell.text).trim_end_matches([':', '.'])))
    }
}
/// `Doors: | 101, 102`: a label for doors with its sign, and doors behind it.
fn names_doors(row: &Row) -> bool {
    let [label, value] = &row.cells[..] else { return false };
    label.text.trim_end().ends_with(':')
        && doorlist::parse(&value.text).is_some()
        && setheading::served(&join_single(&row.cells)).is_some()
}
