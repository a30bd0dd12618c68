//! One row of the priced goods: where the item comes from, its good, and the cells from list price to extension.

use rust_decimal::Decimal;

use super::goods::{at, product_key};
use super::page::{Cell, address, in_quotes};
use super::rates::Rates;
use super::style::{CELL, COUNT, ENTRY_COUNT, FACTOR, FINE, MONEY, PERCENT, QUIET, Style, WORDS};
use super::typed_cells::{OfItem, is_left_out, picked_good};
use super::words::title;
use crate::catalog::good::{Adds, Good, Portion};
use crate::complete::spec::Spec;
use crate::count::takeoff::From;
use crate::money::Money;
use crate::price::category_of;
use crate::price::quote::{PricedItem, Quote, Trouble, Working};
use crate::price::surcharges::{NOT_TAXED, RULE};
use crate::price::working::weight;

/// The per cent and the label of a surcharge that has a line of its own; its first adder says both.
pub(super) fn surcharge(quote: &Quote, item: &PricedItem) -> Option<(Decimal, String)> {
    let From::Added(index) = item.item.from else { return None };
    quote.job.added.get(index).filter(|added| added.rule == RULE)?;
    let (label, _) = item.working.as_ref()?.adders.first()?.what.split_once("% of net ")?;
    let percent = label.rsplit(' ').next()?.parse().ok()?;
    Some((percent, format!("[{label}%]")))
}

/// Whether an item is taxed.
pub(super) fn taxed(quote: &Quote, item: &PricedItem) -> bool {
    if let (From::Added(index), Some(_)) = (item.item.from, surcharge(quote, item)) {
        return quote.job.added.get(index).is_none_or(|added| !added.why.contains(NOT_TAXED));
    }
    let category = category_of(item.item.from, &quote.job);
    category.is_none_or(|category| quote.terms.tax.is_due_on(category.name()))
}

/// What kind of good an item is, as the page that adds the money up calls it.
pub(super) fn category_words(quote: &Quote, item: &PricedItem) -> &'static str {
    if surcharge(quote, item).is_some() {
        return SURCHARGES;
    }
    category_of(item.item.from, &quote.job).map_or("Not understood", title)
}

/// Whose good it is.
pub(super) fn maker_words<'a>(quote: &Quote, item: &'a PricedItem) -> &'a str {
    match &item.item.candidate {
        Some(candidate) => &candidate.good.maker,
        None if surcharge(quote, item).is_some() => SURCHARGES,
        None => "Not in the catalog",
    }
}

const SURCHARGES: &str = "Surcharges";

/// The words of the column.
pub(super) fn yes(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

/// What an item's row says of where it comes from: kind, place, words, status.
struct Origin {
    kind: &'static str,
    place: String,
    words: String,
    status: String,
    note: String,
}

fn origin(quote: &Quote, item: &PricedItem) -> Origin {
    match item.item.from {
        From::Line(id) => match quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line)) {
            Some(spec) => of_line(spec, has_notes(quote)),
            None => Origin {
                kind: "line",
                place: String::new(),
                words: String::new(),
                status: String::new(),
                note: String::new(),
            },
        },
        From::Added(index) => {
            let added = quote.job.added.get(index);
            let words = added.map_or(String::new(), |added| match &added.by {
                Some(by) if !added.ours && by.starts_with("left out") => {
                    format!("{} ({by}; {})", added.why, added.rule)
                }
                Some(by) if !added.ours => format!("{} (supplied by the {by}; {})", added.why, added.rule),
                _ => format!("{} ({})", added.why, added.rule),
            });
            let status = added.map_or("", |added| if added.ours { "added" } else { "by others" }).to_owned();
            Origin { kind: "added", place: String::new(), words, status, note: String::new() }
        }
    }
}

/// Items that carry a note of how their words were read. Spreadsheet programs open a page of tens of thousands of notes
/// slowly or not at all.
const MOST_NOTES: usize = 5_000;

/// Whether the words carry notes; without them the page says where to look instead.
pub(super) fn has_notes(quote: &Quote) -> bool {
    quote.items.len() <= MOST_NOTES
}

