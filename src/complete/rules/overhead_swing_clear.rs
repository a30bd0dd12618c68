//! Overhead stops on leaves that swing clear of the opening.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "overhead-swing-clear",
        Kind::Question,
        Weight::Goods,
        "Overhead stop and swing-clear hinges",
        "a leaf on swing-clear hinges has an overhead stop or holder",
        "priced as written; the pivot point lies elsewhere than at other hinges, so that the usual template does not hold",
        "",
        ("a frame maker's guide on overhead stops", "reported"),
        ("swing-clear hinges and an overhead stop", "ordinary hinges and an overhead stop"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3 swing_clear=true; mortise-lock 1 function=F07; overhead-stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; overhead-stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let clear: Vec<_> =
            job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| spec.is_set(names::SWING_CLEAR)).collect();
        // `SWING CLEAR, ACTIVE LEAF` and a stop of the inactive one are on two leaves.
        let together = |stop: &&Spec| {
            let of = stop.one_leaf();
            clear.iter().any(|hinge| of.is_none() || hinge.one_leaf().is_none() || hinge.one_leaf() == of)
        };
        let stops = job.lines_of(set, &[Category::OverheadStop]);
        let lines: Vec<_> = stops.into_iter().filter(together).map(|spec| spec.id).collect();
        let doors = job.numbers(set);
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let says = "An overhead stop on a leaf with swing-clear hinges: the usual template does not hold there; a special one exists or the two do not go together.";
        let mut finding = out.about_lines(job, set, &lines, doors, "clear", says);
        finding.priced_as = "as written".to_owned();
        finding.help = "ask the stop's maker for a template, or stop the leaf at wall or floor".to_owned();
        out.say(finding);
    }
}
