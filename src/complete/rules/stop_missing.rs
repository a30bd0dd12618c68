//! Every leaf that swings has a stop.

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
        "stop-missing",
        Kind::Question,
        Weight::Goods,
        "A door without a stop",
        "a set has no stop, overhead stop, holder or closer with stop",
        "none is added; a wall stop for each leaf is the other answer. Exterior doors that swing out are asked about by themselves, with a stop in the arm of the closer where there is one; doors of aluminum are left to their maker",
        "one for each leaf",
        ("makers' articles on door stops", "reported"),
        ("hinges and a lock, no stop", "a wall stop in the set"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

const STOPPING: &[Category] = &[Category::Stop, Category::OverheadStop, Category::MagneticHolder, Category::KickDownHolder, Category::Operator];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let hung = job.names(set, &[Category::Hinge, Category::ContinuousHinge, Category::Pivot]);
        let arms = job.all_of(set, &[Category::Closer]);
        let stops = |door: &Door| job.names_at(set, door, STOPPING) || arms.iter().any(|spec| spec.is_set(names::STOP) && !spec.left_out.contains(&door.index));
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        // At aluminum entrances stops are the door supplier's with the rest, and that is asked already.
        let doors: Vec<_> = job.doors(set).filter(|door| !door.aluminum() && !stops(door)).collect();
        if !hung || unread || doors.is_empty() {
            continue;
        }
        outside(job, out, set, doors.iter().filter(|door| windy(door)).map(|door| door.number.clone()).collect());
        let doors: Vec<_> = doors.into_iter().filter(|door| !windy(door)).collect();
        if doors.is_empty() {
            continue;
        }
        let leaves: u32 = doors.iter().map(|door| door.leaves * door.count).sum();
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_set(job, set, numbers, "job:", "No stop of any kind in the set.");
        finding.priced_as = "no stop".to_owned();
        finding.answers = vec![
            Answer::new("no stop", Effect::Nothing),
            Answer::new("a wall stop for each leaf", Effect::Add {
                category: Category::Stop,
                attributes: Attributes::from([(names::MOUNTING, Value::text("wall"))]),
                quantity: Decimal::from(leaves),
            }),
        ];
        finding.help = "ask the architect: a wall stop where the lever meets a wall, else floor or overhead".to_owned();
        out.say(finding);
    }
}

/// Swings out into the wind.
fn windy(door: &Door) -> bool {
    door.exterior && door.outswing == Some(true)
}

/// A wall stop seldom serves outside: the closer's arm stops the leaf.
fn outside(job: &Job, out: &mut Out, set: usize, doors: Vec<String>) {
    let closers: Vec<_> = job.lines_of(set, &[Category::Closer]).into_iter().map(|spec| spec.id).collect();
    if doors.is_empty() {
        return;
    }
    let mut finding = out.about_set(job, set, doors, "job:exterior", "Exterior doors that swing out and have no stop: wind throws the leaf against its hinges.");
    finding.priced_as = "no stop".to_owned();
    finding.answers = vec![Answer::new("no stop", Effect::Nothing)];
    if !closers.is_empty() {
        finding.lines = closers.clone();
        finding.answers.push(Answer::new("a stop in the arm of the closer", Effect::Set { lines: closers, attribute: names::STOP, value: Value::Flag(true) }));
    }
    finding.help = "a parallel-arm closer with stop, or an overhead stop, is usual there".to_owned();
    out.say(finding);
}
