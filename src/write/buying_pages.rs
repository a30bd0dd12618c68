//! Pages of the estimate that buy and wire: what to order from each maker, alternates and equals, and what needs current.

use rust_decimal::Decimal;

use super::goods::{Goods, at, product_key};
use super::page::{Cell, Page, address, in_quotes};
use super::style::{CELL, COUNT, DIFFERENCE, FINE, MONEY, QUIET, SECTION, WORDS};
use super::tables::table;
use crate::complete::spec::Status;
use crate::count::takeoff::From;
use crate::price::buying::{self, Row};
use crate::price::category_of;
use crate::price::quote::{PricedItem, Quote};
use crate::trade::attribute::{Attr, Attributes, Value, names};

/// What to order, by maker: whole packs, least quantities.
pub fn buying(quote: &Quote, goods: &Goods) -> Page {
    let mut rows = Vec::new();
    for order in buying::orders(quote) {
        for row in &order.rows {
            let key = (order.maker.clone(), row.designation.clone());
            // A designation cut to several lengths has one product and several rows: those are given as counted.
            let is_single = order.rows.iter().filter(|other| other.designation == row.designation).count() == 1;
            let product = goods.products.get(&key).filter(|_| is_single).map(|number| product_key(*number));
            rows.push((order.maker.clone(), row.clone(), product));
        }
    }
    // A table has a title, a line of words, an empty row and its headings above.
    let cells = rows.into_iter().enumerate().map(|(index, (maker, row, product))| {
        let here = 4 + index;
        let needed = match product {
            Some(product) => Cell::formula(
                format!("=SUMIF({},{},{})", goods.column(at::PRODUCT), in_quotes(&product), goods.column(at::USED)),
                row.needed,
                COUNT,
            ),
            None => Cell::number(row.needed, COUNT),
        };
        let cost = row.net.times(row.order).unwrap_or_default();
        vec![
            Cell::text(maker, CELL),
            Cell::text(row.designation.as_str(), WORDS),
            Cell::text(row.description.as_str(), WORDS),
            needed,
            Cell::text(row.unit, CELL),
            Cell::formula(order_formula(&row, &address(here, 3)), row.order, COUNT),
            Cell::money(row.list, FINE),
            Cell::text(row.discount.as_str(), CELL.side(super::style::Side::Right)),
            Cell::money(row.net, FINE),
            Cell::formula(format!("={}*{}", address(here, 5), address(here, 8)), cost.decimal(), MONEY),
            Cell::text(to_know(&row), QUIET),
            Cell::text(row.openings.join(", "), QUIET),
        ]
    });
    table(
        "Buying list",
        "What to order from each maker, in whole packs and least quantities. Needed follows the priced goods.",
        &[14, 22, 74, 9, 7, 8, 10, 10, 9, 11, 34, 40],
        &[
            "Maker",
            "Designation",
            "Good",
            "Needed",
            "Unit",
            "Order",
            "List",
            "Discount %",
            "Net",
            "Cost",
            "To know",
            "Openings",
        ],
        cells.collect(),
    )
}

fn order_formula(row: &Row, needed: &str) -> String {
    let (pack, minimum) = (row.pack.filter(|pack| *pack > 1), row.minimum.filter(|least| *least > 1));
    if pack.is_none() && minimum.is_none() && row.sold == (1, 1) {
        return format!("=ROUNDUP({needed},0)");
    }
    // Packs and least quantities are of what the price is for.
    let (times, over) = match row.sold {
        (1, 1) => Default::default(),
        (times, 1) => (format!("*{times}"), format!("/{times}")),
        (times, over) => (format!("*{times}/{over}"), format!("*{over}/{times}")),
    };
    let whole = format!("ROUNDUP({needed}{times},0)");
    let least = minimum.map_or(whole.clone(), |least| format!("IF({needed}=0,0,MAX({whole},{least}))"));
    pack.map_or(format!("={least}{over}"), |pack| format!("=ROUNDUP({least}/{pack},0)*{pack}{over}"))
}

fn to_know(row: &Row) -> String {
    let mut words = row.notes.clone();
    words.extend(row.pack.filter(|pack| *pack > 1).map(|pack| format!("packs of {pack}")));
    words.extend(row.minimum.filter(|least| *least > 1).map(|least| format!("at least {least}")));
    words.extend(row.pieces.iter().map(|(length, count)| format!("{count} of {} in stock", length.in_fractions())));
    words.extend(row.parts.iter().map(|(count, part)| format!("{count} x {part}")));
    if !row.returnable {
        words.push("not returnable".into());
    }
    words.join("; ")
}

