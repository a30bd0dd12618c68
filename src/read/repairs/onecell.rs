//! A door schedule whose columns were lost: pasted from a PDF, each row is one text, `101 LOBBY 3'-0" x 7'-0" HM 20 1`, under
//! one text of headings. The words are given back to the headings: the number first, the size by its form, the rest in
//! order; what cannot be placed is kept in the room or the remarks.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};

use crate::read::openings::doorlist;
use crate::read::schedule::Role;
use crate::read::sheet::{Cell, Row};
use crate::read::sizes::size;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{Column, Holds, Table};
use crate::read::tables::{columns, layout};
use crate::read::walk::{Gathered, Lane, Walker};
use crate::read::words::{self, plain};

impl Walker<'_> {
    /// Takes one text of headings for the heading of a door schedule, if it can be that.
    pub(crate) fn lost_columns(&mut self, text: &str, index: usize, out: &mut Gathered) {
        let Some(table) = table(text, index).filter(|_| self.lanes.iter().all(|lane| lane.table.is_none())) else {
            return;
        };
        layout::explain(self.sheet, &table, out);
        let says = "the columns of the schedule were lost, each row is one text; its words were given to the headings by their form and order";
        out.schedule.findings.push(
            Finding::new("columns-lost", Kind::Assumption, Weight::Reading, says)
                .at(self.sheet.place(self.sheet.rows[index].number), text)
                .help("check sets and ratings against the drawing, or ask for the schedule as a spreadsheet"),
        );
        self.lanes = vec![Lane { table: Some(Arc::new(table)), lost: true, ..Lane::free() }];
    }

    /// A row of such a schedule.
    pub(crate) fn lost_row(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Role {
        let made = self.lanes[lane].table.clone().and_then(|table| self::row(&table, row));
        let Some((made, sure)) = made else {
            let text = row.joined();
            return self.outside(lane, row, &text, out);
        };
        if !sure {
            let says = "the row has fewer words than the schedule has headings; which cell was blank is a guess";
            out.schedule.findings.push(
                Finding {
                    openings: vec![made.cells[0].text.clone()],
                    ..Finding::new("columns-lost", Kind::Question, Weight::Goods, says)
                }
                .at(self.sheet.place(row.number), row.joined())
                .help("check the set and the rating of the door against the drawing"),
            );
        }
        self.door_row(lane, &made, out)
    }
}

/// The table that one text of headings stands for, when it is that of a door schedule.
fn table(text: &str, at: usize) -> Option<Table> {
    let mut columns: Vec<Column> = Vec::new();
    for (heading, heard) in headings::parted(text)? {
        let taken = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
        let meaning = match heard {
            Heard::One(M::Finish) if !taken(M::DoorFinish) => M::DoorFinish,
            Heard::One(meaning) => meaning,
            Heard::NumberOrQuantity => M::DoorNumber,
            Heard::SetOrDescription => M::Set,
            Heard::Material if !taken(M::DoorMaterial) => M::DoorMaterial,
            Heard::Material => M::FrameMaterial,
            Heard::Type if !taken(M::DoorType) => M::DoorType,
            Heard::Type => M::FrameType,
            Heard::SmokeOrKind => M::Smoke,
            Heard::RemarksOrKind => M::Remarks,
        };
        let meaning = if taken(meaning) { M::Other } else { meaning };
        let why = "its heading stands in one text with the others".to_string();
        columns.push(Column { index: columns.len(), heading, meaning, why });
    }
    let has = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
    let sized = has(M::Size) || has(M::Width) && has(M::Height);
    if columns.first().map(|column| column.meaning) != Some(M::DoorNumber) || !sized {
        return None;
    }
    Some(Table {
        holds: Holds::Doors,
        why: "door numbers and sizes, a row in one text".into(),
        rows: (at, at),
        lane: (0, usize::MAX),
        columns,
        headless: false,
        doubts: Vec::new(),
        dwellings: Default::default(),
        revisions: Vec::new(),
        further_sets: Vec::new(),
    })
}

