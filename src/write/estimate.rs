//! The internal estimate: what the bid stands on, priced lines by set with live formulas, questions, additions, openings,
//! preps, the row ledger. A quantity or a rate changed in it recalculates everything.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::spec::{Addition, Spec, Status};
use crate::count::takeoff::From;
use crate::finding::Kind;
use crate::money::Money;
use crate::price::quote::{ChargeKind, PricedItem, Quote, Working};
use crate::price::views;

use super::page::{Area, Book, Cell, Page, address, fixed};
use super::style::{
    BAND, BAND_MONEY, CELL, COUNT, ENTRY_COUNT, ENTRY_PERCENT, FACTOR, FINE, HEADING, HEADING_RIGHT, LABEL, MONEY,
    PERCENT, QUIET, SECTION, SUBTITLE, Style, TITLE, TOTAL, TOTAL_MONEY, WORDS,
};
use super::tables::{
    added_page, findings_page, landscape, openings_page, preps_page, products_page, questions_page, rows_page,
};

const GOODS: &str = "Priced goods";
const BID: &str = "The bid";

/// Columns of the priced goods, as indexes.
mod at {
    pub const KIND: usize = 0;
    pub const QUANTITY: usize = 6;
    pub const LIST: usize = 8;
    pub const FACTOR: usize = 9;
    pub const NET_ADDED: usize = 10;
    pub const NET: usize = 11;
    pub const RATE: usize = 12;
    pub const SELL: usize = 13;
    pub const EXTENDED: usize = 14;
    pub const COST: usize = 15;
}

/// The estimate as pages.
pub fn book(quote: &Quote) -> Book {
    let rates = Rates::of(quote);
    let goods = goods_page(quote, &rates);
    let (bid, names) = bid_page(quote, &rates, goods.rows.len());
    let pages = vec![
        bid,
        goods,
        questions_page(quote),
        findings_page(quote, "Assumptions and notes", |finding| finding.kind != Kind::Question),
        added_page(quote),
        openings_page(quote),
        products_page(quote),
        preps_page(quote),
        rows_page(quote),
    ];
    Book {
        title: format!("Estimate {}", quote.terms.job.name).trim().to_owned(),
        subject: "Internal estimate".to_owned(),
        company: quote.terms.from.company.clone(),
        date: quote.date.clone(),
        names,
        pages,
    }
}

/// The distinct rates of the job, each with a cell of its own that the lines refer to.
struct Rates {
    /// Words → rate, and whether it is a margin.
    rows: BTreeMap<String, (Decimal, bool)>,
}

impl Rates {
    fn of(quote: &Quote) -> Self {
        let workings = quote.items.iter().filter_map(|item| item.working.as_ref());
        Self { rows: workings.map(|working| (working.rate_words.clone(), (working.rate, working.is_margin))).collect() }
    }

    fn name(&self, working: &Working) -> String {
        let index = self.rows.keys().position(|words| *words == working.rate_words).unwrap_or_default();
        format!("rate_no_{}", index + 1)
    }
}

