//! Counts under "each to have" that only a whole pair can have.

use std::collections::HashSet;

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::place::Place;
use crate::read::schedule::Basis;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::{facts, hinge};
use crate::understand::reading::Unit;

use super::{hinge_count, quantity_improbable};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "leaf-or-pair",
        Kind::Question,
        Weight::Goods,
        "For each leaf, or for each pair",
        "the goods of a set stand under \"each to have\" or \"each door to have\", or a line says \"each leaf\", all its doors are pairs, and the counts are those of a whole pair: the hinges of both leaves, or one more on each, the continuous hinges of both leaves or, where no hinges stand there, more than a leaf can have and nothing that only one leaf would have",
        "the counts of the set are read for each opening, and it is asked; a mullion, a coordinator and a threshold count once for the opening in any case, which is told, and so are hinges of both leaves where the heading names its doors and no good that each leaf has stands there once; a threshold as long as one leaf stays for each leaf",
        "",
        ("common practice", "common practice"),
        (
            "six hinges and two exit devices under \"EACH TO HAVE\" on pairs of doors",
            "three hinges and one exit device there",
        ),
    ),
    run,
    fires: "door 101 72x84 hm pair; hinge 6 above=leaf; exit-device 2 type=rim above=leaf; mullion 1 above=leaf; closer 2 above=leaf",
    quiet: "door 101 72x84 hm pair; hinge 3 above=leaf; exit-device 1 type=rim above=leaf; closer 1 above=leaf",
};

/// What an opening has once, however many leaves.
const ONCE: &[Category] = &[Category::Mullion, Category::Coordinator, Category::Threshold];

/// What only pairs have.
const OF_PAIRS: &[Category] = &[Category::Coordinator, Category::FlushBolt, Category::Mullion, Category::Astragal];

/// So much longer than its leaf a threshold may be that lies under one leaf.
const ABOUT: Inches = Inches::whole(4);

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let above = above(job, set);
        let under: Vec<&Spec> = job.lines(set).filter(|spec| !above.is_empty() && is_under(&above, spec)).collect();
        let own: Vec<&Spec> = job.lines(set).filter(|spec| is_of_each(spec)).collect();
        if under.is_empty() && own.is_empty() {
            continue;
        }
        let doors: Vec<&Door> = job.doors(set).collect();
        let pairs = !doors.is_empty() && doors.iter().all(|door| door.is_pair());
        let both: Vec<&Spec> = own.into_iter().filter(|spec| pairs && is_of_both(spec, &doors)).collect();
        if !both.is_empty() {
            out.acts.extend(both.iter().map(|spec| Act::Basis { line: spec.id, basis: Basis::Opening }));
            ask(job, out, set, &both, &both, false);
        }
        let shown = if pairs { shown(&under, &doors) } else { Vec::new() };
        let once: Vec<&Spec> = under.iter().copied().filter(|spec| is_once(spec, &doors)).collect();
        let of_pairs: Vec<&Spec> = under.iter().copied().filter(|spec| !spec.is_any(ONCE)).collect();
        if !shown.is_empty() {
            out.acts.extend(of_pairs.iter().map(|spec| Act::Basis { line: spec.id, basis: Basis::Opening }));
            // `FOR DOORS 115, 116` and `EACH TO HAVE` below: each of these doors has the hinges of both its leaves.
            let named = job.schedule.sets.get(set).is_some_and(|set| !set.openings.is_empty());
            let hinged = shown.iter().any(|spec| spec.category == Some(Category::Hinge));
            ask(job, out, set, &of_pairs, &shown, named && hinged && !of_pairs.iter().any(|spec| is_odd(spec)));
        }
        out.acts.extend(once.iter().map(|spec| Act::Basis { line: spec.id, basis: Basis::Opening }));
        if !once.is_empty() && doors.iter().any(|door| door.is_pair()) {
            tell(job, out, set, &once);
        }
    }
}

/// Whether the count of a line is said of each leaf by the words above it alone.
fn is_under(above: &HashSet<&Place>, spec: &Spec) -> bool {
    let quantity = &spec.reading.quantity;
    let alone = quantity.amount.is_some() && quantity.basis.is_none() && quantity.by_leaves.is_none();
    alone && above.contains(&spec.place)
}

