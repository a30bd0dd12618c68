//! The tables of the change workbook: every change, openings old and new, questions, the change request, the addenda.

use super::page::{Cell, Page, address};
use super::style::{
    ATTENTION, BAND, CELL, COUNT, DIFFERENCE, HEADING, HEADING_RIGHT, LABEL, MONEY, QUIET, SUBTITLE, SUM, TITLE, TOTAL,
    TOTAL_MONEY, WORDS,
};
use super::tables::table;
use crate::reprice::beside::{OpeningBeside, State};
use crate::reprice::changes::{Change, Changes};
use crate::reprice::request::{Request, RequestRow};

/// Name of the page of all changes.
pub const ALL: &str = "All changes";
/// Name of the page of openings.
pub const OPENINGS: &str = "By opening";
/// Name of the page of questions.
pub const QUESTIONS: &str = "Questions";

/// Every change in one table.
pub(super) fn all(changes: &Changes) -> Page {
    let mut rows: Vec<Vec<Cell>> = changes.changes.iter().map(change_row).collect();
    if !rows.is_empty() {
        let (first, last) = (FIRST, FIRST + rows.len() - 1);
        let mut sum = vec![Cell::formula(
            format!("=SUBTOTAL(109,{}:{})", address(first, 0), address(last, 0)),
            changes.totals.delta.decimal(),
            TOTAL.form(super::style::Form::Difference),
        )];
        sum.push(Cell::text("All", TOTAL));
        sum.extend((2..16).map(|_| Cell::blank(TOTAL)));
        rows.push(sum);
    }
    let mut page = table(
        ALL,
        "Every cent of the difference belongs to one row; the last row adds up what the filter shows. Goods, counts and \
         prices stand to the right of what is printed.",
        &[13, 12, 9, 34, 14, 20, 20, 14, 22, 44, 22, 22, 9, 9, 11, 11],
        &[
            "Difference",
            "Change",
            "What",
            "Of",
            "Property",
            "Before",
            "Now",
            "Doors",
            "Cause",
            "Why",
            "Good before",
            "Good now",
            "Count before",
            "Count now",
            "Price before",
            "Price now",
        ],
        rows,
    );
    page.print.last_column = Some(9);
    // The sum stays below whatever the filter hides.
    if let Some(filter) = &mut page.filter {
        filter.bottom = filter.bottom.saturating_sub(1).max(filter.top);
    }
    page
}

/// Row of the first line of a table.
const FIRST: usize = 4;

fn change_row(change: &Change) -> Vec<Cell> {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let figures = change.figures.as_ref();
    let good = |good: Option<&String>| Cell::text(good.cloned().unwrap_or_default(), WORDS);
    let count = |count: Option<&String>| match count.and_then(|count| count.parse().ok()) {
        Some(count) => Cell::number(count, COUNT),
        None => Cell::blank(CELL),
    };
    let money = |money: Option<crate::money::Money>| match money {
        Some(money) => Cell::money(money, MONEY),
        None => Cell::blank(CELL),
    };
    vec![
        Cell::money(change.delta, DIFFERENCE),
        Cell::text(change.kind.word(), CELL),
        Cell::text(change.what.word(), CELL),
        Cell::text(change.id.as_str(), WORDS),
        Cell::text(text(&change.field).replace('_', " "), CELL),
        Cell::text(text(&change.from), WORDS),
        Cell::text(text(&change.to), WORDS),
        Cell::text(change.openings.join(", "), WORDS),
        Cell::text(change.cause, WORDS),
        Cell::text(change.why.as_str(), WORDS),
        good(figures.map(|figures| &figures.good_from)),
        good(figures.map(|figures| &figures.good_to)),
        count(figures.map(|figures| &figures.count_from)),
        count(figures.map(|figures| &figures.count_to)),
        money(figures.map(|figures| figures.unit_from)),
        money(figures.map(|figures| figures.unit_to)),
    ]
}

