//! Surcharges as lines of their own among the additions, so that goods add up from lines and additions alone. Each
//! says its name, its per cent and what it falls on (common practice: never mixed into unit prices).

use rust_decimal::Decimal;

use super::quote::{Extra, Over, PricedItem, Trouble, Working};
use super::rates;
use super::rounding;
use super::totals::Sums;
use crate::catalog::good::Adds;
use crate::complete::spec::{Addition, Completed};
use crate::count::takeoff::{From, Item};
use crate::money::Money;
use crate::terms::Terms;
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// The rule named by the additions made here.
pub const RULE: &str = "surcharge";
/// What the reason of each says.
pub const IN_FORCE: &str = ", as the catalog has it in force";
/// How the reason of one tells that it falls on goods that are not taxed.
pub const NOT_TAXED: &str = "on goods that are not taxed";

/// Appends one addition and one priced item for each surcharge.
pub(super) fn append(sums: &Sums, job: &mut Completed, items: &mut Vec<PricedItem>, terms: &Terms) {
    let rate = rates::of(&terms.price, None, None, None);
    for surcharge in sums.surcharges(terms) {
        let (name, percent, taxed) = surcharge.key;
        let untaxed = if *taxed { String::new() } else { format!(", {NOT_TAXED}") };
        // No net cost in the words: they may stand on the customer's copy.
        let why = format!("{name}, {}%{IN_FORCE}{untaxed}", percent.normalize());
        let from = From::Added(job.added.len());
        job.added.push(Addition {
            category: Category::Other,
            attributes: Attributes::new(),
            unit: Unit::Lot,
            shares: Vec::new(),
            varies: Default::default(),
            rule: RULE,
            why,
            set: None,
            ours: true,
            by: None,
            selection: Default::default(),
        });
        let item = Item {
            from,
            candidate: None,
            unit: Unit::Lot,
            varied: Attributes::new(),
            shares: Vec::new(),
            count: Decimal::ONE,
        };
        let Some(sell) = surcharge.sell else {
            let (extended, rounding, cost) = (Money::ZERO, Money::ZERO, Money::ZERO);
            let (working, trouble, over) = (None, Some(Trouble::Rate), Over::default());
            items.push(PricedItem { item, working, trouble, extended, rounding, cost, over });
            continue;
        };
        let working = Working {
            base: Money::ZERO,
            unit_words: String::new(),
            list: Money::ZERO,
            made_of: Vec::new(),
            adders: vec![Extra {
                what: format!("{name} {}% of net {}", percent.normalize(), surcharge.on),
                adds: Adds::Net(Money::new(surcharge.exact)),
                money: Money::new(surcharge.exact),
            }],
            chain: Vec::new(),
            multiplier: Decimal::ONE,
            net_adders: Money::new(surcharge.exact),
            surcharges: Vec::new(),
            decimals: rounding::CENTS,
            net: surcharge.cost,
            rate_words: rate.words.clone(),
            rate: rate.percent.fraction(),
            is_margin: rate.is_margin,
            sell,
        };
        items.push(PricedItem {
            item,
            working: Some(working),
            trouble: None,
            extended: sell,
            rounding: Money::ZERO,
            cost: surcharge.cost,
            over: Over::default(),
        });
    }
}
