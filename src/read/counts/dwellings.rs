//! Columns that count the doors of one dwelling of a kind: `UNIT A1`, `UNIT A2`, and how many such dwellings there are in
//! brackets in the heading or in a row of its own below it.

use std::collections::{BTreeMap, BTreeSet};

use crate::read::openings::doors::whole_count;
use crate::read::sheet::{Cell, Row};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{HeardColumn, Table};
use crate::read::words::{self, plain};

/// How many dwellings of each kind there are.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Dwellings {
    /// The row that says so.
    pub row: Option<u32>,
    /// By the column of the kind.
    times: BTreeMap<usize, u32>,
    /// Columns of kinds stand there, and nothing says how many there are of each.
    pub open: bool,
}

impl Dwellings {
    /// How many dwellings a column stands for.
    pub fn times(&self, column: usize) -> u32 {
        self.times.get(&column).copied().unwrap_or(1)
    }

    /// The heading of a column, with its dwellings.
    pub fn named(&self, column: usize, heading: &str) -> String {
        match self.times.get(&column) {
            Some(times) => format!("\"{heading}\" ({times} times)"),
            None => format!("\"{heading}\""),
        }
    }
}

/// `UNIT A1`, `APT. TYPE B`, `2BR UNITS`: a kind of dwelling by its designation.
fn is_kind(heading: &str) -> bool {
    let key = headings::key(heading);
    let known =
        headings::exact(&key).is_some() || ["count-rooms", "count-each"].iter().any(|used| words::list(used).is(&key));
    let list = words::list("dwellings");
    let parts: Vec<&str> = key.split(' ').collect();
    let (named, told): (Vec<&str>, Vec<&str>) = parts.into_iter().partition(|word| list.is(word));
    let designates = |word: &&str| word.len() <= 2 || word.bytes().any(|byte| byte.is_ascii_digit());
    !known && !named.is_empty() && (1..=2).contains(&told.len()) && told.iter().any(designates)
}

/// `(24 units)`, `x 24`, `24 EA`: how many there are, with a word or a sign that says so.
fn told_count(text: &str) -> Option<u32> {
    let folded = plain(text);
    let parts = || folded.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(|part| !part.is_empty());
    let figures = |part: &&str| {
        part.trim_start_matches('X').bytes().all(|byte| byte.is_ascii_digit())
            && part.len() > usize::from(part.starts_with('X'))
    };
    let (numbers, rest): (Vec<&str>, Vec<&str>) = parts().partition(figures);
    let [number] = numbers[..] else { return None };
    let said = |word: &&str| words::list("dwellings").is(word) || words::list("dwellings-counted").is(word);
    let marked = !rest.is_empty() || number.starts_with('X') || folded.starts_with('(');
    let count = number.trim_start_matches('X').parse().ok().filter(|count| (1..=9_999).contains(count))?;
    (marked && rest.iter().all(said)).then_some(count)
}

/// What stands in brackets in a heading: `A1 (24)`, `UNIT B (6)`, `KING (40 rooms)`. A bare number counts dwellings only under
/// a kind of them: under `LOUVER (2)` it is that of a footnote.
fn in_heading(heading: &str) -> Option<u32> {
    let inside = bracketed(heading)?;
    let folded = plain(inside);
    let says =
        folded.split(|letter: char| !letter.is_ascii_alphanumeric()).any(|word| words::list("dwellings-told").is(word));
    if !says && !is_kind(heading) && !is_mark(heading) {
        return None;
    }
    told_count(&format!("({inside})"))
}

fn bracketed(heading: &str) -> Option<&str> {
    let (_, inside) = heading.split_once('(')?;
    Some(inside.split_once(')')?.0)
}

/// `A1`, `2BR`, `STUDIO`: what may be a kind of dwelling where how many there are stands beside it.
fn is_mark(heading: &str) -> bool {
    let key = headings::key(heading);
    let (figure, letter) = (|sign: u8| sign.is_ascii_digit(), |sign: u8| sign.is_ascii_alphabetic());
    let short = key.len() <= 4 && key.bytes().any(figure) && key.bytes().any(letter);
    words::list("dwellings-alone").is(&key) || short && key.bytes().all(|sign| figure(sign) || letter(sign))
}

/// Whether bare numbers in the brackets of headings are those of footnotes: they rise by one from the first, or the doors
/// are numbered each for itself and stand in one place.
fn are_footnotes(headings: &[&str], doors: Option<&Vec<&Cell>>) -> bool {
    let bare: Vec<u32> = headings.iter().filter_map(|heading| bracketed(heading)?.trim().parse().ok()).collect();
    if bare.len() < headings.len() {
        return false;
    }
    let rising = bare[0] <= 9 && bare.windows(2).all(|two| two[1] == two[0] + 1);
    let numbered = doors.is_some_and(|cells| {
        let distinct: BTreeSet<&str> = cells.iter().map(|cell| cell.text.as_str()).collect();
        // `V1` may be the letter of a type; `101` is a door.
        let own = |text: &&str| {
            text.starts_with(|sign: char| sign.is_ascii_digit()) || text.bytes().filter(u8::is_ascii_digit).count() >= 3
        };
        cells.len() > 1 && distinct.len() == cells.len() && distinct.iter().all(own)
    });
    rising || numbered
}

