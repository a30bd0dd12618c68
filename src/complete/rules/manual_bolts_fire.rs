//! Manual flush bolts on a rated pair.

use crate::complete::spec::Grade;
use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "manual-bolts-fire",
        Kind::Question,
        Weight::LifeSafety,
        "Manual flush bolts on a rated pair",
        "a rated pair has flush bolts that are manual or not said to be automatic",
        "priced as written, or automatic where nothing is said; manual, automatic and constant-latching are the answers",
        "",
        ("NFPA 80, as trade articles report it; rooms not normally occupied are excepted if the authority agrees", "read"),
        ("manual flush bolts on a 90 minute pair", "automatic flush bolts"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud 90min; hinge 6; closer 2; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07",
    quiet: "door 101 72x84 hm pair stud 90min; hinge 6; closer 2; flush-bolt 1 action=automatic; dust-proof-strike 1; coordinator 1; mortise-lock 1 function=F07",
};

const CODE: &str = "manual-bolts-fire";

/// A coordinator for each rated pair, where the set has none.
fn coordinators(job: &Job, set: usize) -> Vec<(Category, Attributes, Decimal)> {
    let pairs: u32 = job.doors(set).filter(|door| door.fire && door.is_pair()).map(|door| door.count).sum();
    let overlapping = job.all_of(set, &[Category::Astragal]).iter().any(|spec| spec.word(names::FORM) == "overlapping");
    if overlapping || job.names(set, &[Category::Coordinator]) {
        return Vec::new();
    }
    vec![(Category::Coordinator, Attributes::new(), Decimal::from(pairs))]
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let numbers: Vec<String> = job.doors(set).filter(|door| door.fire && door.is_pair()).map(|door| door.number.clone()).collect();
        if numbers.is_empty() {
            continue;
        }
        let rated: Vec<usize> = job.doors(set).filter(|door| door.fire && door.is_pair()).map(|door| door.index).collect();
        for spec in job.lines_of(set, &[Category::FlushBolt]) {
            let said = !spec.lacks(names::ACTION, CODE);
            if said && spec.word(names::ACTION) != "manual" {
                continue;
            }
            let taken = if said { "manual" } else { "automatic" };
            if !said {
                let pairs = job.doors(set).filter(|door| door.is_pair()).count();
                // Pairs without a rating in the same set keep what is usual for them.
                out.fill(spec.id, names::ACTION, Value::text(if rated.len() == pairs { taken } else { "manual" }), Grade::Ask);
                if rated.len() < pairs {
                    rated.iter().for_each(|opening| out.acts.push(Act::Vary { line: spec.id, opening: *opening, attribute: names::ACTION, value: Value::text(taken) }));
                }
            }
            let says = "Flush bolts on rated pairs that are not automatic or constant-latching: the inactive leaf would not latch by itself.";
            let mut finding = out.about_lines(job, set, &[spec.id], numbers.clone(), "bolts", says);
            finding.priced_as = format!("{taken} bolts");
            finding.attribute = Some(names::ACTION);
            finding.answers = ["manual", "automatic", "constant-latching"]
                .map(|word| {
                    let set_it = Effect::Set { lines: vec![spec.id], attribute: names::ACTION, value: Value::text(word) };
                    // With bolts that work by themselves the rules add a coordinator.
                    let goods = if word == "manual" || taken != "manual" { Vec::new() } else { coordinators(job, set) };
                    Answer::new(word, if goods.is_empty() { set_it } else { Effect::Several(vec![set_it, Effect::Follows { goods }]) })
                })
                .to_vec();
            finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
