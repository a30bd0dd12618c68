//! Leaves that must close in order need a coordinator.

use rust_decimal::Decimal;

use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use super::length::length_of;
use crate::complete::act::{Act, Out, Rule, keep_or_leave_out, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "coordinator",
        Kind::Assumption,
        Weight::LifeSafety,
        "Pair that must close in order",
        "a rated pair has automatic or constant-latching bolts or an overlapping astragal, and no coordinator; or a set with vertical rods, and without bolts and astragal, has one",
        "one coordinator for each pair is added; one that has nothing to put in order is asked about",
        "one for each pair",
        ("trade articles on flush bolts and coordinators", "read"),
        ("automatic flush bolts on a rated pair", "the same with coordinator"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud 90min; hinge 6; closer 2; flush-bolt 1 action=automatic; dust-proof-strike 1; mortise-lock 1 function=F07",
    quiet: "door 101 72x84 hm pair stud 90min; hinge 6; closer 2; flush-bolt 1 action=automatic; dust-proof-strike 1; coordinator 1; mortise-lock 1 function=F07",
};


/// Bolts that hold the inactive leaf only once it is closed.
fn orders(action: &str) -> bool {
    matches!(action, "automatic" | "constant-latching")
}

/// Nothing that has to close in order: leaves that latch into head and floor, and no overlap.
fn surplus(job: &Job, out: &mut Out, set: usize) {
    let rods = job.lines_of(set, &[Category::ExitDevice]).into_iter().any(|spec| spec.word(names::TYPE).contains("vertical-rod"));
    let lines: Vec<_> = job.lines_of(set, &[Category::Coordinator]).into_iter().map(|spec| spec.id).collect();
    let bolted = job.names(set, &[Category::FlushBolt, Category::Astragal, Category::SurfaceBolt]);
    let doors = job.numbers(set);
    if !rods || bolted || lines.is_empty() || doors.is_empty() {
        return;
    }
    let says = "A coordinator, and no leaf that must close first: vertical rods latch by themselves and nothing overlaps.";
    let mut finding = out.about_lines(job, set, &lines, doors, "surplus", says);
    finding.kind = Kind::Question;
    finding.priced_as = "as written".to_owned();
    finding.answers = keep_or_leave_out(&lines);
    finding.help = "ask whether an astragal is meant".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let listed = |door: &Door| {
            let mut specs = job.all_of(set, &[Category::FlushBolt, Category::Astragal]).into_iter().filter(|spec| !spec.left_out.contains(&door.index));
            specs.any(|spec| if spec.is_any(&[Category::FlushBolt]) { orders(spec.word(names::ACTION)) } else { spec.word(names::FORM) == "overlapping" })
        };
        let added_bolts = |door: &Door| job.added_to(door.index, &[Category::FlushBolt], "coordinator").iter().any(|added| added.attributes.get(&names::ACTION).and_then(Value::as_text).is_some_and(orders));
        let added_astragal = |door: &Door| job.added_to(door.index, &[Category::Astragal], "coordinator").iter().any(|added| added.attributes.get(&names::FORM) == Some(&Value::text("overlapping")));
        let ordered = |door: &&Door| listed(door) || added_bolts(door) || added_astragal(door);
        let any = job.doors(set).any(|door| ordered(&door));
        if !any && !job.unread(set) {
            surplus(job, out, set);
        }
        if !any {
            continue;
        }
        // Without a closer on the inactive leaf nothing has to be put in order.
        let doors: Vec<_> = job.doors(set).filter(|door| door.is_pair() && door.fire && !job.names_at(set, door, &[Category::Coordinator])).filter(ordered).collect();
        if doors.is_empty() {
            continue;
        }
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        let mut addition = out.addition(set, Category::Coordinator, Attributes::new(), shares, "The inactive leaf must close first.");
        for door in &doors {
            if let Some(length) = length_of(Category::Coordinator, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Rated pairs with automatic bolts or an overlapping astragal: a coordinator for each pair added, so that the inactive leaf closes first.");
        finding.help = "filler bar and mounting brackets by the closers and rods of the pair".to_owned();
        out.say(finding);
    }
}
