//! Doors that close by themselves and have no protection plate.

use rust_decimal::Decimal;

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "plate-missing",
        Kind::Note,
        Weight::Goods,
        "No protection plate",
        "a door, not of aluminum, has a closer by its set, and its set has no protection plate",
        "noted once for the job, with what a kick plate for each leaf is worth; none is added, since many owners want none",
        "10 in high, width of the leaf less 2 in, less 1 in on a pair",
        ("code and trade articles on protection plates; federal manual on the side", "reported"),
        ("a closer and no plate", "a closer and a kick plate"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1; protection-plate 1 kind=kick",
};

fn run(job: &Job, out: &mut Out) {
    // It changes nothing: said once the rules have settled.
    if !out.settled {
        return;
    }
    for set in 0..job.sets.len() {
        if job.unread(set) || !job.names(set, &[Category::Closer]) {
            continue;
        }
        let doors: Vec<_> = job.doors(set).filter(|door| !door.aluminum() && door.widest_leaf().is_some() && job.names_at(set, door, &[Category::Closer]) && !job.names_at(set, door, &[Category::ProtectionPlate])).collect();
        let leaves: u32 = doors.iter().map(|door| door.leaves * door.count).sum();
        if doors.is_empty() {
            continue;
        }
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut attributes = limits::added(Category::ProtectionPlate);
        attributes.insert(names::HEIGHT, Value::Length(limits::inches("plate_high_kick")));
        let mut finding = out.about_set(job, set, numbers, "job:", "Doors with closers and without protection plates: a kick plate on the push side is usual where hands and carts push.");
        finding.help = "write KICK PLATE into the sets of those doors that are to have one".to_owned();
        finding.answers = vec![
            Answer::new("none", Effect::Nothing),
            Answer::new("a kick plate for each leaf", Effect::Add {
                category: Category::ProtectionPlate,
                attributes,
                quantity: Decimal::from(leaves),
            }),
        ];
        out.say(finding);
    }
}
