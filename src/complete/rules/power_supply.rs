//! Electrified goods need a power supply.

use rust_decimal::Decimal;

use crate::complete::act::plain_answers;
use crate::complete::door::Door;
use crate::complete::gather::shown;
use crate::complete::load;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Fact, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "power-supply",
        Kind::Question,
        Weight::Scope,
        "Who supplies the power",
        "a set has electrified goods and no power supply",
        "one question for the job; nothing is added unless the job terms or the answer say that supplies are ours, then one for each opening, sized by the sum of its devices",
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
    let all_ours = job.terms.electrical.power_supplies.as_deref() == Some("ours");
    let mut open = Open::default();
    for set in 0..job.sets.len() {
        let devices = load::devices(job, set);
        // Who furnishes a device that others supply furnishes its power.
        let all_of_others = devices.iter().all(|spec| spec.excluded.is_some());
        if devices.is_empty() || all_of_others || job.names(set, &[Category::PowerSupply]) || job.doors(set).next().is_none() {
            continue;
        }
        let load = load::of(job, set, &devices);
        // At a door where every device is left out nothing draws a current.
        let wired = job.doors(set).filter(|door| devices.iter().any(|spec| !spec.count_at(door).is_zero()));
        let (ours, asked): (Vec<&Door>, Vec<&Door>) = wired.partition(|door| all_ours || door.powered);
        if !ours.is_empty() {
            supply(job, out, set, &load, &ours);
        }
        if !asked.is_empty() {
            open.sets.push(job.sets[set].id.clone());
            open.first.get_or_insert(set);
            open.doors.extend(asked.iter().map(|door| door.number.clone()));
            let count = asked.iter().map(|door| Decimal::from(door.count)).sum();
            open.goods.push((Category::PowerSupply, load.supply(job), count));
        }
    }
    let Some(first) = open.first else { return };
    // Of one set the finding itself says which.
    let sets = if open.sets.len() == 1 { String::new() } else { format!(" (sets {})", shown(&open.sets)) };
    let says = format!("Electrified goods and no power supply: who furnishes supplies, cable, conduit, fire-alarm relay, programming and final connection?{sets}");
    let mut finding = out.about_set(job, first, open.doors, "job:", says);
    if open.sets.len() > 1 {
        finding.set = None;
    }
    finding.priced_as = "none of them".to_owned();
    finding.answers = plain_answers(&["by others"]);
    finding.answers.push(Answer::new("ours (one supply for each opening; wiring by others)", Effect::Doors { are: Fact::Powered, goods: open.goods }));
    finding.help = "settle it with the electrical and security trades; supplies shared by several openings are written into the schedule; low-voltage work by licensed practice".to_owned();
    out.say(finding);
}

/// What is asked, over all sets.
#[derive(Default)]
struct Open {
    first: Option<usize>,
    sets: Vec<String>,
    doors: Vec<String>,
    goods: Vec<(Category, Attributes, Decimal)>,
}

/// Adds a supply for each opening.
fn supply(job: &Job, out: &mut Out, set: usize, load: &load::Load, doors: &[&Door]) {
    let (attributes, sum) = (load.supply(job), load.sum());
    let words = load::supply_words(&attributes);
    let amps = attributes.get(&names::AMPS).and_then(Value::as_number).unwrap_or(load.start);
    let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
    out.add(set, Category::PowerSupply, attributes, shares, format!("Power for the devices of the opening: {sum}."));
    let class = load::class_two(amps, load.volts);
    let says = format!("Electrified goods and no power supply in the set: for each opening {words} added ({sum}).{class}");
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let mut finding = out.about_set(job, set, numbers, &format!("job:ours {words} for {}", load.rating().normalize()), says);
    finding.kind = Kind::Assumption;
    out.say(finding);
}
