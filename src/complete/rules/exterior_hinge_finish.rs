//! Plated steel hinges outdoors.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::limits;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "exterior-hinge-finish",
        Kind::Question,
        Weight::Goods,
        "Plated steel hinges on exterior doors",
        "hinges or spring hinges of an exterior door, without wires, are by their finish plated or primed steel",
        "priced as written; stainless (630) is the other answer",
        "",
        ("MIL-HDBK-1024/1; UFC 3-190-02FA on fasteners", "read"),
        ("hinges 652 on an exterior door", "hinges 630 on an exterior door"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3 finish=652",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3 finish=630",
};

fn run(job: &Job, out: &mut Out) {
    let Some(Value::Text(stainless)) = limits::added(Category::Hinge).remove(&names::FINISH) else { return };
    for set in 0..job.sets.len() {
        let doors = job.numbers_of(set, |door| door.exterior);
        if doors.is_empty() {
            continue;
        }
        // A wired one is asked about by itself.
        let plain = |spec: &&Spec| super::hinge_count::wires(spec).is_none();
        for spec in job.lines_of(set, &[Category::Hinge, Category::SpringHinge]).into_iter().filter(plain) {
            let Some(found) = finish::find(spec.word(names::FINISH)) else { continue };
            if found.base() != Some("steel") {
                continue;
            }
            let says = "Plated steel hinges on exterior doors rust; stainless is usual there.";
            let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), "job:", says);
            finding.priced_as = format!("{}, steel", found.code);
            finding.attribute = Some(names::FINISH);
            finding.answers = vec![
                Answer::new("as written", Effect::Nothing),
                set_answer(format!("stainless, {stainless}"), &[spec.id], names::FINISH, Value::Text(stainless.clone())),
            ];
            finding.help = "ask the architect; the answer holds for the exterior doors of the set alone".to_owned();
            out.say(finding);
        }
    }
}
