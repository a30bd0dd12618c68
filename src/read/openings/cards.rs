//! Cards for doors: labels with their values, `Door: 101`, `Size: 3-0 x 7-0`, `HW set: 4`, repeated down a sheet, perhaps
//! side by side; and a door schedule turned on its side, with the doors across and the facts down. Each card, or column,
//! is read as the row that it would be in a table. Under its facts a card may list its goods, `Hardware:` and the items
//! below: they are the set of that door alone, unless the card names another.

use crate::finding::Finding;
use crate::place::column_letter;

use super::cardparts::{self, LABEL};
use super::doorlist;
use super::doors::{self, Reader};
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::schedule::{LayoutNote, Opening, Role};
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::columns::looks;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{self, Column, Table};
use crate::read::tables::tablerows;
use crate::read::walk::{self, Gathered, Lane, Last, Walker};
use crate::read::words::{self, plain};

/// One or more cards that stand in the same rows.
#[derive(Debug)]
pub(crate) struct Cards {
    /// Indices of the rows, the first and the one after the last.
    rows: (usize, usize),
    /// The rows among them that list goods.
    goods: Option<(usize, usize)>,
    doors: Vec<Card>,
    /// Different things that the labels tell.
    told: usize,
}

/// One door's card.
#[derive(Debug)]
struct Card {
    /// Column of the label of its number, and of the number.
    label: usize,
    number: Cell,
    facts: Vec<Fact>,
}

impl Card {
    fn is_lost(&self, row: u32) -> bool {
        self.number.text == cardparts::by_row(row)
    }
}

#[derive(Debug)]
struct Fact {
    heading: String,
    meaning: M,
    row: u32,
    cell: Cell,
}

/// A label of a row with the cells that follow it up to the next label.
struct Field {
    heading: String,
    heard: Option<Heard>,
    column: usize,
    values: Vec<Cell>,
}

/// The labels and values of a row; `None` where it does not begin with a label. Beside the columns in which labels are
/// expected only those count that are known and have a colon.
fn fields(row: &Row, labels: Option<&[usize]>) -> Option<Vec<Field>> {
    let mut fields: Vec<Field> = Vec::new();
    let row = cardparts::apart(row);
    for (at, cell) in row.cells.iter().enumerate() {
        let beside = row.cells.get(at + 1).is_some_and(|next| next.column == cell.column + 1);
        let expected = labels.is_none_or(|labels| labels.contains(&cell.column));
        let within =
            cell.text.split_once(':').filter(|(label, value)| label.len() <= LABEL && !value.trim().is_empty());
        let label = within.map_or(cell.text.trim_end_matches(':'), |(label, _)| label).trim();
        let worded = label.len() <= LABEL && label.bytes().all(|byte| !byte.is_ascii_digit()) && !label.is_empty();
        let colon = cell.text.contains(':');
        // Most rows of a sheet begin with a figure and end here.
        let heard = if worded && (expected || colon) { headings::of_cell(label) } else { None };
        let said =
            if expected { heard.is_some() || colon || labels.is_some() && beside } else { heard.is_some() && colon };
        // What stands right beside a label is its value, whatever it says.
        let value = fields.last().is_some_and(|field| {
            field.values.is_empty() && cell.column == field.column + 1 && !colon && !(expected && labels.is_some())
        });
        if said && worded && !value {
            let values = within.map(|(_, value)| Cell { text: value.trim().to_string(), ..cell.clone() });
            let (heading, column) = (label.to_string(), cell.column);
            fields.push(Field { heading, heard, column, values: values.into_iter().collect() });
        } else {
            fields.last_mut()?.values.push(cell.clone());
        }
    }
    Some(fields)
}

fn names_door(heard: Option<Heard>) -> bool {
    heard == Some(Heard::One(M::DoorNumber))
}

/// What the first row of cards gives.
#[derive(Default)]
struct Begun {
    doors: Vec<Card>,
    known: Vec<M>,
    /// Columns of labels.
    labels: Vec<usize>,
    /// It begins as the one before it did: few facts tell that it is one.
    like: bool,
}

