//! Goods that cut into labelled doors.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-field-work",
        Kind::Note,
        Weight::LifeSafety,
        "Holes and cut-outs in a labelled door",
        "a rated door has a viewer, mail slot, louver or lite, by its set or a remark",
        "noted: the listing of the door limits glass and louvers, and what may be cut on site",
        "holes of 1 in on site; glass up to 100 sq in at 60 to 90 minutes in exit doors, none or 100 sq in at 180: the listing governs",
        ("fire glass and hollow-metal makers' pages; a listing as example", "reported"),
        ("a viewer on a 45 minute door", "a viewer on a door that is not rated"),
    ),
    run,
    fires: "door 101 36x84 hm stud 45min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1; viewer 1",
    quiet: "door 101 36x84 hm stud; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1; viewer 1",
};

/// A lite or louver that the schedule speaks of is the door maker's, within the listing.
fn by_remark(job: &Job, out: &mut Out, set: usize) {
    let doors = job.numbers_of(set, |door| door.fire && door.speaks_of("lite"));
    if doors.is_empty() {
        return;
    }
    let says = "Rated doors with a lite or louver by their remarks: size, glass and louver are limited by the listing of the door.";
    let mut finding = out.about_set(job, set, doors, "job:remark", says);
    finding.help = "tell the door supplier; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let lines = job.all_of(set, &[Category::Viewer, Category::MailSlot, Category::LouverOrLite]);
        let doors = job.numbers_of(set, |door| door.fire);
        if doors.is_empty() {
            continue;
        }
        if lines.is_empty() {
            by_remark(job, out, set);
            continue;
        }
        let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
        let says = "Rated doors with a viewer, slot, louver or lite: the listing of the door limits them; holes above 1 in are the door maker's work.";
        let mut finding = out.about_lines(job, set, &ids, doors, "job:", says);
        finding.help = "tell the door supplier; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
