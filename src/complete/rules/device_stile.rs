//! Exit devices on doors of steel or wood, or of a material that nothing gives, are those for wide stiles.

use crate::complete::act::Act;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, LineId, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "device-stile",
        Kind::Assumption,
        Weight::Goods,
        "Stile of an exit device",
        "an exit device says nothing of the stile",
        "the device for wide stiles is taken; at doors of aluminum those for narrow stiles, where the catalog makes all the devices of the set so, else those for wide ones, alike at both leaves, which is told",
        "",
        ("common practice", "read"),
        ("RIM PANIC on a hollow metal door", "RIM PANIC, NARROW STILE"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim stile=narrow",
};

const STILE: Attr = Attr::of("stile");

fn run(job: &Job, out: &mut Out) {
    let has_wide_stiles = |door: &&Door| {
        let material = door.door_material.as_str();
        !door.aluminum() && (!material.contains("glass") || material.contains("fiberglass"))
    };
    for set in 0..job.sets.len() {
        of_aluminum(job, out, set);
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

/// The devices of doors of aluminum that say nothing of the stile: those for narrow stiles where the catalog makes them all so, else all
/// of them those for wide ones, so that both leaves of a pair have the like.
fn of_aluminum(job: &Job, out: &mut Out, set: usize) {
    let doors: Vec<&Door> = job.doors(set).collect();
    let bare = |spec: &&Spec| spec.lacks(STILE, RULE.page.code) && !spec.says(names::DESIGNATION);
    let devices: Vec<&Spec> = job.lines_of(set, &[Category::ExitDevice]).into_iter().filter(bare).collect();
    if doors.is_empty() || devices.is_empty() || !doors.iter().all(|door| door.aluminum()) {
        return;
    }
    let made = |spec: &&Spec, stile: &str| {
        // What other rules give, a trim, follows from the device and not the device from it.
        let mut asked = spec.asked();
        asked.retain(|attribute, _| spec.says(*attribute));
        asked.insert(STILE, Value::text(stile));
        let found = job.select(Category::ExitDevice, asked);
        found.candidates.iter().any(|candidate| candidate.good.attributes.get(&STILE).is_some_and(|own| own.as_text() == Some(stile)))
    };
    let narrow = devices.iter().all(|spec| made(spec, "narrow"));
    if !narrow && !devices.iter().all(|spec| made(spec, "wide")) {
        return;
    }
    let lines: Vec<LineId> = devices.iter().map(|spec| spec.id).collect();
    let stile = if narrow { "narrow" } else { "wide" };
    lines.iter().for_each(|line| out.fill(*line, STILE, Value::text(stile), Grade::Assumed));
    let (about, says) = if narrow {
        ("job:narrow", "Exit devices on doors of aluminum: those for narrow stiles taken.")
    } else {
        ("job:aluminum", "Exit devices on doors of aluminum, which the catalog does not make, or not all of them, for narrow stiles: those for wide stiles taken, alike at all leaves; they do not fit narrow ones.")
    };
    let mut finding = out.about_lines(job, set, &lines, job.numbers(set), about, says);
    finding.help = "compare with the stiles of the aluminum doors".to_owned();
    out.say(finding);
}
