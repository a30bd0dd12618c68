//! The priced goods added up in other ways: by product (which is also the list to buy from), by opening, by category and
//! maker. Each is made of formulas over the priced goods, so that a change there is followed here.

use std::collections::{BTreeMap, HashMap};

use rust_decimal::Decimal;

use super::goods::{Goods, at, product_key};
use super::goods_rows::{category_words, is_open, maker_words};
use super::page::{Area, Cell, Chart, Page, address, fixed_column, in_quotes, quoted};
use super::style::{
    CELL, COUNT, DIFFERENCE, FINE, MONEY, QUIET, SECTION, SUBTITLE, Side, TITLE, TOTAL, TOTAL_MONEY, WORDS,
};
use super::tables::table;
use super::words::{questions, sentence};
use crate::catalog::good::Good;
use crate::money::Money;
use crate::price::quote::{PricedItem, Quote};
use crate::price::{rounding, views};
use crate::trade::inches::Inches;

/// One row for each maker and designation.
pub fn products(quote: &Quote, goods: &Goods) -> Page {
    let mut items: HashMap<(&str, &str), Vec<&PricedItem>> = HashMap::new();
    for item in quote.items.iter().filter(|item| item.working.is_some()) {
        if let Some(good) = good_of(item) {
            items.entry((&good.maker, &good.designation)).or_default().push(item);
        }
    }
    let mut rows = Vec::new();
    for ((maker, designation), number) in &goods.products {
        let mine = items.remove(&(maker.as_str(), designation.as_str())).unwrap_or_default();
        let Some(good) = mine.first().and_then(|item| good_of(item)) else { continue };
        let unit = mine.first().map_or("", |item| item.item.unit.word());
        let net = mine.first().and_then(|item| item.working.as_ref()).map(|working| working.net).unwrap_or_default();
        let key = in_quotes(&product_key(*number));
        let sum = |column: usize| format!("=SUMIF({},{key},{})", goods.column(at::PRODUCT), goods.column(column));
        let total = |of: fn(&PricedItem) -> Decimal| mine.iter().map(|item| of(item)).sum::<Decimal>();
        rows.push(vec![
            Cell::text(product_key(*number), QUIET),
            Cell::text(maker.as_str(), CELL),
            Cell::text(designation.as_str(), WORDS),
            Cell::text(good.description.as_str(), WORDS),
            Cell::formula(sum(at::USED), total(|item| item.item.count), COUNT),
            Cell::text(unit, CELL),
            Cell::money(net, FINE),
            Cell::formula(sum(at::COST), total(|item| item.cost.decimal()), MONEY),
            Cell::formula(sum(at::EXTENDED), total(|item| item.sum().decimal()), MONEY),
            Cell::text(to_buy(good), QUIET),
        ]);
    }
    table(
        "By product",
        "The same goods, each once, by maker. Counts follow the priced goods; what to order is on the page Buying list.",
        &[8, 16, 24, 74, 10, 7, 11, 12, 12, 40],
        &[
            "Product",
            "Maker",
            "Designation",
            "Good",
            "Quantity",
            "Unit",
            "Net each",
            "Cost",
            "Sell",
            "To know when buying",
        ],
        rows,
    )
}

fn good_of(item: &PricedItem) -> Option<&Good> {
    item.item.candidate.as_ref().map(|candidate| &candidate.good)
}

/// Packs, least quantities, pieces, parts of a kit, returns.
fn to_buy(good: &Good) -> String {
    let list = &good.list;
    let mut words: Vec<String> = list.notes.iter().map(ToString::to_string).collect();
    words.extend(list.pack.filter(|pack| *pack > 1).map(|pack| format!("packs of {pack}")));
    words.extend(list.minimum.filter(|least| *least > 1).map(|least| format!("at least {least}")));
    words.extend(list.pieces.iter().map(|(length, count)| format!("{count} of {} in stock", length.in_fractions())));
    words.extend(good.parts.iter().map(|(count, part)| format!("{count} x {}", part.designation)));
    if !list.returnable {
        words.push("not returnable".into());
    }
    words.join("; ")
}

/// Name of the page of openings, its first row, and the columns that others add up.
const OPENINGS: &str = "Openings";
const FIRST: usize = 4;
const HARDWARE: usize = 10;
const PHASE: usize = 13;

