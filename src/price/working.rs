//! The price of one unit, step by step: list and adders → discount chain → net → margin or markup → sell.
//! Checked arithmetic throughout: a figure too large is a `Trouble`, never a panic.

use rust_decimal::Decimal;

use super::quote::{Extra, Over, PricedItem, Trouble, Working};
use super::rates::{self, Rate};
use super::rounding;
use crate::catalog::good::{Adds, Good, ListPrice, Per};
use crate::count::takeoff::Item;
use crate::money::Money;
use crate::place::Place;
use crate::terms::{PriceTerms, RoundAt, SurchargeAt, held_key};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::facts;
use crate::understand::reading::Unit;

/// Amounts above this are no prices; sums of them stay far from the limits of the decimal type.
const LARGEST: Decimal = Decimal::from_parts(2_764_472_320, 232_830, 0, false, 0);

/// Prices an item.
pub(super) fn item(item: Item, category: Option<Category>, row: Option<&Place>, terms: &PriceTerms) -> PricedItem {
    let priced = item.candidate.as_ref().map(|candidate| {
        let rate = rates::of(terms, category, Some(&candidate.good), row);
        let working = of_good(&candidate.good, (item.unit, set_of(category, &candidate.good)), &rate, terms);
        let working = held(working, &candidate.good, item.unit, terms)?;
        extend(item.count, working)
    });
    let nothing = (None, Money::ZERO, Money::ZERO, Money::ZERO);
    let (trouble, (working, extended, rounding, cost)) = match priced {
        None => (None, nothing),
        Some(Err(trouble)) => (Some(trouble), nothing),
        Some(Ok((working, extended, rounding, cost))) => (None, (Some(working), extended, rounding, cost)),
    };
    PricedItem { item, working, trouble, extended, rounding, cost, over: Over::default() }
}

/// The working with the price of an earlier quote, where the terms hold one: what the net differs by is a step of its own,
/// and the margin is the one that the held price leaves.
fn held(now: Result<Working, Trouble>, good: &Good, unit: Unit, terms: &PriceTerms) -> Result<Working, Trouble> {
    if terms.held.is_empty() {
        return now;
    }
    let measure =
        |name| good.attributes.get(&name).and_then(Value::as_length).map_or(String::new(), |of| of.to_string());
    let key = held_key(&good.maker, &good.designation, unit.word(), &measure(names::LENGTH), &measure(names::WIDTH));
    let (Some(held), Ok(mut working)) = (terms.held.get(&key), now.clone()) else { return now };
    if held.net == working.net && held.sell == working.sell {
        return now;
    }
    let words = format!("price held from {}", held.since);
    let surcharges: Money = working.surcharges.iter().map(|(_, _, money)| *money).sum();
    let reckoned = working.list.times(working.multiplier).ok_or(Trouble::TooLarge)? + working.net_adders + surcharges;
    let money = held.net - reckoned;
    working.adders.push(Extra { what: words.clone(), adds: Adds::Net(money), money });
    working.net_adders += held.net - reckoned;
    (working.net, working.sell) = (held.net, held.sell);
    let share = held.net.decimal().checked_div(held.sell.decimal()).unwrap_or(Decimal::ONE);
    (working.rate, working.is_margin, working.rate_words) = (Decimal::ONE - share, true, words);
    Ok(working)
}

/// Count × unit price, what makes it whole cents, and count × net.
pub(super) fn extend(count: Decimal, working: Working) -> Result<(Working, Money, Money, Money), Trouble> {
    let extended = working.sell.times(count).filter(|money| is_price(money.decimal())).ok_or(Trouble::TooLarge)?;
    let cost = working.net.times(count).filter(|money| is_price(money.decimal())).ok_or(Trouble::TooLarge)?;
    let rounding = rounding::extension(extended) - extended;
    Ok((working, extended, rounding, cost))
}

/// How many pieces a set of such goods is; one where the good is the whole set.
pub(super) fn set_of(category: Option<Category>, good: &Good) -> u32 {
    let whole = good.attributes.get(&Attr::new("set")).is_some_and(Value::is_true);
    category.and_then(facts::of).filter(|_| !whole).map_or(1, |facts| facts.set_of)
}

/// The working of one unit of a good; beside the unit how many pieces a set is.
pub(super) fn of_good(good: &Good, unit: (Unit, u32), rate: &Rate, terms: &PriceTerms) -> Result<Working, Trouble> {
    let list = &good.list;
    if list.call_for_price {
        return Err(Trouble::CallForPrice);
    }
    let steps = to_net(list, unit, terms).ok_or(Trouble::TooLarge)??;
    let decimals = match terms.round {
        RoundAt::Unit => rounding::CENTS,
        RoundAt::Extension => rounding::FINE,
    };
    let net = rounding::net_unit(steps.exact, decimals);
    let sell = rate.sell(net.decimal()).ok_or(Trouble::Rate)?;
    let sell = rounding::sell_unit(Some(sell).filter(|sell| is_price(*sell)).ok_or(Trouble::TooLarge)?, decimals);
    Ok(Working {
        base: list.base,
        made_of: list.made_of.clone(),
        unit_words: steps.unit_words,
        list: Money::new(steps.list),
        adders: steps.adders,
        chain: list.chain.clone(),
        multiplier: steps.multiplier,
        net_adders: Money::new(steps.net_adders),
        surcharges: steps.surcharges,
        decimals,
        net,
        rate_words: rate.words.clone(),
        rate: rate.percent.fraction(),
        is_margin: rate.is_margin,
        sell,
    })
}

