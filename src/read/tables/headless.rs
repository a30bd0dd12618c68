//! Tables without a heading row: doors in the first column, and what the other columns are by their cells alone.

use std::collections::{BTreeMap, BTreeSet};

use crate::place::column_letter;

use super::columns::{self, looks};
use super::headings::Meaning as M;
use super::table::{Column, Doubt, Holds, Table};
use crate::read::openings::doorlist;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Sheet};
use crate::read::words::{self, plain};

/// Fewest rows from which a table without headings is believed.
const FEWEST: usize = 3;

/// The table of a sheet that has no heading row, if its rows can only be doors.
pub(crate) fn find(sheet: &Sheet) -> Option<Table> {
    let first = first_column(sheet);
    let rows: Vec<usize> = (0..sheet.rows.len())
        .filter(|at| {
            let row = &sheet.rows[*at];
            row.cells.len() >= 2 && row.cells[0].column == first && doorlist::looks_like(&row.cells[0].text)
        })
        .collect();
    let several = sheet.rows.iter().filter(|row| row.cells.len() >= 2).count();
    let numbers: BTreeSet<String> = rows.iter().map(|at| plain(&sheet.rows[*at].cells[0].text)).collect();
    let headed = sheet.rows.iter().any(|row| row.cells.len() == 1 && setheading::heading(&row.cells[0].text).is_some());
    // Quantities recur, door numbers do not.
    if rows.len() < FEWEST || rows.len() * 10 < several * 8 || numbers.len() * 20 < rows.len() * 19 || headed {
        return None;
    }
    let mut cells: BTreeMap<usize, Vec<&Cell>> = BTreeMap::new();
    for at in &rows {
        for cell in &sheet.rows[*at].cells {
            cells.entry(cell.column).or_default().push(cell);
        }
    }
    // `3 | EA | HINGES`: no row of a door has the unit of its goods.
    let pair = |cell: &&Cell| words::list("pair").is(&plain(&cell.text));
    let units = |cells: &Vec<&Cell>| {
        cells.len() * 2 >= rows.len()
            && cells.iter().all(|cell| columns::is_unit(&plain(&cell.text)))
            && !cells.iter().all(pair)
    };
    if cells.values().any(units) {
        return None;
    }
    let mut columns = meanings(&cells, rows.len());
    let doubts = two_ratings(&mut columns, &cells).into_iter().collect();
    let has = |meaning| columns.iter().any(|column: &Column| column.meaning == meaning);
    let sized = has(M::Size) || has(M::Width) && has(M::Height);
    if !has(M::Set) && !(sized && (has(M::DoorMaterial) || has(M::Rating))) {
        return None;
    }
    let at = rows[0];
    Some(Table {
        holds: Holds::Doors,
        why: format!("no headings; {} rows begin with door numbers", rows.len()),
        rows: (at, at),
        columns,
        lane: (0, usize::MAX),
        headless: true,
        doubts,
        dwellings: Default::default(),
        revisions: Vec::new(),
        further_sets: Vec::new(),
    })
}

fn first_column(sheet: &Sheet) -> usize {
    sheet.rows.iter().filter(|row| row.cells.len() >= 2).map(|row| row.cells[0].column).min().unwrap_or(0)
}

/// Each column's meaning by the share of its cells that look like it; a set column is the last that repeats short ids.
fn meanings(cells: &BTreeMap<usize, Vec<&Cell>>, rows: usize) -> Vec<Column> {
    let all = |cells: &[&Cell], meaning: M| cells.iter().all(|cell| looks(meaning, &cell.text) == Some(true));
    // Without ratings in another column the number may be one.
    let metric = is_metric(cells, rows);
    let rated = cells.values().any(|found| found.len() >= 2 && timed(found));
    let mut columns: Vec<Column> = Vec::new();
    for (nth, (index, found)) in cells.iter().enumerate() {
        let taken = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
        let feet = found.iter().all(|cell| cell.text.contains(['\'', '\u{2019}', '-']) || cell.text.len() >= 3);
        let meaning = if nth == 0 {
            M::DoorNumber
        } else if all(found, M::Size) && feet && !taken(M::Size) {
            M::Size
        } else if all(found, M::DoorMaterial) {
            if taken(M::DoorMaterial) { M::FrameMaterial } else { M::DoorMaterial }
        } else if all(found, M::Hand) && !taken(M::Hand) {
            M::Hand
        } else if found.iter().all(|cell| is_kind(&cell.text)) && !taken(M::Leaves) {
            M::Leaves
        } else if !taken(M::Thickness) && metric && rated && thick(found, rows) {
            M::Thickness
        } else if found.iter().all(|cell| is_rating(&cell.text)) && !taken(M::Rating) {
            M::Rating
        } else if all(found, M::Height) && taken(M::Width) && !taken(M::Height) && feet {
            M::Height
        } else if all(found, M::Width)
            && feet
            && !taken(M::Width)
            && !taken(M::Size)
            && (!found.iter().all(|cell| is_id(&cell.text)) || metric && found.iter().all(|cell| cell.text.len() >= 3))
        {
            M::Width
        } else if all(found, M::Thickness) && taken(M::Height) && !taken(M::Thickness) {
            M::Thickness
        } else {
            M::Other
        };
        columns.push(Column { index: *index, heading: String::new(), meaning, why: "no heading; by its cells".into() });
    }
    let by_id = |column: &Column| {
        let found = &cells[&column.index];
        let distinct: BTreeSet<String> = found.iter().map(|cell| plain(&cell.text)).collect();
        let named = found.iter().all(|cell| setheading::heading(&cell.text).is_some());
        found.len() * 2 >= rows
            && found.iter().all(|cell| is_id(&cell.text))
            && (named || distinct.len() < found.len() || columns.len() == 2)
    };
    let set = columns.iter().rposition(|column| column.meaning == M::Other && by_id(column));
    if let Some(at) = set {
        columns[at].meaning = M::Set;
    }
    let room = columns.iter().position(|column| {
        column.meaning == M::Other
            && cells[&column.index].iter().any(|cell| cell.text.bytes().filter(u8::is_ascii_alphabetic).count() >= 3)
    });
    if let Some(at) = room {
        columns[at].meaning = M::Room;
    }
    for column in columns.iter_mut().filter(|column| column.meaning == M::Other) {
        column.meaning = M::Remarks;
    }
    columns
}