/// Every door with the sum of its hardware.
pub fn openings(quote: &Quote, goods: &Goods) -> Page {
    let mut terms: BTreeMap<usize, (Vec<String>, Money)> = BTreeMap::new();
    for (item, row) in quote.items.iter().zip(&goods.rows) {
        let sell = item.working.as_ref().map(|working| working.sell).unwrap_or_default();
        for ((opening, money), (_, share)) in views::over_openings(item).into_iter().zip(&item.item.shares) {
            let entry = terms.entry(opening).or_default();
            let plain = rounding::extension(sell.times(*share).unwrap_or_default());
            entry.0.push(format!("ROUND({}*{},2)", share.normalize(), Goods::cell(*row, at::PRICE)));
            if money != plain {
                entry.0.push(format!("({})", (money - plain).decimal()));
            }
            entry.1 += money;
        }
    }
    let length = |length: Option<Inches>| length.map(Inches::in_feet).unwrap_or_default();
    let mut all = Money::ZERO;
    let phases = views::phases(quote);
    let rows = quote.job.schedule.openings.iter().enumerate().map(|(index, opening)| {
        let (parts, sum) = terms.remove(&index).unwrap_or_default();
        all += sum;
        let formula = format!("={}", parts.join("+"));
        // Formulas hold 8,192 characters; a longer one is written as its sum.
        let hardware = if parts.is_empty() || formula.len() > 8_000 {
            Cell::money(sum, MONEY)
        } else {
            Cell::formula(formula, sum.decimal(), MONEY)
        };
        vec![
            Cell::text(opening.number.as_str(), CELL),
            Cell::text(opening.room.as_str(), WORDS),
            Cell::number(Decimal::from(opening.leaves), COUNT),
            Cell::text(length(opening.width), CELL),
            Cell::text(length(opening.height), CELL),
            Cell::text(opening.door_material.clone().unwrap_or_default(), CELL),
            Cell::text(opening.frame_material.clone().unwrap_or_default(), CELL),
            Cell::text(opening.rating.text.as_str(), CELL),
            Cell::text(opening.hand.clone().unwrap_or_default(), CELL),
            Cell::text(opening.set.clone().unwrap_or_default(), CELL),
            hardware,
            Cell::text(opening.excluded.clone().unwrap_or_else(|| opening.remarks.clone()), WORDS),
            super::tables::where_it_is(quote, &opening.place),
            Cell::text(phase_name(quote, phases[index]), CELL),
        ]
    });
    let columns = if quote.terms.phases.is_empty() { PHASE } else { PHASE + 1 };
    let rows = rows.map(|cells| cells.into_iter().take(columns).collect()).collect();
    let widths = [10, 30, 7, 10, 10, 14, 14, 12, 8, 8, 12, 60, 26, 16];
    let headings = [
        "Door", "Room", "Leaves", "Width", "Height", "Door of", "Frame of", "Rating", "Hand", "Set", "Hardware",
        "Remarks", "Where", "Phase",
    ];
    let mut page = table(
        OPENINGS,
        "Every door as read, with the sum of its hardware: its shares at the selling prices of the priced goods.",
        &widths[..columns],
        &headings[..columns],
        rows,
    );
    let first = page.rows.len() - quote.job.schedule.openings.len();
    let rest = views::lump(quote) - all;
    page.skip();
    let sum = if first < page.rows.len() - 1 {
        format!("=goods_total-SUM({}:{})", address(first, 10), address(page.rows.len() - 2, 10))
    } else {
        "=goods_total".to_owned()
    };
    let mut cells =
        vec![Cell::text("Lots, job-wide goods, and quantities changed on the priced goods", TOTAL).across(10)];
    cells.extend((1..10).map(|_| Cell::none()));
    cells.push(Cell::formula(sum, rest.decimal(), TOTAL_MONEY));
    page.push(cells);
    page
}

/// Where the money is: by category and by maker, as tables and pictures.
pub fn money(goods: &Goods, quote: &Quote) -> Page {
    let mut page = Page::new("Where the money is", &[32, 13, 13, 8, 58]);
    page.push(vec![Cell::text("Where the money is", TITLE)]);
    page.push(vec![Cell::text("Selling prices and cost of the goods, by category and by maker.", SUBTITLE)]);
    let mut categories: BTreeMap<&str, (Money, Money)> = BTreeMap::new();
    let mut makers: BTreeMap<String, (Money, Money)> = BTreeMap::new();
    // Rows without a price have part in it too: one may be typed in.
    for item in quote.items.iter().filter(|item| item.working.is_some() || is_open(quote, item)) {
        let category = category_words(quote, item);
        let maker = maker_words(quote, item).to_owned();
        for entry in [categories.entry(category).or_default(), makers.entry(maker).or_default()] {
            entry.0 += item.sum();
            entry.1 += item.cost;
        }
    }
    let categories = categories.into_iter().map(|(name, sums)| (name.to_owned(), sums)).collect();
    tally(&mut page, goods, "By category", at::CATEGORY, categories);
    tally(&mut page, goods, "By maker", at::MAKER, makers.into_iter().collect());
    phases(&mut page, quote);
    exposure(&mut page, quote);
    page.print.last_column = Some(4);
    page.print.footer = "Internal: not for the customer".to_owned();
    page
}

/// The name of a phase or building; empty without one.
fn phase_name(quote: &Quote, phase: Option<usize>) -> &str {
    phase.and_then(|phase| quote.terms.phases.get(phase)).map_or("", |phase| phase.name.as_str())
}

