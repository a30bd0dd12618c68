//! Goods that want the same place at the bottom of the leaf.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "bottom-conflict",
        Kind::Question,
        Weight::Goods,
        "Door bottom and bottom bolt, or carpet",
        "an automatic door bottom meets a bottom bolt or rod in one leaf, or falls on carpet without a threshold",
        "priced as written",
        "",
        ("acoustic door maker's notes; UFC 3-190-02FA on door bottoms", "reported"),
        ("an automatic door bottom and flush bolts", "an automatic door bottom on a single door"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07; door-bottom 2 form=automatic; stop 2",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; door-bottom 1 form=automatic; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bottoms: Vec<_> = job.lines_of(set, &[Category::DoorBottom]).into_iter().filter(|spec| matches!(spec.word(names::FORM), "automatic" | "")).collect();
        let ids: Vec<_> = bottoms.iter().map(|spec| spec.id).collect();
        if ids.is_empty() {
            continue;
        }
        let bolts = job.names(set, &[Category::FlushBolt]);
        let rods = job.all_of(set, &[Category::ExitDevice]).iter().any(|spec| spec.word(names::TYPE).contains("vertical-rod") && !spec.is_set(names::LESS_BOTTOM_ROD));
        let pairs = job.numbers_of(set, |door| door.is_pair() || rods);
        if (bolts || rods) && !pairs.is_empty() {
            let says = "An automatic door bottom and a bottom bolt or rod in one leaf: a mortised one cuts through the other.";
            let mut finding = out.about_lines(job, set, &ids, pairs, "bolt", says);
            finding.priced_as = "both, as written".to_owned();
            finding.help = "a surface door bottom, or devices without bottom rod".to_owned();
            out.say(finding);
        }
        let carpet = job.numbers_of(set, |door| door.speaks_of("carpet") && !job.has(set, door, &[Category::Threshold], "bottom-conflict"));
        if !carpet.is_empty() {
            let mut finding = out.about_lines(job, set, &ids, carpet, "carpet", "An automatic door bottom over carpet has nothing to land on without a threshold.");
            finding.priced_as = "no threshold".to_owned();
            out.say(finding);
        }
    }
}