/// `PR`, `SGL`: a pair or a single door.
fn is_kind(text: &str) -> bool {
    let folded = plain(text);
    ["pair", "single"].iter().any(|list| words::list(list).is(folded.trim_end_matches('.')))
}

/// The thicknesses that doors have, in millimetres.
const THICK: std::ops::RangeInclusive<u32> = 30..=58;

/// Whether a column holds heights of doors in millimetres.
fn is_metric(cells: &BTreeMap<usize, Vec<&Cell>>, rows: usize) -> bool {
    let high = |cell: &&Cell| cell.text.trim().parse().is_ok_and(|high: u32| (1900..3500).contains(&high));
    // Numbers of doors are high too, and differ.
    let of_doors =
        |cells: &[&Cell]| cells.iter().map(|cell| &cell.text).collect::<BTreeSet<_>>().len() * 2 > cells.len();
    cells.values().skip(1).any(|found| found.len() * 10 >= rows * 8 && found.iter().all(high) && !of_doors(found))
}

/// 45 in every row: beside sizes in millimetres how thick the leaves are, and no rating.
fn thick(found: &[&Cell], rows: usize) -> bool {
    all_one(found).is_some_and(|thick| THICK.contains(&thick)) && found.len() * 10 >= rows * 8
}

/// The number that every cell holds.
fn all_one(found: &[&Cell]) -> Option<u32> {
    let first = found.first()?.text.trim();
    found.iter().all(|cell| cell.text.trim() == first).then(|| first.parse().ok())?
}

/// Whether most cells are times with their unit: `45 MIN`, `1.5 h`.
fn timed(cells: &[&Cell]) -> bool {
    let told = |cell: &&&Cell| {
        let folded = plain(&cell.text);
        looks(M::Rating, &cell.text) == Some(true)
            && (folded.ends_with(" H") || words::list("units-of-time").ends(&folded).is_some())
    };
    cells.iter().filter(told).count() * 2 > cells.len()
}

/// Two columns that may hold ratings: bare numbers, and times with a unit behind them. The latter are taken, and that is asked.
fn two_ratings(columns: &mut [Column], cells: &BTreeMap<usize, Vec<&Cell>>) -> Option<Doubt> {
    let timed = |column: &Column| timed(&cells[&column.index]);
    let bare = columns.iter().position(|column| column.meaning == M::Rating && !timed(column))?;
    let other = columns.iter().position(|column| {
        matches!(column.meaning, M::Remarks | M::Room | M::Other) && cells[&column.index].len() >= 2 && timed(column)
    })?;
    let says = |at: usize| {
        let texts: Vec<&str> = cells[&columns[at].index].iter().take(3).map(|cell| cell.text.as_str()).collect();
        format!("{} ({})", column_letter(columns[at].index), texts.join(", "))
    };
    let text = format!(
        "two columns without a heading may hold the ratings, {} and {}; the second was taken, whose cells name minutes or hours",
        says(bare),
        says(other)
    );
    let column = columns[other].index;
    (columns[bare].meaning, columns[other].meaning) = (M::Remarks, M::Rating);
    Some(Doubt { code: "column-contradicts", column, says: text })
}

/// A rating that cannot be anything else.
pub(crate) fn is_rating(text: &str) -> bool {
    let folded = plain(text);
    looks(M::Rating, text) == Some(true)
        && (words::list("units-of-time").is_within(&folded) || words::list("rating-alone").is(&folded))
}

/// A short id with a figure in it.
pub(crate) fn is_id(text: &str) -> bool {
    let folded = plain(text);
    matches!(folded.as_str(), "-" | "--" | "---")
        || folded.len() <= 10
            && folded.split(' ').count() <= 2
            && folded.bytes().any(|byte| byte.is_ascii_digit())
            && !folded.contains(['"', '\''])
}
