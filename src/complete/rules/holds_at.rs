//! Lines that hold only at some doors of their set, by a condition in their words.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::conditions::{self, Held, Known};
use crate::complete::gather::shown;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::understand::reading::{Condition, Says};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "holds-at",
        Kind::Assumption,
        Weight::Scope,
        "Counted at some doors of its set only",
        "the words of a line make a condition of its doors: rated, pairs, exterior, of wood, numbers of doors, \"where noted\"",
        "counted at the doors of which the door schedule says that it holds, and at no other; doors of which nobody says it, and conditions that no fact of a door decides, are counted and asked; a condition right behind an option (`NRP @ EXT DRS`) is one of that option",
        "words: `trade/conditions.csv`",
        ("common practice", "common practice"),
        ("CLOSER (RATED DOORS ONLY)", "CLOSER"),
    ),
    run,
    fires: "door 101 36x84 hm NR; door 102 36x84 hm 45min; hinge 3; closer 1 when=rated",
    quiet: "door 101 36x84 hm NR; door 102 36x84 hm 45min; hinge 3; closer 1",
};

fn run(job: &Job, out: &mut Out) {
    let known = Known::of(job.schedule, job.doors);
    for set in 0..job.sets.len() {
        for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none() && !spec.reading.conditions.is_empty()) {
            for condition in &spec.reading.conditions {
                let Some(held) = conditions::of(job, known, spec, condition) else { continue };
                if let Some(finding) = told(job, out, (set, spec), condition, &held) {
                    out.say(finding);
                }
            }
        }
    }
}

/// What is told of a condition; nothing where it holds at every door.
fn told(job: &Job, out: &Out, (set, spec): (usize, &Spec), condition: &Condition, held: &Held) -> Option<Finding> {
    let Held { yes, no, unknown, strange, doubtful } = held;
    if no.is_empty() && unknown.is_empty() && strange.is_empty() || yes.len() + no.len() + unknown.len() == 0 {
        return None;
    }
    let numbers = |all: &[usize]| all.iter().map(|index| job.doors[*index].number.clone()).collect::<Vec<_>>();
    let shown = |all: &[usize]| shown(&numbers(all));
    let words = spec.wording.text.get(condition.span.clone()).unwrap_or_default().trim();
    let what = match condition.of {
        Some(attribute) => format!("{} of \"{}\"", attribute.name().replace('_', " "), spec.words()),
        None => format!("\"{}\"", spec.words()),
    };
    let mut says = vec![format!("{what} has the condition \"{words}\":")];
    let counts = held.counts(condition);
    if counts && !yes.is_empty() {
        says.push(format!("counted at {};", shown(yes)));
    }
    if counts && !no.is_empty() {
        says.push(format!("not at {};", shown(no)));
    }
    if *doubtful {
        says.push(format!("it may be said of a part of these words alone, and is counted at {} meanwhile;", shown(unknown)));
    } else if !unknown.is_empty() {
        let why = if matches!(condition.says, Says::Facts(_)) { "the door schedule does not say it" } else { "no fact of the door schedule decides it" };
        says.push(format!("{why} of {}, where it is counted meanwhile;", shown(unknown)));
    }
    if !counts {
        says.push(format!("it holds at none of its doors ({}), and is counted at all;", shown(no)));
    }
    if !strange.is_empty() {
        says.push(format!("{} is no door of the job;", strange.join(", ")));
    }
    let says = says.join(" ").trim_end_matches(';').to_owned() + ".";
    let mut finding = out.about_set(job, set, job.numbers(set), &format!("{words} {}", spec.words()), says);
    (finding.place, finding.excerpt, finding.lines) = (Some(spec.place.clone()), spec.words(), vec![spec.id]);
    finding.help = "check it against the door schedule".to_owned();
    let open = !counts || !unknown.is_empty() || !strange.is_empty() || !condition.firm && matches!(condition.says, Says::Facts(_));
    if open {
        ask(&mut finding, spec, condition, held, (counts, numbers));
    }
    Some(finding)
}

/// Makes the finding a question about the doors that are open.
fn ask(finding: &mut Finding, spec: &Spec, condition: &Condition, held: &Held, (counts, numbers): (bool, impl Fn(&[usize]) -> Vec<String>)) {
    finding.kind = Kind::Question;
    let elsewhere = by_hand("at other doors, to be written in the schedule");
    if let Some(attribute) = condition.of {
        finding.priced_as = "as told".to_owned();
        finding.attribute = Some(attribute);
        finding.answers = vec![Answer::new("as told", Effect::Nothing), elsewhere];
    } else if !held.unknown.is_empty() {
        finding.openings = numbers(&held.unknown);
        finding.priced_as = "counted there".to_owned();
        let none = Effect::Quantity { line: spec.id, quantity: Decimal::ZERO };
        finding.answers = vec![Answer::new("counted there", Effect::Nothing), Answer::new("not counted there", none), elsewhere];
    } else if !counts {
        finding.priced_as = "at every door".to_owned();
        let out = Effect::Exclude { lines: vec![spec.id] };
        finding.answers = vec![Answer::new("at every door", Effect::Nothing), Answer::new("leave it out", out), elsewhere];
    } else {
        finding.openings = numbers(&held.no);
        finding.priced_as = "not counted there".to_owned();
        let there = Effect::Quantity { line: spec.id, quantity: spec.quantity };
        finding.answers = vec![Answer::new("not counted there", Effect::Nothing), Answer::new("counted there too", there), elsewhere];
    }
}
