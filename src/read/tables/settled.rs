//! What is settled of columns and rows once it is known what their table holds: materials of doors where words and quantities
//! made it look like one of goods, general headings of a matrix of sets, and its sets of one letter.

use std::collections::BTreeMap;

use super::headings::{self, Heard, Meaning as M};
use super::table::{Column, HeardColumn, Holds, Table};
use super::{columns, kinds};
use crate::read::goods::itemtext;
use crate::read::grids::matrixkeys;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::words::{self, plain};
use crate::trade::room;

/// Why a column of a matrix of sets holds goods whatever its heading says.
pub(crate) const GENERAL: &str = "heading not known; its cells name goods";

/// What columns are in a table that holds doors or sets.
pub(crate) fn settle(
    holds: Holds,
    columns: &mut [Column],
    heard: &[HeardColumn],
    sample: &BTreeMap<usize, Vec<&Cell>>,
) {
    match holds {
        Holds::Doors => of_doors(columns, heard, sample),
        Holds::SetMatrix => {
            // `Lock / Exit`, `Trim`, `Other`: the words of the cells say what the goods are.
            for column in columns.iter_mut().filter(|column| column.why == columns::UNKNOWN) {
                let cells = sample.get(&column.index).into_iter().flatten();
                let said: Vec<&Cell> =
                    cells.filter(|cell| !words::list("falsy").is(&plain(&cell.text))).copied().collect();
                let heading = plain(&column.heading);
                let of_use = ["label-of-title", "no-goods-heading"].iter().any(|list| words::list(list).is(&heading));
                let key = matrixkeys::explains(&column.heading);
                if column.meaning == M::Other && !of_use && !key && columns::name_goods(Some(&said)) {
                    (column.meaning, column.why) = (M::Kind, GENERAL.to_string());
                }
            }
        }
        _ => {}
    }
}

/// What columns are that only a schedule of doors has: marks of states, and materials under `DR` where words and quantities made
/// it look like one of goods at first.
fn of_doors(columns: &mut [Column], heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    kinds::states(columns, sample);
    others(columns, sample);
    for meaning in [M::DoorMaterial, M::FrameMaterial] {
        if columns.iter().any(|column| column.meaning == meaning) {
            continue;
        }
        let of_material = |column: &Column| {
            // The cells are asked first: a sheet may have thousands of columns.
            let cells = columns::share(sample.get(&column.index), M::DoorMaterial);
            let mut own = heard.iter().filter(|(index, ..)| *index == column.index);
            let mut is_heard = || own.any(|(.., heard)| matches!(heard, Some((Heard::Material, _))));
            column.meaning == M::Other && cells.is_some_and(|share| share > 70) && is_heard()
        };
        if let Some(at) = columns.iter().position(of_material) {
            columns[at].meaning = meaning;
        }
    }
}

/// `OTHER` over rooms, or over whatever else is said of the doors: a heading that says too little, and words below it.
fn others(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    for at in 0..columns.len() {
        let column = &columns[at];
        let cells = sample.get(&column.index).map_or(&[][..], Vec::as_slice);
        let words_of = |cell: &&Cell| cell.text.bytes().filter(u8::is_ascii_alphabetic).count() >= 3;
        if column.meaning != M::Other
            || column.why != columns::UNKNOWN
            || !words::list("heading-other").is(&headings::key(&column.heading))
            || cells.is_empty()
            || cells.iter().filter(|cell| words_of(cell)).count() * 3 < cells.len() * 2
        {
            continue;
        }
        let room = |cell: &&Cell| !room::uses(&plain(&cell.text)).is_empty() && !tells(&plain(&cell.text));
        let rooms = cells.iter().filter(|cell| room(cell)).count() * 2 > cells.len();
        let named = columns.iter().any(|column| column.meaning == M::Room);
        let (meaning, why) = match rooms && !named {
            true => (M::Room, "a general heading, and rooms below it"),
            false => (M::Remarks, "a general heading, and words below it"),
        };
        (columns[at].meaning, columns[at].why) = (meaning, why.to_string());
    }
}

/// Whether words speak of goods, or of who supplies them.
fn tells(folded: &str) -> bool {
    ["goods", "hardware-by", "excluded"].iter().any(|list| words::list(list).find(folded).is_some())
}

/// `E | 3 BB | Privacy | Surface | Wall | Kick` in a matrix of sets: the goods of a set of one letter, and no headings.
pub(crate) fn names_a_set(table: &Table, row: &Row) -> bool {
    let cell = table.column(M::Set).filter(|_| table.holds == Holds::SetMatrix).and_then(|set| row.cell(set.index));
    let Some(cell) = cell.filter(|cell| cell.text.trim().len() <= 2 && row.cells[0].column == cell.column) else {
        return false;
    };
    let letters = cell.text.trim().bytes().all(|sign| sign.is_ascii_uppercase() || sign.is_ascii_digit());
    // `NO | SIZE | LABEL | SET` heads the doors below the sets, whatever else is in its row.
    let heads = cell.text.trim().len() > 1 && headings::of_cell(&cell.text).is_some();
    // `3 BB` under HINGES counts goods: no row of headings does.
    let counts = |cell: &Cell| {
        let text = cell.text.trim();
        let kind = table.at(cell.column).is_some_and(|column| column.meaning == M::Kind);
        kind && text.starts_with(|sign: char| sign.is_ascii_digit()) && headings::of_cell(text).is_none()
    };
    let of_doors = |cell: &&Cell| {
        let heard = headings::of_cell(&cell.text).filter(|_| cell.text.trim().len() > 1);
        matches!(heard, Some(Heard::One(M::Set | M::DoorNumber | M::Size | M::Width | M::Height | M::Rating)))
    };
    let counted = row.cells.iter().skip(1).any(counts);
    letters
        && (counted || !heads && row.cells.iter().filter(of_doors).count() < 2)
        && row.cells.iter().any(|cell| headings::of_cell(&cell.text).is_none())
}

