//! The same money added up in other ways: by set, by opening, by item, by category, by maker, by phase or building. Every view adds up to the
//! goods in whole cents (`goods + rounding`); what belongs to no row of a view (a lot, a surcharge) has a row of its own.

use std::collections::{BTreeMap, HashMap};

use rust_decimal::Decimal;

use super::category_of;
use super::quote::{PricedItem, Quote};
use super::rounding;
use crate::count::takeoff::From;
use crate::money::Money;
use crate::terms::is_number;

/// One row of a view.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Key of the row: set id, door number, designation, category, maker; empty for what belongs to none.
    pub name: String,
    /// Title of the set, description of the good.
    pub words: String,
    /// How many, where one unit is counted.
    pub count: Option<Decimal>,
    /// Unit price, where all of the row have the same.
    pub unit_price: Option<Money>,
    /// Whole cents.
    pub sum: Money,
}

/// The sum that every view adds up to.
pub fn lump(quote: &Quote) -> Money {
    quote.totals.goods + quote.totals.rounding
}

/// One row for each set in the order read, with the additions of the set; then what belongs to no set.
pub fn by_set(quote: &Quote) -> Vec<Row> {
    let mut sums = vec![Money::ZERO; quote.job.sets.len()];
    let mut rest = Money::ZERO;
    for item in &quote.items {
        match set_of(item, quote).and_then(|set| sums.get_mut(set)) {
            Some(sum) => *sum += item.sum(),
            None => rest += item.sum(),
        }
    }
    let rows = quote.job.sets.iter().enumerate().zip(sums).map(|((at, set), sum)| match set.title.is_empty() {
        true => row(&set.id, &doors_of(quote, at), sum),
        false => row(&set.id, &set.title, sum),
    });
    rows.chain(other(rest, "For the whole job")).collect()
}

/// Numbers named at most where a set has no title.
const NAMED: usize = 4;

/// The doors of a set without a title, which say what it is.
fn doors_of(quote: &Quote, set: usize) -> String {
    let openings = &quote.job.schedule.openings;
    let of_set = quote.job.sets.get(set).into_iter().flat_map(|set| &set.openings);
    let doors: Vec<&str> = of_set.filter_map(|at| openings.get(*at)).map(|door| door.number.as_str()).collect();
    let (named, more) = (doors.len().min(NAMED), doors.len().saturating_sub(NAMED));
    match (doors.len(), more) {
        (0, _) => String::new(),
        (1, _) => format!("Opening {}", doors[0]),
        (_, 0) => format!("Openings {}", doors.join(", ")),
        _ => format!("Openings {} and {more} more", doors[..named].join(", ")),
    }
}

/// The index of the set an item belongs to.
pub fn set_of(item: &PricedItem, quote: &Quote) -> Option<usize> {
    match item.item.from {
        From::Line(id) => Some(id.set),
        From::Added(index) => {
            let added = quote.job.added.get(index)?;
            added.set.or_else(|| set_of_openings(item, quote))
        }
    }
}

/// The one set that all openings of an item have.
fn set_of_openings(item: &PricedItem, quote: &Quote) -> Option<usize> {
    let mut openings = item.item.shares.iter().map(|(opening, _)| *opening);
    let first = openings.next()?;
    let at = quote.job.sets.iter().position(|set| set.openings.contains(&first))?;
    openings.all(|opening| quote.job.sets[at].openings.contains(&opening)).then_some(at)
}

/// One row for each opening in the order read; then lots and what else belongs to no single opening.
pub fn by_opening(quote: &Quote) -> Vec<Row> {
    let openings = &quote.job.schedule.openings;
    let mut sums = vec![Money::ZERO; openings.len()];
    let mut rest = Money::ZERO;
    for item in &quote.items {
        let mut left = item.sum();
        for (opening, money) in over_openings(item) {
            match sums.get_mut(opening) {
                Some(sum) => *sum += money,
                None => continue,
            }
            left -= money;
        }
        rest += left;
    }
    let rows = openings.iter().zip(sums).map(|(opening, sum)| row(&opening.number, &opening.room, sum));
    rows.chain(other(rest, "Lots and job-wide")).collect()
}

/// An item's money by opening: share × unit price, in whole cents; where cents are left over by the rounding, the last
/// opening bears them, so that the openings add up to the item.
pub fn over_openings(item: &PricedItem) -> Vec<(usize, Money)> {
    let Some(working) = &item.working else { return Vec::new() };
    let mut left = item.sum();
    let mut parts: Vec<(usize, Money)> = Vec::with_capacity(item.item.shares.len());
    for (opening, share) in &item.item.shares {
        let money = rounding::extension(working.sell.times(*share).unwrap_or_default());
        left -= money;
        parts.push((*opening, money));
    }
    if let Some((_, last)) = parts.last_mut() {
        *last += left;
    }
    parts
}

