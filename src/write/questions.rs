//! The questions of the estimate, with the answers to pick and what each is worth; and the page on which the answers
//! stand. The headings
//! `Question` and `Your answer` say where they stand, whoever reads the page.

use super::page::{Answers, Area, Cell, Choice, Page, address, fixed_column, quoted};
use super::style::{CELL, DIFFERENCE, ENTRY, QUIET, WORDS};
use super::tables::table;
use super::words::{dearest_first, difference, extremes};
use crate::finding::Finding;
use crate::money::Money;
use crate::price::quote::Quote;

/// Name of the page of questions.
pub const NAME: &str = "Questions";
/// Heading of the column that holds the id of each question.
pub const ID: &str = "Question";
/// Heading of the column to answer in.
pub const ANSWER: &str = "Your answer";

const OFFERED: &str = "Answers offered";
const HEADINGS: [&str; 13] = [
    ID,
    "Set",
    "Doors",
    "As written",
    "What is unclear",
    "Priced meanwhile as",
    "Answers (difference)",
    ANSWER,
    "Its difference",
    "Cheapest",
    "Dearest",
    "Where",
    "Rests on",
];
/// Columns of the answer and of what it is worth.
const PICK: usize = 7;
const WORTH: usize = 8;

/// The page of questions, the page of answers, and the cells that hold what the answers picked are worth.
pub fn pages(quote: &Quote) -> (Page, Page, Option<String>) {
    let mut questions = dearest_first(&quote.job.findings);
    // Life safety stands first whatever it costs; the sort keeps the order by money within each weight.
    questions.sort_by_key(|finding| finding.weight);
    let mut offered = Vec::new();
    let mut places = Vec::new();
    for finding in &questions {
        let first = offered.len();
        offered.extend(finding.answers.iter().map(|answer| {
            vec![
                Cell::text(finding.id.as_str(), QUIET),
                Cell::text(answer.value.as_str(), WORDS),
                Cell::money(answer.effect.unwrap_or_default(), DIFFERENCE),
            ]
        }));
        places.push((first, offered.len()));
    }
    let offered = table(
        OFFERED,
        "The answers that Questions offers, and what each changes the total by.",
        &[40, 70, 14],
        &["Question", "Answer", "Difference"],
        offered,
    );
    let top = offered.rows.len() - places.last().map_or(0, |(_, end)| *end);
    let rows = questions.iter().enumerate().map(|(index, finding)| {
        let (first, end) = places[index];
        row(finding, FIRST + index, (end > first).then(|| (top + first, top + end - 1)))
    });
    let mut page = table(
        NAME,
        "Life safety first, then by the money at stake. The boxed column takes the architect's answer, for your own record; the first page shows what the answers picked come to.",
        &[18, 7, 14, 26, 40, 24, 34, 24, 11, 11, 11, 22, 20],
        &HEADINGS,
        rows.collect(),
    );
    for (index, (first, end)) in places.iter().enumerate().filter(|(_, (first, end))| end > first) {
        let cells = format!("{}!{}", quoted(OFFERED), fixed_column(1, top + first, top + end - 1));
        page.choices.push(Choice {
            area: Area::column(PICK, FIRST + index, FIRST + index),
            from: Answers::Cells(cells),
            hint: ("Answer".to_owned(), "Pick one, or type your own".to_owned()),
            only: false,
        });
    }
    let last = FIRST + questions.len().max(1) - 1;
    let effects = (!questions.is_empty()).then(|| format!("{}!{}", quoted(NAME), fixed_column(WORTH, FIRST, last)));
    (page, offered, effects)
}

/// Row of the first question; a table has a title, a line of words, an empty row and its headings above.
const FIRST: usize = 4;

fn row(finding: &Finding, row: usize, offered: Option<(usize, usize)>) -> Vec<Cell> {
    let answers = finding.answers.iter().map(|answer| match answer.effect {
        Some(effect) if !effect.is_zero() => format!("{} ({})", answer.value, difference(effect)),
        _ => answer.value.clone(),
    });
    let (low, high) = extremes(finding);
    let pick = address(row, PICK);
    let worth = match offered {
        Some((first, last)) => {
            let cells = |column: usize| format!("{}!{}", quoted(OFFERED), fixed_column(column, first, last));
            let found = format!("INDEX({},MATCH({pick},{},0))", cells(2), cells(1));
            Cell::formula(format!("=IF({pick}=\"\",0,IFERROR({found},0))"), Money::ZERO.decimal(), DIFFERENCE)
        }
        None => Cell::money(Money::ZERO, DIFFERENCE),
    };
    vec![
        Cell::text(finding.id.as_str(), QUIET),
        Cell::text(finding.set.clone().unwrap_or_default(), CELL),
        Cell::text(finding.openings.join(", "), WORDS),
        Cell::text(finding.excerpt.as_str(), WORDS),
        Cell::text(finding.says.as_str(), WORDS),
        Cell::text(finding.priced_as.as_str(), WORDS),
        Cell::text(answers.collect::<Vec<_>>().join("\n"), WORDS),
        Cell::blank(ENTRY),
        worth,
        Cell::money(low, DIFFERENCE),
        Cell::money(high, DIFFERENCE),
        Cell::text(finding.place.as_ref().map(ToString::to_string).unwrap_or_default(), QUIET.indent(1)),
        Cell::text(finding.source.to_string(), QUIET),
    ]
}
