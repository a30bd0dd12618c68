//! An odd finish among others.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::finish;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "mixed-finishes",
        Kind::Question,
        Weight::Goods,
        "Finishes that do not go together",
        "one line of a set is written in a look that no other line has, and is not its equal on another metal",
        "priced as written",
        "satin chrome, satin stainless, satin aluminum and aluminum paint are one family",
        ("common practice", "common practice"),
        ("a lock in 605 among goods in 626 and 630", "a lock in 626 among goods in 630"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3 finish=652; mortise-lock 1 function=F07 finish=605; closer 1 finish=689; protection-plate 1 finish=630; stop 1 finish=626",
    quiet: "door 101 36x84 hm; hinge 3 finish=652; mortise-lock 1 function=F07 finish=626; closer 1 finish=689; protection-plate 1 finish=630; stop 1 finish=626",
};

const SEEN: &[Category] = &[
    Category::Hinge, Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::ExitDevice, Category::Closer,
    Category::OverheadStop, Category::Stop, Category::ProtectionPlate, Category::PushPlate, Category::Pull,
    Category::PushPullBar, Category::FlushBolt,
];

/// The family of a line's written finish: the group of looks that are taken for one another by eye (`trade/looks.csv`).
fn family(spec: &Spec) -> Option<&'static str> {
    let Some(Value::Text(code)) = spec.value(names::FINISH).filter(|_| spec.says(names::FINISH)) else { return None };
    let found = finish::find(code)?;
    // Primed goods go with anything.
    if found.look == "primed" {
        return None;
    }
    Some(finish::look(found.look).map_or(found.look, |look| look.group))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        let mut families: BTreeMap<&str, Vec<&Spec>> = BTreeMap::new();
        for spec in job.lines_of(set, SEEN) {
            if let Some(family) = family(spec) {
                families.entry(family).or_default().push(spec);
            }
        }
        let lines: usize = families.values().map(Vec::len).sum();
        for odd in families.values().filter(|odd| odd.len() == 1 && lines > 3) {
            let spec = odd[0];
            let says = format!("Finish {} stands alone among the other finishes of the set.", spec.word(names::FINISH));
            let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("odd {}", spec.words()), says);
            finding.priced_as = "as written".to_owned();
            finding.attribute = Some(names::FINISH);
            finding.help = "check that it is meant".to_owned();
            out.say(finding);
        }
    }
}
