//! The priced job: all that is written, shown or compared afterwards.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::alternates::PricedAlternate;
use super::offers::Equals;
use super::units::UnitPriced;
use crate::catalog::good::{Adds, Portion};
use crate::complete::Answers;
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
    /// What the user told that went into it.
    pub answers: Answers,
    /// Items with prices, in the order of the takeoff.
    pub items: Vec<PricedItem>,
    /// What stands below the goods: rounding, freight, bond, allowances, tax, each with what it is reckoned on.
    pub charges: Vec<Charge>,
    /// Sums.
    pub totals: Totals,
    /// Alternates of the terms, priced apart.
    pub alternates: Vec<PricedAlternate>,
    /// Equals of lines that name a maker or a series.
    pub equals: Vec<Equals>,
    /// Unit prices of the terms; never part of the total.
    pub unit_prices: Vec<UnitPriced>,
    /// The command by which the quote came about, but for `--force`, with the answers that are filled into its estimate.
    pub taken_up_by: Option<String>,
    /// From the folder of the workbooks to each input, by the input's name; one beside the workbooks is not here.
    pub ways: BTreeMap<String, String>,
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
    /// Whether its prices are invented.
    pub invented: bool,
}

/// An item with its price. Without a price (excluded, unread, unpriced, by others) `working` is `None`.
#[derive(Debug, Clone)]
pub struct PricedItem {
    /// What was counted.
    pub item: Item,
    /// The price and how it came about.
    pub working: Option<Working>,
    /// Why there is a good and yet no price.
    pub trouble: Option<Trouble>,
    /// Count × unit price, exact; zero without a price.
    pub extended: Money,
    /// What makes `extended` whole cents, half up: nothing unless the count has decimals or extensions are rounded
    /// instead of units. Summed in a line of its own, `Totals::rounding`.
    pub rounding: Money,
    /// Count × net cost of the unit, exact; zero without a price.
    pub cost: Money,
    /// What the user typed over, as it was before.
    pub over: Over,
}

/// What was typed over for an item, and what it would have been.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Over {
    /// The count it would have had, where one was typed.
    pub quantity: Option<Decimal>,
    /// Whether a price was typed.
    pub is_priced: bool,
    /// For which openings it would have counted, where its row was left out and not the whole line.
    pub left_out: Option<Vec<usize>>,
    /// The working it would have had; none if it had no price.
    pub working: Option<Working>,
}

impl PricedItem {
    /// The count before anything was typed over.
    pub fn counted(&self) -> Decimal {
        self.over.quantity.unwrap_or(self.item.count)
    }

    /// The working before anything was typed over.
    pub fn reckoned(&self) -> Option<&Working> {
        if self.over.is_priced { self.over.working.as_ref() } else { self.working.as_ref() }
    }

    /// The extension in whole cents, as the views add it up.
    pub fn sum(&self) -> Money {
        self.extended + self.rounding
    }
}

/// Why a good has no price.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The maker gives none: it must be asked for.
    CallForPrice,
    /// Counted in one unit and sold in another, with no rule between the two.
    Units,
    /// The figures are too large to be a price.
    TooLarge,
    /// A margin of 100 % or more.
    Rate,
    /// Left out until its question is answered, as the terms say.
    LeftOut,
}

/// A sum below the goods.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Charge {
    /// Which.
    pub kind: ChargeKind,
    /// Words for the page: `Freight 3% of goods`.
    pub words: String,
    /// What it is reckoned on, where it is a rate.
    pub on: Option<Money>,
    /// The sum, whole cents.
    pub amount: Money,
}

/// Kinds of charge, in the order of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ChargeKind {
    /// Extensions rounded to cents.
    Rounding,
    /// Freight.
    Freight,
    /// Bond or fee.
    Bond,
    /// An allowance.
    Allowance,
    /// Tax.
    Tax,
    /// The total rounded up to a whole unit of currency.
    RoundUp,
}

impl ChargeKind {
    /// The word in the record.
    pub fn word(self) -> &'static str {
        match self {
            ChargeKind::Rounding => "rounding",
            ChargeKind::Freight => "freight",
            ChargeKind::Bond => "bond",
            ChargeKind::Allowance => "allowance",
            ChargeKind::Tax => "tax",
            ChargeKind::RoundUp => "round-up",
        }
    }
}

/// The working of a unit price. Every figure can be re-done with a pocket calculator:
/// `net = round(list × multiplier + net_adders + Σ surcharges)`, `sell = round(net / (1 - rate))` or `round(net × (1 + rate))`,
/// both half up to `decimals`.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// The figure of the price table.
    pub base: Money,
    /// How the base becomes the unit counted: `per foot × 84 in / 12`, `per pair / 2`; empty where they are the same.
    pub unit_words: String,
    /// What the base is the sum of, where it is one: the parts of a kit, the pieces of a length.
    pub made_of: Vec<Portion>,
    /// List price of the unit counted, adders at list included (exact).
    pub list: Money,
    /// Adders, at list or net.
    pub adders: Vec<Extra>,
    /// Discount chain in per cent.
    pub chain: Vec<Decimal>,
    /// Product of the chain: 50/10/5 is 0.4275.
    pub multiplier: Decimal,
    /// Net money added after the discount.
    pub net_adders: Money,
    /// Surcharges inside the unit price: name, per cent of list × multiplier + net adders, money. Empty where they are
    /// lines of their own.
    pub surcharges: Vec<(String, Decimal, Money)>,
    /// Decimals to which net and sell are rounded: 2; or 4 where the extensions are rounded to cents instead.
    pub decimals: u32,
    /// Net cost of the unit, rounded half up.
    pub net: Money,
    /// `margin 25%` or `markup 33%`, with whose rate it is.
    pub rate_words: String,
    /// The rate as a fraction.
    pub rate: Decimal,
    /// Whether the rate is a margin (else a markup).
    pub is_margin: bool,
    /// Sell price of the unit, rounded half up.
    pub sell: Money,
}

/// An adder in a working.
#[derive(Debug, Clone, PartialEq)]
pub struct Extra {
    /// What for: `conductors 6`.
    pub what: String,
    /// How the catalog has it: list money, net money, or per cent of the base.
    pub adds: Adds,
    /// What it comes to for the unit counted.
    pub money: Money,
}

impl Extra {
    /// How it adds, in words.
    pub fn how(&self) -> String {
        match self.adds {
            Adds::List(_) => "at list".to_owned(),
            Adds::Net(_) => "net, after the discount".to_owned(),
            Adds::PercentOfList(percent) => format!("{}% of the base, at list", percent.normalize()),
        }
    }

    /// Whether it takes no discount.
    pub fn is_net(&self) -> bool {
        matches!(self.adds, Adds::Net(_))
    }
}

/// Sums of a quote.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Totals {
    /// Σ extended of lines and additions.
    pub goods: Money,
    /// Net cost of the same goods.
    pub cost: Money,
    /// What makes every extension whole cents.
    pub rounding: Money,
    /// Freight.
    pub freight: Money,
    /// Bond or fee.
    pub bond: Money,
    /// Allowances.
    pub allowances: Money,
    /// Tax.
    pub tax: Money,
    /// What makes the total a whole unit of currency, if the terms ask for it.
    pub round_up: Money,
    /// goods + rounding + freight + bond + allowances + tax + round_up.
    pub total: Money,
    /// If every open question goes the cheap way.
    pub exposure_low: Money,
    /// If every open question goes the dear way.
    pub exposure_high: Money,
}
