//! What the door schedule does not say and prices rest on.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::read::schedule::Opening;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "facts-missing",
        Kind::Question,
        Weight::Scope,
        "Facts missing in the door schedule",
        "doors give no height or no width, or no door of a schedule gives material, thickness or rating",
        "one question for the job; what can be said without them is said",
        "",
        ("common practice", "common practice"),
        ("a door without size", "a door of 3-0 x 7-0"),
    ),
    run,
    fires: "door 101 hm; hinge 3",
    quiet: "door 101 36x84 hm NR thick=1.75; hinge 3",
};

/// A fact in words, what rests on it, and whether a door lacks it.
type Fact = (&'static str, &'static str, fn(&Door, &Opening) -> bool);

/// What is missing at a door, in words, and what rests on it.
const FACTS: &[Fact] = &[
    ("width or height", "number and size of hinges, lengths, plate sizes", |door, _| door.height.is_none() || door.leaf_widths.is_empty()),
    ("material of the door", "leaf weight, bolts", |door, _| door.door_material.is_empty()),
    ("material of the frame", "silencers, guards behind cut-outs", |door, _| door.frame_material.is_empty()),
    ("thickness", "size of hinges: 1-3/4 in is taken", |door, _| door.thickness.is_none()),
    ("rating", "closers, latches, listed goods: no rating is taken", |_, opening| opening.rating.text.trim().is_empty()),
];

fn run(job: &Job, out: &mut Out) {
    let doors: Vec<(&Door, &Opening)> = (0..job.sets.len())
        .flat_map(|set| job.doors(set))
        .filter(|door| !door.aluminum())
        .filter_map(|door| Some((door, job.schedule.openings.get(door.index)?)))
        .collect();
    let mut says = Vec::new();
    let mut about: Vec<usize> = Vec::new();
    for (at, (fact, rests, missing)) in FACTS.iter().enumerate() {
        let without: Vec<usize> = doors.iter().filter(|(door, opening)| missing(door, opening)).map(|(door, _)| door.index).collect();
        // A size must be there at each door. Of the rest a blank means something only where the whole schedule is blank,
        // and where a schedule of doors was read at all.
        let whole = without.len() == doors.len() && job.doors.iter().any(|door| door.height.is_some());
        if without.is_empty() || at > 0 && !whole {
            continue;
        }
        says.push(if whole { format!("{fact} at any of {} doors ({rests})", doors.len()) } else { format!("{fact} at {} of {} doors ({rests})", without.len(), doors.len()) });
        about.extend(without);
    }
    about.sort_unstable();
    about.dedup();
    let Some(first) = about.first().and_then(|index| job.schedule.openings.get(*index)) else { return };
    let mut finding = out.finding("job:size", format!("The door schedule does not give: {}.", says.join("; ")));
    finding.openings = about.iter().filter_map(|index| job.schedule.openings.get(*index)).map(|opening| opening.number.clone()).collect();
    finding.place = Some(first.place.clone());
    finding.priced_as = "quantities as written; lengths at the catalog's usual".to_owned();
    finding.help = "ask for what is missing, or write it into the door schedule".to_owned();
    out.say(finding);
}
