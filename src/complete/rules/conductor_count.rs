//! Conductors of a transfer that gives none.

use crate::complete::devices;
use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::wire;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "conductor-count",
        Kind::Assumption,
        Weight::Goods,
        "Conductors of a transfer",
        "a transfer of the set gives no number of conductors",
        "the devices on the leaf are added up, spare conductors too, and the next number made is taken; without devices, 4",
        "sizes made 4, 6, 8, 10, 12; spare 2",
        ("trade pages; 6 and 10 and the spare: common practice", "reported"),
        ("POWER TRANSFER beside an electrified lock", "POWER TRANSFER 10 WIRE"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; power-transfer 1 type=concealed; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm; hinge 3; power-transfer 1 type=concealed conductors=10; mortise-lock 1 function=F07 electrified=fail-secure",
};

const CODE: &str = "conductor-count";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::PowerTransfer]) {
            if !spec.lacks(names::CONDUCTORS, CODE) {
                continue;
            }
            let (need, words) = devices::need_of(&devices::on_leaf(job, set));
            let spare = devices::spare(job);
            let Some(made) = wire::next_made(need + spare) else { continue };
            // Concealed transfers are made with 6, 10 and 12 conductors (common practice).
            let made = match made { 0..=6 => 6, 7..=10 => 10, more => more };
            out.fill(spec.id, names::CONDUCTORS, Value::count(made), Grade::Assumed);
            let devices = if words.is_empty() { "no device named".to_owned() } else { words };
            let says = format!("The transfer gives no number of conductors: {devices} = {need}, + {spare} spare, so {made}.");
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:count", says));
        }
    }
}
