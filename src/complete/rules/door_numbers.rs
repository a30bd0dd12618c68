//! Numbers that do not agree between door schedule and set headings.

use std::collections::HashSet;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "door-numbers",
        Kind::Question,
        Weight::Goods,
        "Door numbers do not agree",
        "a number stands twice in the door schedule, or a set heading names a number that no door has, or gives a door to another set than the schedule does, or a set is defined several times",
        "a door that stands twice is counted twice; one that is not there is not counted; the door schedule rules over the heading, the first definition over later ones",
        "",
        ("common practice", "common practice"),
        ("two rows for door 101", "doors 101 and 102"),
    ),
    run,
    fires: "door 101 36x84 hm; door 101 36x84 hm; hinge 3",
    quiet: "door 101 36x84 hm; door 102 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    let number = |index: &usize| job.doors.get(*index).map(|door| door.number.clone());
    // What the reading room has said already, with both rows, is not asked again.
    let said = |code: &str| -> HashSet<&str> {
        let of_code = job.schedule.findings.iter().filter(|finding| finding.code == code);
        of_code.flat_map(|finding| finding.openings.iter().map(String::as_str)).collect()
    };
    let (twice, disagree) = (said("duplicate-door"), said("set-disagrees"));
    for openings in job.matching.twice.values() {
        let Some(first) = openings.first().and_then(number) else { continue };
        if twice.contains(first.as_str()) {
            continue;
        }
        let mut finding = out.finding(&format!("twice {first}"), format!("Door {first} stands {} times in the door schedule.", openings.len()));
        finding.openings = vec![first];
        finding.place = openings.get(1).and_then(|index| job.schedule.openings.get(*index)).map(|door| door.place.clone());
        finding.priced_as = "every row is counted".to_owned();
        finding.help = "strike the row that is wrong".to_owned();
        out.say(finding);
    }
    for (set, numbers) in &job.matching.unknown {
        let says = format!("Doors named under the set's heading are not in the door schedule: {}.", numbers.join(", "));
        let mut finding = out.about_set(job, *set, Vec::new(), "unknown", says);
        finding.priced_as = "not counted".to_owned();
        finding.help = "add them to the door schedule, or strike them from the heading".to_owned();
        out.say(finding);
    }
    for (door, taken, other) in &job.matching.disputed {
        let Some(name) = number(door).filter(|name| !disagree.contains(name.as_str())) else { continue };
        let (taken_id, other_id) = (&job.sets[*taken].id, &job.sets[*other].id);
        let says = format!("Door {name} has set {taken_id} in the door schedule and stands under the heading of set {other_id}.");
        let mut finding = out.about_set(job, *other, vec![name.clone()], &format!("disputed {name}"), says);
        finding.priced_as = format!("set {taken_id}, as in the door schedule");
        finding.help = "say which set it has".to_owned();
        out.say(finding);
    }
    for openings in job.matching.sets_twice.values() {
        let Some(second) = openings.get(1) else { continue };
        let id = job.sets[*second].id.clone();
        let mut finding = out.about_set(job, *second, Vec::new(), "set twice", format!("Set {id} is defined {} times.", openings.len()));
        finding.priced_as = "the first definition".to_owned();
        finding.help = "strike the definitions that are out of date".to_owned();
        out.say(finding);
    }
}
