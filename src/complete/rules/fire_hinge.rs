//! Hinges of fire doors are steel or stainless with bearings.

use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-hinge",
        Kind::Assumption,
        Weight::LifeSafety,
        "Hinges on a fire door",
        "a rated door has plain bearing hinges, or hinges of brass, bronze or aluminum by their finish",
        "ball bearing and the steel equivalent of the finish are taken",
        "",
        ("NFPA 80 6.4.3; A156.1", "read"),
        ("hinges 626 on a 90 minute door", "hinges 652"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3 finish=626 bearing=ball; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 90min; hinge 3 finish=652 bearing=ball; closer 1; mortise-lock 1 function=F07",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let numbers = job.numbers_of(set, |door| door.fire);
        let rated: Vec<usize> = job.doors(set).filter(|door| door.fire).map(|door| door.index).collect();
        let changed = (Grade::Assumed, true);
        if numbers.is_empty() {
            continue;
        }
        for spec in job.lines_of(set, &[Category::Hinge]) {
            if spec.says(names::BEARING) && spec.word(names::BEARING) == "plain" {
                out.give_at(job, spec.id, &rated, names::BEARING, Value::text("ball"), changed);
                let says = "Plain bearing hinges on rated doors: ball bearing taken.";
                out.say(out.about_lines(job, set, &[spec.id], numbers.clone(), "job:bearing", says));
            }
            let written = spec.reading.attributes.get(&names::FINISH).and_then(|heard| heard.found()).and_then(Value::as_text);
            let Some(found) = written.and_then(finish::find) else { continue };
            if found.is_on("steel") || found.is_on("stainless") || found.bases.is_empty() {
                continue;
            }
            let Some(steel) = finish::resolve(found.look, "steel") else { continue };
            out.give_at(job, spec.id, &rated, names::FINISH, Value::text(steel.code), changed);
            out.give_at(job, spec.id, &rated, names::BASE, Value::text("steel"), changed);
            let says = format!("Hinges in {} on rated doors: brass and bronze melt; {} on steel taken.", found.code, steel.code);
            out.say(out.about_lines(job, set, &[spec.id], numbers.clone(), &format!("job:{}", found.code), says));
        }
    }
}
