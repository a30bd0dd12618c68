//! The customer's proposal: a letter with sums, and the goods of each set. It is built from selling prices and words
//! only; cost, list prices, discounts, rates, questions' money and internal notes have no way in.

use std::collections::BTreeMap;

use super::letter::Letter;
use super::page::{Book, Cell, Page, Picture, Print, address};
use super::style::{self, Edge, Form, Ink, Side, Style};
use super::unpriced;
use super::words::{amount, long_date, sentence};
use crate::money::Money;
use crate::price::offers;
use crate::price::quote::{ChargeKind, PricedItem, Quote};
use crate::price::views::{self, Row};
use crate::terms::Show;
use crate::trade::attribute::{Value, names};

/// Columns of the letter.
const COLUMNS: usize = 5;

/// The proposal as a book of pages.
pub fn proposal(quote: &Quote) -> Book {
    let company = quote.terms.from.company.clone();
    let letter = Letter::of(quote);
    Book {
        title: "Proposal: door hardware".into(),
        subject: quote.terms.job.name.clone(),
        company,
        date: quote.date.clone(),
        names: Vec::new(),
        pages: vec![letter_page(quote, &letter), goods_page(quote, &letter)],
    }
}

fn letter_page(quote: &Quote, letter: &Letter) -> Page {
    let mut page = Page::new("Proposal", &[9, 15, 38, 11, 15]);
    page.print = printing(quote);
    head(&mut page, quote, "Proposal for door hardware", COLUMNS);
    prose(&mut page, &letter.opening);
    page.skip();
    sums(&mut page, quote);
    phases(&mut page, quote);
    alternates(&mut page, quote);
    unit_prices(&mut page, quote);
    for (title, entries) in [
        ("Included", &letter.inclusions),
        ("Not included", &letter.exclusions),
        ("Qualifications", &letter.qualifications),
        ("Cautions", &letter.cautions),
    ] {
        list(&mut page, title, entries);
    }
    list(&mut page, "Offered in place of makers that the schedule names, subject to approval", &substitutes(quote));
    list(&mut page, "Goods without a price in this proposal", &unpriced::lines(quote));
    list(&mut page, "Openings of the schedule without hardware in this proposal", &unpriced::openings(quote));
    signatures(&mut page, quote, letter);
    page.break_for_print();
    page
}

/// Paper and footer of what goes to the customer.
pub(super) fn printing(quote: &Quote) -> Print {
    let a4 = quote.terms.proposal.paper.as_deref().is_some_and(|paper| paper.eq_ignore_ascii_case("a4"));
    let footer = [quote.terms.from.company.as_str(), quote.terms.job.name.as_str()];
    let footer = footer.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ");
    Print { a4, footer, last_column: Some(COLUMNS - 1), ..Print::default() }
}

/// Letterhead, date, addressee, subject, over so many columns.
pub(super) fn head(page: &mut Page, quote: &Quote, subject: &str, columns: usize) {
    let (from, job) = (&quote.terms.from, &quote.terms.job);
    if !from.picture.is_empty() {
        let row = page.push_high(54, vec![Cell::none()]);
        page.pictures.push(Picture {
            row,
            column: 0,
            bytes: from.picture.clone(),
            words: format!("{} logo", from.company).trim().to_owned(),
            size: (220, 48),
        });
    }
    let company = if from.company.is_empty() { subject } else { &from.company };
    page.push_high(30, vec![Cell::text(company, style::TITLE.size(20)).across(columns)]);
    let address = from.address.join(" · ");
    let reach = [from.phone.as_str(), from.email.as_str()];
    let reach = reach.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ");
    if !address.is_empty() {
        page.push(vec![Cell::text(address, style::SUBTITLE).across(columns)]);
    }
    page.push(vec![Cell::text(reach, style::SUBTITLE.edge(Edge::Rule)).across(columns)]);
    page.skip();
    page.push(vec![Cell::text(long_date(&quote.date), Style::PLAIN).across(columns)]);
    page.skip();
    for (words, style) in [(&job.customer, Style::PLAIN.bold()), (&job.attention, Style::PLAIN)] {
        if !words.is_empty() {
            page.push(vec![Cell::text(words.as_str(), style).across(columns)]);
        }
    }
    page.skip();
    page.push_high(22, vec![Cell::text(subject, style::TITLE.size(14)).across(columns)]);
    let addenda = if job.addenda.is_empty() { "none received".to_owned() } else { job.addenda.join(", ") };
    let bid_date = job.bid_date.as_deref().map(long_date).unwrap_or_default();
    let files: Vec<&str> = quote.job.schedule.inputs.iter().map(|input| &*input.file).collect();
    let schedule = match files.as_slice() {
        [first, _, _, _, ..] => format!("{first} and {} more files", files.len() - 1),
        few => few.join(", "),
    };
    for (label, words) in [
        ("Job", &job.name),
        ("Number", &job.number),
        ("Place", &job.location),
        ("Architect", &job.architect),
        ("Schedule", &schedule),
        ("Bid date", &bid_date),
        ("Addenda", &addenda),
        ("Scope", &unpriced::scope(quote)),
    ] {
        if !words.is_empty() {
            let label = Cell::text(label, Style::PLAIN.ink(Ink::Quiet));
            page.push(vec![label, Cell::text(words.as_str(), Style::PLAIN).across(columns - 1)]);
        }
    }
    page.skip();
}

