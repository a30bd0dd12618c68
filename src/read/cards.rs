//! Cards for doors: labels with their values, `Door: 101`, `Size: 3-0 x 7-0`, `HW set: 4`, repeated down a sheet, perhaps
//! side by side; and a door schedule turned on its side, with the doors across and the facts down. Each card, or column,
//! is read as the row that it would be in a table.

use crate::finding::Finding;
use crate::place::column_letter;

use super::columns::looks;
use super::doors::{self, Reader};
use super::headings::{self, Heard, Meaning as M};
use super::schedule::{LayoutNote, Opening, Role};
use super::sheet::{Cell, Row, Sheet};
use super::table::{Column, Holds, Table};
use super::walk::{Gathered, Lane, Last, Walker};
use super::words::{self, plain};

/// A label is no longer than this.
const LONGEST: usize = 32;

/// One or more cards that stand in the same rows.
#[derive(Debug)]
pub(super) struct Cards {
    /// Indices of the rows, the first and the one after the last.
    rows: (usize, usize),
    doors: Vec<Card>,
}

/// One door's card.
#[derive(Debug)]
struct Card {
    /// Column of the label of its number, and of the number.
    label: usize,
    number: Cell,
    facts: Vec<Fact>,
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

/// The labels and values of a row; `None` where it does not begin with a label.
fn fields(row: &Row, labels: Option<&[usize]>) -> Option<Vec<Field>> {
    let mut fields: Vec<Field> = Vec::new();
    for (at, cell) in row.cells.iter().enumerate() {
        let beside = row.cells.get(at + 1).is_some_and(|next| next.column == cell.column + 1);
        let may_label = labels.is_none_or(|labels| labels.contains(&cell.column));
        let within =
            cell.text.split_once(':').filter(|(label, value)| label.len() <= LONGEST && !value.trim().is_empty());
        let label = within.map_or(cell.text.trim_end_matches(':'), |(label, _)| label).trim();
        let heard = if label.len() <= LONGEST { headings::exact(&headings::key(label)) } else { None };
        let said = heard.is_some() || cell.text.contains(':') || labels.is_some() && beside;
        let worded = label.len() <= LONGEST && label.bytes().all(|byte| !byte.is_ascii_digit()) && !label.is_empty();
        if may_label && said && worded {
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

/// The numbers of the row with which cards begin: each label of a door number has at least one beside it.
fn numbers(row: &Row) -> Option<Vec<Card>> {
    let fields = fields(row, None)?;
    let mut cards = Vec::new();
    for field in &fields {
        let fits = |cell: &Cell| looks(M::DoorNumber, &cell.text) == Some(true) && !cell.struck;
        if !names_door(field.heard) || field.values.is_empty() || !field.values.iter().all(fits) {
            return None;
        }
        cards.extend(field.values.iter().map(|number| Card {
            label: field.column,
            number: number.clone(),
            facts: Vec::new(),
        }));
    }
    (!cards.is_empty()).then_some(cards)
}

/// The cards of a sheet. One alone is none: a title block has labels too.
pub(super) fn find(sheet: &Sheet) -> Vec<Cards> {
    let mut found: Vec<Cards> = Vec::new();
    let mut at = 0;
    while at < sheet.rows.len() {
        match numbers(&sheet.rows[at]).and_then(|cards| whole(sheet, at, cards)) {
            Some(cards) => {
                at = cards.rows.1;
                found.push(cards);
            }
            None => at += 1,
        }
    }
    if found.iter().map(|cards| cards.doors.len()).sum::<usize>() < 2 { Vec::new() } else { found }
}

/// The rows that go on with cards, if they tell of doors: a set or a size, and something else.
fn whole(sheet: &Sheet, first: usize, mut doors: Vec<Card>) -> Option<Cards> {
    let mut labels: Vec<usize> = doors.iter().map(|card| card.label).collect();
    labels.dedup();
    let mut known: Vec<M> = Vec::new();
    let mut end = first + 1;
    while let Some(row) = sheet.rows.get(end) {
        let apart = row.number > sheet.rows[end - 1].number + 1;
        let Some(fields) = fields(row, Some(&labels)) else { break };
        let heard = fields.iter().any(|field| field.heard.is_some());
        let foreign = fields.iter().any(|field| names_door(field.heard) || field.heading.len() > LONGEST);
        let others = fields.iter().flat_map(|field| &field.values).count();
        // After a gap only labels that are known go on, and what is heading upon heading is a table.
        if foreign || apart && !heard || !heard && others == 0 {
            break;
        }
        for field in fields {
            let meaning = meaning(field.heard, &known);
            if !known.contains(&meaning) {
                known.push(meaning);
            }
            for value in field.values.iter().filter(|value| !value.struck) {
                let own = doors.iter().position(|card| card.number.column == value.column);
                let before = || doors.iter().rposition(|card| card.label <= value.column);
                let Some(door) = own.or_else(before) else { continue };
                let heading = field.heading.clone();
                doors[door].facts.push(Fact { heading, meaning, row: row.number, cell: value.clone() });
            }
        }
        end += 1;
    }
    let tells = known.iter().any(|meaning| matches!(meaning, M::Set | M::Size | M::Width | M::LeafWidth));
    (tells && known.len() >= 3).then_some(Cards { rows: (first, end), doors })
}

/// What a label means among the labels before it on the card.
fn meaning(heard: Option<Heard>, known: &[M]) -> M {
    let first = |one: M, other: M| if known.contains(&one) { other } else { one };
    match heard {
        Some(Heard::One(M::Finish)) => first(M::DoorFinish, M::FrameFinish),
        Some(Heard::One(meaning)) => meaning,
        Some(Heard::SetOrDescription) => M::Set,
        Some(Heard::Material) => first(M::DoorMaterial, M::FrameMaterial),
        Some(Heard::Type) => first(M::DoorType, M::FrameType),
        Some(Heard::SmokeOrKind) => M::Smoke,
        Some(Heard::RemarksOrKind) => M::Kind,
        Some(Heard::NumberOrQuantity) | None => M::Other,
    }
}

impl Walker<'_> {
    /// Takes the tables away that were seen in the rows of cards, and says what the cards are.
    pub(super) fn tell_cards(&mut self, out: &mut Gathered) {
        let cards = &self.cards;
        self.tables.retain(|table| !cards.iter().any(|cards| (cards.rows.0..cards.rows.1).contains(&table.rows.0)));
        let doors: usize = cards.iter().map(|cards| cards.doors.len()).sum();
        if let Some(first) = cards.first() {
            out.schedule.layout.push(LayoutNote {
                place: self.sheet.place(self.sheet.rows[first.rows.0].number),
                what: "cards: one for each door".into(),
                why: format!("labels with values beside them, each card beginning with a door number; {doors} doors"),
            });
        }
    }

    /// The role of a row of cards; its doors are read at the first one.
    pub(super) fn card_row(&mut self, index: usize, out: &mut Gathered) -> Option<Role> {
        let cards = self.cards.iter().find(|cards| (cards.rows.0..cards.rows.1).contains(&index))?;
        if index > cards.rows.0 {
            return Some(Role::Continuation);
        }
        for card in &cards.doors {
            let number = self.sheet.rows[index].number;
            let (opening, mut findings) = door(self.sheet, number, card);
            out.set_column |= card.facts.iter().any(|fact| fact.meaning == M::Set);
            out.schedule.findings.append(&mut findings);
            out.schedule.openings.push(opening);
        }
        self.lanes = vec![Lane { last: Last::Nothing, ..Lane::free() }];
        Some(Role::Opening)
    }
}

/// Reads a card as the row of a table that has its labels as headings.
fn door(sheet: &Sheet, number: u32, card: &Card) -> (Opening, Vec<Finding>) {
    let mut columns = vec![column(0, "door", M::DoorNumber)];
    let mut cells = vec![Cell { column: 0, ..card.number.clone() }];
    for fact in &card.facts {
        let index = columns.len();
        columns.push(column(index, &fact.heading, fact.meaning));
        cells.push(Cell { column: index, ..fact.cell.clone() });
    }
    let table = Table {
        holds: Holds::Doors,
        why: String::new(),
        rows: (0, 0),
        columns,
        lane: (0, usize::MAX),
        headless: false,
        doubts: Vec::new(),
    };
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

fn column(index: usize, heading: &str, meaning: M) -> Column {
    Column { index, heading: heading.to_string(), meaning, why: String::new() }
}
