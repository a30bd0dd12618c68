//! From items to the sums of a quote: goods, charges below them, total. What adds up over items is kept in `Sums`, so
//! that an answer's worth is found by taking one line's part out and putting another in.

use std::collections::BTreeMap;
use std::ops::{AddAssign, SubAssign};
use std::sync::Arc;

use rust_decimal::Decimal;

use super::quote::{Charge, ChargeKind, PricedItem, Totals};
use super::rates;
use super::rounding;
use super::working;
use crate::money::Money;
use crate::terms::{SurchargeAt, Terms};
use crate::trade::category::Category;

/// A surcharge line of the quote: its name, its per cent, and whether the goods it falls on are taxed.
pub(super) type SurchargeKey = (Arc<str>, Decimal, bool);

/// What adds up over items.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Sums {
    pub(super) goods: Money,
    pub(super) rounding: Money,
    pub(super) cost: Money,
    pub(super) taxable: Money,
    /// Shipping weight, pounds.
    pub(super) weight: Decimal,
    /// Net cost on which each surcharge with a line of its own falls.
    pub(super) surcharged: BTreeMap<SurchargeKey, Money>,
}

impl Sums {
    /// What one item adds.
    pub(super) fn of(item: &PricedItem, category: Option<Category>, terms: &Terms) -> Sums {
        let Some(good) = item.working.as_ref().and(item.item.candidate.as_ref()).map(|candidate| &candidate.good)
        else {
            return Sums::default();
        };
        let taxed = category.is_none_or(|category| terms.tax.is_due_on(category.name()));
        let mut surcharged = BTreeMap::new();
        if terms.price.surcharges == SurchargeAt::OwnLine {
            for (name, percent) in &good.list.surcharges {
                *surcharged.entry((name.clone(), *percent, taxed)).or_insert(Money::ZERO) += item.cost;
            }
        }
        Sums {
            goods: item.extended,
            rounding: item.rounding,
            cost: item.cost,
            taxable: if taxed { item.sum() } else { Money::ZERO },
            weight: working::weight(&item.item, category, item.item.count).unwrap_or_default(),
            surcharged,
        }
    }

    /// The surcharge lines: cost and price of each, at the rate for everything else.
    pub(super) fn surcharges<'a>(&'a self, terms: &'a Terms) -> impl Iterator<Item = Surcharge<'a>> {
        let rate = rates::of(&terms.price, None, None, None);
        self.surcharged.iter().filter(|(_, on)| !on.is_zero()).map(move |(key, on)| {
            let exact = on.decimal().saturating_mul(key.1) / Decimal::ONE_HUNDRED;
            let cost = rounding::net_unit(exact, rounding::CENTS);
            let sell = rate.sell(cost.decimal()).map(|sell| rounding::sell_unit(sell, rounding::CENTS));
            Surcharge { key, on: *on, exact, cost, sell }
        })
    }
}

/// One surcharge line.
pub(super) struct Surcharge<'a> {
    pub(super) key: &'a SurchargeKey,
    pub(super) on: Money,
    pub(super) exact: Decimal,
    pub(super) cost: Money,
    /// `None`: the rate makes no price of it, as with goods; it is not in the total then and said so.
    pub(super) sell: Option<Money>,
}

impl AddAssign<&Sums> for Sums {
    fn add_assign(&mut self, other: &Sums) {
        self.goods += other.goods;
        self.rounding += other.rounding;
        self.cost += other.cost;
        self.taxable += other.taxable;
        self.weight = self.weight.saturating_add(other.weight);
        for (key, on) in &other.surcharged {
            *self.surcharged.entry(key.clone()).or_insert(Money::ZERO) += *on;
        }
    }
}

impl SubAssign<&Sums> for Sums {
    fn sub_assign(&mut self, other: &Sums) {
        self.goods -= other.goods;
        self.rounding -= other.rounding;
        self.cost -= other.cost;
        self.taxable -= other.taxable;
        self.weight = self.weight.saturating_sub(other.weight);
        for (key, on) in &other.surcharged {
            *self.surcharged.entry(key.clone()).or_insert(Money::ZERO) -= *on;
        }
    }
}

