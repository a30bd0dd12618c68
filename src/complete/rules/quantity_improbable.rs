//! Quantities that no door has: 45 hinges on a single door, half a lock, none at all.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Finding, LineId, Weight, Kind};
use crate::read::schedule::Basis;
use crate::trade::facts;
use crate::understand::reading::Unit;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "quantity-improbable",
        Kind::Question,
        Weight::Goods,
        "A quantity that no door has",
        "a line gives more of a good than a leaf ever has, a part of a good that comes whole, or the quantity 0; goods by the foot and lots are not looked at",
        "priced as written and asked; where all that is too much is so many for each of the set's doors, the totals of the set may have been written",
        "the column most of trade/categories.csv",
        ("common practice", "common practice"),
        ("45 hinges on a single door; 0.5 of a lock", "8 silencers on a pair; 1-1/2 pairs of hinges"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 45; closer 1; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
};

/// What is wrong with a quantity.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wrong {
    None,
    Part,
    TooMany,
}

/// Whether a line gives more than doors of so many leaves have.
pub fn is_too_many(spec: &Spec, leaves: u32) -> bool {
    wrong(spec, leaves) == Some(Wrong::TooMany)
}

/// Whether a line gives more than one leaf has, whatever its count is said to be for.
pub fn is_more_than_a_leaf(spec: &Spec) -> bool {
    let whole = Spec { basis: Basis::Leaf, ..spec.clone() };
    wrong(&whole, 1) == Some(Wrong::TooMany)
}

fn wrong(spec: &Spec, leaves: u32) -> Option<Wrong> {
    let quantity = &spec.reading.quantity;
    let written = quantity.amount?;
    if quantity.conflict.is_some() || quantity.by_leaves.is_some() {
        return None;
    }
    if written.is_zero() {
        return Some(Wrong::None);
    }
    if matches!(quantity.unit, Unit::Foot | Unit::Lot) {
        return None;
    }
    let pieces = if quantity.unit == Unit::Pair { written * Decimal::TWO } else { written };
    if !pieces.fract().is_zero() {
        return Some(Wrong::Part);
    }
    let leaves = match spec.basis {
        Basis::Leaf => 1,
        Basis::Opening => leaves,
        Basis::Lot => return None,
    };
    let most = facts::of(spec.category?)?.most?;
    (pieces > Decimal::from(most) * Decimal::from(leaves)).then_some(Wrong::TooMany)
}

fn run(job: &Job, out: &mut Out) {
    let mut none: Vec<LineId> = Vec::new();
    for set in 0..job.sets.len() {
        // Of a set without doors nobody knows whether it is for pairs.
        let leaves = job.doors(set).map(|door| door.leaves).max().unwrap_or(2);
        let doubted = job.lines(set).filter(|spec| !job.fixed.contains(&spec.id));
        let (mut parts, mut over) = (Vec::new(), Vec::new());
        for spec in doubted {
            match wrong(spec, leaves) {
                Some(Wrong::None) => none.push(spec.id),
                Some(Wrong::Part) => parts.push(spec),
                Some(Wrong::TooMany) => over.push(spec),
                None => {}
            }
        }
        if !parts.is_empty() {
            let says = format!("A part of a good that comes whole: {}.", words(&parts));
            ask(job, out, set, &parts, "part", says);
        }
        if !over.is_empty() {
            let what = if leaves == 1 { "a single door" } else { "a pair" };
            let mut says = format!("More than {what} has: {}.", words(&over));
            if let Some(doors) = totals(job, set, &over) {
                says.push_str(&format!(" Each is so many for each of the set's {doors} doors: the totals of the set may be meant."));
            }
            ask(job, out, set, &over, "over", says);
        }
    }
    if !none.is_empty() {
        let of = |id: &LineId| job.sets[id.set].specs.get(id.line);
        let named: Vec<&Spec> = none.iter().filter_map(of).collect();
        let mut finding = out.finding("job:none", format!("The quantity 0 stands at goods: {}.", words(&named)));
        finding.place = named.first().map(|spec| spec.place.clone());
        finding.lines = none;
        finding.priced_as = "none of them".to_owned();
        finding.answers = vec![Answer::new("none", Effect::Nothing), by_hand("another number, to be written into the schedule")];
        finding.help = "ask whether the goods are left out or the number was lost".to_owned();
        out.say(finding);
    }
}

/// The number of doors, if all that is too much can be shared among them and is then what a door may have.
fn totals(job: &Job, set: usize, over: &[&Spec]) -> Option<usize> {
    let doors = job.doors(set).fold(0usize, |sum, door| sum.saturating_add(door.count as usize));
    let leaves = job.doors(set).map(|door| door.leaves).max()?;
    let many = Decimal::from(doors);
    let shared = |spec: &&Spec| {
        let most = spec.category.and_then(|category| facts::of(category)?.most);
        let each = spec.quantity / many;
        each.fract().is_zero() && most.is_some_and(|most| each <= Decimal::from(most) * Decimal::from(leaves))
    };
    (doors > 1 && over.iter().all(shared)).then_some(doors)
}

fn words(specs: &[&Spec]) -> String {
    let named: Vec<String> = specs.iter().take(6).map(|spec| format!("\"{}\"", spec.words())).collect();
    let more = specs.len().saturating_sub(6);
    named.join("; ") + &if more > 0 { format!("; and {more} more") } else { String::new() }
}

fn ask(job: &Job, out: &mut Out, set: usize, specs: &[&Spec], about: &str, says: String) {
    let lines: Vec<LineId> = specs.iter().map(|spec| spec.id).collect();
    let finding = out.about_lines(job, set, &lines, job.numbers(set), about, says);
    out.say(Finding {
        priced_as: "as written".to_owned(),
        answers: vec![Answer::new("as written", Effect::Nothing), by_hand("another number, to be written into the schedule")],
        help: "ask how many one opening has, and correct the schedule".to_owned(),
        ..finding
    });
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;

    fn said(text: &str) -> Vec<String> {
        let job = completed(text);
        job.findings.iter().filter(|finding| finding.code == super::RULE.page.code).map(|f| f.says.clone()).collect()
    }

    #[test]
    fn parts_none_and_totals_are_asked_about() {
        let doors = "door 101 36x84 hm; door 102 36x84 hm; door 103 36x84 hm; door 104 36x84 hm; ";
        for (lines, asked) in [
            ("hinge 3; closer 0.5", "A part of a good"),
            ("hinge 3; closer 0", "The quantity 0"),
            ("hinge 12; closer 4", "the totals of the set may be meant"),
            ("hinge 45; closer 1", "More than a single door has: \"hinge 45\"."),
        ] {
            let said = said(&format!("{doors}{lines}"));
            assert!(said.len() == 1 && said[0].contains(asked), "{lines}: {said:?}");
        }
        for lines in ["hinge 4; silencer 3; stop 2", "hinge 3; keying 40", "hinge 3 leaf; closer 1 leaf"] {
            assert_eq!(said(&format!("{doors}{lines}")), Vec::<String>::new(), "{lines}");
        }
    }
}
