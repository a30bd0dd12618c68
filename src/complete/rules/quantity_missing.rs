//! Lines that give no quantity.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::build::pieces;
use crate::complete::gather::Names;
use crate::complete::job::Job;
use crate::complete::select::title;
use rust_decimal::Decimal;

use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::schedule::{Basis, PartRole};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::understand::reading::{Remark, RemarkKind, Unit};
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

/// `1 LOT CYLINDERS AS REQUIRED`: of goods that are counted, and nobody says how many.
fn lot_as_required(spec: &Spec) -> bool {
    let said = |remark: &Remark| remark.kind == RemarkKind::AsRequired;
    spec.unit == Unit::Lot && spec.basis != Basis::Lot && spec.reading.remarks.iter().any(said)
}

fn ask_lot(job: &Job, out: &mut Out, spec: &Spec) {
    let says = "A lot as required: how many that is for an opening nobody says.";
    let set = spec.id.set;
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("lot {}", spec.words()), says);
    finding.kind = Kind::Question;
    finding.priced_as = "1 for an opening".to_owned();
    let others = rule_words::of("lots-asked").iter().filter_map(|number| number.parse::<Decimal>().ok());
    let others = others.map(|quantity| {
        Answer::new(format!("{quantity} for an opening"), Effect::Quantity { line: spec.id, quantity })
    });
    finding.answers = std::iter::once(Answer::new("1 for an opening", Effect::Nothing)).chain(others).collect();
    finding.help = "count the goods that take them".to_owned();
    out.say(finding);
}

/// A dash for the quantity, beside goods of the set that have theirs: none may be meant.
fn dashed(job: &Job, set: usize, spec: &Spec) -> bool {
    let cell = spec.wording.part(PartRole::Quantity).unwrap_or_default().trim();
    let dash = !cell.is_empty() && cell.chars().all(|sign| matches!(sign, '-' | '\u{2013}' | '\u{2014}'));
    dash && spec.reading.quantity.amount.is_none() && job.lines(set).any(|other| other.reading.quantity.amount.is_some())
}

fn ask_dash(job: &Job, out: &mut Out, spec: &Spec) {
    let says = "A dash stands for the quantity, and other lines of the set have theirs: none may be meant.";
    let set = spec.id.set;
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("dash {}", spec.words()), says);
    finding.kind = Kind::Question;
    finding.priced_as = "counted as is usual for the goods".to_owned();
    finding.answers = vec![
        Answer::new("counted as is usual for the goods", Effect::Nothing),
        Answer::new("none", Effect::Exclude { lines: vec![spec.id] }),
    ];
    finding.help = "ask whether the goods are left out or the number was lost".to_owned();
    out.say(finding);
}

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
            if lot_as_required(spec) && !job.fixed.contains(&spec.id) {
                ask_lot(job, out, spec);
                continue;
            }
            if pieces(category, &spec.reading.quantity).is_some() && !job.fixed.contains(&spec.id) {
                let (lines, doors) = by_pieces.entry(category).or_default();
                lines.push(spec.id);
                doors.extend(&job.numbers(set));
                continue;
            }
            if dashed(job, set, spec) && !job.fixed.contains(&spec.id) {
                ask_dash(job, out, spec);
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
