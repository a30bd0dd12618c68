//! Rows of a sheet that belong to an issue which another one below it replaces: `ISSUE 1 IS SUPERSEDED` alone in its row over a
//! table, and `ISSUE 2` over the next. Where no other issue follows, nothing tells which rows are meant.

use crate::read::sheet::{Row, Sheet};
use crate::read::words::{self, plain};

/// Words in such a row, at most.
const WORDS: usize = 10;

/// The numbers of the rows that are superseded, their title among them.
pub(crate) fn of(sheet: &Sheet) -> Vec<u32> {
    let mut rows: Vec<u32> = Vec::new();
    let mut old: Option<(String, String)> = None;
    let mut since: Vec<u32> = Vec::new();
    for row in &sheet.rows {
        if let Some((word, number, is_old)) = title(row) {
            let replaced = old.as_ref().is_some_and(|(own, before)| *own == word && *before != number);
            if replaced {
                rows.append(&mut since);
            }
            since.clear();
            old = is_old.then_some((word, number));
        }
        if old.is_some() {
            since.push(row.number);
        }
    }
    rows
}

/// The word for an issue and its number with which a row begins that holds nothing else, and whether it says that this issue holds
/// no more.
fn title(row: &Row) -> Option<(String, String, bool)> {
    let [cell] = &row.cells[..] else { return None };
    let folded = plain(&cell.text);
    let mut words = folded.split([' ', ':', '.', ',']).filter(|word| !word.is_empty());
    if folded.split(' ').count() > WORDS {
        return None;
    }
    let (mut word, mut number) = (words.next()?, words.next()?);
    // `DOOR SCHEDULE ISSUE 2`
    while !words::list("issue-word").is(word) {
        if !words::list("title-old-sheet").is(word) {
            return None;
        }
        (word, number) = (number, words.next()?);
    }
    if words::list("number-short").is(number.trim_end_matches('.')) {
        number = words.next()?;
    }
    let is_number = number.len() <= 3 && number.bytes().all(|sign| sign.is_ascii_alphanumeric());
    let rest: Vec<&str> = words.filter(|word| word.bytes().any(|sign| sign.is_ascii_alphanumeric())).collect();
    let (first, behind) = match rest.first() {
        Some(first) if words::list("is-out-of-date").is(first) => {
            (rest.get(1).copied(), rest.get(2..).unwrap_or_default())
        }
        first => (first.copied(), rest.get(1..).unwrap_or_default()),
    };
    let called = first.is_some_and(|first| words::list("title-old").is(first));
    // `ISSUE 3 - DISREGARD ISSUE 2` speaks of the other.
    let by = behind.first().is_none_or(|word| words::list("by").is(word) || !called);
    (is_number && (!called || by)).then(|| (word.to_string(), number.to_string(), called))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::read::sheet::Cell;

    fn rows(texts: &[&str]) -> Vec<u32> {
        let mut sheet = Sheet::new(&Arc::from("a.csv"), "");
        for (at, text) in texts.iter().enumerate() {
            let cells = text.split('|').enumerate().map(|(column, text)| Cell::text(column, text)).collect();
            sheet.rows.push(Row { number: at as u32 + 1, cells, hidden: false });
        }
        of(&sheet)
    }

    #[test]
    fn an_issue_is_superseded_down_to_the_title_of_the_next() {
        let table = ["DOOR|SET", "101|1"];
        for (first, second, old) in [
            ("ISSUE 1 IS SUPERSEDED", "ISSUE 2", 3),
            ("ISSUE 1 - SUPERSEDED BY ISSUE 2", "ISSUE 2 - FOR BID", 3),
            ("DOOR SCHEDULE REV 1 - VOID", "DOOR SCHEDULE REV 2", 3),
            ("ISSUE 1", "ISSUE 2", 0),
            ("ISSUE 1 IS SUPERSEDED", "NOTES", 0),
            ("ISSUE 2 - DISREGARD ISSUE 1", "ISSUE 3", 0),
            ("ISSUE 1 IS SUPERSEDED", "DOORS OF ISSUE 2", 0),
        ] {
            assert_eq!(rows(&[first, table[0], table[1], second, table[0], table[1]]).len(), old, "{first}, {second}");
        }
    }
}
