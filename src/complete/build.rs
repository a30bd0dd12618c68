//! Makes the specs that rules start from: one for each reading, with what the words say, the quantity and its basis.

use std::collections::BTreeMap;
use std::collections::BTreeSet;

use rust_decimal::Decimal;

use crate::evidence::Evidence;
use crate::finding::LineId;
use crate::read::schedule::{Basis, HardwareSet, Line};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::facts;
use crate::trade::rule_words;
use crate::understand::reading::{Condition, Heard, Quantity, Reading, RemarkKind, Unit};

use super::door::Door;
use super::left_out;
use super::named_again;
use super::reconcile::Matching;
use super::rooms_only;
use super::rules::function_by_kind;
use super::spec::{CompletedSet, From, Grade, Sourced, Spec, Status};

/// Code of the rule that picks one of several readings of a word until the user answers.
pub const AMBIGUOUS: &str = "ambiguous-word";

/// The sets as read, and the lines that are as good as not there.
pub fn sets(
    hardware: &[HardwareSet],
    readings: Vec<Vec<Vec<Reading>>>,
    matching: &Matching,
    (doors, numbers): (&[Door], &left_out::Numbers),
) -> (Vec<CompletedSet>, BTreeSet<LineId>) {
    let mut void = BTreeSet::new();
    let mut readings = readings.into_iter();
    let sets = hardware
        .iter()
        .enumerate()
        .map(|(index, set)| {
            let of_set = readings.next().unwrap_or_default();
            let openings = matching.served.get(index).cloned().unwrap_or_default();
            let mut specs: Vec<Spec> = Vec::new();
            let mut from: Vec<(usize, usize)> = Vec::new();
            for (number, (line, of_line)) in set.lines.iter().zip(of_set).enumerate() {
                for (place, reading) in of_line.into_iter().enumerate() {
                    from.push((number, place));
                    let id = LineId { set: index, line: specs.len() };
                    let spec = spec(id, set, line, reading, &openings, (doors, numbers), &mut void);
                    specs.push(spec);
                }
            }
            let (id, title, place) = (set.id.clone(), set.title.clone(), set.place.clone());
            let mut set = CompletedSet { id, title, place, openings, specs };
            named_again::leave_out(&mut set, &from, doors, &mut void);
            set
        })
        .collect();
    (sets, void)
}

fn spec(
    id: LineId,
    set: &HardwareSet,
    line: &Line,
    mut reading: Reading,
    openings: &[usize],
    (doors, numbers): (&[Door], &left_out::Numbers),
    void: &mut BTreeSet<LineId>,
) -> Spec {
    let category = match &reading.category {
        Heard::Found(category, _) => Some(*category),
        Heard::Ambiguous(candidates) => likely(&candidates.iter().map(|(category, _)| *category).collect::<Vec<_>>()),
        Heard::Absent => None,
    };
    rooms_only::hear(&mut reading, line, openings, doors);
    let excluded = excluded(set, line, &reading, numbers, id, void);
    let served: BTreeSet<usize> = openings.iter().copied().collect();
    let left = left_out::of_line(&line.wording, &reading, numbers);
    let others: BTreeSet<usize> = left.others.into_iter().filter(|door| served.contains(door)).collect();
    let mut left_out: BTreeSet<usize> = left.doors.into_iter().filter(|door| served.contains(door)).collect();
    agrees_at_pairs(&mut reading.quantity, openings, doors);
    let (mut quantity, mut unit, mut basis) = quantity(category, &reading.quantity, line.basis);
    // A top bolt by itself is no set.
    if unit == Unit::Set && reading.quantity.amount.is_none() && rule_words::is_top_bolt(&line.wording.text) {
        unit = Unit::Each;
    }
    let mut at = by_leaves(&reading.quantity, openings, doors);
    if let Some((single, pair)) = category.and_then(|category| pieces(category, &reading.quantity)) {
        let pairs = openings.iter().filter_map(|index| doors.get(*index)).filter(|door| door.is_pair());
        at = pairs.map(|door| (door.index, pair)).collect();
        (quantity, unit, basis) = (single, Unit::Each, Basis::Opening);
    }
    // "1 per pair": a single door has none.
    left_out.extend(at.iter().filter(|(_, count)| count.is_zero()).map(|(opening, _)| *opening));
    let mut attributes = BTreeMap::new();
    for (attribute, heard) in &reading.attributes {
        let sourced = match heard {
            Heard::Found(value, evidence) => Sourced { value: value.clone(), from: From::Said(evidence.clone()) },
            Heard::Ambiguous(candidates) => match first_of(category, *attribute, &reading, candidates) {
                Some(value) => Sourced { value, from: From::Rule(AMBIGUOUS, Grade::Ask) },
                None => continue,
            },
            Heard::Absent => continue,
        };
        attributes.insert(*attribute, sourced);
    }
    Spec {
        id,
        place: line.place.clone(),
        wording: line.wording.clone(),
        reading: reading.into(),
        category,
        attributes,
        quantity,
        unit,
        basis,
        at,
        left_out,
        others,
        varies: BTreeMap::new(),
        status: Status::Settled,
        excluded,
        selection: Default::default(),
        findings: Vec::new(),
    }
}

