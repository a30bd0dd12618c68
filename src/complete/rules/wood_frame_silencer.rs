//! Silencers in frames that are not of metal.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "wood-frame-silencer",
        Kind::Assumption,
        Weight::Goods,
        "Silencers in wood frames",
        "a set with silencers serves doors in wood frames",
        "the form for wood frames is taken there; none are added where none are listed",
        "",
        ("common practice", "common practice"),
        ("silencers in a wood frame", "silencers in a hollow-metal frame"),
    ),
    run,
    fires: "door 101 36x84 wood wood-frame; hinge 3; mortise-lock 1 function=F07; silencer 3; stop 1",
    quiet: "door 101 36x84 wood hm; hinge 3; mortise-lock 1 function=F07; silencer 3; stop 1",
};

const CODE: &str = "wood-frame-silencer";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors: Vec<_> = job.doors(set).filter(|door| door.frame_material.contains("wood")).collect();
        if doors.is_empty() {
            continue;
        }
        let all = doors.len() == job.doors(set).count();
        for spec in job.lines_of(set, &[Category::Silencer]).into_iter().filter(|spec| spec.lacks(names::FORM, CODE)) {
            if all {
                out.fill(spec.id, names::FORM, Value::text("wood"), Grade::Assumed);
            } else {
                for door in &doors {
                    out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::FORM, value: Value::text("wood") });
                }
            }
            let numbers = doors.iter().map(|door| door.number.clone()).collect();
            let mut finding = out.about_lines(job, set, &[spec.id], numbers, "job:", "Silencers in wood frames: the form for wood frames taken.");
            finding.help = "leave them out where the frame has a soft stop".to_owned();
            out.say(finding);
        }
    }
}
