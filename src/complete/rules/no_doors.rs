//! Jobs of sets alone: nothing says how many doors have them.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "no-doors",
        Kind::Question,
        Weight::Goods,
        "The job names no doors",
        "hardware sets are read, and no file names a door or says how many doors a set has",
        "nothing is counted and every sum is zero; the number of doors of each set can be given in the job file",
        "said before every other question",
        ("common practice", "common practice"),
        ("set 1 with its lines, no door schedule", "set 1, and door 101 with set 1"),
    ),
    run,
    fires: "@1 hinge 3",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    let mut sets: Vec<&str> = job.sets.iter().filter(|set| !set.specs.is_empty()).map(|set| set.id.as_str()).collect();
    // A set that is defined several times is one, and one line of the job file.
    let mut seen = std::collections::BTreeSet::new();
    sets.retain(|id| seen.insert(*id));
    if !job.schedule.openings.is_empty() || sets.is_empty() {
        return;
    }
    let says = match sets[..] {
        [one] => format!("The job has set {one} and no doors: nothing is counted, and every sum is zero."),
        _ => format!("The job has {} sets and no doors: nothing is counted, and every sum is zero.", sets.len()),
    };
    let mut finding = out.finding("job:", says);
    finding.place = job.schedule.sets.first().map(|set| set.place.clone());
    finding.priced_as = "nothing: no set is counted".to_owned();
    let counts: Vec<String> = sets.iter().take(3).map(|id| format!("\"{id}\" = 1")).collect();
    let more = if sets.len() > 3 { ", ..." } else { "" };
    finding.help = format!(
        "add the door schedule to the files; or give the number of doors of each set in the job file, under [[read]]: doors = {{ {}{more} }}",
        counts.join(", ")
    );
    out.say(finding);
}