/// The numbers of the row with which cards begin: each label of a door number has at least one beside it. Other facts may
/// follow them in the row.
fn numbers(row: &Row) -> Option<Begun> {
    if !names_door(headings::of_cell(row.cells.first()?.text.split(':').next()?)) {
        return None;
    }
    let mut begun = Begun::default();
    for field in fields(row, None)? {
        let fits = |cell: &Cell| looks(M::DoorNumber, &cell.text) == Some(true) && !cell.struck;
        if names_door(field.heard) {
            let numbers = field.values.iter().take_while(|cell| fits(cell)).count();
            // `Card | 1 of 12` behind the number is a label that nobody knows, with its value.
            let others = field.values.get(numbers..).unwrap_or_default();
            let labelled = others.is_empty() || numbers == 1 && cardparts::are_labelled(others);
            // Beside the card of a door stands one whose number is lost.
            if numbers == 0 && field.values.len() <= 1 && cardparts::is_lost(field.values.first()) {
                begun.labels.push(field.column);
                begun.doors.push(lost(row.number, field.column));
                continue;
            }
            if numbers == 0 || !labelled {
                return None;
            }
            begun.labels.push(field.column);
            begun.labels.extend(others.iter().step_by(2).map(|cell| cell.column));
            let card = |number: Cell| Card { label: field.column, number, facts: Vec::new() };
            begun.doors.extend(field.values.into_iter().take(numbers).map(card));
        } else {
            field.heard?;
            begun.labels.push(field.column);
            take(field, row.number, &mut begun.doors, &mut begun.known);
        }
    }
    begun.doors.iter().any(|card| !card.is_lost(row.number)).then_some(begun)
}

/// A card whose number cannot be read; it is called by its row.
fn lost(row: u32, label: usize) -> Card {
    Card { label, number: Cell::text(label + 1, &cardparts::by_row(row)), facts: Vec::new() }
}

/// A card like the one before it, whose number is lost: what it tells is of no other door.
fn nameless(sheet: &Sheet, at: usize, before: &Cards) -> Option<Begun> {
    let [card] = &before.doors[..] else { return None };
    let row = &sheet.rows[at];
    let like = cardparts::nameless(row, &sheet.rows[before.rows.0]);
    like.then(|| Begun {
        doors: vec![lost(row.number, card.label)],
        labels: vec![card.label],
        like: true,
        ..Begun::default()
    })
}

/// Under the number `Opening: 36 x 84` tells the size of the opening, no other door.
fn sized(mut field: Field) -> Field {
    let number = |cell: &Cell| looks(M::DoorNumber, &cell.text) == Some(true);
    if names_door(field.heard) && !field.values.is_empty() && !field.values.iter().any(number) {
        let sized = field.values.iter().all(|cell| looks(M::Size, &cell.text) == Some(true));
        field.heard = sized.then_some(Heard::One(M::Size));
    }
    field
}

/// After a card a number alone, right above a label that is known: a card whose number has lost its label.
fn unlabelled(sheet: &Sheet, at: usize, before: &Cards) -> Option<Begun> {
    let ([cell], [card]) = (&sheet.rows[at].cells[..], &before.doors[..]) else { return None };
    let next = sheet.rows.get(at + 1).filter(|next| next.number == sheet.rows[at].number + 1)?;
    let placed = cell.column == card.label || cell.column == card.number.column;
    if !placed || cell.struck || looks(M::DoorNumber, &cell.text) != Some(true) {
        return None;
    }
    let labels = vec![card.label];
    let heard = fields(next, Some(&labels))?.first()?.heard;
    heard.filter(|_| !names_door(heard))?;
    let card = Card { label: card.label, number: cell.clone(), facts: Vec::new() };
    Some(Begun { doors: vec![card], labels, ..Begun::default() })
}

/// Gives the values of a label to the cards in whose columns they stand.
fn take(field: Field, row: u32, doors: &mut [Card], known: &mut Vec<M>) {
    let meaning = cardparts::meaning(field.heard, known);
    if !known.contains(&meaning) {
        known.push(meaning);
    }
    for value in field.values.into_iter().filter(|value| !value.struck) {
        let own = doors.iter().position(|card| card.number.column == value.column);
        let before = || doors.iter().rposition(|card| card.label <= value.column);
        let Some(door) = own.or_else(before) else { continue };
        doors[door].facts.push(Fact { heading: field.heading.clone(), meaning, row, cell: value });
    }
}

