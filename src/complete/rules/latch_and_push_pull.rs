//! Push and pull beside a lever lock.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "latch-and-push-pull",
        Kind::Question,
        Weight::Goods,
        "A lever lock and push and pull",
        "a set has a latching lock and push plates or a push-pull set as well",
        "priced as written",
        "",
        ("common practice", "common practice"),
        ("a passage latch and a push plate", "a deadlock and a push plate"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; bored-lock 1 function=F75; push-plate 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; deadlock 1; push-plate 1; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let pushing = job.lines_of(set, &[Category::PushPlate, Category::PushPullBar]);
        if pushing.is_empty() || job.doors(set).next().is_none() || !job.names(set, &[Category::MortiseLock, Category::BoredLock]) {
            continue;
        }
        let ids: Vec<_> = pushing.iter().map(|spec| spec.id).collect();
        let says = "A lock with levers and a push plate or push-pull set on one door: only one of them works it.";
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "push", says);
        finding.priced_as = "both".to_owned();
        finding.answers = keep_or_leave_out(&ids);
        finding.help = "ask the architect which is meant".to_owned();
        out.say(finding);
    }
}
