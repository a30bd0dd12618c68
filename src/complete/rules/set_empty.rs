//! Sets that have a heading and no goods.

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "set-empty",
        Kind::Question,
        Weight::Goods,
        "A set has a heading and no goods",
        "a set has a heading or doors, and no line was read under it; nothing says that it is not used or that others supply it",
        "its doors get what the rules add and nothing else",
        "",
        ("common practice", "common practice"),
        ("set 4 heads a section without items, door 104 has set 4", "set 4 with its items; SET 4 - NOT USED"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; @9",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    for (index, set) in job.sets.iter().enumerate() {
        let Some(read) = job.schedule.sets.get(index) else { continue };
        if !set.specs.is_empty() || read.not_used.is_some() {
            continue;
        }
        let doors = job.numbers(index);
        let says = if doors.is_empty() {
            "A set has a heading, and neither goods nor doors were read for it."
        } else {
            "A set has doors, and no goods were read for it."
        };
        let mut finding = out.about_set(job, index, doors, "job:", says);
        finding.priced_as = "nothing but what the rules add".to_owned();
        finding.answers = vec![
            Answer::new("nothing is missing: others supply its goods, or it has none", Effect::Nothing),
            by_hand("its goods, to be written below its heading"),
        ];
        finding.help = "look at what stands below its heading, or in it; ask what the set holds if it is blank there too".to_owned();
        out.say(finding);
    }
}