fn bid_page(quote: &Quote, rates: &Rates, goods_rows: usize) -> (Page, Vec<(String, String)>) {
    let mut page = Page::new(BID, &[44, 18, 18, 60]);
    let mut names = Vec::new();
    let mut name = |name: &str, row: usize| names.push((name.to_owned(), format!("'{BID}'!{}", fixed(row, 1))));
    let totals = &quote.totals;
    let title = if quote.terms.job.name.is_empty() { "Estimate" } else { &quote.terms.job.name };
    page.push_high(28, vec![Cell::text(title, TITLE)]);
    page.push(vec![Cell::text(
        format!(
            "Internal estimate of {}. Customer: {}. Not for the customer: it shows cost.",
            quote.date,
            or_dash(&quote.terms.job.customer)
        ),
        SUBTITLE,
    )]);
    page.skip();
    page.push(vec![Cell::text("What the bid comes to", SECTION).across(4)]);
    let column = |column: usize| super::page::fixed_column(column, 0, goods_rows.saturating_sub(1));
    let sum_of =
        |kind: &str, of: usize| format!("SUMIF('{GOODS}'!{},\"{kind}\",'{GOODS}'!{})", column(at::KIND), column(of));
    let both = |of: usize| format!("={}+{}", sum_of("line", of), sum_of("added", of));
    let goods =
        page.push(vec![Cell::text("Goods", LABEL), Cell::formula(both(at::EXTENDED), totals.goods.decimal(), MONEY)]);
    name("goods_total", goods);
    for charge in &quote.charges {
        let row = page.next();
        let formula = match charge.kind {
            ChargeKind::Freight => quote.terms.freight.rate.map(|_| {
                let free =
                    quote.terms.freight.free_above.map_or_else(String::new, |sum| format!("goods_total>={},0,", sum.0));
                if free.is_empty() {
                    "=ROUND(goods_total*freight_rate,2)".to_owned()
                } else {
                    format!("=IF({free}ROUND(goods_total*freight_rate,2))")
                }
            }),
            ChargeKind::Tax => charge.on.map(|on| format!("=ROUND(({on}+goods_total-{})*tax_rate,2)", totals.goods)),
            ChargeKind::Bond => quote.terms.price.bond.map(|_| {
                format!("=ROUND(({}+goods_total-{})*bond_rate,2)", charge.on.unwrap_or_default(), totals.goods)
            }),
            _ => None,
        };
        let amount = match formula {
            Some(formula) => Cell::formula(formula, charge.amount.decimal(), MONEY),
            None => Cell::money(charge.amount, MONEY),
        };
        page.push(vec![Cell::text(charge.words.clone(), LABEL), amount]);
        debug_assert_eq!(row + 1, page.next());
    }
    let last = page.next() - 1;
    let sum = format!("=SUM({}:{})", address(goods, 1), address(last, 1));
    let total = page.push(vec![Cell::text("Total", TOTAL), Cell::formula(sum, totals.total.decimal(), TOTAL_MONEY)]);
    name("bid_total", total);
    page.push(vec![
        Cell::text("If every open question goes the cheap way", LABEL),
        Cell::money(totals.exposure_low, MONEY),
    ]);
    page.push(vec![
        Cell::text("If every open question goes the dear way", LABEL),
        Cell::money(totals.exposure_high, MONEY),
    ]);
    let cost = page.push(vec![
        Cell::text("Net cost of the goods", LABEL),
        Cell::formula(both(at::COST), totals.cost.decimal(), MONEY),
    ]);
    let margin = (totals.goods - totals.cost).decimal().checked_div(totals.goods.decimal()).unwrap_or_default();
    page.push(vec![
        Cell::text("Margin on the goods", LABEL),
        Cell::formula(format!("=IF(goods_total=0,0,1-{}/goods_total)", address(cost, 1)), margin, PERCENT),
    ]);
    page.skip();
    page.push(vec![Cell::text("Rates: change them here and the whole workbook follows", SECTION).across(4)]);
    for (index, (words, (rate, is_margin))) in rates.rows.iter().enumerate() {
        let how = if *is_margin { "sell = net / (1 - rate)" } else { "sell = net x (1 + rate)" };
        let row = page.push(vec![
            Cell::text(words.clone(), LABEL),
            Cell::number(*rate, ENTRY_PERCENT),
            Cell::none(),
            Cell::text(how, QUIET),
        ]);
        name(&format!("rate_no_{}", index + 1), row);
    }
    for (words, rate, key) in [
        ("Freight, of goods", quote.terms.freight.rate, "freight_rate"),
        ("Tax", quote.terms.tax.rate, "tax_rate"),
        ("Bond or fee", quote.terms.price.bond, "bond_rate"),
    ] {
        if let Some(rate) = rate {
            let row = page.push(vec![Cell::text(words, LABEL), Cell::number(rate.fraction(), ENTRY_PERCENT)]);
            name(key, row);
        }
    }
    standing(&mut page, quote);
    page.print.last_column = Some(3);
    page.print.footer = "Internal: not for the customer".to_owned();
    (page, names)
}

fn or_dash(text: &str) -> &str {
    if text.is_empty() { "not named" } else { text }
}

