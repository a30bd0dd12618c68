//! Lines that hold at some doors of their set only.

use std::collections::HashSet;

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::left_out;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "left-out-at",
        Kind::Assumption,
        Weight::Scope,
        "Left out at some doors of its set",
        "the words of a line leave it out at doors that they name",
        "quantity nothing at these doors, as written at the others; doors that the set does not serve are told too, and what is like the number of a door and is none of the job's is asked",
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
        let served: HashSet<usize> = job.sets[set].openings.iter().copied().collect();
        for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()) {
            let left = left_out::of_line(&spec.wording, &spec.reading, job.numbers_said);
            let (here, elsewhere): (Vec<usize>, Vec<usize>) = left.doors.into_iter().partition(|index| served.contains(index));
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
                parts.push(format!("\"{}\" leaves it out at {}, which is no door of the job.", spec.words(), left.unknown.join(", ")));
            }
            let says = parts.join(" ");
            let numbers = if left.unknown.is_empty() && !here.is_empty() { numbers(&here) } else { job.numbers(set) };
            // It is about the very doors at which the line is not.
            let mut finding = out.about_set(job, set, numbers, &spec.words(), says);
            (finding.place, finding.excerpt, finding.lines) = (Some(spec.place.clone()), spec.words(), vec![spec.id]);
            finding.help = "check the doors against the schedule".to_owned();
            if !left.unknown.is_empty() {
                let priced = if here.is_empty() { "at every door" } else { "at every other door" };
                finding.kind = Kind::Question;
                finding.priced_as = priced.to_owned();
                finding.answers = vec![
                    Answer::new(priced, Effect::Nothing),
                    Answer::new("leave it out everywhere", Effect::Exclude { lines: vec![spec.id] }),
                    by_hand("at doors that the schedule calls otherwise, to be written there"),
                ];
            }
            out.say(finding);
        }
    }
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use crate::complete::example::{completed, speaks};
    use crate::finding::Kind;

    #[test]
    fn the_line_stays_at_the_doors_that_are_not_named() {
        let doors = "door 101 36x84 hm; door 102 36x84 hm; door 1-103 36x84 hm; hinge 3";
        for (named, without) in [("omit@101", vec![0]), ("omit@101-102", vec![0, 1]), ("omit@1-103", vec![2])] {
            let job = completed(&format!("{doors}; closer 1 {named}"));
            let closer = &job.sets[0].specs[1];
            let zero: Vec<usize> = closer.left_out.iter().copied().collect();
            assert_eq!((closer.excluded.as_deref(), zero), (None, without), "{named}");
        }
        // What is like no door of the job leaves the line out everywhere, as its words say.
        let job = completed(&format!("{doors}; closer 1 omit@HEAD"));
        assert!(job.sets[0].specs[1].excluded.is_some() && !speaks(&job, "left-out-at"));
    }

    #[test]
    fn a_number_that_no_door_has_is_asked_and_takes_nothing_out() {
        let job = completed("door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1 omit@205");
        let asked = job.findings.iter().find(|finding| finding.code == "left-out-at").unwrap();
        assert_eq!((asked.kind, job.sets[0].specs[1].excluded.as_deref()), (Kind::Question, None));
    }

    /// What is left out at a door is counted there by no rule, and missing there to all of them.
    #[test]
    fn rules_leave_it_out_too() {
        let doors = "door 101 36x96 hm stud; door 102 36x96 hm stud; door 107 72x84 hm stud pair";
        let job = completed(&format!("{doors}; hinge 3 omit@101; protection-plate 1 kind=kick omit@107; flush-bolt 1 action=manual omit@107; gasketing 1 omit@102; silencer 3; mortise-lock 1 function=F07"));
        let count = |line: usize, door: usize| {
            let spec = &job.sets[0].specs[line];
            if spec.left_out.contains(&door) { Decimal::ZERO } else { spec.at.get(&door).copied().unwrap_or(spec.quantity) }
        };
        assert_eq!((count(0, 0), count(0, 1), count(0, 2)), (Decimal::ZERO, Decimal::from(4), Decimal::from(6)));
        assert_eq!((count(1, 2), count(1, 0)), (Decimal::ZERO, Decimal::ONE));
        assert!(!job.added.iter().any(|added| added.rule == "dust-proof-strike"));
        let silencers = &job.sets[0].specs[4];
        assert_eq!((silencers.excluded.as_deref(), count(4, 0), count(4, 1)), (None, Decimal::ZERO, Decimal::from(3)));
        for finding in job.findings.iter().filter(|finding| ["hinge-count", "pair-quantity"].contains(&finding.code)) {
            assert!(!finding.openings.contains(&"101".to_owned()) && finding.code != "pair-quantity", "{finding:?}");
        }
    }
}
