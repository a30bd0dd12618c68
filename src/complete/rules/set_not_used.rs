//! Sets that no door uses.

use std::collections::BTreeSet;

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// How the ids of sets of one door are joined.
const JOINT: &str = " + ";

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "set-not-used",
        Kind::Question,
        Weight::Goods,
        "A set is used by no door",
        "a set is defined and no door of the schedule names it, nor does it name one",
        "it is not counted and not priced",
        "",
        ("common practice", "common practice"),
        ("set 9 is defined, no door has it", "door 101 has set 9"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; @9 hinge 3",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    // Without any doors that is said once, of the whole job.
    if job.schedule.openings.is_empty() {
        return;
    }
    // `1 + S1`: two sets of one door, whose lines are counted there.
    let joined: BTreeSet<&str> = job
        .sets
        .iter()
        .filter(|set| !set.openings.is_empty() && set.id.contains(JOINT))
        .flat_map(|set| set.id.split(JOINT))
        .map(str::trim)
        .collect();
    for (index, set) in job.sets.iter().enumerate() {
        let not_used = job.schedule.sets.get(index).is_some_and(|set| set.not_used.is_some());
        if set.openings.is_empty() && !joined.contains(set.id.as_str()) && !not_used && !set.specs.is_empty() {
            let says = "The set is used by no door; it is not counted.";
            let mut finding = out.about_set(job, index, Vec::new(), "job:", says);
            finding.priced_as = "nothing for it".to_owned();
            finding.answers = vec![
                Answer::new("it is for no door", Effect::Nothing),
                by_hand("doors that the schedule does not give it: name them in the job file under [[read]], or how many there are"),
            ];
            finding.help = "ask which doors should have it, or whether it is left over".to_owned();
            out.say(finding);
        }
    }
}
