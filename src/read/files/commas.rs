//! Rows of a file parted by commas in which nobody put words with commas into quotes: `HINGE, BB, 5 X 4-1/2` comes apart into
//! three fields, and all behind them stands aside of its heading. A blank behind the comma tells it from one that parts.

use csv::StringRecord;

use crate::read::openings::doormore;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Oddity, Row, Sheet};
use crate::read::tables::headings::{self, Heard, Meaning};
use crate::read::tables::table;
use crate::read::words::{self, plain};

/// What was seen of a file so far.
#[derive(Default)]
pub(crate) struct Commas {
    /// The most fields of a row since the last headings, none of whose fields begins with a blank: where the last cells of a
    /// row are left off, it has fewer than its table.
    fields: Option<usize>,
    /// Those are the fields of headings: a row that has more is itself wrong.
    headed: bool,
    /// The columns of sets among them.
    sets: Vec<usize>,
    /// The first row whose words were put together, and how many such rows there are.
    first: Option<(u32, String)>,
    rows: usize,
}

impl Commas {
    /// The fields of a row put together, where it has more fields than the rows above and just as many without those commas.
    pub fn joined(&mut self, record: &StringRecord, number: u32) -> Option<StringRecord> {
        let led = |field: &str| field.starts_with(' ') && !field.trim().is_empty();
        if let Some(whole) = list_of_doors(record, led) {
            self.first.get_or_insert_with(|| (number, whole.clone()));
            self.rows += 1;
            return Some(vec![whole].into());
        }
        if !record.iter().skip(1).any(led) {
            if record.iter().filter(|field| !field.trim().is_empty()).nth(1).is_some()
                && self.fields.is_none_or(|fields| {
                    !self.headed && record.len() > fields || heads(record) && record.len() != fields
                })
            {
                self.fields = Some(record.len());
                self.headed = heads(record);
                self.sets = if self.headed { columns_of_sets(record) } else { Vec::new() };
            }
            return None;
        }
        let fields = self.fields.filter(|fields| record.len() > *fields)?;
        let mut joined: Vec<String> = Vec::with_capacity(fields);
        for field in record {
            match joined.last_mut().filter(|before| led(field) && !before.trim().is_empty()) {
                Some(before) => *before = format!("{before},{field}"),
                None => joined.push(field.to_owned()),
            }
        }
        // `103,2, verify` under DOOR, SET: what stands behind the id of a set is no part of it.
        let id_and_more = |column: &usize| {
            joined.get(*column).is_some_and(|cell| {
                // `1, 2` are two sets.
                cell.split_once(", ")
                    .is_some_and(|(_, behind)| !behind.trim().bytes().all(|byte| byte.is_ascii_digit()))
            })
        };
        if joined.len() != fields || self.sets.iter().any(id_and_more) {
            return None;
        }
        self.first.get_or_insert_with(|| {
            (number, joined.iter().find(|text| text.contains(", ")).cloned().unwrap_or_default())
        });
        self.rows += 1;
        Some(joined.into())
    }

    /// Says once that words were put together.
    pub fn tell(self, sheet: &mut Sheet) {
        let Some((row, excerpt)) = self.first else { return };
        let says = format!(
            "words with commas stand in no quotes, in {} row{}; a comma with a blank behind it was read as part of the words",
            self.rows,
            if self.rows == 1 { "" } else { "s" }
        );
        sheet.oddities.push(Oddity {
            code: "row-mended",
            row,
            excerpt,
            says,
            help: "check the rows, or save the file with quotes",
        });
    }
}

/// `HARDWARE SET 1 - DOORS: 101 Lobby, 102 Office` as one text, where more doors stand behind the commas than before them.
fn list_of_doors(record: &StringRecord, led: impl Fn(&str) -> bool) -> Option<String> {
    let last = (0..record.len()).rev().find(|at| record.get(*at).is_some_and(|field| !field.trim().is_empty()))?;
    let first = record.get(0).filter(|first| !first.trim().is_empty() && last > 0)?;
    if !record.iter().take(last + 1).skip(1).all(led) {
        return None;
    }
    let count = |text: &str| {
        let heads = setheading::heading(text).is_some() || setheading::served(text).is_some();
        let (entries, behind) = setheading::doors_of(text).filter(|_| heads)?;
        Some(doormore::further(entries, behind).len())
    };
    let whole = record.iter().take(last + 1).collect::<Vec<_>>().join(",");
    (count(&whole)? > count(first)?).then_some(whole)
}

/// Whether the commas of a text are those of its words, `Perimeter seals, BLK    1 SET`: a blank stands behind each, goods are named
/// before the first of most lines that name any, and no piece behind it is a count alone, `Hinges, 3, 652`.
pub(crate) fn of_goods(text: &str) -> bool {
    let lines = || text.lines().filter(|line| line.contains(',')).take(200);
    let mut signs = lines().flat_map(|line| line.match_indices(',').map(|(at, _)| &line[at + 1..]));
    if !signs.all(|behind| behind.is_empty() || behind.starts_with([' ', '\t'])) {
        return false;
    }
    let named = |text: &str| words::list("hardware").find(&plain(text)).is_some();
    let goods: Vec<(&str, &str)> = lines().filter(|line| named(line)).filter_map(|line| line.split_once(',')).collect();
    let led = goods.iter().filter(|(first, _)| named(first)).count();
    let count = |piece: &str| {
        let piece = piece.trim();
        (1..=2).contains(&piece.len()) && piece.bytes().all(|byte| byte.is_ascii_digit())
    };
    led >= 1 && led * 2 > goods.len() && !goods.iter().any(|(_, rest)| rest.split(',').any(count))
}

/// Which fields of headings name sets.
fn columns_of_sets(record: &StringRecord) -> Vec<usize> {
    let is_set = |field: &str| headings::of_cell(field) == Some(Heard::One(Meaning::Set));
    record.iter().enumerate().filter(|(_, field)| is_set(field)).map(|(column, _)| column).collect()
}

/// Whether a row heads a table, which may have fewer fields than the one above.
fn heads(record: &StringRecord) -> bool {
    let filled = record.iter().enumerate().filter(|(_, field)| !field.trim().is_empty());
    let cells: Vec<Cell> = filled.map(|(column, field)| Cell::text(column, field)).collect();
    !cells.is_empty() && table::is_heading_row(&Row { number: 0, cells, hidden: false })
}
