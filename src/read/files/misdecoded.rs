//! Signs that were saved in UTF-8 and opened as Windows-1252 on their way here: `5â€` is `5”`, `4Â½` is `4½`. What such a
//! sign became is a run of two or three letters that no words have, so it is turned back wherever it stands.

use crate::read::sheet::{Oddity, Sheet};

/// The first letters of such runs: of two signs for those up to ÿ, of three for dashes, quotes and parts of an inch.
const LEADS: [char; 3] = ['Â', 'Ã', 'â'];

/// So many places are named.
const MOST_TOLD: usize = 6;

/// The text with its signs turned back; none where there are no such runs.
fn mended(text: &str) -> Option<String> {
    if text.is_ascii() || !text.contains(LEADS) {
        return None;
    }
    let letters: Vec<char> = text.chars().collect();
    let (mut out, mut at) = (String::with_capacity(text.len()), 0);
    while let Some(letter) = letters.get(at) {
        let (sign, length) = turned_back(&letters, at).unwrap_or((Some(*letter), 1));
        out.extend(sign);
        at += length;
    }
    (out != text).then_some(out)
}

/// The sign that a run stands for, and how many letters it has.
fn turned_back(letters: &[char], at: usize) -> Option<(Option<char>, usize)> {
    let lead = letters.get(at).copied().filter(|letter| LEADS.contains(letter))?;
    let length = if lead == 'â' { 3 } else { 2 };
    let bytes: Option<Vec<u8>> = (at..at + length).map(|at| letters.get(at).copied().and_then(byte)).collect();
    let sign = bytes.and_then(|bytes| std::str::from_utf8(&bytes).ok()?.chars().next());
    let next = letters.get(at + 1).copied();
    match lead {
        _ if sign.is_some() => Some((sign, length)),
        // The last byte of a closing quote has no sign in Windows-1252, and many a program drops it.
        'â' if next == Some('€') => Some((Some('\u{201d}'), 2)),
        // A space that does not break became a plain one.
        'Â' if next.is_none_or(char::is_whitespace)
            && !at.checked_sub(1).is_some_and(|at| letters[at].is_alphabetic()) =>
        {
            Some((None, 1))
        }
        _ => None,
    }
}

/// The byte of a letter in Windows-1252, if it has one outside ASCII.
fn byte(letter: char) -> Option<u8> {
    let mut space = [0; 4];
    let (bytes, _, lost) = encoding_rs::WINDOWS_1252.encode(letter.encode_utf8(&mut space));
    bytes.first().copied().filter(|byte| !lost && !byte.is_ascii())
}

/// A text file with its signs turned back, told once for all its lines.
pub(crate) fn of_text(text: String, sheet: &mut Sheet) -> String {
    let Some(whole) = mended(&text) else { return text };
    let ends = if text.contains('\n') { '\n' } else { '\r' };
    let lines = text.split(ends).zip(1u32..).filter_map(|(line, number)| Some((number, line, mended(line)?)));
    let found: Vec<(u32, String, String)> = lines.map(|(at, was, is)| (at, was.trim().to_owned(), is)).collect();
    tell(found, "line", sheet);
    whole
}

/// The cells of a workbook with their signs turned back, told once for the sheet.
pub(crate) fn of_cells(sheet: &mut Sheet) {
    let mut found = Vec::new();
    for row in &mut sheet.rows {
        for cell in &mut row.cells {
            if let Some(text) = mended(&cell.text) {
                found.push((row.number, std::mem::replace(&mut cell.text, text.clone()), text));
            }
        }
    }
    tell(found, "row", sheet);
}

fn tell(mut found: Vec<(u32, String, String)>, what: &str, sheet: &mut Sheet) {
    let count = found.len();
    let Some((row, was, is)) = found.first().cloned() else { return };
    found.dedup_by_key(|(row, _, _)| *row);
    let rows: Vec<String> = found.iter().take(MOST_TOLD).map(|(row, _, _)| row.to_string()).collect();
    let more = found.len().saturating_sub(MOST_TOLD);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let ending = if found.len() == 1 { "" } else { "s" };
    let short = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(60).collect::<String>();
    let (excerpt, is) = (short(&was), short(&is));
    sheet.oddities.push(Oddity {
        code: "stray-byte",
        row,
        excerpt,
        says: format!(
            "signs of {count} {} were saved in one encoding and opened in another; they were turned back, the first to \"{is}\": {what}{ending} {}{more}",
            match (what, count) {
                ("line", 1) => "line",
                ("line", _) => "lines",
                (_, 1) => "cell",
                _ => "cells",
            },
            rows.join(", ")
        ),
        help: "check a size or two against the drawings",
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::sheet::{Cell, Row};

    #[test]
    fn signs_are_turned_back_and_words_with_accents_stay() {
        for (was, is) in [
            ("5â€\u{9d} x 4Â½â€\u{9d}", "5\u{201d} x 4½\u{201d}"),
            ("16â€ x 34â€", "16\u{201d} x 34\u{201d}"),
            ("3â€™-0â€³", "3\u{2019}-0\u{2033}"),
            ("3â€™â€“0", "3\u{2019}\u{2013}0"),
            ("1Â½ pr", "1½ pr"),
            ("HallÂ\u{a0}2, 90Â°, Â north", "Hall\u{a0}2, 90°,  north"),
            ("CafÃ©", "Café"),
        ] {
            assert_eq!(mended(was).as_deref(), Some(is), "{was}");
        }
        for plain in ["5” x 4½”", "Café, Hôtel, pâte", "CHÂTEAU", "château", "3'-0\" x 7'-0\"", "SÃO", "90°"]
        {
            assert_eq!(mended(plain), None, "{plain}");
        }
    }

    #[test]
    fn cells_of_a_workbook_are_told_once() {
        let mut sheet = Sheet::new(&"a.xlsx".into(), "Doors");
        let row = |number: u32, texts: &[&str]| Row {
            number,
            cells: texts.iter().enumerate().map(|(at, text)| Cell::text(at, text)).collect(),
            hidden: false,
        };
        sheet.rows = vec![row(1, &["3'-0\"", "Café"]), row(4, &["4Â½", "5â€\u{9d}"]), row(6, &["7â€ x Â½â€"])];
        of_cells(&mut sheet);
        let texts: Vec<&str> = sheet.rows.iter().flat_map(|row| &row.cells).map(|cell| cell.text.as_str()).collect();
        assert_eq!(texts, ["3'-0\"", "Café", "4½", "5\u{201d}", "7\u{201d} x ½\u{201d}"]);
        let told: Vec<(u32, &str)> = sheet.oddities.iter().map(|odd| (odd.row, odd.excerpt.as_str())).collect();
        assert_eq!(told, [(4, "4Â½")]);
        assert!(sheet.oddities[0].says.ends_with("the first to \"4½\": rows 4, 6"), "{}", sheet.oddities[0].says);
    }
}
