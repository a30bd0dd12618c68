//! The questions for the architect, a workbook of its own: grouped, each with a number that it keeps over revisions, with
//! the answers proposed and cells to answer in. No prices. Filled in, it is read back like the estimate.

use std::collections::BTreeMap;

use super::page::{Answers, Area, Book, Cell, Choice, Page, Print, fixed_column, quoted};
use super::questions::{
    ANSWER, APPLIES, ATTRIBUTE, BY, CODE, ID, NUMBER, ON, OPENINGS, WORDING, entries, naming, number,
};
use super::style::{BAND, CELL, HEADING, PROSE, QUIET, SUBTITLE, TITLE, WORDS};
use super::words::{counted, long_date, sentence};
use crate::complete::told::{Scope, Told};
use crate::finding::{Finding, Kind, Weight};
use crate::price::quote::Quote;

const NAME: &str = "Questions";
/// What its title begins with; the name of the job follows.
pub const HEADED: &str = "Questions";
const OFFERED: &str = "Answers proposed";
const HEADINGS: [&str; 14] = [
    NUMBER,
    "Set",
    OPENINGS,
    WORDING,
    "What we ask",
    "Answers proposed",
    "Carried meanwhile",
    ANSWER,
    APPLIES,
    BY,
    ON,
    ID,
    CODE,
    ATTRIBUTE,
];
const PICK: usize = 7;
const REACH: usize = 8;

/// Codes of questions that the catalog asks: an architect knows nothing of it.
const OURS: [&str; 1] = ["no-good-fits"];

/// The groups in their order.
const GROUPS: [(Weight, &str); 4] = [
    (Weight::LifeSafety, "Fire, egress, accessibility"),
    (Weight::Goods, "Hardware"),
    (Weight::Scope, "Whose work it is"),
    (Weight::Reading, "The documents"),
];

/// The workbook.
pub fn book(quote: &Quote) -> Book {
    let job = &quote.terms.job;
    Book {
        title: "Questions on the hardware schedule".into(),
        subject: job.name.clone(),
        company: quote.terms.from.company.clone(),
        date: quote.date.clone(),
        names: Vec::new(),
        pages: pages(quote),
    }
}

/// Questions that an architect can answer: what pricing asks is asked of makers.
fn asked(quote: &Quote) -> impl Iterator<Item = &Finding> {
    quote
        .job
        .findings
        .iter()
        .filter(|finding| finding.kind == Kind::Question)
        .filter(|finding| !OURS.contains(&finding.code))
        .filter(|finding| !crate::price::PAGES.iter().any(|page| page.code == finding.code))
}

fn pages(quote: &Quote) -> Vec<Page> {
    let job = &quote.terms.job;
    let mut page = Page::new(NAME, &[5, 6, 15, 28, 42, 26, 20, 24, 12, 12, 11, 30, 18, 14]);
    let title = if job.name.is_empty() { HEADED.to_owned() } else { format!("{HEADED}: {}", job.name) };
    page.push(vec![Cell::text(title, TITLE)]);
    let mut head = vec![long_date(&quote.date)];
    for (label, words) in [("for", &job.architect), ("from", &quote.terms.from.company)] {
        if !words.is_empty() {
            head.push(format!("{label} {words}"));
        }
    }
    head.push(counted(asked(quote).count(), "question is open", "questions are open"));
    page.push(vec![Cell::text(head.join(" · "), SUBTITLE)]);
    page.push(vec![Cell::text(
        "Please pick or write an answer in the boxed cells and send the file back. A number stays with its question in every revision.",
        PROSE.ink(super::style::Ink::Quiet),
    )]);
    page.rows[2].cells[0] = page.rows[2].cells[0].clone().across(PICK);
    page.skip();
    let top = page.push(HEADINGS.iter().map(|heading| Cell::text(*heading, HEADING)).collect());
    let mut offered = Page::new(OFFERED, &[8, 90]);
    offered.push(vec![Cell::text(OFFERED, TITLE)]);
    offered.push(vec![Cell::text("From here the boxed cells take their lists.", SUBTITLE)]);
    offered.push([NUMBER, "Answer"].map(|words| Cell::text(words, HEADING)).into());
    let mut groups: BTreeMap<usize, Vec<&Finding>> = BTreeMap::new();
    for finding in asked(quote) {
        let group = GROUPS.iter().position(|(weight, _)| *weight == finding.weight).unwrap_or(1);
        groups.entry(group).or_default().push(finding);
    }
    for (group, mut findings) in groups {
        findings.sort_by_key(|finding| quote.answers.numbers.get(&finding.id));
        let words = GROUPS.get(group).map_or("", |(_, words)| words);
        let mut band = vec![Cell::text(words, BAND)];
        band.extend((1..=PICK + 3).map(|_| Cell::blank(BAND)));
        page.push(band);
        for finding in findings {
            question(quote, finding, &mut page, &mut offered);
        }
    }
    dress(quote, &mut page, top);
    offered.print = Print { landscape: false, last_column: Some(1), repeat: Some((2, 2)), ..page.print.clone() };
    if page.next() == top + 1 {
        page.push(vec![Cell::text("Nothing is open.", PROSE)]);
    }
    vec![page, offered]
}

fn question(quote: &Quote, finding: &Finding, page: &mut Page, offered: &mut Page) {
    let answers: Vec<&str> = finding.answers.iter().map(|answer| answer.value.as_str()).collect();
    let mut cells = vec![
        number(quote, &finding.id),
        Cell::text(finding.set.clone().unwrap_or_default(), CELL.indent(1)),
        Cell::text(finding.openings.join(", "), WORDS),
        Cell::text(finding.excerpt.as_str(), WORDS),
        Cell::text(sentence(&finding.says), WORDS),
        Cell::text(answers.join("\n"), WORDS),
        Cell::text(finding.priced_as.as_str(), QUIET),
    ];
    // What was refused stands in the estimate to be put right; the architect has not said it.
    cells.extend(entries(&Told::default()));
    cells.extend(naming(finding));
    let row = page.push(cells);
    if answers.is_empty() {
        return;
    }
    let first = offered.next();
    for answer in &answers {
        offered.push(vec![number(quote, &finding.id), Cell::text(*answer, WORDS)]);
    }
    page.choices.push(Choice {
        area: Area::column(PICK, row, row),
        from: Answers::Cells(format!("{}!{}", quoted(OFFERED), fixed_column(1, first, offered.next() - 1))),
        hint: if finding.takes_words() {
            ("Answer".to_owned(), "Pick one of the list, or say in your own words what is meant".to_owned())
        } else {
            ("Answer".to_owned(), "Pick one of the list".to_owned())
        },
        only: !finding.takes_words(),
    });
    page.choices.push(Choice {
        area: Area::column(REACH, row, row),
        from: Answers::Words(Scope::ALL.iter().map(|scope| scope.word().to_owned()).collect()),
        hint: (
            APPLIES.to_owned(),
            "This question, all with the same wording, or all of the kind in the job".to_owned(),
        ),
        only: true,
    });
}

fn dress(quote: &Quote, page: &mut Page, top: usize) {
    page.freeze = (top + 1, 1);
    page.folded = Some((PICK + 4, HEADINGS.len() - 1));
    page.print.landscape = true;
    page.print.a4 = quote.terms.proposal.paper.as_deref().is_some_and(|paper| paper.eq_ignore_ascii_case("a4"));
    page.print.repeat = Some((top, top));
    page.print.last_column = Some(PICK + 3);
    let parts = [quote.terms.from.company.as_str(), quote.terms.job.name.as_str()];
    page.print.footer = parts.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ");
}