/// A paragraph over the whole width, high enough for its lines.
fn prose(page: &mut Page, words: &str) {
    page.push(vec![Cell::text(words, style::PROSE).across(COLUMNS)]);
}

/// The sums in the way the terms ask for, the charges, the total.
fn sums(page: &mut Page, quote: &Quote) {
    let rows = match quote.terms.price.show {
        Show::LumpSum => vec![lump(quote)],
        Show::BySet => views::by_set(quote),
        Show::ByOpening => views::by_opening(quote),
        Show::ByItem => views::by_item(quote),
    };
    let name = match quote.terms.price.show {
        Show::LumpSum => "",
        Show::BySet => "Set",
        Show::ByOpening => "Opening",
        Show::ByItem => "Count",
    };
    let currency = &quote.catalog.currency;
    let amount = if currency.is_empty() { "Amount".to_owned() } else { format!("Amount, {currency}") };
    let each = if quote.terms.price.show == Show::ByItem { "Each" } else { "" };
    let heading = |page: &mut Page| {
        page.push(vec![
            Cell::text(name, style::HEADING),
            Cell::text("What", style::HEADING).across(2),
            Cell::none(),
            Cell::text(each, style::HEADING_RIGHT),
            Cell::text(amount.as_str(), style::HEADING_RIGHT),
        ])
    };
    let head = heading(page);
    page.rows[head].keeps = true;
    let first = page.next();
    // Where the sums go on over the end of the paper, their heading stands again.
    let room = page.room();
    let mut used: u32 = page.rows.iter().map(|row| page.height(row)).sum();
    for row in rows.iter().filter(|row| !row.sum.is_zero()) {
        let at = sum_row(page, row);
        let high = page.height(&page.rows[at]);
        if used + high > room {
            let sums = page.rows.pop();
            let head = heading(page);
            page.rows[head].new_page = true;
            used = page.height(&page.rows[head]);
            page.rows.extend(sums);
        }
        used += high;
    }
    let sum = |from: usize, to: usize| {
        // Nothing priced: a sum of no rows would be a sum of itself.
        if to < from {
            "=0".to_owned()
        } else {
            format!("=SUM({}:{})", address(from, COLUMNS - 1), address(to, COLUMNS - 1))
        }
    };
    let last = page.next().saturating_sub(1);
    let total = format!("Total {currency}");
    let charges: Vec<_> = quote.charges.iter().filter(|charge| charge.kind != ChargeKind::Rounding).collect();
    if charges.is_empty() {
        total_row(page, total.trim_end(), sum(first, last), quote.totals.total, style::TOTAL);
        return;
    }
    let goods = page.next();
    total_row(page, "Goods", sum(first, last), views::lump(quote), style::SUM);
    for charge in charges {
        sum_row(
            page,
            &Row {
                name: String::new(),
                words: charge.words.clone(),
                count: None,
                unit_price: None,
                sum: charge.amount,
            },
        );
    }
    let last = page.next() - 1;
    page.keep_from(goods);
    page.rows[last].keeps = true;
    total_row(page, total.trim_end(), sum(goods, last), quote.totals.total, style::TOTAL);
}

fn lump(quote: &Quote) -> Row {
    let words = "Door hardware as listed, furnished only".to_owned();
    Row { name: String::new(), words, count: None, unit_price: None, sum: views::lump(quote) }
}

fn sum_row(page: &mut Page, row: &Row) -> usize {
    let words = match (row.count, row.words.is_empty()) {
        (Some(_), _) => format!("{}, {}", row.name, row.words),
        (None, true) => row.name.clone(),
        (None, false) => row.words.clone(),
    };
    let key = match row.count {
        Some(count) => Cell::number(count, style::COUNT.side(Side::Left)),
        None => Cell::text(row.name.as_str(), style::CELL),
    };
    let each = row.unit_price.map_or(Cell::blank(style::CELL), |each| Cell::money(each, style::FINE));
    let cells =
        vec![key, Cell::text(words, style::WORDS).across(2), Cell::none(), each, Cell::money(row.sum, style::MONEY)];
    page.push(cells)
}

