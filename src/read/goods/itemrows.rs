//! Rows under set headings: the doors served, bases, sections, items, wrapped descriptions, notes.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;

use super::countsbehind::{
    by_another_trade, counted_below, counted_beside, counted_label, counts_behind, ends_above, names_others,
    was_counted,
};
use super::itemtext::{
    begins_goods, by_others, by_whom, dangles, ends_sets, has_quantity_behind, is_by_whom, is_count_of_sets,
    is_counted_unit, is_finish_note, is_labelled_note, is_own, is_quantity, is_sentence, is_set_note, led_by_finish,
    listed_item, starts_with_quantity,
};
use super::{celllist, commalists};
use crate::read::excluded::listothers;
use crate::read::notes::alternates;
use crate::read::openings::doorlabels::lists_doors;
use crate::read::repairs::damage;
use crate::read::schedule::{Basis, Line, Note, Part, PartRole, Role, Wording};
use crate::read::sets::setheading;
use crate::read::sheet::{Row, join};
use crate::read::sizes::size::parse_size;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Holds, Table};
use crate::read::walk::{Gathered, Last, Walker, join_single, note};
use crate::read::words::{self, plain};

impl Walker<'_> {
    pub(crate) fn item_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        if self.flat_notes(lane, row) {
            let single = join_single(&row.cells);
            return self.outside(lane, row, &single, out);
        }
        if let Some(role) = self.key_below(lane, row, out).or_else(|| self.lone_finish(lane, row, out)) {
            return role;
        }
        if self.is_flat_total(lane, row) || crate::read::openings::cardparts::is_rule(row) {
            return Role::Note;
        }
        let named = self.set_by_column(lane, row, out);
        if let Some(set) = named
            && self.lanes[lane].set != Some(set)
        {
            self.lanes[lane].open_set(set);
        }
        self.lanes[lane].named = named.is_some();
        if let Some(set) = named {
            self.count_of_set(lane, set, row, out);
        }
        let own = self.without_set(lane, row, named, out);
        let row = own.as_ref().unwrap_or(row);
        if row.cells.is_empty() {
            return Role::Set;
        }
        if let Some(set) = named.filter(|set| self.is_title(lane, *set, row, out)) {
            out.schedule.sets[set].title = join_single(&row.cells);
            return Role::Set;
        }
        let text = join(&row.cells);
        let single = join_single(&row.cells);
        let folded = plain(&single);
        let place = self.sheet.place(row.number);
        let Some(set) = self.lanes[lane].set else { return self.outside(lane, row, &single, out) };
        if let Some(role) = self.listed_doors(lane, set, row, &single, out) {
            return role;
        }
        if let Some(basis) = setheading::basis(&single, self.lanes[lane].pair_named) {
            out.served.extend(setheading::served(&single).map(|(entries, _)| (set, entries, place)));
            self.lanes[lane].basis = Some(basis);
            self.each_pair(set, row, out);
            return Role::Note;
        }
        // Before its goods a set names its doors, whatever cells their room and size stand in.
        if (row.cells.len() <= 3 || lists_doors(row) || out.schedule.sets[set].lines.is_empty())
            && let Some((entries, basis)) = setheading::served(&single)
        {
            self.lanes[lane].pair_named |= basis == Some(Basis::Opening);
            out.served.push((set, entries, place));
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
            return Role::SetOpenings;
        }
        if row.cells.len() <= 2 && ends_sets(&folded) {
            self.lanes[lane].set = None;
            return note(self.sheet, &text, row, out);
        }
        if let Some(role) = self.rating_row(lane, set, row, out) {
            return role;
        }
        if let Some(role) = self.size_row(set, row, out) {
            self.each_leaf(lane, &folded);
            return role;
        }
        if let Some(role) = self.place_row(set, row, (&single, &text), out) {
            return role;
        }
        // Behind goods a size is that of the goods.
        if !starts_with_quantity(&folded)
            && out.schedule.sets[set].lines.is_empty()
            && let Some(role) = self.set_facts(set, row, out)
        {
            return role;
        }
        if let Some(id) = setheading::as_other(&single, named.map(|set| &*out.schedule.sets[set].id)) {
            // Behind goods of its own `As set 1 for keying` is a note, `As set 1, closer by owner` says something of goods.
            let takes = out.schedule.sets[set].lines.is_empty() || setheading::takes_goods(&single);
            if takes {
                out.same.push((set, id, place.clone(), single.clone()));
            }
            if takes || ["goods", "remark-hardware"].iter().all(|list| words::list(list).find(&folded).is_none()) {
                out.schedule.sets[set].notes.push(Note { text, place });
                self.lanes[lane].last = Last::Nothing;
                return Role::Note;
            }
        }
        if let Some(role) = self.words_of_heading(lane, set, row, out) {
            return role;
        }
        let alone = || row.cells.len() == 1 && self.lanes[lane].table.is_some() && parse_size(&single).is_none();
        if (self.lanes[lane].last == Last::Doors || alone())
            && out.schedule.sets[set].lines.is_empty()
            && !is_counted_unit(&folded)
            && let Some(entries) = setheading::bare_list(&single)
        {
            out.served.push((set, entries, place));
            self.lanes[lane].last_row = row.number;
            return Role::SetOpenings;
        }
        let unused = |text: &str| words::list("not-used").is(text.trim_matches(['(', ')', '*', ' ', '.']));
        // `NOT USED | Δ2`
        let alone = |cell: &crate::read::sheet::Cell| unused(&plain(&cell.text)) || cell.text.chars().count() <= 3;
        let named = || row.cells.iter().any(|cell| unused(&plain(&cell.text))) && row.cells.iter().all(alone);
        let figure = row.cells.first().is_some_and(|cell| cell.text.starts_with(|first: char| first.is_ascii_digit()));
        if row.cells.len() <= 3 && named() && (figure || !out.schedule.sets[set].lines.is_empty()) {
            // `4 | - | DELETED` among the goods of a set is the item that was there, and not the set.
            out.schedule.sets[set].notes.push(Note { text: single, place });
            return Role::Excluded;
        }
        if row.cells.len() <= 2 && unused(&folded) || row.cells.len() <= 3 && named() {
            out.schedule.sets[set].not_used = Some(single);
            return Role::Excluded;
        }
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        let lines = &out.schedule.sets[set].lines;
        let headed = lines.is_empty() && self.has_rows(row);
        let between = || commalists::parted(table.map(Arc::as_ref), row, headed, lines.last());
        match celllist::parted(table.map(Arc::as_ref), row).or_else(between) {
            Some(parted) => self.listed_items(lane, set, parted, out),
            None => self.title_or_item(lane, row, set, (&text, &folded), out),
        }
    }

    /// The items of a row whose cell lists several.
    pub(crate) fn listed_items(
        &mut self,
        lane: usize,
        set: usize,
        parted: celllist::Parted,
        out: &mut Gathered,
    ) -> Role {
        let mut roles = Vec::new();
        let number = parted.rows.first().map_or(0, |row| row.number);
        let from = out.schedule.sets[set].lines.len();
        for row in &parted.rows {
            let folded = plain(&join_single(&row.cells));
            roles.push(self.item(lane, row, set, &join(&row.cells), &folded, out));
        }
        out.schedule.findings.extend(listothers::taken_by_others(&mut out.schedule.sets[set], from, &parted.rows));
        if let Some(title) = parted.title {
            let of = &mut out.schedule.sets[set];
            match of.title.is_empty() {
                true => of.title = title,
                false if of.title == title => {}
                false => of.notes.push(Note { text: title, place: self.sheet.place(number) }),
            }
        }
        for cell in parted.finishes.into_iter().chain(parted.notes) {
            let place = self.sheet.at(number, cell.column);
            out.schedule.sets[set].notes.push(Note { text: cell.text, place });
        }
        let line = roles.iter().copied().find(|role| *role == Role::Line);
        line.or(roles.first().copied()).unwrap_or(Role::Note)
    }

    pub(crate) fn item(
        &mut self,
        lane: usize,
        row: &Row,
        set: usize,
        text: &str,
        folded: &str,
        out: &mut Gathered,
    ) -> Role {
        let place = self.sheet.place(row.number);
        if let Some(role) = self.caption(lane, row, set, (text, folded), out) {
            return role;
        }
        let table = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Items);
        // A note or a section may begin in the column of quantities too.
        let counted_cell = table
            .and_then(|table| table.column(M::Quantity))
            .map(|column| row.cell(column.index).is_some_and(|cell| is_quantity(&plain(&cell.text))));
        let counted = table.is_none_or(|table| table.has(M::Quantity));
        let sign = if row.cells.len() == 1 { listed_item(&row.cells[0].text) } else { None };
        // A set a row, all its goods in the cell of the description, behind what the set is for.
        let described = table
            .and_then(|table| table.column(M::Description))
            .is_some_and(|column| row.cell(column.index).is_some_and(|cell| starts_with_quantity(&plain(&cell.text))));
        // `ALL LOCKSETS GRADE 1` across a table speaks of goods that stand in it.
        let of_all =
            row.cells.len() == 1 && table.is_some() && words::list("note-of-all").begins(folded).is_some() && counted;
        let labelled = self.labelled(lane, row, set, folded, out);
        let quantity = match counted_cell {
            _ if of_all => false,
            Some(true) => true,
            _ if labelled.is_some() => true,
            _ if described => true,
            // Under NOTES the numbers of a list are those of the notes.
            _ => {
                starts_with_quantity(folded)
                    || led_by_finish(folded)
                    || sign.is_some() && !self.lanes[lane].noting
                    || row.cells.len() == 1 && has_quantity_behind(folded)
                    || table.is_none() && counted_beside(row, folded)
            }
        };
        // `1E2 = as on A-201` explains a code.
        let explains = row.cells.len() == 1
            && folded.split_once(" = ").is_some_and(|(code, _)| code.len() <= 8 && !code.contains(' '));
        if explains
            || of_all
            || text.contains("____")
            || self.lanes[lane].noting
                && !quantity
                && row.cells.len() <= 2
                && (row.cells.len() == 1 || words::list("goods").begins(folded).is_none())
            || words::list("note")
                .begins(folded)
                .is_some_and(|word| folded[word.len()..].starts_with([':', '.', ' ', '-']) || folded == word)
                && !quantity
            || !quantity && row.cells.len() <= 2 && is_labelled_note(folded)
            || is_sentence(folded) && !quantity && row.cells.len() <= 2 && !by_others(folded)
            || ends_sets(folded)
            || is_set_note(folded) && !quantity
            || is_finish_note(
                folded,
                self.lanes[lane].last == Last::Line && row.number == self.lanes[lane].last_row + 1,
            )
            || !quantity && out.schedule.sets[set].not_used.is_some() && words::list("total").begins(folded).is_none()
            || is_count_of_sets(folded)
        {
            out.schedule.sets[set].notes.push(Note { text: text.to_string(), place });
            self.begin_paragraph(lane, row, folded);
            return Role::Note;
        }
        if words::list("total").begins(folded).is_some() && (!quantity || row.cells.len() <= 3) {
            return Role::Note;
        }
        if !quantity
            && row.cells.len() == 1
            && (words::list("section").is(folded.trim_end_matches([':', '-', ' '])) && self.items_follow(row)
                || folded.ends_with(':') && folded.len() < 40)
        {
            self.lanes[lane].section = Some(row.cells[0].text.trim_end_matches(':').into());
            self.lanes[lane].last = Last::Nothing;
            out.schedule.sets[set].notes.extend(alternates::head(text, place));
            return Role::Note;
        }
        let struck_count = self.struck_count(table, row).filter(|_| !quantity);
        let excluded = by_others(folded) || by_another_trade(folded) || struck_count.is_some();
        let lane_state = &self.lanes[lane];
        let follows = lane_state.last == Last::Line && row.number == lane_state.last_row + 1;
        let sparse = row.cells.len() <= 2 || wraps(row, out.schedule.sets[set].lines.last());
        // Below `Closer: 1` another label begins a row of its own.
        let above = || self.sheet.rows.get(self.sheet.index_of(row.number).wrapping_sub(1));
        let own = row.cells[0].text.contains(':') && above().is_some_and(|above| counted_label(above).is_some())
            || follows
                && alternates::stands_alone(&row.cells[0].text)
                && !out.schedule.sets[set].lines.last().is_some_and(alternates::is_open)
            || follows && is_own(table.is_some(), row, folded, out.schedule.sets[set].lines.last())
            || follows && table.is_none() && counted_below(row, out.schedule.sets[set].lines.last());
        let ends = follows
            && sign.is_none()
            && table.is_none()
            && ends_above(row, folded, out.schedule.sets[set].lines.last());
        let more = !quantity && !own && sparse || ends;
        if follows && counted && more && !excluded && !out.schedule.sets[set].lines.is_empty() {
            let before = out.schedule.sets[set].lines.last().is_some_and(|line| {
                let before = plain(&line.wording.text);
                let goes_on = row.cells.len() > 1 || table.is_some() || self.goes_on_with(row, folded, &before);
                let counts = line.wording.part(PartRole::Quantity).is_some() || starts_with_quantity(&before);
                let alone = self.lanes[lane].named && tells_goods(table, row, folded, line);
                // Behind their count goods are at an end: what names others begins a row of its own.
                let ended = table.is_none() && counts_behind(line, &before) && names_others(folded, &before);
                ends || (counts || sign.is_none() && was_counted(&before)) && goes_on && !alone && !ended
            });
            if before {
                let more = self.wording(lane, row);
                self.tell_dates(row, &more, out);
                if let Some(line) = out.schedule.sets[set].lines.last_mut() {
                    let mut parts = more.parts.as_slice();
                    // `cylinder dog-` and `ging`: a word parted at the end of its row.
                    if let [first, rest @ ..] = parts
                        && line.wording.mend_hyphen(&more.text[first.span.clone()])
                    {
                        parts = rest;
                    }
                    // `LEVER TRIM | 626` has a finish of its own.
                    let own = parts.iter().any(|part| part.role == PartRole::Finish);
                    for part in parts {
                        let (text, column) = (&more.text[part.span.clone()], part.column.clone());
                        match own {
                            true => line.wording.push(part.role, text, column),
                            false => line.wording.go_on(part.role, text, column),
                        }
                    }
                }
                self.lanes[lane].last_row = row.number;
                return Role::Continuation;
            }
        }
        let wording = match (labelled, sign) {
            (Some(labelled), _) => labelled,
            (None, Some(sign)) => listed(&row.cells[0], sign),
            (None, None) => self.wording(lane, row),
        };
        if wording.text.is_empty() {
            return Role::Set;
        }
        self.tell_dates(row, &wording, out);
        out.marked.row(self.sheet, row, table);
        let whole = self.sheet.rows.get(self.sheet.index_of(row.number));
        let struck = whole.is_some_and(|whole| {
            whole.cells.iter().any(|cell| cell.struck && cell.text.len() > 4)
                && row.cells.iter().map(|cell| cell.text.len()).sum::<usize>() <= 8
        });
        if struck_count.is_some() {
            self.tell_struck(row, set, out);
        }
        // `Balance of hardware by entrance supplier`: names goods, but only to leave them out.
        let others = words::list("hardware-by")
            .find(folded)
            .or_else(|| by_whom(folded))
            .filter(|_| !quantity || !row.cells[0].text.contains(char::is_alphanumeric))
            .or_else(|| celllist::without_goods(folded))
            .or_else(|| row.cells.iter().skip(1).map(|cell| cell.text.as_str()).find(|text| is_by_whom(text)))
            .map(str::to_string);
        let lane_state = &mut self.lanes[lane];
        (lane_state.last, lane_state.last_row) = (Last::Line, row.number);
        let line = Line {
            basis: lane_state.basis,
            section: lane_state.section.clone(),
            excluded: struck.then(|| crate::read::STRUCK.to_string()).or(struck_count).or(others),
            ..Line::new(place, wording)
        };
        out.schedule.sets[set].lines.push(line);
        if struck { Role::Excluded } else { Role::Line }
    }

    /// The reason why a line does not count whose quantity is struck through, while its words are not.
    fn struck_count(&self, table: Option<&Arc<Table>>, row: &Row) -> Option<String> {
        let whole = self.sheet.rows.get(self.sheet.index_of(row.number))?;
        let column = match table {
            Some(table) => table.column(M::Quantity)?.index,
            None => whole.cells.first()?.column,
        };
        let cell = whole.cell(column).filter(|cell| cell.struck && is_quantity(&plain(&cell.text)))?;
        Some(format!("its quantity, {}, is struck through", cell.text))
    }

    /// Asks what is meant by a quantity that alone is struck through.
    fn tell_struck(&self, row: &Row, set: usize, out: &mut Gathered) {
        let says = "the quantity of this line is struck through, its words are not; the line is not counted";
        out.schedule.findings.push(
            Finding {
                set: Some(out.schedule.sets[set].id.clone()),
                priced_as: "none of it".into(),
                ..Finding::new("quantity-struck", Kind::Question, Weight::Goods, says)
            }
            .at(self.sheet.place(row.number), join(&row.cells))
            .help("ask whether the goods are taken out, and how many there are if not"),
        );
    }

    /// Whether the row after this one begins with a quantity: only then is a kind of goods above it a section. An item of
    /// a list in a cell heads nothing.
    fn items_follow(&self, row: &Row) -> bool {
        let at = self.sheet.index_of(row.number);
        let same =
            |whole: &Row| row.cells.iter().all(|own| whole.cell(own.column).is_some_and(|cell| cell.text == own.text));
        self.sheet.rows.get(at).is_some_and(same)
            && self.sheet.rows.get(self.sheet.index_of(row.number + 1)).is_some_and(|next| {
                let folded = plain(&join_single(&next.cells));
                starts_with_quantity(&folded) || listed_item(&next.cells[0].text).is_some()
            })
    }

    /// Says which cells of a line were dates.
    pub(crate) fn tell_dates(&self, row: &Row, wording: &Wording, out: &mut Gathered) {
        for (cell, date) in row.cells.iter().filter_map(|cell| Some((cell, damage::date(cell)?))) {
            let text = damage::undone_in_goods(date);
            if wording.text.contains(&text) {
                let place = self.sheet.at(row.number, cell.column);
                out.schedule.findings.push(damage::turned(place, cell, &text, "size or number"));
            }
        }
    }
}

