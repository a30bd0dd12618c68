//! The cells of the priced goods that may be filled in, shown with what was typed before, and the cells that name their
//! line so that whoever reads the page again finds it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::goods::at;
use super::page::{Cell, address};
use super::style::{CELL, COUNT, ENTRY_COUNT, ENTRY_MONEY, ENTRY_TEXT, QUIET};
use crate::complete::told::{LineName, Scope, Typed, What, names_good};
use crate::complete::typed::left_out_words;
use crate::count::takeoff::From;
use crate::price::own::{good_of, name_of, stands_for};
use crate::price::quote::{PricedItem, Quote};

/// How a cell says that it repeats what was typed on another row.
pub const FROM_ROW: &str = "as row ";

/// What was typed over in a quote, and on which row each shows first.
pub struct TypedCells {
    /// Item on which each typed figure is shown as typed; the others repeat it.
    owners: BTreeMap<usize, usize>,
}

impl TypedCells {
    /// What was typed over in a quote.
    pub fn of(quote: &Quote) -> Self {
        let mut owners = BTreeMap::new();
        for (index, one) in quote.answers.typed.iter().enumerate() {
            let mut about = quote.items.iter().enumerate().filter(|(_, item)| shows(quote, item, one));
            let first = about.clone().find(|(_, item)| name_of(&quote.job, item.item.from) == one.line);
            if let Some((item, _)) = first.or_else(|| about.next()) {
                owners.insert(index, item);
            }
        }
        Self { owners }
    }

    /// Indexes of what is shown on no row: its line is gone, or now means another good.
    pub fn hidden(&self, quote: &Quote) -> Vec<usize> {
        let typed = quote.answers.typed.iter().enumerate().filter(|(_, one)| one.what != What::Rate);
        typed.map(|(index, _)| index).filter(|index| !self.owners.contains_key(index)).collect()
    }

    /// What was typed over for one item; `rows` says where the items before it stand.
    pub fn of_item<'a>(&self, quote: &'a Quote, item: usize, rows: &[usize]) -> OfItem<'a> {
        let mut cells = Vec::new();
        for (index, one) in quote.answers.typed.iter().enumerate() {
            let Some(owner) = self.owners.get(&index) else { continue };
            let Some(priced) = quote.items.get(item).filter(|priced| shows(quote, priced, one)) else { continue };
            let from = (*owner != item).then(|| rows.get(*owner).copied()).flatten().filter(|row| *row > 0);
            let is_same_line = quote.items.get(*owner).is_some_and(|other| other.item.from == priced.item.from);
            // A line with several goods shows what was typed for the whole line on its first row only.
            if from.is_some() && is_same_line && matches!(one.what, What::Each | What::Good) {
                continue;
            }
            cells.push((one, from));
        }
        let name = quote.items.get(item).map(|item| name_of(&quote.job, item.item.from)).unwrap_or_default();
        OfItem { name, cells }
    }
}

/// Whether an item's row shows a typed figure.
fn shows(quote: &Quote, item: &PricedItem, one: &Typed) -> bool {
    let good = good_of(&item.item);
    match one.what {
        What::Rate => false,
        What::Quantity => {
            item.over.quantity.is_some_and(|count| one.was.parse() == Ok(count)) && about(quote, item, one, &good)
        }
        What::LeaveOut if one.leaves_row_out() => item.over.left_out.is_some() && about(quote, item, one, &good),
        What::Price => item.over.is_priced && about(quote, item, one, &good),
        // The line may mean another good by now: that is what was picked.
        What::Good if one.scope == Scope::Job => names_good(&one.value, &good),
        What::Good | What::LeaveOut | What::Each => one.is_about(&name_of(&quote.job, item.item.from), ""),
    }
}

fn about(quote: &Quote, item: &PricedItem, one: &Typed, good: &str) -> bool {
    one.is_about(&name_of(&quote.job, item.item.from), good) && stands_for(one, good)
}

