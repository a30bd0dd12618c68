//! Silencers beside a perimeter seal.

use rust_decimal::Decimal;

use crate::complete::act::Act;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::trade::attribute::names;
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
        // A seal between the meeting edges stops no leaf at its frame.
        let seals: Vec<&Spec> = job.all_of(set, &[Category::Gasketing]).into_iter().filter(|spec| !spec.word(names::FORM).contains("meeting")).collect();
        let (listed, others): (Vec<&Door>, Vec<&Door>) = job.doors(set).partition(|door| seals.iter().any(|spec| !spec.left_out.contains(&door.index)));
        let added: Vec<&Door> = others.iter().copied().filter(|door| !job.added_to(door.index, &[Category::Gasketing], CODE).is_empty()).collect();
        let numbers = |doors: &[&Door]| doors.iter().map(|door| door.number.clone()).collect::<Vec<_>>();
        for spec in silencers {
            let says = "A perimeter seal and silencers in one set: the silencers are left out.";
            if !seals.is_empty() && others.is_empty() {
                out.acts.push(Act::Exclude { line: spec.id, why: "left out: the perimeter seal does the work of silencers".to_owned() });
                out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", says));
                continue;
            }
            for door in listed.iter().chain(&added) {
                out.acts.push(Act::Count { line: spec.id, opening: door.index, quantity: Decimal::ZERO });
            }
            if !listed.is_empty() {
                out.say(out.about_lines(job, set, &[spec.id], numbers(&listed), "job:", says));
            }
            if !added.is_empty() {
                let says = "A perimeter seal was added at doors whose set lists silencers: the silencers are left out there.";
                out.say(out.about_lines(job, set, &[spec.id], numbers(&added), "job:added", says));
            }
        }
    }
}
