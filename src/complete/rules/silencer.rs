//! Silencers in hollow-metal frames without seals.

use rust_decimal::Decimal;

use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::{Job, SLIDES};
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "silencer",
        Kind::Assumption,
        Weight::Goods,
        "Silencers",
        "a hollow-metal frame has neither silencers nor a perimeter seal",
        "three for a single door, two for a pair are added",
        "3 single, 2 pair; some owners ask 4 for a pair",
        ("frame maker's tips; UFGS from memory", "reported"),
        ("hollow-metal frame, no silencers", "silencers in the set"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; silencer 3",
};

const CODE: &str = "silencer";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread || job.lines(set).next().is_none() {
            continue;
        }
        let doors: Vec<_> = job
            .doors(set)
            .filter(|door| door.frame_material.contains("hollow-metal") && !door.smoke && !door.speaks_of("not-swinging") && !door.speaks_of(SLIDES))
            .filter(|door| !job.has(set, door, &[Category::Silencer, Category::Gasketing], CODE))
            .collect();
        if doors.is_empty() || job.slides(set) {
            continue;
        }
        let shares = doors.iter().map(|door| (door.index, Decimal::from(if door.is_pair() { 2 } else { 3 }))).collect();
        out.add(set, Category::Silencer, Attributes::new(), shares, "Silencers in a hollow-metal frame without seals.");
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        out.say(out.about_set(job, set, numbers, "job:", "Hollow-metal frames without seals: silencers added, 3 for a single door, 2 for a pair."));
    }
}
