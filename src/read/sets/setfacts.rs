//! What stands under a set's heading of the doors it serves, `Size: (2) 3'-0" x 7'-0" x 1-3/4"  HM / HM  90 MIN`, `Location:
//! stair`: no goods. Doors that only the heading names have it as their facts.

use crate::trade::rating::Rating;

use super::headfacts::Facts;
use super::setheading;
use crate::read::counts::types::lend;
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::goods::userows::names_numbers;
use crate::read::openings::doorlist;
use crate::read::openings::doors::{self, Reader};
use crate::read::schedule::{Note, Opening, Role};
use crate::read::sheet::{Cell, CellKind, Row, join};
use crate::read::tables::columns::looks;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{Column, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// A label is no longer than this.
const LONGEST: usize = 24;

impl Walker<'_> {
    /// Reads a row as facts about the doors of the set it stands under.
    pub(crate) fn set_facts(&self, set: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let (meaning, values) = labelled(row).or_else(|| titled(row))?;
        let worded = matches!(meaning, M::Room | M::RoomTo).then(|| join(&values));
        out.schedule.sets[set].notes.push(Note { text: join(&row.cells), place: self.sheet.place(row.number) });
        let mut columns = vec![column(0, M::DoorNumber)];
        let mut cells = Vec::new();
        for (at, cell) in values.into_iter().enumerate() {
            let meaning = if at == 0 { meaning } else { told_by_itself(&cell.text) };
            columns.push(column(at + 1, meaning));
            cells.push(Cell { column: at + 1, ..cell });
        }
        let table = Table::of_doors(columns);
        let facts = Row { number: row.number, cells, hidden: row.hidden };
        let reader = Reader { sheet: self.sheet, row: &facts, table: &table };
        let id = out.schedule.sets[set].id.clone();
        let mut findings = Vec::new();
        let mut told = doors::opening(&reader, &format!("of set {id}"), &mut findings);
        if let Some(words) = worded {
            // `DESCRIPTION: CORRIDOR PAIR, 90 MIN` says of the doors what a title does.
            let place = self.sheet.place(row.number);
            if let Some(facts) = Facts::of(&words).opening(&place, &mut findings) {
                lend_all(&facts, &mut told);
            }
            let of = &mut out.schedule.sets[set];
            if of.title.is_empty() && is_title(row) && !names_numbers(&plain(&words)) {
                of.title = words;
            }
        }
        for mut finding in findings {
            // They are of the doors of the set, and the columns those of the row made here.
            finding.openings.clear();
            finding.set = Some(id.clone());
            finding.place = Some(self.sheet.place(row.number));
            out.schedule.findings.push(finding);
        }
        match out.set_facts.get_mut(&set) {
            Some(known) => lend_all(&told, known),
            None => {
                out.set_facts.insert(set, told);
            }
        }
        Some(Role::Note)
    }
}

/// Gives a door what its set's heading tells.
pub(crate) fn lend_all(facts: &Opening, door: &mut Opening) {
    lend(facts, door);
    if door.room.is_empty() {
        door.room.clone_from(&facts.room);
    }
}

/// The label of a row and what stands behind it in its cell: `Location: stair`, `Location | stair`.
fn parted(row: &Row) -> Option<(&str, &str)> {
    let first = row.cells.first()?;
    first.text.split_once(':').or_else(|| {
        let alone = row.cells.len() == 2 && row.cells[1].kind == CellKind::Text;
        alone.then_some((first.text.as_str(), ""))
    })
}

/// The meaning of a row's label, and its values parted where columns were.
fn labelled(row: &Row) -> Option<(M, Vec<Cell>)> {
    let first = row.cells.first()?;
    let (label, value) = parted(row)?;
    if label.len() > LONGEST || row.cells.len() > 5 {
        return None;
    }
    let meaning = match headings::of_cell(label.trim())? {
        Heard::Material => M::DoorMaterial,
        Heard::One(
            meaning @ (M::Size
            | M::Width
            | M::Height
            | M::LeafWidth
            | M::Thickness
            | M::Rating
            | M::Hand
            | M::DoorMaterial
            | M::FrameMaterial
            | M::Room
            | M::RoomTo
            | M::Leaves),
        ) => meaning,
        _ => return None,
    };
    let parts = value.split("  ").map(str::trim).filter(|part| !part.is_empty());
    let cells = parts.map(|part| Cell { text: part.to_string(), ..first.clone() });
    let values: Vec<Cell> = cells.chain(row.cells[1..].iter().cloned()).collect();
    // Without its colon a label is one of places alone, and goods are none.
    let goods = || values.iter().any(|cell| words::list("hardware").find(&plain(&cell.text)).is_some());
    if !first.text.contains(':') && (!matches!(meaning, M::Room | M::RoomTo) || goods()) {
        return None;
    }
    (!values.is_empty()).then_some((meaning, values))
}

/// Whether the label of a row says that its words are the title of the set.
fn is_title(row: &Row) -> bool {
    parted(row).is_some_and(|(label, _)| words::list("label-of-title").is(plain(label).trim_end()))
}

/// `DESCRIPTION: OFFICE`: what the set is for, in words that name no goods and count nothing.
fn titled(row: &Row) -> Option<(M, Vec<Cell>)> {
    let first = row.cells.first()?;
    let (label, value) = parted(row)?;
    if label.len() > LONGEST || row.cells.len() > 2 || !is_title(row) {
        return None;
    }
    let value = Cell { text: value.trim().to_string(), ..first.clone() };
    let values: Vec<Cell> =
        std::iter::once(value).chain(row.cells[1..].iter().cloned()).filter(|cell| !cell.text.is_empty()).collect();
    let folded = plain(&join(&values));
    let worded = folded.split(|sign: char| !sign.is_ascii_alphabetic()).any(|word| word.len() > 2);
    let goods = ["goods", "not-used"].iter().any(|list| words::list(list).find(&folded).is_some())
        || words::list("hardware").all(&folded).iter().any(|word| !words::list("words-of-use").is(word));
    let doors = doorlist::parse(&folded).is_some()
        || words::list("door-heads").begins(&folded).is_some_and(|_| folded.bytes().any(|byte| byte.is_ascii_digit()));
    // `Typical at: rooms 101 thru 105` names doors or rooms, and is no title.
    let doors = doors || names_numbers(&folded);
    let other = goods || doors || starts_with_quantity(&folded) || setheading::same_as(&folded).is_some();
    (worded && !other).then_some((M::Room, values))
}

/// What a value behind the first one means, by its look alone.
fn told_by_itself(text: &str) -> M {
    let material = |part: &str| words::leaf_material(part.trim()).is_some();
    if text.split('/').all(material) {
        return M::DoorMaterial;
    }
    if looks(M::Size, text) == Some(true) {
        return M::Size;
    }
    if looks(M::Hand, text) == Some(true) {
        return M::Hand;
    }
    if Rating::looks_like(text) { M::Rating } else { M::Other }
}

fn column(index: usize, meaning: M) -> Column {
    Column { index, heading: String::new(), meaning, why: String::new() }
}
