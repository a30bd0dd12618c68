//! Goes through the rows of a sheet once and gives each exactly one role: the ledger is complete because every row
//! passes through `row_role`, whose result is written down before the next row is looked at.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::terms::ReadTerms;

use super::counts::{totals::Sums, types::Types};
use super::grids::{across, matrix::Matrix};
pub(crate) use super::lane::{Lane, Last, add_set, join_single, note};
use super::openings::ahead::Ahead;
use super::openings::doorlist::Entry;
use super::openings::{ahead, cards};
use super::repairs::zeros::NumberCell;
use super::repairs::{damage, merges, repeats};
use super::schedule::{LedgerRow, Role, Schedule};
use super::sets::{bareheads, listsabove, setheading, typeheads};
use super::sheet::{Cell, Row, Sheet, join};
use super::tables::headings::{self, Meaning as M};
use super::tables::table::{self, Holds, Table};
use super::tables::{kinds, layout};
use super::words::{self, plain};

/// Characters of a row's text that the ledger keeps.
pub(crate) const LEDGER_TEXT: usize = 120;

/// Doors named under a heading: set index, entries, where.
pub(crate) type Served = (usize, Vec<Entry>, crate::place::Place);

/// What is gathered over all sheets and files.
#[derive(Default)]
pub(crate) struct Gathered {
    /// The schedule so far.
    pub schedule: Schedule,
    /// Doors named under headings: set index, entries, where; what cells say of one of them behind it.
    pub served: Vec<Served>,
    pub said_of_doors: Vec<(usize, Entry, crate::place::Place, String)>,
    /// Numbers behind labels of places below headings.
    pub place_labels: Vec<Served>,
    /// The buildings that rows of doors name.
    pub buildings: Vec<(crate::place::Place, String)>,
    /// Keys of the items of sets that stand across; matrices, turned into sets at the end.
    pub item_keys: super::grids::itemkeys::ItemKeys,
    pub matrix: Matrix,
    /// Types, counts and components, joined at the end.
    pub types: Types,
    /// Doors that sentences give a set, and those that are as others.
    pub assigned: super::sets::assigned::Assigned,
    pub as_other: super::openings::asotherdoor::AsOthers,
    /// Set cells of doors that name goods; lists of goods beside set cells.
    pub goods: Vec<super::goods::doorgoods::Named>,
    pub lists_beside: Vec<super::goods::doorgoods::Named>,
    /// Doors whose row has neither set nor list, where others have both.
    pub blank_beside: Vec<usize>,
    /// Doors that stand once for each of their items.
    pub by_door: super::goods::dooritems::DoorItems,
    /// The cells of the doors' numbers.
    pub number_cells: Vec<NumberCell>,
    /// Why tables were passed over.
    pub passed: Vec<String>,
    /// Whether a door schedule had a set column.
    pub set_column: bool,
    /// What stands under the headings of sets of their doors, by the index of the set.
    pub set_facts: BTreeMap<usize, super::schedule::Opening>,
    /// The size of the doors that a row names, by that row.
    pub line_facts: BTreeMap<crate::place::Place, super::schedule::Opening>,
    /// Sets that are said to be as another: set index, id of the other, where, the words.
    pub same: Vec<(usize, String, crate::place::Place, String)>,
    /// Set cells that name several sets: the cell, the ids.
    pub several: BTreeMap<String, Vec<String>>,
    /// Some sheet holds cards for doors.
    pub cards_seen: bool,
    /// Sets of goods that cards list, with the door of the card.
    pub card_sets: Vec<(usize, usize)>,
    /// Ids of sets that doors have, and cells of door schedules under headings that are not known.
    pub set_ids: super::sets::setids::SetIds,
    pub unnamed: super::sets::setcolumn::Unnamed,
    /// Doors under the headings of sets that were passed over: set id, entries, where.
    pub served_by_old: Vec<(String, Vec<Entry>, crate::place::Place)>,
    /// Where sets begin whose headings do not say that they are.
    pub bare_sets: Vec<crate::place::Place>,
    /// Cells of door schedules in columns of sets after the first.
    pub second_sets: super::sets::secondset::SecondSets,
    /// Cells of door schedules in columns that are not used.
    pub not_used: super::tables::notused::NotUsed,
    /// Marks that the files define.
    pub legend: super::notes::legend::Legend,
    /// Where marks and suppliers stand.
    pub marked: super::excluded::marked::Marked,
    /// Quantities in door schedules.
    pub row_counts: super::counts::rowcounts::RowCounts,
    /// Rows that are hidden, and those that are called superseded.
    pub hidden_rows: BTreeSet<crate::place::Place>,
    pub old_rows: BTreeSet<crate::place::Place>,
    /// File and name of sheets that are hidden or called old.
    pub old_sheets: BTreeSet<(Arc<str>, Arc<str>)>,
    /// Those of them that are called so, and not hidden.
    pub called_old: BTreeSet<(Arc<str>, Arc<str>)>,
}