/// One row for each phase or building of the terms, in their order; then what belongs to none. Empty without phases.
pub fn by_phase(quote: &Quote) -> Vec<Row> {
    let phases = &quote.terms.phases;
    if phases.is_empty() {
        return Vec::new();
    }
    let of = self::phases(quote);
    let mut sums = vec![Money::ZERO; phases.len()];
    let mut counts = vec![0usize; phases.len()];
    let mut rest = Money::ZERO;
    for phase in of.iter().flatten() {
        counts[*phase] += 1;
    }
    for item in &quote.items {
        let mut left = item.sum();
        for (opening, money) in over_openings(item) {
            if let Some(phase) = of.get(opening).copied().flatten() {
                sums[phase] += money;
                left -= money;
            }
        }
        rest += left;
    }
    let words = |count: usize| if count == 1 { "1 opening".to_owned() } else { format!("{count} openings") };
    let rows = phases.iter().zip(sums).zip(counts).map(|((phase, sum), count)| row(&phase.name, &words(count), sum));
    rows.chain(other(rest, "Other openings, lots and job-wide")).collect()
}

/// The phase of each opening: the first that names its number, else the first that names its set.
pub fn phases(quote: &Quote) -> Vec<Option<usize>> {
    let openings = &quote.job.schedule.openings;
    if quote.terms.phases.is_empty() {
        return vec![None; openings.len()];
    }
    // A job of buildings names thousands of doors one by one.
    let (mut numbers, mut sets) = (HashMap::new(), HashMap::new());
    let mut beginnings = Vec::new();
    for (at, phase) in quote.terms.phases.iter().enumerate() {
        for name in &phase.openings {
            let name = name.trim().to_uppercase();
            match name.strip_suffix('*') {
                Some(_) => beginnings.push((name, at)),
                None => _ = numbers.entry(name).or_insert(at),
            }
        }
        for set in &phase.sets {
            sets.entry(set.trim().to_ascii_lowercase()).or_insert(at);
        }
    }
    let mut of_set = vec![None; openings.len()];
    // The first set that has an opening holds.
    for set in quote.job.sets.iter().rev() {
        let phase = sets.get(&set.id.to_ascii_lowercase()).copied();
        for opening in &set.openings {
            if let Some(known) = of_set.get_mut(*opening) {
                *known = phase;
            }
        }
    }
    let of_number = |number: &str| {
        let begun = beginnings.iter().find(|(name, _)| is_number(name, number)).map(|(_, at)| *at);
        let named = numbers.get(&number.trim().to_uppercase()).copied();
        begun.into_iter().chain(named).min()
    };
    openings.iter().zip(of_set).map(|(opening, of_set)| of_number(&opening.number).or(of_set)).collect()
}

/// One row for each good (maker and designation) with the same unit price, in order of maker and designation.
pub fn by_item(quote: &Quote) -> Vec<Row> {
    let mut rows: BTreeMap<(String, String, Money), Row> = BTreeMap::new();
    let mut rest = Money::ZERO;
    for item in &quote.items {
        let (Some(working), Some(candidate)) = (&item.working, &item.item.candidate) else {
            rest += item.sum();
            continue;
        };
        let good = &candidate.good;
        let key = (good.maker.to_string(), good.designation.clone(), working.sell);
        let row = rows.entry(key).or_insert_with(|| Row {
            count: Some(Decimal::ZERO),
            unit_price: Some(working.sell),
            ..row(&good.designation, &good.description, Money::ZERO)
        });
        row.sum += item.sum();
        row.count = row.count.map(|count| count.saturating_add(item.item.count));
    }
    rows.into_values().chain(other(rest, "Surcharges")).collect()
}

/// One row for each category in the usual order of a set.
pub fn by_category(quote: &Quote) -> Vec<Row> {
    let mut sums = BTreeMap::new();
    let mut rest = Money::ZERO;
    for item in &quote.items {
        match category_of(item.item.from, &quote.job).filter(|_| item.item.candidate.is_some()) {
            Some(category) => *sums.entry(category).or_insert(Money::ZERO) += item.sum(),
            None => rest += item.sum(),
        }
    }
    let rows = sums.into_iter().map(|(category, sum)| row(category.name(), "", sum));
    rows.chain(other(rest, "Surcharges")).collect()
}

/// One row for each maker.
pub fn by_maker(quote: &Quote) -> Vec<Row> {
    let mut sums: BTreeMap<&str, Money> = BTreeMap::new();
    let mut rest = Money::ZERO;
    for item in &quote.items {
        match &item.item.candidate {
            Some(candidate) => *sums.entry(&candidate.good.maker).or_insert(Money::ZERO) += item.sum(),
            None => rest += item.sum(),
        }
    }
    let rows = sums.into_iter().map(|(maker, sum)| row(maker, "", sum));
    rows.chain(other(rest, "Surcharges")).collect()
}

fn row(name: &str, words: &str, sum: Money) -> Row {
    Row { name: name.to_owned(), words: words.to_owned(), count: None, unit_price: None, sum }
}

fn other(rest: Money, words: &str) -> Option<Row> {
    (!rest.is_zero()).then(|| row("", words, rest))
}