fn total_row(page: &mut Page, words: &str, formula: String, sum: Money, look: Style) {
    page.push_high(
        18,
        vec![
            Cell::text(words, look).across(COLUMNS - 1),
            Cell::none(),
            Cell::none(),
            Cell::none(),
            Cell::formula(formula, sum.decimal(), look.form(Form::Money)),
        ],
    );
}

/// The goods once more by phase or building, where the terms name some.
fn phases(page: &mut Page, quote: &Quote) {
    let rows = views::by_phase(quote);
    let rows = rows.iter().filter(|row| !row.sum.is_zero()).map(|row| {
        let name = if row.name.is_empty() { "Other" } else { &row.name };
        [name.to_owned(), row.words.clone(), String::new(), amount(row.sum)]
    });
    beside(page, "The goods by phase", rows.collect());
}

/// Alternates, none of them in the total.
fn alternates(page: &mut Page, quote: &Quote) {
    let rows = quote.alternates.iter().map(|alternate| {
        let (way, sum) = match alternate.delta {
            Some(delta) if delta < Money::ZERO => ("deduct", amount(-delta)),
            Some(delta) => ("add", amount(delta)),
            None => ("", "on request".to_owned()),
        };
        [alternate.name.clone(), alternate.words.clone(), way.to_owned(), sum]
    });
    beside(page, "Alternates, not part of the total", rows.collect());
}

/// Unit prices, in words and money alone.
fn unit_prices(page: &mut Page, quote: &Quote) {
    let rows = quote.unit_prices.iter().map(|unit| {
        let price = unit.price.map_or_else(|| "on request".to_owned(), amount);
        [unit.name.clone(), unit.description.clone(), unit.unit.to_owned(), price]
    });
    beside(page, "Unit prices, furnished only", rows.collect());
}

/// A small table of what stands beside the total: name, words, a word before the sum, the sum.
fn beside(page: &mut Page, title: &str, rows: Vec<[String; 4]>) {
    if rows.is_empty() {
        return;
    }
    page.skip();
    let head = page.next();
    page.push_high(20, vec![Cell::text(title, style::SECTION).across(COLUMNS)]);
    page.push_high(5, Vec::new());
    for (index, [name, words, before, sum]) in rows.into_iter().enumerate() {
        page.push(vec![
            Cell::text(name, style::WORDS).across(2),
            Cell::none(),
            Cell::text(words, style::WORDS),
            Cell::text(before, style::CELL.side(Side::Right)),
            Cell::text(sum, style::CELL.side(Side::Right)),
        ]);
        if index == 0 {
            page.keep_from(head);
        }
    }
}

/// A numbered list under a heading; nothing if it is empty.
fn list(page: &mut Page, title: &str, entries: &[String]) {
    if entries.is_empty() {
        return;
    }
    page.skip();
    let head = page.next();
    page.push_high(20, vec![Cell::text(title, style::SECTION).across(COLUMNS)]);
    page.push_high(5, Vec::new());
    for (index, words) in entries.iter().enumerate() {
        let number = Cell::text(format!("{}.", index + 1), Style::PLAIN.side(Side::Right));
        page.push(vec![number, Cell::text(words.as_str(), style::PROSE).across(COLUMNS - 1)]);
        if index == 0 {
            page.keep_from(head);
        }
    }
}

/// Goods of other makers than the schedule names, each with the sets it is offered in.
fn substitutes(quote: &Quote) -> Vec<String> {
    let mut by_good: BTreeMap<(String, String), Vec<&str>> = BTreeMap::new();
    for one in offers::substitutes(&quote.job, &quote.items, &quote.terms) {
        let Some(set) = quote.job.sets.get(one.line.set) else { continue };
        let sets = by_good.entry((one.named, one.good)).or_default();
        if sets.last() != Some(&set.id.as_str()) {
            sets.push(&set.id);
        }
    }
    let words = |((named, good), sets): ((String, String), Vec<&str>)| {
        format!("{good} for {named}, {} {}", if sets.len() == 1 { "set" } else { "sets" }, sets.join(", "))
    };
    by_good.into_iter().map(words).collect()
}

fn signatures(page: &mut Page, quote: &Quote, letter: &Letter) {
    page.skip();
    let closing = page.next();
    prose(page, &letter.closing);
    signed(page, quote, 2);
    // Nobody signs a sheet that says nothing: the end of what is agreed goes with it.
    page.keep_from(closing.saturating_sub(4));
}