/// Reads one sheet.
pub(crate) fn sheet(sheet: &Sheet, terms: Option<&ReadTerms>, out: &mut Gathered) {
    let ignored = terms.and_then(|terms| terms.holds.as_deref()) == Some("ignore");
    let mut tables = if ignored { Vec::new() } else { table::find(sheet, terms) };
    kinds::keys(sheet, &mut tables, terms);
    kinds::count_doors(sheet, &mut tables);
    // What the user said of a sheet goes before what its look says.
    let across = if terms.is_some_and(|terms| terms.header_row.is_some() || !terms.columns.is_empty()) || ignored {
        Vec::new()
    } else {
        across::find(sheet, &out.set_ids)
    };
    tables.retain(|table| !across.iter().any(|across| across.covers(table.rows.1)));
    for table in &tables {
        layout::explain(sheet, table, out);
        layout::doubts(sheet, table, out);
    }
    let mut bare = if ignored { BTreeMap::new() } else { bareheads::find(sheet, &tables) };
    if bare.is_empty() && !ignored {
        bare.extend(typeheads::find(sheet, &tables));
    }
    let mut walker = Walker {
        sheet,
        lanes: vec![Lane::free()],
        next: 0,
        tables: tables.into_iter().map(Arc::new).collect(),
        seen: BTreeSet::new(),
        after_table: false,
        passing: ignored,
        foreign: false,
        recurring: repeats::recurring(sheet),
        footed: repeats::footed(sheet),
        noting: false,
        signed: false,
        merged: merges::down(sheet),
        merges_told: false,
        card_above: None,
        ahead: Ahead::default(),
        cards: if ignored { Vec::new() } else { cards::find(sheet, out.cards_seen) },
        across,
        assign_next: None,
        sums: Sums::default(),
        bare,
        above: if ignored { Default::default() } else { listsabove::Above::of(sheet) },
    };
    walker.tell_cards(out);
    walker.free_columns(out);
    if let Some(found) = setheading::heading(&sheet.name) {
        walker.sheet_set(found, out);
    }
    let (first_row, first_set) = (out.schedule.ledger.len(), out.schedule.sets.len());
    let mut walked = (walker, out);
    ahead::walk(
        sheet,
        &mut walked,
        |(walker, _)| &mut walker.ahead,
        |(walker, out), index| {
            let row = &sheet.rows[index];
            let text = row.joined();
            let role = walker.row_role(index, &text, out);
            out.schedule.ledger.push(ledger_row(sheet, row.number, text, role));
        },
    );
    let (_, out) = walked;
    layout::blocks(sheet, first_row, first_set, out);
}

/// A row of the ledger, with as much of its text as that keeps.
pub(crate) fn ledger_row(sheet: &Sheet, number: u32, mut text: String, role: Role) -> LedgerRow {
    if text.len() > LEDGER_TEXT
        && let Some((end, _)) = text.char_indices().nth(LEDGER_TEXT)
    {
        text.truncate(end);
    }
    LedgerRow { place: sheet.place(number), role, text }
}

