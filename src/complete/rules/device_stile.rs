//! Exit devices on doors of steel or wood, or of a material that nothing gives, are those for wide stiles.

use crate::complete::act::Act;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "device-stile",
        Kind::Assumption,
        Weight::Goods,
        "Stile of an exit device",
        "an exit device on a steel or wood door, or on one whose material is not given, says nothing of the stile",
        "the device for wide stiles is taken; one for narrow stiles is made for the rails of aluminum doors",
        "",
        ("common practice", "read"),
        ("RIM PANIC on a hollow metal door", "RIM PANIC, NARROW STILE, or any on an aluminum door"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim",
    quiet: "door 101 36x84 alum; hinge 3; exit-device 1 type=rim",
};

const STILE: Attr = Attr::of("stile");

fn run(job: &Job, out: &mut Out) {
    let has_wide_stiles = |door: &&Door| {
        let material = door.door_material.as_str();
        !door.aluminum() && (!material.contains("glass") || material.contains("fiberglass"))
    };
    for set in 0..job.sets.len() {
        let wide: Vec<&Door> = job.doors(set).filter(has_wide_stiles).collect();
        let all = wide.len() == job.doors(set).count();
        for spec in job.lines_of(set, &[Category::ExitDevice]) {
            if wide.is_empty() || !spec.lacks(STILE, RULE.page.code) {
                continue;
            }
            if all {
                out.fill(spec.id, STILE, Value::text("wide"), Grade::Assumed);
            } else {
                out.acts.extend(wide.iter().map(|door| Act::Vary {
                    line: spec.id,
                    opening: door.index,
                    attribute: STILE,
                    value: Value::text("wide"),
                }));
            }
            let numbers = wide.iter().map(|door| door.number.clone()).collect();
            let (about, says) = match wide.iter().any(|door| door.door_material.is_empty()) {
                true => ("job:unknown", "Exit devices on doors of which no material is given: those for wide stiles taken, as for steel and wood."),
                false => ("job:", "Exit devices on steel or wood doors: those for wide stiles taken."),
            };
            out.say(out.about_lines(job, set, &[spec.id], numbers, about, says));
        }
    }
}
