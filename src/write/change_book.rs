//! The change workbook: the bridge from the old total to the new one, also as a chart; every change; openings and sets with
//! old and new side by side; questions; after the award the change request.

use rust_decimal::Decimal;

use super::page::{Area, Book, Cell, Chart, Page, address};
use super::style::{
    CELL, DIFFERENCE, HEADING, HEADING_RIGHT, LABEL, MONEY, SECTION, SUBTITLE, TITLE, TOTAL, TOTAL_MONEY, WORDS,
};
use super::words::{counted, difference, long_date};
use super::{change_pages, change_sets};
use crate::money::Money;
use crate::reprice::beside::State;
use crate::reprice::changes::{Changes, Side, What};
use crate::reprice::request::Request;

const NAME: &str = "Summary";

/// The workbook as pages.
pub fn book(changes: &Changes) -> Book {
    let mut pages = vec![summary(changes)];
    if let Some(request) = &changes.request {
        pages.push(change_pages::request(request));
        pages.push(change_pages::request_priced(request));
    }
    pages.extend([
        change_pages::all(changes),
        change_pages::openings(changes),
        change_sets::page(changes),
        change_pages::questions(changes),
    ]);
    if !changes.steps.is_empty() {
        pages.push(change_pages::steps(changes));
    }
    Book {
        title: format!("Changes {}", changes.to.job).trim().to_owned(),
        subject: "What changed since the last quote".to_owned(),
        company: String::new(),
        date: changes.to.date.clone(),
        names: Vec::new(),
        pages,
    }
}

fn summary(changes: &Changes) -> Page {
    let mut page = Page::new(NAME, &[44, 18, 16, 16, 16, 30]);
    let job = if changes.to.job.is_empty() { "What changed" } else { &changes.to.job };
    page.push(vec![Cell::text(job, TITLE)]);
    page.push(vec![Cell::text(verdict(changes), SUBTITLE)]);
    page.skip();
    page.push(vec![
        Cell::text("", HEADING),
        Cell::text("Before", HEADING).across(2),
        Cell::none(),
        Cell::text("Now", HEADING).across(2),
    ]);
    let (was, is) = (&changes.from, &changes.to);
    let date = |side: &Side| long_date(&side.date);
    let addenda = |side: &Side| if side.addenda.is_empty() { "none".to_owned() } else { side.addenda.join(", ") };
    for (label, before, now) in [
        ("Date of the quote", date(was), date(is)),
        ("Catalog", was.catalog.clone(), is.catalog.clone()),
        ("Addenda acknowledged", addenda(was), addenda(is)),
    ] {
        page.push(vec![
            Cell::text(label, LABEL),
            Cell::text(before, WORDS).across(2),
            Cell::blank(WORDS),
            Cell::text(now, WORDS).across(2),
            Cell::blank(WORDS),
        ]);
    }
    page.skip();
    bridge(&mut page, changes);
    if !changes.totals.by_addendum.is_empty() {
        by_addendum(&mut page, changes);
    }
    if let Some(request) = &changes.request {
        awarded(&mut page, request);
    }
    counts(&mut page, changes);
    page.print.last_column = Some(5);
    page.print.footer = "Internal: not for the customer".to_owned();
    page
}