/// Whether a row that names its set, as the rows of lines do, tells of goods though nothing counts them: words that begin
/// goods, or words with a finish of their own.
/// What must follow on the line above, or comes with its goods, is a part of it: `W/` and `LEVER TRIM | 626`.
fn tells_goods(table: Option<&Arc<Table>>, row: &Row, folded: &str, before: &Line) -> bool {
    let wording = &before.wording;
    let worded = |part: &&Part| matches!(part.role, PartRole::Description | PartRole::CatalogNumber | PartRole::Free);
    let last = wording.parts.iter().rev().find(worded);
    if last.is_some_and(|part| dangles(&plain(&wording.text[part.span.clone()]))) {
        return false;
    }
    let filled = |meaning: M| {
        let column = table.and_then(|table| table.column(meaning));
        column.is_some_and(|column| row.cell(column.index).is_some())
    };
    begins_goods(folded, &plain(&wording.text))
        || filled(M::Finish)
            && (filled(M::Description) || filled(M::CatalogNumber))
            && words::list("goods-part").begins(folded).is_none()
}

/// The wording of an item of a list, without the sign of the list.
fn listed(cell: &crate::read::sheet::Cell, sign: usize) -> Wording {
    let mut wording = Wording::default();
    wording.push(PartRole::Free, &cell.text[sign..], Some(column_letter(cell.column).into()));
    wording
}

/// Whether a row goes on in the middle of the words above it: they end in a hyphen or a comma, or it begins in lower case.
fn wraps(row: &Row, before: Option<&Line>) -> bool {
    let (Some(first), Some(before)) = (row.cells.first(), before) else { return false };
    let open = before.wording.text.ends_with(['-', ',', '/', '&']);
    let lower = first.text.starts_with(|letter: char| letter.is_lowercase());
    let worded = before.wording.text.bytes().any(|byte| byte.is_ascii_uppercase());
    row.cells.len() <= 5 && (open || lower && worded && words::list("goods").begins(&plain(&first.text)).is_none())
}
