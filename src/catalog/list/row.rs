//! Reads one row of a flat list when it is wanted, and makes the good of it.

use std::str::FromStr;

use rust_decimal::Decimal;

use crate::money::Money;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::inches::Inches;

use super::super::book::Book;
use super::super::finishes::base_of;
use super::super::good::{Good, ListPrice, Per};
use super::super::sheet::{cell, row_at};
use super::{Family, GoodsList, Row};

impl GoodsList {
    /// The cells of a row.
    pub(super) fn cells(&self, row: &Row) -> csv::StringRecord {
        row_at(&self.file.text, row.at as usize)
    }

    /// The number of a row.
    pub(in super::super) fn number(&self, row: &Row) -> String {
        cell(&self.cells(row), self.columns.number).to_owned()
    }

    /// The good of a row; `asked` gives the length of goods sold by the foot, and what the list is silent about.
    pub(super) fn good(
        &self,
        book: &Book,
        family: &Family,
        row: &Row,
        asked: &Attributes,
        class: Option<&str>,
    ) -> Good {
        let cells = self.cells(row);
        let filled = |column: Option<usize>| Some(cell(&cells, column)).filter(|text| !text.is_empty());
        let number = |column: Option<usize>| filled(column).and_then(|text| u32::from_str(text).ok());
        let mut attributes = self.attributes(row);
        let finish = attributes.get(&names::FINISH).and_then(Value::as_text).and_then(base_of);
        if let (Some(base), false) = (finish, attributes.contains_key(&names::BASE)) {
            attributes.insert(names::BASE, Value::text(base));
        }
        let cut = (row.per == Per::Foot).then(|| asked.get(&names::LENGTH).and_then(Value::as_length)).flatten();
        if let Some(length) = cut {
            attributes.insert(names::LENGTH, Value::Length(length));
        }
        let discount = self.discount(book, family, row, class);
        let length = cut.map(whole_feet);
        let designation = cell(&cells, self.columns.number).to_owned();
        Good {
            line: family.id.clone(),
            maker: family.maker.clone(),
            description: filled(self.columns.description).unwrap_or(&designation).to_owned(),
            list: ListPrice {
                base: Money::new(row.price.unwrap_or_default()),
                base_entry: self.entry(row),
                made_of: Vec::new(),
                adders: Vec::new(),
                per: row.per,
                chain: discount.map_or(Vec::new(), |discount| discount.chain.clone()),
                chain_entry: discount.map_or_else(|| self.entry(row), |discount| discount.entry.clone()),
                length,
                pieces: length.map(|length| (length, 1)).into_iter().collect(),
                surcharges: book.surcharges(&family.maker, family.category, &attributes),
                pack: number(self.columns.pack),
                returnable: !filled(self.columns.returnable).is_some_and(|text| text.eq_ignore_ascii_case("no")),
                weight: filled(self.columns.weight).and_then(|text| Decimal::from_str_exact(text).ok()).map(|weight| {
                    match length {
                        Some(length) => weight.saturating_mul(length.decimal()) / Decimal::from(12),
                        None => weight,
                    }
                }),
                minimum: number(self.columns.minimum),
                call_for_price: row.price.is_none(),
                notes: Vec::new(),
            },
            designation,
            attributes,
            parts: Vec::new(),
        }
    }
}

/// A length rounded up to whole feet: what is sold by the foot is sold in feet.
fn whole_feet(length: Inches) -> Inches {
    let feet = (length.decimal() / Decimal::from(12)).ceil();
    Inches::new(feet * Decimal::from(12))
}
