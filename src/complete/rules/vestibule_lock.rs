//! A lock on the inner door of a vestibule.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "vestibule-lock",
        Kind::Note,
        Weight::Goods,
        "A lock on the inner door of a vestibule",
        "an interior door of nothing but a vestibule has a lock",
        "noted, with what leaving it out is worth: the outer door locks, the inner one usually only pushes and pulls",
        "",
        ("closer maker's manual on vestibules; locks: common practice", "reported"),
        ("a storeroom lock on an inner vestibule door", "push and pull on the same door"),
    ),
    run,
    fires: "door 101 36x84 hm room=VESTIBULE; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
    quiet: "door 101 36x84 hm room=VESTIBULE; hinge 3; push-plate 1; pull 1; closer 1; stop 1",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::Deadlock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let ids: Vec<_> = job.lines_of(set, LOCKS).into_iter().map(|spec| spec.id).collect();
        let doors = job.numbers_of(set, |door| !door.exterior && !door.fire && !door.aluminum() && door.uses == ["vestibule"]);
        if ids.is_empty() || doors.is_empty() {
            continue;
        }
        let all = doors.len() == job.doors(set).count();
        let mut finding = out.about_lines(job, set, &ids, doors, "job:", "Inner doors of vestibules with a lock: usually the outer door locks and the inner one pushes and pulls.");
        finding.help = "check whether the door is an outer one after all".to_owned();
        if all {
            finding.answers = keep_or_leave_out(&ids);
        }
        out.say(finding);
    }
}
