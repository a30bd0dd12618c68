//! The change request after the award: what a change adds, what it deducts, the net, and the contract sum after it. Goods
//! that go at one opening and come at another are no change; what is left is added at its own rate, or deducted: in full at
//! the contract price while it is not ordered, at net cost less restocking once it is.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use serde::Serialize;

use super::causes as cause;
use super::changes::{Change, Happened, Moved, What};
use crate::money::Money;
use crate::price::rounding;
use crate::price::surcharges::{self, NOT_TAXED};
use crate::terms::{Method, Terms};

/// A change request.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct Request {
    pub contract_before: Money,
    pub rows: Vec<RequestRow>,
    /// Lines that came or changed and carry no price: they are in no sum here.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
    /// Sum of the goods added.
    pub add: Money,
    /// Sum of the goods deducted, below zero.
    pub deduct: Money,
    /// Surcharges of makers, freight on what is added, bond and tax on the net: words and sum.
    pub charges: Vec<(String, Money)>,
    /// add + deduct + charges.
    pub net: Money,
    pub contract_after: Money,
}

/// Goods added or deducted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct RequestRow {
    pub maker: String,
    pub designation: String,
    pub category: String,
    pub unit: String,
    /// Above zero: added; below: deducted.
    pub count: Decimal,
    pub price: Money,
    pub sum: Money,
    /// How the price came about.
    pub words: String,
    /// What brings or takes it: doors and lines.
    pub reasons: Vec<String>,
}

type Key = (String, String, (String, (String, String)), String);

struct Balance {
    count: Decimal,
    added: Option<Moved>,
    taken: Option<Moved>,
    reasons: Vec<String>,
}

/// What the totals of the two quotes tell of a change.
#[derive(Debug, Clone, Copy)]
pub struct Sums {
    /// The sum agreed so far.
    pub contract_before: Money,
    /// Goods of the revised quote, which may make freight free.
    pub goods_after: Money,
    /// Freight of both quotes, which tells what freight by weight changes by.
    pub freight: (Money, Money),
}

/// The request for these changes.
///
/// # Errors
/// A rate that leaves no cost.
pub fn request(changes: &[Change], terms: &Terms, sums: Sums) -> Result<Request, String> {
    let mut balances: BTreeMap<Key, Balance> = BTreeMap::new();
    // New prices of goods that stay are no change of the contract.
    let (surcharges, rest): (Vec<&Change>, Vec<&Change>) = changes.iter().partition(|change| is_surcharge(change));
    for change in rest.into_iter().filter(|change| change.cause != cause::PRICE && change.what != What::Finding) {
        for moved in change.goods.iter().filter(|moved| moved.net.is_some()) {
            let good = (moved.designation.clone(), moved.size.clone());
            let key = (moved.category.clone(), moved.maker.clone(), good, moved.unit.clone());
            let balance = balances.entry(key).or_insert_with(|| Balance {
                count: Decimal::ZERO,
                added: None,
                taken: None,
                reasons: Vec::new(),
            });
            balance.count = balance.count.saturating_add(moved.count);
            let last = if moved.count > Decimal::ZERO { &mut balance.added } else { &mut balance.taken };
            *last = Some(moved.clone());
            let reason =
                if change.what == What::Opening { format!("door {}", change.id) } else { to_customer(&change.id) };
            if !balance.reasons.contains(&reason) {
                balance.reasons.push(reason);
            }
        }
    }
    let open = changes.iter().filter(|change| is_open(change)).map(|change| to_customer(&change.id)).collect();
    let mut request = Request { contract_before: sums.contract_before, open, ..Request::default() };
    for balance in balances.into_values().filter(|balance| !balance.count.is_zero()) {
        let row = if balance.count > Decimal::ZERO { added(balance, terms)? } else { deducted(balance, terms) };
        if let Some(row) = row {
            *(if row.count > Decimal::ZERO { &mut request.add } else { &mut request.deduct }) += row.sum;
            request.rows.push(row);
        }
    }
    request.rows.sort_by_key(|row| row.count < Decimal::ZERO);
    // They follow the goods at the makers' rates, which the terms of changes do not touch.
    let (free, taxed): (Vec<&Change>, Vec<&Change>) =
        surcharges.into_iter().partition(|change| change.id.contains(NOT_TAXED));
    let sum = |changes: Vec<&Change>| changes.into_iter().map(|change| change.delta).sum();
    charges(&mut request, terms, (sum(taxed), sum(free)), sums);
    request.net = request.add + request.deduct + request.charges.iter().map(|(_, sum)| *sum).sum();
    request.contract_after = request.contract_before + request.net;
    Ok(request)
}

/// A line that comes or is another now, and has no price on its new side. One of which fewer are wanted keeps its price.
fn is_open(change: &Change) -> bool {
    let is_new = change.kind == Happened::Added;
    let comes = change.what == What::Line && (is_new || change.kind == Happened::Changed);
    comes
        && match &change.figures {
            Some(figures) => figures.unit_to.is_zero() && figures.count_to != "0",
            None => is_new && !change.goods.iter().any(|moved| moved.net.is_some()),
        }
}

