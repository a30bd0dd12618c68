//! Flush bolts and what the leaf is made of.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "bolt-door",
        Kind::Question,
        Weight::Goods,
        "Flush bolts for wood or metal",
        "flush bolts are for another material than the leaf is made of, or do not say for which",
        "for the material of the leaf where nothing is said; a contradiction is priced as written and asked",
        "",
        ("code article on flush bolts: they differ for wood and metal doors", "reported"),
        ("bolts for metal doors on a wood pair", "bolts for wood doors on a wood pair"),
    ),
    run,
    fires: "door 101 72x84 wood pair stud; hinge 6; flush-bolt 1 action=manual door=metal; dust-proof-strike 1; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 72x84 wood pair stud; hinge 6; flush-bolt 1 action=manual door=wood; dust-proof-strike 1; mortise-lock 1 function=F07; stop 1",
};

const CODE: &str = "bolt-door";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let wood = job.numbers_of(set, |door| door.door_material.contains("wood"));
        let metal = job.numbers_of(set, |door| ["hollow-metal", "steel", "alum"].iter().any(|metal| door.door_material.contains(metal)));
        for spec in job.lines_of(set, &[Category::FlushBolt]) {
            if spec.lacks(names::DOOR, CODE) {
                let taken = if metal.is_empty() { "wood" } else { "metal" };
                if wood.is_empty() && metal.is_empty() {
                    continue;
                }
                out.fill(spec.id, names::DOOR, Value::text(taken), Grade::Certain);
                for door in job.doors(set).filter(|door| !metal.is_empty() && door.door_material.contains("wood")) {
                    out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::DOOR, value: Value::text("wood") });
                }
                continue;
            }
            let written = spec.word(names::DOOR).to_owned();
            let (taken, doors) = if written == "metal" { ("wood", &wood) } else { ("metal", &metal) };
            if spec.says(names::DOOR) && !doors.is_empty() {
                let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), "material", format!("Flush bolts for {written} doors on doors of {taken}."));
                finding.priced_as = format!("for {written}, as written");
                finding.attribute = Some(names::DOOR);
                finding.answers = [written.as_str(), taken].map(|word| set_answer(format!("for {word} doors"), &[spec.id], names::DOOR, Value::text(word))).to_vec();
                out.say(finding);
            }
        }
    }
}
