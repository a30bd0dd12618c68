//! Which good an opening gets where length or width differs from opening to opening: openings that need the same are
//! put together, and each group gets the good of the chosen product line for its own measures.

use std::collections::BTreeMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::takeoff::{From, Item};
use crate::catalog::Catalog;
use crate::catalog::good::{Candidate, Good, Request, Selection};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// What is wanted, whoever wants it.
pub(super) struct Wanted<'a> {
    pub(super) from: From,
    pub(super) unit: Unit,
    pub(super) category: Category,
    pub(super) asked: &'a Attributes,
    pub(super) varies: &'a BTreeMap<usize, Attributes>,
    pub(super) selection: &'a Selection,
}

/// The items of a line or addition, in the order in which its openings first need them.
pub(super) fn by_opening(
    wanted: &Wanted,
    shares: Vec<(usize, Decimal)>,
    total: Decimal,
    catalog: &Catalog,
) -> Vec<Item> {
    let item = |candidate, varied, shares, count| Item {
        from: wanted.from,
        candidate,
        unit: wanted.unit,
        varied,
        shares,
        count,
    };
    let best = wanted.selection.candidates.first();
    if wanted.varies.is_empty() || shares.is_empty() {
        return vec![item(best.cloned(), Attributes::new(), shares, total)];
    }
    let mut items: Vec<Item> = Vec::new();
    for (varied, shares) in grouped(wanted.varies, shares) {
        let candidate = if varied.is_empty() { best.cloned() } else { of_group(wanted, &varied, catalog) };
        let count = shares.iter().fold(Decimal::ZERO, |sum, (_, share)| sum.saturating_add(*share));
        let same = items.iter_mut().find(|other| match (&other.candidate, &candidate) {
            (Some(one), Some(two)) => one.good == two.good,
            _ => false,
        });
        match same {
            Some(other) => {
                other.shares.extend(shares);
                other.count = other.count.saturating_add(count);
            }
            None => items.push(item(candidate, varied, shares, count)),
        }
    }
    items
}

type Group = (Attributes, Vec<(usize, Decimal)>);

fn grouped(varies: &BTreeMap<usize, Attributes>, shares: Vec<(usize, Decimal)>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    let mut place: BTreeMap<Attributes, usize> = BTreeMap::new();
    for (opening, share) in shares {
        let varied = varies.get(&opening).cloned().unwrap_or_default();
        let at = *place.entry(varied.clone()).or_insert_with(|| {
            groups.push((varied, Vec::new()));
            groups.len() - 1
        });
        groups[at].1.push((opening, share));
    }
    groups
}

/// The good of the line's own product line where that makes it so; else the first that the catalog offers, which need not be of
/// a line that was a dearer choice before: stainless instead of plated steel is no reason for a swing clear hinge. Failing
/// that, any acceptable product line that makes it.
fn of_group(wanted: &Wanted, varied: &Attributes, catalog: &Catalog) -> Option<Arc<Candidate>> {
    let mut asked = wanted.asked.clone();
    asked.extend(varied.iter().map(|(name, value)| (*name, value.clone())));
    let made = |candidate: &Arc<Candidate>| {
        let mut decided = asked.clone();
        for open in &candidate.undecided {
            decided.entry(open.attribute).or_insert_with(|| open.taken.clone());
        }
        // The look that is asked for led to this finish; without it the line would be made in its usual one.
        let finishing = [names::FINISH, names::LOOK, names::BASE];
        if let Some(finish) = candidate.good.attributes.get(&names::FINISH)
            && asked.contains_key(&names::LOOK)
            && !finishing.iter().any(|name| varied.contains_key(name))
        {
            decided.entry(names::FINISH).or_insert_with(|| finish.clone());
        }
        let good = catalog.good(&candidate.good.line, &decided).ok().filter(|good| meets(good, varied))?;
        Some(Arc::new(Candidate { good, why: candidate.why.clone(), undecided: candidate.undecided.clone() }))
    };
    let all = &wanted.selection.candidates;
    let offered = || {
        let makers = wanted.selection.makers.clone();
        let request = Request { category: wanted.category, attributes: asked.clone(), makers };
        catalog.select(&request).candidates.into_iter().next()
    };
    all.first().and_then(made).or_else(offered).or_else(|| all.iter().skip(1).find_map(made))
}

/// Whether a good is what an opening asks of its own: a product line of plain bearing hinges makes no ball bearing one,
/// even though it leaves the bearing out of account. Lengths were met by the line itself, which may cut or go up to stock.
fn meets(good: &Good, varied: &Attributes) -> bool {
    varied.iter().all(|(name, value)| {
        matches!(value, Value::Length(_)) || good.attributes.get(name).is_none_or(|made| made == value)
    })
}
