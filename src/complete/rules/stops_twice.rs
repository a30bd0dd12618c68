//! A leaf that is stopped twice.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "stops-twice",
        Kind::Question,
        Weight::Goods,
        "Two kinds of stop on one leaf",
        "a set has a wall or floor stop, and an overhead stop or a closer with a built-in stop as well",
        "priced as written; leaving out the wall or floor stop is the other answer",
        "one stop a leaf",
        ("common practice", "common practice"),
        ("a wall stop and an overhead stop", "a wall stop alone"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall; overhead-stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let stops: Vec<_> = job.lines_of(set, &[Category::Stop]).into_iter().filter(|spec| spec.word(names::MOUNTING) != "roller").collect();
        let overhead = job.names(set, &[Category::OverheadStop]);
        let arm = job.all_of(set, &[Category::Closer]).iter().any(|spec| spec.is_set(names::STOP));
        // On a pair the leaves may be stopped in different ways.
        let singles = job.numbers_of(set, |door| !door.is_pair());
        if stops.is_empty() || !(overhead || arm) || singles.is_empty() {
            continue;
        }
        let ids: Vec<_> = stops.iter().map(|spec| spec.id).collect();
        let other = if overhead { "an overhead stop" } else { "a closer with a stop in its arm" };
        let mut finding = out.about_lines(job, set, &ids, singles, "stop", format!("A wall or floor stop and {other} on one leaf: one of them never acts."));
        finding.priced_as = "both".to_owned();
        finding.answers = keep_or_leave_out(&ids);
        out.say(finding);
    }
}
