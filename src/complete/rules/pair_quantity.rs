//! Goods of each leaf that a pair gets only once.

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::read::schedule::Basis;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "pair-quantity",
        Kind::Question,
        Weight::Goods,
        "One for a pair, or one for each leaf",
        "a set gives a pair one plate, sweep, door bottom, closer, stop, continuous hinge or push and pull, which each leaf has; where the inactive leaf is bolted, only what seals or protects it counts",
        "in a set that serves single doors too the pairs get two; in a set of pairs only it is priced as written and asked",
        "",
        ("common practice", "common practice"),
        ("one kick plate on a pair with two exit devices", "two kick plates on the pair"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; protection-plate 1 kind=kick; stop 2",
    quiet: "door 101 72x84 hm pair stud; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; protection-plate 2 kind=kick; stop 2",
};

const ALWAYS: &[Category] = &[Category::Sweep, Category::DoorBottom, Category::ProtectionPlate];
const UNLESS_BOLTED: &[Category] = &[
    Category::Closer, Category::Stop, Category::OverheadStop, Category::PushPlate, Category::Pull, Category::PushPullBar,
    Category::ContinuousHinge,
];
const BOLTED: &[Category] = &[Category::FlushBolt, Category::SurfaceBolt];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bolted = |door: &Door| job.names_at(set, door, BOLTED);
        let singles = job.doors(set).any(|door| !door.is_pair());
        // A fire door's missing closers are another rule's matter.
        let pairs: Vec<&Door> = job.doors(set).filter(|door| door.is_pair()).collect();
        if pairs.is_empty() {
            continue;
        }
        for spec in job.lines(set).filter(|spec| spec.is_any(ALWAYS) || spec.is_any(UNLESS_BOLTED)) {
            let unsaid = spec.basis == Basis::Opening && spec.reading.quantity.basis.is_none() && spec.reading.quantity.by_leaves.is_none();
            let like: Vec<Category> = spec.category.into_iter().collect();
            let alone = job.lines_of(set, &like).len() == 1;
            // `CLOSER, ACTIVE LEAF` is of that leaf.
            let of_leaf = spec.one_leaf().is_some();
            if !unsaid || of_leaf || !alone || spec.quantity != Decimal::ONE || job.fixed.contains(&spec.id) {
                continue;
            }
            let doors: Vec<&Door> = pairs.iter().copied().filter(|door| !spec.left_out.contains(&door.index)).filter(|door| spec.is_any(ALWAYS) || !bolted(door)).filter(|door| !(door.fire && spec.is_any(&[Category::Closer]))).collect();
            if !doors.is_empty() {
                tell(job, out, set, spec, &doors, singles);
            }
        }
    }
}

fn tell(job: &Job, out: &mut Out, set: usize, spec: &Spec, doors: &[&Door], singles: bool) {
    let goods = spec.category.map_or("", Category::name).replace('-', " ");
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    if singles {
        for door in doors {
            out.acts.push(Act::Count { line: spec.id, opening: door.index, quantity: Decimal::TWO });
        }
        let says = format!("The set serves single doors and pairs and gives one {goods}: each pair got two, one for each leaf.");
        let mut finding = out.about_lines(job, set, &[spec.id], numbers, &format!("mixed {goods}"), says);
        finding.kind = Kind::Assumption;
        out.say(finding);
        return;
    }
    let mut finding = out.about_lines(job, set, &[spec.id], numbers, &goods, format!("One {goods} for a pair of doors; each leaf usually has its own."));
    finding.priced_as = "one, as written".to_owned();
    finding.answers = vec![
        Answer::new("one", Effect::Nothing),
        Answer::new("one for each leaf", Effect::Quantity { line: spec.id, quantity: Decimal::TWO }),
    ];
    out.say(finding);
}
