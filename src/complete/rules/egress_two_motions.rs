//! A lock and a deadlock of its own on one leaf.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
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

/// What latches beside a deadlock.
const LATCHING: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice];

/// At the entry of a dwelling unit a night latch, deadbolt or chain beside the lock is excepted: told, not asked.
fn of_dwellings(job: &Job, out: &mut Out, set: usize, deadlocks: &[&Spec], doors: Vec<String>) {
    let ids: Vec<_> = deadlocks.iter().map(|spec| spec.id).collect();
    let says = "A lock and a separate deadlock at dwelling units: two motions, which IBC 1010.2.4 (from memory) excepts for individual dwelling and sleeping units of small occupant load, worked from inside without key or tool.";
    let mut finding = out.about_lines(job, set, &ids, doors, "dwelling", says);
    finding.kind = Kind::Note;
    finding.weight = Weight::Goods;
    finding.help = "nothing to do where the exception holds; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let deadlocks = job.all_of(set, &[Category::Deadlock]);
        let elsewhere = |door: &Door| !["storage", "service", "electrical"].iter().any(|use_| door.used_as(use_));
        let dwellings = job.numbers_of(set, |door| elsewhere(door) && door.used_as("dwelling"));
        let doors = job.numbers_of(set, |door| elsewhere(door) && !door.used_as("dwelling"));
        if !dwellings.is_empty() && !deadlocks.is_empty() && job.names(set, LATCHING) {
            of_dwellings(job, out, set, &deadlocks, dwellings);
        }
        if deadlocks.is_empty() || doors.is_empty() || !job.names(set, LATCHING) {
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
