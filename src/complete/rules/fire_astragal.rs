//! Rated pairs of more than an hour and a half have an overlapping astragal.

use rust_decimal::Decimal;

use super::length::length_of;
use crate::trade::limits;
use crate::complete::act::{Act, Out, Rule, keep_or_leave_out, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-astragal",
        Kind::Assumption,
        Weight::LifeSafety,
        "A rated pair without overlapping astragal",
        "a pair rated for more than 90 minutes has no astragal, or a rated pair has an overlapping one and vertical rods on both leaves",
        "an overlapping astragal is added; where both leaves carry vertical rods it would block one of them, and a question is asked instead",
        "more than 90 minutes; at least 3/4 in of overlap",
        ("NFPA 80 as extracted by trade pages", "reported"),
        ("a pair of 180 minutes with automatic bolts", "the same pair with 90 minutes"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud 180min; hinge 6; closer 2; coordinator 1; flush-bolt 1 action=automatic; dust-proof-strike 1; mortise-lock 1 function=F07",
    quiet: "door 101 72x84 hm pair stud 90min; hinge 6; closer 2; coordinator 1; flush-bolt 1 action=automatic; dust-proof-strike 1; mortise-lock 1 function=F07",
};

/// Vertical rods on both leaves of a door.
fn rods_on_both(job: &Job, set: usize, door: &Door) -> bool {
    let rods = job.all_of(set, &[Category::ExitDevice]).into_iter().filter(|spec| spec.word(names::TYPE).contains("vertical-rod"));
    rods.map(|spec| spec.count_at(door)).sum::<Decimal>() >= Decimal::TWO
}

/// An overlapping astragal where either leaf may be the first to open, on pairs that need none.
fn blocking(job: &Job, out: &mut Out, set: usize) {
    let overlapping: Vec<_> = job.lines_of(set, &[Category::Astragal]).into_iter().filter(|spec| spec.word(names::FORM) == "overlapping").map(|spec| spec.id).collect();
    let doors = job.numbers_of(set, |door| door.is_pair() && door.fire && door.minutes.is_none_or(|minutes| minutes <= 90) && rods_on_both(job, set, door));
    if overlapping.is_empty() || doors.is_empty() {
        return;
    }
    let says = "An overlapping astragal on a pair with vertical rods on both leaves: one leaf cannot open before the other.";
    let mut finding = out.about_lines(job, set, &overlapping, doors, "blocks", says);
    finding.kind = Kind::Question;
    finding.priced_as = "as written".to_owned();
    finding.answers = keep_or_leave_out(&overlapping);
    finding.help = "up to 90 minutes a listed pair may go without; ask the door supplier, the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || job.lines(set).next().is_none() {
            continue;
        }
        blocking(job, out, set);
        let doors: Vec<_> = job.doors(set).filter(|door| door.is_pair() && door.minutes.is_some_and(|minutes| minutes > 90)).collect();
        if doors.is_empty() {
            continue;
        }
        let listed = job.names(set, &[Category::Astragal]);
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        if doors.iter().any(|door| rods_on_both(job, set, door)) {
            let says = "Pairs rated for more than 90 minutes need an overlapping astragal, and vertical rods on both leaves do not go with one: either leaf must open first.";
            let mut finding = out.about_set(job, set, numbers, "rods", says);
            finding.kind = Kind::Question;
            finding.priced_as = if listed { "the astragal as written".to_owned() } else { "no astragal".to_owned() };
            finding.help = "ask the door supplier for a listed pair without astragal; the authority having jurisdiction decides".to_owned();
            out.say(finding);
            continue;
        }
        if listed {
            continue;
        }
        let attributes = limits::added(Category::Astragal);
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        let mut addition = out.addition(set, Category::Astragal, attributes, shares, "A pair rated for more than 90 minutes has an overlapping astragal.");
        for door in &doors {
            if let Some(length) = length_of(Category::Astragal, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let mut finding = out.about_set(job, set, numbers, "job:", "Pairs rated for more than 90 minutes without astragal: an overlapping one for each pair added.");
        finding.help = "take it out where the door maker supplies it with the doors".to_owned();
        out.say(finding);
    }
}
