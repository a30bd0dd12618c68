//! Silencers beside a perimeter seal.

use crate::complete::act::Act;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "seal-and-silencer",
        Kind::Assumption,
        Weight::Goods,
        "Silencers beside a seal",
        "a set lists a perimeter seal and silencers",
        "the silencers are left out, since the seal does their work",
        "",
        ("frame maker's tips; a public university standard", "read"),
        ("gasketing and silencers in one set", "gasketing only"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; gasketing 1 kind=smoke; silencer 3",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; gasketing 1 kind=smoke",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if !job.names(set, &[Category::Gasketing]) {
            continue;
        }
        for spec in job.sets[set].specs.iter().filter(|spec| spec.category == Some(Category::Silencer) && !job.void.contains(&spec.id)) {
            out.acts.push(Act::Exclude { line: spec.id, why: "the perimeter seal does the work of silencers".to_owned() });
            let says = "A perimeter seal and silencers in one set: the silencers are left out.";
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", says));
        }
    }
}