fn of_line(spec: &Spec, has_note: bool) -> Origin {
    let text = &spec.wording.text;
    let words = spec.excluded.as_ref().map_or_else(|| text.clone(), |why| format!("{text} ({why})"));
    let heard = if has_note { super::heard::evidence_of(&spec.reading, text) } else { Vec::new() };
    let note: Vec<String> = heard.iter().map(ToString::to_string).collect();
    Origin {
        kind: "line",
        place: spec.place.row.to_string(),
        words,
        status: spec.status.word().to_owned(),
        note: note.join("\n"),
    }
}

pub(super) fn item_cells(
    quote: &Quote,
    rates: &Rates,
    index: usize,
    (row, set): (usize, &str),
    product: Option<usize>,
    typed: &OfItem,
) -> Vec<Cell> {
    let item = &quote.items[index];
    let origin = origin(quote, item);
    let category = category_of(item.item.from, &quote.job);
    let good = item.item.candidate.as_ref().map_or_else(
        || category.filter(|_| origin.kind == "added").map(title).unwrap_or_default().to_owned(),
        |candidate| good_words(&candidate.good),
    );
    let (each, places, is_each) = each_and_places(quote, item);
    let quantity = format!("={}*{}", address(row, at::EACH), address(row, at::PLACES));
    let is_open = is_open(quote, item);
    let mut cells = vec![
        Cell::text(origin.kind, QUIET),
        Cell::text(set, CELL),
        Cell::text(origin.place, QUIET),
        Cell::text(origin.words, WORDS).note(origin.note),
        Cell::text(good, WORDS),
        Cell::text(origin.status, CELL.indent(1)),
        Cell::number(each, if is_open && is_each { ENTRY_COUNT } else { COUNT }),
        Cell::number(places, COUNT),
        Cell::formula(quantity, item.counted(), COUNT),
        Cell::text(item.item.unit.word(), CELL.indent(1)),
    ];
    cells.extend(match item.reckoned() {
        Some(working) => price_cells(working, rates, item, row),
        None => price_cells_without_list(item, row),
    });
    cells.extend(typed.cells(quote, item, is_open));
    cells.extend(working_cells(quote, item, row, product));
    cells.extend(typed.naming_cells(item, each));
    cells.extend(
        item.reckoned().map_or_else(Vec::new, |working| vec![exact(working.list), Cell::number(working.rate, PERCENT)]),
    );
    cells
}

fn good_words(good: &Good) -> String {
    if good.description == good.designation {
        return format!("{}\n(not in the catalog; priced by hand)", good.description);
    }
    format!("{}\n{}, {}", good.description, good.designation, good.maker)
}

/// Whether figures may be typed over: not where others supply it, nor where the tool reckons a surcharge.
pub(super) fn is_open(quote: &Quote, item: &PricedItem) -> bool {
    match item.item.from {
        From::Line(id) => {
            let spec = quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line));
            spec.is_some_and(|spec| spec.excluded.is_none())
        }
        From::Added(index) => {
            surcharge(quote, item).is_none() && quote.job.added.get(index).is_some_and(|added| added.ours)
        }
    }
}

/// Sums of an item that has no price but the one that may be typed.
fn price_cells_without_list(item: &PricedItem, row: usize) -> Vec<Cell> {
    let used = |column: usize| format!("{}*{}", address(row, at::USED), address(row, column));
    let mut cells: Vec<Cell> = (at::LIST..at::EXTENDED).map(|_| Cell::blank(CELL)).collect();
    cells.push(Cell::formula(format!("=ROUND({},2)", used(at::PRICE)), item.sum().decimal(), MONEY));
    cells.push(Cell::blank(CELL));
    cells.push(Cell::formula(format!("={}", used(at::PRICE)), item.cost.decimal(), MONEY));
    cells
}

/// A figure that is multiplied further: with the decimals that it has, so that the page can be reckoned again.
fn exact(money: Money) -> Cell {
    Cell::money(money, if money.decimal().normalize().scale() > 2 { FINE } else { MONEY })
}

