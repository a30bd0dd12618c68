//! What answers do to additions: goods asked for come in, goods not wanted go at the openings of the question.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::job::Job;
use super::spec::Addition;
use crate::finding::Finding;
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// What an answer adds, shared over the doors of its finding.
pub(super) fn asked_for(
    (question, answer): (&Finding, &str),
    job: &Job,
    category: Category,
    attributes: &Attributes,
    quantity: Decimal,
) -> Option<Addition> {
    let mut doors: Vec<_> =
        job.doors.iter().filter(|door| door.live && question.openings.contains(&door.number)).collect();
    if doors.is_empty() {
        doors.extend(job.doors.iter().find(|door| door.live));
    }
    let rows: Decimal = doors.iter().map(|door| Decimal::from(door.count)).sum();
    let leaves: Decimal = doors.iter().map(|door| Decimal::from(door.count) * Decimal::from(door.leaves)).sum();
    // One for each leaf, or equal shares where they come out even, else all at the first door.
    let share = quantity.checked_div(rows)?;
    let shares = if quantity == leaves {
        doors.iter().map(|door| (door.index, Decimal::from(door.leaves))).collect()
    } else if share.fract().is_zero() {
        doors.iter().map(|door| (door.index, share)).collect()
    } else {
        let first = doors.first()?;
        vec![(first.index, quantity.checked_div(Decimal::from(first.count))?)]
    };
    let set = question.set.as_ref().and_then(|id| job.sets.iter().position(|set| set.id == *id));
    Some(Addition {
        category,
        attributes: attributes.clone(),
        unit: Unit::Each,
        shares,
        varies: BTreeMap::new(),
        rule: question.code,
        why: format!("Answered: {}.", answer),
        set,
        ours: true,
        by: None,
        selection: Default::default(),
    })
}

/// Takes an addition out at the openings of a question. Whether some of it is left at others.
pub(super) fn keeps_some(addition: &mut Addition, question: &Finding, job: &Job) -> bool {
    let asked =
        |index: &usize| job.doors.iter().any(|door| door.index == *index && question.openings.contains(&door.number));
    if question.openings.is_empty() || addition.shares.is_empty() {
        return false;
    }
    addition.shares.retain(|(index, _)| !asked(index));
    addition.varies.retain(|index, _| !asked(index));
    !addition.shares.is_empty()
}
