//! The buying list: by maker, what to order, in packs and least quantities, at which net cost, for which openings, and
//! what cannot be sent back. Kits are ordered by their parts' names where the catalog gives parts, at the kit's price.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::category_of;
use super::quote::{PricedItem, Quote};
use super::working::set_of;
use crate::catalog::good::{Good, Per};
use crate::complete::spec::Completed;
use crate::money::Money;
use crate::read::schedule::Opening;
use crate::trade::inches::Inches;
use crate::understand::reading::Unit;

/// What to order from one maker.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// The maker.
    pub maker: String,
    /// Its goods, in order of designation.
    pub rows: Vec<Row>,
    /// Net cost of what is needed: over all orders the cost of the quote without surcharges.
    pub needed: Money,
    /// Net cost of what is ordered, packs filled.
    pub ordered: Money,
}

/// One good to order.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Designation as ordered.
    pub designation: String,
    /// Words.
    pub description: String,
    /// Unit counted in.
    pub unit: &'static str,
    /// How many the job needs.
    pub needed: Decimal,
    /// How many to order: whole, in packs, at least the minimum.
    pub order: Decimal,
    /// How many of what its price is for make how many of the unit counted: two of a good priced each make one pair, one
    /// set makes so many pieces.
    pub sold: (u32, u32),
    /// Sold in packs of so many.
    pub pack: Option<u32>,
    /// Least quantity sold.
    pub minimum: Option<u32>,
    /// List price of the unit.
    pub list: Money,
    /// The discount chain: `50/10/5`.
    pub discount: String,
    /// Net cost of the unit.
    pub net: Money,
    /// Net cost of what is needed, exact.
    pub cost: Money,
    /// Doors it is for; empty for lots.
    pub openings: Vec<String>,
    /// Whether it can be sent back.
    pub returnable: bool,
    /// Stock pieces that each is cut from.
    pub pieces: Vec<(Inches, u32)>,
    /// Parts of a kit: how many of each, for one kit.
    pub parts: Vec<(u32, String)>,
    /// Lead times and other words of the catalog.
    pub notes: Vec<String>,
}

/// The orders, by maker.
pub fn orders(quote: &Quote) -> Vec<Order> {
    of_items(&quote.items, &quote.job)
}

/// The orders of priced items, by maker.
pub(super) fn of_items(items: &[PricedItem], job: &Completed) -> Vec<Order> {
    let mut makers: BTreeMap<String, BTreeMap<Key, (Row, BTreeSet<usize>)>> = BTreeMap::new();
    for item in items {
        let (Some(working), Some(candidate)) = (&item.working, &item.item.candidate) else { continue };
        let good = &candidate.good;
        let unit = item.item.unit.word();
        let key = (good.designation.clone(), unit, good.list.length, working.net);
        let rows = makers.entry(good.maker.to_string()).or_default();
        let (row, at) = rows.entry(key).or_insert_with(|| {
            let discount =
                good.list.chain.iter().map(|step| step.normalize().to_string()).collect::<Vec<_>>().join("/");
            let sold = sold(good.list.per, item.item.unit, set_of(category_of(item.item.from, job), good));
            (row(good, (unit, sold), working.list, working.net, discount), BTreeSet::new())
        });
        row.needed = row.needed.saturating_add(item.item.count);
        row.cost += item.cost;
        at.extend(item.item.shares.iter().map(|(opening, _)| *opening));
    }
    makers.into_iter().map(|(maker, rows)| order(maker, rows, &job.schedule.openings)).collect()
}

