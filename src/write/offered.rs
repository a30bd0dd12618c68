//! The goods that may be picked instead of the one priced: for each line the others that meet it and the equals of what
//! it names, on a page of their own from which the cells of the priced goods take their lists.

use std::collections::BTreeMap;

use super::goods::at;
use super::page::{Answers, Area, Cell, Choice, Page, fixed_column, quoted};
use super::style::{CELL, FINE, QUIET, WORDS};
use super::tables::table;
use crate::complete::typed::label;
use crate::count::takeoff::From;
use crate::finding::LineId;
use crate::money::Money;
use crate::price::quote::Quote;

/// Name of the page.
pub const NAME: &str = "Goods offered";
/// Goods listed for one line; a longer list is read by nobody.
const MOST: usize = 25;

/// Label, words, net cost of one.
type Offer = (String, String, Option<Money>);

/// The page; the cells of `goods` get their lists. `rows` says where each item stands.
pub fn page(quote: &Quote, goods: &mut Page, rows: &[usize]) -> Page {
    let mut lists: BTreeMap<Vec<String>, (usize, Vec<Offer>)> = BTreeMap::new();
    let mut order: Vec<Vec<String>> = Vec::new();
    let mut cells: Vec<(usize, Vec<String>)> = Vec::new();
    let mut done = std::collections::BTreeSet::new();
    for (item, row) in quote.items.iter().zip(rows) {
        let From::Line(id) = item.item.from else { continue };
        if !done.insert(id) {
            continue;
        }
        let offers = of_line(quote, id);
        if offers.len() < 2 {
            continue;
        }
        let key: Vec<String> = offers.iter().map(|(label, ..)| label.clone()).collect();
        if !lists.contains_key(&key) {
            lists.insert(key.clone(), (0, offers));
            order.push(key.clone());
        }
        cells.push((*row, key));
    }
    let mut table_rows = Vec::new();
    for (number, key) in order.iter().enumerate() {
        let Some((first, offers)) = lists.get_mut(key) else { continue };
        *first = table_rows.len();
        for (label, words, net) in offers.iter() {
            table_rows.push(vec![
                Cell::text(format!("list {}", number + 1), QUIET),
                Cell::text(label.as_str(), CELL),
                Cell::text(words.as_str(), WORDS),
                net.map_or(Cell::blank(CELL), |net| Cell::money(net, FINE)),
            ]);
        }
    }
    let many = table_rows.len();
    let page = table(
        NAME,
        "The goods that the column Your good of the priced goods offers: those that meet a line, and equals of what it names.",
        &[10, 40, 70, 13],
        &["List", "Good", "What it is", "Net each"],
        table_rows,
    );
    let top = page.rows.len() - many;
    for (row, key) in cells {
        let Some((first, offers)) = lists.get(&key) else { continue };
        let from = format!("{}!{}", quoted(NAME), fixed_column(1, top + first, top + first + offers.len() - 1));
        goods.choices.push(Choice {
            area: Area::column(at::OWN_GOOD, row, row),
            from: Answers::Cells(from),
            hint: (
                "Your good".to_owned(),
                "Another good that meets the line; the page Goods offered says more".to_owned(),
            ),
            only: true,
        });
    }
    page
}

fn of_line(quote: &Quote, id: LineId) -> Vec<Offer> {
    let Some(spec) = quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line)) else { return Vec::new() };
    if spec.excluded.is_some() {
        return Vec::new();
    }
    let mut offers: Vec<Offer> = spec
        .selection
        .candidates
        .iter()
        .map(|candidate| {
            let good = &candidate.good;
            (label(good), good.description.clone(), (!good.list.call_for_price).then(|| good.list.net()))
        })
        .collect();
    // They stand in the order of the lines.
    let first = quote.equals.partition_point(|equals| equals.line < id);
    for equals in quote.equals[first..].iter().take_while(|equals| equals.line == id) {
        for offer in &equals.offers {
            let label = format!("{} {}", offer.maker, offer.designation);
            if !offers.iter().any(|(other, ..)| *other == label) {
                offers.push((label, format!("{} (an equal, to be approved)", offer.description), None));
            }
        }
    }
    offers.truncate(MOST);
    offers
}