/// What is taken of several values until the user answers: the first, of functions the first that such locks have.
fn first_of(
    category: Option<Category>,
    attribute: Attr,
    reading: &Reading,
    candidates: &[(Value, Evidence)],
) -> Option<Value> {
    let functions = match category {
        Some(category) if attribute == names::FUNCTION => function_by_kind::of(reading, category),
        _ => Vec::new(),
    };
    functions.into_iter().next().or_else(|| candidates.first().map(|(value, _)| value.clone()))
}

/// What holds a door open at wall or floor.
const HOLDERS: [Category; 2] = [Category::KickDownHolder, Category::MagneticHolder];

/// Which of several categories is priced until the user answers: the first, but a stop on wall or floor before one overhead
/// (makers' articles on door stops: wall before floor before overhead).
pub fn likely(candidates: &[Category]) -> Option<Category> {
    let stop = candidates.contains(&Category::Stop) && candidates.contains(&Category::OverheadStop);
    // A holder of which no word says that it is magnetic is the plain one.
    let plain = candidates.iter().find(|category| **category == Category::KickDownHolder);
    let holders = candidates.iter().all(|category| HOLDERS.contains(category));
    if stop { Some(Category::Stop) } else { plain.filter(|_| holders).or(candidates.first()).copied() }
}

/// Why a line is left out: struck through, set not used, by others, not in contract, existing, not used.
fn excluded(
    set: &HardwareSet,
    line: &Line,
    reading: &Reading,
    numbers: &left_out::Numbers,
    id: LineId,
    void: &mut BTreeSet<LineId>,
) -> Option<String> {
    if let Some(why) = &line.excluded {
        // What others supply is there, as where the row has a quantity; what is struck out or not used is not.
        let theirs = |kind| matches!(kind, RemarkKind::ByOthers | RemarkKind::NotInContract | RemarkKind::Existing);
        let said = line.wording.text.to_lowercase().contains(&why.to_lowercase());
        let of_all = rule_words::speak("all-of-an-opening", &line.wording.text);
        if of_all || !(said && reading.remarks.iter().any(|remark| theirs(remark.kind))) {
            void.insert(id);
        }
        return Some(why.clone());
    }
    if let Some(mark) = line.mark.as_ref().filter(|mark| mark.out) {
        // An alternate is no part of what the base bid needs.
        if crate::read::alternate(&mark.words).is_some() {
            void.insert(id);
        }
        return Some(mark.words.clone());
    }
    if let Some(why) = &set.not_used {
        void.insert(id);
        return Some(why.clone());
    }
    let words = |evidence: &crate::evidence::Evidence| {
        line.wording.text.get(evidence.span.clone()).filter(|words| !words.is_empty()).map(str::to_owned)
    };
    for remark in &reading.remarks {
        // `OMIT AT 111` leaves the line where it is at every other door.
        let left = || left_out::of_remark(&line.wording, reading, remark, numbers);
        let at = |condition: &Condition| condition.denied && condition.follows(&remark.evidence, &line.wording.text);
        if left_out::leaves_out(remark.kind) && (reading.conditions.iter().any(at) || !left().is_empty()) {
            continue;
        }
        let plain = match remark.kind {
            RemarkKind::ByOthers => "by others",
            RemarkKind::NotInContract => "not in contract",
            RemarkKind::Existing => "existing to remain",
            RemarkKind::NotUsed => {
                void.insert(id);
                "not used"
            }
            _ => continue,
        };
        // `Hardware existing to remain - new core only`: what is new is supplied.
        let new = remark.evidence.span.end..;
        let new = rule_words::speak("new-goods", line.wording.text.get(new).unwrap_or_default());
        if remark.kind == RemarkKind::Existing && (new || of_the_rest(reading, &line.wording.text)) {
            continue;
        }
        return Some(words(&remark.evidence).unwrap_or_else(|| plain.to_owned()));
    }
    None
}

