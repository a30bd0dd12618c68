//! Several labels in one cell of a card, `Door: 101  Set: 3  Size: 3070`, as the cells that they would be.

use std::borrow::Cow;

use super::headings;
use super::sheet::{Cell, Row};

/// Words of a label, at most.
const LONGEST: usize = 3;

/// The row with a cell for each label of a cell that has several.
pub(super) fn apart(row: &Row) -> Cow<'_, Row> {
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

/// A row of signs that closes a card.
pub(super) fn is_rule(row: &Row) -> bool {
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
