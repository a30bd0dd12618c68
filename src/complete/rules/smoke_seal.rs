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
        "a door has a smoke and draft label and its set has none",
        "a perimeter smoke seal for head and jambs is added",
        "",
        ("UL 1784 and the model code, as reported", "read"),
        ("a door labelled S, no gasket", "the same with smoke gasket"),
    ),
    run,
    fires: "door 101 36x84 hm stud 20min smoke; hinge 3; closer 1; mortise-lock 1 function=F01",
    quiet: "door 101 36x84 hm stud 20min smoke; hinge 3; closer 1; mortise-lock 1 function=F01; gasketing 1 kind=smoke",
};

const CODE: &str = "smoke-seal";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread || job.lines(set).next().is_none() {
            continue;
        }
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
