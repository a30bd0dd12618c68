//! Lines that hold at some doors of their set only.

use crate::complete::act::{Out, Rule, page};
use crate::complete::build::left_out;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "left-out-at",
        Kind::Assumption,
        Weight::Scope,
        "Left out at some doors of its set",
        "the words of a line leave it out at doors that they name",
        "quantity nothing at these doors, as written at the others; doors that the set does not serve are told too",
        "",
        ("common practice", "common practice"),
        ("CLOSER 689 (OMIT AT 111)", "CLOSER 689"),
    ),
    run,
    fires: "door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1 omit@101",
    quiet: "door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()) {
            let left = left_out(&spec.wording.text, &spec.reading, job.doors);
            let (here, elsewhere): (Vec<usize>, Vec<usize>) = left.doors.into_iter().partition(|index| job.sets[set].openings.contains(index));
            if here.is_empty() && elsewhere.is_empty() && left.unknown.is_empty() {
                continue;
            }
            let numbers = |all: &[usize]| all.iter().map(|index| job.doors[*index].number.clone()).collect::<Vec<_>>();
            let mut parts: Vec<String> = Vec::new();
            if !here.is_empty() {
                parts.push(format!("Left out at {}, as the words say: {}.", numbers(&here).join(", "), spec.words()));
            }
            if !elsewhere.is_empty() {
                parts.push(format!("Door {} does not have the set in which \"{}\" names it.", numbers(&elsewhere).join(", "), spec.words()));
            }
            if !left.unknown.is_empty() {
                parts.push(format!("\"{}\" names {}, which no door of the job has.", spec.words(), left.unknown.join(", ")));
            }
            let says = parts.join(" ");
            let numbers = if here.is_empty() { job.numbers(set) } else { numbers(&here) };
            let mut finding = out.about_lines(job, set, &[spec.id], numbers, &spec.words(), says);
            finding.help = "check the doors against the schedule".to_owned();
            out.say(finding);
        }
    }
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use crate::complete::example::{completed, speaks};

    #[test]
    fn the_line_stays_at_the_doors_that_are_not_named() {
        let doors = "door 101 36x84 hm; door 102 36x84 hm; door 1-103 36x84 hm; hinge 3";
        for (named, without) in [("omit@101", vec![0]), ("omit@101-102", vec![0, 1]), ("omit@1-103", vec![2])] {
            let job = completed(&format!("{doors}; closer 1 {named}"));
            let closer = &job.sets[0].specs[1];
            let zero: Vec<usize> = closer.at.iter().filter(|(_, count)| **count == Decimal::ZERO).map(|(door, _)| *door).collect();
            assert_eq!((closer.excluded.as_deref(), zero), (None, without), "{named}");
        }
        // What is no door of the job leaves the line out everywhere, as its words say.
        let job = completed(&format!("{doors}; closer 1 omit@1ST"));
        assert!(job.sets[0].specs[1].excluded.is_some() && !speaks(&job, "left-out-at"));
    }
}
