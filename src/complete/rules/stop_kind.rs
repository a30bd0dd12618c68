//! A stop that does not say where it is fixed.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::usual;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "stop-kind",
        Kind::Assumption,
        Weight::Goods,
        "Where a stop is fixed",
        "a line says stop and neither wall nor floor, roller nor hinge pin",
        "a wall stop is taken",
        "wall before floor before overhead",
        ("makers' articles on door stops; federal practice", "reported"),
        ("STOP", "WALL STOP"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

const CODE: &str = "stop-kind";

fn run(job: &Job, out: &mut Out) {
    let Some((wall, _)) = usual::value(Category::Stop, names::MOUNTING) else { return };
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Stop]) {
            // A number or a shape says of itself where the stop goes.
            let said = [names::SHAPE, names::DESIGNATION, names::STANDARD, names::HEIGHT].iter().any(|name| spec.says(*name));
            if said || !spec.lacks(names::MOUNTING, CODE) {
                continue;
            }
            out.fill(spec.id, names::MOUNTING, Value::text(wall), Grade::Assumed);
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", format!("Stops that do not say where they are fixed: {wall} stops taken.")));
        }
    }
}
