//! Manual flush bolts on pairs that are not rated.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "egress-flush-bolts",
        Kind::Question,
        Weight::LifeSafety,
        "Hand-worked bolts on a way out",
        "a pair that is not rated has manual flush bolts and no exit device, and its room has a name, and not one of a store, plant room, kitchen or dwelling",
        "priced as written; where both leaves are needed for egress the bolts must be automatic, or both leaves carry exit devices",
        "fewer than 50 persons in business, factory and storage use, and no trim on the inactive leaf",
        ("IBC 2021 1010.2.5 as explained by code articles", "reported"),
        ("manual bolts on the pair of a meeting room", "manual bolts on the pair of a storage room"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud room=CONFERENCE; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F04",
    quiet: "door 101 72x84 hm pair stud room=STORAGE; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07",
};

const EXEMPT: &[&str] = &["storage", "service", "electrical", "dwelling", "kitchen"];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        // A device on the other leaf is a matter of its own.
        if job.names(set, &[Category::ExitDevice]) {
            continue;
        }
        let doors = job.numbers_of(set, |door| door.is_pair() && !door.fire && !door.uses.is_empty() && !EXEMPT.iter().any(|other| door.used_as(other)));
        let bolts: Vec<_> = job.lines_of(set, &[Category::FlushBolt]).into_iter().filter(|spec| spec.word(names::ACTION) == "manual").collect();
        if doors.is_empty() || bolts.is_empty() {
            continue;
        }
        let ids: Vec<_> = bolts.iter().map(|spec| spec.id).collect();
        let says = "Manual flush bolts on pairs of rooms that people leave by: allowed only where the inactive leaf is not needed for egress.";
        let mut finding = out.about_lines(job, set, &ids, doors, "job:", says);
        finding.priced_as = "manual bolts".to_owned();
        finding.answers = vec![
            Answer::new("the leaf is not needed: as written", Effect::Nothing),
            set_answer("automatic bolts", &ids, names::ACTION, Value::text("automatic")),
        ];
        finding.help = "ask the architect; bolts out of a reach of 34 to 48 in are an accessibility matter too; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