/// The goods by phase: sums of the page of openings, and what belongs to none of them.
fn phases(page: &mut Page, quote: &Quote) {
    let rows = views::by_phase(quote);
    let openings = quote.job.schedule.openings.len();
    if rows.is_empty() || openings == 0 {
        return;
    }
    page.skip();
    page.push(vec![Cell::text("By phase", SECTION), Cell::text("Sell", SECTION.side(Side::Right))]);
    let column = |column: usize| format!("{}!{}", quoted(OPENINGS), fixed_column(column, FIRST, FIRST + openings - 1));
    let first = page.next();
    for row in &rows {
        let here = page.next();
        let formula = match (row.name.is_empty(), here > first) {
            (false, _) => format!("=SUMIF({},{},{})", column(PHASE), address(here, 0), column(HARDWARE)),
            (true, true) => format!("=goods_total-SUM({}:{})", address(first, 1), address(here - 1, 1)),
            (true, false) => "=goods_total".to_owned(),
        };
        let name = if row.name.is_empty() { &row.words } else { &row.name };
        page.push(vec![Cell::text(name.as_str(), WORDS), Cell::formula(formula, row.sum.decimal(), MONEY)]);
    }
}

/// Questions shown in the picture of the exposure; all of them are on their page.
const SHOWN: usize = 12;

/// What each of the dearest questions can change the total by, as a table and a picture.
fn exposure(page: &mut Page, quote: &Quote) {
    let mut questions = questions(&quote.job.findings);
    // A picture of money alone: here the dearest stand first, whatever they are about.
    questions.sort_by_key(|finding| std::cmp::Reverse(finding.spread()));
    let questions: Vec<_> = questions.into_iter().filter(|finding| !finding.spread().is_zero()).take(SHOWN).collect();
    if questions.is_empty() {
        return;
    }
    page.skip();
    let right = SECTION.side(Side::Right);
    let heading = page.push(vec![
        Cell::text("Exposure by question", SECTION),
        Cell::text("Cheapest", right),
        Cell::text("Dearest", right),
        Cell::text("No.", right),
    ]);
    page.rows[heading].new_page = true;
    let first = page.next();
    for finding in &questions {
        let (low, high) = finding.extremes();
        let number = quote.answers.numbers.get(&finding.id).map(|number| format!("No. {number}")).unwrap_or_default();
        let set = finding.set.as_ref().map(|set| format!("Set {set}: ")).unwrap_or_default();
        page.push(vec![
            Cell::text(format!("{set}{}", sentence(&finding.says)), WORDS),
            Cell::money(low, DIFFERENCE),
            Cell::money(high, DIFFERENCE),
            Cell::text(number, CELL.side(Side::Right)),
        ]);
    }
    let last = page.next() - 1;
    let here = page.name.clone();
    let height = u32::try_from(questions.len()).unwrap_or(12) * 34 + 110;
    page.charts.push(Chart {
        title: "What the dearest questions can change".into(),
        labels: (here, Area::column(3, first, last)),
        numbers: vec![
            ("Cheapest answer".into(), Area::column(1, first, last)),
            ("Dearest answer".into(), Area::column(2, first, last)),
        ],
        row: heading,
        column: 4,
        size: (400, height),
    });
    // Rows are left under it so that it is printed whole.
    while (page.next() - heading) * 20 < height as usize {
        page.skip();
    }
}

fn tally(page: &mut Page, goods: &Goods, name: &str, key: usize, mut rows: Vec<(String, (Money, Money))>) {
    rows.sort_by_key(|(_, (sell, _))| std::cmp::Reverse(*sell));
    page.skip();
    let heading = page.push(vec![
        Cell::text(name, SECTION),
        Cell::text("Sell", SECTION.side(Side::Right)),
        Cell::text("Cost", SECTION.side(Side::Right)),
    ]);
    let first = page.next();
    for (words, (sell, cost)) in &rows {
        let own = address(page.next(), 0);
        let sum = |column: usize| format!("=SUMIF({},{own},{})", goods.column(key), goods.column(column));
        page.push(vec![
            Cell::text(words.as_str(), CELL),
            Cell::formula(sum(at::EXTENDED), sell.decimal(), MONEY),
            Cell::formula(sum(at::COST), cost.decimal(), MONEY),
        ]);
    }
    if rows.is_empty() {
        return;
    }
    // Nothing is seen of a bar for nothing.
    let shown = rows.iter().take_while(|(_, (sell, _))| !sell.is_zero()).count();
    if shown == 0 {
        return;
    }
    let last = first + shown - 1;
    let here = page.name.clone();
    let height = u32::try_from(shown).unwrap_or(60).min(60) * 22 + 70;
    page.charts.push(Chart {
        title: format!("{name}: selling prices"),
        labels: (here.clone(), Area::column(0, first, last)),
        numbers: vec![(here, Area::column(1, first, last))],
        row: heading,
        column: 4,
        size: (390, height),
    });
    // The picture stands beside its table; rows are left so that the next does not run into it.
    while (page.next() - heading) * 20 < height as usize {
        page.skip();
    }
}
