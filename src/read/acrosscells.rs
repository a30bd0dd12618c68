//! What the cell of a set says where sets stand across: how many of an item the set has, that it has one or none, or words.

use super::columns;
use super::doors::whole_count;
use super::sheet::{Cell, Row, Sheet};
use super::words::{self, plain};

/// A count above this is no count of goods on one opening.
pub(super) const MOST: u32 = 99;

/// What a cell of a set says of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Said {
    /// There is one: a mark.
    One,
    /// How many: `3`, `1-1/2 PR`, `AS REQ`.
    Count,
    /// A number beyond any count of goods on one opening.
    Much,
    /// There is none: `-`, `NO`.
    None,
    /// Something else.
    Words,
}

impl Said {
    /// What a text says.
    pub(super) fn of(text: &str) -> Self {
        let folded = plain(text);
        if words::list("falsy").is(&folded) {
            return Self::None;
        }
        if let Some(whole) = whole_count(text) {
            if whole == 0 {
                return Self::None;
            }
            return if (1..=MOST).contains(&whole) { Self::Count } else { Self::Much };
        }
        if words::list("truthy").is(&folded) {
            return Self::One;
        }
        let begins = folded.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(folded.len());
        let (number, unit) = folded.split_at(begins);
        let counted = is_number(number.trim_matches(['(', ')', ' '])) && (unit.is_empty() || columns::is_unit(unit));
        if counted || words::list("as-many-as-needed").is(&folded) { Self::Count } else { Self::Words }
    }
}

/// `3.5`, `1/2`, `1-1/2`, `1 1/2`; `101-104` and `101, 102` are no number.
fn is_number(text: &str) -> bool {
    let figures = |text: &str, most: usize| {
        !text.is_empty() && text.len() <= most && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    if let Some((whole, decimals)) = text.split_once('.') {
        return (whole.is_empty() || figures(whole, 3)) && figures(decimals, 2);
    }
    match text.split_once('/') {
        Some((above, below)) => {
            let halves = above.split_once(['-', ' ']);
            figures(below, 1)
                && halves.map_or(figures(above, 1), |(whole, above)| figures(whole, 2) && figures(above, 1))
        }
        None => figures(text, 4),
    }
}

/// `HW1`, `HW2`, `HW3`: the same letters before numbers that count up.
pub(super) fn lettered(cells: &[Cell]) -> Option<Vec<usize>> {
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

/// `FS-1`, `FS-2`, `FS-4A` over the counts of goods, whatever word stands over the goods: the columns of the ids, and the
/// column that names the goods.
pub(super) fn over_goods(sheet: &Sheet, heading: usize) -> Option<(Vec<usize>, usize)> {
    let run = rising(&sheet.rows[heading].cells)?;
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
