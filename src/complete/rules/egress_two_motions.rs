//! A lock and a deadlock of its own on one leaf.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "egress-two-motions",
        Kind::Question,
        Weight::LifeSafety,
        "Two motions to open",
        "a set has a latching lock and a separate deadlock, at other than store and plant rooms",
        "priced as written; a lock whose lever draws both bolts, or an interconnected lock, opens with one motion",
        "one motion",
        ("IBC 1010.2.1 from memory", "from memory"),
        ("a passage latch and a deadbolt at an office", "a lock with deadbolt in one case"),
    ),
    run,
    fires: "door 101 36x84 hm room=OFFICE; hinge 3; bored-lock 1 function=F75; deadlock 1 cylinder=single; stop 1",
    quiet: "door 101 36x84 hm room=OFFICE; hinge 3; mortise-lock 1 function=F20; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let deadlocks = job.all_of(set, &[Category::Deadlock]);
        let doors = job.numbers_of(set, |door| !["storage", "service", "electrical"].iter().any(|use_| door.used_as(use_)));
        if deadlocks.is_empty() || doors.is_empty() || !job.names(set, &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice]) {
            continue;
        }
        let ids: Vec<_> = deadlocks.iter().map(|spec| spec.id).collect();
        let says = "A lock or exit device and a separate deadlock: two motions to open where one is wanted.";
        let mut finding = out.about_lines(job, set, &ids, doors, "deadlock", says);
        finding.priced_as = "as written".to_owned();
        finding.answers = keep_or_leave_out(&ids);
        finding.help = "a lock whose inside lever draws the deadbolt as well is usual; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
