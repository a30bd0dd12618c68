//! Leaves with hinges and nothing to hold them shut.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "no-lock",
        Kind::Question,
        Weight::Goods,
        "No lock, latch, exit device or push and pull",
        "a set hangs doors and has nothing to latch, lock, push or pull them with; rated doors are asked about by another rule",
        "nothing is added",
        "",
        ("common practice", "common practice"),
        ("hinges and a stop", "hinges and a push plate"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; stop 1; push-plate 1; pull 1",
};

const WORKING: &[Category] = &[
    Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock, Category::ExitDevice,
    Category::PushPlate, Category::Pull, Category::PushPullBar, Category::ElectromagneticLock, Category::SurfaceBolt,
    Category::Cylinder, Category::Other,
];
const HUNG: &[Category] = &[Category::Hinge, Category::ContinuousHinge, Category::Pivot];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || !job.names(set, HUNG) {
            continue;
        }
        let doors = job.numbers_of(set, |door| !door.fire && !door.aluminum() && !job.has(set, door, WORKING, "no-lock"));
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", "Doors are hung and have no lock, latch, exit device, push or pull.");
        finding.priced_as = "none".to_owned();
        finding.help = "ask the architect what works the door".to_owned();
        out.say(finding);
    }
}
