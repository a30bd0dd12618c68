//! Fire doors latch.

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-latch",
        Kind::Question,
        Weight::LifeSafety,
        "A fire door without a latch",
        "a rated door has no lock, latch or exit device that latches, or only a deadlock, push and pull, or an electromagnetic lock",
        "nothing is added; the question stands",
        "latch throw usually 1/2 in, 3/4 in for many pairs: by the listing; a magnet is no latch",
        ("NFPA 80", "reported"),
        ("a 45 minute door with push and pull", "a 45 minute door with a passage latch"),
    ),
    run,
    fires: "door 101 36x84 hm stud 45min; hinge 3; closer 1; push-plate 1; pull 1",
    quiet: "door 101 36x84 hm stud 45min; hinge 3; closer 1; mortise-lock 1 function=F01",
};

const LATCHING: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::ExitDevice];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        // A line that was not understood may be the lock.
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if unread {
            continue;
        }
        let free = |door: &&Door| door.fire && !job.has(set, door, LATCHING, "fire-latch");
        let numbers: Vec<String> = job.doors(set).filter(free).map(|door| door.number.clone()).collect();
        if numbers.is_empty() {
            continue;
        }
        let says = if job.names(set, &[Category::ElectromagneticLock]) {
            "Rated doors held by an electromagnetic lock without an active latch: the magnet lets go with the power and in a fire, and nothing holds the door then."
        } else {
            "Rated doors without an active latch: a deadlock, push and pull or a roller latch does not hold a fire door."
        };
        let mut finding = out.about_set(job, set, numbers, "latch", says);
        finding.priced_as = "no latch".to_owned();
        let count: u32 = job.doors(set).filter(free).map(|door| door.count).sum();
        let add = |function: &str| Effect::Add {
            category: Category::MortiseLock,
            attributes: Attributes::from([(names::FUNCTION, Value::text(function))]),
            quantity: Decimal::from(count),
        };
        finding.answers = vec![
            Answer::new("add a passage latch", add("F01")),
            Answer::new("add a storeroom lock", add("F07")),
            Answer::new("the latch is by others", Effect::Nothing),
        ];
        finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
