//! The pages of the estimate that are plain tables: assumptions and notes, additions, preps, rows read.

use rust_decimal::Decimal;

use crate::finding::Finding;
use crate::price::quote::Quote;

use super::page::{Area, Cell, Page};
use super::style::{CELL, COUNT, HEADING, QUIET, SUBTITLE, TITLE, WORDS};

/// A page that is one table.
pub(super) fn table(name: &str, intro: &str, widths: &[u32], headings: &[&str], rows: Vec<Vec<Cell>>) -> Page {
    let mut page = Page::new(name, widths);
    page.push(vec![Cell::text(name, TITLE)]);
    page.push(vec![Cell::text(intro, SUBTITLE)]);
    page.skip();
    let top = page.push(headings.iter().map(|heading| Cell::text(*heading, HEADING)).collect());
    let many = rows.len();
    for row in rows {
        page.push(row);
    }
    page.freeze = (top + 1, 1);
    page.filter = Some(Area { top, left: 0, bottom: top + many, right: headings.len() - 1 });
    landscape(&mut page, top, headings.len() - 1);
    page
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
                Cell::text(finding.says.clone(), WORDS),
                Cell::text(finding.help.clone(), QUIET),
                Cell::text(finding.place.as_ref().map(ToString::to_string).unwrap_or_default(), QUIET),
                Cell::text(finding.source.to_string(), QUIET),
            ]
        })
        .collect();
    table(
        name,
        "What was taken for granted, and what is good to know. `pintle rules CODE` shows on what each rests.",
        &[12, 24, 7, 24, 60, 40, 28, 24],
        &["Grade", "Code", "Set", "Doors", "What", "What to do", "Where", "Rests on"],
        rows,
    )
}

pub(super) fn added_page(quote: &Quote) -> Page {
    let rows = quote
        .job
        .added
        .iter()
        .map(|added| {
            let doors: Vec<&str> = added
                .shares
                .iter()
                .filter_map(|(opening, _)| quote.job.schedule.openings.get(*opening))
                .map(|opening| opening.number.as_str())
                .collect();
            let quantity: Decimal = added.shares.iter().map(|(_, share)| *share).sum();
            let attributes: Vec<String> =
                added.attributes.iter().map(|(name, value)| format!("{name} {value}")).collect();
            vec![
                Cell::text(added.category.name().replace('-', " "), CELL),
                Cell::text(attributes.join(", "), WORDS),
                Cell::number(quantity, COUNT),
                Cell::text(added.unit.word(), CELL),
                Cell::text(doors.join(", "), WORDS),
                Cell::text(added.why.clone(), WORDS),
                Cell::text(added.rule, QUIET),
                Cell::text(
                    if added.ours { "us, priced".to_owned() } else { added.by.clone().unwrap_or_default() },
                    CELL,
                ),
            ]
        })
        .collect();
    table(
        "Added",
        "What the schedule implies and does not say.",
        &[20, 44, 10, 8, 30, 60, 24, 18],
        &["Good", "Attributes", "Quantity", "Unit", "Doors", "Why", "Rule", "Supplied by"],
        rows,
    )
}

pub(super) fn preps_page(quote: &Quote) -> Page {
    let rows = quote
        .job
        .preps
        .iter()
        .map(|prep| {
            vec![
                Cell::text(
                    quote
                        .job
                        .schedule
                        .openings
                        .get(prep.opening)
                        .map(|opening| opening.number.clone())
                        .unwrap_or_default(),
                    CELL,
                ),
                Cell::text(prep.trade, CELL),
                Cell::text(prep.leaf, CELL),
                Cell::text(prep.what.clone(), WORDS),
                Cell::text(prep.detail.clone(), WORDS),
                Cell::text(
                    prep.above_floor.map(|height| format!("{}\"", height.in_fractions())).unwrap_or_default(),
                    CELL,
                ),
                Cell::text(prep.rule, QUIET),
            ]
        })
        .collect();
    table(
        "Preps",
        "What the door and frame makers must do or know. Heights are centre lines above the finished floor.",
        &[10, 12, 10, 30, 60, 14, 24],
        &["Door", "Trade", "Leaf", "Prep", "Detail", "Above floor", "Rule"],
        rows,
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
                source_link(&row.place),
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

/// A link to a row of an input beside this workbook.
fn source_link(place: &crate::place::Place) -> Cell {
    let is_workbook =
        !place.sheet.is_empty() && place.file.rsplit('.').next().is_some_and(|end| end.starts_with("xls"));
    if !is_workbook || place.file.contains(['#', '%', '\\']) {
        return Cell::text(place.file.to_string(), QUIET);
    }
    let to = format!("file:///{}#{}!A{}", place.file, super::page::quoted(&place.sheet), place.row);
    Cell {
        content: super::page::Content::Link { to, text: place.file.to_string() },
        style: super::style::LINK,
        ..Cell::default()
    }
}
