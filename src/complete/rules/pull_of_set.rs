//! A night latch whose set has a pull of its own.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, LineId, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "pull-of-set",
        Kind::Assumption,
        Weight::Goods,
        "A night latch beside a pull of its own",
        "an exit device with the function of a night latch says nothing of its trim, and its set has a door pull on a line of its own",
        "the device with a cylinder plate is taken, and no second pull with it; where the catalog makes none such, the usual trim is priced and it is told",
        "",
        ("common practice", "common practice"),
        ("RIM EXIT DEVICE NIGHT LATCH and OFFSET DOOR PULL", "RIM EXIT DEVICE NIGHT LATCH alone"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim function=03; pull 1 type=offset",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim function=03",
};

const CODE: &str = "pull-of-set";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.all_of(set, &[Category::Pull]).is_empty() || job.doors(set).next().is_none() {
            continue;
        }
        let (plain, lacking): (Vec<&Spec>, Vec<&Spec>) = job
            .lines_of(set, &[Category::ExitDevice])
            .into_iter()
            .filter(|spec| is_night_latch(spec) && spec.lacks(names::TRIM, CODE) && !spec.says(names::DESIGNATION))
            .partition(|spec| is_made(job, spec));
        plain.iter().for_each(|spec| out.fill(spec.id, names::TRIM, Value::text("plate"), Grade::Assumed));
        let says = "Night latches beside door pulls on lines of their own: those with a cylinder plate taken, and no second pull.";
        tell(job, out, set, &plain, "job:plate", says);
        let says = "Night latches beside door pulls on lines of their own: the catalog makes none with a cylinder plate; the one priced may bring a pull of its own.";
        tell(job, out, set, &lacking, "job:both", says);
    }
}

fn is_night_latch(spec: &Spec) -> bool {
    let found = function::find(FunctionKind::Exit, spec.word(names::FUNCTION));
    found.is_some_and(|function| function.name == "night-latch")
}

/// Whether the catalog has it with a plate for the cylinder.
fn is_made(job: &Job, spec: &Spec) -> bool {
    let mut asked = spec.asked();
    asked.insert(names::TRIM, Value::text("plate"));
    !job.select(Category::ExitDevice, asked).candidates.is_empty()
}

fn tell(job: &Job, out: &mut Out, set: usize, specs: &[&Spec], about: &str, says: &str) {
    let lines: Vec<LineId> = specs.iter().map(|spec| spec.id).collect();
    if !lines.is_empty() {
        out.say(out.about_lines(job, set, &lines, job.numbers(set), about, says));
    }
}
