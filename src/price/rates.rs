//! Which margin or markup a good takes. The nearest rule of the job terms wins: the single row, the product line, the
//! category, the maker, the rate for everything else.

use rust_decimal::Decimal;

use crate::catalog::good::Good;
use crate::place::Place;
use crate::terms::{Method, Percent, PriceTerms};
use crate::trade::category::Category;

/// A rate and whose it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rate {
    pub(super) percent: Percent,
    pub(super) words: String,
    pub(super) is_margin: bool,
}

impl Rate {
    /// Net made into sell, exact. `None`: no such margin, or too large.
    pub(super) fn sell(&self, net: Decimal) -> Option<Decimal> {
        let rate = self.percent.fraction();
        if !self.is_margin {
            return net.checked_mul(Decimal::ONE.checked_add(rate)?);
        }
        let part = Decimal::ONE.checked_sub(rate)?;
        if part <= Decimal::ZERO { None } else { net.checked_div(part) }
    }
}

/// The rate of a good at a row.
pub(super) fn of(terms: &PriceTerms, category: Option<Category>, good: Option<&Good>, row: Option<&Place>) -> Rate {
    let row = row.map(|place| format!("{}!{}", place.sheet, place.row));
    let by = |rates: &std::collections::BTreeMap<String, Percent>, name: Option<&str>| {
        let name = name?;
        let rate = rates
            .get(name)
            .or_else(|| rates.iter().find(|(other, _)| other.eq_ignore_ascii_case(name)).map(|(_, rate)| rate))?;
        Some((*rate, name.to_owned()))
    };
    let named = by(&terms.by_row, row.as_deref())
        .or_else(|| by(&terms.by_line, good.map(|good| good.line.as_ref())))
        .or_else(|| by(&terms.by_category, category.map(Category::name)))
        .or_else(|| by(&terms.by_maker, good.map(|good| good.maker.as_ref())));
    let (percent, whose) = named.unwrap_or((terms.rate, "every line".to_owned()));
    let is_margin = terms.method == Method::Margin;
    let method = if is_margin { "margin" } else { "markup" };
    let percent = terms.typed.get(&format!("{method} ({whose})")).copied().unwrap_or(percent);
    let words = format!("{method} {percent} ({whose})");
    Rate { percent, words, is_margin }
}
