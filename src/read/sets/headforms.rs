//! Headings of sets that are written as a specification writes them: numbered, `3.1 HARDWARE SET 1`, `A. Hardware Set 1`, with
//! the number in words or in brackets, `HARDWARE SET ONE`, `HARDWARE SET (1)`. They are made plain before anything is read.

use super::bareheads::counts_goods;
use super::{setheading, setids};
use crate::read::sheet::{Cell, CellKind, Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table;
use crate::read::words::{self, plain};

/// The number of a paragraph is no longer.
const LONGEST: usize = 8;

/// So many rows below a numbered heading the goods of the set have begun.
const BELOW: usize = 6;

/// The sheet with such headings made plain; `None` where there are none, as in nearly all.
pub(crate) fn joined(sheet: &Sheet) -> Option<Sheet> {
    let mut whole: Option<Sheet> = None;
    for (at, row) in sheet.rows.iter().enumerate() {
        let Some(cell) = head(row) else { continue };
        if let Some(text) = with_number_below(sheet, at) {
            let own = whole.get_or_insert_with(|| sheet.clone());
            own.rows[at + 1].cells[0].text = text;
            continue;
        }
        let numbered = || unnumbered(&cell.text).filter(|_| goods_below(sheet, at)).map(str::to_string);
        if let Some(text) = in_figures(&cell.text).or_else(numbered) {
            let own = whole.get_or_insert_with(|| sheet.clone());
            own.rows[at].cells[0].text = text;
        }
    }
    whole
}

/// `HARDWARE SET` alone in its row, and its number alone in the next one, with something of the set below it: a heading in two
/// rows. More such numbers below it are the cells of a column.
fn with_number_below(sheet: &Sheet, at: usize) -> Option<String> {
    let [label] = &sheet.rows[at].cells[..] else { return None };
    let bare = label.text.trim().trim_end_matches([':', '#', ' ', '.']);
    let [number, rest @ ..] = sheet.rows.get(at + 1)?.cells.as_slice() else { return None };
    let id = number.text.trim();
    let names_sets = setheading::may_begin(bare)
        && headings::of_cell(bare) == Some(Heard::One(M::Set))
        && words::list("sets-across").is(&plain(bare));
    let is_id = setids::is_short(id) && (id.len() == 1 || id.bytes().any(|sign| sign.is_ascii_digit()));
    let below = sheet.rows.get(at + 2)?;
    let alone =
        |row: &Row| matches!(&row.cells[..], [one] if setids::is_short(one.text.trim()) && one.column == number.column);
    let near = sheet.rows[at + 1].number == sheet.rows[at].number + 1 && number.column == label.column;
    (names_sets && is_id && near && rest.is_empty() && !label.struck && !number.struck && !alone(below))
        .then(|| format!("{bare} {id}"))
}

/// The first cell of a row that may head a set.
fn head(row: &Row) -> Option<&Cell> {
    let [first, ..] = &row.cells[..] else { return None };
    (row.cells.len() <= 4 && first.kind == CellKind::Text && !first.struck).then_some(first)
}

/// `HARDWARE SET ONE - OFFICE` as `HARDWARE SET 1 - OFFICE`.
fn in_figures(text: &str) -> Option<String> {
    if !setheading::may_begin(text) {
        return None;
    }
    let (mut hardware, mut set, mut at) = (false, false, 0);
    for piece in text.split_inclusive(' ') {
        let word = piece.trim();
        let bare = word.trim_matches(|sign: char| !sign.is_alphanumeric());
        let upper = bare.to_ascii_uppercase();
        let start = at + piece.find(bare).unwrap_or_default();
        at += piece.len();
        match (hardware, set) {
            _ if upper.is_empty() => {}
            (false, _) if words::list("before-words-for-hardware").is(&upper) => {}
            (false, _) if words::list("words-for-hardware").is(&upper) => hardware = true,
            (true, false) if words::list("heading-sets").is(&upper) => set = true,
            (true, true) if words::list("number-of-a-heading").is(&upper) => {}
            // `HARDWARE SET (1)`, `HARDWARE SET "A"`
            (true, true) if is_quoted(word, bare) => {
                let before = text[..start].trim_end_matches(['(', '"', '\'', '\u{201c}']);
                let rest = text[start + bare.len()..].trim_start_matches([')', '"', '\'', '\u{201d}']);
                return Some(format!("{before}{bare}{rest}"));
            }
            (true, true) => {
                // `A` is an id, `THREE` a number.
                let number = words::number(&upper).filter(|_| upper.len() > 2)?;
                return Some(format!("{}{number}{}", &text[..start], &text[start + bare.len()..]));
            }
            _ => return None,
        }
    }
    None
}

/// Whether a word is an id in brackets or quotes.
fn is_quoted(word: &str, bare: &str) -> bool {
    let closed = word.trim_end_matches([':', ',', '-']);
    let within = [('(', ')'), ('"', '"'), ('\'', '\''), ('\u{201c}', '\u{201d}')];
    let id = bare.len() <= 6 && (bare.len() == 1 || bare.bytes().any(|sign| sign.is_ascii_digit()));
    id && within.iter().any(|(open, close)| closed.starts_with(*open) && closed.ends_with(*close))
}

/// `Group II lock 626` is a good; `HARDWARE SET II OFFICE`, `SET II OFFICE - DOORS 101`, `GROUP II PAIR` head sets.
pub(crate) fn is_roman_good(text: &str, id: &str, rest: &str) -> bool {
    let roman = id.len() > 1 && id.bytes().all(|sign| b"IVXivx".contains(&sign));
    let first = || text.trim_start().split(' ').next().unwrap_or_default().to_ascii_uppercase();
    let lock = || words::list("names-of-locks").find(&plain(rest)).is_some();
    roman
        && rest.trim_start().starts_with(|sign: char| sign.is_alphanumeric())
        && words::list("group-of-locks").is(&first())
        && lock()
        && setheading::doors_in(rest).is_empty()
}

/// `HARDWARE SET 1 OF 3 - OFFICE`: how many sets there are, which is no part of the title; what stands behind it. `GROUP 2 of 5`
/// and `HARDWARE SETS 1 of 3` number pages.
pub(crate) fn of_so_many<'t>(text: &str, id: &str, title: &'t str) -> Option<&'t str> {
    let (of, rest) = title.split_once(' ')?;
    let figures = rest.bytes().take_while(u8::is_ascii_digit).count();
    let (most, behind) = rest.split_at(figures);
    let ends = !behind.starts_with(|sign: char| sign.is_alphanumeric());
    let folded = plain(text);
    let mut led = folded.split(' ').skip_while(|word| words::list("before-words-for-hardware").is(word));
    let hardware = led.next().is_some_and(|word| words::list("words-for-hardware").is(word));
    let one = led.next().is_some_and(|word| words::list("one-set").is(word));
    let within =
        id.parse::<u32>().ok().zip(most.parse::<u32>().ok()).is_some_and(|(id, most)| (1..=most).contains(&id));
    (words::list("of-so-many").is(&plain(of)) && hardware && one && ends && within).then_some(behind)
}