/// Whether the user left out what an item comes from.
pub fn is_left_out(quote: &Quote, item: &PricedItem) -> bool {
    let left_out = quote.answers.typed.iter().filter(|one| one.what == What::LeaveOut);
    left_out.filter(|one| shows(quote, item, one)).any(|one| {
        if one.leaves_row_out() {
            return true;
        }
        let words = left_out_words(one);
        match item.item.from {
            From::Line(id) => {
                let spec = quote.job.sets.get(id.set).and_then(|set| set.specs.get(id.line));
                spec.is_some_and(|spec| spec.excluded.as_ref() == Some(&words))
            }
            From::Added(index) => quote.job.added.get(index).is_some_and(|added| added.by.as_ref() == Some(&words)),
        }
    })
}

/// The good that the user picked for what an item comes from.
pub fn picked_good<'a>(quote: &'a Quote, item: &PricedItem) -> Option<&'a str> {
    let picks = quote.answers.typed.iter().rev().filter(|one| one.what == What::Good);
    picks.filter(|one| shows(quote, item, one)).map(|one| one.value.as_str()).next()
}

/// What was typed over for one item.
pub struct OfItem<'a> {
    /// The name of its line or addition.
    name: LineName,
    /// Each typed figure, and the row that it is repeated from.
    cells: Vec<(&'a Typed, Option<usize>)>,
}

impl OfItem<'_> {
    fn get(&self, what: What) -> Option<(&Typed, Option<usize>)> {
        self.cells.iter().rev().find(|(one, _)| one.what == what).copied()
    }

    /// Your quantity, your price, your good, leave out, applies to, by, on.
    pub fn cells(&self, quote: &Quote, item: &PricedItem, is_open: bool) -> Vec<Cell> {
        let is_out = is_left_out(quote, item);
        let look = |style| if is_open || is_out { style } else { CELL };
        let number = |what: What, column: usize, now: Option<Decimal>, style| match (self.get(what), now) {
            (Some((_, Some(from))), Some(now)) => {
                let there = address(from, column);
                Cell::formula(format!("=IF({there}=\"\",\"\",{there})"), now, look(style))
            }
            (Some((_, None)), Some(now)) => Cell::number(now, look(style)),
            _ => Cell::blank(look(style)),
        };
        let quantity = self.get(What::Quantity).and_then(|(one, _)| one.value.parse().ok());
        let price = item.working.as_ref().filter(|_| item.over.is_priced).map(|working| working.sell.decimal());
        let good = self.get(What::Good).map(|(one, _)| one.value.as_str()).unwrap_or_default();
        // The quantity for each stands in its own column; it has part in what is said beside.
        let told = self.cells.last();
        let (applies, by, on) = match told {
            Some((one, Some(from))) => (format!("{FROM_ROW}{}", from + 1), one.by.as_str(), one.on.as_str()),
            Some((one, None)) if one.scope != Scope::This => {
                (one.scope.word().to_owned(), one.by.as_str(), one.on.as_str())
            }
            Some((one, None)) => (String::new(), one.by.as_str(), one.on.as_str()),
            None => (String::new(), "", ""),
        };
        let text = |words: &str| {
            if words.is_empty() { Cell::blank(look(ENTRY_TEXT)) } else { Cell::text(words, look(ENTRY_TEXT)) }
        };
        vec![
            number(What::Quantity, at::OWN_QUANTITY, quantity, ENTRY_COUNT),
            number(What::Price, at::OWN_PRICE, price, ENTRY_MONEY),
            text(good),
            text(if is_out { "x" } else { "" }),
            text(&applies),
            text(by),
            text(on),
        ]
    }

    /// The line's words and number among its like, and the figures before anything was typed.
    pub fn naming_cells(&self, item: &PricedItem, each: Decimal) -> Vec<Cell> {
        let was = |what: What, now: Decimal| {
            let was = self.get(what).and_then(|(one, _)| one.was.parse().ok());
            was.unwrap_or(now)
        };
        let mut good = good_of(&item.item);
        if let Some((one, _)) = self.get(What::Good) {
            good.clone_from(&one.good);
        }
        vec![
            Cell::text(self.name.words.as_str(), QUIET),
            Cell::number(Decimal::from(self.name.nth), COUNT),
            Cell::number(was(What::Each, each), COUNT),
            Cell::number(item.counted(), COUNT),
            Cell::text(good, QUIET),
        ]
    }
}