/// Openings with their old and new sums.
pub(super) fn openings(changes: &Changes) -> Page {
    let rows = changes.openings.iter().map(opening_row).collect();
    table(
        OPENINGS,
        "Hardware of each door before and now, without what belongs to no single door: lots, freight, tax and other charges.",
        &[12, 12, 10, 10, 13, 13, 13, 90],
        &["Door before", "Door now", "Set before", "Set now", "Before", "Now", "Difference", "What changed"],
        rows,
    )
}

fn opening_row(opening: &OpeningBeside) -> Vec<Cell> {
    let number = |number: &str, missing: &str| {
        if number.is_empty() { Cell::text(missing, ATTENTION) } else { Cell::text(number, CELL) }
    };
    let mut what = opening.what.clone();
    what.dedup();
    vec![
        number(&opening.number_from, "new"),
        number(&opening.number_to, "gone"),
        Cell::text(opening.set_from.as_str(), CELL),
        if opening.set_from == opening.set_to || opening.number_from.is_empty() {
            Cell::text(opening.set_to.as_str(), CELL)
        } else {
            Cell::text(opening.set_to.as_str(), CELL.bold())
        },
        Cell::money(opening.before, MONEY),
        Cell::money(opening.after, MONEY),
        Cell::money(opening.after - opening.before, DIFFERENCE),
        Cell::text(what.join("\n"), WORDS),
    ]
}

/// Questions: new, asked again, still open, answered.
pub(super) fn questions(changes: &Changes) -> Page {
    let rows = changes
        .questions
        .iter()
        .map(|asked| {
            let style = if matches!(asked.state, State::New | State::Again) { ATTENTION } else { WORDS };
            vec![
                Cell::text(asked.state.word(), style),
                Cell::text(asked.set.as_str(), CELL),
                Cell::text(asked.openings.join(", "), WORDS),
                Cell::text(asked.says.as_str(), WORDS),
                Cell::text(asked.answer.as_str(), WORDS),
                Cell::text(asked.id.as_str(), QUIET),
            ]
        })
        .collect();
    table(
        QUESTIONS,
        "What the addendum raised, what it answered, and what is still open. The estimate has the answers to pick.",
        &[18, 8, 24, 76, 32, 40],
        &["State", "Set", "Doors", "What is unclear", "Answer given", "Question"],
        rows,
    )
}

/// The chain of addenda between the two quotes.
pub(super) fn steps(changes: &Changes) -> Page {
    let rows = changes
        .steps
        .iter()
        .map(|step| {
            let causes: Vec<String> = step
                .by_cause
                .iter()
                .map(|(cause, money)| format!("{cause} {}", super::words::difference(*money)))
                .collect();
            vec![
                Cell::text(step.name.as_str(), CELL),
                Cell::text(step.date.as_str(), CELL),
                Cell::text(step.files.join(", "), WORDS),
                Cell::money(step.before, MONEY),
                Cell::money(step.delta, DIFFERENCE),
                Cell::money(step.after, MONEY),
                Cell::number(step.changes.into(), COUNT),
                Cell::text(causes.join("\n"), WORDS),
            ]
        })
        .collect();
    table(
        "Addenda",
        "Each addendum taken in since the quote compared with; its own record and change workbook stand beside its files.",
        &[20, 12, 34, 13, 13, 13, 10, 60],
        &["Addendum", "Date", "Files", "Total before", "Difference", "Total after", "Changes", "By cause"],
        rows,
    )
}

/// The change request as it goes to the customer: what is added, deducted, the net and the contract sum; no cost, no rate.
pub(super) fn request(request: &Request) -> Page {
    let mut page = Page::new("Change request", &REQUEST_COLUMNS);
    page.push(vec![Cell::text("Change request", TITLE)]);
    page.push(vec![Cell::text(REQUEST_NOTE, SUBTITLE)]);
    page.skip();
    request_rows(&mut page, request);
    page
}

/// Widths of the columns of a change request.
pub(super) const REQUEST_COLUMNS: [u32; 7] = [30, 28, 10, 8, 13, 14, 60];
/// What a change request leaves out.
pub(super) const REQUEST_NOTE: &str =
    "Goods that only go from one door to another are no change. New prices of goods that stay are not asked for.";