/// What the bid stands on: questions, unpriced lines, exclusions, catalog, inputs.
fn standing(page: &mut Page, quote: &Quote) {
    let specs: Vec<&Spec> = quote.job.sets.iter().flat_map(|set| &set.specs).collect();
    let count = |status: Status| Decimal::from(specs.iter().filter(|spec| spec.status == status).count());
    let questions = quote.job.findings.iter().filter(|finding| finding.kind == Kind::Question).count();
    let assumptions = quote.job.findings.iter().filter(|finding| finding.kind == Kind::Assumption).count();
    page.skip();
    page.push(vec![Cell::text("What it stands on", SECTION).across(4)]);
    for (words, number, where_to) in [
        ("Open questions", Decimal::from(questions), "page Questions, dearest first"),
        ("Assumptions", Decimal::from(assumptions), "page Assumptions and notes"),
        (
            "Lines understood that nothing in the catalog fits (not priced)",
            count(Status::Unpriced),
            "page Priced goods, status unpriced",
        ),
        ("Lines not understood (not priced)", count(Status::Unread), "page Priced goods, status unread"),
        (
            "Lines left out: by others, existing, not in contract",
            count(Status::Excluded),
            "page Priced goods, status excluded",
        ),
        ("Items added that the schedule implies", Decimal::from(quote.job.added.len()), "page Added"),
    ] {
        page.push(vec![
            Cell::text(words, WORDS),
            Cell::number(number, COUNT),
            Cell::none(),
            Cell::text(where_to, QUIET),
        ]);
    }
    page.push(vec![
        Cell::text("Catalog", LABEL),
        Cell::text(format!("{}, prices of {}", quote.catalog.name, quote.catalog.effective), CELL).across(3),
    ]);
    for input in &quote.job.schedule.inputs {
        page.push(vec![
            Cell::text(format!("Read from {}", input.file), LABEL),
            Cell::text(format!("SHA-256 {}", input.sha256), QUIET).across(3),
        ]);
    }
    page.skip();
    page.push(vec![
        Cell::text(
            "Fire, egress, accessibility and low-voltage findings are flags, not certificates: the authority having jurisdiction, the listing and licensed practice decide.",
            QUIET,
        )
        .across(4),
    ]);
}

fn goods_page(quote: &Quote, rates: &Rates) -> Page {
    let mut page = Page::new(GOODS, &[8, 8, 46, 40, 11, 9, 8, 7, 11, 10, 10, 11, 9, 11, 13, 13, 30]);
    page.push_high(26, vec![Cell::text("Priced goods by set", TITLE)]);
    page.push(vec![Cell::text(
        "Change a quantity in its boxed cell, or a rate on the first page; every figure follows. Net = list x factor + net adders; sell from net by the rate; extension = quantity x sell.",
        SUBTITLE,
    )]);
    page.skip();
    let headings = [
        "Kind",
        "Set, row",
        "As written",
        "Good",
        "Status",
        "Doors",
        "Quantity",
        "Unit",
        "List",
        "Factor",
        "Net adders",
        "Net",
        "Rate",
        "Sell",
        "Extension",
        "Cost",
        "Working",
    ];
    let top = page.push(
        headings
            .iter()
            .enumerate()
            .map(|(index, text)| {
                Cell::text(*text, if (at::LIST..=at::COST).contains(&index) { HEADING_RIGHT } else { HEADING })
            })
            .collect(),
    );
    for set in 0..quote.job.sets.len() {
        let items: Vec<&PricedItem> =
            quote.items.iter().filter(|item| views::set_of(item, quote) == Some(set)).collect();
        let read = &quote.job.sets[set];
        let title =
            if read.title.is_empty() { format!("Set {}", read.id) } else { format!("Set {}: {}", read.id, read.title) };
        group(&mut page, quote, rates, &title, &items);
    }
    let rest: Vec<&PricedItem> = quote.items.iter().filter(|item| views::set_of(item, quote).is_none()).collect();
    if !rest.is_empty() {
        group(&mut page, quote, rates, "For the whole job", &rest);
    }
    page.freeze = (top + 1, 4);
    page.filter = Some(Area { top, left: 0, bottom: page.rows.len() - 1, right: headings.len() - 1 });
    landscape(&mut page, top, at::EXTENDED);
    page
}

/// A heading row with the sum of its items, then the items.
fn group(page: &mut Page, quote: &Quote, rates: &Rates, title: &str, items: &[&PricedItem]) {
    let head = page.next();
    let sum: Money = items.iter().map(|item| item.extended).sum();
    let mut cells = vec![Cell::text("set", BAND), Cell::blank(BAND), Cell::text(title, BAND)];
    cells.extend((3..at::EXTENDED).map(|_| Cell::blank(BAND)));
    let (first, last) = (head + 1, head + items.len());
    cells.push(if items.is_empty() {
        Cell::money(Money::ZERO, BAND_MONEY)
    } else {
        Cell::formula(
            format!("=SUM({}:{})", address(first, at::EXTENDED), address(last, at::EXTENDED)),
            sum.decimal(),
            BAND_MONEY,
        )
    });
    page.push(cells);
    for item in items {
        let cells = item_cells(quote, rates, item, page.next());
        let row = page.push_fitting(cells);
        page.rows[row].folds = true;
    }
}

