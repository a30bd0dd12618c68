//! Goods that a line names with its own, `EXIT DEVICE, W/ MULLION`, where the set has them on a line of their own too: they
//! are counted there, and once, if they are surely the same. Whether they come on top is asked by the rule `line-twice` either way.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::finding::LineId;
use crate::trade::attribute::{Attr, names};
use crate::trade::{facts, rule_words};

use super::door::Door;
use super::spec::{CompletedSet, Spec};

/// Why such goods are left out of the line that names them beside its own.
pub const AGAIN: &str = "left out: it stands on a line of its own";

/// What a line gives its goods as it gives it to all that it names, and what says nothing of which good it is.
const SHARED: [Attr; 3] = [names::FINISH, names::LOOK, names::BASE];

/// Leaves out the goods of a set that surely stand on a line of their own too; `from` tells the line and the place in it of
/// each. Where the other line may mean another thing both are priced, and it is asked.
pub(super) fn leave_out(
    set: &mut CompletedSet,
    from: &[(usize, usize)],
    doors: &[Door],
    void: &mut BTreeSet<LineId>,
) {
    // Hardly any line names a second good.
    if from.iter().all(|(_, place)| *place == 0) {
        return;
    }
    let served: Vec<&Door> = set.openings.iter().filter_map(|index| doors.get(*index)).collect();
    let own = |line: usize, spec: &Spec| {
        let mut others = set.specs.iter().zip(from);
        others.any(|(other, (of, place))| *of != line && *place == 0 && is_surely(other, spec, &served))
    };
    let again: Vec<usize> = set
        .specs
        .iter()
        .zip(from)
        .enumerate()
        .filter(|(_, (spec, (line, place)))| {
            *place > 0 && spec.category.is_some() && spec.excluded.is_none() && comes_with(spec) && own(*line, spec)
        })
        .map(|(index, _)| index)
        .collect();
    for index in again {
        let Some(spec) = set.specs.get_mut(index) else { continue };
        spec.excluded = Some(AGAIN.to_owned());
        void.insert(spec.id);
    }
}

/// Whether a line of their own has surely the goods that another line names: nothing said of the one is otherwise at the
/// other, no word of it and no condition sets it apart, and every door that would get them there gets as many here.
fn is_surely(own: &Spec, named: &Spec, doors: &[&Door]) -> bool {
    let plain = own.excluded.is_none()
        && own.left_out.is_empty()
        && own.reading.conditions.is_empty()
        && own.reading.unread.is_empty();
    plain && own.category == named.category && !differ(own, named) && doors.iter().all(|door| covers(own, named, door))
}

fn differ(own: &Spec, named: &Spec) -> bool {
    let said = named.attributes.iter().filter(|(name, _)| !SHARED.contains(name) && named.says(**name));
    said.into_iter().any(|(name, sourced)| own.value(*name).is_some_and(|value| *value != sourced.value))
}

/// Of what an opening has once, one is enough, however many a line of leaves would name.
fn covers(own: &Spec, named: &Spec, door: &Door) -> bool {
    let of_leaves = named.category.and_then(facts::of).is_some_and(|facts| facts.basis == "leaf");
    let due = named.count_at(door);
    let due = if of_leaves { due } else { due.min(Decimal::ONE) };
    own.count_at(door) >= due && !own.count_at(door).is_zero()
}

/// Whether the good stands behind "with", without a count of its own.
pub(crate) fn comes_with(spec: &Spec) -> bool {
    let Some(named) = spec.reading.named_at().filter(|named| !named.is_empty()) else { return false };
    let before = spec.wording.text.get(..named.start).unwrap_or_default().trim_end().to_lowercase();
    let joined = rule_words::of("comes-with").iter().any(|joint| before.ends_with(joint));
    let counted = spec.reading.quantity.evidence.as_ref().is_some_and(|by| by.span.end > named.start);
    joined && !counted
}
