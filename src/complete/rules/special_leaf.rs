//! Leaves that are a matter for their own makers: lead-lined, detention, blast, shielded.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "special-leaf",
        Kind::Question,
        Weight::Goods,
        "Lead-lined, detention, ballistic or blast doors",
        "remarks, room or material name a leaf of special weight or construction, and its set hangs it on ordinary hinges",
        "priced as written; the weights of leaves and the hinges that follow from them do not hold for it",
        "pivots are usual for lead-lined leaves from 3-0 on",
        ("UFC 3-190-02FA on lead-lined doors; acoustic door maker's notes", "reported"),
        ("a remark: lead-lined door, on butt hinges", "the same leaf on pivots"),
    ),
    run,
    fires: "door 101 48x84 wood frame=hollow-metal remark=lead-lined_door; hinge 3; mortise-lock 1 function=F05; stop 1 mounting=wall",
    quiet: "door 101 48x84 wood frame=hollow-metal remark=lead-lined_door; pivot 1; mortise-lock 1 function=F05; stop 1 mounting=wall",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let hinges: Vec<_> = job.lines_of(set, &[Category::Hinge, Category::SpringHinge]).into_iter().map(|spec| spec.id).collect();
        let doors = job.numbers_of(set, |door| door.speaks_of("special-leaf"));
        if hinges.is_empty() || doors.is_empty() {
            continue;
        }
        let mut finding = out.about_lines(job, set, &hinges, doors, "job:", "Lead-lined, detention, ballistic, blast or shielded doors on ordinary hinges: their weight and construction are their makers' matter, and so often is their hardware.");
        finding.priced_as = "as written, by the weight of an ordinary leaf".to_owned();
        finding.help = "ask the door maker for the weight, and who supplies hinges or pivots, locks and seals".to_owned();
        out.say(finding);
    }
}
