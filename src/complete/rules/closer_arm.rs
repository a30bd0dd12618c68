//! The arm of a closer by the side on which it stands.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "closer-arm",
        Kind::Assumption,
        Weight::Goods,
        "The arm of the closer",
        "a surface closer gives no arm, and the door swings out of the building, or reverse (LHR, RHR) into a corridor or stair",
        "a parallel arm is taken there, so that the closer stands on the push side, out of weather and corridor; elsewhere the regular arm inside the room, as usual",
        "a parallel arm closes with about a quarter less force",
        ("closer maker's application page; a public university standard: no arms into corridors", "read"),
        ("an exterior door RHR and CLOSER", "an exterior door RHR and CLOSER, TOP JAMB"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1 arm=top-jamb; stop 1",
};

const CODE: &str = "closer-arm";

/// Whether the pull side is the weather or a way that is to be kept clear.
fn pulls_into_the_way(door: &Door) -> bool {
    door.outswing == Some(true) && (door.exterior || door.used_as("corridor") || door.used_as("stair"))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors: Vec<&Door> = job.doors(set).filter(|door| pulls_into_the_way(door)).collect();
        if doors.is_empty() {
            continue;
        }
        let all = doors.len() == job.doors(set).count();
        for spec in job.lines_of(set, &[Category::Closer]) {
            if !spec.lacks(names::ARM, CODE) || !on_the_surface(job, spec) {
                continue;
            }
            if all {
                out.fill(spec.id, names::ARM, Value::text("parallel"), Grade::Assumed);
            } else {
                for door in &doors {
                    out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::ARM, value: Value::text("parallel") });
                }
            }
            let numbers = doors.iter().map(|door| door.number.clone()).collect();
            let says = "No arm is given for closers of doors that swing out of the building, or reverse into a corridor or stair: a parallel arm taken, on the push side.";
            let mut finding = out.about_lines(job, set, &[spec.id], numbers, "job:", says);
            finding.attribute = Some(names::ARM);
            finding.help = "a top-jamb arm serves too where the reveal allows; write it into the line".to_owned();
            out.say(finding);
        }
    }
}

/// A closer whose words or good put it into the head or the floor has an arm of its own.
fn on_the_surface(job: &Job, spec: &Spec) -> bool {
    if !matches!(spec.word(names::MOUNTING), "" | "surface") {
        return false;
    }
    let mut asked = spec.asked();
    asked.insert(names::ARM, Value::text("parallel"));
    !job.select(Category::Closer, asked).candidates.is_empty()
}
