//! An electric strike is made for the lock that latches into it.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "strike-for-lock",
        Kind::Assumption,
        Weight::Goods,
        "What an electric strike is for",
        "an electric strike does not say for which lock, and its set has locks of one kind",
        "the strike for that lock is taken",
        "",
        ("common practice", "common practice"),
        ("an electric strike beside a bored lock", "an electric strike for a bored lock"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; bored-lock 1 function=F86; electric-strike 1 fail=secure voltage=24; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm; hinge 3; bored-lock 1 function=F86; electric-strike 1 fail=secure voltage=24 for=bored; stop 1 mounting=wall",
};

const CODE: &str = "strike-for-lock";

/// Lock, and the word for a strike that goes with it.
const WITH: &[(Category, &str)] = &[(Category::MortiseLock, "mortise"), (Category::BoredLock, "bored"), (Category::ExitDevice, "rim")];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let strikes = job.lines_of(set, &[Category::ElectricStrike]);
        let kinds: Vec<&str> = WITH.iter().filter(|(lock, _)| !strikes.is_empty() && job.names(set, &[*lock])).map(|(_, word)| *word).collect();
        let [kind] = kinds.as_slice() else { continue };
        // Other exit devices than rim ones latch elsewhere.
        let other = *kind == "rim" && job.all_of(set, &[Category::ExitDevice]).iter().any(|spec| !matches!(spec.word(names::TYPE), "" | "rim"));
        if other || job.unread(set) {
            continue;
        }
        for spec in strikes.into_iter().filter(|spec| spec.lacks(names::FOR, CODE)) {
            out.fill(spec.id, names::FOR, Value::text(kind), Grade::Assumed);
            let says = format!("Electric strikes that do not say for which lock: for the {kind} {} of the set.", if *kind == "rim" { "exit device" } else { "lock" });
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{kind}"), says));
        }
    }
}
