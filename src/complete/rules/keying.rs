//! How keyed goods are keyed.

use crate::trade::rule_words;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "keying",
        Kind::Question,
        Weight::Scope,
        "Keying",
        "the job has keyed locks or cylinders and says nothing of keying",
        "one question for the job; nothing is priced for it",
        "",
        ("federal manual; a public university standard", "read"),
        ("locks with keys, no keying line", "a keying line in a set"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; keying 1",
};

fn run(job: &Job, out: &mut Out) {
    let said = (0..job.sets.len()).any(|set| job.names(set, &[Category::Keying]) || job.lines(set).any(|spec| spec.says(names::KEYED)));
    if said || job.schedule.notes.iter().any(|note| rule_words::speak("on-keying", &note.text)) {
        return;
    }
    let mut lines = Vec::new();
    let mut numbers: Vec<String> = Vec::new();
    for set in 0..job.sets.len() {
        let locks = [Category::ExitDevice, Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::Cylinder, Category::InterconnectedLock];
        let keyed: Vec<_> = job.lines_of(set, &locks).into_iter().filter(|spec| !(rule_words::is("keyless-functions", spec.word(names::FUNCTION)) || spec.is_any(&[Category::ExitDevice]) && spec.word(names::FUNCTION).is_empty())).collect();
        if keyed.is_empty() || job.doors(set).next().is_none() {
            continue;
        }
        lines.extend(keyed.iter().map(|spec| spec.id));
        numbers.extend(job.numbers(set));
    }
    if lines.is_empty() {
        return;
    }
    let mut finding = out.finding("job:", "Locks with keys, and nothing on keying: key system, keyway, cores, construction keys, number of keys, by whom?");
    finding.openings = numbers;
    finding.priced_as = "cylinders as the locks bring them, no keying".to_owned();
    finding.help = "ask for the keying schedule, or say that the owner's key shop does it".to_owned();
    out.say(finding);
}