/// Totals without exposure, and the charges they are made of.
pub(super) fn finish(sums: &Sums, terms: &Terms) -> (Totals, Vec<Charge>) {
    let (mut goods, mut cost, mut taxable) = (sums.goods, sums.cost, sums.taxable);
    for surcharge in sums.surcharges(terms) {
        let Some(sell) = surcharge.sell else { continue };
        goods += sell;
        cost += surcharge.cost;
        if surcharge.key.2 {
            taxable += sell;
        }
    }
    let whole = goods + sums.rounding;
    let mut charges = Vec::new();
    if !sums.rounding.is_zero() {
        let words = "Extensions rounded half up to cents".to_owned();
        charges.push(Charge { kind: ChargeKind::Rounding, words, on: None, amount: sums.rounding });
    }
    charges.extend(freight(whole, sums.weight, terms));
    if let Some(bond) = terms.price.bond {
        let words = format!("Bond or fee {bond} of goods");
        charges.push(rated(ChargeKind::Bond, words, whole, bond.fraction()));
    }
    charges.extend(terms.allowances.iter().map(|allowance| {
        let amount = rounding::charge(allowance.sum.0);
        Charge { kind: ChargeKind::Allowance, words: allowance.name.clone(), on: None, amount }
    }));
    if let Some(rate) = terms.tax.rate {
        if terms.tax.on_freight {
            taxable += total_of(&charges, ChargeKind::Freight);
        }
        charges.push(rated(ChargeKind::Tax, format!("Tax {rate} of the taxable part"), taxable, rate.fraction()));
    }
    let mut total = goods + charges.iter().map(|charge| charge.amount).sum();
    if terms.price.round_up_total {
        let amount = rounding::up_to_whole(total) - total;
        let words = "Total rounded up to a whole unit of currency".to_owned();
        charges.push(Charge { kind: ChargeKind::RoundUp, words, on: Some(total), amount });
        total += amount;
    }
    let totals = Totals {
        goods,
        cost,
        rounding: sums.rounding,
        freight: total_of(&charges, ChargeKind::Freight),
        bond: total_of(&charges, ChargeKind::Bond),
        allowances: total_of(&charges, ChargeKind::Allowance),
        tax: total_of(&charges, ChargeKind::Tax),
        round_up: total_of(&charges, ChargeKind::RoundUp),
        total,
        exposure_low: total,
        exposure_high: total,
    };
    (totals, charges)
}

/// Freight by the first rule that applies: free above a sum, a rate, a fixed sum, a sum per pound.
fn freight(goods: Money, weight: Decimal, terms: &Terms) -> Option<Charge> {
    let freight = &terms.freight;
    let has_rule = freight.rate.is_some() || freight.sum.is_some() || freight.per_pound.is_some();
    if !has_rule && freight.free_above.is_none() {
        return None;
    }
    let kind = ChargeKind::Freight;
    if let Some(limit) = freight.free_above.filter(|limit| goods.decimal() >= limit.0) {
        let words = format!("Freight allowed: goods reach {}", Money::new(limit.0));
        return Some(Charge { kind, words, on: Some(goods), amount: Money::ZERO });
    }
    if let Some(rate) = freight.rate {
        return Some(rated(kind, format!("Freight {rate} of goods"), goods, rate.fraction()));
    }
    if let Some(sum) = freight.sum {
        return Some(Charge { kind, words: "Freight, fixed sum".into(), on: None, amount: rounding::charge(sum.0) });
    }
    let per_pound = freight.per_pound?;
    let words = format!("Freight {} a pound, {} lb", Money::new(per_pound.0), rounding::pounds(weight));
    Some(Charge { kind, words, on: None, amount: rounding::charge(weight.saturating_mul(per_pound.0)) })
}

fn rated(kind: ChargeKind, words: String, on: Money, rate: Decimal) -> Charge {
    Charge { kind, words, on: Some(on), amount: rounding::charge(on.decimal().saturating_mul(rate)) }
}

fn total_of(charges: &[Charge], kind: ChargeKind) -> Money {
    charges.iter().filter(|charge| charge.kind == kind).map(|charge| charge.amount).sum()
}
