//! The headings of sets that stand across: `SET 1`, `HW SET AA`, ids that count up, and ids that doors have.

use crate::read::openings::doors::whole_count;
use crate::read::sets::setheading;
use crate::read::sets::setids::{self, SetIds};
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::words::{self, plain};

/// Whether a heading is that of a set: `SET 1`, or, where the row above says so, an id alone.
pub(crate) fn is_set(cell: &Cell, said: bool) -> bool {
    let text = cell.text.trim();
    let id = said
        && text.len() <= 6
        && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'.')
        && (text.len() <= 2 || text.bytes().any(|byte| byte.is_ascii_digit()));
    id || setheading::heading(text).is_some_and(|found| found.title.is_empty() && found.doors.is_empty())
}

/// The heading of a set as its id alone: `AA` of `HW SET AA`, where another heading of the row is written so. Without a figure
/// it may be any word.
pub(crate) fn labelled<'c>(row: &Row, cell: &'c Cell) -> Option<&'c str> {
    let (label, id) = parted(&cell.text)?;
    let alike = |other: &Cell| {
        let parts = parted(&other.text);
        other.column != cell.column && parts.is_some_and(|(own, other)| own == label && other.len() == id.len())
    };
    row.cells.iter().any(alike).then_some(id)
}

/// `HW SET AA` as the words for a set and its id of two or three letters.
fn parted(text: &str) -> Option<(&str, &str)> {
    let (label, id) = text.trim().rsplit_once([' ', '\n'])?;
    let letters = (2..=3).contains(&id.len()) && id.bytes().all(|sign| sign.is_ascii_uppercase());
    let of_sets = headings::of_cell(label) == Some(Heard::One(M::Set)) && headings::of_cell(text).is_none();
    (letters && of_sets && headings::of_cell(id).is_none()).then_some((label, id))
}

/// The columns of headings that count up side by side, A, B, C or 1, 2, 3, behind one that names items.
pub(crate) fn run_of_ids(row: &Row) -> Vec<usize> {
    let named = |cell: &Cell| headings::exact(&headings::key(&cell.text)) == Some(Heard::One(M::Description));
    let Some(item) = row.cells.iter().rposition(named) else { return Vec::new() };
    let behind = &row.cells[item + 1..];
    let run = |nth: fn(usize) -> String, fewest: usize| {
        let start = behind.iter().position(|cell| cell.text.trim() == nth(0))?;
        let columns: Vec<usize> = behind[start..]
            .iter()
            .enumerate()
            .take_while(|(at, cell)| cell.text.trim() == nth(*at) && cell.column == behind[start].column + at)
            .map(|(_, cell)| cell.column)
            .collect();
        (columns.len() >= fewest).then_some(columns)
    };
    let letter = |at: usize| char::from(b'A'.saturating_add(at.min(25) as u8)).to_string();
    run(letter, 2).or_else(|| run(|at| (at + 1).to_string(), 3)).or_else(|| lettered(behind)).unwrap_or_default()
}

/// `HW1`, `HW2`, `HW3`: the same letters before numbers that count up.
fn lettered(cells: &[Cell]) -> Option<Vec<usize>> {
    let start = cells.iter().position(|cell| cell.text.trim().ends_with('1') && cell.text.trim().len() <= 6)?;
    let first = cells[start].text.trim();
    let stem = first.trim_end_matches(|sign: char| sign.is_ascii_digit());
    let digits = first.len() - stem.len();
    let letters = stem.trim_end_matches('-');
    if letters.is_empty()
        || !letters.bytes().all(|byte| byte.is_ascii_uppercase())
        || first[stem.len()..].parse() != Ok(1)
    {
        return None;
    }
    let columns: Vec<usize> = cells[start..]
        .iter()
        .enumerate()
        .take_while(|(at, cell)| cell.text.trim() == format!("{stem}{:0digits$}", at + 1))
        .map(|(_, cell)| cell.column)
        .collect();
    (columns.len() >= 3).then_some(columns)
}

/// Rows below a heading that are looked at for goods.
const LOOKED_AT: usize = 20;

/// `FS-1`, `FS-2`, `FS-4A` over the counts of goods, whatever word stands over the goods, or the ids of sets that doors have: the
/// columns of the ids, and the column that names the goods.
pub(crate) fn over_goods(sheet: &Sheet, heading: usize, known: &SetIds) -> Option<(Vec<usize>, usize)> {
    let row = &sheet.rows[heading];
    let run = rising(&row.cells).or_else(|| of_doors(sheet, heading, known))?;
    let below = || sheet.rows.iter().skip(heading + 1).take(LOOKED_AT);
    let mut before: Vec<usize> =
        below().flat_map(|row: &Row| row.cells.iter()).map(|cell| cell.column).filter(|at| *at < run[0]).collect();
    before.sort_unstable();
    before.dedup();
    let of_goods = |column: &usize| {
        let cells: Vec<&Cell> = below().filter_map(|row| row.cell(*column)).collect();
        let goods = cells.iter().filter(|cell| words::list("hardware").find(&plain(&cell.text)).is_some()).count();
        goods >= 3 && goods * 2 > cells.len()
    };
    before.into_iter().find(of_goods).map(|goods| (run, goods))
}

