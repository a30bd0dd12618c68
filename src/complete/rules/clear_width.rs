//! Leaves too narrow for a wheelchair.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "clear-width",
        Kind::Question,
        Weight::LifeSafety,
        "Clear width below 32 in",
        "the wider leaf of a door is less than 2-10 wide, at other than closets and plant rooms",
        "nothing is changed; swing-clear hinges are named",
        "32 in clear at 90 degrees, by one leaf of a pair alone; a 2-10 leaf just gives it, a 2-8 leaf on butt hinges does not",
        ("ADA 2010 404.2.3; widths of leaves: common practice", "reported"),
        ("a door 2-8 wide", "a door 3-0 wide"),
    ),
    run,
    fires: "door 101 32x84 hm room=OFFICE; hinge 3; mortise-lock 1 function=F04; stop 1",
    quiet: "door 101 36x84 hm room=OFFICE; hinge 3; mortise-lock 1 function=F04; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    let least = limits::inches("clear_leaf");
    for set in 0..job.sets.len() {
        if !job.names(set, &[Category::Hinge]) {
            continue;
        }
        let doors = job.numbers_of(set, |door| {
            door.widest_leaf().is_some_and(|width| width < least) && !["storage", "service", "electrical"].iter().any(|use_| door.used_as(use_))
        });
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", "Leaves narrower than 2-10: on butt hinges less than 32 in is clear at 90 degrees.");
        finding.priced_as = "hinges as written".to_owned();
        finding.help = "ask whether the door is on an accessible route; swing-clear hinges gain about the thickness of the leaf; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
