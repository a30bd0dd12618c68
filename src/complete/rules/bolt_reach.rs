//! Manual flush bolts beyond the reach of a seated person.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "bolt-reach",
        Kind::Note,
        Weight::LifeSafety,
        "Flush bolts out of reach",
        "a pair that is not rated has manual flush bolts whose levers, by their rods and the height of the leaf, are higher or lower than operable parts may be",
        "noted once for the job, with the sum; longer rods bring the top lever lower",
        "34 to 48 in above the floor; rods of 12 in where none are given",
        ("A117.1 and ADA 2010 404.2.7, 309 as code articles explain them", "reported"),
        ("manual flush bolts on a pair 7 ft high", "automatic flush bolts"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07; stop 2",
    quiet: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=automatic; dust-proof-strike 1; coordinator 1; mortise-lock 1 function=F07; stop 2",
};

fn run(job: &Job, out: &mut Out) {
    let highest = limits::inches("bolt_highest");
    for set in 0..job.sets.len() {
        let bolts = job.all_of(set, &[Category::FlushBolt]);
        let Some(bolt) = bolts.iter().find(|spec| spec.word(names::ACTION) == "manual") else { continue };
        let rod = bolt.value(names::ROD_LENGTH).and_then(Value::as_length).unwrap_or(limits::inches("rod_usual"));
        let doors = job.numbers_of(set, |door| door.is_pair() && !door.fire && door.height.is_some_and(|height| height - rod > highest));
        if doors.is_empty() {
            continue;
        }
        let says = format!("Manual flush bolts with rods of {} in: their levers stand above 48 in and below 34 in, out of the reach that operable parts are to have.", rod.in_fractions());
        let mut finding = out.about_set(job, set, doors, &format!("job:{rod}"), says);
        finding.help = "of weight only where the inactive leaf is needed for passage; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
