//! Hinges with a switch in them.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "monitor-hinge",
        Kind::Note,
        Weight::Goods,
        "A switch in the hinge",
        "a hinge has a switch that tells whether the door is closed",
        "noted once for the job: its contact bears little, and its leads come beside the conductors of a wired hinge",
        "30 V and 0.5 A direct current, leads of 28 AWG",
        ("a hinge maker's sheet", "reported"),
        ("a hinge with monitor", "plain hinges"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 2; hinge 1 monitor=door-position; mortise-lock 1 function=F07; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let lines: Vec<_> = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| spec.value(names::MONITOR).is_some_and(|value| value.to_string() != "none")).map(|spec| spec.id).collect();
        let doors = job.numbers(set);
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let says = "Hinges with a switch: by a maker's sheet its contact bears 30 V and 0.5 A, on leads of 28 AWG of its own; it serves an alarm or the access control, and no lock is fed through it.";
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", says);
        finding.help = "verify with the hinge's maker; tell those who wire; low-voltage work by licensed practice".to_owned();
        out.say(finding);
    }
}