/// Of these a leaf has one, whatever the door.
const ONE_A_LEAF: &[Category] = &[
    Category::ContinuousHinge,
    Category::ExitDevice,
    Category::Closer,
    Category::OverheadStop,
    Category::Operator,
    Category::Sweep,
    Category::DoorBottom,
];

/// Whether a line counts by its own words for each leaf, and by them alone.
fn is_of_each(spec: &Spec) -> bool {
    let quantity = &spec.reading.quantity;
    quantity.basis == Some(Basis::Leaf) && quantity.by_leaves.is_none() && quantity.conflict.is_none()
}

/// Whether the count of such a line is that of both leaves: "2 closers each leaf", "6 hinges each leaf" at 7-0.
fn is_of_both(spec: &Spec, doors: &[&Door]) -> bool {
    let hinges = spec.category == Some(Category::Hinge) && are_of_both_leaves(&[spec], doors);
    hinges || spec.is_any(ONE_A_LEAF) && spec.reading.quantity.amount == Some(Decimal::TWO)
}

/// Where the lines of a set stand that words above them count for each leaf.
fn above<'j>(job: &Job<'j>, set: usize) -> HashSet<&'j Place> {
    let lines = job.schedule.sets.get(set).map(|set| set.lines.as_slice()).unwrap_or_default();
    lines.iter().filter(|line| line.basis == Some(Basis::Leaf)).map(|line| &line.place).collect()
}

/// The lines that show by their counts that the set is written for whole pairs. Where hinges stand under the words, these
/// show it or nothing does: one odd count beside the hinges of one leaf is a slip in its own line, which is asked there.
fn shown<'s>(under: &[&'s Spec], doors: &[&Door]) -> Vec<&'s Spec> {
    let hinges: Vec<&Spec> = under.iter().copied().filter(|spec| spec.category == Some(Category::Hinge)).collect();
    if !hinges.is_empty() {
        let plain: Vec<&Spec> = hinges.iter().copied().filter(|spec| hinge_count::is_plain(spec)).collect();
        let both = |lines: &[&Spec]| !lines.is_empty() && are_of_both_leaves(lines, doors);
        let more = |spec: &&&Spec| !spec.is_any(ONCE) && quantity_improbable::is_more_than_a_leaf(spec);
        let others: Vec<&Spec> =
            under.iter().filter(|spec| spec.category != Some(Category::Hinge)).filter(more).copied().collect();
        // Six hinges on a pair of tall leaves: more than one leaf has, fewer than the rule gives two, and what else is counted,
        // or stands there at all, is of a pair.
        // Where a closer or a device of one leaf stands there once, the words hold, unless what only pairs have stands there too.
        let once = |spec: &&Spec| spec.is_any(ONE_A_LEAF) && spec.reading.quantity.amount == Some(Decimal::ONE);
        let pair = || under.iter().any(|spec| spec.is_any(OF_PAIRS)) || !under.iter().any(once) && !others.is_empty();
        let heavy = |lines: &[&Spec]| !lines.is_empty() && are_of_both_heavy_leaves(lines, doors);
        let all = both(&plain) || both(&hinges) || heavy(&plain) || heavy(&hinges);
        let shown = all || are_more_than_a_leaf_s(&hinges, doors) && pair();
        return if shown { hinges.iter().copied().chain(others).collect() } else { Vec::new() };
    }
    // One continuous hinge hangs a leaf: two of them are those of both, whatever stands there once, as a lock does.
    let continuous: Vec<&Spec> =
        under.iter().copied().filter(|spec| spec.category == Some(Category::ContinuousHinge)).collect();
    let of_both = |door: &&Door| door.is_pair() && pieces(&continuous) == Decimal::from(door.leaves);
    if !continuous.is_empty() && doors.iter().all(of_both) {
        return continuous;
    }
    let of_leaves = |spec: &&Spec| {
        !spec.is_any(ONCE) && spec.category.and_then(facts::of).is_some_and(|facts| facts.basis == "leaf")
    };
    let counted: Vec<&Spec> = under.iter().copied().filter(of_leaves).collect();
    let agree = counted.iter().all(|spec| spec.reading.quantity.amount.is_some_and(|amount| amount >= Decimal::TWO));
    if agree && counted.iter().any(|spec| quantity_improbable::is_more_than_a_leaf(spec)) {
        counted
    } else {
        Vec::new()
    }
}