/// What a change is of, without the name of the rule that added it: the customer does not know our rules.
fn to_customer(id: &str) -> String {
    let added = id.strip_suffix(')').and_then(|id| id.rsplit_once(" (")).filter(|_| id.starts_with("added "));
    added.map_or(id, |(words, _)| words).to_owned()
}

/// Whether a change is of a surcharge on goods, which has a line of its own.
fn is_surcharge(change: &Change) -> bool {
    change.id.ends_with(&format!("({})", surcharges::RULE))
}

fn row(moved: Moved, count: Decimal, price: Money, words: String, reasons: Vec<String>) -> RequestRow {
    let sum = rounding::extension(price.times(count).unwrap_or_default());
    let Moved { maker, mut designation, size, category, unit, .. } = moved;
    if !size.0.is_empty() {
        designation = format!("{designation}, {} in", size.0);
    } else if !size.1.is_empty() && !designation.contains(&size.1) {
        designation = format!("{designation}, {} in wide", size.1);
    }
    RequestRow { maker, designation, category, unit, count, price, sum, words, reasons }
}

fn added(balance: Balance, terms: &Terms) -> Result<Option<RequestRow>, String> {
    let Some(moved) = balance.added else { return Ok(None) };
    let (Some(rate), Some(net)) = (terms.change.rate, moved.net) else {
        let price = moved.unit_price;
        return Ok(Some(row(moved, balance.count, price, "at the rate of the quote".into(), balance.reasons)));
    };
    let is_margin = terms.price.method == Method::Margin;
    let factor = if is_margin { Decimal::ONE - rate.fraction() } else { Decimal::ONE + rate.fraction() };
    let exact = if is_margin { net.decimal().checked_div(factor) } else { net.decimal().checked_mul(factor) };
    let price = exact.filter(|price| *price >= Decimal::ZERO).ok_or_else(|| {
        format!("[change] rate: {rate} leaves no cost\n  help: a margin stays below 100%; write method = \"markup\" if it is on cost")
    })?;
    let words = format!("net {net} at a {} of {rate} for changes", if is_margin { "margin" } else { "markup" });
    Ok(Some(row(moved, balance.count, rounding::sell_unit(price, rounding::CENTS), words, balance.reasons)))
}

fn deducted(balance: Balance, terms: &Terms) -> Option<RequestRow> {
    let moved = balance.taken?;
    let (price, words) = match moved.net {
        Some(net) if terms.change.is_ordered(&moved.category) => {
            let rate = terms.change.restocking;
            let kept = Money::new(net.decimal() * rate.fraction());
            (
                rounding::net_unit((net - kept).decimal(), rounding::CENTS),
                format!("ordered: net {net} less {rate} restocking"),
            )
        }
        _ => (moved.unit_price, "not ordered: at the contract price".to_owned()),
    };
    Some(row(moved, balance.count, price, words, balance.reasons))
}

/// Charges as the terms of the quote have them, on what changes; surcharges on goods that are taxed and that are not.
fn charges(request: &mut Request, terms: &Terms, (taxed, free): (Money, Money), sums: Sums) {
    let of =
        |money: Money, rate: crate::terms::Percent| rounding::charge(money.decimal().saturating_mul(rate.fraction()));
    let mut charges = vec![("Surcharges of the makers, as the quote has them".to_owned(), taxed + free)];
    let (words, freight) = freight(request.add, terms, sums);
    charges.push((words, freight));
    if let Some(rate) = terms.price.bond {
        charges.push((format!("Bond or fee {rate} of the net"), of(request.add + request.deduct + taxed + free, rate)));
    }
    if let Some(rate) = terms.tax.rate {
        let due = |row: &&RequestRow| terms.tax.is_due_on(&row.category);
        let goods: Money = request.rows.iter().filter(due).map(|row| row.sum).sum();
        let on = if terms.tax.on_freight { goods + taxed + freight } else { goods + taxed };
        charges.push((format!("Tax {rate} of the net"), of(on, rate)));
    }
    request.charges = charges.into_iter().filter(|(_, sum)| !sum.is_zero()).collect();
}

/// Freight by the rule that the quote goes by: none where the goods make it free or the quote has a fixed sum, a rate of what
/// is added, or what freight by weight changes by.
fn freight(added: Money, terms: &Terms, sums: Sums) -> (String, Money) {
    let freight = &terms.freight;
    if freight.free_above.is_some_and(|limit| sums.goods_after.decimal() >= limit.0) {
        return (String::new(), Money::ZERO);
    }
    if let Some(rate) = freight.rate {
        let sum = rounding::charge(added.decimal().saturating_mul(rate.fraction()));
        return (format!("Freight {rate} of what is added"), sum);
    }
    if freight.sum.is_some() || freight.per_pound.is_none() {
        return (String::new(), Money::ZERO);
    }
    let (before, after) = sums.freight;
    ("Freight by weight, as the quote has it".to_owned(), after - before)
}
