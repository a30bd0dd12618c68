//! Lines that hold at some doors of their set only.

use crate::complete::act::{Out, Rule, page};
use crate::complete::build::without;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "left-out-at",
        Kind::Assumption,
        Weight::Scope,
        "Left out at some doors of its set",
        "the words of a line leave it out at doors that they name",
        "quantity nothing at these doors, as written at the others; doors that the set does not serve are told too",
        "",
        ("common practice", "common practice"),
        ("CLOSER 689 (OMIT AT 111)", "CLOSER 689"),
    ),
    run,
    fires: "door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1 omit@101",
    quiet: "door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()) {
            let openings = &job.sets[set].openings;
            let at: Vec<usize> = without(&spec.wording.text, &spec.reading, openings, job.doors).collect();
            if at.is_empty() {
                continue;
            }
            let numbers: Vec<String> = at.iter().map(|index| job.doors[*index].number.clone()).collect();
            let says = format!("Left out at {}, as the words say: {}.", numbers.join(", "), spec.words());
            let mut finding = out.about_lines(job, set, &[spec.id], numbers, &spec.words(), says);
            finding.help = "check the doors against the schedule".to_owned();
            out.say(finding);
        }
    }
}
