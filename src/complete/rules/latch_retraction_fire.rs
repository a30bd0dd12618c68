//! Electric latch retraction on fire doors.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "latch-retraction-fire",
        Kind::Note,
        Weight::LifeSafety,
        "Latch retraction on a fire door",
        "a rated door has an exit device with electric latch retraction",
        "the power must drop on the fire alarm, so that the latch holds; listed for those who wire it",
        "",
        ("article on fail-safe and fail-secure", "reported"),
        ("latch retraction on a 90 minute door", "latch retraction on a door that is not rated"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 2; hinge 1 conductors=6; closer 1; exit-device 1 type=rim electrified=latch-retraction fire_listed=true",
    quiet: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; closer 1; exit-device 1 type=rim electrified=latch-retraction",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let lines: Vec<_> = job.lines_of(set, &[Category::ExitDevice]).into_iter().filter(|spec| spec.word(names::ELECTRIFIED) == "latch-retraction").map(|spec| spec.id).collect();
        let doors = job.numbers_of(set, |door| door.fire);
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let says = "Electric latch retraction on rated doors: the fire alarm must cut its power, so that the latch drops and holds.";
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", says);
        finding.help = "a relay for the fire alarm belongs to the supply; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
