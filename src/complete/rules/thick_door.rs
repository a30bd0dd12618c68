//! Doors of another thickness than 1-3/4 in.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "thick-door",
        Kind::Question,
        Weight::Goods,
        "Doors of unusual thickness",
        "a door with a lock, exit device or closer is not 1-3/4 in thick",
        "goods as for 1-3/4 in are priced; one question for each thickness",
        "1-3/4 in; hinge backset is special above it",
        ("frame maker's tips", "reported"),
        ("a door 2-1/4 thick", "a door 1-3/4 thick"),
    ),
    run,
    fires: "door 101 36x84 wood thick=2.25; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 wood thick=1.75; hinge 3; mortise-lock 1 function=F07; stop 1",
};

const BY_THICKNESS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::ExitDevice, Category::Closer];

fn run(job: &Job, out: &mut Out) {
    let mut found: BTreeMap<Inches, Vec<String>> = BTreeMap::new();
    for set in 0..job.sets.len() {
        if job.lines_of(set, BY_THICKNESS).is_empty() {
            continue;
        }
        for door in job.doors(set) {
            if let Some(thick) = door.thickness.filter(|thick| Some(*thick) != Inches::fraction(1, 3, 4)) {
                found.entry(thick).or_default().push(door.number.clone());
            }
        }
    }
    for (thick, doors) in found {
        let says = format!("Doors {} in thick: locks, exit devices, closer bolts, strikes and the backset of hinges are made for 1-3/4.", thick.in_fractions());
        let mut finding = out.finding(&format!("job:{thick}"), says);
        finding.openings = doors;
        finding.priced_as = "goods as for 1-3/4 in".to_owned();
        let kits = if Inches::fraction(1, 3, 4).is_some_and(|usual| thick > usual) { " and for thick-door kits" } else { "" };
        finding.help = format!("check the thickness; ask the makers for the range of each product{kits}");
        out.say(finding);
    }
}
