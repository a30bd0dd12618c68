//! How many each opening gets: quantity × leaves (where the line is per leaf) × openings that one row stands for.
//! An opening that is by others or existing takes nothing (common practice: sets multiply by the openings in contract).

use rust_decimal::Decimal;

use crate::complete::spec::{Addition, CompletedSet, Spec};
use crate::read::schedule::{Basis, Opening, Schedule};

/// Shares and their sum.
pub(super) type Shares = (Vec<(usize, Decimal)>, Decimal);

/// Shares of a line. A lot is counted once, if the set serves any opening at all, and belongs to no single opening.
pub(super) fn of_line(schedule: &Schedule, set: &CompletedSet, spec: &Spec) -> Shares {
    let served: Vec<(usize, &Opening)> = set
        .openings
        .iter()
        .filter_map(|index| schedule.openings.get(*index).map(|opening| (*index, opening)))
        .filter(|(_, opening)| opening.excluded.is_none())
        .collect();
    if spec.basis == Basis::Lot {
        let total = if served.is_empty() { Decimal::ZERO } else { spec.quantity };
        return (Vec::new(), total);
    }
    let shares = served.into_iter().filter(|(index, _)| !spec.left_out.contains(index)).map(|(index, opening)| {
        let leaves = match spec.basis {
            Basis::Leaf => Decimal::from(opening.leaves),
            Basis::Opening | Basis::Lot => Decimal::ONE,
        };
        let one = spec.at.get(&index).copied().unwrap_or_else(|| spec.quantity.saturating_mul(leaves));
        (index, one.saturating_mul(Decimal::from(opening.count)))
    });
    summed(shares.filter(|(_, share)| !share.is_zero()).collect())
}

/// Shares of an addition: as the rule gave them, times the openings that one row stands for.
pub(super) fn of_addition(schedule: &Schedule, added: &Addition) -> Shares {
    let shares = added.shares.iter().filter_map(|(index, each)| {
        let opening = schedule.openings.get(*index)?;
        let stands_for = Decimal::from(opening.count);
        opening.excluded.is_none().then(|| (*index, each.saturating_mul(stands_for)))
    });
    summed(shares.filter(|(_, share)| !share.is_zero()).collect())
}

fn summed(shares: Vec<(usize, Decimal)>) -> Shares {
    let total = shares.iter().fold(Decimal::ZERO, |sum, (_, share)| sum.saturating_add(*share));
    (shares, total)
}
