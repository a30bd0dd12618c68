//! Rows that stand outside any set: titles, notes, and items that have no set, which are gathered and asked about.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};

use super::itemtext::{is_finish_note, is_sentence, is_spec_heading, starts_with_quantity};
use crate::read::schedule::Role;
use crate::read::sets::setheading;
use crate::read::sheet::{Row, join};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Walker, add_set, note};
use crate::read::words::{self, plain};

impl Walker<'_> {
    /// A row outside any set: title, note, or an item that has no set.
    pub(crate) fn outside(&mut self, lane: usize, row: &Row, single: &str, out: &mut Gathered) -> Role {
        let folded = plain(single);
        // `KEYED NOTES` over `3 | PROVIDE WEATHERSTRIPPING`: doors name the notes by these numbers.
        if self.lanes[lane].table.is_none()
            && (self.lanes[lane].noting || words::list("keynote-caption").is(&folded))
            && self.is_keynote(lane, row)
        {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let item = table.is_some_and(|table| {
            table.column(M::Quantity).is_some_and(|column| row.cell(column.index).is_some())
                && [M::Description, M::CatalogNumber]
                    .iter()
                    .any(|meaning| table.column(*meaning).is_some_and(|column| row.cell(column.index).is_some()))
        });
        let free_item = table.is_none()
            && !is_spec_heading(&folded)
            && starts_with_quantity(&folded)
            && words::list("hardware").find(&folded).is_some();
        let counted = table.is_none() && row.cells.len() > 1 && starts_with_quantity(&folded);
        if let Some(role) = self.as_other_card(row, single, out) {
            return role;
        }
        if (item || free_item || counted) && self.set_of_card(lane, out) {
            return self.item_row(lane, row, out);
        }
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
        if self.after_table || self.noting || is_sentence(&folded) || is_finish_note(&folded, false) {
            return note(self.sheet, &join(&row.cells), row, out);
        }
        Role::Title
    }
}
