//! Electrified goods need a power supply.

use rust_decimal::Decimal;

use super::transfer_limits::kind_of;
use crate::complete::act::plain_answers;
use crate::complete::devices;
use crate::complete::spec::Spec;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::wire;
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

/// Goods that draw current beside those on the leaf.
const OFF_LEAF: &[Category] = &[Category::ElectricStrike, Category::ElectromagneticLock];

fn run(job: &Job, out: &mut Out) {
    if job.terms.electrical.power_supplies.as_deref() == Some("others") {
        return;
    }
    for set in 0..job.sets.len() {
        let mut devices: Vec<&Spec> = devices::on_leaf(job, set).into_iter().filter(|spec| !kind_of(spec).is_empty()).collect();
        devices.extend(job.all_of(set, OFF_LEAF));
        if devices.is_empty() || job.names(set, &[Category::PowerSupply]) || job.doors(set).next().is_none() {
            continue;
        }
        let (hold, start) = load(job, &devices);
        let rating = hold * wire::limit("supply_margin");
        let sum = format!("{} A held x {} = {} A; {} A at the start of the largest", hold.normalize(), wire::limit("supply_margin").normalize(), rating.normalize(), start.normalize());
        if job.terms.electrical.power_supplies.as_deref() == Some("ours") {
            let amps = [1u32, 2, 4, 6, 10].into_iter().map(Decimal::from).find(|amps| *amps >= rating).unwrap_or(Decimal::TEN);
            let attributes = Attributes::from([
                (names::VOLTAGE, Value::count(job.terms.electrical.voltage.unwrap_or(24))),
                (names::AMPS, Value::Number(amps)),
            ]);
            let shares = job.doors(set).map(|door| (door.index, Decimal::ONE)).collect();
            out.add(set, Category::PowerSupply, attributes, shares, format!("Power for the devices of the opening: {sum}."));
            let mut finding = out.about_set(job, set, job.numbers(set), "job:ours", format!("Electrified goods and no power supply in the set: one of {} A for each opening added ({sum}).", amps.normalize()));
            finding.kind = Kind::Assumption;
            out.say(finding);
            continue;
        }
        let mut finding = out.about_set(job, set, job.numbers(set), "job:", "Electrified goods and no power supply: who furnishes supplies, cable, conduit, fire-alarm relay, programming and final connection?");
        finding.priced_as = "none of them".to_owned();
        finding.answers = plain_answers(&["by others", "ours: set power_supplies in job.toml"]);
        finding.help = "set [electrical] power_supplies = \"ours\" or \"others\" in job.toml".to_owned();
        out.say(finding);
    }
}

/// Amperes held by all devices, and the largest at the start.
fn load(job: &Job, devices: &[&Spec]) -> (Decimal, Decimal) {
    let volts = job.terms.electrical.voltage.unwrap_or(24);
    let mut held = Decimal::ZERO;
    let mut largest = Decimal::ZERO;
    for spec in devices {
        let kind = match spec.category {
            Some(Category::ElectricStrike) => "electric-strike",
            Some(Category::ElectromagneticLock) => "electromagnetic-lock",
            _ => kind_of(spec),
        };
        let (hold, start) = wire::draw(kind, volts).unwrap_or_default();
        held += job.brings(spec, "draw_amps").unwrap_or(hold);
        largest = largest.max(job.brings(spec, "draw_inrush").unwrap_or(start));
    }
    (held, largest)
}