/// List to cost.
fn price_cells(working: &Working, rates: &Rates, item: &PricedItem, row: usize) -> Vec<Cell> {
    let cell = |column: usize| address(row, column);
    let money: Style = if working.decimals > 2 { FINE } else { MONEY };
    let decimals = working.decimals;
    let surcharges: Money = working.surcharges.iter().map(|(_, _, money)| *money).sum();
    let net = format!("=ROUND({}*{}+{},{decimals})", cell(at::LIST), cell(at::FACTOR), cell(at::NET_ADDED));
    let sell = if working.is_margin {
        format!("=ROUND({}/(1-{}),{decimals})", cell(at::NET), cell(at::RATE))
    } else {
        format!("=ROUND({}*(1+{}),{decimals})", cell(at::NET), cell(at::RATE))
    };
    vec![
        exact(working.list),
        Cell::number(working.multiplier, FACTOR),
        exact(working.net_adders + surcharges),
        Cell::formula(net, working.net.decimal(), money),
        match rates.name(working) {
            Some(name) => Cell::formula(format!("={name}"), working.rate, PERCENT),
            None => Cell::number(working.rate, PERCENT),
        },
        Cell::formula(sell, working.sell.decimal(), money),
        Cell::formula(format!("=ROUND({}*{},2)", cell(at::USED), cell(at::PRICE)), item.sum().decimal(), MONEY),
        Cell::blank(CELL),
        Cell::formula(format!("={}*{}", cell(at::USED), cell(at::NET)), item.cost.decimal(), MONEY),
    ]
}

/// What was changed, the working in words, and the columns that other pages add up.
fn working_cells(quote: &Quote, item: &PricedItem, row: usize, product: Option<usize>) -> Vec<Cell> {
    let cell = |column: usize| address(row, column);
    let (own_quantity, own_price, out) = (cell(at::OWN_QUANTITY), cell(at::OWN_PRICE), cell(at::LEAVE_OUT));
    let reckoned = item.reckoned();
    let (low, low_now) = match (quote.terms.price.floor_margin, reckoned) {
        (_, None) => (in_quotes(no_price(item)), no_price(item)),
        (Some(_), Some(working)) => (
            format!("IF({}<{}/(1-floor_margin),\"below floor margin\",\"\")", cell(at::PRICE), cell(at::NET)),
            below_floor(quote, working),
        ),
        (None, _) => ("\"\"".into(), ""),
    };
    let good = cell(at::OWN_GOOD);
    let check = format!(
        "=IF({out}<>\"\",\"left out\",IF({own_price}<>\"\",\"own price\",IF({own_quantity}<>\"\",\"own quantity\",IF({good}<>\"\",\"own good\",{low}))))"
    );
    let good = item.item.candidate.as_ref().map(|candidate| &candidate.good);
    let surcharges: Vec<String> = good.map_or_else(Vec::new, |good| {
        good.list.surcharges.iter().map(|(name, percent)| format!("[{name} {}%]", percent.normalize())).collect()
    });
    let weight = weight(&item.item, category_of(item.item.from, &quote.job), Decimal::ONE).unwrap_or_default();
    let price = item.working.as_ref().map(|working| working.sell.decimal()).unwrap_or_default();
    let sell = if reckoned.is_some() { cell(at::SELL) } else { "0".to_owned() };
    let is_out = item.working.is_none() && !is_open(quote, item);
    vec![
        Cell::text_formula(check, check_now(quote, item, low_now), CELL),
        Cell::text(item.working.as_ref().map(working_words).unwrap_or_default(), QUIET),
        Cell::formula(
            format!("=IF({out}<>\"\",0,IF({own_quantity}=\"\",{},{own_quantity}))", cell(at::QUANTITY)),
            if is_left_out(quote, item) { Decimal::ZERO } else { item.item.count },
            COUNT,
        ),
        Cell::formula(
            format!("=IF({out}<>\"\",0,IF({own_price}=\"\",{sell},{own_price}))"),
            if is_out || is_left_out(quote, item) { Decimal::ZERO } else { price },
            FINE,
        ),
        Cell::text(yes(taxed(quote, item)), CELL),
        Cell::text(product.map(product_key).unwrap_or_default(), CELL),
        Cell::text(category_words(quote, item), CELL),
        Cell::text(maker_words(quote, item), CELL),
        Cell::text(surcharges.join(" "), QUIET),
        Cell::number(weight, COUNT),
    ]
}

