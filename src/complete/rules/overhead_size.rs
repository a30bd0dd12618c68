//! The size of an overhead stop, which follows from the width of its leaf.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, LineId, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "overhead-size",
        Kind::Note,
        Weight::Goods,
        "Size of overhead stops",
        "an overhead stop or holder says no size",
        "the catalog's usual size is named; its maker's table by the width of the leaf and the way it hangs decides before ordering",
        "",
        ("makers' templates go by the width of the door: from memory", "common practice"),
        ("OVERHEAD STOP", "OVERHEAD STOP SIZE 3"),
    ),
    run,
    fires: "door 101 24x84 hm; hinge 3; mortise-lock 1 function=F07; overhead-stop 1",
    quiet: "door 101 24x84 hm; hinge 3; mortise-lock 1 function=F07; overhead-stop 1 size=3",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let stops = job.lines_of(set, &[Category::OverheadStop]).into_iter();
        let bare = |spec: &&Spec| !spec.says(names::SIZE) && !spec.says(names::DESIGNATION);
        let lines: Vec<LineId> = stops.filter(bare).map(|spec| spec.id).collect();
        let doors = job.numbers(set);
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let says = "Overhead stops without a size: the one that is named for them is the catalog's usual, whatever the width of the leaf.";
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", says);
        finding.help = "take the size from the maker's table by the width of the leaf, its hinges and the degree of opening before ordering".to_owned();
        out.say(finding);
    }
}