/// The table of a change request with its sums.
pub(super) fn request_rows(page: &mut Page, request: &Request) {
    let headings = ["Good", "Designation", "Count", "Unit", "Price", "Sum", "Brought or taken by"];
    page.push(
        headings
            .iter()
            .enumerate()
            .map(|(at, heading)| Cell::text(*heading, if (4..6).contains(&at) { HEADING_RIGHT } else { HEADING }))
            .collect(),
    );
    let mut sums = Vec::new();
    for (title, words, is_add) in [("Add", "Added", true), ("Deduct", "Deducted", false)] {
        let rows: Vec<&RequestRow> = request.rows.iter().filter(|row| row.count.is_sign_positive() == is_add).collect();
        let mut band = vec![Cell::text(title, BAND)];
        band.extend((1..7).map(|_| Cell::blank(BAND)));
        page.push(band);
        let first = page.next();
        for row in &rows {
            let mut reasons: Vec<&str> = row.reasons.iter().take(12).map(String::as_str).collect();
            if row.reasons.len() > 12 {
                reasons.push("…");
            }
            page.push(vec![
                Cell::text(format!("{} {}", row.maker, row.category.replace('-', " ")).trim(), CELL),
                Cell::text(row.designation.as_str(), WORDS),
                Cell::number(row.count, COUNT),
                Cell::text(row.unit.as_str(), CELL),
                Cell::money(row.price, MONEY),
                Cell::money(row.sum, DIFFERENCE),
                Cell::text(reasons.join("; "), QUIET),
            ]);
        }
        let sum = if is_add { request.add } else { request.deduct };
        let formula = if rows.is_empty() {
            "=0".to_owned()
        } else {
            format!("=SUM({}:{})", address(first, 5), address(page.next() - 1, 5))
        };
        let style = SUM.form(super::style::Form::Difference);
        let mut line = vec![Cell::text(words, SUM)];
        line.extend((1..5).map(|_| Cell::blank(SUM)));
        line.push(Cell::formula(formula, sum.decimal(), style));
        sums.push(address(page.push(line), 5));
    }
    for (words, sum) in &request.charges {
        let mut line = vec![Cell::text(words.as_str(), LABEL)];
        line.extend((1..5).map(|_| Cell::blank(CELL)));
        line.push(Cell::money(*sum, DIFFERENCE));
        sums.push(address(page.push(line), 5));
    }
    let blank = |style| (1..5).map(move |_| Cell::blank(style));
    let mut net = vec![Cell::text("Net change", SUM)];
    net.extend(blank(SUM));
    net.push(Cell::formula(
        format!("={}", sums.join("+")),
        request.net.decimal(),
        SUM.form(super::style::Form::Difference),
    ));
    let net = page.push(net);
    let mut before = vec![Cell::text("Contract sum before", LABEL)];
    before.extend(blank(CELL));
    before.push(Cell::money(request.contract_before, MONEY));
    let before = page.push(before);
    let mut after = vec![Cell::text("Contract sum with this change", TOTAL)];
    after.extend(blank(TOTAL));
    after.push(Cell::formula(
        format!("={}+{}", address(before, 5), address(net, 5)),
        request.contract_after.decimal(),
        TOTAL_MONEY,
    ));
    page.push(after);
    page.print.landscape = true;
    page.print.last_column = Some(6);
}

/// How the goods of the change request are priced, with their cost.
pub(super) fn request_priced(request: &Request) -> Page {
    let row = |row: &RequestRow| {
        vec![
            Cell::text(format!("{} {}", row.maker, row.category.replace('-', " ")).trim(), CELL),
            Cell::text(row.designation.as_str(), WORDS),
            Cell::number(row.count, COUNT),
            Cell::money(row.price, MONEY),
            Cell::money(row.sum, DIFFERENCE),
            Cell::text(row.words.as_str(), WORDS),
        ]
    };
    table(
        "Change priced",
        "Internal, shows cost: on what the prices of the change request stand.",
        &[30, 28, 10, 13, 14, 70],
        &["Good", "Designation", "Count", "Price", "Sum", "How priced"],
        request.rows.iter().map(row).collect(),
    )
}
