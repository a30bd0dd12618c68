//! Tells questions about one attribute apart where the goods are of different kinds: the function of a device in a stair and
//! that of one in an entrance are two things to ask, though both say nothing of it.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::Finding;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::wording;

use super::spec::{CompletedSet, Spec};

/// Attributes in which goods of one kind differ: one answer serves them all.
const OF_ONE_KIND: [Attr; 8] = [
    names::FINISH,
    names::LOOK,
    names::BASE,
    names::MAKER,
    names::DESIGNATION,
    names::HAND,
    names::FUNCTION_NAME,
    names::STANDARD,
];

/// Says of each question about an undecided attribute which kind of goods it means, where others of its id mean others: then
/// they do not become one question, with one answer.
pub(super) fn tell_apart(sets: &[CompletedSet], findings: &mut [Finding]) {
    let mut by_id: BTreeMap<String, Vec<(usize, BTreeSet<String>)>> = BTreeMap::new();
    for (index, finding) in findings.iter().enumerate() {
        let Some(attribute) = finding.attribute.filter(|_| finding.code == "undecided-attribute") else { continue };
        let line = finding.lines.first().and_then(|id| sets.get(id.set)?.specs.get(id.line));
        let kind = line.map(|spec| kind_of(spec, attribute)).unwrap_or_default();
        by_id.entry(finding.id.clone()).or_default().push((index, kind));
    }
    for asked in by_id.into_values() {
        let Some((_, first)) = asked.first() else { continue };
        if asked.iter().all(|(_, kind)| kind == first) {
            continue;
        }
        let shared: BTreeSet<String> =
            asked.iter().skip(1).fold(first.clone(), |shared, (_, kind)| shared.intersection(kind).cloned().collect());
        for (index, kind) in &asked {
            let own: Vec<&str> = kind.difference(&shared).map(String::as_str).collect();
            if let Some(finding) = findings.get_mut(*index).filter(|_| !own.is_empty()) {
                finding.says = format!("{} Asked of: {}.", finding.says, own.join(", "));
            }
        }
    }
}

/// What a line is, as said or as taken, apart from what is asked, its measures and its finish; and whose goods are priced.
fn kind_of(spec: &Spec, asked: Attr) -> BTreeSet<String> {
    let told = spec.attributes.iter().filter(|(attr, sourced)| {
        **attr != asked && !OF_ONE_KIND.contains(attr) && !matches!(sourced.value, Value::Length(_))
    });
    let mut kind: BTreeSet<String> = told.map(|(attr, sourced)| wording::said(*attr, &sourced.value)).collect();
    kind.extend(spec.selection.candidates.first().map(|best| format!("priced as {}", best.good.maker)));
    kind
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;

    /// The questions about the function of exit devices: sets and doors of each.
    fn asked(lines: &str) -> Vec<Vec<String>> {
        let doors = "door 101 36x84 hm set=1; door 102 36x84 hm set=2; @1 hinge 3; @2 hinge 3";
        let job = completed(&format!("{doors}; {lines}"));
        let of_function = |finding: &&crate::finding::Finding| {
            finding.code == "undecided-attribute" && finding.attribute.is_some_and(|attr| attr.name() == "function")
        };
        job.findings.iter().filter(of_function).map(|finding| finding.openings.clone()).collect()
    }

    #[test]
    fn goods_of_two_kinds_are_asked_about_apart_and_goods_of_one_kind_together() {
        let apart = asked("@1 exit-device 1 type=rim; @2 exit-device 1 type=rim electrified=latch-retraction");
        assert_eq!(apart, [["101"], ["102"]]);
        // A finish makes no other kind.
        let together = asked("@1 exit-device 1 type=rim finish=630; @2 exit-device 1 type=rim finish=626");
        assert_eq!(together, [["101", "102"]]);
    }
}