type Key = (String, &'static str, Option<Inches>, Money);

fn row(good: &Good, (unit, sold): (&'static str, (u32, u32)), list: Money, net: Money, discount: String) -> Row {
    Row {
        designation: good.designation.clone(),
        description: good.description.clone(),
        unit,
        needed: Decimal::ZERO,
        order: Decimal::ZERO,
        sold,
        pack: good.list.pack,
        minimum: good.list.minimum,
        list,
        discount,
        net,
        cost: Money::ZERO,
        openings: Vec::new(),
        returnable: good.list.returnable,
        pieces: good.list.pieces.clone(),
        parts: good.parts.iter().map(|(count, part)| (*count, part.designation.clone())).collect(),
        notes: good.list.notes.iter().map(ToString::to_string).collect(),
    }
}

fn order(maker: String, rows: BTreeMap<Key, (Row, BTreeSet<usize>)>, openings: &[Opening]) -> Order {
    let rows: Vec<Row> = rows
        .into_values()
        .filter(|(row, _)| !row.needed.is_zero())
        .map(|(row, at)| {
            let numbers = at.into_iter().filter_map(|at| openings.get(at)).map(|opening| opening.number.clone());
            let order = ordered(row.needed, row.sold, row.pack, row.minimum);
            Row { order, openings: numbers.collect(), ..row }
        })
        .collect();
    let needed = rows.iter().map(|row| row.cost).sum();
    let ordered = rows.iter().filter_map(|row| row.net.times(row.order)).sum();
    Order { maker, rows, needed, ordered }
}

/// How many of what a price is for make one of a unit.
fn sold(per: Per, unit: Unit, set_of: u32) -> (u32, u32) {
    match (per, unit) {
        (Per::Each, Unit::Pair) => (2, 1),
        (Per::Pair, Unit::Each) => (1, 2),
        (Per::Each, Unit::Set) => (set_of.max(1), 1),
        (Per::Set, Unit::Each) => (1, set_of.max(1)),
        _ => (1, 1),
    }
}

/// Whole pieces, pairs or sets as they are sold, whole packs, at least the minimum. Packs and least quantities are of what the
/// price is for.
fn ordered(needed: Decimal, (times, over): (u32, u32), pack: Option<u32>, minimum: Option<u32>) -> Decimal {
    let pack = pack.filter(|pack| *pack > 1).map(Decimal::from);
    let minimum = minimum.filter(|least| *least > 1).map(Decimal::from);
    let (times, over) = (Decimal::from(times), Decimal::from(over));
    let whole = needed.saturating_mul(times).checked_div(over).unwrap_or(needed).ceil();
    let least = whole.max(minimum.unwrap_or_default());
    let packs = |pack: Decimal| least.checked_div(pack).map(|packs| packs.ceil().saturating_mul(pack));
    pack.and_then(packs).unwrap_or(least).saturating_mul(over).checked_div(times).unwrap_or(needed)
}

#[cfg(test)]
mod tests {
    use super::{Per, Unit, ordered, sold};
    use rust_decimal::Decimal;

    #[test]
    fn packs_are_filled_and_minimums_kept() {
        let order = |needed: i64, pack, minimum| ordered(Decimal::from(needed), (1, 1), pack, minimum);
        assert_eq!(order(7, Some(3), None), Decimal::from(9));
        assert_eq!(order(9, Some(3), None), Decimal::from(9));
        assert_eq!(order(2, None, Some(10)), Decimal::from(10));
        assert_eq!(order(2, Some(4), Some(10)), Decimal::from(12));
        assert_eq!(ordered("17.5".parse().unwrap(), (1, 1), None, None), Decimal::from(18));
    }

    #[test]
    fn packs_are_of_what_the_price_is_for() {
        let pairs = sold(Per::Each, Unit::Pair, 1);
        assert_eq!(ordered(Decimal::from(5), pairs, Some(3), None), Decimal::from(6), "12 pieces, four packs");
        assert_eq!(
            ordered(Decimal::from(5), sold(Per::Pair, Unit::Each, 1), Some(2), None),
            Decimal::from(8),
            "4 pairs"
        );
        assert_eq!(
            ordered(Decimal::from(3), sold(Per::Pair, Unit::Each, 1), None, None),
            Decimal::from(4),
            "only pairs are sold"
        );
        // Six bolts priced by the piece, two make a set, in packs of five: five sets are ten pieces.
        let sets = sold(Per::Each, Unit::Set, 2);
        assert_eq!(ordered(Decimal::from(4), sets, Some(5), None), Decimal::from(5), "8 pieces, two packs");
        // Pieces counted of goods that are sold by the set of six, and of nine.
        assert_eq!(ordered(Decimal::from(6), sold(Per::Set, Unit::Each, 6), Some(1), Some(2)), Decimal::from(12));
        assert_eq!(ordered(Decimal::from(9), sold(Per::Set, Unit::Each, 9), Some(2), None), Decimal::from(18));
    }
}
