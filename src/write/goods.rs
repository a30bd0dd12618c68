//! The estimate's page of priced goods: a row for each item under the heading of its set, with live formulas from
//! quantity and list price to the extension, cells to type another quantity or price in, and the workings beside them.

use std::collections::BTreeMap;

use super::goods_rows::{has_notes, item_cells, surcharge, taxed, yes};
use super::offered;
use super::page::{Answers, Area, Cell, Choice, Mark, Page, address, fixed_column, in_quotes, quoted};
use super::rates::Rates;
use super::style::{BAND, BAND_MONEY, HEADING, HEADING_RIGHT, MONEY, SUBTITLE, TITLE};
use super::tables::landscape;
use super::typed_cells::TypedCells;
use crate::complete::told::Scope;
use crate::money::Money;
use crate::price::quote::{PricedItem, Quote};
use crate::price::views;

/// Text in which the signs that a search takes for any letters stand for themselves.
fn literal(text: &str) -> String {
    text.replace('~', "~~").replace('*', "~*").replace('?', "~?")
}

/// Name of the page.
pub const NAME: &str = "Priced goods";

/// Columns, as indexes.
pub mod at {
    #![allow(missing_docs, reason = "the headings say what they are")]
    pub const SET: usize = 1;
    pub const EACH: usize = 6;
    pub const PLACES: usize = 7;
    pub const QUANTITY: usize = 8;
    pub const UNIT: usize = 9;
    pub const LIST: usize = 10;
    pub const FACTOR: usize = 11;
    pub const NET_ADDED: usize = 12;
    pub const NET: usize = 13;
    pub const RATE: usize = 14;
    pub const SELL: usize = 15;
    pub const EXTENDED: usize = 16;
    pub const SET_SUM: usize = 17;
    pub const COST: usize = 18;
    pub const OWN_QUANTITY: usize = 19;
    pub const OWN_PRICE: usize = 20;
    pub const OWN_GOOD: usize = 21;
    pub const LEAVE_OUT: usize = 22;
    pub const APPLIES: usize = 23;
    pub const BY: usize = 24;
    pub const ON: usize = 25;
    pub const CHECK: usize = 26;
    pub const USED: usize = 28;
    pub const PRICE: usize = 29;
    pub const TAXED: usize = 30;
    pub const PRODUCT: usize = 31;
    pub const CATEGORY: usize = 32;
    pub const MAKER: usize = 33;
    pub const SURCHARGES: usize = 34;
    pub const WEIGHT: usize = 35;
    pub const LINE: usize = 36;
    pub const NTH: usize = 37;
    pub const WAS_EACH: usize = 38;
    pub const WAS_QUANTITY: usize = 39;
    pub const WAS_GOOD: usize = 40;
    pub const WAS_LIST: usize = 41;
    pub const WAS_RATE: usize = 42;
}

const WIDTHS: [u32; 43] = [
    6, 6, 6, 40, 46, 10, 7, 7, 9, 6, 10, 8, 9, 10, 7, 10, 11, 11, 11, 10, 10, 26, 8, 13, 12, 11, 18, 46, 9, 10, 7, 9,
    18, 16, 18, 8, 30, 6, 8, 9, 26, 10, 7,
];

/// Headings; those of cells that may be filled in, and of what tells their line, say where they stand to whoever reads
/// the page again.
pub const HEADINGS: [&str; 43] = [
    "Kind",
    "Set",
    "Row",
    "As written",
    "Good",
    "Status",
    "Each",
    "Places",
    "Quantity",
    "Unit",
    "List",
    "Factor",
    "Net adders",
    "Net",
    "Rate",
    "Sell",
    "Extension",
    "Set sum",
    "Cost",
    "Your quantity",
    "Your price",
    "Your good",
    "Leave out",
    "Applies to",
    "By",
    "On",
    "Check",
    "Working",
    "Quantity used",
    "Price used",
    "Taxed",
    "Product",
    "Category",
    "Maker",
    "Surcharges",
    "Pounds",
    "Line",
    "Line no.",
    "Each before",
    "Quantity before",
    "Good before",
    "List before",
    "Rate before",
];

