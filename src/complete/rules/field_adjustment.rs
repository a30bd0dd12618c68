//! What is set on site so that people can open the doors.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "field-adjustment",
        Kind::Note,
        Weight::Scope,
        "Opening force, closing speed, force of levers",
        "interior doors have closers or spring hinges, by their sets or by a rule",
        "one note for the job: what the installer sets; the goods priced are adjustable",
        "5 lbf to open an interior hinged door (fire doors: the least the authority allows, exterior doors: none stated); 5 s at least from 90 to 12 degrees; spring hinges 1.5 s from 70 degrees; levers 28 in-lbf or 15 lbf by A117.1, operable parts 5 lbf by ADA",
        ("ADA 2010 404.2.8, 404.2.9 (speeds from memory); A117.1 as code articles explain it", "reported"),
        ("an interior door with a closer", "a push plate alone"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; push-plate 1; pull 1; closer 1; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; push-plate 1; pull 1; stop 1",
};

const SELF_CLOSING: &[Category] = &[Category::Closer, Category::SpringHinge];

fn run(job: &Job, out: &mut Out) {
    let mut numbers = Vec::new();
    for set in 0..job.sets.len() {
        numbers.extend(job.doors(set).filter(|door| !door.exterior && job.has(set, door, SELF_CLOSING, "field-adjustment")).map(|door| door.number.clone()));
    }
    if numbers.is_empty() {
        return;
    }
    let says = "Closers on interior doors are set on site: 5 lbf to open where the door is on an accessible route (a fire door: what latches it), 5 s or more from 90 to 12 degrees; spring hinges 1.5 s from 70 degrees. Levers and other operable parts keep to the force of the accessibility standard in force.";
    let mut finding = out.finding("job:", says);
    finding.openings = numbers;
    finding.help = "for the installer; the authority having jurisdiction decides which standard holds".to_owned();
    out.say(finding);
}
