//! What the pricing room has to say: goods without a price, lines below cost or below the floor margin, editions.

use std::collections::BTreeMap;

use super::alternates::PricedAlternate;
use super::offers::{self, Substitute};
use super::quote::{PricedItem, Trouble, Working};
use super::units::UnitPriced;
use super::{buying, pages, rounding};
use crate::catalog::Catalog;
use crate::complete::spec::{Completed, Status};
use crate::count::takeoff::From;
use crate::finding::{Finding, Kind, LineId};
use crate::money::Money;
use crate::terms::{Percent, Provisional, RoundAt, Terms};

/// Adds the findings of this room to the job, after those of the rooms before it, and marks lines that stay without a
/// price.
pub(super) fn add(
    job: &mut Completed,
    items: &[PricedItem],
    (units, alternates): (&[UnitPriced], &[PricedAlternate]),
    catalog: &Catalog,
    terms: &Terms,
) {
    let mut found = of_goods(job, items, terms);
    found.extend(super::without_good::find(job, items, catalog));
    found.extend(of_successors(job, catalog));
    found.extend(of_editions(catalog, terms));
    found.extend(of_weights(items, terms));
    found.extend(super::own_said::find(job, items));
    found.extend(catalog.notes.iter().map(|note| of_note(note)));
    found.push(of_basis(terms));
    found.extend(of_units(units));
    found.extend(of_alternates(alternates));
    found.extend(of_substitutes(job, items, terms));
    found.extend(of_surplus(job, items));
    found.extend(super::misnamed::find(job, catalog, terms));
    for mut finding in found {
        match terms.rules.get(finding.code).map(|word| word.trim()) {
            Some("off") => continue,
            // As in the rooms before: an assumption becomes a question, to be answered by a person.
            Some("ask") if finding.kind == Kind::Assumption => {
                finding.kind = Kind::Question;
                if finding.priced_as.is_empty() {
                    finding.priced_as = "as assumed".to_owned();
                }
            }
            _ => {}
        }
        let set = finding.set.clone().unwrap_or_default().split_whitespace().collect::<String>();
        let about = slug(&finding.excerpt);
        let parts = [finding.code, &set, &about].into_iter().filter(|part| !part.is_empty());
        finding.id = parts.collect::<Vec<_>>().join(":");
        let index = job.findings.len();
        for id in &finding.lines {
            if let Some(spec) = job.sets.get_mut(id.set).and_then(|set| set.specs.get_mut(id.line)) {
                spec.findings.push(index);
            }
        }
        job.findings.push(finding);
    }
    for item in items.iter().filter(|item| item.trouble.is_some_and(|trouble| trouble != Trouble::LeftOut)) {
        if let From::Line(id) = item.item.from
            && let Some(spec) = job.sets.get_mut(id.set).and_then(|set| set.specs.get_mut(id.line))
        {
            spec.status = Status::Unpriced;
        }
    }
}

