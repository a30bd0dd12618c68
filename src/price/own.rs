//! Totals, prices and rates that the user typed over in the estimate. A typed price stands for the good that the line had
//! then, a typed total for the count that it had then; where the line has since come to mean another good or another
//! count, what was typed is not used, and a finding says so.

use rust_decimal::Decimal;

use super::quote::{Over, PricedItem, Working};
use super::{rounding, row_of, working};
use crate::catalog::good::{Candidate, Entry, Good, ListPrice, Per};
use crate::complete::spec::{Completed, Status};
use crate::complete::told::{LineName, NO_GOOD, Typed, What, names_good, same_words};
use crate::complete::typed::label;
use crate::count::takeoff::{From, Item};
use crate::finding::Kind;
use crate::money::Money;
use crate::terms::{Amount, Percent, PriceTerms, Terms};
use crate::trade::category::Category;

/// Maker shown for what has a typed price and no good of the catalog.
pub const BY_HAND: &str = "As specified";

/// Prices an item, with what was typed over for it.
pub(super) fn price(job: &Completed, mut item: Item, category: Option<Category>, terms: &PriceTerms) -> PricedItem {
    let row = row_of(item.from, job);
    if job.typed.is_empty() {
        return working::item(item, category, row, terms);
    }
    let name = name_of(job, item.from);
    let good = good_of(&item);
    let is_of_count = |one: &Typed| one.was.parse() == Ok(item.count);
    let quantity = job.typed.iter().rev().find(|one| is_for(one, What::Quantity, &name, &good) && is_of_count(one));
    let out = job.typed.iter().any(|one| one.leaves_row_out() && is_for(one, What::LeaveOut, &name, &good));
    let price = job.typed.iter().rev().find(|one| is_for(one, What::Price, &name, &good));
    let mut over = Over::default();
    if let Some(quantity) = quantity.and_then(|one| one.value.parse::<Decimal>().ok()) {
        over.quantity = Some(item.count);
        recount(&mut item, quantity);
    }
    if out && is_ours(job, item.from) {
        over.quantity.get_or_insert(item.count);
        over.left_out = Some(item.shares.iter().map(|(opening, _)| *opening).collect());
        recount(&mut item, Decimal::ZERO);
    }
    let price = price.and_then(|one| one.value.parse::<Money>().ok()).filter(|_| is_ours(job, item.from));
    if price.is_some() && item.candidate.is_none() {
        item.candidate = Some(std::sync::Arc::new(by_hand(job, item.from)));
    }
    let mut priced = working::item(item, category, row, terms);
    if let Some(price) = price {
        over.is_priced = true;
        over.working = priced.working.take();
        let by_rate = over.working.clone().unwrap_or_else(|| without_list(price));
        match working::extend(priced.item.count, typed_over(by_rate, price)) {
            Ok((working, extended, rounding, cost)) => {
                (priced.extended, priced.rounding, priced.cost) = (extended, rounding, cost);
                (priced.working, priced.trouble) = (Some(working), None);
            }
            Err(trouble) => priced.trouble = Some(trouble),
        }
    }
    priced.over = over;
    priced
}

/// Whether a typed figure is for an item.
pub(super) fn is_for(one: &Typed, what: What, name: &LineName, good: &str) -> bool {
    one.what == what && !name.words.is_empty() && one.is_about(name, good) && stands_for(one, good)
}

/// Whether a typed figure was typed for a good.
pub fn stands_for(one: &Typed, good: &str) -> bool {
    if one.good.is_empty() || one.good == NO_GOOD { good.is_empty() } else { names_good(&one.good, good) }
}

/// The name of the line or addition that an item comes from.
pub fn name_of(job: &Completed, from: From) -> LineName {
    match from {
        From::Line(id) => job.line_name(id),
        From::Added(index) => job.added_name(index),
    }
}

