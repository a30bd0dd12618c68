//! Doors that usually close themselves and have no closer.

use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "closer-missing",
        Kind::Question,
        Weight::Goods,
        "No closer where one is usual",
        "a set hangs doors, has no closer, operator or spring hinge, and serves a door to the outside, a stair, a vestibule or a corridor of its own, or a toilet for several, by its name or by its push and pull; rated doors get theirs by another rule, and doors of aluminum from their maker",
        "nothing is added; a closer for each leaf is the other answer",
        "",
        ("common practice", "common practice"),
        ("an exterior door without closer", "an exterior door with closer"),
    ),
    run,
    fires: "door 101 36x84 hm exterior; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm exterior; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock];
const CLOSING: &[Category] = &[Category::Closer, Category::Operator, Category::SpringHinge];
const HUNG: &[Category] = &[Category::Hinge, Category::ContinuousHinge, Category::Pivot];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || !job.names(set, HUNG) {
            continue;
        }
        // A toilet for several has push and pull, or its name says so; one for a single person a lock to be private with.
        let pushed = job.names(set, &[Category::PushPlate, Category::Pull, Category::PushPullBar]);
        let private = job.lines_of(set, LOCKS).into_iter().any(is_private);
        let doors: Vec<(&Door, &str)> = job
            .doors(set)
            .filter(|door| !door.fire && !door.aluminum() && !job.has(set, door, CLOSING, "closer-missing"))
            .filter_map(|door| Some((door, why(door, pushed, private)?)))
            .collect();
        if doors.is_empty() {
            continue;
        }
        let leaves: u32 = doors.iter().map(|(door, _)| door.leaves * door.count).sum();
        let numbers = doors.iter().map(|(door, _)| door.number.clone()).collect();
        let kinds: BTreeSet<&str> = doors.iter().map(|(_, kind)| *kind).collect();
        let kinds = Vec::from_iter(kinds).join(", ");
        let mut finding = out.about_set(job, set, numbers, &format!("job:{kinds}"), format!("No closer where one is usual: {kinds}."));
        finding.priced_as = "no closer".to_owned();
        finding.answers = vec![
            Answer::new("no closer", Effect::Nothing),
            Answer::new("a closer for each leaf", Effect::Add {
                category: Category::Closer,
                attributes: limits::added(Category::Closer),
                quantity: Decimal::from(leaves),
            }),
        ];
        out.say(finding);
    }
}

/// Why a door usually closes itself.
fn why(door: &Door, pushed: bool, private: bool) -> Option<&'static str> {
    if door.exterior {
        Some("exterior")
    } else if door.used_as("stair") {
        Some("stair")
    } else if door.used_as("vestibule") {
        Some("vestibule")
    } else if door.uses == ["corridor"] {
        // A room beside a corridor is named for both; only a door of nothing but corridor counts.
        Some("corridor")
    } else {
        let several = door.used_as("several-toilet") && !private;
        ((pushed || several) && door.used_as("toilet")).then_some("toilet for several")
    }
}

/// Whether one can be private behind a lock.
fn is_private(spec: &Spec) -> bool {
    let kind = spec.category.and_then(FunctionKind::of);
    let function = kind.and_then(|kind| function::find(kind, spec.word(names::FUNCTION)));
    function.is_some_and(|found| found.names.contains(&"privacy"))
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};

    #[test]
    fn a_toilet_for_several_is_known_by_its_name_or_by_push_and_pull() {
        let asked = |room: &str, lines: &str| {
            speaks(&completed(&format!("door 101 36x84 hm room={room}; hinge 3; stop 1; {lines}")), "closer-missing")
        };
        assert!(asked("WOMENS_TOILET", "mortise-lock 1 function=F01"));
        assert!(asked("TOILET", "push-plate 1; pull 1"));
        assert!(!asked("WOMENS_TOILET", "mortise-lock 1 function=F22"));
        assert!(!asked("TOILET", "mortise-lock 1 function=F01"));
    }
}
