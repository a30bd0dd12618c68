//! Hands of doors with handed goods.

use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hand-missing",
        Kind::Question,
        Weight::Scope,
        "Hand of doors",
        "doors with mortise locks or exit devices, which are handed more often than other goods, give no hand, nor does the line",
        "one question for the job, with how a hand is read; hands are not guessed. Where other facts of the doors are asked for, hands are asked for with them",
        "outside is the key side; LH and RH swing away, LHR and RHR toward one who stands outside; hinges left: L",
        ("retailers' hand charts, which do not agree on reverse doors", "read"),
        ("a door without hand", "a door RHR"),
    ),
    run,
    fires: "door 101 36x84 hm thick=1.75 NR; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm RHR; hinge 3; mortise-lock 1 function=F07",
};

const HANDED: &[Category] = &[Category::MortiseLock, Category::ExitDevice];

/// What the question says of hands.
const SAYS: &str = "Seen from outside (the key side): hinges left is L; a door that swings toward one is reverse (LHR, RHR).";

/// Doors with handed goods and without a hand; what to say of them where something else is asked for them anyway.
pub fn beside_other_facts(job: &Job) -> Option<(Vec<String>, &'static str)> {
    let numbers = without(job);
    (!numbers.is_empty()).then_some((numbers, SAYS))
}

fn without(job: &Job) -> Vec<String> {
    let mut numbers = Vec::new();
    for set in 0..job.sets.len() {
        if job.lines_of(set, HANDED).iter().all(|spec| spec.says(names::HAND)) {
            continue;
        }
        let without = job.doors(set).filter(|door| job.schedule.openings.get(door.index).is_some_and(|opening| opening.hand.is_none()));
        numbers.extend(without.map(|door| door.number.clone()));
    }
    numbers
}

fn run(job: &Job, out: &mut Out) {
    let numbers = without(job);
    // Where the schedule is asked for other facts, the hands are part of that question.
    if numbers.is_empty() || super::facts_missing::asks(job) {
        return;
    }
    let mut finding = out.finding("job:", format!("The hand of doors with locks or exit devices is not given. {SAYS}"));
    finding.openings = numbers;
    finding.priced_as = "goods without hand; prices do not differ".to_owned();
    finding.help = "needed before ordering, not for the price".to_owned();
    out.say(finding);
}
