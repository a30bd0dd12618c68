//! A full count of plain hinges and an electrified one beside it.

use rust_decimal::Decimal;

use super::hinge_count::wires;
use crate::complete::act::Act;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect};
use crate::read::schedule::Basis;
use crate::trade::category::Category;
use crate::trade::hinge;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-twice",
        Kind::Question,
        Weight::Goods,
        "One hinge too many",
        "a set lists the full count of ordinary hinges and an electrified hinge as well",
        "one ordinary hinge less for each electrified one",
        "total by the rule for hinge counts",
        ("common practice", "common practice"),
        ("three plain hinges and one electrified on a leaf 7 ft high", "two plain and one electrified"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; hinge 1 conductors=6",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let hinges = job.lines_of(set, &[Category::Hinge]);
        let (wired, plain): (Vec<&Spec>, Vec<&Spec>) = hinges.into_iter().partition(|spec| wires(spec).is_some());
        let Some(line) = plain.last().filter(|_| !wired.is_empty()) else { continue };
        if job.fixed.contains(&line.id) {
            continue;
        }
        let mut numbers = Vec::new();
        let mut fewer = Decimal::ZERO;
        for door in job.doors(set) {
            let Some(height) = door.height else { continue };
            let expected = Decimal::from(hinge::count(height) * door.leaves);
            let written: Decimal = plain.iter().map(|spec| match spec.basis {
                Basis::Leaf => spec.quantity * Decimal::from(door.leaves),
                _ => spec.quantity,
            }).sum();
            let extra: Decimal = wired.iter().map(|spec| spec.count_at(door)).sum();
            if written == expected && !extra.is_zero() {
                out.acts.push(Act::Less { line: line.id, opening: door.index, quantity: extra });
                numbers.push(door.number.clone());
                fewer = extra;
            }
        }
        if numbers.is_empty() {
            continue;
        }
        let says = "The set lists the full number of ordinary hinges and an electrified hinge as well; the electrified one takes the place of one.";
        let mut finding = out.about_lines(job, set, &[line.id], numbers, "twice", says);
        finding.priced_as = format!("{} ordinary hinge fewer", fewer.normalize());
        finding.answers = vec![
            Answer::new("one fewer", Effect::Nothing),
            Answer::new("as written", Effect::Quantity { line: line.id, quantity: line.quantity }),
        ];
        finding.help = "ask whether the count of hinges has the electrified one in it".to_owned();
        out.say(finding);
    }
}
