//! Currents against the limits of an electrified hinge, and the voltage lost on the way.

use rust_decimal::Decimal;

use crate::complete::act::by_hand;
use crate::complete::devices;
use crate::complete::load::{self, Drop};
use crate::complete::spec::Spec;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "transfer-limits",
        Kind::Question,
        Weight::Goods,
        "Current and voltage through the hinge",
        "a device on the leaf takes more current at the start or while it runs than a conductor of a hinge bears, or loses more than a tenth of its voltage on the way",
        "priced as it stands; heavier conductors or a concealed transfer are proposed; the sum is shown. The feeder counts where the job terms give its length or gauge; else hinge and leaf alone are judged",
        "3.5 A continuous, 16 A pulse, 50 V a conductor (common practice); drop = 2 x feet x amperes x ohms per 1000 ft / 1000; a tenth of the voltage",
        ("ASTM B258 wire; drop as device makers compute it; limits: common practice", "reported"),
        ("latch retraction through an electrified hinge", "a lock that takes 0.3 A"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; exit-device 1 type=rim electrified=latch-retraction",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
};

const CODE: &str = "transfer-limits";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        for spec in devices::on_leaf(job, set) {
            check(job, out, set, spec);
        }
    }
}

/// A concealed transfer instead of the wired hinges that were added, of which no line speaks.
fn instead_of_added(job: &Job, set: usize) -> Option<Answer> {
    let mut count = Decimal::ZERO;
    let mut wired: Option<&Attributes> = None;
    for door in job.doors(set) {
        let added = job.added_to(door.index, &[Category::Hinge], CODE).into_iter().filter(|added| added.ours && added.set == Some(set));
        for added in added.filter(|added| added.attributes.contains_key(&names::CONDUCTORS)) {
            let here: Decimal = added.shares.iter().filter(|(opening, _)| *opening == door.index).map(|(_, share)| *share).sum();
            count += here * Decimal::from(door.count);
            wired.get_or_insert(&added.attributes);
        }
    }
    let wired = wired.filter(|_| !count.is_zero())?;
    let conductors = wired.get(&names::CONDUCTORS).and_then(Value::as_number).and_then(|number| u32::try_from(number).ok())?;
    let mut plain = wired.clone();
    plain.remove(&names::CONDUCTORS);
    // The wired hinges go, and an ordinary one comes back in the place of each.
    let goods = vec![(Category::Hinge, wired.clone(), -count), (Category::Hinge, plain, count)];
    let add = Effect::Add { category: Category::PowerTransfer, attributes: devices::concealed(job, conductors), quantity: count };
    Some(Answer::new("plain hinges and a concealed power transfer, whose conductors are heavier", Effect::Several(vec![add, Effect::Follows { goods }])))
}

/// The same device with a motor, where the catalog sells it so; else a word to the architect.
fn motor(job: &Job, spec: &Spec) -> Vec<Answer> {
    const WORDS: &str = "the device starts at a low current (motor)";
    let value = Value::text("motor");
    let mut asked = spec.asked();
    asked.insert(names::DRIVE, value.clone());
    let made = spec.category.is_some_and(|category| !job.select(category, asked).candidates.is_empty());
    let does = if made { Effect::Set { lines: vec![spec.id], attribute: names::DRIVE, value } } else { Effect::ByHand };
    vec![Answer::new(WORDS, does)]
}

fn check(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let Some(drop) = Drop::of(job, set, spec).filter(Drop::is_over) else { return };
    let supply = job.lines_of(set, &[Category::PowerSupply]).into_iter().find_map(|spec| Some(format!(" The set's supply gives {} A.", spec.value(names::AMPS).filter(|_| spec.says(names::AMPS))?))).unwrap_or_default();
    let says = format!("{}{supply}", drop.words());
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{} {}", load::kind_of(spec), drop.volts), says);
    finding.priced_as = "the transfer as it stands".to_owned();
    if drop.is_line_voltage() {
        finding.help = "ask which voltage the device has, and what brings it to the leaf; the authority having jurisdiction and licensed practice decide".to_owned();
        out.say(finding);
        return;
    }
    if load::kind_of(spec) == "latch-retraction" {
        finding.answers = motor(job, spec);
    }
    let wired: Vec<&Spec> = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| devices::wires_across(spec).is_some()).collect();
    if let Some(wanted) = wired.iter().filter_map(|spec| devices::wires_across(spec)).max() {
        let goods = devices::instead(job, set, &wired, &finding.openings, wanted);
        finding.answers.push(Answer::new("plain hinges and a concealed power transfer, whose conductors are heavier", Effect::Several(vec![
            Effect::Set { lines: wired.iter().map(|spec| spec.id).collect(), attribute: names::CONDUCTORS, value: Value::count(0) },
            Effect::Follows { goods: vec![goods] },
        ])));
    }
    finding.answers.extend(instead_of_added(job, set));
    if drop.by_hinge() {
        finding.answers.push(by_hand("heavier conductors, priced by hand"));
    }
    finding.help = "use a device that starts at a low current, two conductors side by side, a concealed transfer with heavier wires, or a supply near the door; low-voltage work by licensed practice".to_owned();
    out.say(finding);
}