/// The cards of a sheet. One alone must tell more, unless other sheets hold cards: a title block has labels too.
pub(crate) fn find(sheet: &Sheet, seen: bool) -> Vec<Cards> {
    let mut found: Vec<Cards> = Vec::new();
    let mut at = 0;
    while at < sheet.rows.len() {
        let begun = numbers(&sheet.rows[at])
            .or_else(|| nameless(sheet, at, found.last()?))
            .or_else(|| unlabelled(sheet, at, found.last()?));
        match begun.and_then(|begun| whole(sheet, at, begun)) {
            Some(cards) => {
                at = cards.rows.1;
                found.push(cards);
            }
            None => at += 1,
        }
    }
    let doors: usize = found.iter().map(|cards| cards.doors.len()).sum();
    let alone = doors == 1 && !seen && found.iter().all(|cards| cards.goods.is_none() && cards.told < 5);
    if alone { Vec::new() } else { found }
}

/// The rows that go on with cards, if they tell of doors: a set, a size or goods, and something else.
fn whole(sheet: &Sheet, first: usize, begun: Begun) -> Option<Cards> {
    let Begun { mut doors, mut known, labels, like } = begun;
    let in_row = known.len() >= 2 || like;
    let distinct = doors.windows(2).all(|pair| pair[0].label != pair[1].label);
    let (mut goods, mut below) = (None, 0);
    let mut end = first + 1;
    while let Some(row) = sheet.rows.get(end) {
        if cardparts::is_rule(row) {
            end += 1;
            break;
        }
        if doors.len() == 1 && cardparts::nameless(row, &sheet.rows[first]) {
            break;
        }
        let apart = row.number > sheet.rows[end - 1].number + 1;
        // `Qty | Hardware | Finish` heads a table of goods.
        let counts = |cell: &Cell| headings::of_cell(&cell.text) == Some(Heard::One(M::Quantity));
        if table::is_heading_row(row) && row.cells.iter().any(counts) {
            below = 1;
            break;
        }
        let Some(fields) = fields(row, Some(&labels)) else { break };
        let fields: Vec<Field> = fields.into_iter().map(sized).collect();
        let heard = fields.iter().any(|field| field.heard.is_some());
        let foreign = fields.iter().any(|field| names_door(field.heard) || field.heading.len() > LABEL);
        let others = fields.iter().flat_map(|field| &field.values).count();
        // After a gap only labels that are known go on, and what is heading upon heading is a table.
        if foreign || apart && !heard || !heard && others == 0 {
            break;
        }
        // Where one label stands before several doors, whose the goods are is not told.
        if goods.is_none() && others == 0 && distinct && fields.iter().all(|field| cardparts::lists(field.heard)) {
            let last = goods_end(sheet, end + 1, &labels);
            if last > end + 1 {
                goods = Some((end + 1, last));
                end = last;
                continue;
            }
        }
        for field in fields {
            take(field, row.number, &mut doors, &mut known);
        }
        end += 1;
    }
    let of_doors = |meaning: &M| matches!(meaning, M::Set | M::Size | M::Width | M::LeafWidth);
    // A table of goods right below tells as much as a label.
    let told = known.iter().filter(|meaning| **meaning != M::Other).count() + below;
    let tells = known.iter().any(of_doors) && (known.len() >= 3 || in_row) || goods.is_some() && told >= 1;
    // A form that nobody has filled in is no door.
    let filled = !like || doors.iter().any(|card| !card.facts.is_empty());
    (tells && filled).then_some(Cards { rows: (first, end), goods, doors, told })
}