struct Steps {
    unit_words: String,
    list: Decimal,
    adders: Vec<Extra>,
    multiplier: Decimal,
    net_adders: Decimal,
    surcharges: Vec<(String, Decimal, Money)>,
    exact: Decimal,
}

/// Everything up to the exact net of the unit counted. Outer `None`: too large.
fn to_net(list: &ListPrice, unit: (Unit, u32), terms: &PriceTerms) -> Option<Result<Steps, Trouble>> {
    let Some(unit) = in_units(list, unit) else { return Some(Err(Trouble::Units)) };
    let of_base = unit.of(list.base.decimal(), true)?;
    let (mut at_list, mut net_adders, mut adders) = (of_base, Decimal::ZERO, Vec::new());
    for adder in &list.adders {
        let money = match adder.adds {
            Adds::List(money) | Adds::Net(money) => unit.of(money.decimal(), false)?,
            Adds::PercentOfList(percent) => of_base.checked_mul(percent)?.checked_div(Decimal::ONE_HUNDRED)?,
        };
        match adder.adds {
            Adds::Net(_) => net_adders = net_adders.checked_add(money)?,
            Adds::List(_) | Adds::PercentOfList(_) => at_list = at_list.checked_add(money)?,
        }
        adders.push(Extra { what: adder.what.clone(), adds: adder.adds, money: Money::new(money) });
    }
    let multiplier = chain(&list.chain)?;
    let before = at_list.checked_mul(multiplier)?.checked_add(net_adders)?;
    let mut surcharges = Vec::new();
    let mut exact = before;
    if terms.surcharges == SurchargeAt::InUnit {
        for (name, percent) in &list.surcharges {
            let money = before.checked_mul(*percent)?.checked_div(Decimal::ONE_HUNDRED)?;
            exact = exact.checked_add(money)?;
            surcharges.push((name.to_string(), *percent, Money::new(money)));
        }
    }
    let steps = Steps { unit_words: unit.words, list: at_list, adders, multiplier, net_adders, surcharges, exact };
    is_price(exact).then_some(Ok(steps))
}

/// The discount chain as one factor: per cents multiply, they never add. 50/10/5 is 0.4275.
pub fn chain(percents: &[Decimal]) -> Option<Decimal> {
    percents.iter().try_fold(Decimal::ONE, |factor, percent| {
        let left = Decimal::ONE_HUNDRED.checked_sub(*percent)?;
        factor.checked_mul(left)?.checked_div(Decimal::ONE_HUNDRED)
    })
}

/// Shipping weight of so many of an item, pounds; none where the catalog does not tell it. Weights are of what one price is
/// for, as prices are: of a pair, a set, the piece that is cut.
pub fn weight(item: &Item, category: Option<Category>, count: Decimal) -> Option<Decimal> {
    let good = &item.candidate.as_ref()?.good;
    in_units(&good.list, (item.unit, set_of(category, good)))?.of(good.list.weight?.checked_mul(count)?, false)
}

/// How a catalog price becomes the price of the unit counted: numerators and denominators, so that a division comes last.
struct InUnits {
    /// For the base figure: the length of the piece, where the base is per foot.
    piece: Option<Decimal>,
    times: Decimal,
    over: Decimal,
    words: String,
}

impl InUnits {
    fn of(&self, figure: Decimal, is_base: bool) -> Option<Decimal> {
        let mut top = figure.checked_mul(self.times)?;
        let mut bottom = self.over;
        if let Some(length) = self.piece.filter(|_| is_base) {
            top = top.checked_mul(length)?;
            bottom = bottom.checked_mul(Decimal::from(12))?;
        }
        top.checked_div(bottom)
    }
}

/// A pair is two pieces, a set so many as are told beside the unit; a piece sold by the foot is its length; feet of a good sold by the piece are a part of it.
fn in_units(list: &ListPrice, (unit, set_of): (Unit, u32)) -> Option<InUnits> {
    let length = list.length.map(|length| length.decimal()).filter(|length| *length > Decimal::ZERO);
    let by = |piece, times: Decimal, over: Decimal, words: String| Some(InUnits { piece, times, over, words });
    let (one, two, foot) = (Decimal::ONE, Decimal::TWO, Decimal::from(12));
    match (unit, list.per, length) {
        (Unit::Foot, Per::Foot, None) => by(None, one, one, String::new()),
        (Unit::Foot, Per::Foot, Some(length)) => by(Some(length), foot, length, "per foot".into()),
        (Unit::Foot, _, Some(length)) => {
            by(None, foot, length, format!("per piece of {} in × 12 / {0}", plain(length)))
        }
        (Unit::Foot, _, None) | (_, Per::Foot, None) => None,
        (_, Per::Foot, Some(length)) => by(Some(length), one, one, format!("per foot × {} in / 12", plain(length))),
        (Unit::Each, Per::Pair, _) => by(None, one, two, "per pair / 2".into()),
        (Unit::Pair, Per::Each, _) => by(None, two, one, "each × 2".into()),
        (Unit::Set, Per::Each, _) if set_of > 1 => by(None, set_of.into(), one, format!("each × {set_of}")),
        (Unit::Each, Per::Set, _) if set_of > 1 => by(None, one, set_of.into(), format!("per set / {set_of}")),
        _ => by(None, one, one, String::new()),
    }
}

fn plain(number: Decimal) -> String {
    number.normalize().to_string()
}

fn is_price(amount: Decimal) -> bool {
    amount.abs() <= LARGEST
}
