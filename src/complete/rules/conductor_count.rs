//! Conductors of a transfer that gives none.

use crate::complete::devices;
use crate::complete::spec::{Grade, Spec};
use crate::understand::reading::Heard;
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
        for spec in job.lines_of(set, devices::ACROSS).into_iter().filter(|spec| unsaid(spec)) {
            let (need, words) = devices::need_on_leaf(job, set);
            let transfer = spec.category == Some(Category::PowerTransfer);
            // A wired hinge that serves nothing known is asked about, not counted.
            if need == 0 && !transfer {
                continue;
            }
            let spare = devices::spare(job);
            let Some(category) = spec.category else { continue };
            let Some(wanted) = wire::next_made(need + spare).or_else(|| wire::next_made(need)) else { continue };
            let made = devices::size_made(job, category, spec.asked(), wanted);
            out.fill(spec.id, names::CONDUCTORS, Value::count(made), Grade::Assumed);
            let devices = if words.is_empty() { "no device named".to_owned() } else { devices::conductors_sum(&words, need) };
            let goods = if transfer { "transfer" } else { "hinge" };
            let says = format!("The {goods} gives no number of conductors: {devices}, with {spare} spare {made} taken.");
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:count", says));
        }
    }
}

/// A transfer without a number, or a wired hinge whose words leave it open.
fn unsaid(spec: &Spec) -> bool {
    match spec.category {
        Some(Category::PowerTransfer) => spec.lacks(names::CONDUCTORS, CODE),
        _ => matches!(spec.reading.attributes.get(&names::CONDUCTORS), Some(Heard::Ambiguous(_))) && !spec.says(names::CONDUCTORS),
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    #[test]
    fn a_wired_hinge_without_a_number_gets_what_the_devices_need() {
        let job = completed("door 101 36x84 hm; hinge 2; hinge 1 ?conductors=4|6|8|10|12; mortise-lock 1 function=F07 electrified=fail-secure monitor=latch");
        let hinge = &job.sets[0].specs[1];
        assert_eq!(hinge.value(names::CONDUCTORS).and_then(|value| value.as_number()), Some(6.into()));
        assert!(speaks(&job, "conductor-count") && !speaks(&job, "ambiguous-word"), "{:#?}", job.findings);
    }
}