/// The row after the goods that a card lists from a row on.
fn goods_end(sheet: &Sheet, from: usize, labels: &[usize]) -> usize {
    let ends = |at: usize| {
        let row = &sheet.rows[at];
        let apart = row.number > sheet.rows[at - 1].number + 1;
        let text = row.joined();
        // `103A` alone after a gap is the next door, though it may be heard as a count and a letter.
        let number = row.cells.len() == 1 && looks(M::DoorNumber, &text) == Some(true);
        let gone_on = !apart || starts_with_quantity(&plain(&text)) && !number;
        if cardparts::is_rule(row) || setheading::heading(&text).is_some() || !gone_on {
            return true;
        }
        if table::is_heading_row(row) {
            let heard = |cell: &Cell| headings::of_cell(&cell.text);
            return row.cells.iter().any(|cell| names_door(heard(cell)));
        }
        let label = row.cells.first().filter(|cell| labels.contains(&cell.column));
        label.is_some_and(|cell| {
            let heard = headings::exact(&headings::key(cell.text.split(':').next().unwrap_or_default()));
            // `Closer` is a heading too, and an item here.
            !matches!(heard, None | Some(Heard::One(M::Kind | M::Description | M::Finish) | Heard::SmokeOrKind))
                && !matches!(heard, Some(Heard::RemarksOrKind))
        })
    };
    (from..sheet.rows.len()).find(|at| ends(*at)).unwrap_or(sheet.rows.len())
}

/// The cards in whose rows a row stands; they follow each other.
fn cards_at(cards: &[Cards], index: usize) -> Option<&Cards> {
    let at = cards.partition_point(|cards| cards.rows.1 <= index);
    cards.get(at).filter(|cards| cards.rows.0 <= index)
}

impl Walker<'_> {
    /// Takes the tables away that were seen in the rows of cards, and says what the cards are.
    pub(crate) fn tell_cards(&mut self, out: &mut Gathered) {
        let cards = &self.cards;
        let listed = |cards: &Cards, at: usize| cards.goods.is_some_and(|goods| (goods.0..goods.1).contains(&at));
        let taken = |at: usize| cards_at(cards, at).is_some_and(|cards| !listed(cards, at));
        self.tables.retain(|table| !taken(table.rows.1));
        let doors: usize = cards.iter().map(|cards| cards.doors.len()).sum();
        if let Some(first) = cards.first() {
            out.cards_seen = true;
            out.schedule.layout.push(LayoutNote {
                place: self.sheet.place(self.sheet.rows[first.rows.0].number),
                what: "cards: one for each door".into(),
                why: format!("labels with values beside them, each card beginning with a door number; {doors} doors"),
            });
        }
        for cards in cards {
            let row = &self.sheet.rows[cards.rows.0];
            if let ([one], [card]) = (&row.cells[..], &cards.doors[..])
                && !one.text.contains(':')
            {
                out.schedule.layout.push(LayoutNote {
                    place: self.sheet.place(row.number),
                    what: format!("{}: a card like those before it", card.number.text),
                    why: "a number without a label, and labels with values right below it".into(),
                });
            }
        }
    }

    /// The role of a row of cards; its doors are read at the first one. The goods of a card are rows of a set like others.
    pub(crate) fn card_row(&mut self, index: usize, out: &mut Gathered) -> Option<Role> {
        let Some(cards) = cards_at(&self.cards, index) else {
            return self.without_card(index, out);
        };
        if let Some(goods) = cards.goods.filter(|goods| index >= goods.0) {
            if index < goods.1 {
                return None;
            }
            self.lanes = vec![Lane::free()];
            return Some(Role::Continuation);
        }
        if index > cards.rows.0 {
            return Some(Role::Continuation);
        }
        self.lanes = vec![Lane { last: Last::Nothing, ..Lane::free() }];
        let mut lanes: Vec<Lane> = Vec::new();
        for (at, card) in cards.doors.iter().enumerate() {
            let number = self.sheet.rows[index].number;
            let (mut opening, mut findings) = door(self.sheet, number, card);
            out.set_column |= card.facts.iter().any(|fact| fact.meaning == M::Set);
            if cards.goods.is_some() {
                // The row that says its id: that of the door, or of the card's set.
                let fact = card.facts.iter().find(|fact| fact.meaning == M::Set);
                let row = fact.filter(|_| opening.set.is_some()).map_or(number, |fact| fact.row);
                let id = opening.set.get_or_insert_with(|| opening.number.clone()).clone();
                let heading = setheading::Heading { id, title: String::new(), doors: Vec::new(), not_used: None };
                let set = walk::add_set(heading, self.sheet.place(row), out);
                out.card_sets.push((set, out.schedule.openings.len()));
                let next = cards.doors.get(at + 1).map_or(usize::MAX, |next| next.label.saturating_sub(1));
                let range = (if at == 0 { 0 } else { card.label }, next);
                lanes.push(Lane { range, set: Some(set), ..Lane::free() });
            }
            out.schedule.findings.append(&mut findings);
            if card.is_lost(number) {
                out.schedule.findings.push(tablerows::unnumbered(self.sheet, &self.sheet.rows[index]));
            }
            out.schedule.openings.push(opening);
        }
        let alone = matches!(cards.doors[..], [_]) && cards.goods.is_none();
        self.card_above = out.schedule.openings.len().checked_sub(1).filter(|_| alone);
        if !lanes.is_empty() {
            self.lanes = lanes;
        }
        Some(Role::Opening)
    }

    /// Between cards a number of their kind and a few words: a door that has no card, `112 | not drawn yet`.
    fn without_card(&self, index: usize, out: &mut Gathered) -> Option<Role> {
        let row = &self.sheet.rows[index];
        let cell = row.cells.first().filter(|cell| row.cells.len() <= 3 && !cell.struck)?;
        // `3 | HINGES | 652`, `12 | EA | SILENCERS` are goods, whatever numbers doors have.
        let names_goods = |cell: &Cell| words::list("hardware").find(&plain(&cell.text)).is_some();
        if row.cells[1..].iter().any(names_goods) || self.lanes.iter().any(|lane| lane.table.is_some()) {
            return None;
        }
        if looks(M::DoorNumber, &cell.text) != Some(true) {
            return None;
        }
        let own = doorlist::shape(&cell.text);
        let mut cards = self.cards.iter().flat_map(|cards| &cards.doors);
        let like = cards.clone().any(|card| doorlist::shape(&card.number.text) == own);
        if !like || cards.any(|card| card.number.text == cell.text) {
            return None;
        }
        let fact =
            |cell: &Cell| Fact { heading: "Remarks".into(), meaning: M::Remarks, row: row.number, cell: cell.clone() };
        let card = Card { label: cell.column, number: cell.clone(), facts: row.cells[1..].iter().map(fact).collect() };
        let (opening, mut findings) = door(self.sheet, row.number, &card);
        out.schedule.findings.append(&mut findings);
        out.schedule.openings.push(opening);
        Some(Role::Opening)
    }
}

