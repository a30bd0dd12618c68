//! Electrified goods that do not say what they do without power.

use crate::complete::door::Door;
use crate::complete::spec::Grade;
use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::understand::reading::Heard;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fail-mode",
        Kind::Question,
        Weight::LifeSafety,
        "Fail-safe or fail-secure",
        "an electric strike, electrified lock or trim is not said to be fail-safe or fail-secure",
        "fail-secure is priced, or the job's default, and fail-safe for a lock or trim between a stair and a floor; the other is the other answer. A strike on a rated door is fail-secure, and listed",
        "",
        ("specifiers' articles: most devices keep free egress in either mode, magnets excepted", "reported"),
        ("ELECTRIC STRIKE 24 V", "ELECTRIC STRIKE FAIL-SECURE"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; electric-strike 1 for=mortise voltage=24",
    quiet: "door 101 36x84 hm stud; hinge 3; electric-strike 1 for=mortise voltage=24 fail=secure",
};

const CODE: &str = "fail-mode";

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock, Category::ExitDevice];

fn run(job: &Job, out: &mut Out) {
    strikes(job, out);
    locks(job, out);
}

/// Locks and trim whose words leave both open.
fn locks(job: &Job, out: &mut Out) {
    let by_terms = job.terms.electrical.fail_mode.as_deref().filter(|mode| ["fail-safe", "fail-secure"].contains(mode));
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, LOCKS) {
            let words: Vec<&str> = match spec.reading.attributes.get(&names::ELECTRIFIED) {
                Some(Heard::Ambiguous(candidates)) => candidates.iter().filter_map(|(value, _)| value.as_text()).collect(),
                // A lock with a voltage is an electrified one, whatever else its words leave out.
                None if spec.says(names::VOLTAGE) && !spec.is_any(&[Category::ExitDevice]) => vec!["fail-safe", "fail-secure"],
                _ => continue,
            };
            let of = |mode: &str| words.iter().copied().find(|word| word.ends_with(mode));
            let (Some(safe), Some(secure)) = (of("fail-safe"), of("fail-secure")) else { continue };
            if spec.says(names::ELECTRIFIED) {
                continue;
            }
            let at_stair = |door: &&Door| door.used_as("stair") && !door.exterior;
            let stairs: Vec<&Door> = job.doors(set).filter(at_stair).collect();
            let rest: Vec<String> = job.numbers_of(set, |door| !at_stair(&door));
            let elsewhere = if by_terms == Some("fail-safe") { safe } else { secure };
            let told = |stair: bool, taken: &str, numbers: Vec<String>, out: &mut Out| {
                let assumed = by_terms.is_some() && !stair;
                let mut finding = out.about_lines(job, set, &[spec.id], numbers, &format!("job:lock {taken}"), "An electrified lock does not say what it does without power.");
                if assumed {
                    finding.kind = Kind::Assumption;
                    finding.says = format!("An electrified lock does not say what it does without power: {taken} taken, the job's default.");
                } else {
                    finding.priced_as = taken.to_owned();
                    finding.attribute = Some(names::ELECTRIFIED);
                    finding.answers = [secure, safe]
                        .map(|word| Answer::new(word, Effect::Set { lines: vec![spec.id], attribute: names::ELECTRIFIED, value: Value::text(word) }))
                        .to_vec();
                    finding.help = "ask the architect and those who do the access control; the inside lever is free either way".to_owned();
                }
                out.say(finding);
            };
            let mixed = !stairs.is_empty() && !rest.is_empty();
            let taken = if stairs.is_empty() || mixed { elsewhere } else { safe };
            let grade = if by_terms.is_some() && taken == elsewhere { Grade::Assumed } else { Grade::Ask };
            out.fill(spec.id, names::ELECTRIFIED, Value::text(taken), grade);
            if mixed && elsewhere != safe {
                for door in &stairs {
                    out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::ELECTRIFIED, value: Value::text(safe) });
                }
            }
            if !stairs.is_empty() {
                told(true, safe, stairs.iter().map(|door| door.number.clone()).collect(), out);
            }
            if stairs.is_empty() || mixed {
                told(false, elsewhere, rest, out);
            }
        }
    }
}

/// Electric strikes.
fn strikes(job: &Job, out: &mut Out) {
    let by_terms = match job.terms.electrical.fail_mode.as_deref() {
        Some("fail-safe") => Some("safe"),
        Some("fail-secure") => Some("secure"),
        _ => None,
    };
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::ElectricStrike]).into_iter().filter(|spec| spec.lacks(names::FAIL, CODE)) {
            let rated: Vec<&Door> = job.doors(set).filter(|door| door.fire).collect();
            let rest = job.numbers_of(set, |door| !door.fire);
            let elsewhere = by_terms.unwrap_or("secure");
            let only_rated = !rated.is_empty() && rest.is_empty();
            let grade = if only_rated || by_terms.is_some() { Grade::Assumed } else { Grade::Ask };
            out.fill(spec.id, names::FAIL, Value::text(if only_rated { "secure" } else { elsewhere }), grade);
            if !rated.is_empty() {
                if !only_rated && elsewhere != "secure" {
                    for door in &rated {
                        out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::FAIL, value: Value::text("secure") });
                    }
                }
                let says = "The electric strike does not say what it does without power: fail-secure taken, as a rated door needs.";
                let numbers = rated.iter().map(|door| door.number.clone()).collect();
                let mut finding = out.about_lines(job, set, &[spec.id], numbers, "job:fire", says);
                finding.kind = Kind::Assumption;
                out.say(finding);
            }
            if only_rated {
                continue;
            }
            let mut finding = out.about_lines(job, set, &[spec.id], rest, "job:", "The electric strike does not say what it does without power.");
            if by_terms.is_some() {
                finding.kind = Kind::Assumption;
            } else {
                finding.priced_as = format!("fail-{elsewhere}");
                finding.attribute = Some(names::FAIL);
                finding.answers = ["secure", "safe"]
                    .map(|word| Answer::new(format!("fail-{word}"), Effect::Set { lines: vec![spec.id], attribute: names::FAIL, value: Value::text(word) }))
                    .to_vec();
                finding.help = "ask the architect and those who do the access control; free egress is kept either way".to_owned();
            }
            out.say(finding);
        }
    }
}
