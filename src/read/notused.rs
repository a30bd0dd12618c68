//! Cells of door schedules that stand in no column that is used: under a heading that is not known, or beside the last one.
//! Where they look like ratings, name goods or say pair, that is asked: nothing of it reached the doors.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use super::columns::UNKNOWN;
use super::doors::{Reader, Told};
use super::headings::Meaning as M;
use super::headless;
use super::walk::Gathered;
use super::words::{self, plain};

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// What such columns say.
#[derive(Default)]
pub(crate) struct NotUsed {
    columns: BTreeMap<Key, Column>,
}

struct Column {
    heading: Option<String>,
    at: Place,
    /// Openings with what their cells say.
    said: Vec<(usize, String)>,
}

impl NotUsed {
    /// Keeps the cells of a door's row that no column takes.
    pub fn keep(&mut self, opening: usize, reader: &Reader<'_>) {
        for cell in reader.row.cells.iter().filter(|cell| !cell.struck) {
            let column = reader.table.at(cell.column);
            let heading = match column {
                Some(column) if column.meaning == M::Other && column.why == UNKNOWN => Some(column.heading.clone()),
                Some(_) => continue,
                None => None,
            };
            let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), cell.column);
            let at = reader.sheet.at(reader.row.number, cell.column);
            let column = self.columns.entry(key).or_insert_with(|| Column { heading, at, said: Vec::new() });
            column.said.push((opening, cell.text.clone()));
        }
    }
}

/// Asks about the columns that say something of doors or goods.
pub(super) fn settle(out: &mut Gathered) {
    for ((_, _, column), said) in std::mem::take(&mut out.not_used).columns {
        let filled: Vec<&(usize, String)> =
            said.said.iter().filter(|(_, text)| !words::list("no-set").is(&plain(text))).collect();
        let doors = |fits: &dyn Fn(&(usize, String)) -> bool| -> Vec<&(usize, String)> {
            filled.iter().copied().filter(|said| fits(said)).collect()
        };
        let openings = &out.schedule.openings;
        let unrated = |at: usize| openings.get(at).is_some_and(|door| door.rating.text.is_empty());
        let single = |at: usize| openings.get(at).is_some_and(|door| door.leaves == 1);
        let (what, found) = if !filled.is_empty() && filled.iter().all(|(_, text)| headless::is_rating(text)) {
            ("what looks like fire ratings", doors(&|(at, _)| unrated(*at)))
        } else {
            let goods = |text: &str| words::list("hardware").find(&plain(text)).is_some();
            let named = doors(&|(_, text)| goods(text));
            let pairs = doors(&|(at, text)| single(*at) && Told::of(text).leaves == Some(2));
            if named.is_empty() { ("words for two leaves", pairs) } else { ("words for hardware", named) }
        };
        let Some((_, first)) = found.first() else { continue };
        let mut texts: Vec<&str> = Vec::new();
        for (_, text) in &found {
            if !texts.contains(&text.as_str()) {
                texts.push(text);
            }
        }
        let more = if texts.len() > 3 { ", \u{2026}" } else { "" };
        let some = texts.iter().take(3).map(|text| format!("\"{text}\"")).collect::<Vec<_>>().join(", ");
        let letter = column_letter(column);
        let heading = match &said.heading {
            Some(heading) => format!("the column {letter}, \"{}\", is not known", heading.replace('\n', " ")),
            None => format!("the column {letter} has no heading"),
        };
        let says = format!("{heading} and was not used; it holds {what}: {some}{more}");
        out.schedule.findings.push(
            Finding {
                openings: found.iter().filter_map(|(at, _)| Some(openings.get(*at)?.number.clone())).collect(),
                priced_as: "without it".into(),
                ..Finding::new("column-not-used", Kind::Question, Weight::Goods, says)
            }
            .at(said.at, first.clone())
            .help(format!(
                "say in the job file under [[read]] what the column is: columns = {{ {letter} = \"rating\" }}, \"remarks\", or \"ignore\""
            )),
        );
    }
}