/// "Mortise lock, re-use remaining hardware": that it stays is said of the rest, not of the good that the line names.
pub(super) fn of_the_rest(reading: &Reading, text: &str) -> bool {
    let mut stays = reading.remarks.iter().filter(|remark| remark.kind == RemarkKind::Existing);
    let of_rest = |end: usize| {
        let next = text.get(end..).unwrap_or_default().split_whitespace().next();
        next.is_some_and(|word| rule_words::is("of-the-rest", word))
    };
    !matches!(reading.category, Heard::Absent) && stays.any(|remark| of_rest(remark.evidence.span.end))
}

/// Quantity, unit and basis. A quantity that is written counts for the opening unless the words say otherwise; one that is
/// not written is one, for whatever the category is usual per.
fn quantity(category: Option<Category>, read: &Quantity, above: Option<Basis>) -> (Decimal, Unit, Basis) {
    let usual = category.and_then(facts::of).map_or(Basis::Opening, |facts| match facts.basis {
        "leaf" => Basis::Leaf,
        "lot" => Basis::Lot,
        _ => Basis::Opening,
    });
    let said = read.basis.or(above);
    match read.amount {
        Some(amount) => {
            let lot = usual == Basis::Lot && read.unit == Unit::Lot;
            (amount, read.unit, said.unwrap_or(if lot { Basis::Lot } else { Basis::Opening }))
        }
        None => {
            let by_sets = category.and_then(facts::of).is_some_and(|facts| facts.set_of > 1);
            (Decimal::ONE, if by_sets { Unit::Set } else { read.unit }, said.unwrap_or(usual))
        }
    }
}

/// The pieces for a single door and for a pair, of goods that go by a number of pieces and are given by the set or without a
/// number.
pub fn pieces(category: Category, read: &Quantity) -> Option<(Decimal, Decimal)> {
    let (single, pair) = facts::of(category)?.pieces?;
    let sets = match read.amount {
        Some(amount) if read.unit == Unit::Set && read.by_leaves.is_none() => amount,
        Some(_) => return None,
        None => Decimal::ONE,
    };
    Some((sets.saturating_mul(single.into()), sets.saturating_mul(pair.into())))
}

/// "6" in the column of quantities and "3 per leaf" in the words say the same where every door of the set is a pair.
fn agrees_at_pairs(read: &mut Quantity, openings: &[usize], doors: &[Door]) {
    let Some((each, _)) = read.conflict.as_ref().filter(|_| read.conflict_of_leaf) else { return };
    let pairs = || openings.iter().all(|index| doors.get(*index).is_some_and(|door| door.leaves == 2));
    if read.amount == Some(*each * Decimal::TWO) && !openings.is_empty() && pairs() {
        (read.amount, read.basis, read.conflict) = (Some(*each), Some(Basis::Leaf), None);
    }
}

/// "3 per single door, 4 per pair": the pairs get their own quantity.
fn by_leaves(read: &Quantity, openings: &[usize], doors: &[Door]) -> BTreeMap<usize, Decimal> {
    let Some((single, pair)) = read.by_leaves else { return BTreeMap::new() };
    openings
        .iter()
        .filter_map(|index| doors.get(*index))
        .map(|door| (door.index, if door.is_pair() { pair } else { single }))
        .collect()
}
