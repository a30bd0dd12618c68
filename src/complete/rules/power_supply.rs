//! Electrified goods need a power supply.

use rust_decimal::Decimal;

use crate::complete::act::{by_hand, plain_answers};
use crate::complete::load;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "power-supply",
        Kind::Question,
        Weight::Scope,
        "Who supplies the power",
        "a set has electrified goods and no power supply",
        "one question for the job; nothing is added unless the terms say that supplies are ours, then one for each opening, sized by the sum of its devices",
        "rating at least 1.25 times what the devices hold; in-rush of the largest added for the peak",
        ("dealers' sizing guides", "read"),
        ("an electrified lock without supply", "an electrified lock with a supply in the set"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure; power-supply 1",
};

fn run(job: &Job, out: &mut Out) {
    if job.terms.electrical.power_supplies.as_deref() == Some("others") {
        return;
    }
    for set in 0..job.sets.len() {
        let devices = load::devices(job, set);
        if devices.is_empty() || job.names(set, &[Category::PowerSupply]) || job.doors(set).next().is_none() {
            continue;
        }
        let load = load::of(job, set, &devices);
        if job.terms.electrical.power_supplies.as_deref() == Some("ours") {
            let (attributes, sum) = (load.supply(job), load.sum());
            let words = load::supply_words(&attributes);
            let amps = attributes.get(&names::AMPS).and_then(Value::as_number).unwrap_or(load.start);
            let shares = job.doors(set).map(|door| (door.index, Decimal::ONE)).collect();
            out.add(set, Category::PowerSupply, attributes, shares, format!("Power for the devices of the opening: {sum}."));
            let class = load::class_two(amps, job.terms.electrical.voltage.unwrap_or(24));
            let says = format!("Electrified goods and no power supply in the set: {words} for each opening added ({sum}).{class}");
            let mut finding = out.about_set(job, set, job.numbers(set), &format!("job:ours {words} for {}", load.rating().normalize()), says);
            finding.kind = Kind::Assumption;
            out.say(finding);
            continue;
        }
        let mut finding = out.about_set(job, set, job.numbers(set), "job:", "Electrified goods and no power supply: who furnishes supplies, cable, conduit, fire-alarm relay, programming and final connection?");
        finding.priced_as = "none of them".to_owned();
        finding.answers = plain_answers(&["by others"]);
        finding.answers.push(by_hand("ours: set power_supplies in job.toml"));
        finding.help = "set [electrical] power_supplies = \"ours\" or \"others\" in job.toml".to_owned();
        out.say(finding);
    }
}