/// Whether goods that each leaf has are so many that they are not those of two leaves.
fn is_odd(spec: &Spec) -> bool {
    let of_leaves = spec.category.and_then(facts::of).is_some_and(|facts| facts.basis == "leaf");
    let amount = spec.reading.quantity.amount.unwrap_or(Decimal::TWO);
    of_leaves && spec.category != Some(Category::Hinge) && !(amount % Decimal::TWO).is_zero()
}

/// Whether hinges are together those of both leaves at each door.
fn are_of_both_leaves(lines: &[&Spec], doors: &[&Door]) -> bool {
    let all = pieces(lines);
    doors.iter().all(|door| all == of_a_leaf(door) * Decimal::from(door.leaves))
}

/// Whether hinges are together those of both leaves at each door, one more on each than the rule gives: heavy leaves have them,
/// and no leaf has twice as many.
fn are_of_both_heavy_leaves(lines: &[&Spec], doors: &[&Door]) -> bool {
    let all = pieces(lines);
    doors.iter().all(|door| all == of_a_leaf(door).saturating_add(Decimal::ONE) * Decimal::from(door.leaves))
}

/// Whether hinges are together an even number, more by two than one leaf has by the rule (a heavy leaf has one more) and no more
/// than two leaves have.
fn are_more_than_a_leaf_s(lines: &[&Spec], doors: &[&Door]) -> bool {
    let all = pieces(lines);
    let within =
        |door: &&Door| all > of_a_leaf(door) + Decimal::ONE && all <= of_a_leaf(door) * Decimal::from(door.leaves);
    (all % Decimal::TWO).is_zero() && doors.iter().all(within)
}

/// So many hinges a leaf of a door has by the rule; where no height is given, three: right up to 7-6.
fn of_a_leaf(door: &Door) -> Decimal {
    Decimal::from(door.height.map_or(3, hinge::count))
}

fn pieces(lines: &[&Spec]) -> Decimal {
    let pieces = |spec: &&Spec| {
        let quantity = &spec.reading.quantity;
        let each = if quantity.unit == Unit::Pair { Decimal::TWO } else { Decimal::ONE };
        quantity.amount.unwrap_or_default().saturating_mul(each)
    };
    lines.iter().map(pieces).fold(Decimal::ZERO, Decimal::saturating_add)
}

/// Whether an opening has it once. A threshold that is no longer than about a leaf lies under each leaf.
fn is_once(spec: &Spec, doors: &[&Door]) -> bool {
    let of_a_leaf = |length: Inches| {
        let pairs = || doors.iter().filter(|door| door.is_pair());
        let short = |door: &&Door| door.widest_leaf().is_some_and(|leaf| length <= leaf + ABOUT);
        pairs().next().is_some() && pairs().all(short)
    };
    let length = spec.value(names::LENGTH).and_then(Value::as_length);
    let short = spec.category == Some(Category::Threshold) && length.is_some_and(of_a_leaf);
    spec.is_any(ONCE) && !short
}

/// Says which goods are counted once though the words above them count each leaf.
fn tell(job: &Job, out: &mut Out, set: usize, once: &[&Spec]) {
    let says = format!(
        "Counted once for each opening, though the words above them say for each leaf or door: {}.",
        named(once)
    );
    let lines: Vec<LineId> = once.iter().map(|spec| spec.id).collect();
    let mut finding = out.about_lines(job, set, &lines, job.numbers_of(set, Door::is_pair), "once", says);
    finding.kind = Kind::Assumption;
    finding.help =
        "a pair has one of each; if the architect wants one for each leaf, write that into the line".to_owned();
    out.say(finding);
}

fn named(specs: &[&Spec]) -> String {
    let words: Vec<String> = specs.iter().take(4).map(|spec| format!("\"{}\"", spec.words())).collect();
    words.join("; ")
}