/// The row below the headings, if it says how many there are of each kind and nothing else.
fn counted_row(row: &Row, columns: &[usize]) -> Option<BTreeMap<usize, u32>> {
    let (own, beside): (Vec<&Cell>, Vec<&Cell>) = row.cells.iter().partition(|cell| columns.contains(&cell.column));
    let label = |cell: &&&Cell| {
        let key = headings::key(&cell.text);
        words::list("count-rooms").is(&key) || words::list("dwellings").is(&key)
    };
    let labelled = beside.iter().any(|cell| label(&cell));
    let sums = |cell: &&&Cell| labelled && whole_count(&cell.text).is_some();
    if own.is_empty() || !beside.iter().all(|cell| label(&cell) || sums(&cell)) {
        return None;
    }
    let count = |cell: &Cell| told_count(&cell.text).or_else(|| whole_count(&cell.text).filter(|_| labelled));
    own.into_iter().map(|cell| Some((cell.column, count(cell)?))).collect()
}

/// The columns that count doors by kinds of dwellings, by their places among those heard.
pub(crate) fn find(
    heard: &[HeardColumn],
    sample: &BTreeMap<usize, Vec<&Cell>>,
    below: Option<&Row>,
) -> Option<(Vec<usize>, Dwellings)> {
    // Most tables have no such heading; that is seen before anything is compared.
    let named: Vec<usize> = (0..heard.len())
        .filter(|at| {
            let (_, heading, found) = &heard[*at];
            let open = matches!(found, None | Some((Heard::One(M::Unit | M::RoomNumber | M::Room | M::Other), _)));
            open && (is_kind(heading) || in_heading(heading).is_some())
        })
        .collect();
    let run = |from: usize| named[from..].iter().enumerate().take_while(|(at, own)| **own == named[from] + at).count();
    let (from, length) =
        (0..named.len()).map(|from| (from, run(from))).max_by_key(|(from, run)| (*run, std::cmp::Reverse(*from)))?;
    if length < 2 {
        return None;
    }
    let places = named[from..from + length].to_vec();
    let columns: Vec<usize> = places.iter().map(|at| heard[*at].0).collect();
    let in_row = below.and_then(|row| counted_row(row, &columns));
    let cells = |column: usize| {
        let cells = sample.get(&column).map_or(&[][..], Vec::as_slice);
        let told = in_row.as_ref().is_some_and(|row| row.contains_key(&column))
            && below.is_some_and(|row| row.cells.len() > 1);
        &cells[usize::from(told).min(cells.len())..]
    };
    let counts = |column: &usize| {
        let (blank, cells) = (|text: &str| words::list("falsy").is(&plain(text)), cells(*column));
        cells.iter().all(|cell| whole_count(&cell.text).is_some_and(|count| count < 100) || blank(&cell.text))
    };
    if !columns.iter().all(counts) || columns.iter().all(|column| cells(*column).is_empty()) {
        return None;
    }
    let row = below.filter(|_| in_row.is_some()).map(|row| row.number);
    let headings: Vec<&str> = places.iter().map(|at| heard[*at].1.as_str()).collect();
    let doors = heard.iter().find(|(_, _, heard)| matches!(heard, Some((Heard::One(M::DoorNumber), _))));
    let footnotes = are_footnotes(&headings, doors.and_then(|(index, ..)| sample.get(index)));
    if footnotes && in_row.is_none() && !headings.iter().all(|heading| is_kind(heading)) {
        return None;
    }
    let headed = || {
        places.iter().filter_map(|at| Some((heard[*at].0, in_heading(&heard[*at].1).filter(|_| !footnotes)?))).collect()
    };
    let times: BTreeMap<usize, u32> = in_row.unwrap_or_else(headed);
    let open = columns.iter().any(|column| !times.contains_key(column));
    Some((places, Dwellings { row, times, open }))
}

/// The question where kinds of dwellings stand across and nothing says how many there are of each.
pub(crate) fn unsaid(table: &Table) -> Option<String> {
    let open = |column: &&crate::read::tables::table::Column| {
        column.meaning == M::CountPart && !table.dwellings.times.contains_key(&column.index)
    };
    let kinds: Vec<&str> = table.columns.iter().filter(open).map(|column| column.heading.as_str()).collect();
    (table.dwellings.open && !kinds.is_empty())
        .then(|| format!("nothing says how many dwellings there are of {}; one of each was counted", kinds.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_of_dwellings_and_their_counts_are_told_from_other_headings() {
        for (heading, kind) in [
            ("UNIT A1", true),
            ("APT. TYPE B", true),
            ("UNIT B2 (6)", true),
            ("2BR UNITS", true),
            ("UNIT PRICE", false),
            ("UNIT WEIGHT", false),
            ("NO. OF UNITS", false),
            ("UNIT", false),
            ("A1", false),
        ] {
            assert_eq!(is_kind(heading), kind, "{heading}");
        }
        for (text, count) in [
            ("(24 units)", Some(24)),
            ("x 24", Some(24)),
            ("x24", Some(24)),
            ("24 EA", Some(24)),
            ("(24)", Some(24)),
            ("24", None),
            ("(see A-101)", None),
            ("3'-0\"", None),
            ("UNITS", None),
        ] {
            assert_eq!(told_count(text), count, "{text}");
        }
    }
}
