//! Pins that cannot be driven out, on doors that swing out.
use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::complete::act::Act;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-pin",
        Kind::Assumption,
        Weight::Goods,
        "Non-removable pins",
        "an exterior door swings out (LHR, RHR) and its hinges say nothing of the pin",
        "non-removable pins, on every hinge of those doors",
        "",
        ("MIL-HDBK-1024/1 2.3.9.5; trade pages", "read"),
        ("exterior door RHR, plain hinges", "exterior door RHR, hinges NRP"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3 pin=non-removable",
};

const CODE: &str = "hinge-pin";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let out_swinging: Vec<(usize, String)> = job
            .doors(set)
            .filter(|door| door.exterior && door.outswing == Some(true))
            .map(|door| (door.index, door.number.clone()))
            .collect();
        if out_swinging.is_empty() {
            continue;
        }
        let all = out_swinging.len() == job.doors(set).count();
        for spec in job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| spec.lacks(names::PIN, CODE)) {
            let value = Value::text("non-removable");
            if all {
                out.fill(spec.id, names::PIN, value, Grade::Assumed);
            } else {
                for (opening, _) in &out_swinging {
                    out.acts.push(Act::Vary { line: spec.id, opening: *opening, attribute: names::PIN, value: value.clone() });
                }
            }
            let numbers = out_swinging.iter().map(|(_, number)| number.clone()).collect();
            let says = "Exterior doors that swing out: hinges with non-removable pins taken.";
            out.say(out.about_lines(job, set, &[spec.id], numbers, "job:", says));
        }
    }
}
