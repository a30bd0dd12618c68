//! Rated doors larger than listings usually reach.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-leaf-size",
        Kind::Note,
        Weight::LifeSafety,
        "A rated door of unusual size",
        "a rated door is larger than a common listing of hollow-metal doors",
        "noted for the door supplier; nothing is changed",
        "180 minutes: 4-0 x 8-0, pairs 8-0 x 8-0; else 4-6 x 10-0, pairs 8-0 x 10-0",
        ("a public listing, as an example", "read"),
        ("a 90 minute door 5-0 x 7-0", "a 90 minute door 4-0 x 7-0"),
    ),
    run,
    fires: "door 101 60x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 48x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
};

fn large(door: &Door) -> bool {
    let three_hours = door.minutes.is_some_and(|minutes| minutes > 90);
    let widest = match (door.is_pair(), three_hours) {
        (true, _) => limits::inches("listed_wide_pair"),
        (false, true) => limits::inches("listed_wide_long_rating"),
        (false, false) => limits::inches("listed_wide"),
    };
    let highest = limits::inches(if three_hours { "listed_high_long_rating" } else { "listed_high" });
    door.fire && (door.width.is_some_and(|width| width > widest) || door.height.is_some_and(|height| height > highest))
}

fn run(job: &Job, out: &mut Out) {
    let doors: Vec<&Door> = job.doors.iter().filter(|door| door.live && large(door)).collect();
    let Some(first) = doors.first() else { return };
    let mut finding = out.finding("job:", "Rated doors larger than a common listing of hollow-metal doors reaches.");
    finding.openings = doors.iter().map(|door| door.number.clone()).collect();
    finding.place = job.schedule.openings.get(first.index).map(|opening| opening.place.clone());
    finding.help = "ask the door supplier whether the size is listed; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}
