//! What reading asked of remarks and of sets that are as another, looked at again once it is known what goods the lines are:
//! a set may have what a remark asks for under a word that remarks do not use, and what a set lists as an exception may take
//! the place of what it took from the other.

use std::collections::{BTreeMap, HashSet};

use crate::finding::{Answer, Effect, Finding, Kind, LineId};
use crate::place::Place;
use crate::trade::category::Category;

use super::select::title;
use super::spec::{CompletedSet, Spec};

/// A finding of the reading room, as it stands once the goods of the lines are known.
pub(super) fn heard(mut finding: Finding, sets: &[CompletedSet]) -> Finding {
    match (finding.code, finding.kind) {
        ("hardware-in-remarks", Kind::Question) => in_set_already(&mut finding, sets),
        ("set-as-another", Kind::Question) => exceptions(&mut finding, sets),
        _ => {}
    }
    finding
}

/// The sets of the doors of a finding.
fn sets_of<'s>(finding: &Finding, sets: &'s [CompletedSet]) -> Vec<&'s CompletedSet> {
    sets.iter().filter(|set| finding.set.as_ref() == Some(&set.id)).collect()
}

/// The set names the goods in other words: then the remark asks for none, though it may say how they are to be.
fn in_set_already(finding: &mut Finding, sets: &[CompletedSet]) {
    let category = finding.answers.iter().find_map(|answer| match answer.does {
        Effect::Add { category, .. } => Some(category),
        _ => None,
    });
    let of = sets_of(finding, sets);
    let has = |set: &&CompletedSet, category| set.specs.iter().any(|spec| spec.category == Some(category));
    let Some(category) = category.filter(|category| !of.is_empty() && of.iter().all(|set| has(set, *category))) else {
        return;
    };
    finding.kind = Kind::Note;
    finding.says = format!(
        "A remark speaks of goods that the set has ({}); whether it asks for another kind of them was not read.",
        title(category)
    );
    finding.help = "write into the line of the set what the remark asks for, if the line does not say it".to_owned();
    finding.answers.clear();
    finding.priced_as.clear();
}

/// Goods below "same as set 3 except" and goods taken from set 3 of the same category: both are counted, unless the answer
/// is that those below take the place of the others.
fn exceptions(finding: &mut Finding, sets: &[CompletedSet]) {
    let of = sets_of(finding, sets);
    let ([set], true) = (of.as_slice(), finding.answers.is_empty()) else { return };
    let elsewhere: HashSet<&Place> = sets
        .iter()
        .filter(|other| other.id != set.id)
        .flat_map(|other| other.specs.iter().map(|spec| &spec.place))
        .collect();
    let counted = set.specs.iter().filter(|spec| spec.excluded.is_none());
    let (taken, own): (Vec<&Spec>, Vec<&Spec>) = counted.partition(|spec| elsewhere.contains(&spec.place));
    let mut instead: BTreeMap<Category, Vec<LineId>> = BTreeMap::new();
    for spec in taken {
        if let Some(category) = spec.category.filter(|category| own.iter().any(|own| own.category == Some(*category))) {
            instead.entry(category).or_default().push(spec.id);
        }
    }
    if instead.is_empty() {
        return;
    }
    let named = instead.keys().map(|category| title(*category)).collect::<Vec<_>>().join(", ");
    let lines: Vec<LineId> = instead.into_values().flatten().collect();
    finding.says = format!("{}; {named} stand in both", finding.says);
    finding.priced_as = "both".to_owned();
    finding.lines = lines.clone();
    finding.answers = vec![
        Answer::new("both, as written", Effect::Nothing),
        Answer::new(format!("those below instead of those of the other set ({named})"), Effect::Exclude { lines }),
    ];
}