/// After the award the customer is asked for the change request, not for the difference of two bids.
fn awarded(page: &mut Page, request: &Request) {
    page.skip();
    page.push(vec![
        Cell::text("After the award", SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
    ]);
    for (label, sum, style) in [
        ("Change request, net: what the customer is asked for", request.net, DIFFERENCE),
        ("Contract sum before", request.contract_before, MONEY),
        ("Contract sum with this change", request.contract_after, MONEY),
    ] {
        page.push(vec![Cell::text(label, LABEL), Cell::money(sum, style)]);
    }
}

/// One sentence that says it all.
fn verdict(changes: &Changes) -> String {
    if changes.is_empty() {
        return "Nothing changed.".to_owned();
    }
    let delta = changes.totals.delta;
    let word = if delta > Money::ZERO {
        "dearer"
    } else if delta.is_zero() {
        "the same sum"
    } else {
        "cheaper"
    };
    format!("{}, {word} by {}.", counted(changes.changes.len(), "change", "changes"), difference(delta))
}

/// The old total, what each cause changes, the new total, live; the causes as bars beside it.
fn bridge(page: &mut Page, changes: &Changes) {
    page.push(vec![
        Cell::text("From the old total to the new one", SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
        Cell::blank(SECTION),
    ]);
    page.push(vec![
        Cell::text("Cause", HEADING),
        Cell::text("Difference", HEADING_RIGHT),
        Cell::text("Total so far", HEADING_RIGHT),
    ]);
    let totals = &changes.totals;
    let first = page.push(vec![Cell::text("Old total", LABEL), Cell::blank(CELL), Cell::money(totals.before, MONEY)]);
    let mut so_far = totals.before;
    for (cause, money) in &totals.by_cause {
        so_far += *money;
        let row = page.next();
        page.push(vec![
            Cell::text(capital(cause), LABEL),
            Cell::money(*money, DIFFERENCE),
            Cell::formula(format!("={}+{}", address(row - 1, 2), address(row, 1)), so_far.decimal(), MONEY),
        ]);
    }
    let last = page.next() - 1;
    let sum = if last > first {
        Cell::formula(
            format!("=SUM({}:{})", address(first + 1, 1), address(last, 1)),
            totals.delta.decimal(),
            TOTAL.form(super::style::Form::Difference),
        )
    } else {
        Cell::money(Money::ZERO, TOTAL_MONEY)
    };
    page.push(vec![
        Cell::text("New total", TOTAL),
        sum,
        Cell::formula(format!("={}", address(last, 2)), totals.after.decimal(), TOTAL_MONEY),
    ]);
    if last > first {
        page.charts.push(Chart {
            title: "What changes the total".to_owned(),
            labels: (NAME.to_owned(), Area::column(0, first + 1, last)),
            numbers: vec![("Difference".to_owned(), Area::column(1, first + 1, last))],
            row: first - 1,
            column: 3,
            size: (440, 130 + 26 * u32::try_from(last - first).unwrap_or(15)),
        });
    }
    page.skip();
}

fn by_addendum(page: &mut Page, changes: &Changes) {
    // The chart beside the bridge reaches further down than a short bridge.
    for _ in changes.totals.by_cause.len()..6 {
        page.skip();
    }
    page.push(vec![Cell::text("By addendum", SECTION), Cell::blank(SECTION), Cell::blank(SECTION)]);
    let mut so_far = changes.totals.before;
    for (name, money) in &changes.totals.by_addendum {
        so_far += *money;
        page.push(vec![Cell::text(name.as_str(), LABEL), Cell::money(*money, DIFFERENCE), Cell::money(so_far, MONEY)]);
    }
    page.skip();
}

/// How many of what changed, with the way to their page.
fn counts(page: &mut Page, changes: &Changes) {
    page.push(vec![Cell::text("What changed", SECTION), Cell::blank(SECTION), Cell::blank(SECTION)]);
    let of = |what: What| changes.changes.iter().filter(|change| change.what == what).count();
    for (label, what, to) in [
        ("Openings", What::Opening, change_pages::OPENINGS),
        ("Sets", What::Set, change_sets::NAME),
        ("Lines and implied items", What::Line, change_sets::NAME),
        ("Prices and charges", What::Price, change_pages::ALL),
    ] {
        page.push(vec![
            Cell::text(label, LABEL),
            Cell::number(Decimal::from(of(what)), super::style::COUNT),
            Cell::link(to, 0, 0, to),
        ]);
    }
    // Those open now are three kinds; their sum is what the run asks.
    let is_open = |state: State| matches!(state, State::New | State::Again | State::Open);
    let open = changes.questions.iter().filter(|asked| is_open(asked.state)).count();
    page.push(vec![
        Cell::text("Questions open now: new, asked again, open as before", LABEL),
        Cell::number(Decimal::from(open), super::style::COUNT),
        Cell::link(change_pages::QUESTIONS, 0, 0, change_pages::QUESTIONS),
    ]);
    for state in [State::New, State::Again, State::Open, State::Answered, State::Settled] {
        let many = changes.questions.iter().filter(|asked| asked.state == state).count();
        page.push(vec![
            Cell::text(format!("Questions {}", state.word()), LABEL),
            Cell::number(Decimal::from(many), super::style::COUNT),
            Cell::link(change_pages::QUESTIONS, 0, 0, change_pages::QUESTIONS),
        ]);
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
