//! Doors that meet when both stand open.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "doors-collide",
        Kind::Question,
        Weight::Goods,
        "Doors that swing into each other",
        "remarks say that doors hit or conflict, and the set has no roller stop",
        "none is added; a roller stop for each such door is the other answer",
        "one roller stop where two doors meet",
        ("UFC 3-190-02FA on stops", "read"),
        ("a remark: hits door 102", "the same with a roller stop"),
    ),
    run,
    fires: "door 101 36x84 hm remark=hits_door_102; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm remark=hits_door_102; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=roller",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let rollers = job.all_of(set, &[Category::Stop]).iter().any(|spec| spec.word(names::MOUNTING) == "roller");
        let doors: Vec<_> = job.doors(set).filter(|door| door.speaks_of("collide")).collect();
        if rollers || doors.is_empty() || job.unread(set) {
            continue;
        }
        let count: u32 = doors.iter().map(|door| door.count).sum();
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Doors that by their remarks swing into another door, and no roller stop.");
        finding.priced_as = "no roller stop".to_owned();
        finding.answers = vec![
            Answer::new("no roller stop", Effect::Nothing),
            Answer::new("a roller stop for each", Effect::Add {
                category: Category::Stop,
                attributes: Attributes::from([(names::MOUNTING, Value::text("roller"))]),
                quantity: Decimal::from(count),
            }),
        ];
        finding.help = "one roller for each two doors that meet; see the plan".to_owned();
        out.say(finding);
    }
}
