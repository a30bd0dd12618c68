//! The rating of a power supply that the set lists.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::load;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::read::schedule::Basis;
use crate::complete::door::Door;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::wire;
use rust_decimal::Decimal;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "supply-size",
        Kind::Assumption,
        Weight::Goods,
        "Rating of a power supply",
        "a set lists a power supply and gives no amperes, or fewer than its devices need",
        "the devices are added up, with the margin, and the next rating made is taken; one that is too small is asked about",
        "1.25 times what is held, and for a moment what the others hold and the largest takes at its start; 1, 2, 4, 6, 10 A; above 100 VA no longer a class 2 source",
        ("dealers' sizing guides; NEC 725 as reported", "reported"),
        ("a lock of 0.3 A and POWER SUPPLY", "a lock of 0.3 A, 2 A at its start, and POWER SUPPLY 2 A"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure; power-supply 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure; power-supply 1 amps=2",
};

const CODE: &str = "supply-size";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let supplies = job.lines_of(set, &[Category::PowerSupply]);
        let devices = load::devices(job, set);
        // A row may stand for several doors.
        let doors: u32 = job.doors(set).map(|door| door.count).sum();
        if supplies.is_empty() || devices.is_empty() || doors == 0 {
            continue;
        }
        let load = load::of(job, set, &devices);
        for spec in supplies {
            if spec.lacks(names::AMPS, CODE) && spec.basis != Basis::Lot {
                fill(job, out, set, spec, &load);
            } else if let Some(amps) = spec.value(names::AMPS).and_then(Value::as_number) {
                // One supply for the whole set feeds all its doors.
                let share = if spec.basis == Basis::Lot { Decimal::from(doors) } else { Decimal::ONE };
                let need = load.rating().saturating_mul(share);
                // One that says what it stands at the start is judged by that.
                let stands = spec.value(names::INRUSH_AMPS).and_then(Value::as_number);
                let starts = if stands.is_some_and(|stands| stands >= load.start) { Decimal::ZERO } else { load.peak() + load.hold.saturating_mul(share - Decimal::ONE) };
                let need = need.max(starts);
                if amps < need {
                    short(job, out, set, spec, (amps, need), &load);
                }
            }
        }
    }
}

fn fill(job: &Job, out: &mut Out, set: usize, spec: &Spec, load: &load::Load) {
    // One that says what it stands at the start, by its words or by an answer, is chosen by that.
    if spec.says(names::INRUSH_AMPS) {
        return;
    }
    let supply = load.supply(job);
    let told = supply.get(&names::AMPS).and_then(Value::as_number);
    let need = load.rating().max(load.peak());
    let small = told.filter(|amps| *amps < need);
    let grade = if small.is_some() { Grade::Ask } else { Grade::Assumed };
    for attribute in [names::AMPS, names::INRUSH_AMPS] {
        if let Some(value) = supply.get(&attribute) {
            out.fill(spec.id, attribute, value.clone(), grade);
        }
    }
    outputs(job, out, set, spec, &supply);
    let class = load::class_two(told.unwrap_or(load.start), load.volts);
    let words = load::supply_words(&supply);
    let says = format!("The power supply gives no amperes: {words} taken for each opening ({}).{class}", load.sum());
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{words} for {}", load.rating().normalize()), says);
    if let Some(amps) = small {
        finding.kind = Kind::Question;
        finding.says = format!("The power supply gives no amperes, and none is made that is enough for the devices: {} A are needed ({}).{class}", need.normalize(), load.sum());
        finding.priced_as = format!("{} A, the largest", amps.normalize());
        finding.attribute = Some(names::AMPS);
        let start = Value::Number(load.start);
        finding.answers = vec![
            Answer::new(format!("{} A", amps.normalize()), Effect::Nothing),
            set_answer(format!("one made for {} A at the start", load.start.normalize()), &[spec.id], names::INRUSH_AMPS, start),
        ];
        finding.help = "a supply that starts its devices one after the other, or one for each device; low-voltage work by licensed practice".to_owned();
    }
    out.say(finding);
}

/// A supply for devices that start hard has an output for each of them.
fn outputs(job: &Job, out: &mut Out, set: usize, spec: &Spec, supply: &Attributes) {
    if supply.get(&names::INRUSH_AMPS).is_none() || !spec.lacks(names::OUTPUTS, CODE) {
        return;
    }
    let devices = load::devices(job, set);
    let starts = |door: &Door| devices.iter().filter(|spec| load::kind_of(spec) == "latch-retraction").map(|spec| spec.count_at(door)).sum::<Decimal>();
    let Some(most) = job.doors(set).map(starts).max().filter(|most| *most > Decimal::ZERO) else { return };
    let mut asked = spec.asked();
    asked.extend(supply.clone());
    asked.insert(names::OUTPUTS, Value::Number(most));
    if !job.select(Category::PowerSupply, asked).candidates.is_empty() {
        out.fill(spec.id, names::OUTPUTS, Value::Number(most), Grade::Assumed);
    }
}

fn short(job: &Job, out: &mut Out, set: usize, spec: &Spec, (amps, need): (Decimal, Decimal), load: &load::Load) {
    let says = format!("The power supply gives {} A; its devices need {} A ({}).", amps.normalize(), need.normalize(), load.sum());
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), "short", says);
    finding.kind = Kind::Question;
    finding.priced_as = format!("{} A, as written", amps.normalize());
    finding.attribute = Some(names::AMPS);
    finding.answers = vec![Answer::new("as written", Effect::Nothing)];
    if let Some(made) = wire::supply_made(need) {
        finding.answers.push(set_answer(format!("{} A", made.normalize()), &[spec.id], names::AMPS, Value::Number(made)));
    }
    else if let Some(start) = load.supply(job).get(&names::INRUSH_AMPS) {
        finding.answers.push(set_answer(format!("one made for {start} A at the start"), &[spec.id], names::INRUSH_AMPS, start.clone()));
    }
    finding.help = "ask those who do the access control; low-voltage work by licensed practice".to_owned();
    out.say(finding);
}
