//! Two rim devices on a pair need something to latch into.

use rust_decimal::Decimal;

use super::length::length_of;
use crate::trade::limits;
use crate::complete::act::{Act, Out, Rule, keep_or_not, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "rim-pair-mullion",
        Kind::Question,
        Weight::Goods,
        "Two rim devices and no mullion",
        "a pair has rim exit devices on both leaves and no mullion",
        "a keyed removable mullion for each pair is added provisionally",
        "one for each pair",
        ("a retailer's guide to double doors", "reported"),
        ("a pair with two rim devices", "a pair with two rim devices and a mullion"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; exit-device 2 type=rim; closer 2",
    quiet: "door 101 72x84 hm pair stud; hinge 6; exit-device 2 type=rim; closer 2; mullion 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) {
            continue;
        }
        let rims: Vec<_> = job.all_of(set, &[Category::ExitDevice]).into_iter().filter(|spec| spec.word(names::TYPE) == "rim").collect();
        let doors: Vec<_> = job.doors(set).filter(|door| door.is_pair() && !job.names_at(set, door, &[Category::Mullion]) && rims.iter().map(|spec| spec.count_at(door)).sum::<Decimal>() >= Decimal::TWO).collect();
        if doors.is_empty() {
            continue;
        }
        let attributes = limits::added(Category::Mullion);
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        let mut addition = out.addition(set, Category::Mullion, attributes, shares, "Two rim devices latch into a mullion.");
        for door in &doors {
            if let Some(length) = length_of(Category::Mullion, door) {
                addition.varies.entry(door.index).or_default().insert(names::LENGTH, Value::Length(length));
            }
        }
        out.acts.push(Act::Add(addition));
        let ids: Vec<_> = rims.iter().map(|spec| spec.id).collect();
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_lines(job, set, &ids, numbers, "mullion", "Rim devices on both leaves of a pair and no mullion: there is nothing that they latch into.");
        finding.priced_as = "a keyed removable mullion added".to_owned();
        finding.answers = keep_or_not("a keyed removable mullion", "no mullion");
        finding.help = "or vertical rods on one or both leaves, to be written into the set".to_owned();
        out.say(finding);
    }
}
