//! A transfer with fewer conductors than the devices need.

use crate::complete::devices;
use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Value, names};
use crate::trade::wire;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "conductors-short",
        Kind::Question,
        Weight::Goods,
        "Too few conductors",
        "a transfer gives fewer conductors than the devices on the leaf need, or they need more than twelve",
        "priced as written; the next number made is the other answer",
        "4, 6, 8, 10, 12",
        ("locksmith trade articles", "reported"),
        ("a hinge of 4 conductors, a lock with request-to-exit and latch switches", "a hinge of 8 conductors for the same lock"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2; hinge 1 conductors=4; mortise-lock 1 function=F07 electrified=fail-secure monitor=request-to-exit+latch",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=8; mortise-lock 1 function=F07 electrified=fail-secure monitor=request-to-exit+latch",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let (need, words) = devices::need_on_leaf(job, set);
        if need == 0 || job.doors(set).next().is_none() {
            continue;
        }
        for spec in devices::transfers(job, set).into_iter().filter(|spec| spec.says(names::CONDUCTORS)) {
            let Some(given) = devices::wires_across(spec).filter(|given| *given < need) else { continue };
            let says = format!("The transfer has {given} conductors; the devices on the leaf need {need} ({words}).");
            let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), "short", says);
            finding.priced_as = format!("{given} conductors, as written");
            finding.attribute = Some(names::CONDUCTORS);
            let mut offered = vec![given];
            offered.extend(wire::next_made(need));
            offered.extend(wire::next_made(need + devices::spare(job)));
            offered.dedup();
            finding.answers = offered
                .into_iter()
                .map(|count| {
                    let does = Effect::Set { lines: vec![spec.id], attribute: names::CONDUCTORS, value: Value::count(count) };
                    Answer::new(format!("{count} conductors"), does)
                })
                .collect();
            finding.help = "ask for the list of devices of the access control".to_owned();
            out.say(finding);
        }
        if wire::next_made(need).is_none() {
            let says = format!("The devices on the leaf need {need} conductors ({words}); hinges are made with 12 at most.");
            let mut finding = out.about_set(job, set, job.numbers(set), "most", says);
            finding.priced_as = "12 conductors".to_owned();
            finding.help = "share commons, move the reader to the wall, or use a concealed transfer".to_owned();
            out.say(finding);
        }
    }
}
