//! Exterior doors have a perimeter seal.

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
        "exterior-seal",
        Kind::Assumption,
        Weight::Goods,
        "Exterior doors without weatherstrip",
        "a door is exterior, not of aluminum, and its set has none",
        "a perimeter seal for head and jambs is added, twice the height and once the width",
        "",
        ("a public university standard; length computed", "read"),
        ("exterior door, no weatherstrip", "exterior door with weatherstrip"),
    ),
    run,
    fires: "door 101 36x84 hm exterior; hinge 3 finish=630 pin=non-removable; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm exterior; hinge 3 finish=630 pin=non-removable; closer 1; mortise-lock 1 function=F07; gasketing 1 kind=weather",
};

const CODE: &str = "exterior-seal";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread || job.lines(set).next().is_none() {
            continue;
        }
        let doors: Vec<_> = job.doors(set).filter(|door| door.exterior && !door.aluminum()).filter(|door| !job.has(set, door, &[Category::Gasketing], CODE)).collect();
        if doors.is_empty() {
            continue;
        }
        let attributes = Attributes::from([(names::KIND, Value::text("weather"))]);
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        let mut addition = out.addition(set, Category::Gasketing, attributes, shares, "A perimeter seal for head and jambs is added, twice the height and once the width.");
        for door in &doors {
            if let Some(length) = length_of(Category::Gasketing, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Exterior doors without weatherstrip: a perimeter seal for head and jambs is added, twice the height and once the width.");
        finding.help = "take it out where others supply it".to_owned();
        out.say(finding);
    }
}
