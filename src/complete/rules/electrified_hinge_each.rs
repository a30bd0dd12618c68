//! Every hinge of a leaf with wires.

use rust_decimal::Decimal;

use super::hinge_count::wires;
use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-each",
        Kind::Question,
        Weight::Goods,
        "Every hinge of the leaf with wires",
        "one line gives a leaf more than one hinge with wires: usually one of them carries the wires and the others are plain",
        "priced as written, each with wires; one for each leaf is the other answer",
        "one electrified hinge for a leaf",
        ("SDI 130-15 names one place for the electrified hinge; common practice", "common practice"),
        ("HINGE, 8 WIRE, three on a leaf", "one hinge with wires and two plain"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3 conductors=8; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=8; mortise-lock 1 function=F07 electrified=fail-secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| wires(spec).is_some()) {
            let many = |door: &&Door| spec.count_at(door) > Decimal::from(door.leaves);
            let doors: Vec<&Door> = job.doors_of(spec).filter(many).collect();
            if !doors.is_empty() && !job.fixed.contains(&spec.id) {
                ask(job, out, spec, &doors);
            }
        }
    }
}

fn ask(job: &Job, out: &mut Out, spec: &Spec, doors: &[&Door]) {
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let says = "Every hinge of the line has wires: usually one of a leaf carries them and the others are plain.";
    let mut finding = out.about_lines(job, spec.id.set, &[spec.id], numbers, "each", says);
    finding.priced_as = "as written".to_owned();
    let words = "one with wires for each leaf, the others plain";
    let other = one_for_each(job, spec, doors).map_or_else(|| by_hand(words), |does| Answer::new(words, does));
    finding.answers = vec![Answer::new("as written", Effect::Nothing), other];
    finding.help = "ask how many electrified hinges a leaf has".to_owned();
    out.say(finding);
}

/// The line without wires and as many fewer as the leaves have hinges with wires, which become goods of their own; `None`
/// where the doors do not agree how many these are.
fn one_for_each(job: &Job, spec: &Spec, doors: &[&Door]) -> Option<Effect> {
    let first = doors.first()?;
    let like = |door: &&Door| door.leaves == first.leaves && spec.count_at(door) == spec.count_at(first);
    let all = doors.len() == job.doors_of(spec).count();
    if !all || !doors.iter().all(like) || spec.unit != Unit::Each {
        return None;
    }
    let leaves = Decimal::from(first.leaves);
    // A line that counts for each leaf has one fewer there.
    let fewer = leaves * spec.quantity / spec.count_at(first);
    let openings: Decimal = doors.iter().map(|door| Decimal::from(door.count)).sum();
    Some(Effect::Several(vec![
        Effect::Quantity { line: spec.id, quantity: spec.quantity - fewer },
        Effect::Set { lines: vec![spec.id], attribute: names::CONDUCTORS, value: Value::count(0) },
        Effect::Add { category: Category::Hinge, attributes: spec.asked(), quantity: leaves * openings },
    ]))
}
