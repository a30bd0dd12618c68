//! The pages of the estimate that are plain tables: assumptions and notes, additions, preps, rows read.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::goods::{Goods, at};
use super::words::{sentence, title};
use crate::complete::spec::{Addition, Prep};
use crate::count::takeoff::From;
use crate::finding::Finding;
use crate::money::Money;
use crate::place::Place;
use crate::price::quote::Quote;
use crate::trade::attribute::Value;
use crate::trade::inches::Inches;

use super::page::{Area, Cell, Content, Page};
use super::style::{CELL, COUNT, Ground, HEADING, HEADING_RIGHT, MONEY, QUIET, SUBTITLE, Side, TITLE, WORDS};

/// A page that is one table.
pub(super) fn table(name: &str, intro: &str, widths: &[u32], headings: &[&str], rows: Vec<Vec<Cell>>) -> Page {
    let mut page = Page::new(name, widths);
    page.push(vec![Cell::text(name, TITLE)]);
    page.push(vec![Cell::text(intro, SUBTITLE)]);
    page.skip();
    let is_numeric = numeric(&rows, headings.len());
    // Words after figures stand a little away from them.
    let is_apart = |column: usize| column > 0 && is_numeric[column - 1] && !is_numeric[column];
    let heading = |(column, words): (usize, &&str)| match (is_numeric[column], is_apart(column)) {
        (true, _) => Cell::text(*words, HEADING_RIGHT),
        (false, true) => Cell::text(*words, HEADING.indent(1)),
        (false, false) => Cell::text(*words, HEADING),
    };
    let top = page.push(headings.iter().enumerate().map(heading).collect());
    let many = rows.len();
    for mut row in rows {
        for (column, cell) in row.iter_mut().enumerate().take(headings.len()) {
            if is_apart(column) && cell.style.side == Side::Usual && cell.style.ground == Ground::None {
                cell.style.indent = 1;
            }
        }
        page.push(row);
    }
    if many == 0 {
        page.push(vec![Cell::text("Nothing.", QUIET)]);
    }
    page.freeze = (top + 1, 1);
    page.filter = Some(Area { top, left: 0, bottom: top + many, right: headings.len() - 1 });
    landscape(&mut page, top, headings.len() - 1);
    page
}

/// Which columns hold figures.
fn numeric(rows: &[Vec<Cell>], columns: usize) -> Vec<bool> {
    let holds = |column: usize| {
        let contents = || rows.iter().filter_map(|row| row.get(column)).map(|cell| &cell.content);
        let is_figure = |content: &Content| matches!(content, Content::Number(_) | Content::Formula(..));
        contents().any(is_figure)
            && !contents().any(|content| matches!(content, Content::Text(words) if words.len() > 8))
    };
    (0..columns).map(holds).collect()
}

pub(super) fn landscape(page: &mut Page, top: usize, last: usize) {
    page.print.landscape = true;
    page.print.repeat = Some((top, top));
    page.print.last_column = Some(last);
    page.print.footer = "Internal: not for the customer".to_owned();
}

pub(super) fn findings_page(quote: &Quote, name: &str, wanted: impl Fn(&Finding) -> bool) -> Page {
    let rows = quote
        .job
        .findings
        .iter()
        .filter(|finding| wanted(finding))
        .map(|finding| {
            vec![
                Cell::text(finding.kind.word(), CELL),
                Cell::text(finding.code, QUIET),
                Cell::text(finding.set.clone().unwrap_or_default(), CELL),
                Cell::text(finding.openings.join(", "), WORDS),
                Cell::text(sentence(&finding.says), WORDS),
                Cell::text(sentence(&finding.help), QUIET),
                finding.place.as_ref().map_or(Cell::blank(CELL), |place| where_it_is(quote, place)),
                Cell::text(finding.source.to_string(), QUIET),
            ]
        })
        .collect();
    table(
        name,
        "What was taken for granted, and what is good to know. `pintle rules CODE` shows on what each rests.",
        &[12, 22, 7, 26, 64, 44, 26, 40],
        &["Grade", "Code", "Set", "Doors", "What", "What to do", "Where", "Rests on"],
        rows,
    )
}

/// What rules added, each with the rule and the reason, and what it comes to on the priced goods.
pub(super) fn added_page(quote: &Quote, goods: &Goods) -> Page {
    let mut sums: BTreeMap<usize, (Vec<String>, Money)> = BTreeMap::new();
    for (item, row) in quote.items.iter().zip(&goods.rows) {
        if let (From::Added(index), Some(_)) = (item.item.from, &item.working) {
            let (cells, sum) = sums.entry(index).or_default();
            cells.push(Goods::cell(*row, at::EXTENDED));
            *sum += item.sum();
        }
    }
    let rows = quote.job.added.iter().enumerate().map(|(index, added)| {
        let openings: Vec<usize> = added.shares.iter().map(|(opening, _)| *opening).collect();
        let quantity: Decimal = added.shares.iter().map(|(_, share)| *share).sum();
        let is_surcharge = added.rule == crate::price::surcharges::RULE;
        let attributes: Vec<String> =
            added.attributes.iter().map(|(name, value)| in_words(name.name(), value)).collect();
        let (cells, sum) = sums.remove(&index).unwrap_or_default();
        let cells_are_none = cells.is_empty();
        vec![
            Cell::text(if is_surcharge { "Surcharge" } else { title(added.category) }, CELL),
            Cell::text(attributes.join(", "), WORDS),
            if is_surcharge { Cell::blank(CELL) } else { Cell::number(quantity, COUNT) },
            Cell::text(added.unit.word(), CELL),
            if cells_are_none {
                Cell::blank(CELL)
            } else {
                Cell::formula(format!("={}", cells.join("+")), sum.decimal(), MONEY)
            },
            Cell::text(numbers(quote, openings), WORDS),
            Cell::text(added.why.clone(), WORDS),
            Cell::text(added.rule, QUIET),
            Cell::text(supplied_by(added, cells_are_none), CELL),
        ]
    });
    table(
        "Added",
        "What the schedule implies and does not say. `pintle rules RULE` shows on what each rests.",
        &[18, 40, 10, 7, 11, 26, 66, 20, 16],
        &["Good", "Attributes", "Quantity", "Unit", "Sum", "Doors", "Why", "Rule", "Supplied by"],
        rows.collect(),
    )
}

