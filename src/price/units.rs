//! Unit prices of the job terms: what one of a good sells for, priced like the same good in a line. Never part of the total.

use super::desk::Desk;
use super::quote::Trouble;
use super::{rates, working};
use crate::catalog::good::Per;
use crate::money::Money;
use crate::terms::UnitPrice;
use crate::trade::attribute::{Attr, Attributes};
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// A unit price.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct UnitPriced {
    /// Words on the letter.
    pub name: String,
    /// Maker of the good.
    pub maker: String,
    /// Its designation.
    pub designation: String,
    /// Its words.
    pub description: String,
    /// What the price is for.
    pub unit: &'static str,
    /// Net cost of one.
    pub net: Option<Money>,
    /// Price of one. `None`: see `trouble`.
    pub price: Option<Money>,
    /// Why there is no price.
    pub trouble: String,
}

/// Prices the unit prices of the terms.
pub(super) fn price(desk: &Desk) -> Vec<UnitPriced> {
    desk.terms.unit_prices.iter().map(|asked| one(desk, asked)).collect()
}

fn one(desk: &Desk, asked: &UnitPrice) -> UnitPriced {
    let nothing = |trouble: String| UnitPriced { name: asked.name.clone(), trouble, ..UnitPriced::default() };
    let category: Category = match asked.category.parse() {
        Ok(category) => category,
        Err(why) => return nothing(why),
    };
    let attributes: Attributes = asked
        .set
        .iter()
        .map(|(name, text)| (Attr::new(name), crate::catalog::value_of(Attr::new(name), text)))
        .collect();
    let selection = desk.select(category, &attributes);
    let Some(candidate) = selection.candidates.first() else {
        let near = selection.near.first().map_or(String::new(), |(_, why)| format!("; nearest: {why}"));
        return nothing(format!("nothing in the catalog fits{near}"));
    };
    let good = &candidate.good;
    let unit = match (good.list.per, good.list.length) {
        (Per::Foot, None) => Unit::Foot,
        (Per::Set, _) => Unit::Set,
        (Per::Pair, _) => Unit::Pair,
        _ => Unit::Each,
    };
    let rate = rates::of(&desk.terms.price, Some(category), Some(good), None);
    let priced = UnitPriced {
        name: asked.name.clone(),
        maker: good.maker.to_string(),
        designation: good.designation.clone(),
        description: good.description.clone(),
        unit: unit.word(),
        ..UnitPriced::default()
    };
    match working::of_good(good, (unit, 1), &rate, &desk.terms.price) {
        Ok(working) => UnitPriced { net: Some(working.net), price: Some(working.sell), ..priced },
        Err(Trouble::CallForPrice) => UnitPriced { trouble: "the maker gives no list price".to_owned(), ..priced },
        Err(_) => UnitPriced { trouble: "its figures give no price that could be meant".to_owned(), ..priced },
    }
}
