//! Flush bolts beside panic hardware.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "panic-flush-bolts",
        Kind::Question,
        Weight::LifeSafety,
        "Flush bolts on one leaf, panic hardware on the other",
        "a pair has one exit device and flush bolts",
        "priced as written; where both leaves are needed for egress, two devices, or a mullion with two rim devices",
        "",
        ("code articles on flush bolts and coordinators", "reported"),
        ("one rim device and flush bolts on a pair", "two devices on a pair"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=automatic; dust-proof-strike 1; exit-device 1 type=rim; closer 2",
    quiet: "door 101 72x84 hm pair stud; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bolts = job.all_of(set, &[Category::FlushBolt]);
        let doors = job.numbers_of(set, |door| door.is_pair() && job.how_many(set, door, &[Category::ExitDevice]) == Decimal::ONE);
        if bolts.is_empty() || doors.is_empty() {
            continue;
        }
        let ids: Vec<_> = bolts.iter().map(|spec| spec.id).collect();
        let says = "An exit device on one leaf and flush bolts on the other: not allowed where panic hardware is required on the pair.";
        let mut finding = out.about_lines(job, set, &ids, doors, "bolts", says);
        finding.priced_as = "as written".to_owned();
        finding.help = "ask the architect whether both leaves are needed for egress; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
