//! Goods that a line names with its own, `EXIT DEVICE, W/ MULLION`, where the set has them on a line of their own too: they
//! are counted there, and once. Whether they come on top is asked by the rule `line-twice`.

use std::collections::BTreeSet;

use crate::finding::LineId;
use crate::trade::rule_words;

use super::spec::{CompletedSet, Spec};

/// Why such goods are left out of the line that names them beside its own.
pub const AGAIN: &str = "left out: it stands on a line of its own";

/// Leaves out the goods of a set that stand on a line of their own too; `from` tells the line and the place in it of each.
pub(super) fn leave_out(set: &mut CompletedSet, from: &[(usize, usize)], void: &mut BTreeSet<LineId>) {
    // Hardly any line names a second good.
    if from.iter().all(|(_, place)| *place == 0) {
        return;
    }
    let own = |line: usize, spec: &Spec| {
        let mut others = set.specs.iter().zip(from);
        others.any(|(other, (of, place))| {
            *of != line && *place == 0 && other.excluded.is_none() && other.category == spec.category
        })
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

/// Whether the good stands behind "with", without a count of its own.
fn comes_with(spec: &Spec) -> bool {
    let Some(named) = spec.reading.named_at().filter(|named| !named.is_empty()) else { return false };
    let before = spec.wording.text.get(..named.start).unwrap_or_default().trim_end().to_lowercase();
    let joined = rule_words::of("comes-with").iter().any(|joint| before.ends_with(joint));
    let counted = spec.reading.quantity.evidence.as_ref().is_some_and(|by| by.span.end > named.start);
    joined && !counted
}
