//! Locks that hold people in.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::rule_words;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function;
use crate::trade::remark;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "egress-key-inside",
        Kind::Question,
        Weight::LifeSafety,
        "A key, bolt or hasp between people and the way out",
        "a lock or deadlock is worked by key from both sides, or a surface bolt, hasp or chain stands on a single door",
        "priced as written; a lock whose inside is always free, or no bolt, is the other answer; a door on the way out opens with one motion, without key, tool or special knowledge",
        "",
        ("IBC 1010.2 as explained by code articles", "reported"),
        ("a deadbolt with double cylinder", "a deadbolt with single cylinder"),
    ),
    run,
    fires: "door 101 36x84 hm room=OFFICE; hinge 3; deadlock 1 cylinder=double; stop 1",
    quiet: "door 101 36x84 hm room=OFFICE; hinge 3; deadlock 1 cylinder=single; stop 1",
};

fn by_key(spec: &Spec) -> bool {
    let number = spec.word(names::FUNCTION);
    let named = function::all().iter().find(|function| function.number == number).is_some_and(|function| function.names.iter().any(|name| rule_words::is("key-inside-functions", name)));
    spec.word(names::CYLINDER) == "double" || !number.is_empty() && named
}

/// What frees the way out, as one answer: what it is about, its words, attribute and value.
fn freed(spec: &Spec) -> (&'static str, &'static str, Attr, Value) {
    let storeroom = |number| (number, "a storeroom lock: the inside lever is always free", names::FUNCTION, Value::text(number));
    match spec.category {
        Some(Category::MortiseLock) if spec.word(names::CYLINDER) != "double" => storeroom("F07"),
        Some(Category::BoredLock) if spec.word(names::CYLINDER) != "double" => storeroom("F86"),
        _ => ("cylinder", "a turn inside instead of the key", names::CYLINDER, Value::text("single")),
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        let locks = job.lines_of(set, &[Category::Deadlock, Category::MortiseLock, Category::BoredLock]);
        for spec in locks.into_iter().filter(|spec| by_key(spec)) {
            let (about, free, attribute, value) = freed(spec);
            let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:key {about}"), "Locks that need a key from inside: a door on the way out opens without key or special knowledge.");
            finding.priced_as = "as written".to_owned();
            finding.answers = vec![Answer::new("as written", Effect::Nothing), set_answer(free, &[spec.id], attribute, value)];
            finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
        let singles = job.numbers_of(set, |door| !door.is_pair());
        let named = |spec: &&Spec| spec.category == Some(Category::Other) && remark::matters(&[&spec.wording.text]).contains(&"locks-in");
        let hasps = job.lines_of(set, &[Category::Other]).into_iter().filter(named);
        // The bolt of a Dutch door joins its two halves, and holds nobody in.
        let holds = |spec: &&Spec| !rule_words::speak("joins-halves", &spec.wording.text);
        for spec in job.lines_of(set, &[Category::SurfaceBolt]).into_iter().filter(holds).chain(hasps) {
            if singles.is_empty() {
                continue;
            }
            let mut finding = out.about_lines(job, set, &[spec.id], singles.clone(), "job:bolt", "Surface bolts, hasps or chains on single doors: a second motion, and a way to be locked in.");
            finding.priced_as = "as written".to_owned();
            if singles.len() == job.doors(set).count() {
                finding.answers = keep_or_leave_out(&[spec.id]);
            }
            finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