/// The page, and where each item stands on it.
pub struct Goods {
    /// The page.
    pub page: Page,
    /// Row of each item of the quote, in their order.
    pub rows: Vec<usize>,
    /// Number of each product by maker and designation.
    pub products: BTreeMap<(String, String), usize>,
    /// The goods that may be picked instead.
    pub offered: Page,
    top: usize,
}

impl Goods {
    /// A whole column as formulas of other pages write it.
    pub fn column(&self, column: usize) -> String {
        let last = self.page.rows.len().max(self.top + 2) - 1;
        format!("{}!{}", quoted(NAME), fixed_column(column, self.top + 1, last))
    }

    /// One cell.
    pub fn cell(row: usize, column: usize) -> String {
        format!("{}!{}", quoted(NAME), address(row, column))
    }

    /// The page of a quote.
    pub fn of(quote: &Quote, rates: &Rates) -> Goods {
        let mut page = Page::new(NAME, &WIDTHS);
        page.push(vec![Cell::text("Priced goods by set", TITLE)]);
        let notes = if has_notes(quote) {
            "A note on the words says how they were read."
        } else {
            "How the words of a row were read: pintle explain FILE --row ROW."
        };
        let boxed = "Boxed cells may be changed; every page follows, and the next run takes them up, as the first page says. Quantity = each x places. Net = list x factor + net adders. Sell is made from net by the rate on the first page.";
        page.push(vec![Cell::text(format!("{boxed} {notes}"), SUBTITLE)]);
        page.skip();
        let heading = |(index, words): (usize, &&str)| {
            let right = (at::EACH..=at::COST).contains(&index) && index != at::QUANTITY + 1;
            Cell::text(*words, if right { HEADING_RIGHT } else { HEADING })
        };
        let top = page.push(HEADINGS.iter().enumerate().map(heading).collect());
        let products = products(quote);
        let offered = Page::default();
        let mut goods = Goods { page, rows: vec![0; quote.items.len()], products, offered, top };
        let typed = TypedCells::of(quote);
        goods.fill(quote, rates, &typed);
        goods.dress();
        goods.offered = offered::page(quote, &mut goods.page, &goods.rows);
        goods
    }

    fn fill(&mut self, quote: &Quote, rates: &Rates, typed: &TypedCells) {
        let mut by_set: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut rest = Vec::new();
        for (index, item) in quote.items.iter().enumerate() {
            match views::set_of(item, quote).filter(|set| *set < quote.job.sets.len()) {
                Some(set) => by_set.entry(set).or_default().push(index),
                None => rest.push(index),
            }
        }
        for (index, set) in quote.job.sets.iter().enumerate() {
            let words =
                if set.title.is_empty() { format!("Set {}", set.id) } else { format!("Set {}: {}", set.id, set.title) };
            self.group((quote, rates, typed), (&set.id, &words), by_set.get(&index).map_or(&[], Vec::as_slice));
        }
        if !rest.is_empty() {
            self.group((quote, rates, typed), ("", "For the whole job"), &rest);
        }
        self.surcharges(quote);
    }

    /// Surcharges with lines of their own follow the cost of the goods they fall on; those stand above them all.
    fn surcharges(&mut self, quote: &Quote) {
        let mine = quote.items.iter().zip(self.rows.clone()).filter_map(|(item, row)| {
            let (percent, label) = surcharge(quote, item)?;
            Some((row, percent, label, taxed(quote, item), item.working.as_ref()?.net_adders))
        });
        let mine: Vec<_> = mine.collect();
        let Some(last) = mine.iter().map(|(row, ..)| *row).min().map(|row| row - 1) else { return };
        let column = |column: usize| fixed_column(column, self.top + 1, last);
        let formulas: Vec<_> = mine
            .into_iter()
            .map(|(row, percent, label, taxed, sum)| {
                let formula = format!(
                    "=SUMIFS({},{},{},{},\"{}\")*{percent}/100",
                    column(at::COST),
                    column(at::SURCHARGES),
                    in_quotes(&format!("*{}*", literal(&label))),
                    column(at::TAXED),
                    yes(taxed)
                );
                (row, Cell::formula(formula, sum.decimal(), MONEY))
            })
            .collect();
        for (row, cell) in formulas {
            if let Some(place) = self.page.rows[row].cells.get_mut(at::NET_ADDED) {
                *place = cell;
            }
        }
    }

