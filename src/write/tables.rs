//! The pages of the estimate that are plain tables: questions, assumptions, additions, openings, products, preps, rows.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::finding::{Finding, Kind};
use crate::money::Money;
use crate::price::quote::Quote;
use crate::price::views;

use super::page::{Answers, Area, Cell, Choice, Page};
use super::style::{CELL, COUNT, DIFFERENCE, ENTRY, HEADING, MONEY, QUIET, SUBTITLE, TITLE, WORDS};

/// A page that is one table.
pub(super) fn table(name: &str, intro: &str, widths: &[u32], headings: &[&str], rows: Vec<Vec<Cell>>) -> Page {
    let mut page = Page::new(name, widths);
    page.push_high(26, vec![Cell::text(name, TITLE)]);
    page.push(vec![Cell::text(intro, SUBTITLE)]);
    page.skip();
    let top = page.push(headings.iter().map(|heading| Cell::text(*heading, HEADING)).collect());
    let many = rows.len();
    for row in rows {
        page.push_fitting(row);
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

/// The spread of a finding's answers, for the order of the page.
fn stake(finding: &Finding) -> Decimal {
    finding
        .answers
        .iter()
        .filter_map(|answer| answer.effect)
        .map(|money| money.decimal().abs())
        .max()
        .unwrap_or_default()
}

pub(super) fn questions_page(quote: &Quote) -> Page {
    let mut questions: Vec<&Finding> =
        quote.job.findings.iter().filter(|finding| finding.kind == Kind::Question).collect();
    questions.sort_by_key(|finding| (finding.weight, std::cmp::Reverse(stake(finding)), finding.id.clone()));
    let rows = questions
        .iter()
        .map(|finding| {
            let answers: Vec<String> = finding
                .answers
                .iter()
                .map(|answer| match answer.effect {
                    Some(effect) if !effect.is_zero() => {
                        format!("{} ({}{effect})", answer.value, if effect > Money::ZERO { "+" } else { "" })
                    }
                    _ => answer.value.clone(),
                })
                .collect();
            vec![
                Cell::text(finding.id.clone(), QUIET),
                Cell::text(finding.set.clone().unwrap_or_default(), CELL),
                Cell::text(finding.openings.join(", "), WORDS),
                Cell::text(finding.excerpt.clone(), WORDS),
                Cell::text(finding.says.clone(), WORDS),
                Cell::text(finding.priced_as.clone(), WORDS),
                Cell::text(answers.join("\n"), WORDS),
                Cell::number(stake(finding), DIFFERENCE),
                Cell::blank(ENTRY),
                Cell::text(finding.place.as_ref().map(ToString::to_string).unwrap_or_default(), QUIET),
                Cell::text(finding.source.to_string(), QUIET),
            ]
        })
        .collect();
    let mut page = table(
        "Questions",
        "Life safety first, then by the money at stake. The boxed column takes the architect's answer, for your own record.",
        &[24, 7, 20, 34, 50, 30, 34, 12, 24, 26, 22],
        &[
            "Question",
            "Set",
            "Doors",
            "As written",
            "What is unclear",
            "Priced meanwhile as",
            "Answers (difference)",
            "At stake",
            "Your answer",
            "Where",
            "Rests on",
        ],
        rows,
    );
    for (index, finding) in questions.iter().enumerate() {
        let words: Vec<String> = finding.answers.iter().map(|answer| answer.value.replace(',', ";")).collect();
        let length: usize = words.iter().map(|word| word.chars().count() + 1).sum();
        if !words.is_empty() && length < 250 && finding.answers.iter().all(|answer| !answer.value.contains(',')) {
            page.choices.push(Choice {
                area: Area { top: 4 + index, left: 8, bottom: 4 + index, right: 8 },
                from: Answers::Words(words),
                hint: ("Answer".to_owned(), "Pick one, or type your own".to_owned()),
                only: false,
            });
        }
    }
    page
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

pub(super) fn openings_page(quote: &Quote) -> Page {
    let sums: BTreeMap<String, Money> = views::by_opening(quote).into_iter().map(|row| (row.name, row.sum)).collect();
    let length = |length: Option<crate::trade::inches::Inches>| {
        length.map(crate::trade::inches::Inches::in_feet).unwrap_or_default()
    };
    let rows = quote
        .job
        .schedule
        .openings
        .iter()
        .map(|opening| {
            vec![
                Cell::text(opening.number.clone(), CELL),
                Cell::text(opening.room.clone(), WORDS),
                Cell::number(Decimal::from(opening.leaves), COUNT),
                Cell::text(length(opening.width), CELL),
                Cell::text(length(opening.height), CELL),
                Cell::text(opening.door_material.clone().unwrap_or_default(), CELL),
                Cell::text(opening.frame_material.clone().unwrap_or_default(), CELL),
                Cell::text(opening.rating.text.clone(), CELL),
                Cell::text(opening.hand.clone().unwrap_or_default(), CELL),
                Cell::text(opening.set.clone().unwrap_or_default(), CELL),
                Cell::money(sums.get(&opening.number).copied().unwrap_or_default(), MONEY),
                Cell::text(opening.excluded.clone().unwrap_or_else(|| opening.remarks.clone()), WORDS),
                Cell::text(opening.place.to_string(), QUIET),
            ]
        })
        .collect();
    table(
        "Openings",
        "Every door as read, with the sum of its hardware. Doors that bear one number share one sum.",
        &[10, 26, 7, 10, 10, 14, 14, 12, 8, 8, 13, 44, 30],
        &[
            "Door", "Room", "Leaves", "Width", "Height", "Door", "Frame", "Rating", "Hand", "Set", "Hardware",
            "Remarks", "Where",
        ],
        rows,
    )
}

pub(super) fn products_page(quote: &Quote) -> Page {
    let rows = views::by_item(quote)
        .into_iter()
        .map(|row| {
            vec![
                Cell::text(row.name, CELL),
                Cell::text(row.words, WORDS),
                row.count.map_or_else(Cell::none, |count| Cell::number(count, COUNT)),
                row.unit_price.map_or_else(Cell::none, |price| Cell::money(price, MONEY)),
                Cell::money(row.sum, MONEY),
            ]
        })
        .collect();
    table(
        "By product",
        "The same goods, each once.",
        &[30, 70, 11, 13, 14],
        &["Designation", "Good", "Quantity", "Sell", "Sum"],
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
                Cell::text(row.place.file.to_string(), QUIET),
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