/// So many of one good no opening has: a greater number counts those of a floor.
const MOST: u32 = 12;

/// The columns of ids side by side of which doors have two at least, and half of them. What counts
/// hinges by the dozen below them are no sets.
fn of_doors(sheet: &Sheet, heading: usize, known: &SetIds) -> Option<Vec<usize>> {
    let row = &sheet.rows[heading];
    let id = |cell: &Cell| {
        let text = cell.text.trim();
        known.has(text) || setids::is_short(text) && headings::of_cell(text).is_none()
    };
    let first = row.cells.iter().position(|cell| known.has(cell.text.trim()))?;
    let run: Vec<&Cell> = row.cells[first..].iter().take_while(|cell| id(cell)).collect();
    let named = run.iter().filter(|cell| known.has(cell.text.trim())).count();
    let beside = run.windows(2).all(|pair| pair[1].column == pair[0].column + 1);
    let mut ids: Vec<&str> = run.iter().map(|cell| cell.text.trim()).collect();
    ids.sort_unstable();
    ids.dedup();
    if named < 2 || named * 2 < run.len() || !beside || ids.len() < run.len() {
        return None;
    }
    // Beside ids stand headings, or one word in the corner: `630 | KICK PLATE | EA | 1 | 3` is a row of goods.
    let others: Vec<&Cell> = row.cells.iter().filter(|cell| run.iter().all(|id| id.column != cell.column)).collect();
    let headed = others.iter().all(|cell| headings::of_cell(cell.text.trim()).is_some());
    let corner = |cell: &Cell| {
        let folded = plain(&cell.text);
        !folded.bytes().any(|sign| sign.is_ascii_digit()) && words::list("goods").find(&folded).is_none()
    };
    if !headed && !matches!(others[..], [only] if corner(only)) {
        return None;
    }
    let columns: Vec<usize> = run.iter().map(|cell| cell.column).collect();
    let above = heading.checked_sub(1).map(|above| plain(&sheet.rows[above].joined()));
    // `FLOOR | 1 | 2`, or so above: the columns are floors or parts of the job.
    let counts_parts =
        |text: &str| ["level-word", "part-of-the-job"].iter().any(|list| words::list(list).find(text).is_some());
    let own = || row.cells.iter().any(|cell| counts_parts(&plain(&cell.text)));
    let of_floors = above.is_some_and(|text| words::list("level-word").find(&text).is_some()) || own();
    let below = sheet.rows.iter().skip(heading + 1).take(LOOKED_AT);
    let mut counts = below.flat_map(|row| columns.iter().filter_map(|column| row.cell(*column)));
    (!of_floors && !counts.any(|cell| whole_count(&cell.text).is_some_and(|count| count > MOST))).then_some(columns)
}

/// The columns of ids of the same letters whose numbers rise, at least three of them side by side.
fn rising(cells: &[Cell]) -> Option<Vec<usize>> {
    let ids: Vec<Option<(&str, u32, &str)>> = cells.iter().map(|cell| short_id(cell.text.trim())).collect();
    let start = ids.iter().position(Option::is_some)?;
    let first = ids[start]?;
    let mut last = (0, "");
    let mut columns: Vec<usize> = Vec::new();
    for (cell, id) in cells[start..].iter().zip(&ids[start..]) {
        let Some((letters, number, tail)) = *id else { break };
        if letters != first.0 || (number, tail) <= last || columns.last().is_some_and(|at| cell.column != at + 1) {
            break;
        }
        last = (number, tail);
        columns.push(cell.column);
    }
    (columns.len() >= 3).then_some(columns)
}

/// `FS-4A` as its letters, its number of one or two figures and the letter behind it.
fn short_id(text: &str) -> Option<(&str, u32, &str)> {
    let figures = text.find(|sign: char| sign.is_ascii_digit())?;
    let (letters, rest) = text.split_at(figures);
    let end = rest.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(rest.len());
    let (number, tail) = rest.split_at(end);
    let named = letters.trim_end_matches(['-', '.', ' ']);
    let is_id = (1..=4).contains(&named.len())
        && named.bytes().all(|byte| byte.is_ascii_uppercase())
        && number.len() <= 2
        && tail.len() <= 1
        && tail.bytes().all(|byte| byte.is_ascii_uppercase());
    is_id.then(|| Some((letters, number.parse().ok()?, tail)))?
}
