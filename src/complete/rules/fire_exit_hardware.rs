//! Exit devices on fire doors are fire exit hardware.

use crate::complete::act::Act;
use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-exit-hardware",
        Kind::Assumption,
        Weight::LifeSafety,
        "Exit device on a fire door",
        "a rated door has an exit device that does not say fire",
        "fire exit hardware is taken for the rated doors, without mechanical dogging",
        "",
        ("NFPA 80; UL 305 and UL 10C as reported", "read"),
        ("RIM PANIC on a 90 minute door", "RIM FIRE EXIT on the same"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; closer 1; exit-device 1 type=rim",
    quiet: "door 101 36x84 hm stud 90min; hinge 3; closer 1; exit-device 1 type=rim fire_listed=true",
};

const CODE: &str = "fire-exit-hardware";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let rated: Vec<_> = job.doors(set).filter(|door| door.fire).collect();
        let all = rated.len() == job.doors(set).count();
        for spec in job.lines_of(set, &[Category::ExitDevice]) {
            let listed = spec.says(names::FIRE_LISTED) && spec.is_set(names::FIRE_LISTED);
            if rated.is_empty() {
                if spec.lacks(names::FIRE_LISTED, CODE) {
                    out.fill(spec.id, names::FIRE_LISTED, Value::Flag(false), Grade::Certain);
                }
                continue;
            }
            if listed {
                continue;
            }
            if all {
                out.acts.push(Act::Change { line: spec.id, attribute: names::FIRE_LISTED, value: Value::Flag(true), grade: Grade::Assumed });
                if spec.lacks(names::DOGGING, CODE) {
                    out.fill(spec.id, names::DOGGING, Value::text("none"), Grade::Assumed);
                }
            } else {
                if spec.lacks(names::FIRE_LISTED, CODE) {
                    out.fill(spec.id, names::FIRE_LISTED, Value::Flag(false), Grade::Certain);
                }
                for door in &rated {
                    out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::FIRE_LISTED, value: Value::Flag(true) });
                    // Dogging that the words give is another rule's question.
                    if spec.lacks(names::DOGGING, CODE) {
                        out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::DOGGING, value: Value::text("none") });
                    }
                }
            }
            let numbers = rated.iter().map(|door| door.number.clone()).collect();
            let says = "Exit devices on rated doors: fire exit hardware taken, without mechanical dogging.";
            out.say(out.about_lines(job, set, &[spec.id], numbers, "job:", says));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;
    use crate::trade::attribute::names;

    #[test]
    fn dogging_that_the_words_give_stays_and_is_asked() {
        let doors = "door 107 36x84 hm 90min; door 108 36x84 hm; hinge 3; closer 1";
        for (words, given) in [("", true), (" dogging=hex", false)] {
            let job = completed(&format!("{doors}; exit-device 1 type=rim{words}"));
            let device = &job.sets[0].specs[2];
            let none = device.varies.get(&0).is_some_and(|own| own.contains_key(&names::DOGGING));
            assert_eq!(none, given, "{words}");
            assert_eq!(job.findings.iter().any(|finding| finding.code == "fire-hold-open"), !given, "{words}");
        }
    }
}