/// Alternates and unit prices of the terms, and equals of what lines name.
pub fn alternates(quote: &Quote) -> Page {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for alternate in &quote.alternates {
        let trouble =
            if alternate.delta.is_none() { format!("no price: {}", alternate.trouble) } else { String::new() };
        rows.push(vec![
            Cell::text("alternate", CELL),
            Cell::blank(CELL),
            Cell::blank(CELL),
            Cell::text(alternate.name.as_str(), WORDS),
            Cell::text(alternate.words.as_str(), WORDS),
            alternate.delta.map_or(Cell::text("no price", CELL), |delta| Cell::money(delta, DIFFERENCE)),
            Cell::text(format!("{} lines; charges included; not in the total. {trouble}", alternate.lines), QUIET),
        ]);
    }
    for unit in &quote.unit_prices {
        let know = match unit.net {
            Some(net) => format!("a unit price for one {}; net {net}; not in the total", unit.unit),
            None => format!("no price: {}", unit.trouble),
        };
        rows.push(vec![
            Cell::text("unit price", CELL),
            Cell::blank(CELL),
            Cell::blank(CELL),
            Cell::text(unit.name.as_str(), WORDS),
            Cell::text(format!("{} {}\n{}", unit.maker, unit.designation, unit.description), WORDS),
            unit.price.map_or(Cell::text("no price", CELL), |price| Cell::money(price, MONEY)),
            Cell::text(know, QUIET),
        ]);
    }
    for equals in &quote.equals {
        let Some(set) = quote.job.sets.get(equals.line.set) else { continue };
        let Some(spec) = set.specs.get(equals.line.line) else { continue };
        for offer in &equals.offers {
            rows.push(vec![
                Cell::text("equal", CELL),
                Cell::text(set.id.as_str(), CELL),
                Cell::text(spec.place.row.to_string(), QUIET),
                Cell::text(equals.specified.clone().unwrap_or_else(|| spec.wording.text.clone()), WORDS),
                Cell::text(format!("{} {}\n{}", offer.maker, offer.designation, offer.description), WORDS),
                Cell::money(offer.difference, DIFFERENCE),
                Cell::text(format!("to be approved; {}", offer.why.join("; ")), QUIET),
            ]);
        }
    }
    table(
        "Priced apart",
        "Alternates, unit prices, and equals of what is specified: never put in its place unasked. To take an equal, pick it in Your good on Priced goods.",
        &[11, 7, 8, 40, 56, 14, 56],
        &[
            "Kind",
            "Set",
            "Row",
            "What was asked or specified",
            "What it is, or what is offered",
            "Difference or price",
            "To know",
        ],
        rows,
    )
}

/// Attributes that make a good electrical.
const ELECTRIC: [Attr; 5] = [names::VOLTAGE, names::CONDUCTORS, names::ELECTRIFIED, Attr::of("draw_amps"), names::FAIL];

/// What needs current, by opening, and what supplies it.
pub fn electrical(quote: &Quote) -> Page {
    let mut rows: Vec<(Option<usize>, Vec<Cell>)> = Vec::new();
    for item in &quote.items {
        let attributes = attributes(quote, item);
        if !is_electric(&attributes) {
            continue;
        }
        let places: Vec<(Option<usize>, Decimal)> = match item.item.shares.as_slice() {
            [] => vec![(None, item.item.count)],
            shares => shares.iter().map(|(opening, share)| (Some(*opening), *share)).collect(),
        };
        for (opening, count) in places.into_iter().filter(|(_, count)| !count.is_zero()) {
            rows.push((opening, electrical_row(quote, item, &attributes, opening, count)));
        }
    }
    for prep in quote.job.preps.iter().filter(|prep| prep.trade == "electrical") {
        let number = quote.job.schedule.openings.get(prep.opening).map(|opening| opening.number.clone());
        let mut cells = vec![
            Cell::text(number.unwrap_or_default(), CELL),
            Cell::text(prep.what.as_str(), WORDS),
            Cell::text(prep.detail.as_str(), QUIET),
        ];
        cells.extend((3..9).map(|_| Cell::blank(CELL)));
        cells.push(Cell::text("electrical trade", CELL));
        rows.push((Some(prep.opening), cells));
    }
    rows.sort_by_key(|(opening, _)| opening.unwrap_or(usize::MAX));
    let count = rows.len();
    let mut page = table(
        "Electrical",
        "What needs current at each opening, and what supplies it. Low voltage: verify with the makers, the electrical trade and the authority having jurisdiction.",
        &[10, 64, 64, 8, 8, 8, 8, 8, 14, 16],
        &[
            "Opening",
            "Device",
            "As written, or why",
            "Count",
            "Volts",
            "Amps",
            "Inrush",
            "Wires",
            "Fails",
            "Supplied by",
        ],
        rows.into_iter().map(|(_, cells)| cells).collect(),
    );
    let whose = |words: &Option<String>| words.clone().unwrap_or_else(|| "not said".to_owned());
    let terms = &quote.terms.electrical;
    if count > 0 {
        page.skip();
        page.push(vec![Cell::text("From the job terms", SECTION).across(4)]);
        for (what, words) in [
            ("Power supplies by", whose(&terms.power_supplies)),
            ("Readers by", whose(&terms.readers)),
            ("Wiring by", whose(&terms.wiring)),
        ] {
            page.push(vec![Cell::blank(CELL), Cell::text(what, CELL), Cell::text(words, CELL)]);
        }
    }
    page
}