/// Maker and designation of an item's good. If the catalog has none for it: what it has otherwise than the rest of its
/// line, which may be nothing.
pub fn good_of(item: &Item) -> String {
    let otherwise = || {
        let varied: Vec<String> = item.varied.iter().map(|(name, value)| format!("{name} {value}")).collect();
        varied.join(", ")
    };
    item.candidate
        .as_ref()
        .map(|candidate| &candidate.good)
        .filter(|good| &*good.maker != BY_HAND)
        .map_or_else(otherwise, label)
}

pub(super) fn is_ours(job: &Completed, from: From) -> bool {
    match from {
        From::Line(id) => {
            job.sets.get(id.set).and_then(|set| set.specs.get(id.line)).is_some_and(|spec| spec.excluded.is_none())
        }
        From::Added(index) => job.added.get(index).is_some_and(|added| added.ours),
    }
}

/// Another count in all. Where it comes out whole for every opening in the old proportion it stays with the openings,
/// else it belongs to the job.
fn recount(item: &mut Item, quantity: Decimal) {
    let scaled: Option<Vec<(usize, Decimal)>> = item
        .shares
        .iter()
        .map(|(opening, share)| {
            let share = share.checked_mul(quantity)?.checked_div(item.count)?;
            share.fract().is_zero().then_some((*opening, share))
        })
        .collect();
    let fits = |shares: &Vec<(usize, Decimal)>| {
        shares.iter().try_fold(Decimal::ZERO, |sum, (_, share)| sum.checked_add(*share)) == Some(quantity)
    };
    item.shares = scaled.filter(fits).unwrap_or_default();
    item.shares.retain(|(_, share)| !share.is_zero());
    item.count = quantity;
}

/// A stand-in for the good that the catalog does not have.
fn by_hand(job: &Completed, from: From) -> Candidate {
    let words = match from {
        From::Line(id) => job.sets.get(id.set).and_then(|set| set.specs.get(id.line)).map(|spec| spec.words()),
        From::Added(index) => job.added.get(index).map(|added| added.category.name().replace('-', " ")),
    };
    let entry = Entry { file: "typed over in the estimate".into(), line: 0 };
    let list = ListPrice {
        base: Money::ZERO,
        base_entry: entry.clone(),
        made_of: Vec::new(),
        adders: Vec::new(),
        per: Per::Each,
        chain: Vec::new(),
        chain_entry: entry,
        length: None,
        pieces: Vec::new(),
        surcharges: Vec::new(),
        pack: None,
        returnable: false,
        weight: None,
        minimum: None,
        call_for_price: true,
        notes: vec!["priced by hand; cost not known, taken as the price".into()],
    };
    let description = words.unwrap_or_default();
    let good = Good {
        line: "priced-by-hand".into(),
        maker: BY_HAND.into(),
        designation: description.clone(),
        description,
        attributes: Default::default(),
        list,
        parts: Vec::new(),
    };
    Candidate { good, why: vec!["a price was typed over for it".into()], undecided: Vec::new() }
}

/// A unit of which only the typed price is known: its cost is not, so it is taken to be as much.
fn without_list(price: Money) -> Working {
    Working {
        base: price,
        made_of: Vec::new(),
        unit_words: String::new(),
        list: price,
        adders: Vec::new(),
        chain: Vec::new(),
        multiplier: Decimal::ONE,
        net_adders: Money::ZERO,
        surcharges: Vec::new(),
        decimals: rounding::FINE,
        net: price,
        rate_words: String::new(),
        rate: Decimal::ZERO,
        is_margin: true,
        sell: price,
    }
}

/// The working with the typed price: the rate is the one that it leaves.
fn typed_over(mut working: Working, price: Money) -> Working {
    let (net, sell) = (working.net.decimal(), price.decimal());
    working.sell = price;
    working.rate_words = "price typed over".to_owned();
    // A margin is a part of the price; a price of nothing has none, so it is said as a markup.
    (working.rate, working.is_margin) = match net.checked_div(sell) {
        Some(share) => (Decimal::ONE - share, true),
        None => (-Decimal::ONE, false),
    };
    working
}