/// `3.1 HARDWARE SET 1` without the number of its paragraph, where it is the heading of a set and changes nothing.
fn unnumbered(text: &str) -> Option<&str> {
    let (number, rest) = text.trim_start().split_once(char::is_whitespace)?;
    let rest = rest.trim_start();
    if !is_numbering(number) || !setheading::may_begin(rest) {
        return None;
    }
    let folded = plain(rest);
    let mut said = folded.split(' ').skip_while(|word| words::list("before-words-for-hardware").is(word));
    let found = setheading::heading(rest)?;
    let title = plain(&found.title);
    let changes = ["change-add", "change-delete", "change-revise"];
    let changed = || title.split(' ').any(|word| changes.iter().any(|list| words::list(list).is(word)));
    (said.next().is_some_and(|word| words::list("words-for-hardware").is(word)) && !changed()).then_some(rest)
}

/// `3.1`, `2.03.`, `4.`, `A.`, `(b)`: the number of a paragraph.
fn is_numbering(word: &str) -> bool {
    let inner = word.trim_matches(['(', ')', '.']);
    let figures =
        inner.split('.').all(|part| (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit()));
    let letter = matches!(inner.as_bytes(), [one] if one.is_ascii_alphabetic());
    word.len() <= LONGEST && word.contains(['.', ')']) && (figures || letter)
}

/// Whether goods of a set, or the headings of their columns, stand below a row before the next such heading.
fn goods_below(sheet: &Sheet, at: usize) -> bool {
    let below = sheet.rows.get(at + 1..).unwrap_or_default().iter().take(BELOW);
    let ends = |row: &&Row| head(row).is_none_or(|cell| unnumbered(&cell.text).is_none());
    below.take_while(ends).any(|row| counts_goods(row) || table::is_heading_row(row))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_words_become_figures() {
        for (text, made) in [
            ("HARDWARE SET ONE", "HARDWARE SET 1"),
            ("Hardware Set No. Three - Office", "Hardware Set No. 3 - Office"),
            ("DOOR HARDWARE GROUP: TWO (PAIRS)", "DOOR HARDWARE GROUP: 2 (PAIRS)"),
            ("HARDWARE SET (1)", "HARDWARE SET 1"),
            ("Hardware Set \"A\": Office", "Hardware Set A: Office"),
            ("HDW SET \u{201c}12\u{201d}", "HDW SET 12"),
        ] {
            assert_eq!(in_figures(text).as_deref(), Some(made), "{text}");
        }
        for text in [
            "HARDWARE SET A",
            "HARDWARE SET (PAIRS)",
            "HARDWARE SET 1 (2)",
            "HARDWARE SET 1",
            "SET ONE",
            "Hardware for one door",
            "HARDWARE SETS",
            "HINGES THREE",
        ] {
            assert_eq!(in_figures(text), None, "{text}");
        }
    }

    #[test]
    fn numbers_of_paragraphs_are_taken_off_headings_alone() {
        for (text, rest) in [
            ("3.1 HARDWARE SET 1", "HARDWARE SET 1"),
            ("A. Hardware Set 2: Office", "Hardware Set 2: Office"),
            ("2) Door Hardware Group 4", "Door Hardware Group 4"),
        ] {
            assert_eq!(unnumbered(text), Some(rest), "{text}");
        }
        for text in [
            "3 HARDWARE SET 1",
            "A. Set 2 screws",
            "1. Hardware Set 3: delete closer",
            "2. Hardware sets are listed below",
            "3.1 HINGES",
            "101 HW 1",
        ] {
            assert_eq!(unnumbered(text), None, "{text}");
        }
    }
}