/// Where both sides sign; the right side takes so many columns.
pub(super) fn signed(page: &mut Page, quote: &Quote, right: usize) {
    for (left, right) in [("", ""), ("", "")] {
        page.push_high(20, vec![Cell::text(left, Style::PLAIN), Cell::text(right, Style::PLAIN)]);
    }
    let line = Style::PLAIN.edge(Edge::Above).ink(Ink::Quiet);
    let company = if quote.terms.from.company.is_empty() { "Offered by" } else { &quote.terms.from.company };
    let estimator = &quote.terms.job.estimator;
    let (first, second) = if estimator.is_empty() { (company, "") } else { (estimator.as_str(), company) };
    let accepted = Cell::text("Accepted: name, signature, date", line);
    page.push(vec![Cell::text(first, line).across(2), Cell::none(), Cell::none(), accepted.across(right)]);
    if !second.is_empty() {
        // A name of its own row and width, so that a long one is not cut.
        page.push(vec![Cell::text(second, Style::PLAIN.ink(Ink::Quiet)).across(3)]);
    }
}

/// The goods of each set with counts, without prices.
fn goods_page(quote: &Quote, letter: &Letter) -> Page {
    let mut page = Page::new("Goods by set", &[7, 7, 49, 25]);
    page.print = Print { last_column: Some(3), ..printing(quote) };
    page.push_high(26, vec![Cell::text("Goods by set", style::TITLE.size(16)).across(4)]);
    page.push(vec![Cell::text(letter.goods_note.as_str(), style::PROSE.ink(Ink::Quiet)).across(4)]);
    page.skip();
    let heading = page.push(
        ["Count", "Unit", "Good", "Designation, maker"]
            .into_iter()
            .map(|words| Cell::text(words, style::HEADING))
            .collect(),
    );
    page.print.repeat = Some((heading, heading));
    page.freeze = (heading + 1, 0);
    let mut by_set: BTreeMap<usize, Vec<&PricedItem>> = BTreeMap::new();
    let mut rest = Vec::new();
    for item in quote.items.iter().filter(|item| item.working.is_some() && !item.item.count.is_zero()) {
        match views::set_of(item, quote) {
            Some(set) => by_set.entry(set).or_default().push(item),
            None => rest.push(item),
        }
    }
    for (index, items) in by_set {
        if let Some(set) = quote.job.sets.get(index) {
            let numbers = set.openings.iter().filter_map(|opening| quote.job.schedule.openings.get(*opening));
            let numbers = numbers.filter(|opening| opening.excluded.is_none());
            let numbers: Vec<&str> = numbers.map(|opening| opening.number.as_str()).collect();
            let title = if set.title.is_empty() { String::new() } else { format!(", {}", set.title) };
            let head = page.next();
            band(&mut page, &format!("Set {}{title}", set.id), &format!("Openings: {}", numbers.join(", ")));
            goods_of(&mut page, head, items);
        }
    }
    if rest.iter().any(|item| item.item.candidate.is_some()) {
        let head = page.next();
        band(&mut page, "For the whole job", "");
        goods_of(&mut page, head, rest);
    }
    page.break_for_print();
    page
}

/// The goods under a heading. A short list stays on one printed page with it; a long one begins there.
fn goods_of(page: &mut Page, head: usize, items: Vec<&PricedItem>) {
    let kept = if items.len() <= 12 { items.len() } else { 3 };
    for (index, item) in items.into_iter().enumerate() {
        good_row(page, item);
        if index + 1 == kept {
            page.keep_from(head);
        }
    }
}

fn band(page: &mut Page, title: &str, under: &str) {
    page.push_high(6, Vec::new());
    page.push_high(18, vec![Cell::text(title, style::BAND).across(4)]);
    if !under.is_empty() {
        page.push(vec![Cell::text(under, style::PROSE.ink(Ink::Quiet)).across(4)]);
    }
}

fn good_row(page: &mut Page, item: &PricedItem) {
    let Some(candidate) = &item.item.candidate else { return };
    let good = &candidate.good;
    // What is priced by hand has no designation but its words.
    let name = if good.designation == good.description {
        "as written in the schedule".to_owned()
    } else {
        format!("{}, {}", good.designation, good.maker)
    };
    // A list may have the finish in a column of its own and in no word.
    let finish = good.attributes.get(&names::FINISH).and_then(Value::as_text);
    let unsaid = finish.filter(|finish| !good.designation.contains(finish) && !good.description.contains(finish));
    let description = match unsaid {
        Some(finish) => format!("{}, {finish}", good.description),
        None => good.description.clone(),
    };
    page.push(vec![
        Cell::number(item.item.count, style::CELL.form(Form::Count).side(Side::Left)),
        Cell::text(item.item.unit.word(), style::CELL),
        Cell::text(sentence(&description), style::WORDS),
        Cell::text(name, style::WORDS),
    ]);
}
