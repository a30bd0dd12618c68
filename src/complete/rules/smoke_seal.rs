//! Doors with a smoke label have a smoke seal.

use rust_decimal::Decimal;

use super::length::length_of;
use crate::complete::act::Act;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "smoke-seal",
        Kind::Assumption,
        Weight::LifeSafety,
        "Smoke doors without a smoke seal",
        "a door has a smoke and draft label, by its row or by the answer to smoke-label, and its set has no perimeter seal",
        "a perimeter smoke seal for head and jambs is added, and at pairs without mullion or astragal one for the meeting edges",
        "",
        ("UL 1784 and the model code, as reported", "read"),
        ("a door labelled S, no gasket", "the same with smoke gasket"),
    ),
    run,
    fires: "door 101 36x84 hm stud 20min smoke; hinge 3; closer 1; mortise-lock 1 function=F01",
    quiet: "door 101 36x84 hm stud 20min smoke; hinge 3; closer 1; mortise-lock 1 function=F01; gasketing 1 kind=smoke",
};

const CODE: &str = "smoke-seal";

/// Leaves of a pair meet at an edge that no seal of the frame closes.
fn meeting(job: &Job, out: &mut Out, set: usize) {
    if job.names(set, &[Category::Mullion, Category::Astragal]) || job.all_of(set, &[Category::Gasketing]).iter().any(|spec| spec.word(names::FORM).contains("meeting")) {
        return;
    }
    let doors: Vec<_> = job.doors(set).filter(|door| door.smoke && door.is_pair()).filter(|door| job.added_to(door.index, &[Category::Astragal, Category::Mullion], CODE).is_empty()).collect();
    if doors.is_empty() {
        return;
    }
    let attributes = Attributes::from([(names::FORM, Value::text("meeting-stile"))]);
    let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
    let mut addition = out.addition(set, Category::Astragal, attributes, shares, "The leaves of a smoke pair are sealed where they meet.");
    for door in &doors {
        if let Some(length) = length_of(Category::Astragal, door) {
            addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
        }
    }
    out.acts.push(Act::Add(addition));
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let mut finding = out.about_set(job, set, numbers, "job:meeting", "Smoke pairs without a seal where the leaves meet: one for each pair is added.");
    finding.help = "take it out where others supply it, or where the doors come with a listed edge".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread || job.lines(set).next().is_none() {
            continue;
        }
        meeting(job, out, set);
        let doors: Vec<_> = job.doors(set).filter(|door| door.smoke).filter(|door| !job.has(set, door, &[Category::Gasketing], CODE)).collect();
        if doors.is_empty() {
            continue;
        }
        let attributes = Attributes::from([(names::KIND, Value::text("smoke"))]);
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        let mut addition = out.addition(set, Category::Gasketing, attributes, shares, "A perimeter smoke seal for head and jambs is added.");
        for door in &doors {
            if let Some(length) = length_of(Category::Gasketing, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Smoke doors without a smoke seal: a perimeter smoke seal for head and jambs is added.");
        finding.help = "take it out where others supply it".to_owned();
        out.say(finding);
    }
}
