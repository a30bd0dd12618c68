//! Wires in frames that are not hollow metal.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::devices;
use crate::complete::job::Job;
use crate::complete::spec::Prep;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "wire-path",
        Kind::Question,
        Weight::Scope,
        "A way for wires in a wood or aluminum frame",
        "a frame of wood or aluminum has an electrified hinge, transfer or electric strike",
        "no guard is listed there; one question for the job on who makes the way for the wires",
        "",
        ("common practice", "common practice"),
        ("an electric strike in a wood frame", "an electric strike in a hollow-metal frame"),
    ),
    run,
    fires: "door 101 36x84 wood wood-frame stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1 for=mortise fail=secure voltage=24; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1 for=mortise fail=secure voltage=24; stop 1",
};

const CODE: &str = "wire-path";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let listed = !devices::transfers(job, set).is_empty() || job.names(set, &[Category::ElectricStrike]);
        let mut numbers = Vec::new();
        for door in job.doors(set) {
            let material = ["wood", "alum"].iter().any(|material| door.frame_material.contains(material));
            let wired = listed || !devices::added_transfers(job, door, CODE).is_empty();
            if !material || !wired {
                continue;
            }
            numbers.push(door.number.clone());
            out.acts.push(Act::Prep(Prep {
                opening: door.index,
                trade: "frame",
                leaf: "",
                what: "way for wires".to_owned(),
                detail: format!("from the cut-out to above the ceiling, in a frame of {}", door.frame_material),
                above_floor: None,
                rule: CODE,
            }));
        }
        if numbers.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, numbers, "job:", "Electrified goods in frames of wood or aluminum: who makes the way for the wires through the frame?");
        finding.priced_as = "nothing for it".to_owned();
        finding.help = "ask the frame maker; low-voltage work by licensed practice".to_owned();
        out.say(finding);
    }
}
