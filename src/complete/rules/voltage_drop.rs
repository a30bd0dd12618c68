//! The sum of what is lost in the wires to a device on the leaf, where it is little enough.

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::job::Job;
use crate::complete::load::{self, Drop};
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "voltage-drop",
        Kind::Note,
        Weight::Goods,
        "What the wires to a device lose",
        "a device on the leaf draws current, its transfer bears it and the wires lose little enough",
        "the sum is shown, with what was taken where the job terms give no distances or gauges; a feeder of which they say nothing is shown and not judged: where the one taken would lose too much, the length is told that its gauge bears",
        "10 per cent of the voltage may be lost; 2 x feet x amperes x ohms per 1000 ft / 1000, hinge and feeder together",
        ("ASTM B258 wire; drop as device makers compute it; limits: common practice", "reported"),
        ("a lock of 0.3 A through an electrified hinge", "a lock without wires"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07",
};

fn run(job: &Job, out: &mut Out) {
    // It changes nothing: said once the rules have settled.
    if !out.settled {
        return;
    }
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        for spec in devices::on_leaf(job, set) {
            let Some(drop) = Drop::of(job, set, spec).filter(|drop| !drop.is_over()) else { continue };
            let about = format!("job:{} {}", load::kind_of(spec), drop.volts);
            let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &about, drop.words());
            finding.help = "low-voltage work by licensed practice; write distances and gauges under [electrical] in job.toml".to_owned();
            out.say(finding);
        }
    }
}