/// Settles what a typed price settles: lines that had none are no longer open, nor are the questions about them alone.
pub(super) fn settle(job: &mut Completed, items: &[PricedItem]) {
    let mut priced = std::collections::BTreeSet::new();
    // A line of several goods is open as long as one of them has no price.
    let bare = |item: &&PricedItem| item.working.is_none() && !item.item.count.is_zero();
    let open: std::collections::BTreeSet<From> = items.iter().filter(bare).map(|item| item.item.from).collect();
    for item in items.iter().filter(|item| item.over.is_priced) {
        let From::Line(id) = item.item.from else { continue };
        if open.contains(&item.item.from) {
            continue;
        }
        if let Some(spec) = job.sets.get_mut(id.set).and_then(|set| set.specs.get_mut(id.line))
            && matches!(spec.status, Status::Unpriced | Status::Unread)
        {
            spec.status = Status::Assumed;
            priced.insert(id);
        }
    }
    for finding in &mut job.findings {
        let is_about_price = ["no-good-fits", "line-not-read"].contains(&finding.code);
        if is_about_price && !finding.lines.is_empty() && finding.lines.iter().all(|line| priced.contains(line)) {
            finding.kind = Kind::Note;
            finding.says = format!("{} A price was typed over.", finding.says.trim_end());
            finding.answers.clear();
            finding.priced_as.clear();
        }
    }
}

/// Names of the rates and sums that stand on the first page besides the margins, as they are kept.
pub const RATES: [&str; 7] =
    ["freight_rate", "tax_rate", "bond_rate", "floor_margin", "freight_sum", "freight_per_pound", "freight_free_above"];

/// The terms with the rates that were typed over; what stood in the terms is noted beside each.
pub fn terms(terms: &Terms, typed: &mut [Typed]) -> Terms {
    let mut changed = terms.clone();
    for one in typed.iter_mut().filter(|one| one.what == What::Rate) {
        let Ok(value) = one.value.parse::<Decimal>() else { continue };
        let percent = Percent::new(value.saturating_mul(Decimal::ONE_HUNDRED));
        let (rate, sum) = match one.line.words.as_str() {
            "freight_rate" => (Some(&mut changed.freight.rate), None),
            "tax_rate" => (Some(&mut changed.tax.rate), None),
            "bond_rate" => (Some(&mut changed.price.bond), None),
            "floor_margin" => (Some(&mut changed.price.floor_margin), None),
            "freight_sum" => (None, Some(&mut changed.freight.sum)),
            "freight_per_pound" => (None, Some(&mut changed.freight.per_pound)),
            "freight_free_above" => (None, Some(&mut changed.freight.free_above)),
            _ => (None, None),
        };
        match (rate, sum) {
            (Some(rate), _) => {
                one.was = rate.map(|rate| rate.fraction().normalize().to_string()).unwrap_or_default();
                *rate = Some(percent);
            }
            (_, Some(sum)) => {
                one.was = sum.map(|sum| sum.0.normalize().to_string()).unwrap_or_default();
                *sum = Some(Amount(value));
            }
            // A margin or markup by whose it is.
            _ => {
                one.was = rate_of(terms, &one.line.words)
                    .map(|rate| rate.fraction().normalize().to_string())
                    .unwrap_or_default();
                changed.price.typed.insert(one.line.words.clone(), percent);
            }
        }
    }
    changed
}

/// The rate that the terms give to what `margin (hinge)` names.
fn rate_of(terms: &Terms, words: &str) -> Option<Percent> {
    let price = &terms.price;
    let whose = words.split_once('(')?.1.trim_end_matches(')');
    if whose == "every line" {
        return Some(price.rate);
    }
    let named = [&price.by_row, &price.by_line, &price.by_category, &price.by_maker];
    named.into_iter().find_map(|rates| rates.iter().find(|(name, _)| same_words(name, whose)).map(|(_, rate)| *rate))
}
