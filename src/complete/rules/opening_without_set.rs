//! Doors without a set.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::shown;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "opening-without-set",
        Kind::Question,
        Weight::Goods,
        "A door has no hardware set",
        "the set of a door is blank and no set heading names the door",
        "no hardware is priced for it",
        "",
        ("common practice", "common practice"),
        ("door 101, set column blank", "door 101, set 3"),
    ),
    run,
    fires: "door 101 36x84 hm noset; hinge 3",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    let doors: Vec<_> = job.matching.without_set.iter().filter_map(|index| job.doors.get(*index)).filter(|door| !super::not_swinging::needs_no_set(door)).collect();
    let Some(first) = doors.first() else { return };
    let numbers: Vec<String> = doors.iter().map(|door| door.number.clone()).collect();
    let mut finding = out.finding("job:", format!("Doors without a hardware set: {}.", shown(&numbers)));
    finding.openings = numbers;
    finding.place = job.schedule.openings.get(first.index).map(|opening| opening.place.clone());
    finding.priced_as = "no hardware for these doors".to_owned();
    finding.help = "ask which set they have, or whether others supply them".to_owned();
    out.say(finding);
}