/// Reads a card as the row of a table that has its labels as headings.
fn door(sheet: &Sheet, number: u32, card: &Card) -> (Opening, Vec<Finding>) {
    let mut columns = vec![Column::named(0, "door", M::DoorNumber)];
    let mut cells = vec![Cell { column: 0, ..card.number.clone() }];
    for fact in &card.facts {
        let index = columns.len();
        columns.push(Column::named(index, &fact.heading, fact.meaning));
        cells.push(Cell { column: index, ..fact.cell.clone() });
    }
    let table = Table::of_doors(columns);
    let row = Row { number, cells, hidden: false };
    let mut findings = Vec::new();
    let reader = Reader { sheet, row: &row, table: &table };
    let mut opening = doors::opening(&reader, &card.number.text, &mut findings);
    // With a set the row's reader has told them.
    for fact in card.facts.iter().filter(|fact| fact.meaning == M::Kind && !table.has(M::Set)) {
        if !words::list("falsy").is(&plain(&fact.cell.text)) {
            let comma = if opening.remarks.is_empty() { "" } else { "; " };
            opening.remarks.push_str(&format!("{comma}{}: {}", fact.heading, fact.cell.text));
        }
    }
    // A finding names the column of the row made here; it stands in the card's own cell.
    for place in findings.iter_mut().filter_map(|finding| finding.place.as_mut()) {
        let Some(letter) = place.column.clone() else { continue };
        let fact = card.facts.iter().enumerate().find(|(at, _)| column_letter(at + 1) == *letter);
        *place = match fact {
            Some((_, fact)) => sheet.at(fact.row, fact.cell.column),
            None => sheet.at(number, card.number.column),
        };
    }
    (opening, findings)
}
