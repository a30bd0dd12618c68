//! Lines that give no quantity.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::build::pieces;
use crate::complete::gather::Names;
use crate::complete::job::Job;
use crate::complete::select::title;
use crate::finding::{Kind, LineId, Weight};
use crate::read::schedule::Basis;
use crate::trade::category::Category;
use crate::trade::facts;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "quantity-missing",
        Kind::Assumption,
        Weight::Goods,
        "A line without quantity",
        "a line gives no number, or says as required, and no rule counts the goods",
        "one for each leaf or opening, as is usual for the goods, once for the job in a list by goods; hinges are counted by their own rule; goods that go by pieces, silencers, are taken by the set",
        "pieces of the table trade/categories.csv",
        ("common practice", "common practice"),
        ("CLOSER without a number", "1 CLOSER"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; closer -; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
};

/// Lines without number, by what one of them is taken for and the goods: lines and doors.
type Taken = BTreeMap<(&'static str, Category), (Vec<LineId>, Names)>;

fn run(job: &Job, out: &mut Out) {
    let mut taken: Taken = BTreeMap::new();
    let mut by_pieces: BTreeMap<Category, (Vec<LineId>, Names)> = BTreeMap::new();
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        for spec in job.lines(set) {
            let Some(category) = spec.category.filter(|category| *category != Category::Hinge) else { continue };
            if pieces(category, &spec.reading.quantity).is_some() && !job.fixed.contains(&spec.id) {
                let (lines, doors) = by_pieces.entry(category).or_default();
                lines.push(spec.id);
                doors.extend(&job.numbers(set));
                continue;
            }
            // Keying and the like are lots: one is what a line without number means.
            if spec.reading.quantity.amount.is_some() || spec.basis == Basis::Lot || job.fixed.contains(&spec.id) {
                continue;
            }
            let per = if spec.basis == Basis::Leaf { "leaf" } else { "opening" };
            let (lines, doors) = taken.entry((per, category)).or_default();
            lines.push(spec.id);
            doors.extend(&job.numbers(set));
        }
    }
    for (category, (lines, doors)) in by_pieces {
        let Some((facts, (single, pair))) = facts::of(category).and_then(|facts| Some((facts, facts.pieces?))) else { continue };
        let titles = facts.titles;
        let says = format!("{titles} by the set or without a number: {single} for a single door, {pair} for a pair taken.");
        let mut finding = out.finding(&format!("job:pieces:{category}"), says);
        finding.lines = lines;
        finding.openings = doors.into_vec();
        finding.help = "write the number into the schedule where it is another".to_owned();
        out.say(finding);
    }
    for per in ["leaf", "opening"] {
        let mut goods = Vec::new();
        let mut lines = Vec::new();
        let mut doors = Names::default();
        for ((_, category), (ids, numbers)) in taken.iter().filter(|((of, _), _)| *of == per) {
            goods.push(title(*category));
            lines.extend(ids.iter().copied());
            doors.extend(&numbers.clone().into_vec());
        }
        if goods.is_empty() {
            continue;
        }
        let says = format!("Lines without quantity: one for each {per} taken, as is usual: {}.", goods.join(", "));
        let mut finding = out.finding(&format!("job:{per}"), says);
        finding.lines = lines;
        finding.openings = doors.into_vec();
        finding.help = "write the number into the schedule where it is another".to_owned();
        out.say(finding);
    }
}
