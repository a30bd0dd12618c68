//! The questions of the estimate, with the answers to pick and what each is worth; and the page on which the answers
//! stand. The headings say where the cells to fill in stand, whoever reads the page again.

use rust_decimal::Decimal;

use super::page::{Answers, Area, Cell, Choice, Page, address, fixed_column, quoted};
use super::style::{CELL, COUNT, DIFFERENCE, ENTRY_TEXT, QUIET, WORDS};
use super::tables::{table, where_it_is};
use super::words::{difference, questions, sentence};
use crate::complete::altered::is_anew;
use crate::complete::told::{Scope, Told};
use crate::finding::{Effect, Finding};
use crate::money::Money;
use crate::price::quote::Quote;

/// Name of the page of questions.
pub const NAME: &str = "Questions";
/// Heading of the column that holds the number of each question.
pub const NUMBER: &str = "No.";
/// Heading of the column that holds the id of each question.
pub const ID: &str = "Question";
/// Heading of the column to answer in.
pub const ANSWER: &str = "Your answer";
/// Heading of the column that says how far an answer reaches.
pub const APPLIES: &str = "Applies to";
/// Heading of the column for who answered.
pub const BY: &str = "By";
/// Heading of the column for when.
pub const ON: &str = "On";
/// Heading of the doors that a question names.
pub const DOORS: &str = "Doors";
/// The same in the list for the architect.
pub const OPENINGS: &str = "Openings";
/// Heading of the wording.
pub const WORDING: &str = "As written";
/// Heading of the code.
pub const CODE: &str = "Code";
/// Heading of the attribute.
pub const ATTRIBUTE: &str = "Attribute";

const OFFERED: &str = "Answers offered";
const HEADINGS: [&str; 19] = [
    NUMBER,
    "Set",
    DOORS,
    WORDING,
    "What is unclear",
    "Priced meanwhile as",
    "Answers (difference)",
    ANSWER,
    APPLIES,
    "Its difference",
    "Cheapest",
    "Dearest",
    BY,
    ON,
    "Where",
    "Rests on",
    ID,
    CODE,
    ATTRIBUTE,
];
/// Columns of the answer, of how far it reaches, and of what it is worth.
const PICK: usize = 7;
const REACH: usize = 8;
const WORTH: usize = 9;

/// The page of questions, the page of answers, and the cells that hold what the answers picked are worth.
pub fn pages(quote: &Quote) -> (Page, Page, Option<String>) {
    let questions = questions(&quote.job.findings);
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
        row(quote, finding, FIRST + index, (end > first).then(|| (top + first, top + end - 1)))
    });
    let mut page = table(
        NAME,
        "Life safety first, then by the money at stake. Answer in the boxed cells, save, and run again as the first page says; there stands what the answers picked come to.",
        &[5, 7, 16, 30, 48, 22, 34, 24, 13, 11, 10, 10, 13, 11, 26, 44, 30, 18, 14],
        &HEADINGS,
        rows.collect(),
    );
    for (index, (first, end)) in places.iter().enumerate().filter(|(_, (first, end))| end > first) {
        let cells = format!("{}!{}", quoted(OFFERED), fixed_column(1, top + first, top + end - 1));
        let in_words = questions[index].takes_words();
        let hint = if in_words { "Pick it, or say in words what is to be done" } else { "Pick one of the list" };
        page.choices.push(Choice {
            area: Area::column(PICK, FIRST + index, FIRST + index),
            from: Answers::Cells(cells),
            hint: ("Answer".to_owned(), hint.to_owned()),
            only: !in_words,
        });
    }
    if !questions.is_empty() {
        page.choices.push(Choice {
            area: Area::column(REACH, FIRST, FIRST + questions.len() - 1),
            from: Answers::Words(Scope::ALL.iter().map(|scope| scope.word().to_owned()).collect()),
            hint: (
                APPLIES.to_owned(),
                "This question, all of the kind with the same wording, or all of the kind in the job".to_owned(),
            ),
            only: true,
        });
    }
    page.folded = Some((WORTH + 7, HEADINGS.len() - 1));
    page.print.last_column = Some(WORTH + 2);
    let last = FIRST + questions.len().max(1) - 1;
    let effects = (!questions.is_empty()).then(|| format!("{}!{}", quoted(NAME), fixed_column(WORTH, FIRST, last)));
    (page, offered, effects)
}

