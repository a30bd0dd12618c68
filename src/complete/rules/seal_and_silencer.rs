//! Silencers beside a perimeter seal.

use rust_decimal::Decimal;

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
        "a set lists a perimeter seal and silencers, or a rule adds the seal at some of its doors",
        "the silencers are left out, at those doors, since the seal does their work",
        "",
        ("frame maker's tips; a public university standard", "read"),
        ("gasketing and silencers in one set", "gasketing only"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; gasketing 1 kind=smoke; silencer 3",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; gasketing 1 kind=smoke",
};

const CODE: &str = "seal-and-silencer";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let silencers: Vec<_> = job.sets[set].specs.iter().filter(|spec| spec.category == Some(Category::Silencer) && !job.void.contains(&spec.id)).collect();
        if silencers.is_empty() {
            continue;
        }
        let listed = job.names(set, &[Category::Gasketing]);
        let sealed: Vec<_> = job.doors(set).filter(|door| !job.added_to(door.index, &[Category::Gasketing], CODE).is_empty()).collect();
        for spec in silencers {
            if listed {
                out.acts.push(Act::Exclude { line: spec.id, why: "the perimeter seal does the work of silencers".to_owned() });
                let says = "A perimeter seal and silencers in one set: the silencers are left out.";
                out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", says));
            } else if !sealed.is_empty() {
                for door in &sealed {
                    out.acts.push(Act::Count { line: spec.id, opening: door.index, quantity: Decimal::ZERO });
                }
                let says = "A perimeter seal was added at doors whose set lists silencers: the silencers are left out there.";
                let numbers = sealed.iter().map(|door| door.number.clone()).collect();
                out.say(out.about_lines(job, set, &[spec.id], numbers, "job:added", says));
            }
        }
    }
}
