//! The order in which findings are shown everywhere: that there are no doors, if so; life safety first; then what asks before what was assumed or noted;
//! then what carries no price at all; then by money, the findings of one rule about one set standing together.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::gather::natural;
use crate::complete::spec::Completed;
use crate::finding::{Finding, Kind, Weight};

/// What is said of goods, and of doors, that the total does not hold.
const NOT_PRICED: &str = "not priced";
const NO_HARDWARE: &str = "no hardware for these doors";

/// Findings of one rule about one set.
fn group(finding: &Finding) -> (Option<&str>, &'static str) {
    (finding.set.as_deref(), finding.code)
}

/// The findings' indexes in order of showing. The sort is stable: what is equal keeps the order it had.
fn order(findings: &[Finding]) -> Vec<usize> {
    let mut at_stake: BTreeMap<_, Decimal> = BTreeMap::new();
    for finding in findings {
        let most = at_stake.entry((finding.kind, group(finding))).or_default();
        *most = (*most).max(finding.spread());
    }
    let key = |index: &usize| {
        let finding = &findings[*index];
        let most = at_stake.get(&(finding.kind, group(finding))).copied().unwrap_or_default();
        // What the total lacks altogether is more than any difference that is known.
        let priced = finding.kind != Kind::Question || ![NOT_PRICED, NO_HARDWARE].contains(&finding.priced_as.as_str());
        // Without doors nothing else has a price.
        let of_group = (
            finding.code != "no-doors",
            finding.weight != Weight::LifeSafety,
            finding.kind,
            priced,
            Reverse(most),
            finding.weight,
        );
        (of_group, finding.code, finding.set.as_deref().map(natural), Reverse(finding.spread()))
    };
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by_cached_key(key);
    order
}

/// Arranges the findings of a priced job. Lines point to their findings by index, and follow.
pub(super) fn arrange(job: &mut Completed) {
    let order = order(&job.findings);
    let mut place = vec![0; order.len()];
    for (new, old) in order.iter().enumerate() {
        place[*old] = new;
    }
    for spec in job.sets.iter_mut().flat_map(|set| set.specs.iter_mut()) {
        for index in &mut spec.findings {
            *index = place.get(*index).copied().unwrap_or(*index);
        }
        spec.findings.sort_unstable();
    }
    let mut old: Vec<Option<Finding>> = std::mem::take(&mut job.findings).into_iter().map(Some).collect();
    job.findings = order.into_iter().filter_map(|index| old.get_mut(index)?.take()).collect();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Answer, Effect};
    use crate::money::Money;

    fn finding(code: &'static str, set: &str, kind: Kind, weight: Weight, worth: i64) -> Finding {
        let mut finding = Finding::new(code, kind, weight, "says");
        finding.set = (!set.is_empty()).then(|| set.to_owned());
        let mut answer = Answer::new("other", Effect::Nothing);
        answer.effect = Some(Money::new(Decimal::from(worth)));
        finding.answers = vec![answer];
        finding
    }

    #[test]
    fn life_safety_first_then_money_and_one_rule_of_one_set_together() {
        use Kind::{Assumption, Note, Question};
        use Weight::{Goods, LifeSafety, Reading, Scope};
        let findings = [
            finding("note", "", Note, Goods, 0),
            finding("cheap", "1", Question, Goods, 5),
            finding("dear", "2", Question, Goods, 900),
            finding("mixed", "3", Question, Goods, 1),
            finding("scope", "", Question, Scope, 0),
            finding("other", "10", Question, Goods, 50),
            finding("mixed", "3", Question, Goods, 100),
            finding("reading", "", Question, Reading, 0),
            finding("fire", "9", Question, LifeSafety, 0),
            finding("fire-note", "9", Note, LifeSafety, 0),
            finding("cheap", "10", Question, Goods, 5),
            finding("taken", "", Assumption, Goods, 0),
            finding("fire", "10", Question, LifeSafety, -20),
        ];
        let mut findings = findings.to_vec();
        findings.push(Finding { priced_as: NOT_PRICED.to_owned(), ..finding("lacking", "", Question, Goods, 0) });
        let names: Vec<String> = order(&findings)
            .into_iter()
            .map(|index| format!("{} {}", findings[index].code, findings[index].set.as_deref().unwrap_or("")))
            .collect();
        let wanted = [
            "fire 10",
            "fire 9",
            "fire-note 9",
            "lacking ",
            "dear 2",
            "mixed 3",
            "mixed 3",
            "other 10",
            "cheap 1",
            "cheap 10",
            "reading ",
            "scope ",
            "taken ",
            "note ",
        ];
        assert_eq!(names, wanted);
    }
}
