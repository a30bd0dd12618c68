//! An overhead holder that is the only stop of a leaf.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "holder-as-stop",
        Kind::Note,
        Weight::Goods,
        "A holder for a stop",
        "an overhead holder is the only thing that stops a leaf",
        "noted, with what a wall stop is worth: a holder holds, and is worn soon where it must stop as well",
        "",
        ("UFC 3-190-02FA on overhead holders", "reported"),
        ("an overhead holder and no stop", "an overhead stop"),
    ),
    run,
    fires: "door 101 36x84 hm NR; hinge 3; mortise-lock 1 function=F07; overhead-stop 1 action=hold-open",
    quiet: "door 101 36x84 hm NR; hinge 3; mortise-lock 1 function=F07; overhead-stop 1 action=stop",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let overhead = job.lines_of(set, &[Category::OverheadStop]);
        let holders: Vec<_> = overhead.iter().filter(|spec| spec.says(names::ACTION) && spec.word(names::ACTION) == "hold-open").map(|spec| spec.id).collect();
        let stopped = job.names(set, &[Category::Stop]) || job.lines_of(set, &[Category::Closer]).iter().any(|spec| spec.is_set(names::STOP));
        if holders.is_empty() || holders.len() < overhead.len() || stopped || job.unread(set) {
            continue;
        }
        let doors = job.numbers(set);
        let leaves: u32 = job.doors(set).map(|door| door.leaves * door.count).sum();
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_lines(job, set, &holders, doors, "job:", "An overhead holder is the only stop of the leaf: it is made to hold, not to stop.");
        finding.answers = vec![
            Answer::new("as written", Effect::Nothing),
            Answer::new("a wall stop for each leaf beside it", Effect::Add {
                category: Category::Stop,
                attributes: Attributes::from([(names::MOUNTING, Value::text("wall"))]),
                quantity: Decimal::from(leaves),
            }),
        ];
        finding.help = "check that the holder chosen is one that stops as well".to_owned();
        out.say(finding);
    }
}
