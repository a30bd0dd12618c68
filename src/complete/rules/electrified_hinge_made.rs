//! Electrified hinges of sizes and forms for which frames have no usual preparation.

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::limits;
use super::hinge_count::wires;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-made",
        Kind::Question,
        Weight::Goods,
        "An electrified hinge of unusual size or form",
        "an electrified hinge is lower than 4-1/2 in, its leaf is thinner than 1-3/4 in, or it is a swing-clear hinge",
        "priced as written; plain hinges and a concealed power transfer are the other answer, for a leaf thick enough",
        "4-1/2 and 5 in hinges at leaves of 1-3/4 in are what frames are prepared for",
        ("SDI 130-15 clause 1; swing-clear: common practice", "read"),
        ("an electrified hinge 3-1/2 high at a leaf 1-3/8 thick", "one 4-1/2 high at a leaf 1-3/4 thick"),
    ),
    run,
    fires: "door 101 32x80 wood thick=1.375; hinge 2 height=3.5; hinge 1 height=3.5 conductors=4; bored-lock 1 function=F86 electrified=fail-secure",
    quiet: "door 101 36x84 hm thick=1.75; hinge 2 height=4.5; hinge 1 height=4.5 conductors=4; mortise-lock 1 function=F07 electrified=fail-secure",
};

/// What is unusual about a wired hinge at a door, in words.
fn unusual(spec: &Spec, door: &Door) -> Option<&'static str> {
    let high = spec.value_at(door, names::HEIGHT).and_then(Value::as_length);
    let least = limits::inches("electrified_hinge_least");
    if door.thickness.is_some_and(|thick| thick < limits::inches("hinge_usual_thickness")) {
        Some("at a leaf thinner than 1-3/4 in")
    } else if high.is_some_and(|high| high > Inches::ZERO && high < least) {
        Some("lower than 4-1/2 in")
    } else if spec.is_set(names::SWING_CLEAR) {
        Some("that swings clear")
    } else {
        None
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let wired: Vec<&Spec> = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| wires(spec).is_some()).collect();
        for spec in &wired {
            let found: Vec<(&Door, &str)> = job.doors(set).filter_map(|door| Some((door, unusual(spec, door)?))).collect();
            let Some((_, what)) = found.first() else { continue };
            let numbers = found.iter().map(|(door, _)| door.number.clone()).collect();
            let says = format!("An electrified hinge {what}: frames are prepared for wired hinges 4-1/2 and 5 in high at leaves of 1-3/4 in; whether this one is made, and who prepares for it, is to be confirmed.");
            let mut finding = out.about_lines(job, set, &[spec.id], numbers, what, says);
            finding.priced_as = "as written".to_owned();
            finding.answers = vec![Answer::new("as written", Effect::Nothing)];
            let thin = found.iter().any(|(door, _)| door.thickness.is_some_and(|thick| thick < limits::inches("hinge_usual_thickness")));
            if !thin {
                let wanted = devices::wires_across(spec).unwrap_or_default();
                let goods = devices::instead(job, set, &[spec], &finding.openings, wanted);
                finding.answers.push(Answer::new("plain hinges and a concealed power transfer", Effect::Several(vec![
                    Effect::Set { lines: vec![spec.id], attribute: names::CONDUCTORS, value: Value::count(0) },
                    Effect::Follows { goods: vec![goods] },
                ])));
            }
            finding.help = "ask the hinge's maker and the frame maker before the frame is ordered".to_owned();
            out.say(finding);
        }
    }
}
