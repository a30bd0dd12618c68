//! What stands out low on the push side.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "smooth-push-side",
        Kind::Question,
        Weight::LifeSafety,
        "Hardware low on the push side",
        "a door that is not rated has a kick-down holder, or a pair surface bolts",
        "priced as written",
        "smooth up to 10 in above the floor",
        ("ADA 2010 404.2.10 from memory; code article", "from memory"),
        ("a kick-down holder", "a wall stop"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; kick-down-holder 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
};

/// Bolts on the face of a pair; on single doors they are asked about as what locks people in.
fn bolts(job: &Job, out: &mut Out, set: usize) {
    let lines: Vec<_> = job.lines_of(set, &[Category::SurfaceBolt]).into_iter().map(|spec| spec.id).collect();
    let doors = job.numbers_of(set, |door| door.is_pair() && !door.fire && !door.smoke);
    if lines.is_empty() || doors.is_empty() {
        return;
    }
    let mut finding = out.about_lines(job, set, &lines, doors, "job:bolts", "Surface bolts on pairs: a bolt to the floor that stands out of the push side is to keep 10 in above the floor, and is out of reach.");
    finding.kind = Kind::Note;
    finding.help = "flush bolts in the edge of the leaf are usual; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        bolts(job, out, set);
        let lines: Vec<_> = job.lines_of(set, &[Category::KickDownHolder]).into_iter().map(|spec| spec.id).collect();
        let doors = job.numbers_of(set, |door| !door.fire && !door.smoke);
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", "Kick-down holders: the push side is to be smooth up to 10 in above the floor.");
        finding.priced_as = "as written".to_owned();
        finding.answers = keep_or_leave_out(&lines);
        finding.help = "ask the architect whether the door is on an accessible route; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