pub(crate) struct Walker<'a> {
    pub(crate) sheet: &'a Sheet,
    pub(crate) tables: Vec<Arc<Table>>,
    pub(crate) next: usize,
    pub(crate) lanes: Vec<Lane>,
    /// Joined texts of heading and title rows, to know repeats.
    pub(crate) seen: BTreeSet<String>,
    pub(crate) after_table: bool,
    pub(crate) passing: bool,
    pub(crate) foreign: bool,
    /// Single-cell texts that come more than once but for a page number at their end.
    pub(crate) recurring: BTreeSet<String>,
    /// Pages have feet with the number of the page.
    pub(crate) footed: bool,
    /// General notes have begun.
    pub(crate) noting: bool,
    /// A letter has ended: only who wrote it stands below.
    pub(crate) signed: bool,
    /// Cells that merges carry down, by row.
    pub(crate) merged: merges::Down,
    /// That merged cells were carried down was told.
    pub(crate) merges_told: bool,
    /// Sets that stand across.
    pub(crate) across: Vec<across::Across>,
    /// The door of the card above, if it is one card and lists no goods itself.
    pub(crate) card_above: Option<usize>,
    /// Cards for doors.
    pub(crate) cards: Vec<cards::Cards>,
    /// Doors read ahead of their rows.
    pub(crate) ahead: Ahead,
    /// The set whose doors the next rows list.
    pub(crate) assign_next: Option<String>,
    /// What the counts of its tables add up to.
    pub(crate) sums: Sums,
    /// Headings of sets that do not say so, by row.
    pub(crate) bare: BTreeMap<u32, bareheads::Bare>,
    /// Lists of doors above the headings of their sets.
    pub(crate) above: listsabove::Above,
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

    /// The one role of a row.
    fn row_role(&mut self, index: usize, text: &str, out: &mut Gathered) -> Role {
        let sheet = self.sheet;
        let row = &sheet.rows[index];
        damage::tell(sheet, row, &|column| super::lane::reads(&self.lanes, column), &mut out.schedule.findings);
        if self.passing {
            return if index == 0 { Role::Title } else { Role::Note };
        }
        if let Some(role) = self.signature(index, text, out).or_else(|| self.card_row(index, out)) {
            return role;
        }
        if let Some(role) = self.across_row(index, text, out).or_else(|| self.heading_row(index, out)) {
            return role;
        }
        // What is told by its words has few cells; rows of tables are not folded for nothing.
        let folded = if row.cells.len() <= 6 { plain(text) } else { String::new() };
        let last = folded.trim_matches(|letter: char| "*- .,!".contains(letter) || letter.is_ascii_digit());
        if words::list("end").is(last) || self.ends_letter(index, text, last) {
            self.lanes.iter_mut().for_each(|lane| lane.set = None);
            return Role::Note;
        }
        if row.cells.iter().all(|cell| cell.struck) {
            return self.struck_row(row, out);
        }
        if self.struck_door(row) {
            return Role::Excluded;
        }
        if row.cells.len() == 1 && headings::only_headings(text) {
            let repeat = !self.seen.insert(folded);
            self.lost_columns(text, index, out);
            return if repeat { Role::Repeat } else { Role::Header };
        }
        let heads = || self.bare.contains_key(&row.number) || setheading::heading(text).is_some();
        if row.cells.len() <= 4
            && !heads()
            && let Some(role) = self.page_break(index, &folded)
        {
            return if role == Role::Note { note(sheet, text, row, out) } else { role };
        }
        if self.titles_doors(index) {
            return Role::Title;
        }
        if self.ends_blocks(index, &folded) {
            return note(sheet, text, row, out);
        }
        self.part_headings(row);
        let mut best: Option<Role> = None;
        for lane in 0..self.lanes.len() {
            let range = self.lanes[lane].range;
            let own = |cell: &&Cell| (range.0..=range.1).contains(&cell.column) && !cell.struck;
            if !row.cells.iter().any(|cell| own(&cell)) {
                continue;
            }
            // Most rows belong to one table as they are.
            let role = if row.cells.iter().all(|cell| own(&cell)) && !self.merged.contains_key(&row.number) {
                self.lane_role(lane, row, out)
            } else {
                let cells = row.cells.iter().filter(own).cloned().collect();
                let mut part = Row { number: row.number, cells, hidden: row.hidden };
                self.fill_merged(lane, &mut part, out);
                self.lane_role(lane, &part, out)
            };
            best = Some(best.map_or(role, |before| before.stronger(role)));
        }
        self.revised(row, text, out);
        let role = best.unwrap_or(Role::Note);
        if role == Role::Title && row.cells.len() <= 4 {
            self.seen.insert(folded);
        }
        role
    }

    fn heading_row(&mut self, index: usize, out: &mut Gathered) -> Option<Role> {
        let table = self.tables.get(self.next)?;
        if index < table.rows.0 || index > table.rows.1 {
            return None;
        }
        if table.headless {
            self.lanes = vec![Lane { range: table.lane, table: Some(table.clone()), ..Lane::free() }];
            self.next += 1;
            self.after_table = true;
            return None;
        }
        let rows = table.rows;
        let key = |at: usize| {
            self.sheet.rows[at].cells.iter().map(|cell| headings::key(&cell.text)).collect::<Vec<_>>().join("|")
        };
        let text = key(index);
        let repeat = !self.seen.insert(text);
        if index == rows.1 {
            let mut fresh: Vec<Arc<Table>> = Vec::new();
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
                lane.begin(table, out);
                self.lanes.push(lane);
            }
            self.after_table = true;
            self.set_in_heading(index, out);
        }
        Some(if repeat { Role::Repeat } else { Role::Header })
    }

    fn lane_role(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let mended = self.mended_row(lane, row, out);
        let row = mended.as_ref().unwrap_or(row);
        let bare = self.without_margin(lane, row).or_else(|| self.ordered_goods(lane, row, out));
        let row = bare.as_ref().unwrap_or(row);
        let holds = self.lanes[lane].table.as_ref().map(|table| table.holds);
        let in_set_column =
            holds == Some(Holds::Items) && self.lanes[lane].table.as_ref().is_some_and(|table| table.has(M::Set));
        if let Some(role) = self.set_in_a_line(lane, row, out) {
            return role;
        }
        if row.cells.len() <= 4
            && let Some(found) = setheading::heading(&join_single(&row.cells))
                .filter(|found| setheading::is_plausible(found, row, in_set_column) && !self.lanes[lane].counts(row))
        {
            return self.set_heading(lane, found, row, out);
        }
        if let Some(role) = self.set_behind(lane, row, out) {
            return role;
        }
        if let Some(role) = self.goes_on(lane, row, out) {
            return role;
        }
        if let Some(role) = self.bare_heading(lane, row, out).or_else(|| self.assigning(lane, row, out)) {
            return role;
        }
        if self.lanes[lane].set.is_some() && self.is_grouped_door(lane, row) {
            return self.grouped_door(lane, row, out);
        }
        match holds {
            Some(Holds::Doors) if self.lanes[lane].lost && self.lanes[lane].set.is_none() => {
                self.lost_row(lane, row, out)
            }
            Some(Holds::Doors) if self.lanes[lane].set.is_none() => self.door_row(lane, row, out),
            Some(Holds::Matrix) => self.matrix_row(lane, row, out),
            Some(Holds::SetMatrix) => self.set_row(lane, row, out),
            Some(Holds::DoorItems) if self.lanes[lane].set.is_none() => self.door_item_row(lane, row, out),
            Some(Holds::Types) => self.type_row(lane, row, out),
            Some(Holds::Counts) => self.count_row(lane, row, out),
            Some(Holds::Components) => self.component_row(lane, row, out),
            Some(Holds::SetIndex) => self.index_row(lane, row, out),
            Some(Holds::Legend) => self.legend_row(lane, row, out),
            Some(Holds::Passed) if self.lanes[lane].set.is_none() => note(self.sheet, &join(&row.cells), row, out),
            _ => self.door_head(lane, row, out).unwrap_or_else(|| self.item_row(lane, row, out)),
        }
    }

    pub(crate) fn set_heading(
        &mut self,
        lane: usize,
        mut found: setheading::Heading,
        row: &Row,
        out: &mut Gathered,
    ) -> Role {
        let place = self.sheet.place(row.number);
        let basis = setheading::takes_basis(&mut found);
        let doors = found.doors.clone();
        let again = out
            .schedule
            .sets
            .iter()
            .position(|set| set.id == found.id && set.place.file == place.file && set.place.sheet == place.sheet);
        // `HARDWARE SET 4 (CONT'D)` on the next page goes on with the set.
        let goes_on = again.filter(|_| words::list("set-goes-on").is_within(&plain(&found.title)));
        // A list of the sets before the sets themselves names each once more.
        let listed = again.filter(|at| {
            let set = &out.schedule.sets[*at];
            set.lines.is_empty() && set.openings.is_empty() && set.not_used.is_none() && set.notes.is_empty()
        });
        if let Some(at) = listed
            .filter(|_| goes_on.is_none() && found.title.len() > out.schedule.sets[again.unwrap_or(0)].title.len())
        {
            out.schedule.sets[at].title.clone_from(&found.title);
        }
        // A row that names doors is their source, whatever it repeats.
        let repeats = goes_on.is_some() && doors.is_empty();
        let index = goes_on.or(listed).unwrap_or_else(|| add_set(found, place.clone(), out));
        if let Some(id) = setheading::same_as(&out.schedule.sets[index].title) {
            out.same.push((index, id, place.clone(), out.schedule.sets[index].title.clone()));
        }
        if let Some(count) = bareheads::counted_in(&out.schedule.sets[index].title) {
            out.assigned.count(index, count, self.sheet.place(row.number));
        }
        let mut old = self.lanes[lane].table.take();
        if old.as_ref().is_some_and(|table| table.holds == Holds::Doors) {
            self.lanes[lane].doors = old.take();
        }
        // `Set L1 - Laboratory` alone in the column of sets names the set of the rows below it.
        let in_column = |table: &Table| table.column(M::Set).is_none_or(|of| of.index == row.cells[0].column);
        let old = old.filter(|table| table.holds == Holds::Items && in_column(table));
        if old.is_none() && self.lanes.len() == 1 {
            self.lanes[lane].range = (0, usize::MAX);
        }
        self.lanes[lane].table = old;
        self.lanes[lane].open_set(index);
        self.lanes[lane].basis = basis;
        if !doors.is_empty() {
            out.served.push((index, doors, place));
        }
        self.above.serve(index, out);
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
        if repeats { Role::Repeat } else { Role::Set }
    }
}
