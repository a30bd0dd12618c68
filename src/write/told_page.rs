//! The estimate's page of what was told so far: every answer in force, what was typed over on lines that are not there,
//! and the numbers under which questions went out. Whoever reads the workbook again reads this page too.

use rust_decimal::Decimal;

use super::page::{Answers, Area, Cell, Choice, Page};
use super::style::{CELL, COUNT, ENTRY, ENTRY_TEXT, QUIET, WORDS};
use super::tables::table;
use super::typed_cells::TypedCells;
use super::words::sentence;
use crate::complete::answers::IN_WORDS;
use crate::complete::told::{Scope, Told};
use crate::finding::Kind;
use crate::price::quote::Quote;

/// Name of the page.
pub const NAME: &str = "Answers given";

/// Columns, as indexes.
pub mod at {
    #![allow(missing_docs, reason = "the headings say what they are")]
    pub const KIND: usize = 0;
    pub const ANSWER: usize = 3;
    pub const APPLIES: usize = 4;
    pub const STATE: usize = 7;
    pub const WITHDRAW: usize = 8;
    pub const ID: usize = 9;
    pub const WORDING: usize = 12;
    pub const WHAT: usize = 13;
    pub const SET: usize = 14;
    pub const NTH: usize = 15;
    pub const GOOD: usize = 16;
    pub const WAS: usize = 17;
    pub const DOORS: usize = 18;
}

/// Headings, by which the page is read again.
pub const HEADINGS: [&str; 19] = [
    "Kind",
    "No.",
    "About",
    "Answer",
    "Applies to",
    "By",
    "On",
    "State",
    "Withdraw",
    "Question",
    "Code",
    "Attribute",
    "Wording",
    "What",
    "Set",
    "Line no.",
    "Good before",
    "Before",
    super::questions::DOORS,
];

/// Kinds of row.
pub const ANSWER: &str = "answer";
/// A figure typed over on a line that no longer shows it.
pub const TYPED: &str = "typed over";
/// A number that was given to a question which is not asked any more.
pub const NUMBER: &str = "number";

/// The page.
pub fn page(quote: &Quote) -> Page {
    let told = &quote.answers;
    let open = |id: &str| quote.job.findings.iter().any(|finding| finding.id == id && finding.kind == Kind::Question);
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    // An answer that was refused stands on the page of questions, where it can be put right.
    for (id, told) in told.questions.iter().filter(|(id, _)| !open(id)) {
        rows.push(answer_row(quote, id, told));
    }
    let cells = TypedCells::of(quote);
    for one in cells.hidden(quote).into_iter().filter_map(|index| told.typed.get(index)) {
        let about = format!(
            "{}{}",
            if one.line.set.is_empty() { String::new() } else { format!("set {}: ", one.line.set) },
            one.line.words
        );
        rows.push(vec![
            Cell::text(TYPED, CELL),
            Cell::blank(CELL),
            Cell::text(about, WORDS),
            Cell::text(one.value.as_str(), ENTRY_TEXT),
            Cell::text(one.scope.word(), ENTRY_TEXT),
            Cell::text(one.by.as_str(), ENTRY_TEXT),
            Cell::text(one.on.as_str(), ENTRY_TEXT),
            Cell::text("kept aside: see Assumptions and notes", QUIET),
            Cell::blank(ENTRY),
            Cell::blank(CELL),
            Cell::blank(CELL),
            Cell::blank(CELL),
            Cell::text(one.line.words.as_str(), QUIET),
            Cell::text(one.what.word(), QUIET),
            Cell::text(one.line.set.as_str(), QUIET),
            Cell::number(Decimal::from(one.line.nth), COUNT),
            Cell::text(one.good.as_str(), QUIET),
            Cell::text(one.was.as_str(), QUIET),
            Cell::blank(CELL),
        ]);
    }
    for (id, number) in told.numbers.iter().filter(|(id, _)| !open(id) && !told.questions.contains_key(*id)) {
        let mut cells = vec![
            Cell::text(NUMBER, QUIET),
            Cell::number(Decimal::from(*number), COUNT),
            Cell::text("a question asked earlier that does not arise now", QUIET),
        ];
        cells.extend((at::ANSWER..at::ID).map(|_| Cell::blank(CELL)));
        cells.push(Cell::text(id.as_str(), QUIET));
        rows.push(cells);
    }
    let many = rows.len();
    let mut page = table(
        NAME,
        "What was answered so far, by whom and when. Boxed cells may be changed; x in Withdraw opens the question again, or ends a figure kept aside, at the next run.",
        &[11, 6, 60, 34, 14, 16, 12, 30, 10, 30, 18, 14, 30, 14, 8, 8, 26, 10, 20],
        &HEADINGS,
        rows,
    );
    page.folded = Some((at::ID, at::DOORS));
    page.print.last_column = Some(at::STATE);
    if many > 0 {
        let (top, bottom) = (page.rows.len() - many, page.rows.len() - 1);
        page.choices.push(Choice {
            area: Area::column(at::WITHDRAW, top, bottom),
            from: Answers::Words(vec!["x".into()]),
            hint: ("Withdraw".into(), "x takes the answer back".into()),
            only: false,
        });
        page.choices.push(Choice {
            area: Area::column(at::APPLIES, top, bottom),
            from: Answers::Words(Scope::ALL.iter().map(|scope| scope.word().to_owned()).collect()),
            hint: ("Applies to".into(), "How far the answer reaches".into()),
            only: false,
        });
    }
    page
}

fn answer_row(quote: &Quote, id: &str, told: &Told) -> Vec<Cell> {
    let finding = quote.job.findings.iter().find(|finding| finding.id == id);
    let about = match finding {
        Some(finding) => {
            let set = finding.set.as_ref().map(|set| format!("Set {set}: ")).unwrap_or_default();
            format!("{set}{}", sentence(&finding.says))
        }
        None if !told.wording.is_empty() => format!("\"{}\" ({id})", told.wording),
        None => id.to_owned(),
    };
    let in_words = format!("{IN_WORDS}:{id}");
    let state = match finding {
        Some(_) if quote.job.findings.iter().any(|finding| finding.id == in_words) => "in words: carry it out",
        Some(_) => "applied",
        None => "not asked now; kept",
    };
    let number = quote.answers.numbers.get(id);
    vec![
        Cell::text(ANSWER, CELL),
        number.map_or(Cell::blank(CELL), |number| Cell::number(Decimal::from(*number), COUNT)),
        Cell::text(about, WORDS),
        Cell::text(told.answer.as_str(), ENTRY_TEXT),
        Cell::text(told.scope.word(), ENTRY_TEXT),
        Cell::text(told.by.as_str(), ENTRY_TEXT),
        Cell::text(told.on.as_str(), ENTRY_TEXT),
        Cell::text(state, QUIET),
        Cell::blank(ENTRY),
        Cell::text(id, QUIET),
        Cell::text(told.code.as_str(), QUIET),
        Cell::text(told.attribute.as_str(), QUIET),
        Cell::text(told.wording.as_str(), QUIET),
        Cell::blank(CELL),
        Cell::blank(CELL),
        Cell::blank(CELL),
        Cell::blank(CELL),
        Cell::blank(CELL),
        Cell::text(told.doors.join(", "), QUIET),
    ]
}
