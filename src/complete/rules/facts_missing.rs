//! What the door schedule does not say and prices rest on.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "facts-missing",
        Kind::Question,
        Weight::Scope,
        "Facts missing in the door schedule",
        "doors give no height or no width, which counts and lengths rest on",
        "one question for the job; what can be said without them is said",
        "",
        ("common practice", "common practice"),
        ("a door without size", "a door of 3-0 x 7-0"),
    ),
    run,
    fires: "door 101 hm; hinge 3",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    let missing: Vec<_> = (0..job.sets.len())
        .flat_map(|set| job.doors(set))
        .filter(|door| !door.aluminum() && (door.height.is_none() || door.leaf_widths.is_empty()))
        .collect();
    let Some(first) = missing.first() else { return };
    let mut finding = out.finding("job:size", "Doors without width or height: number and size of hinges, lengths and plate sizes rest on them.");
    finding.openings = missing.iter().map(|door| door.number.clone()).collect();
    finding.place = job.schedule.openings.get(first.index).map(|opening| opening.place.clone());
    finding.priced_as = "quantities as written; lengths at the catalog's usual".to_owned();
    finding.help = "ask for the sizes, or write them into the door schedule".to_owned();
    out.say(finding);
}