/// What the check column says before anything more is typed.
fn check_now(quote: &Quote, item: &PricedItem, low: &'static str) -> &'static str {
    if is_left_out(quote, item) {
        "left out"
    } else if item.over.is_priced {
        "own price"
    } else if item.over.quantity.is_some() && item.over.left_out.is_none() {
        "own quantity"
    } else if picked_good(quote, item).is_some() {
        "own good"
    } else {
        low
    }
}

fn below_floor(quote: &Quote, working: &Working) -> &'static str {
    let is_low = quote.terms.price.floor_margin.is_some_and(|floor| {
        let keeps = Decimal::ONE - floor.fraction();
        working.sell.decimal().saturating_mul(keeps) < working.net.decimal()
    });
    if is_low { "below floor margin" } else { "" }
}

fn no_price(item: &PricedItem) -> &'static str {
    match item.trouble {
        Some(Trouble::CallForPrice) => "no price: ask the maker",
        Some(Trouble::Units) => "no price: sold in another unit",
        Some(Trouble::TooLarge) => "no price: figures too large",
        Some(Trouble::LeftOut) => "left out until the question is answered",
        Some(Trouble::Rate) => "no price: margin of 100% or more",
        None if item.item.candidate.is_none() && item.item.count.is_zero() => "",
        None => "no price",
    }
}

/// A line's quantity and by how many it multiplies, and true; where that is no whole number, the count itself, once.
fn each_and_places(quote: &Quote, item: &PricedItem) -> (Decimal, Decimal, bool) {
    let count = item.counted();
    let quantity = match item.item.from {
        From::Line(id) => quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line)).map(|spec| spec.quantity),
        From::Added(_) => None,
    };
    let places = quantity.and_then(|quantity| count.checked_div(quantity).map(|places| (quantity, places)));
    match places {
        Some((quantity, places)) if places.fract().is_zero() && quantity.checked_mul(places) == Some(count) => {
            (quantity, places, true)
        }
        _ => (count, Decimal::ONE, false),
    }
}

/// `base 42.00 + NRP 3.10; less 50/10/5; + label 3.00 net; margin 25%`: the steps in the order in which they are reckoned.
fn working_words(working: &Working) -> String {
    let mut text = format!("base {}", working.base);
    if !working.unit_words.is_empty() {
        text.push_str(&format!(" {}", working.unit_words));
    }
    if !working.made_of.is_empty() {
        let portion = |portion: &Portion| format!("{} × {} at {}", portion.count, portion.what, portion.each);
        text.push_str(&format!(" ({})", working.made_of.iter().map(portion).collect::<Vec<_>>().join(", ")));
    }
    for extra in working.adders.iter().filter(|extra| !extra.is_net()) {
        let percent = match extra.adds {
            Adds::PercentOfList(percent) => format!(" {}% of the base", percent.normalize()),
            _ => String::new(),
        };
        text.push_str(&format!(" + {}{percent} {}", extra.what, extra.money));
    }
    if !working.chain.is_empty() {
        let chain: Vec<String> = working.chain.iter().map(|step| step.normalize().to_string()).collect();
        text.push_str(&format!("; less {}", chain.join("/")));
    }
    for extra in working.adders.iter().filter(|extra| extra.is_net()) {
        text.push_str(&format!("; + {} {} net", extra.what, extra.money));
    }
    for (name, percent, money) in &working.surcharges {
        text.push_str(&format!("; + {name} {}% of that {money}", percent.normalize()));
    }
    text.push_str(&format!("; {}", working.rate_words));
    text
}
