//! Counts under "each to have" that only a whole pair can have.

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::schedule::Basis;
use crate::trade::category::Category;
use crate::understand::reading::Unit;
use crate::trade::hinge;

use super::{hinge_count, quantity_improbable};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "leaf-or-pair",
        Kind::Question,
        Weight::Goods,
        "For each leaf, or for each pair",
        "the goods of a set stand under \"each to have\" or \"each door to have\", all its doors are pairs, and the counts are those of a whole pair: the hinges of both leaves, or more than a leaf can have",
        "the counts of the set are read for each opening, and it is asked; a mullion, a coordinator and a threshold count once for the opening in any case",
        "",
        ("common practice", "common practice"),
        ("six hinges and two exit devices under \"EACH TO HAVE\" on pairs of doors", "three hinges and one exit device there"),
    ),
    run,
    fires: "door 101 72x84 hm pair; hinge 6 above=leaf; exit-device 2 type=rim above=leaf; mullion 1 above=leaf; closer 2 above=leaf",
    quiet: "door 101 72x84 hm pair; hinge 3 above=leaf; exit-device 1 type=rim above=leaf; closer 1 above=leaf",
};

/// What an opening has once, however many leaves.
const ONCE: &[Category] = &[Category::Mullion, Category::Coordinator, Category::Threshold];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let under: Vec<&Spec> = job.lines(set).filter(|spec| is_under(job, set, spec)).collect();
        if under.is_empty() {
            continue;
        }
        let doors: Vec<&Door> = job.doors(set).collect();
        let pairs = !doors.is_empty() && doors.iter().all(|door| door.is_pair());
        let shown: Vec<&Spec> = under.iter().copied().filter(|spec| pairs && is_of_a_pair(spec, &doors)).collect();
        let once = |spec: &&&Spec| spec.is_any(ONCE);
        let moved: Vec<&Spec> = under.iter().filter(|spec| !shown.is_empty() || once(spec)).copied().collect();
        out.acts.extend(moved.iter().map(|spec| Act::Basis { line: spec.id, basis: Basis::Opening }));
        if !shown.is_empty() {
            ask(job, out, set, &under, &shown);
        }
    }
}

/// Whether the count of a line is said of each leaf by the words above it alone.
fn is_under(job: &Job, set: usize, spec: &Spec) -> bool {
    let quantity = &spec.reading.quantity;
    let lines = job.schedule.sets.get(set).map(|set| set.lines.as_slice()).unwrap_or_default();
    let above = || lines.iter().any(|line| line.place == spec.place && line.basis == Some(Basis::Leaf));
    quantity.amount.is_some() && quantity.basis.is_none() && quantity.by_leaves.is_none() && above()
}

/// The hinges of both leaves, or more than one leaf has.
fn is_of_a_pair(spec: &Spec, doors: &[&Door]) -> bool {
    if hinge_count::is_plain(spec) {
        // Where no height is given, three: right up to 7-6.
        let both = |door: &&Door| Decimal::from(door.height.map_or(3, hinge::count) * door.leaves);
        let quantity = &spec.reading.quantity;
        let each = if quantity.unit == Unit::Pair { Decimal::TWO } else { Decimal::ONE };
        let pieces = quantity.amount.unwrap_or_default().saturating_mul(each);
        return doors.iter().all(|door| pieces == both(door));
    }
    quantity_improbable::is_more_than_a_leaf(spec)
}

fn ask(job: &Job, out: &mut Out, set: usize, under: &[&Spec], shown: &[&Spec]) {
    let words: Vec<String> = shown.iter().take(4).map(|spec| format!("\"{}\"", spec.words())).collect();
    let says = format!(
        "The counts of the set are said to be for each leaf or door, and are those of a whole pair: {}. They were read for each pair.",
        words.join("; ")
    );
    let lines: Vec<LineId> = under.iter().map(|spec| spec.id).collect();
    let twice = under.iter().filter(|spec| !spec.is_any(ONCE));
    let twice = twice.map(|spec| Effect::Quantity { line: spec.id, quantity: spec.quantity.saturating_mul(Decimal::TWO) });
    let finding = out.about_lines(job, set, &lines, job.numbers(set), "pair", says);
    out.say(crate::finding::Finding {
        priced_as: "for each pair, as the counts suggest".to_owned(),
        answers: vec![
            Answer::new("for each pair", Effect::Nothing),
            Answer::new("for each leaf, as the words above say", Effect::Several(twice.collect())),
        ],
        help: "ask whether the counts are those of one leaf or of the whole pair".to_owned(),
        ..finding
    });
}