/// Row of the first question; a table has a title, a line of words, an empty row and its headings above.
const FIRST: usize = 4;

fn row(quote: &Quote, finding: &Finding, row: usize, offered: Option<(usize, usize)>) -> Vec<Cell> {
    // An answer that was refused stands where it was given, to be put right.
    let told = quote.answers.questions.get(&finding.id).cloned().unwrap_or_default();
    let says = match told.answer.as_str() {
        "" => sentence(&finding.says),
        answer => format!("{} The answer \"{answer}\" is not one of those offered; pick one.", sentence(&finding.says)),
    };
    let answers = finding.answers.iter().map(|answer| match answer.effect {
        _ if answer.does == Effect::ByHand => format!("{} (for you to carry out)", answer.value),
        None if is_anew(&answer.does) => format!("{} (priced once picked)", answer.value),
        Some(effect) if !effect.is_zero() => format!("{} ({})", answer.value, difference(effect)),
        _ => answer.value.clone(),
    });
    let (low, high) = finding.extremes();
    let pick = address(row, PICK);
    let worth = match offered {
        Some((first, last)) => {
            let cells = |column: usize| format!("{}!{}", quoted(OFFERED), fixed_column(column, first, last));
            let found = format!("INDEX({},MATCH({pick},{},0))", cells(2), cells(1));
            Cell::formula(format!("=IF({pick}=\"\",0,IFERROR({found},0))"), Money::ZERO.decimal(), DIFFERENCE)
        }
        None => Cell::money(Money::ZERO, DIFFERENCE),
    };
    let mut cells = vec![
        number(quote, &finding.id),
        Cell::text(finding.set.clone().unwrap_or_default(), CELL),
        Cell::text(finding.openings.join(", "), WORDS),
        Cell::text(finding.excerpt.as_str(), WORDS),
        Cell::text(says, WORDS),
        Cell::text(finding.priced_as.as_str(), WORDS),
        match (answers.collect::<Vec<_>>().join("\n"), finding.help.as_str()) {
            (answers, "") => Cell::text(answers, WORDS),
            // Nothing to pick: what to do, and that words do not carry themselves out.
            (answers, help) if answers.is_empty() => {
                Cell::text(format!("In your words, for the record. To do: {help}."), QUIET)
            }
            (answers, _) => Cell::text(answers, WORDS),
        },
    ];
    let [answer, applies, by, on] = entries(&told);
    cells.extend([
        answer,
        applies,
        worth,
        Cell::money(low, DIFFERENCE),
        Cell::money(high, DIFFERENCE),
        by,
        on,
        finding.place.as_ref().map_or(Cell::blank(CELL), |place| where_it_is(quote, place)),
        Cell::text(finding.source.to_string(), QUIET),
    ]);
    cells.extend(naming(finding));
    cells
}

/// The number of a question.
pub(super) fn number(quote: &Quote, id: &str) -> Cell {
    quote.answers.numbers.get(id).map_or(Cell::blank(CELL), |number| Cell::number(Decimal::from(*number), COUNT))
}

/// Cells for the answer, how far it reaches, who gave it and when.
pub(super) fn entries(told: &Told) -> [Cell; 4] {
    let scope = if told.scope == Scope::This { "" } else { told.scope.word() };
    [&told.answer, scope, &told.by, &told.on].map(|words| match words {
        "" => Cell::blank(ENTRY_TEXT),
        words => Cell::text(words, ENTRY_TEXT),
    })
}

/// Id, code and attribute: what tells a question to whoever reads the page again.
pub(super) fn naming(finding: &Finding) -> [Cell; 3] {
    let attribute = finding.attribute.map(|attribute| attribute.name()).unwrap_or_default();
    [finding.id.as_str(), finding.code, attribute].map(|words| Cell::text(words, QUIET))
}
