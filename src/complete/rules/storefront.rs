//! Aluminum entrances, whose hardware usually comes with the doors.

use std::collections::HashSet;

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "storefront",
        Kind::Question,
        Weight::Scope,
        "Hardware of aluminum entrances",
        "a door of aluminum has a set with more than cylinders and electric goods",
        "priced as written; leaving out all but cylinders is the other answer",
        "",
        ("exclusions in public specifications", "reported"),
        ("an aluminum door with hinges and closer", "an aluminum door with a cylinder"),
    ),
    run,
    fires: "door 101 36x84 alum; continuous-hinge 1; closer 1; exit-device 1 type=rim; cylinder 1",
    quiet: "door 101 36x84 alum; cylinder 1",
};

const OURS: &[Category] = &[
    Category::Cylinder, Category::Core, Category::Keying, Category::Reader, Category::PowerSupply, Category::RequestToExit,
    Category::PositionSwitch, Category::Actuator, Category::Operator, Category::Wiring, Category::ElectricStrike,
    Category::ElectromagneticLock, Category::Sign,
];

fn run(job: &Job, out: &mut Out) {
    let of_others = job.schedule.findings.iter().filter(|one| one.code == "hardware-by-others-with-set" && one.kind == Kind::Question);
    let asked: HashSet<&str> = of_others.flat_map(|one| &one.openings).map(String::as_str).collect();
    for set in 0..job.sets.len() {
        // Where the schedule says "by others" at the door, that is asked of it already.
        let doors = job.numbers_of(set, |door| door.door_material.contains("alum") && !asked.contains(door.number.as_str()));
        // A set that serves other doors as well can only be settled by a set of its own.
        let all = doors.len() == job.doors(set).count();
        let lines: Vec<_> = job.lines(set).filter(|spec| !spec.is_any(OURS)).map(|spec| spec.id).collect();
        if doors.is_empty() || lines.is_empty() {
            continue;
        }
        let says = "Aluminum entrances with a full set: their hardware usually comes with the doors, and only cylinders are ours.";
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", says);
        finding.priced_as = "as written".to_owned();
        if all {
            finding.answers = keep_or_leave_out(&lines);
        }
        finding.help = "ask whether the entrance supplier furnishes it".to_owned();
        out.say(finding);
    }
}
