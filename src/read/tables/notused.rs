//! Cells of door schedules that stand in no column that is used: under a heading that is not known, or beside the last one.
//! Where they look like ratings, name goods or say pair, that is asked: nothing of it reached the doors.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use super::columns::UNKNOWN;
use super::headings::{self, Meaning as M};
use super::{bycells, headless};
use crate::read::openings::doors::{Reader, Told};
use crate::read::schedule::Opening;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// A sheet by its file and its name.
type Sheet<'s> = (&'s Arc<str>, &'s Arc<str>);

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

/// Fewer doors with figures beside them say nothing of counts.
const FEWEST: usize = 3;
/// The heading of such a column is the short name of a type: `A1`, `2BR`.
const LONGEST_TYPE: usize = 6;

/// Two and more columns of a sheet under short names that are not known, with a small whole number at nearly every door: how
/// many of the door each type of dwelling or room has, perhaps. Nothing multiplies by them; that is asked.
fn counts_beside(columns: &BTreeMap<Key, Column>, openings: &[Opening]) -> Vec<Finding> {
    let small = |text: &str| {
        let text = text.trim();
        text == "-" || (1..=2).contains(&text.len()) && text.bytes().all(|sign| sign.is_ascii_digit())
    };
    let mut of_sheets: BTreeMap<Sheet<'_>, Vec<(usize, &Column)>> = BTreeMap::new();
    for ((file, sheet, at), column) in columns {
        let short = column.heading.as_ref().is_some_and(|heading| (1..=LONGEST_TYPE).contains(&heading.trim().len()));
        if short && column.said.len() >= FEWEST && column.said.iter().all(|(_, text)| small(text)) {
            of_sheets.entry((file, sheet)).or_default().push((*at, column));
        }
    }
    let found = of_sheets.into_iter().filter_map(|((file, sheet), columns)| {
        let doors: Vec<&Opening> =
            openings.iter().filter(|door| door.place.file == *file && door.place.sheet == *sheet).collect();
        let full: Vec<&(usize, &Column)> =
            columns.iter().filter(|(_, column)| column.said.len() * 10 >= doors.len() * 7).collect();
        let beside = full.windows(2).all(|two| two[1].0 == two[0].0 + 1);
        let (first, last) = (full.first().filter(|_| full.len() >= 2 && beside)?, full.last()?);
        let names: Vec<&str> = full.iter().take(6).filter_map(|(_, column)| column.heading.as_deref()).collect();
        let says = format!(
            "the columns {} to {}, \"{}\", hold small numbers and were not used: each row counts one door, and they may say how many of it each type has",
            column_letter(first.0),
            column_letter(last.0),
            names.join("\", \"")
        );
        let finding = Finding {
            openings: doors.iter().map(|door| door.number.clone()).collect(),
            priced_as: "one door for each row".into(),
            ..Finding::new("column-not-used", Kind::Question, Weight::Goods, says)
        };
        let help = "multiply by the number of each type, and give the schedule one column COUNT with the doors of each row";
        Some(finding.at(first.1.at.clone(), names.join("  ")).help(help))
    });
    found.collect()
}

/// `QTY THIS PHASE` over 18, 12, 24, where each row was counted as one door: a heading that speaks of counts over whole numbers.
fn may_count(heading: Option<&str>, filled: &[&(usize, String)], openings: &[Opening]) -> bool {
    let key = heading.map(headings::key).unwrap_or_default();
    let has = |used: &str| key.split(' ').any(|word| words::list(used).is(word));
    let counted = (has("totals") || has("counting-words")) && !has("count-of-others") && !has("measured-by-total");
    let whole = |text: &str| text.trim().parse::<u32>().ok().filter(|count| *count < MOST_DOORS);
    let single = |at: usize| openings.get(at).is_some_and(|door| door.count == 1);
    counted
        && filled.len() >= 2
        && filled.iter().all(|(at, text)| whole(text).is_some() && single(*at))
        && filled.iter().any(|(_, text)| whole(text) > Some(1))
}

/// A row stands for fewer doors.
const MOST_DOORS: u32 = 2_000;

/// `F.R.`: short for the frame and for the fire rating.
fn fire_or_frame(heading: Option<&str>) -> bool {
    heading.is_some_and(|heading| words::list("frame-or-fire-heading").is(&headings::key(heading)))
}

/// Asks about the columns that say something of doors or goods.
pub(crate) fn settle(out: &mut Gathered) {
    let columns = std::mem::take(&mut out.not_used).columns;
    let counted = counts_beside(&columns, &out.schedule.openings);
    out.schedule.findings.extend(counted);
    for ((_, _, column), said) in columns {
        let filled: Vec<&(usize, String)> =
            said.said.iter().filter(|(_, text)| !words::list("no-set").is(&plain(text))).collect();
        let doors = |fits: &dyn Fn(&(usize, String)) -> bool| -> Vec<&(usize, String)> {
            filled.iter().copied().filter(|said| fits(said)).collect()
        };
        let openings = &out.schedule.openings;
        let unrated = |at: usize| openings.get(at).is_some_and(|door| door.rating.text.is_empty());
        let single = |at: usize| openings.get(at).is_some_and(|door| door.leaves == 1);
        let (what, found, meaning) = if may_count(said.heading.as_deref(), &filled, openings) {
            ("whole numbers that may count doors", filled.clone(), "count")
        } else if !filled.is_empty() && filled.iter().all(|(_, text)| headless::is_rating(text)) {
            ("what looks like fire ratings", doors(&|(at, _)| unrated(*at)), "rating")
        } else if fire_or_frame(said.heading.as_deref()) && filled.iter().all(|(_, text)| bycells::is_sign(text)) {
            (
                "signs that may be hours or labels of fire, or elevations of frames",
                doors(&|(at, _)| unrated(*at)),
                "rating",
            )
        } else {
            let goods = |text: &str| words::list("hardware").find(&plain(text)).is_some();
            let named = doors(&|(_, text)| goods(text));
            let pairs = doors(&|(at, text)| single(*at) && Told::of(text).leaves == Some(2));
            match named.is_empty() {
                true => ("words for two leaves", pairs, "rating"),
                false => ("words for hardware", named, "rating"),
            }
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
                "say in the job file under [[read]] what the column is: columns = {{ {letter} = \"{meaning}\" }}, \"remarks\", or \"ignore\""
            )),
        );
    }
}