/// Asks for which the counts are, or says it where that is sure; `under`: the lines that are counted for each leaf if the words
/// hold.
fn ask(job: &Job, out: &mut Out, set: usize, under: &[&Spec], shown: &[&Spec], is_sure: bool) {
    let says = format!(
        "The counts are said to be for each leaf or door, and are those of a whole pair: {}. They were read for each pair.",
        named(shown)
    );
    let lines: Vec<LineId> = under.iter().map(|spec| spec.id).collect();
    let twice = under
        .iter()
        .map(|spec| Effect::Quantity { line: spec.id, quantity: spec.quantity.saturating_mul(Decimal::TWO) });
    let finding = out.about_lines(job, set, &lines, job.numbers(set), "pair", says);
    if is_sure {
        let help =
            "the heading names the doors, and the hinges are those of both leaves; check the other counts".to_owned();
        return out.say(crate::finding::Finding { kind: Kind::Assumption, help, ..finding });
    }
    out.say(crate::finding::Finding {
        priced_as: "for each pair, as the counts suggest".to_owned(),
        answers: vec![
            Answer::new("for each pair", Effect::Nothing),
            Answer::new("for each leaf, as the words say", Effect::Several(twice.collect())),
        ],
        help: "ask whether the counts are those of one leaf or of the whole pair".to_owned(),
        ..finding
    });
}

#[cfg(test)]
mod tests {
    use rust_decimal::Decimal;

    use crate::catalog::Catalog;
    use crate::complete::example::{self, completed, speaks};
    use crate::complete::spec::Completed;
    use crate::complete::{Answers, complete_by, rules};
    use crate::finding::Kind;
    use crate::read::schedule::Basis;
    use crate::terms::Terms;

    const PAIRS: &str = "door 101 72x84 hm pair; door 102 72x84 hm pair; ";

    fn bases(job: &Completed) -> Vec<Basis> {
        job.sets[0].specs.iter().map(|spec| spec.basis).collect()
    }

    #[test]
    fn an_odd_count_beside_the_hinges_of_a_leaf_is_a_slip_of_its_own_line() {
        for odd in ["closer 3 above=leaf", "exit-device 2 type=rim above=leaf"] {
            let rest = "hinge 3 above=leaf; exit-device 1 type=rim above=leaf; protection-plate 1 above=leaf";
            let job = completed(&format!("{PAIRS}{rest}; {odd}"));
            assert_eq!(bases(&job), [Basis::Leaf; 4], "{odd}");
            assert!(speaks(&job, "quantity-improbable") && !speaks(&job, "leaf-or-pair"), "{odd}");
        }
        // Taller leaves want four each: six are more than one of them has. Beside nothing of a pair, or in the number of one leaf,
        // the words hold.
        let tall = |rest: &str| bases(&completed(&format!("door 101 72x96 hm pair; {rest}")));
        assert_eq!(tall("hinge 6 above=leaf; flush-bolt 2 above=leaf; closer 2 above=leaf"), [Basis::Opening; 3]);
        assert_eq!(tall("hinge 4 above=leaf; flush-bolt 1 above=leaf; closer 1 above=leaf"), [Basis::Leaf; 3]);
        assert_eq!(tall("hinge 6 above=leaf; closer 2 above=leaf"), [Basis::Leaf; 2]);
        // One closer beside flush bolts: asked.
        assert_eq!(tall("hinge 6 above=leaf; flush-bolt 1 above=leaf; closer 1 above=leaf"), [Basis::Opening; 3]);
        assert_eq!(tall("hinge 6 above=leaf; closer 1 above=leaf"), [Basis::Leaf; 2]);
        let continuous = format!("{PAIRS}continuous-hinge 2 above=leaf; closer 2 above=leaf");
        assert_eq!(bases(&completed(&continuous)), [Basis::Opening; 2]);
        // Heavy leaves have one more: eight at 7-0 are those of both, as two continuous hinges are, whatever stands there once.
        for pair in [
            "hinge 8 above=leaf; flush-bolt 1 above=leaf; mortise-lock 1 function=F07 above=leaf",
            "hinge 8 above=leaf; exit-device 2 type=rim above=leaf; closer 2 above=leaf",
            "continuous-hinge 2 above=leaf; exit-device 1 type=rim above=leaf; exit-device 1 type=rim function=01 above=leaf",
            "continuous-hinge 2 above=leaf; mortise-lock 1 function=F07 above=leaf; closer 1 above=leaf",
        ] {
            let job = completed(&format!("{PAIRS}{pair}"));
            assert!(bases(&job).iter().all(|basis| *basis == Basis::Opening), "{pair}");
            assert!(speaks(&job, "leaf-or-pair"), "{pair}");
        }
        // Four on a leaf of 7-0 are those of one heavy leaf, and one continuous hinge is that of one.
        for leaf in ["hinge 4 above=leaf; closer 1 above=leaf", "continuous-hinge 1 above=leaf; closer 1 above=leaf"] {
            assert_eq!(bases(&completed(&format!("{PAIRS}{leaf}"))), [Basis::Leaf; 2], "{leaf}");
        }
        // The hinges of both leaves show it, wired ones among them or not; without hinges all of the lines do.
        for pair in ["hinge 6 above=leaf; closer 2 above=leaf", "hinge 5 above=leaf; hinge 1 conductors=8 above=leaf"] {
            let job = completed(&format!("{PAIRS}{pair}"));
            assert_eq!(bases(&job), [Basis::Opening; 2], "{pair}");
            assert!(speaks(&job, "leaf-or-pair"), "{pair}");
        }
        let devices = format!("{PAIRS}exit-device 2 type=rim above=leaf; closer 3 above=leaf");
        assert_eq!(bases(&completed(&devices)), [Basis::Opening; 2]);
        let device = format!("{PAIRS}exit-device 1 type=rim above=leaf; closer 3 above=leaf");
        assert_eq!(bases(&completed(&device)), [Basis::Leaf; 2]);
    }

