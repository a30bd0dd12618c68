//! How many hinges each leaf carries.
use rust_decimal::Decimal;

use crate::complete::act::Act;
use crate::complete::door::Door;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::hinge;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-count",
        Kind::Question,
        Weight::Goods,
        "Hinges per leaf",
        "a set hangs its doors on hinges, and lists fewer or more than the rule for the height of the leaf, or gives no number",
        "the larger of the two is priced; a set written for one leaf of a pair is doubled; a set that is right for its usual door is raised for the taller ones",
        "2 up to 60 in, 3 up to 90, 4 up to 120, one more for each further 30 in",
        ("NFPA 80 6.4.3; UFC 3-190-02FA 7.e", "read"),
        ("three hinges on a leaf 8 ft high", "three hinges on a leaf 7 ft high"),
    ),
    run,
    fires: "door 101 36x96 hm; hinge 3 height=4.5",
    quiet: "door 101 36x84 hm; hinge 3 height=4.5",
};

const CARRY: &[Category] = &[Category::Hinge, Category::SpringHinge, Category::Pivot];

/// How the hinges of a door compare with the rule.
#[derive(Default)]
struct Found {
    short: Vec<(usize, String)>,
    over: Vec<String>,
    per_leaf: Vec<String>,
    right: usize,
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let carrying = job.lines_of(set, CARRY);
        let plain: Vec<&Spec> = carrying.iter().copied().filter(|spec| is_plain(spec)).collect();
        let Some(line) = plain.last().copied() else { continue };
        if job.names(set, &[Category::ContinuousHinge, Category::Pivot]) || job.fixed.contains(&line.id) {
            continue;
        }
        compare(job, out, set, line, &carrying);
    }
}

/// An ordinary hinge: it carries no wires.
pub fn is_plain(spec: &Spec) -> bool {
    spec.category == Some(Category::Hinge) && !spec.is_set(names::MONITOR) && wires(spec).is_none()
}

/// Conductors of a hinge, if it has any.
pub fn wires(spec: &Spec) -> Option<&Value> {
    spec.value(names::CONDUCTORS).filter(|value| value.as_number().is_none_or(|count| !count.is_zero()))
}

fn compare(job: &Job, out: &mut Out, set: usize, line: &Spec, carrying: &[&Spec]) {
    let given = line.reading.quantity.amount.is_some();
    let unsaid = line.reading.quantity.basis.is_none() && line.basis == Basis::Opening;
    let mut found = Found::default();
    for door in job.doors_of(line) {
        // Where no number and no height are given, three: right up to 7-6.
        let Some(per_leaf) = door.height.map(hinge::count).or((!given).then_some(3)) else { continue };
        let expected = Decimal::from(per_leaf * door.leaves);
        let others: Decimal = carrying.iter().filter(|spec| spec.id != line.id).map(|spec| spec.count_at(door)).sum();
        let listed = written(line, door) + others;
        // Wired hinges listed beside the full count are another rule's matter.
        let wired: Decimal = carrying.iter().filter(|spec| wires(spec).is_some()).map(|spec| spec.count_at(door)).sum();
        let over_by_wired = !wired.is_zero() && listed - wired == expected;
        let count = |quantity: Decimal| Act::Count { line: line.id, opening: door.index, quantity };
        if !given {
            out.acts.push(count((expected - others).max(Decimal::ZERO)));
            found.short.push((door.index, door.number.clone()));
        } else if listed == expected || over_by_wired {
            found.right += 1;
        } else if unsaid && door.is_pair() && (written(line, door) + others) * Decimal::TWO == expected {
            out.acts.push(count(written(line, door) * Decimal::TWO));
            found.per_leaf.push(door.number.clone());
        } else if listed < expected {
            out.acts.push(count((expected - others).max(Decimal::ZERO)));
            found.short.push((door.index, door.number.clone()));
        } else if !super::quantity_improbable::is_too_many(line, door.leaves) {
            found.over.push(door.number.clone());
        }
    }
    tell(job, out, set, line, found, given);
}

fn written(line: &Spec, door: &Door) -> Decimal {
    match (line.reading.quantity.by_leaves, line.basis) {
        (Some((single, pair)), _) => if door.is_pair() { pair } else { single },
        (None, Basis::Leaf) => line.quantity * Decimal::from(door.leaves),
        _ => line.quantity,
    }
}

fn tell(job: &Job, out: &mut Out, set: usize, line: &Spec, found: Found, given: bool) {
    let rule = "2 hinges up to 60 in high, 3 up to 90, 4 up to 120";
    let written = format!("{} hinges (\"{}\")", line.quantity.normalize(), line.words());
    let numbers: Vec<String> = found.short.iter().map(|(_, number)| number.clone()).collect();
    if !given && !numbers.is_empty() {
        let mut finding = out.about_lines(job, set, &[line.id], numbers, "counted", format!("No number of hinges is given; counted by the rule: {rule} a leaf."));
        finding.kind = Kind::Assumption;
        out.say(finding);
    } else if !numbers.is_empty() {
        let says = format!("{written}: fewer than the rule gives ({rule} a leaf); the rule was followed.");
        let mut finding = out.about_lines(job, set, &[line.id], numbers, "short", says);
        if found.right > 0 {
            finding.kind = Kind::Assumption;
            finding.says = format!("The set's {written} suit its usual door; taller doors got more ({rule} a leaf).");
        } else {
            finding.priced_as = "the number by the rule".to_owned();
            finding.answers = vec![
                Answer::new("by the rule", Effect::Nothing),
                Answer::new("as written", Effect::Quantity { line: line.id, quantity: line.quantity }),
            ];
            let fire = found.short.iter().any(|(index, _)| job.doors.get(*index).is_some_and(|door| door.fire));
            finding.help = if fire {
                "a fire door needs the number by the rule; the authority having jurisdiction decides"
            } else {
                "ask the architect; taller leaves on fewer hinges warp and sag"
            }
            .to_owned();
        }
        out.say(finding);
    }
    if !found.per_leaf.is_empty() {
        let says = format!("{written} are half of what a pair carries; read as for each leaf.");
        let mut finding = out.about_lines(job, set, &[line.id], found.per_leaf, "per leaf", says);
        finding.kind = Kind::Assumption;
        out.say(finding);
    }
    if !found.over.is_empty() {
        let says = format!("{written}: more than the rule gives ({rule} a leaf); priced as written.");
        let mut finding = out.about_lines(job, set, &[line.id], found.over, "over", says);
        finding.kind = Kind::Assumption;
        out.say(finding);
    }
}