/// Who supplies an addition, and whether it is in the total.
fn supplied_by(added: &Addition, is_bare: bool) -> String {
    match (added.ours, is_bare) {
        (true, false) => "us, priced".to_owned(),
        (true, true) => "us, no price".to_owned(),
        (false, _) => added.by.clone().unwrap_or_default(),
    }
}

/// An attribute as a person says it: `finish 652`, `fire listed`.
fn in_words(name: &str, value: &Value) -> String {
    let name = name.replace('_', " ");
    match value {
        Value::Flag(true) => name,
        Value::Flag(false) => format!("not {name}"),
        value => format!("{name} {value}"),
    }
}

/// Numbers of openings in their order, each once.
fn numbers(quote: &Quote, openings: impl IntoIterator<Item = usize>) -> String {
    let openings: BTreeSet<usize> = openings.into_iter().collect();
    let openings = openings.into_iter().filter_map(|opening| quote.job.schedule.openings.get(opening));
    openings.map(|opening| opening.number.as_str()).collect::<Vec<_>>().join(", ")
}

/// Preps that are alike, once, with all their doors; the workbook for makers has a row for each.
pub(super) fn preps_page(quote: &Quote) -> Page {
    let mut alike: Vec<(&Prep, Vec<usize>)> = Vec::new();
    let mut places: BTreeMap<(&str, &str, &str, &str, Option<Inches>), usize> = BTreeMap::new();
    for prep in &quote.job.preps {
        let key = (prep.trade, prep.leaf, prep.what.as_str(), prep.detail.as_str(), prep.above_floor);
        let place = *places.entry(key).or_insert_with(|| {
            alike.push((prep, Vec::new()));
            alike.len() - 1
        });
        if let Some((_, openings)) = alike.get_mut(place) {
            openings.push(prep.opening);
        }
    }
    alike.sort_by_key(|(prep, openings)| (openings.first().copied(), prep.trade != "door, frame"));
    let rows = alike.into_iter().map(|(prep, openings)| {
        let above = prep.above_floor.map(|height| format!("{}\"", height.in_fractions())).unwrap_or_default();
        vec![
            Cell::text(numbers(quote, openings), WORDS),
            Cell::text(prep.trade, CELL),
            Cell::text(prep.leaf, CELL),
            Cell::text(prep.what.clone(), WORDS),
            Cell::text(above, CELL.side(Side::Right)),
            Cell::text(prep.detail.clone(), WORDS.indent(1)),
            Cell::text(prep.rule, QUIET),
        ]
    });
    table(
        "Preps",
        "What the door and frame makers must do or know; alike preps once. Heights are centre lines above the finished floor. The preps workbook has a row for each opening, and drawings.",
        &[40, 12, 9, 36, 12, 84, 20],
        &["Doors", "For the", "Leaf", "Prep", "Above floor", "Detail", "Rule"],
        rows.collect(),
    )
}

pub(super) fn rows_page(quote: &Quote) -> Page {
    let rows = quote
        .job
        .schedule
        .ledger
        .iter()
        .map(|row| {
            vec![
                source_link(quote, &row.place, row.place.file.to_string()),
                Cell::text(row.place.sheet.to_string(), CELL),
                Cell::number(Decimal::from(row.place.row), COUNT),
                Cell::text(row.role.word(), CELL),
                Cell::text(row.text.clone(), WORDS),
            ]
        })
        .collect();
    table(
        "Rows read",
        "Every non-empty row of every sheet, and what it was used as.",
        &[24, 22, 8, 14, 110],
        &["File", "Sheet", "Row", "Used as", "Text"],
        rows,
    )
}

/// A place as short as it stays clear, leading to its row: the sheet alone where there is one file.
pub(super) fn where_it_is(quote: &Quote, place: &Place) -> Cell {
    let is_only = quote.job.schedule.inputs.len() < 2 && !place.sheet.is_empty();
    let of = match (is_only, place.sheet.is_empty()) {
        (true, _) => place.sheet.to_string(),
        (false, true) => place.file.to_string(),
        (false, false) => format!("{}, {}", place.file, place.sheet),
    };
    source_link(quote, place, format!("{of}, row {}", place.row))
}

/// A link to a row of an input.
fn source_link(quote: &Quote, place: &Place, words: String) -> Cell {
    let is_workbook =
        !place.sheet.is_empty() && place.file.rsplit('.').next().is_some_and(|end| end.starts_with("xls"));
    let way = quote.ways.get(&*place.file).map_or(&*place.file, String::as_str);
    if !is_workbook || way.contains(['#', '%', '\\']) {
        return Cell::text(words, QUIET);
    }
    let to = format!("file:///{way}#{}!A{}", super::page::quoted(&place.sheet), place.row);
    Cell { content: Content::Link { to: to.into(), text: words.into() }, style: super::style::LINK, ..Cell::default() }
}