/// The row of a door with its words under their headings, if the text is one.
fn row(table: &Table, row: &Row) -> Option<(Row, bool)> {
    let [cell] = &row.cells[..] else { return None };
    let words: Vec<&str> = cell.text.split_whitespace().collect();
    let number = words.first().filter(|word| doorlist::looks_like(word))?;
    let (from, to) = sized(&words, 1)?;
    let place = |meaning: M| table.columns.iter().position(|column| column.meaning == meaning);
    let (first, last) = match place(M::Size) {
        Some(size) => (size, size),
        None => (place(M::Width)?, place(M::Height)?),
    };
    let mut cells: Vec<(usize, String)> = vec![(0, (*number).to_string())];
    if first == last {
        cells.push((first, words[from..to].join(" ")));
    } else {
        let halves = words[from..to].join(" ");
        let (wide, high) = halves.split_once([' ', 'x', 'X'])?;
        cells.push((first, wide.to_string()));
        cells.push((last, high.trim_start_matches([' ', 'x', 'X']).to_string()));
    }
    let sure = spread(table, 1..first, &words[1..from], &mut cells)
        & spread(table, last + 1..table.columns.len(), &words[to..], &mut cells);
    cells.sort_by_key(|(column, _)| *column);
    cells.dedup_by_key(|(column, _)| *column);
    let cells = cells.iter().map(|(column, text)| Cell::text(*column, text)).filter(|cell| !cell.text.is_empty());
    Some((Row { number: row.number, cells: cells.collect(), hidden: row.hidden }, sure))
}

/// The longest run of words that is a whole size and begins with the word `first` or behind it.
pub(crate) fn sized(words: &[&str], first: usize) -> Option<(usize, usize)> {
    let runs = (first..words.len()).flat_map(|from| (from + 1..=words.len().min(from + 7)).map(move |to| (from, to)));
    let figure = |word: &str| word.bytes().any(|byte| byte.is_ascii_digit());
    let pair = |word: &str| words::list("pair-of-a-size").is(&word.trim_end_matches('.').to_uppercase());
    let whole = |from: usize, to: usize| {
        let of_size = |word: &&str| figure(word) || pair(word) || word.eq_ignore_ascii_case("x");
        if !words[from..to].iter().all(of_size) || !figure(words[to - 1]) || words[from].eq_ignore_ascii_case("x") {
            return false;
        }
        let text = words[from..to].join(" ");
        let marked = text.contains(['\'', '-', '/', '"']) || plain(&text).contains('X') || text.len() == 4;
        marked && size::parse_size(&text).is_some_and(|read| read.width.is_some() && read.height.is_some())
    };
    runs.filter(|(from, to)| whole(*from, *to)).max_by_key(|(from, to)| (to - from, words.len() - from))
}

/// Gives words to columns in order; more words than columns stay together where a text belongs. Whether that is sure.
fn spread(table: &Table, columns: std::ops::Range<usize>, words: &[&str], cells: &mut Vec<(usize, String)>) -> bool {
    let before = columns.start.saturating_sub(1);
    let mut columns: Vec<usize> = columns.collect();
    let meaning = |column: usize| table.columns[column].meaning;
    // Remarks are blank more often than not.
    if columns.last().is_some_and(|column| meaning(*column) == M::Remarks) && words.len() + 1 == columns.len() {
        columns.pop();
    }
    if words.is_empty() {
        return columns.is_empty();
    }
    if columns.is_empty() {
        // No column is left for them: they stay with the words before them, and nothing is sure.
        match cells.iter_mut().find(|(column, _)| *column == before) {
            Some((_, text)) => text.push_str(&format!(" {}", words.join(" "))),
            None => cells.push((before, words.join(" "))),
        }
        return false;
    }
    if words.len() >= columns.len() {
        let texts = |column: &usize| matches!(meaning(*column), M::Room | M::RoomTo | M::Remarks);
        let wide = columns.iter().position(texts).unwrap_or(0);
        let end = words.len() - (columns.len() - 1 - wide);
        let one = |word: &&str| (*word).to_string();
        let texts =
            words[..wide].iter().map(one).chain([words[wide..end].join(" ")]).chain(words[end..].iter().map(one));
        cells.extend(columns.into_iter().zip(texts));
        return true;
    }
    // Fewer words than columns: the set is hardly ever blank; the others go to what they look like.
    let mut words = words.to_vec();
    if let Some(set) = columns.iter().position(|column| meaning(*column) == M::Set)
        && let Some(word) = if set + 1 == columns.len() { words.pop() } else { None }
    {
        cells.push((columns.remove(set), word.to_string()));
    }
    for word in words {
        let fits = |column: &usize| columns::looks(meaning(*column), word) != Some(false);
        match columns.iter().position(fits) {
            Some(at) => {
                cells.push((columns[at], word.to_string()));
                columns.drain(..=at);
            }
            // Nothing is lost: what fits nowhere stays with the cell before it.
            None => {
                if let Some((_, text)) = cells.last_mut() {
                    text.push(' ');
                    text.push_str(word);
                }
            }
        }
    }
    false
}