/// One finding for each matter and good, with all its lines.
fn of_goods(job: &Completed, items: &[PricedItem], terms: &Terms) -> Vec<Finding> {
    let mut lines: BTreeMap<(&'static str, String), Vec<&PricedItem>> = BTreeMap::new();
    for item in items {
        if item.item.count.is_zero() {
            continue;
        }
        let good = match (&item.item.candidate, item.item.from) {
            (Some(candidate), _) => format!("{} {}", candidate.good.maker, candidate.good.designation),
            // A surcharge is no good of the catalog; its name stands in its reason.
            (None, From::Added(index)) if item.trouble == Some(Trouble::Rate) => {
                job.added.get(index).map(|added| added.why.clone()).unwrap_or_default()
            }
            _ => continue,
        };
        let code = match (item.trouble, &item.working) {
            (Some(Trouble::CallForPrice), _) => Some("call-for-price"),
            (Some(Trouble::Units), _) => Some("units-without-rule"),
            (Some(Trouble::TooLarge | Trouble::Rate), _) => Some("no-such-price"),
            (_, Some(working)) if working.sell < working.net => Some("below-cost"),
            (_, Some(working)) if is_below_floor(working, terms) => Some("below-floor-margin"),
            _ => None,
        };
        if let Some(code) = code {
            lines.entry((code, good)).or_default().push(item);
        }
    }
    lines.into_iter().map(|((code, good), items)| of_good(job, code, &good, &items, terms)).collect()
}

fn of_good(job: &Completed, code: &'static str, good: &str, items: &[&PricedItem], terms: &Terms) -> Finding {
    let margins = items.iter().filter_map(|item| item.working.as_ref()).map(margin);
    let least = margins.min().unwrap_or_default();
    let floor = terms.price.floor_margin.unwrap_or_default();
    let says = match code {
        "call-for-price" => format!("The maker of {good} gives no list price; it is not in the total."),
        "units-without-rule" => {
            format!("{good} is counted in one unit and sold in another, with no length to go from one to the other.")
        }
        "no-such-price" => format!("The figures of {good} give no price that could be meant."),
        "below-cost" => format!("{good} is sold below its net cost (margin {least})."),
        _ => format!("{good} is sold at a margin of {least}, below the floor of {floor}."),
    };
    let help = match code {
        "call-for-price" => "ask the maker for a price and put it into the catalog or into an allowance",
        "units-without-rule" => "give the length in the schedule, or a rule in the catalog",
        "no-such-price" => "check list price, adders and quantity",
        _ => "check the rate in the job terms, or accept it knowingly",
    };
    let mut finding = pages::finding(code, says).help(help);
    finding.excerpt = good.to_owned();
    let mut sets = std::collections::BTreeSet::new();
    for item in items {
        match item.item.from {
            From::Line(id) => {
                finding.lines.push(id);
                sets.insert(id.set);
            }
            From::Added(index) => sets.extend(job.added.get(index).and_then(|added| added.set)),
        }
    }
    finding.openings = super::without_good::numbers(job, items);
    if let [set] = sets.into_iter().collect::<Vec<_>>().as_slice() {
        finding.set = job.sets.get(*set).map(|set| set.id.clone());
    }
    finding.place = finding.lines.first().and_then(|id| place(job, *id));
    if finding.kind == crate::finding::Kind::Question {
        finding.priced_as = "not priced".to_owned();
    }
    finding
}

fn place(job: &Completed, id: LineId) -> Option<crate::place::Place> {
    Some(job.sets.get(id.set)?.specs.get(id.line)?.place.clone())
}

/// The part of the selling price that is not cost, for display to a tenth of a per cent.
fn margin(working: &Working) -> Percent {
    let share = (working.sell - working.net).decimal().checked_div(working.sell.decimal()).unwrap_or_default();
    Percent::new(super::rounding::shown_percent(share))
}

fn is_below_floor(working: &Working, terms: &Terms) -> bool {
    let Some(floor) = terms.price.floor_margin else { return false };
    // sell × (1 - floor) < net, so that nothing is divided.
    working.sell.times(rust_decimal::Decimal::ONE - floor.fraction()).is_some_and(|cost| cost < working.net)
}

/// Lines that nothing fits because what fits is no longer made.
fn of_successors(job: &Completed, catalog: &Catalog) -> Vec<Finding> {
    let mut found = Vec::new();
    for spec in job.sets.iter().flat_map(|set| &set.specs).filter(|spec| spec.selection.candidates.is_empty()) {
        let gone = spec.selection.near.iter().find_map(|(good, why)| {
            let line = catalog.line(&good.line)?;
            // A hinge of another kind is not to be had from the successor either.
            let only = line.is_only_gone(why);
            let (from, successor) = line.discontinued.filter(|_| only)?;
            Some((good, from, successor?))
        });
        let Some((good, from, successor)) = gone else { continue };
        let asked = spec.attributes.iter().map(|(name, sourced)| (*name, sourced.value.clone())).collect();
        let offer = match catalog.good(&successor, &asked) {
            Ok(next) => format!("its successor is {} {}, list {}", next.maker, next.designation, next.list.list()),
            Err(why) => format!("its successor {successor} does not make it: {why}"),
        };
        let says = format!("{} {} is not made since {from}; {offer}.", good.maker, good.designation);
        let mut finding =
            pages::finding("discontinued", says).help("have the successor approved, or name another good");
        finding.excerpt = spec.wording.text.clone();
        finding.place = Some(spec.place.clone());
        finding.set = job.sets.get(spec.id.set).map(|set| set.id.clone());
        finding.lines = vec![spec.id];
        finding.priced_as = "not priced".to_owned();
        found.push(finding);
    }
    found
}

/// The next edition of the catalog begins before the goods are delivered.
fn of_editions(catalog: &Catalog, terms: &Terms) -> Option<Finding> {
    let next = catalog.next_effective.as_deref()?;
    let delivery = terms.job.delivery.as_deref().filter(|delivery| *delivery >= next)?;
    let says = format!(
        "The goods are delivered from {delivery}, and the next edition of the price book holds from {next}; the quote uses the \
         edition of {}.",
        catalog.effective
    );
    let help = "order before that date, hold the price with the makers, or quote with an escalator";
    Some(pages::finding("next-edition", says).help(help))
}

/// What the catalog itself has to say: no edition in force, goods without a discount.
fn of_note(note: &str) -> Finding {
    let mut finding = pages::finding("catalog-note", format!("The catalog: {note}."));
    finding.excerpt = note.to_owned();
    finding.help("put it right in the catalog, or accept it knowingly")
}

/// How prices are rounded and what open questions are priced as.
fn of_basis(terms: &Terms) -> Finding {
    let round = match terms.price.round {
        RoundAt::Unit => "Each unit price is rounded to the cent, half up; quantities are multiplied exactly",
        RoundAt::Extension => "Each extension is rounded to the cent, half up; unit prices keep four decimals",
    };
    let open = match terms.price.provisional {
        Provisional::Dearest => "the dearest answer that fits",
        Provisional::Likeliest => "the likeliest answer",
        Provisional::LeaveOut => "nothing, and left out of the total",
    };
    let says = format!("{round}. Open questions are priced as {open}.");
    pages::finding("price-basis", says).help("`round` and `provisional` of the job terms change it")
}

/// Unit prices that nothing in the catalog meets.
fn of_units(units: &[UnitPriced]) -> Vec<Finding> {
    let without = units.iter().filter(|unit| unit.price.is_none());
    let as_finding = |unit: &UnitPriced| {
        let says = format!("The unit price \"{}\" has no figure: {}.", unit.name, unit.trouble);
        let mut finding =
            pages::finding("unit-price-missing", says).help("correct it in the job terms, or ask the maker");
        finding.excerpt = unit.name.clone();
        finding
    };
    without.map(as_finding).collect()
}

/// Lines priced with goods of another maker than they name: one finding for each maker named.
fn of_substitutes(job: &mut Completed, items: &[PricedItem], terms: &Terms) -> Vec<Finding> {
    let mut by_maker: BTreeMap<String, Vec<Substitute>> = BTreeMap::new();
    for one in offers::substitutes(job, items, terms) {
        if let Some(spec) = job.sets.get_mut(one.line.set).and_then(|set| set.specs.get_mut(one.line.line))
            && spec.status == Status::Settled
        {
            spec.status = Status::Assumed;
        }
        by_maker.entry(one.named.clone()).or_default().push(one);
    }
    let as_finding = |(named, all): (String, Vec<Substitute>)| {
        let mut goods: Vec<&str> = all.iter().map(|one| one.good.as_str()).collect();
        goods.dedup();
        let says = format!(
            "The catalog does not sell {named}; priced instead: {}. A substitution to be approved.",
            goods.join(", ")
        );
        let help = "have it approved and name the maker under [makers] of the job terms, or put the goods named into the catalog";
        let mut finding = pages::finding("substitution", says).help(help);
        finding.excerpt = named;
        finding.lines = all.iter().map(|one| one.line).collect();
        finding.place = finding.lines.first().and_then(|id| place(job, *id));
        let sets: std::collections::BTreeSet<usize> = finding.lines.iter().map(|id| id.set).collect();
        if let [set] = sets.into_iter().collect::<Vec<_>>().as_slice() {
            finding.set = job.sets.get(*set).map(|set| set.id.clone());
        }
        finding.priced_as = "as the goods taken instead".to_owned();
        finding
    };
    by_maker.into_iter().map(as_finding).collect()
}

/// What packs and least quantities cost beyond what the job needs.
fn of_surplus(job: &Completed, items: &[PricedItem]) -> Option<Finding> {
    const SHOWN: usize = 3;
    let mut over: Vec<(Money, String)> = Vec::new();
    for order in buying::of_items(items, job) {
        for row in order.rows.iter().filter(|row| row.pack.is_some() || row.minimum.is_some()) {
            let surplus = rounding::charge((row.net.times(row.order).unwrap_or_default() - row.cost).decimal());
            if surplus > Money::ZERO {
                let (maker, ordered, needed) = (&order.maker, row.order.normalize(), row.needed.normalize());
                let words = format!("{maker} {}: {ordered} for {needed}, {surplus} more", row.designation);
                over.push((surplus, words));
            }
        }
    }
    let all: Money = over.iter().map(|(surplus, _)| *surplus).sum();
    over.sort_by(|one, other| other.cmp(one));
    let mut shown: Vec<&str> = over.iter().take(SHOWN).map(|(_, words)| words.as_str()).collect();
    let more = over.len().saturating_sub(SHOWN);
    let rest = format!("{more} more good{}", if more == 1 { "" } else { "s" });
    if over.len() > SHOWN {
        shown.push(&rest);
    }
    let says = format!(
        "Packs and least quantities: the order costs {all} net more than what the job needs, taken to go into stock and \
         not in the total ({}).",
        shown.join("; ")
    );
    let help = "if it does not go into stock, carry it as an allowance; the buying list shows every good";
    (!over.is_empty()).then(|| pages::finding("order-exceeds-need", says).help(help))
}

/// Alternates that have no price.
fn of_alternates(alternates: &[PricedAlternate]) -> Vec<Finding> {
    let without = alternates.iter().filter(|alternate| alternate.delta.is_none());
    let as_finding = |alternate: &PricedAlternate| {
        let says = format!("The alternate \"{}\" has no price: {}.", alternate.name, alternate.trouble);
        let help = "correct it in the job terms (`pintle catalog list` shows what is sold), or ask the maker";
        let mut finding = pages::finding("alternate-without-price", says).help(help);
        finding.excerpt = alternate.name.clone();
        finding
    };
    without.map(as_finding).collect()
}

/// Freight goes by weight and some goods have none.
fn of_weights(items: &[PricedItem], terms: &Terms) -> Option<Finding> {
    let freight = &terms.freight;
    if freight.per_pound.is_none() || freight.rate.is_some() || freight.sum.is_some() {
        return None;
    }
    let goods =
        items.iter().filter(|item| item.extended != Money::ZERO).filter_map(|item| item.item.candidate.as_ref());
    let without: std::collections::BTreeSet<&str> = goods
        .filter(|candidate| candidate.good.list.weight.is_none())
        .map(|candidate| candidate.good.designation.as_str())
        .collect();
    if without.is_empty() {
        return None;
    }
    let shown: Vec<&str> = without.iter().copied().take(5).collect();
    let more = if without.len() > shown.len() { " …" } else { "" };
    let says = format!("Freight goes by weight, and {} goods have none: {}{more}", without.len(), shown.join(", "));
    Some(
        pages::finding("weight-missing", says)
            .help("give their weight in the catalog, or another freight rule in the job terms"),
    )
}

/// Letters and digits, words joined by hyphens, at most 60.
fn slug(text: &str) -> String {
    let words: String =
        text.to_lowercase().chars().map(|letter| if letter.is_alphanumeric() { letter } else { ' ' }).collect();
    words.split_whitespace().collect::<Vec<_>>().join("-").chars().take(60).collect()
}