/// `HG-102 | 50 | 1.000 | SET | OPENING | SEAL | Smoke seal` with a number in the column of quantities, or under the set of the
/// row right above it: a row of the running table, whatever its words head elsewhere.
pub(crate) fn goes_on(table: &Table, sheet: &Sheet, at: usize) -> bool {
    let row = &sheet.rows[at];
    if table.holds != Holds::Items || row.cells.len() < FILLED {
        return explains_a_code(table, sheet, at);
    }
    // Doors beside the goods may have their headings in the row of the first one.
    let beside = |cell: &&Cell| !(table.lane.0..=table.lane.1).contains(&cell.column);
    if row.cells.iter().filter(beside).filter(|cell| headings::of_cell(&cell.text).is_some()).count() > 2 {
        return false;
    }
    let own = |meaning: M, row: &Row| {
        let index = table.column(meaning)?.index;
        row.cell(index).map(|cell| plain(&cell.text))
    };
    let figure = |text: &String| text.bytes().any(|byte| byte.is_ascii_digit()) && itemtext::is_quantity(text);
    if own(M::Quantity, row).is_some_and(|text| figure(&text)) {
        return true;
    }
    let above = at.checked_sub(1).filter(|above| *above > table.rows.1).and_then(|above| sheet.rows.get(above));
    above.is_some_and(|above| {
        let set = own(M::Set, row);
        above.number + 1 == row.number && set.is_some() && set == own(M::Set, above)
    })
}

/// A row of fewer cells may be a heading as well.
const FILLED: usize = 4;

/// Whether another table begins behind an empty column: with what tables begin with, an `anchor`, or with the kinds of goods and
/// sets across, `DESCRIPTION | HW SET 1 | HW SET 2`. `DOOR TYPE` and more facts about the numbered doors before it begin none.
pub(crate) fn begins_beside(before: &[HeardColumn], from: &[HeardColumn], anchor: bool) -> bool {
    let has = |columns: &[HeardColumn], of: &[M]| {
        columns.iter().any(|(_, _, heard)| matches!(heard, Some((Heard::One(meaning), _)) if of.contains(meaning)))
    };
    let sets =
        || from[1..].iter().all(|(_, heading, _)| setheading::heading(heading).is_some_and(|set| set.title.is_empty()));
    if !anchor {
        let goods = matches!(&from[0].2, Some((Heard::One(M::Description) | Heard::SetOrDescription, _)));
        return goods && from.len() >= 3 && sets();
    }
    let sized = [M::Size, M::Width, M::LeafWidth, M::Height, M::DoorNumber, M::Description, M::Quantity];
    let goes_on = has(&from[..1], &[M::DoorType])
        && has(before, &[M::DoorNumber])
        && !has(before, &[M::Set, M::DoorType])
        && has(from, &[M::Set])
        && !has(from, &sized);
    !goes_on
}

/// `SW | Door sweep | AL` right below other rows of a key of codes: a row of it, though its code and its words head columns
/// elsewhere. `DOOR | HINGE | CLOSER` heads a table of its own.
fn explains_a_code(table: &Table, sheet: &Sheet, at: usize) -> bool {
    let (row, before) = (&sheet.rows[at], at.checked_sub(1).map(|before| &sheet.rows[before]));
    let columns = (table.column(M::Code), table.column(M::Description));
    let (Holds::Legend, (Some(code), Some(words)), Some(before)) = (table.holds, columns, before) else { return false };
    let (Some(own), Some(told)) = (row.cell(code.index), row.cell(words.index)) else { return false };
    let within = row.cells.iter().all(|cell| table.columns.iter().any(|column| column.index == cell.column));
    let kinds = row.cells.iter().filter(|cell| headings::of_cell(&cell.text) == Some(Heard::One(M::Kind))).count();
    let of_doors = matches!(
        headings::of_cell(&own.text),
        Some(
            Heard::One(M::DoorNumber | M::Set | M::Code | M::Quantity)
                | Heard::NumberOrQuantity
                | Heard::SetOrDescription
        )
    );
    let named = headings::of_cell(&told.text) == Some(Heard::One(M::Kind));
    let follows =
        before.number + 1 == row.number && before.cell(code.index).is_some() && before.cell(words.index).is_some();
    within && follows && named && kinds == 1 && !of_doors && own.text.trim().len() <= LONGEST_CODE
}

/// A code in a key is no longer.
const LONGEST_CODE: usize = 6;
