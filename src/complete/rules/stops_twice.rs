//! A leaf that is stopped twice.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
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
        if stops.is_empty() {
            continue;
        }
        let closers = job.all_of(set, &[Category::Closer]);
        let has = |specs: &[&Spec], door: &Door| specs.iter().any(|spec| !spec.count_at(door).is_zero());
        let arms: Vec<_> = closers.into_iter().filter(|spec| spec.is_set(names::STOP)).collect();
        let hung = job.all_of(set, &[Category::OverheadStop]);
        // On a pair the leaves may be stopped in different ways.
        let singles = job.numbers_of(set, |door| !door.is_pair() && has(&stops, door) && (has(&hung, door) || has(&arms, door)));
        if singles.is_empty() {
            continue;
        }
        let ids: Vec<_> = stops.iter().map(|spec| spec.id).collect();
        let overhead = job.doors(set).any(|door| !door.is_pair() && has(&stops, door) && has(&hung, door));
        let other = if overhead { "an overhead stop" } else { "a closer with a stop in its arm" };
        let mut finding = out.about_lines(job, set, &ids, singles, "stop", format!("A wall or floor stop and {other} on one leaf: one of them never acts."));
        finding.priced_as = "both".to_owned();
        finding.answers = keep_or_leave_out(&ids);
        out.say(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;

    #[test]
    fn two_stops_are_at_one_door() {
        let doors = "door 101 36x84 hm; door 102 36x84 hm; door 103 36x84 hm; hinge 3; mortise-lock 1 function=F07";
        let asked = |lines: &str| {
            let job = completed(&format!("{doors}; {lines}"));
            job.findings.iter().find(|finding| finding.code == "stops-twice").map(|finding| finding.openings.clone())
        };
        assert_eq!(asked("stop 1 mounting=wall omit@101; overhead-stop 1 omit@102-103"), None);
        assert_eq!(asked("stop 1 mounting=wall omit@101; overhead-stop 1 omit@102"), Some(vec!["103".to_owned()]));
    }
}
