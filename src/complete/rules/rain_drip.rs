//! Rain over doors that swing out.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "rain-drip",
        Kind::Question,
        Weight::Goods,
        "No rain drip",
        "an exterior door swings out and its set has no rain drip",
        "none is priced; one over the head of each opening is the other answer",
        "width of the opening and 4 in",
        ("common practice", "common practice"),
        ("an exterior door RHR without drip", "an exterior door RHR with drip"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1 stop=true",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1 stop=true; rain-drip 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || job.lines(set).next().is_none() {
            continue;
        }
        let doors: Vec<_> = job.doors(set).filter(|door| door.exterior && door.outswing == Some(true) && !door.aluminum() && !job.names_at(set, door, &[Category::RainDrip])).collect();
        if doors.is_empty() {
            continue;
        }
        let count: u32 = doors.iter().map(|door| door.count).sum();
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "Exterior doors that swing out without a rain drip over the head.");
        finding.priced_as = "none, as if there were a canopy".to_owned();
        finding.answers = vec![
            Answer::new("none: there is a canopy", Effect::Nothing),
            Answer::new("a rain drip for each opening", Effect::Add { category: Category::RainDrip, attributes: Attributes::new(), quantity: Decimal::from(count) }),
        ];
        finding.help = "see the elevations for canopies and recesses".to_owned();
        out.say(finding);
    }
}
