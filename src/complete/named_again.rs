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
pub(super) fn leave_out(set: &mut CompletedSet, from: &[(usize, usize)], doors: &[Door], void: &mut BTreeSet<LineId>) {
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

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use crate::catalog::Catalog;
    use crate::complete::complete_by;
    use crate::complete::example::job;
    use crate::complete::rules::RULES;
    use crate::complete::spec::Completed;
    use crate::complete::told::{Answers, Told};
    use crate::evidence::{By, Evidence};
    use crate::terms::Terms;
    use crate::trade::category::Category;
    use crate::understand::reading::{Heard, Unit};

    /// Bolts that come with their strikes, a pair of each, and strikes on a row of their own.
    fn bolts(own: &str, answers: &Answers) -> Completed {
        let (mut schedule, mut readings) = job(&format!("door 101 72x84 hm pair; flush-bolt 1; {own}"));
        let line = &mut schedule.sets[0].lines[0];
        line.wording.text = "flush-bolt 1 with strikes".to_owned();
        let mut named = readings[0][0][0].clone();
        named.category = Heard::Found(Category::DustProofStrike, Evidence { span: 18..25, by: By::Grammar("example") });
        named.quantity.unit = Unit::Pair;
        readings[0][0].push(named);
        let catalog = Catalog::embedded("2026-10-01").unwrap();
        complete_by((RULES, &Default::default()), schedule, readings, &catalog, &Terms::default(), answers)
    }

    fn left_out(job: &Completed) -> bool {
        job.sets[0].specs[1].excluded.is_some()
    }

    #[test]
    fn an_answer_takes_the_line_back_as_it_is_written() {
        let own = "dust-proof-strike 2";
        let before = bolts(own, &Answers::new());
        let asked = before.findings.iter().find(|finding| finding.code == "line-twice").unwrap();
        assert!(left_out(&before) && asked.priced_as == "one and the same");
        let answer = |words: &str| {
            let mut answers = Answers::new();
            answers.questions.insert(asked.id.clone(), Told::plain(words));
            bolts(own, &answers)
        };
        assert!(left_out(&answer("one and the same")));
        let both = answer("both are wanted");
        let spec = &both.sets[0].specs[1];
        assert!(!left_out(&both) && spec.unit == Unit::Pair && spec.quantity == Decimal::ONE);
        assert!(both.added.iter().all(|added| added.category != Category::DustProofStrike));
    }

    #[test]
    fn what_the_other_line_does_not_cover_is_priced_and_asked() {
        for own in ["dust-proof-strike 0", "dust-proof-strike 2 when=exterior"] {
            let job = bolts(own, &Answers::new());
            assert!(!left_out(&job), "{own}");
            let asked = job.findings.iter().find(|finding| finding.code == "line-twice").unwrap();
            assert_eq!(asked.priced_as, "both", "{own}");
        }
    }
}