    #[test]
    fn hinges_of_both_leaves_below_the_doors_of_the_heading_are_told() {
        let told = |names_doors: bool, rest: &str| {
            let (mut schedule, readings) = example::job(&format!("{PAIRS}{rest}"));
            if names_doors {
                schedule.sets[0].openings = vec!["101".into(), "102".into()];
            }
            let catalog = Catalog::embedded("2026-10-01").unwrap();
            let rules = (rules::RULES, &Default::default());
            let job = complete_by(rules, schedule, readings, &catalog, &Terms::default(), &Answers::new());
            let found = job.findings.into_iter().find(|finding| finding.code == "leaf-or-pair");
            found.map(|finding| finding.kind)
        };
        let hinged = "hinge 6 above=leaf; closer 2 above=leaf";
        assert_eq!(told(true, hinged), Some(Kind::Assumption));
        assert_eq!(told(false, hinged), Some(Kind::Question));
        for odd in
            ["exit-device 1 type=rim above=leaf; closer 2 above=leaf", "mortise-lock 1 above=leaf; closer 1 above=leaf"]
        {
            assert_eq!(told(true, &format!("hinge 6 above=leaf; {odd}")), Some(Kind::Question), "{odd}");
        }
        assert_eq!(
            told(true, "hinge 6 above=leaf; mortise-lock 1 above=leaf; closer 2 above=leaf"),
            Some(Kind::Assumption)
        );
        assert_eq!(told(true, "exit-device 2 type=rim above=leaf; closer 3 above=leaf"), Some(Kind::Question));
        assert_eq!(told(true, "hinge 3 above=leaf; closer 1 above=leaf"), None);
    }

    #[test]
    fn what_an_opening_has_once_is_told_and_a_threshold_of_a_leaf_stays() {
        let set = |more: &str| completed(&format!("{PAIRS}hinge 3 above=leaf; closer 1 above=leaf; {more}"));
        let short = set("threshold 1 length=36 above=leaf; mullion 1 above=leaf");
        assert_eq!(bases(&short)[2..], [Basis::Leaf, Basis::Opening]);
        let told: Vec<_> = short.findings.iter().filter(|finding| finding.code == "leaf-or-pair").collect();
        assert_eq!((told.len(), told[0].kind), (1, Kind::Assumption));
        assert!(told[0].says.contains("mullion") && !told[0].says.contains("threshold"), "{}", told[0].says);
        for whole in ["threshold 1 length=72 above=leaf", "threshold 1 above=leaf"] {
            assert_eq!(bases(&set(whole))[2], Basis::Opening, "{whole}");
        }
        assert_eq!(set("threshold 1 above=leaf").sets[0].specs[2].quantity, Decimal::ONE);
        // Single doors have one either way.
        let single = completed("door 101 36x84 hm; hinge 3 above=leaf; threshold 1 above=leaf");
        assert!(!speaks(&single, "leaf-or-pair"));
    }
}