/// What an item's row says of where it comes from: kind, place, words, status.
fn origin(quote: &Quote, item: &PricedItem) -> [String; 4] {
    match item.item.from {
        From::Line(id) => {
            match quote.job.sets.get(id.set).and_then(|set| set.specs.iter().find(|spec| spec.id == id)) {
                Some(spec) => {
                    let words = spec
                        .excluded
                        .clone()
                        .map_or_else(|| spec.wording.text.clone(), |why| format!("{} ({why})", spec.wording.text));
                    ["line".to_owned(), format!("row {}", spec.place.row), words, spec.status.word().to_owned()]
                }
                None => ["line".to_owned(), String::new(), String::new(), String::new()],
            }
        }
        From::Added(index) => {
            let added: Option<&Addition> = quote.job.added.get(index);
            let status = added.map_or("", |added| if added.ours { "added" } else { "by others" });
            let words = added.map_or(String::new(), |added| match &added.by {
                Some(by) if !added.ours => format!("{} (supplied by the {by})", added.why),
                _ => added.why.clone(),
            });
            ["added".to_owned(), added.map_or(String::new(), |added| added.rule.to_owned()), words, status.to_owned()]
        }
    }
}

fn item_cells(quote: &Quote, rates: &Rates, item: &PricedItem, row: usize) -> Vec<Cell> {
    let [kind, place, words, status] = origin(quote, item);
    let good = item.item.candidate.as_ref().map_or_else(
        || match item.item.from {
            From::Added(index) => {
                quote.job.added.get(index).map(|added| added.category.name().replace('-', " ")).unwrap_or_default()
            }
            From::Line(_) => String::new(),
        },
        |candidate| format!("{}\n{}, {}", candidate.good.description, candidate.good.maker, candidate.good.designation),
    );
    let doors = Decimal::from(item.item.shares.len());
    let mut cells = vec![
        Cell::text(kind, QUIET),
        Cell::text(place, QUIET),
        Cell::text(words, WORDS),
        Cell::text(good, WORDS),
        Cell::text(status, CELL),
        Cell::number(doors, COUNT),
        Cell::number(item.item.count, if item.working.is_some() { ENTRY_COUNT } else { COUNT }),
        Cell::text(item.item.unit.word(), CELL),
    ];
    let Some(working) = &item.working else {
        let why = if item.trouble.is_some() { "no price: ask the maker" } else { "no price" };
        cells.extend((at::LIST..=at::COST).map(|_| Cell::blank(CELL)));
        cells.push(Cell::text(why, QUIET));
        return cells;
    };
    let surcharges: Money = working.surcharges.iter().map(|(_, _, money)| *money).sum();
    let rate = rates.name(working);
    let cell = |column: usize| address(row, column);
    let sell = if working.is_margin {
        format!("=ROUND({}/(1-{}),{})", cell(at::NET), cell(at::RATE), working.decimals)
    } else {
        format!("=ROUND({}*(1+{}),{})", cell(at::NET), cell(at::RATE), working.decimals)
    };
    let money: Style = if working.decimals > 2 { FINE } else { MONEY };
    cells.extend([
        Cell::money(working.list, MONEY),
        Cell::number(working.multiplier, FACTOR),
        Cell::money(working.net_adders + surcharges, MONEY),
        Cell::formula(
            format!("=ROUND({}*{}+{},{})", cell(at::LIST), cell(at::FACTOR), cell(at::NET_ADDED), working.decimals),
            working.net.decimal(),
            money,
        ),
        Cell::formula(format!("={rate}"), working.rate, PERCENT),
        Cell::formula(sell, working.sell.decimal(), money),
        Cell::formula(format!("={}*{}", cell(at::QUANTITY), cell(at::SELL)), item.extended.decimal(), MONEY),
        Cell::formula(format!("={}*{}", cell(at::QUANTITY), cell(at::NET)), item.cost.decimal(), MONEY),
        Cell::text(working_words(working), QUIET),
    ]);
    cells
}

/// `base 42.00 + NRP 3.10; 50/10/5; margin 25%`.
fn working_words(working: &Working) -> String {
    let mut text = format!("base {}", working.base);
    if !working.unit_words.is_empty() {
        text.push_str(&format!(" {}", working.unit_words));
    }
    for (what, money) in &working.adders {
        text.push_str(&format!(" + {what} {money}"));
    }
    if !working.chain.is_empty() {
        let chain: Vec<String> = working.chain.iter().map(|step| step.normalize().to_string()).collect();
        text.push_str(&format!("; less {}", chain.join("/")));
    }
    for (name, percent, money) in &working.surcharges {
        text.push_str(&format!("; {name} {}% {money}", percent.normalize()));
    }
    text.push_str(&format!("; {}", working.rate_words));
    text
}
