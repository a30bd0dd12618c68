//! A good of the catalog that fits what was asked, and what is still undecided about it.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;

/// What is asked of the catalog.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// The category.
    pub category: Category,
    /// What is known. `finish`, `look` and `base` are matched as families: `look` alone fits any base of that look.
    pub attributes: Attributes,
    /// Acceptable makers in order of preference; empty: any.
    pub makers: Vec<String>,
}

/// Where in the catalog's files a figure stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// File below the catalog folder.
    pub file: Arc<str>,
    /// Line, from 1.
    pub line: u32,
}

/// One good: a product line with every attribute decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Good {
    /// Id of the product line.
    pub line: Arc<str>,
    /// Maker's name.
    pub maker: Arc<str>,
    /// Designation as ordered.
    pub designation: String,
    /// Words for a quote: `Ball bearing hinge, full mortise, 4-1/2 x 4-1/2, heavy weight, 652`.
    pub description: String,
    /// All attributes: those asked, and those the line brings or defaults.
    pub attributes: Attributes,
    /// List price with its working.
    pub list: ListPrice,
    /// What a kit consists of, for the buying list: how many of each. Empty for an ordinary good. The kit's own `list`
    /// is the whole price; the parts' prices are not to be added.
    pub parts: Vec<(u32, Good)>,
}

/// A list price and its working. Exact; rounding happens in the pricing room.
#[derive(Debug, Clone, PartialEq)]
pub struct ListPrice {
    /// The price-table figure.
    pub base: Money,
    /// Where it stands.
    pub base_entry: Entry,
    /// What the base is the sum of, where it is one: the parts of a kit, the pieces of a length.
    pub made_of: Vec<Portion>,
    /// Options at list price, taking the same discount.
    pub adders: Vec<Adder>,
    /// What one price is for.
    pub per: Per,
    /// Discount chain in per cent: `[50, 10, 5]`. Empty with `net`: a net-priced good.
    pub chain: Vec<Decimal>,
    /// Where the chain stands.
    pub chain_entry: Entry,
    /// Length priced, inches, after rounding up to stock; for goods sold by length.
    pub length: Option<crate::trade::inches::Inches>,
    /// Pieces that the length was cut from: stock length and count, for the buying list.
    pub pieces: Vec<(crate::trade::inches::Inches, u32)>,
    /// Surcharges in force: name, per cent of net.
    pub surcharges: Vec<(Arc<str>, Decimal)>,
    /// Sold in packs of so many; for the buying list.
    pub pack: Option<u32>,
    /// Whether it can be sent back.
    pub returnable: bool,
    /// Shipping weight, pounds.
    pub weight: Option<Decimal>,
    /// Least quantity sold.
    pub minimum: Option<u32>,
    /// The maker gives no list price: the good is known, its price must be asked for. `base` is nothing.
    pub call_for_price: bool,
    /// Special order words (lead time, minimum quantity).
    pub notes: Vec<Arc<str>>,
}

impl ListPrice {
    /// List price of one unit counted, adders at list included, exact; the largest number where it is beyond all measure, so
    /// that goods can be compared: what is sold is priced by steps that say so. With `Per::Foot` and a `length`, the unit counted
    /// is the piece and costs `base × length / 12`; without a `length` the unit counted is the foot.
    pub fn list(&self) -> Money {
        let base = self.base.decimal();
        let of_piece = match (self.per, self.length) {
            (Per::Foot, Some(length)) => base.saturating_mul(length.decimal()) / Decimal::from(12),
            _ => base,
        };
        let adders = self.adders.iter().map(|adder| match adder.adds {
            Adds::List(money) => money.decimal(),
            Adds::PercentOfList(percent) => of_piece.saturating_mul(percent) / Decimal::ONE_HUNDRED,
            Adds::Net(_) => Decimal::ZERO,
        });
        Money::new(adders.fold(of_piece, Decimal::saturating_add))
    }

