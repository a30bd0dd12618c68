//! Thresholds higher than wheels can cross.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "threshold-height",
        Kind::Question,
        Weight::LifeSafety,
        "A threshold higher than half an inch",
        "a threshold is written higher than 1/2 in",
        "priced as written; 1/2 in is the other answer",
        "1/2 in, beveled 1:2 above 1/4 in; 3/4 in at existing or altered doors",
        ("ADA 2010 404.2.5", "read"),
        ("a threshold 3/4 high", "a threshold 1/2 high"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; threshold 1 height=0.75; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; threshold 1 height=0.5; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    let most = limits::inches("threshold_high");
    for set in 0..job.sets.len() {
        let doors = job.numbers(set);
        for spec in job.lines_of(set, &[Category::Threshold]) {
            if doors.is_empty() || spec.value(names::HEIGHT).and_then(Value::as_length).is_none_or(|height| height <= most) {
                continue;
            }
            let says = "Thresholds higher than 1/2 in: more than a wheelchair is to cross at a new door.";
            let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), "job:", says);
            finding.priced_as = "as written".to_owned();
            finding.attribute = Some(names::HEIGHT);
            finding.answers = vec![Answer::new("as written", Effect::Nothing), set_answer("1/2 high", &[spec.id], names::HEIGHT, Value::Length(most))];
            finding.help = "ask the architect whether the door is on an accessible route; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
