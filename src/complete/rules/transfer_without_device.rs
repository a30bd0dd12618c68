//! A transfer with nothing to feed.

use crate::complete::devices;
use crate::finding::{Answer, Effect};
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "transfer-without-device",
        Kind::Question,
        Weight::Goods,
        "What is the transfer for?",
        "a set has an electrified hinge or transfer and no electrified device on the leaf",
        "kept and priced; leaving it out, or a lock that is electrified, are the other answers",
        "",
        ("common practice", "common practice"),
        ("a hinge of 6 conductors, mechanical lock", "a hinge of 6 conductors, electrified lock"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock];
const SECURE: &str = "fail-secure";

/// A device whose voltage is given, or whose number has the letters of electric latch retraction, is electrified though
/// no word says how.
fn may_be_wired(spec: &Spec) -> bool {
    let number = spec.value(names::DESIGNATION).and_then(Value::as_text);
    spec.says(names::VOLTAGE) || spec.is_any(&[Category::ExitDevice]) && number.is_some_and(|number| rule_words::speak("wired-in-numbers", number))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let transfers: Vec<_> = devices::transfers(job, set).into_iter().filter(|spec| spec.excluded.is_none()).collect();
        // A line that was not understood may be the device.
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if transfers.is_empty() || unread || job.all_of(set, devices::ON_LEAF).into_iter().any(may_be_wired) || !devices::on_leaf(job, set).is_empty() || job.doors(set).next().is_none() {
            continue;
        }
        let lines: Vec<_> = transfers.iter().map(|spec| spec.id).collect();
        let says = "An electrified hinge or transfer, and no electrified device on the leaf: what is it for?";
        let mut finding = out.about_lines(job, set, &lines, job.numbers(set), "device", says);
        finding.priced_as = "kept as written".to_owned();
        finding.answers = vec![Answer::new("keep it", Effect::Nothing), Answer::new("leave it out", Effect::Exclude { lines })];
        let locks = job.lines_of(set, LOCKS);
        // The lock of the set may be the device after all: what it is worth is said where the catalog makes it so.
        let made = |spec: &&Spec| {
            let mut asked = spec.asked();
            asked.insert(names::ELECTRIFIED, Value::text(SECURE));
            spec.category.is_some_and(|category| !job.select(category, asked).candidates.is_empty())
        };
        if !locks.is_empty() && locks.iter().all(made) {
            let lines = locks.iter().map(|spec| spec.id).collect();
            finding.answers.push(Answer::new("the lock is electrified, fail-secure", Effect::Set { lines, attribute: names::ELECTRIFIED, value: Value::text(SECURE) }));
        }
        finding.help = "ask which device of the leaf is wired".to_owned();
        out.say(finding);
    }
}
