//! Knobs.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "lever-not-knob",
        Kind::Question,
        Weight::LifeSafety,
        "A knob where a lever is wanted",
        "a lock or trim is written with knobs",
        "priced as written; levers are the other answer",
        "34 to 48 in above the floor, no tight grasp, pinch or twist",
        ("ADA 2010 404.2.7 and 309.4", "read"),
        ("a lock with knobs", "a lock with levers"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07 trim=knob-rose; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07 trim=lever-rose; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers(set);
        for spec in job.lines_of(set, &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice]) {
            if doors.is_empty() || !spec.says(names::TRIM) || !spec.word(names::TRIM).contains("knob") {
                continue;
            }
            let lever = spec.word(names::TRIM).replace("knob", "lever");
            let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), "job:", "Knobs: a hand that cannot grasp and twist cannot work them.");
            finding.priced_as = "knobs, as written".to_owned();
            finding.attribute = Some(names::TRIM);
            finding.answers = vec![Answer::new("as written", Effect::Nothing), set_answer("levers", &[spec.id], names::TRIM, Value::text(&lever))];
            finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