    /// Money added after the discount.
    pub fn net_adders(&self) -> Money {
        self.adders
            .iter()
            .filter_map(|adder| match adder.adds {
                Adds::Net(money) => Some(money),
                _ => None,
            })
            .sum()
    }

    /// The chain as one factor: 50/10/5 is 0.4275.
    pub fn multiplier(&self) -> Decimal {
        self.chain
            .iter()
            .fold(Decimal::ONE, |factor, percent| factor * (Decimal::ONE_HUNDRED - percent) / Decimal::ONE_HUNDRED)
    }

    /// List × chain + net adders, before surcharges, exact (not rounded).
    pub fn net(&self) -> Money {
        let discounted = self.list().decimal().saturating_mul(self.multiplier());
        Money::new(discounted.saturating_add(self.net_adders().decimal()))
    }

    /// The net of one piece, for comparing goods: a pair is two.
    pub fn net_of_one(&self) -> Money {
        match self.per {
            Per::Pair => Money::new(self.net().decimal() / Decimal::TWO),
            Per::Each | Per::Foot | Per::Set => self.net(),
        }
    }
}

/// A portion of a base figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Portion {
    /// What: a designation, or `piece of 120`.
    pub what: String,
    /// How many.
    pub count: u32,
    /// List price of one.
    pub each: Money,
}

/// What one price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// One piece.
    Each,
    /// A foot.
    Foot,
    /// A set as sold.
    Set,
    /// A pair.
    Pair,
}

impl Per {
    /// All, with the words that catalog files use.
    pub(super) const NAMES: [(&'static str, Per); 4] =
        [("each", Per::Each), ("foot", Per::Foot), ("set", Per::Set), ("pair", Per::Pair)];

    /// What a word stands for.
    pub fn named(word: &str) -> Option<Per> {
        Per::NAMES.iter().find(|(name, _)| *name == word).map(|(_, per)| *per)
    }

    /// Its word.
    pub fn word(self) -> &'static str {
        Per::NAMES.iter().find(|(_, per)| *per == self).map_or("each", |(name, _)| name)
    }
}

/// An option that adds to a price.
#[derive(Debug, Clone, PartialEq)]
pub struct Adder {
    /// What for: `conductors 6`.
    pub what: String,
    /// How it adds.
    pub adds: Adds,
    /// Where it stands.
    pub entry: Entry,
}

/// How an adder adds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Adds {
    /// List money: takes the discount.
    List(Money),
    /// Net money: added after the discount.
    Net(Money),
    /// Per cent of the base list price, at list.
    PercentOfList(Decimal),
}

/// A product line's good for a request.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The good, undecided attributes at the line's usual value.
    pub good: Good,
    /// For each attribute asked: how the good meets it, in words: `weight heavy: as asked`, `finish 652: US26D on steel`.
    pub why: Vec<String>,
    /// Attributes that were not asked and that this line makes in several values.
    pub undecided: Vec<Undecided>,
}

/// An attribute that nobody decided.
#[derive(Debug, Clone, PartialEq)]
pub struct Undecided {
    /// Which.
    pub attribute: Attr,
    /// The value taken meanwhile.
    pub taken: Value,
    /// All values that the line makes with the rest as it is, each with its difference in list price.
    pub options: Vec<(Value, Money)>,
    /// Whether the catalog says a person must choose even where prices are equal (goods that look or work differently).
    pub matters: bool,
}

/// Answer to a request.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Selection {
    /// Goods that fit, best first: acceptable makers in order, then lowest net price, then designation.
    pub candidates: Vec<Arc<Candidate>>,
    /// Goods that nearly fit and what stands against them, when none fits.
    pub near: Vec<(Good, String)>,
    /// How many of the candidates fit as well as the first and cost the same, so that only their names put them behind it.
    pub tied: usize,
    /// The makers that were acceptable; empty: any.
    pub makers: Vec<String>,
}
