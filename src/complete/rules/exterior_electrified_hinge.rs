//! Electrified hinges outdoors.

use crate::complete::act::{Out, Rule, by_hand, page, plain_answers};
use crate::complete::devices;
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::limits;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "exterior-electrified-hinge",
        Kind::Question,
        Weight::Goods,
        "A steel electrified hinge on an exterior door",
        "an exterior door has an electrified hinge of steel, in the set or added",
        "priced as it stands; a stainless hinge, or plain hinges and a concealed transfer, are the other answers",
        "",
        ("a hinge maker's sheet: steel ones are for interior use", "reported"),
        ("an exterior door with a hinge 652 of 6 conductors", "the same hinge in 630"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR stud; hinge 2 finish=630; hinge 1 conductors=6 finish=652; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm exterior RHR stud; hinge 2 finish=630; hinge 1 conductors=6 finish=630; mortise-lock 1 function=F07 electrified=fail-secure",
};

const CODE: &str = "exterior-electrified-hinge";

fn steel(attributes: &Attributes) -> bool {
    let found = attributes.get(&names::FINISH).and_then(Value::as_text).and_then(finish::find);
    match found.and_then(|found| found.base()) {
        Some(base) => base == "steel",
        None => attributes.get(&names::BASE).and_then(Value::as_text) == Some("steel"),
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let listed: Vec<&Spec> = devices::transfers(job, set).into_iter().filter(|spec| spec.category == Some(Category::Hinge) && steel(&spec.asked())).collect();
        let doors = job.numbers_of(set, |door| {
            let added = devices::added_transfers(job, door, CODE);
            door.exterior && (!listed.is_empty() || added.iter().any(|added| added.category == Category::Hinge && steel(&added.attributes)))
        });
        if doors.is_empty() {
            continue;
        }
        let says = "A steel electrified hinge on an exterior door: such hinges are made for dry rooms.";
        let lines: Vec<_> = listed.iter().map(|spec| spec.id).collect();
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", says);
        finding.priced_as = "the steel hinge".to_owned();
        finding.help = "ask the hinge's maker; a hinge that the rules add follows the other hinges of the set".to_owned();
        finding.answers = plain_answers(&["as it stands"]);
        match (limits::added(Category::Hinge).remove(&names::FINISH), lines.is_empty()) {
            (Some(stainless), false) => {
                finding.answers.push(set_answer(format!("a stainless one, {stainless}"), &lines, names::FINISH, stainless));
                let wanted = listed.iter().filter_map(|spec| devices::wires_across(spec)).max().unwrap_or_default();
                let goods = devices::instead(job, set, &listed, &finding.openings, wanted);
                finding.answers.push(Answer::new("plain hinges and a concealed power transfer", Effect::Several(vec![
                    Effect::Set { lines, attribute: names::CONDUCTORS, value: Value::count(0) },
                    Effect::Follows { goods: vec![goods] },
                ])));
            }
            _ => finding.answers.push(by_hand("stainless or a concealed transfer, to be written into the set")),
        }
        out.say(finding);
    }
}