    /// A heading row with the sum of its items, then the items.
    fn group(
        &mut self,
        (quote, rates, typed): (&Quote, &Rates, &TypedCells),
        (id, words): (&str, &str),
        items: &[usize],
    ) {
        let head = self.page.next();
        let sum: Money = items.iter().filter_map(|index| quote.items.get(*index)).map(PricedItem::sum).sum();
        let mut cells = vec![Cell::text("set", BAND), Cell::text(id, BAND), Cell::blank(BAND), Cell::text(words, BAND)];
        cells.extend((4..at::SET_SUM).map(|_| Cell::blank(BAND)));
        cells.push(if items.is_empty() {
            Cell::money(Money::ZERO, BAND_MONEY)
        } else {
            let (first, last) = (address(head + 1, at::EXTENDED), address(head + items.len(), at::EXTENDED));
            Cell::formula(format!("=SUM({first}:{last})"), sum.decimal(), BAND_MONEY)
        });
        cells.push(Cell::blank(BAND));
        self.page.push(cells);
        for index in items {
            let row = self.page.next();
            let product = quote.items[*index].item.candidate.as_ref().and_then(|candidate| {
                self.products.get(&(candidate.good.maker.to_string(), candidate.good.designation.clone())).copied()
            });
            let typed = typed.of_item(quote, *index, &self.rows);
            let cells = item_cells(quote, rates, *index, (row, id), product, &typed);
            self.rows[*index] = self.page.push(cells);
            self.page.rows[row].folds = true;
        }
    }

    fn dress(&mut self) {
        let last = self.page.rows.len() - 1;
        self.page.freeze = (self.top + 1, 4);
        self.page.filter = Some(Area { top: self.top, left: 0, bottom: last, right: HEADINGS.len() - 1 });
        self.page.folded = Some((at::USED, at::WAS_RATE));
        landscape(&mut self.page, self.top, at::COST);
        if last > self.top {
            self.page.choices.push(Choice {
                area: Area::column(at::LEAVE_OUT, self.top + 1, last),
                from: Answers::Words(vec!["x".into()]),
                hint: (
                    "Leave out".into(),
                    "x takes the row out of every sum, and the next run leaves it out; a line with several goods has a row for each, and x on all of them leaves the whole line out".into(),
                ),
                only: false,
            });
            self.page.choices.push(Choice {
                area: Area::column(at::APPLIES, self.top + 1, last),
                from: Answers::Words(Scope::ALL.iter().map(|scope| scope.word().to_owned()).collect()),
                hint: (
                    "Applies to".into(),
                    "This line, every line with the same wording, or (price and good) every line of the job with the same good".into(),
                ),
                only: false,
            });
            let check = format!("=${}<>\"\"", address(self.top + 1, at::CHECK));
            self.page.marks.push(Mark { area: Area::column(at::CHECK, self.top + 1, last), when: check });
        }
    }
}

/// Numbers of the products in order of maker and designation.
fn products(quote: &Quote) -> BTreeMap<(String, String), usize> {
    let mut products: BTreeMap<(String, String), usize> = BTreeMap::new();
    for item in quote.items.iter().filter(|item| item.working.is_some()) {
        if let Some(candidate) = &item.item.candidate {
            products.insert((candidate.good.maker.to_string(), candidate.good.designation.clone()), 0);
        }
    }
    for (index, number) in products.values_mut().enumerate() {
        *number = index + 1;
    }
    products
}

/// `P12`.
pub fn product_key(number: usize) -> String {
    format!("P{number}")
}
