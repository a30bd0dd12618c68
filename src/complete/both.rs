//! A line whose name is that of two goods which an opening has together, `PUSH/PULL PLATES`, `PIVOTS, TOP, INTERMEDIATE,
//! BOTTOM`: so many of each may be meant, and that is among the answers.

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::understand::reading::Unit;

use super::also_named::ALSO_NAMED;
use super::doubts::ambiguous_category;
use super::job::Job;
use super::select::title;
use super::spec::Spec;

/// Goods of which an opening has one of each, on either face of its door.
const FACES: [Category; 2] = [Category::PushPlate, Category::Pull];

/// The question about the kinds of a line, with such answers.
pub(super) fn offered(job: &Job, spec: &Spec, kinds: &[Category]) -> Option<Finding> {
    let mut finding = ambiguous_category(spec, kinds)?;
    finding.answers.extend(of_each(job, spec, kinds));
    Some(finding)
}

/// The answers that take one of each: half of the goods where their count is even, and as many of each as it counts.
fn of_each(job: &Job, spec: &Spec, candidates: &[Category]) -> Vec<Answer> {
    let [first, other] = FACES;
    if !FACES.iter().all(|face| candidates.contains(face)) || spec.unit != Unit::Each || spec.quantity.is_zero() {
        return Vec::new();
    }
    let half = spec.quantity / Decimal::TWO;
    let counts = [half, spec.quantity].into_iter().filter(|count| count.fract().is_zero());
    let answer = |count: Decimal| {
        let words = format!("{} and {}, {} of each", title(first), title(other), count.normalize());
        let own = Effect::Category { lines: vec![spec.id], category: first };
        Answer::new(words, shared(job, spec, count, own, (other, as_other(job, spec, other))))
    };
    counts.map(answer).collect()
}

/// The line counts so many of its own good, and as many of another are added.
fn shared(job: &Job, spec: &Spec, count: Decimal, own: Effect, (other, attributes): (Category, Attributes)) -> Effect {
    let of_doors: Decimal = match spec.basis {
        Basis::Lot => spec.quantity,
        _ => job.doors_of(spec).map(|door| spec.count_at(door) * Decimal::from(door.count)).sum(),
    };
    let quantity = (of_doors * count / spec.quantity).normalize();
    // Lines of one wording are asked about together, each with its new quantity.
    Effect::Several(vec![
        Effect::Several(vec![Effect::Quantity { line: spec.id, quantity: count }]),
        own,
        Effect::Add { category: other, attributes, quantity },
    ])
}

/// Words for the parts of a pivoted leaf, all of which a line names.
const PARTS: [&str; 3] = ["pivot-top", "pivot-bottom", "pivot-between"];

/// `6 PIVOTS, OFFSET, TOP, INTERMEDIATE, BOTTOM`: top and bottom are sold as a set, the one between by itself. `2 PIVOT SETS |
/// OFFSET W/ INTERMEDIATE`: the set is counted, and that one is named beside it.
pub(super) fn pivots(job: &Job, spec: &Spec) -> Option<Finding> {
    let named = |part: &str| rule_words::speak(part, &spec.wording.text);
    let [.., between] = PARTS;
    let kind = |kind: &str| Value::text(kind);
    let other = |other: &Spec| other.id != spec.id && other.place == spec.place;
    let alone = spec.category == Some(Category::Pivot)
        && named(between)
        && spec.value(names::TYPE) != Some(&kind("intermediate"))
        && !spec.quantity.is_zero()
        && !job.fixed.contains(&spec.id)
        && !job.lines(spec.id.set).any(other);
    if !alone {
        return None;
    }
    let mut attributes = spec.asked();
    attributes.retain(|attribute, _| OF_FINISH.contains(attribute));
    attributes.insert(names::TYPE, kind("intermediate"));
    let count = spec.quantity / Decimal::from(PARTS.len());
    let by_parts = spec.unit == Unit::Each && count.fract().is_zero() && PARTS.into_iter().all(named);
    let (code, says, taken) = if by_parts {
        let says =
            "The line counts pivots by their parts, top, bottom and intermediate; top and bottom are sold as a set.";
        ("unit-quantity", says, "as written")
    } else {
        let says = "The line names an intermediate pivot beside its set; it is counted as the set alone.";
        (ALSO_NAMED, says, "not counted")
    };
    let answer = if by_parts {
        let own = Effect::Set { lines: vec![spec.id], attribute: names::TYPE, value: kind("offset") };
        let words = format!("{} of each: a set of top and bottom, and an intermediate pivot", count.normalize());
        Answer::new(words, shared(job, spec, count, own, (Category::Pivot, attributes)))
    } else {
        let with = shared(job, spec, spec.quantity, Effect::Nothing, (Category::Pivot, attributes));
        Answer::new("counted: one with each", with)
    };
    let mut finding = Finding::new(code, Kind::Question, Weight::Goods, says);
    finding.id = format!("parts {}", spec.words());
    finding.priced_as = taken.to_owned();
    finding.answers = vec![Answer::new(taken, Effect::Nothing), answer];
    finding.help = "say which count holds".to_owned();
    Some(finding)
}

/// What makes a finish.
const OF_FINISH: [Attr; 3] = [names::FINISH, names::LOOK, names::BASE];

/// What the other good has of what is said of the line, so far as one is made that has it.
fn as_other(job: &Job, spec: &Spec, other: Category) -> Attributes {
    let whole = spec.asked();
    let mut sizeless = whole.clone();
    sizeless.retain(|attribute, _| ![names::HEIGHT, names::WIDTH].contains(attribute));
    let mut finish = whole.clone();
    finish.retain(|attribute, _| OF_FINISH.contains(attribute));
    let fits = |attributes: &&Attributes| !job.select(other, (*attributes).clone()).candidates.is_empty();
    [&whole, &sizeless].into_iter().find(fits).unwrap_or(&finish).clone()
}
