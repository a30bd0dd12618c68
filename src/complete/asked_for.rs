//! What answers do to additions: goods asked for come in, goods not wanted go at the openings of the question.

use std::collections::{BTreeMap, HashSet};

use rust_decimal::Decimal;

use super::door::Door;
use super::job::Job;
use super::rules::length::length_of;
use super::rules::plate_size::width_at;
use super::spec::{Addition, CompletedSet};
use crate::finding::Finding;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::facts;
use crate::understand::reading::Unit;

/// What an answer adds, shared over the doors of its finding; goods that are cut to their door get the measures of each.
/// The money beside the answer is reckoned from this too, so that an answer costs what it is said to cost.
pub fn asked_for(
    (question, answer): (&Finding, &str),
    (all, sets): (&[Door], &[CompletedSet]),
    category: Category,
    attributes: &Attributes,
    quantity: Decimal,
) -> Option<Addition> {
    let named = named(question);
    let mut doors: Vec<_> = all.iter().filter(|door| door.live && named.contains(door.number.as_str())).collect();
    if doors.is_empty() {
        doors.extend(all.iter().find(|door| door.live));
    }
    let rows: Decimal = doors.iter().map(|door| Decimal::from(door.count)).sum();
    let leaves: Decimal = doors.iter().map(|door| Decimal::from(door.count) * Decimal::from(door.leaves)).sum();
    // One for each leaf, or equal shares where they come out even, else all at the first door.
    let share = quantity.checked_div(rows)?;
    let shares: Vec<(usize, Decimal)> = if quantity == leaves {
        doors.iter().map(|door| (door.index, Decimal::from(door.leaves))).collect()
    } else if share.fract().is_zero() {
        doors.iter().map(|door| (door.index, share)).collect()
    } else {
        let first = doors.first()?;
        vec![(first.index, quantity.checked_div(Decimal::from(first.count))?)]
    };
    let mut varies = BTreeMap::new();
    let mullions: Vec<&CompletedSet> =
        sets.iter().filter(|set| set.specs.iter().any(|spec| spec.is_any(&[Category::Mullion]))).collect();
    for (index, _) in &shares {
        let measures = all.get(*index).map(|door| measures(category, attributes, door, &mullions)).unwrap_or_default();
        if !measures.is_empty() {
            varies.insert(*index, measures);
        }
    }
    let set = question.set.as_ref().and_then(|id| sets.iter().position(|set| set.id == *id));
    Some(Addition {
        category,
        attributes: attributes.clone(),
        // One of them is what an opening has: of bolts a set.
        unit: if facts::of(category).is_some_and(|facts| facts.set_of > 1) { Unit::Set } else { Unit::Each },
        shares,
        varies,
        rule: question.code,
        why: format!("Answered: {}.", answer),
        set,
        ours: true,
        by: None,
        selection: Default::default(),
    })
}

/// The numbers of the doors that a question names: of a whole job they are thousands.
fn named(question: &Finding) -> HashSet<&str> {
    question.openings.iter().map(String::as_str).collect()
}

/// Length or width that goods of a category have at a door, where they do not have it already. `mullions`: the sets with one.
fn measures(category: Category, attributes: &Attributes, door: &Door, mullions: &[&CompletedSet]) -> Attributes {
    let mut measures = Attributes::new();
    if !attributes.contains_key(&names::LENGTH)
        && let Some(length) = length_of(category, door)
    {
        measures.insert(names::LENGTH, Value::Length(length));
    }
    if category == Category::ProtectionPlate && !attributes.contains_key(&names::WIDTH) {
        let beside = mullions.iter().any(|set| set.openings.contains(&door.index));
        measures.extend(width_at(door, beside, None).map(|width| (names::WIDTH, Value::Length(width))));
    }
    measures
}

/// Takes an addition out at the openings of a question. Whether some of it is left at others.
pub(super) fn keeps_some(addition: &mut Addition, question: &Finding, job: &Job) -> bool {
    if question.openings.is_empty() || addition.shares.is_empty() {
        return false;
    }
    let named = named(question);
    let asked = |index: &usize| job.doors.get(*index).is_some_and(|door| named.contains(door.number.as_str()));
    addition.shares.retain(|(index, _)| !asked(index));
    addition.varies.retain(|index, _| !asked(index));
    !addition.shares.is_empty()
}
