//! A set that serves doors of different kinds.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "set-conditions",
        Kind::Assumption,
        Weight::LifeSafety,
        "One set for doors of different kinds",
        "a set serves rated and other doors, or exterior and interior ones, or single doors and pairs",
        "each opening gets what its own facts ask for (closer, bearing, listing, pins, seals, counts); the kinds are listed with their doors",
        "",
        ("VA PG-18-14 warns that its room sets are for walls without rating; split by opening: common practice", "read"),
        ("a storage set on a rated and on a plain door", "a storage set on two plain doors"),
    ),
    run,
    fires: "door 101 36x84 hm stud; door 102 36x84 hm stud 45min; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm stud; door 102 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; stop 1",
};

/// Goods that depend on the kind of door.
const DIFFERING: &[Category] = &[
    Category::Hinge, Category::ContinuousHinge, Category::Pivot, Category::Closer, Category::ExitDevice, Category::MortiseLock,
    Category::BoredLock,
];

/// What sets a door apart, in words.
fn kind(door: &Door, by: (bool, bool, bool)) -> String {
    let (rated, exterior, pairs) = by;
    let mut words = Vec::new();
    if pairs {
        words.push(if door.is_pair() { "pair" } else { "single" });
    }
    if exterior {
        words.push(if door.exterior { "exterior" } else { "interior" });
    }
    if rated {
        words.push(if door.fire { "rated" } else { "not rated" });
    }
    words.join(", ")
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        // Cylinders and wiring are the same for any door.
        if !job.names(set, DIFFERING) {
            continue;
        }
        let differ = |fact: fn(&Door) -> bool| job.doors(set).any(fact) && job.doors(set).any(|door| !fact(door));
        let by = (differ(|door| door.fire), differ(|door| door.exterior), differ(Door::is_pair));
        if by == (false, false, false) {
            continue;
        }
        let mut kinds: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for door in job.doors(set) {
            kinds.entry(kind(door, by)).or_default().push(door.number.clone());
        }
        let parts: Vec<String> = kinds.iter().map(|(kind, doors)| format!("{kind} {}", crate::complete::gather::shown(doors))).collect();
        let says = format!("The set serves doors of different kinds ({}); each is completed and priced by its own facts.", parts.join("; "));
        out.say(out.about_set(job, set, job.numbers(set), "kinds", says));
    }
}
