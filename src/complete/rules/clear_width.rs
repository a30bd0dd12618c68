//! Leaves too narrow for a wheelchair.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "clear-width",
        Kind::Question,
        Weight::LifeSafety,
        "Clear width below 32 in",
        "the wider leaf of a door is less than 2-10 wide (on swing-clear hinges, by the thickness of a leaf less), at other than closets and plant rooms",
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
    let (butts, gained) = (limits::inches("clear_leaf"), limits::inches("hinge_usual_thickness"));
    for set in 0..job.sets.len() {
        let hinges = job.lines_of(set, &[Category::Hinge]);
        if hinges.is_empty() {
            continue;
        }
        // Swing-clear hinges give back the thickness of the leaf, which stands in the way on others.
        let clear = hinges.iter().all(|spec| spec.is_set(names::SWING_CLEAR));
        let least = if clear { butts - gained } else { butts };
        let doors = job.numbers_of(set, |door| {
            door.widest_leaf().is_some_and(|width| width < least) && !["storage", "service", "electrical"].iter().any(|use_| door.used_as(use_))
        });
        if doors.is_empty() {
            continue;
        }
        let says = if clear {
            format!("Leaves narrower than {} in: even on swing-clear hinges less than 32 in is clear at 90 degrees.", least.in_fractions())
        } else {
            "Leaves narrower than 2-10: on butt hinges less than 32 in is clear at 90 degrees.".to_owned()
        };
        let mut finding = out.about_set(job, set, doors, "job:", says);
        finding.priced_as = "hinges as written".to_owned();
        let gain = if clear { "" } else { "swing-clear hinges gain about the thickness of the leaf; " };
        finding.help = format!("ask whether the door is on an accessible route; {gain}the authority having jurisdiction decides");
        out.say(finding);
    }
}