fn electrical_row(
    quote: &Quote,
    item: &PricedItem,
    attributes: &Attributes,
    opening: Option<usize>,
    count: Decimal,
) -> Vec<Cell> {
    let number =
        opening.and_then(|opening| quote.job.schedule.openings.get(opening)).map(|opening| opening.number.clone());
    let figure = |name: Attr| match attributes.get(&name) {
        Some(Value::Number(number)) => Cell::number(*number, COUNT),
        Some(value) => value
            .to_string()
            .parse()
            .map_or_else(|_| Cell::text(value.to_string(), CELL), |number| Cell::number(number, COUNT)),
        None => Cell::blank(CELL),
    };
    let (words, by) = match item.item.from {
        From::Line(id) => {
            let spec = quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line));
            let is_out = spec.is_some_and(|spec| spec.status == Status::Excluded);
            let words = spec.map(|spec| spec.wording.text.clone()).unwrap_or_default();
            (words, if is_out { "others".to_owned() } else { "us".to_owned() })
        }
        From::Added(index) => {
            let added = quote.job.added.get(index);
            let by = added.and_then(|added| added.by.clone()).unwrap_or_else(|| "us".to_owned());
            (added.map(|added| added.why.clone()).unwrap_or_default(), by)
        }
    };
    let device = item.item.candidate.as_ref().map_or_else(
        || category_of(item.item.from, &quote.job).map(super::words::title).unwrap_or_default().to_owned(),
        |candidate| candidate.good.description.clone(),
    );
    let fails = [names::FAIL, names::ELECTRIFIED].iter().find_map(|name| attributes.get(name)).map(ToString::to_string);
    vec![
        Cell::text(number.unwrap_or_else(|| "job".to_owned()), CELL),
        Cell::text(device, WORDS),
        Cell::text(words, QUIET),
        Cell::number(count, COUNT),
        figure(names::VOLTAGE),
        figure(Attr::of("draw_amps")),
        figure(Attr::of("draw_inrush")),
        figure(names::CONDUCTORS),
        Cell::text(fails.unwrap_or_default(), CELL),
        Cell::text(by, CELL),
    ]
}

/// What the good has, else what is asked.
fn attributes(quote: &Quote, item: &PricedItem) -> Attributes {
    let mut all = match item.item.from {
        From::Line(id) => quote
            .job
            .sets
            .get(id.set)
            .and_then(|set| set.specs.get(id.line))
            .map(|spec| spec.attributes.iter().map(|(name, sourced)| (*name, sourced.value.clone())).collect())
            .unwrap_or_default(),
        From::Added(index) => quote.job.added.get(index).map(|added| added.attributes.clone()).unwrap_or_default(),
    };
    if let Some(candidate) = &item.item.candidate {
        all.extend(candidate.good.attributes.iter().map(|(name, value)| (*name, value.clone())));
    }
    all
}

fn is_electric(attributes: &Attributes) -> bool {
    ELECTRIC.iter().filter_map(|name| attributes.get(name)).any(|value| match value {
        Value::Number(number) => !number.is_zero(),
        Value::Text(text) => !matches!(&**text, "" | "none" | "no" | "-"),
        Value::Flag(flag) => *flag,
        _ => false,
    })
}
