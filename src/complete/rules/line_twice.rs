//! The same goods on two lines of one set.

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::job::Job;
use crate::complete::select::title;
use crate::complete::spec::{From, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use rust_decimal::Decimal;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "line-twice",
        Kind::Question,
        Weight::Goods,
        "The same goods twice in one set",
        "two lines of a set say the same of the same goods, or a single leaf gets two closers or two locks",
        "both are priced; leaving the second out is the other answer",
        "",
        ("common practice", "common practice"),
        ("two lines of the same closer", "a closer and a stop"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel; closer 1 arm=parallel; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel; stop 1",
};

/// Of these a single leaf has one.
const ONE_EACH: &[&[Category]] = &[
    &[Category::Closer, Category::Operator],
    &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::ExitDevice],
];

/// What the words of a line say.
fn said(spec: &Spec) -> Vec<(Attr, Value)> {
    let said = spec.attributes.iter().filter(|(_, sourced)| matches!(sourced.from, From::Said(_) | From::Answer(_)));
    said.map(|(name, sourced)| (*name, sourced.value.clone())).collect()
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        let lines: Vec<&Spec> = job.lines(set).filter(|spec| spec.category != Some(Category::Other)).collect();
        let mut told = Vec::new();
        for (at, spec) in lines.iter().enumerate() {
            let twin = lines[..at].iter().find(|other| other.category == spec.category && said(other) == said(spec));
            let Some(category) = spec.category.filter(|_| twin.is_some()) else { continue };
            let ids = [spec.id];
            told.push(category);
            let says = format!("Two lines of the set say the same of the {}.", title(category));
            let mut finding = out.about_lines(job, set, &ids, job.numbers(set), &format!("twin {}", category.name()), says);
            finding.priced_as = "both".to_owned();
            finding.answers = keep_or_leave_out(&ids);
            out.say(finding);
        }
        for group in ONE_EACH {
            let found: Vec<_> = lines.iter().filter(|spec| spec.is_any(group)).collect();
            let singles = job.numbers_of(set, |door| !door.is_pair() && found.iter().map(|spec| spec.count_at(door)).sum::<Decimal>() > Decimal::ONE);
            let Some(last) = found.last().filter(|spec| !singles.is_empty() && found.len() > 1 && spec.category.is_none_or(|category| !told.contains(&category))) else { continue };
            let names: Vec<String> = found.iter().filter_map(|spec| spec.category).map(title).collect();
            let mut finding = out.about_lines(job, set, &[last.id], singles, &format!("two {}", group[0].name()), format!("One leaf with {}.", names.join(" and ")));
            finding.priced_as = "both, as written".to_owned();
            finding.answers = keep_or_leave_out(&[last.id]);
            finding.help = "ask the architect which is meant".to_owned();
            out.say(finding);
        }
    }
}
