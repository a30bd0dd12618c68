//! The latch of an exterior door that swings out stands in the open.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "exterior-lock",
        Kind::Note,
        Weight::Goods,
        "A latch that can be reached from outside",
        "an exterior door, not of aluminum, swings out and has a lock, and its set has no latch guard or astragal",
        "noted once for the job: a latch guard may be wanted, and no thumb turn near glass",
        "",
        ("common practice", "common practice"),
        ("an exterior door RHR with a lock", "the same with a latch guard"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; latch-guard 1; closer 1; stop 1",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if !job.names(set, LOCKS) {
            continue;
        }
        let doors = job.numbers_of(set, |door| door.exterior && door.outswing == Some(true) && !door.aluminum() && job.names_at(set, door, LOCKS) && !job.names_at(set, door, &[Category::LatchGuard, Category::Astragal]));
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", "Exterior doors that swing out with a lock and no latch guard: the latch can be reached from outside.");
        finding.help = "offer a latch guard; check that no thumb turn stands within reach of glass".to_owned();
        out.say(finding);
    }
}
