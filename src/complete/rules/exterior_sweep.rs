//! Exterior doors have a bottom seal.

use rust_decimal::Decimal;

use super::length::length_of;
use crate::trade::limits;
use crate::complete::act::Act;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use super::unequal_leaves::narrower;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "exterior-sweep",
        Kind::Assumption,
        Weight::Goods,
        "Exterior doors without a bottom seal",
        "a door is exterior, not of aluminum, and its set has none",
        "a sweep as long as the leaf is wide is added for each leaf",
        "",
        ("common practice", "common practice"),
        ("exterior door, no sweep", "exterior door with sweep"),
    ),
    run,
    fires: "door 101 36x84 hm exterior; hinge 3 finish=630 pin=non-removable; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm exterior; hinge 3 finish=630 pin=non-removable; closer 1; mortise-lock 1 function=F07; sweep 1",
};

const CODE: &str = "exterior-sweep";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread || job.lines(set).next().is_none() {
            continue;
        }
        let doors: Vec<_> = job.doors(set).filter(|door| door.exterior && !door.aluminum()).filter(|door| !job.has(set, door, &[Category::Sweep, Category::DoorBottom], CODE)).collect();
        if doors.is_empty() {
            continue;
        }
        let attributes = limits::added(Category::Sweep);
        // Of unequal leaves each has its own.
        for door in &doors {
            let Some(width) = narrower(door) else { continue };
            let mut own = attributes.clone();
            own.insert(names::LENGTH, Value::Length(width));
            out.add(set, Category::Sweep, own, vec![(door.index, Decimal::ONE)], "A sweep as long as the narrower leaf is wide is added.");
        }
        let shares = doors.iter().map(|door| (door.index, Decimal::from(if narrower(door).is_some() { 1 } else { door.leaves }))).collect();
        let mut addition = out.addition(set, Category::Sweep, attributes, shares, "A sweep as long as the leaf is wide is added for each leaf.");
        for door in &doors {
            if let Some(length) = length_of(Category::Sweep, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Exterior doors without a bottom seal: a sweep as long as the leaf is wide is added for each leaf.");
        finding.help = "take it out where others supply it".to_owned();
        out.say(finding);
    }
}
