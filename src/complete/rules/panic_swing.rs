//! Exit devices on doors that swing in.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "panic-swing",
        Kind::Question,
        Weight::LifeSafety,
        "An exit device on a door that swings in",
        "an exterior door, or one of a room where many gather, has an exit device and is handed LH or RH",
        "priced as written",
        "from 50 persons, and with high hazard, a door swings out",
        ("IBC 1010.1.2.1 from memory", "from memory"),
        ("an exterior door LH with a rim device", "an exterior door LHR with a rim device"),
    ),
    run,
    fires: "door 101 36x84 hm exterior LH; hinge 3 finish=630; exit-device 1 type=rim; closer 1; stop 1",
    quiet: "door 101 36x84 hm exterior LHR; hinge 3 finish=630; exit-device 1 type=rim; closer 1; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if !job.names(set, &[Category::ExitDevice]) {
            continue;
        }
        let doors = job.numbers_of(set, |door| door.outswing == Some(false) && (door.exterior || door.used_as("assembly") || door.used_as("hazard")));
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", "Doors with exit devices that by their hand (LH, RH) swing in, against the way out.");
        finding.priced_as = "as written".to_owned();
        finding.help = "check hand and swing on the plan: schedules often write LH for LHR; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
