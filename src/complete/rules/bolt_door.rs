//! Flush bolts and what the leaf is made of.

use crate::complete::act::{Out, Rule, page};
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
            let taken = match (wood.is_empty(), metal.is_empty()) {
                (false, true) => "wood",
                (true, false) => "metal",
                _ => continue,
            };
            if spec.lacks(names::DOOR, CODE) {
                out.fill(spec.id, names::DOOR, Value::text(taken), Grade::Certain);
            } else if spec.says(names::DOOR) && spec.word(names::DOOR) != taken {
                let doors = if taken == "wood" { wood.clone() } else { metal.clone() };
                let written = spec.word(names::DOOR).to_owned();
                let mut finding = out.about_lines(job, set, &[spec.id], doors, "material", format!("Flush bolts for {written} doors on doors of {taken}."));
                finding.priced_as = format!("for {written}, as written");
                finding.attribute = Some(names::DOOR);
                finding.answers = [written.as_str(), taken].map(|word| set_answer(format!("for {word} doors"), &[spec.id], names::DOOR, Value::text(word))).to_vec();
                out.say(finding);
            }
        }
    }
}
