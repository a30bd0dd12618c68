//! Parts of cards: what their labels mean, cards whose number is lost, and several labels in one cell of a card, `Door: 101  Set: 3  Size: 3070`, as the cells that they would be.

use std::borrow::Cow;

use super::openfacts;
use crate::read::sheet::{self, Cell, CellKind, Row};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::words::plain;

/// A label is no longer than this.
pub(crate) const LABEL: usize = 32;

/// Words of a label, at most.
const LONGEST: usize = 3;

/// The row with a cell for each label of a cell that has several.
pub(crate) fn apart(row: &Row) -> Cow<'_, Row> {
    let several = |cell: &Cell| cell.text.matches(':').count() >= 2;
    if !row.cells.iter().any(several) {
        return Cow::Borrowed(row);
    }
    let cells = row.cells.iter().flat_map(|cell| {
        let parts = if several(cell) { parts(&cell.text) } else { vec![cell.text.as_str()] };
        parts.into_iter().map(|part| Cell { text: part.to_string(), ..cell.clone() }).collect::<Vec<_>>()
    });
    Cow::Owned(Row { number: row.number, cells: cells.collect(), hidden: row.hidden })
}

/// The parts of a text that begin with labels that are known; each but the first has a value of the one before it in front.
fn parts(text: &str) -> Vec<&str> {
    let mut out = Vec::new();
    let (mut from, mut value) = (0, text.find(':').map_or(text.len(), |at| at + 1));
    for (colon, _) in text.match_indices(':').skip(1) {
        let said = &text[value..colon];
        let starts: Vec<usize> = said.match_indices([' ', ',', ';', '|']).map(|(at, sign)| at + sign.len()).collect();
        let known = |start: &&usize| {
            let label = said[**start..].trim();
            let before = said[..**start].bytes().any(|byte| byte.is_ascii_alphanumeric());
            let worded = !label.is_empty() && !label.bytes().any(|byte| byte.is_ascii_digit());
            before && worded && label.split(' ').count() <= LONGEST && headings::of_cell(label).is_some()
        };
        if let Some(start) = starts.iter().find(known) {
            out.push(trimmed(&text[from..value + start]));
            (from, value) = (value + start, colon + 1);
        }
    }
    out.push(trimmed(&text[from..]));
    out
}

/// How a door is called whose number cannot be read.
pub(crate) fn by_row(row: u32) -> String {
    format!("row {row}")
}

/// Whether a card's number cannot be read: its cell is empty, an error, or a sign for what is open.
pub(crate) fn is_lost(value: Option<&Cell>) -> bool {
    value.is_none_or(|cell| cell.kind == CellKind::Error || is_lost_text(&cell.text))
}

fn is_lost_text(text: &str) -> bool {
    let error = sheet::error_word(text).is_some();
    error || !text.chars().any(char::is_alphanumeric) || openfacts::is_open(text)
}

/// Whether a row begins a card like the one before it, whose number is lost: the same label in the same column.
pub(crate) fn nameless(row: &Row, before: &Row) -> bool {
    let (Some(first), Some(like)) = (row.cells.first(), before.cells.first()) else { return false };
    // `Location: Lobby`: hardly any row is.
    let label = |cell: &Cell| plain(cell.text.split(':').next().unwrap_or_default().trim());
    let within = first.text.split_once(':').map(|(_, value)| value.trim()).filter(|value| !value.is_empty());
    let lost = match within {
        Some(value) => is_lost_text(value),
        None => row.cells.len() <= 2 && is_lost(row.cells.get(1)),
    };
    lost && first.column == like.column && label(first) == label(like)
}

/// Whether cells are words and values by turns.
pub(crate) fn are_labelled(cells: &[Cell]) -> bool {
    let is_label = |cell: &Cell| {
        let text = cell.text.trim_end_matches(':');
        text.len() <= LABEL && text.bytes().all(|byte| byte.is_ascii_alphabetic() || b" ./".contains(&byte))
    };
    cells.len().is_multiple_of(2)
        && cells.chunks(2).all(|pair| is_label(&pair[0]) && pair[1].column == pair[0].column + 1)
}

/// What a label means among the labels before it on the card.
pub(crate) fn meaning(heard: Option<Heard>, known: &[M]) -> M {
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

/// Whether a label alone in its row stands above goods: `Hardware:`.
pub(crate) fn lists(heard: Option<Heard>) -> bool {
    matches!(heard, Some(Heard::SetOrDescription | Heard::One(M::Set | M::Description)))
}

/// A row of signs that closes a card.
pub(crate) fn is_rule(row: &Row) -> bool {
    row.cells.iter().all(|cell| {
        cell.text.len() >= 3 && cell.text.chars().all(|sign| "_-=*~.\u{2013}\u{2014}\u{2500}\u{2501}".contains(sign))
    })
}

fn trimmed(text: &str) -> &str {
    text.trim().trim_end_matches([',', ';', '|', ' ']).trim_end_matches(" -").trim_end()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_in_one_cell_are_parted() {
        for (text, expected) in [
            ("Door: 101  Set: 3  Size: 3070", vec!["Door: 101", "Set: 3", "Size: 3070"]),
            ("Door: 101 Hardware Set: 3", vec!["Door: 101", "Hardware Set: 3"]),
            ("Door: 101, Size: 3070, Fire rating: 45 min", vec!["Door: 101", "Size: 3070", "Fire rating: 45 min"]),
            ("Door: 102, Size: 3-0 x 7-0, Fire rating: 45", vec!["Door: 102", "Size: 3-0 x 7-0", "Fire rating: 45"]),
            ("Door: 101  Opens at: 7:30", vec!["Door: 101  Opens at: 7:30"]),
        ] {
            assert_eq!(parts(text), expected, "{text}");
        }
    }
}
