//! The priced job: all that is written, shown or compared afterwards.

use rust_decimal::Decimal;

use crate::complete::spec::Completed;
use crate::count::takeoff::Item;
use crate::money::Money;
use crate::terms::Terms;

/// A priced job.
#[derive(Debug, Clone)]
pub struct Quote {
    /// The completed job; findings now carry the money of their answers.
    pub job: Completed,
    /// Terms used.
    pub terms: Terms,
    /// Catalog name, effective date (ISO), hash, currency.
    pub catalog: CatalogStamp,
    /// Date of the quote (ISO).
    pub date: String,
    /// Items with prices, in the order of the takeoff.
    pub items: Vec<PricedItem>,
    /// Sums.
    pub totals: Totals,
}

/// Which catalog priced it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CatalogStamp {
    /// Name.
    pub name: String,
    /// Effective date, ISO.
    pub effective: String,
    /// Hash of its files.
    pub sha256: String,
    /// ISO currency code.
    pub currency: String,
}

/// An item with its price. Without a price (excluded, unread, unpriced, by others) `working` is `None`.
#[derive(Debug, Clone)]
pub struct PricedItem {
    /// What was counted.
    pub item: Item,
    /// The price and how it came about.
    pub working: Option<Working>,
    /// Count × unit price, exact; zero without a price.
    pub extended: Money,
}

/// The working of a unit price. Every figure can be re-done with a pocket calculator.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// List price of the unit counted, adders at list included (exact).
    pub list: Money,
    /// Adders, in words and list or net money.
    pub adders: Vec<(String, Money)>,
    /// Discount chain in per cent.
    pub chain: Vec<Decimal>,
    /// Product of the chain: 50/10/5 is 0.4275.
    pub multiplier: Decimal,
    /// Net money added after the discount.
    pub net_adders: Money,
    /// Surcharges: name, per cent of net, money.
    pub surcharges: Vec<(String, Decimal, Money)>,
    /// Net cost of the unit, rounded half up to cents.
    pub net: Money,
    /// `margin 25%` or `markup 33%`, with whose rate it is.
    pub rate_words: String,
    /// The rate as a fraction.
    pub rate: Decimal,
    /// Whether the rate is a margin (else a markup).
    pub is_margin: bool,
    /// Sell price of the unit, rounded half up to cents.
    pub sell: Money,
}

/// Sums of a quote.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// Σ extended of lines and additions.
    pub goods: Money,
    /// Net cost of the same goods.
    pub cost: Money,
    /// Freight.
    pub freight: Money,
    /// Bond or fee.
    pub bond: Money,
    /// Allowances.
    pub allowances: Money,
    /// Tax.
    pub tax: Money,
    /// All of it.
    pub total: Money,
    /// If every open question goes the cheap way.
    pub exposure_low: Money,
    /// If every open question goes the dear way.
    pub exposure_high: Money,
}
