//! What goods of one line share. Hinges named twice: the second have what was said of the first, and are some of them when the line does not
//! add them up. "1-1/2 pr BB hinges 4-1/2 x 4-1/2 652, 1 ETW": of three hinges one has wires. Goods told apart by their names:
//! a count of one is one of each, and a finish or a remark at the end is said of all.

use std::ops::Range;

use rust_decimal::Decimal;

use super::claim::Claims;
use super::meaning::{ANY, Categories, only};
use super::normal::Normal;
use super::reading::{Doubt, Heard, Reading, Remark, RemarkKind};
use super::whose::LED_TO;
use crate::evidence::{By, Evidence};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::facts;

/// A word that is the finish of some goods as it stands: the colour of a seal.
#[derive(Debug)]
pub struct Colour {
    /// Where it stands.
    span: Range<usize>,
    /// Of which goods.
    categories: Categories,
    /// The finish.
    value: Value,
}

/// The colours that a line names.
pub fn colours(claims: &Claims, uniform: &Normal) -> Vec<Colour> {
    let mut all = Vec::new();
    for claim in &claims.list {
        for meaning in claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings) {
            let finish = meaning.sets.iter().find(|set| set.attribute == names::FINISH);
            let value = finish.and_then(|set| set.values.first()).filter(|_| meaning.categories != ANY);
            if let Some(value) = value {
                let span = uniform.original(claims.span(claim));
                all.push(Colour { span, categories: meaning.categories, value: value.clone() });
            }
        }
    }
    all
}

/// Shares what the readings of one line have in common.
pub fn among(readings: &mut [Reading], text: &str, (by_name, unnamed): (bool, bool), colours: &[Colour]) {
    if by_name && readings.len() > 1 {
        return named(readings, text, colours);
    }
    supply_at_end(readings, text);
    if unnamed {
        further(readings, text);
        return finish_of_all(readings, colours);
    }
    let hinge = |reading: &Reading| reading.category.found() == Some(&Category::Hinge);
    let wired = |reading: &Reading| reading.attributes.contains_key(&names::CONDUCTORS);
    // Hinges without wires that have the name of those before.
    if readings.len() > 1 && readings.iter().all(|reading| hinge(reading) && !wired(reading)) {
        further(readings, text);
    }
    let [first, second] = readings else { return };
    let continuous = |reading: &Reading| reading.category.found() == Some(&Category::ContinuousHinge);
    let hung = hinge(first) && hinge(second) || continuous(first) && continuous(second);
    if !hung || wired(first) || !wired(second) {
        return;
    }
    inherit(first, second);
    let (Some(all), Some(some)) = (first.quantity.amount, second.quantity.amount) else { return };
    let Some(evidence) = second.quantity.evidence.clone() else { return };
    let before = text.get(..evidence.span.start).unwrap_or("").trim_end().trim_end_matches('(').trim_end();
    let added = ADDED.iter().any(|sign| before.ends_with(sign));
    if added || some >= all || some <= Decimal::ZERO {
        return;
    }
    first.quantity.amount = Some(all - some);
    let says = format!(
        "{some} of the {all} hinges is read as the one with wires, and {} as plain; write \"plus\" or a line of its own if it comes \
         on top",
        all - some
    );
    second.doubts.push(Doubt { code: "one-of-them", says, span: evidence.span, attribute: None });
}

/// Whether others supply what is said so.
fn of_others(kind: RemarkKind) -> bool {
    matches!(kind, RemarkKind::NotUsed | RemarkKind::ByOthers | RemarkKind::NotInContract)
}

/// "2 hinges, 1 closer, NIC": what a list of counted goods ends with is read of the last, and may be said of each. A reader
/// by others at the end of a list says nothing of the hinges before it.
fn supply_at_end(readings: &mut [Reading], text: &str) {
    let [before @ .., last] = readings else { return };
    let Some(remark) = last.remarks.iter().find(|remark| of_others(remark.kind)) else { return };
    let span = remark.evidence.span.clone();
    let Some(name) = last.named_at().filter(|name| name.end <= span.start) else { return };
    let ends = !text.get(span.end..).unwrap_or_default().contains(char::is_alphanumeric);
    let parted = text.get(name.end..span.start).unwrap_or_default().contains([',', ';']);
    let wired = last.category.found().is_some_and(|category| LED_TO & only(*category) != 0);
    let counted = |reading: &Reading| reading.quantity.amount.is_some() && reading.named_at().is_some();
    let own = |reading: &Reading| reading.remarks.iter().any(|remark| of_others(remark.kind));
    if !ends || wired && !parted || !before.iter().all(counted) || before.iter().any(own) {
        return;
    }
    let words = text.get(span.clone()).unwrap_or_default().trim();
    let says = format!("\"{words}\" at the end of the list is read of the last good, and may be said of this one too");
    for reading in before {
        reading.doubts.push(Doubt { code: "remark-of-whom", says: says.clone(), span: span.clone(), attribute: None });
    }
}

/// "4 hinges standard weight, 1 heavy weight": one more, or one of the four.
fn further(readings: &mut [Reading], text: &str) {
    for place in 1..readings.len() {
        let (before, behind) = readings.split_at_mut(place);
        let some = &behind[0];
        let (Some(name), Some(count)) = (some.named_at(), some.quantity.evidence.as_ref()) else { continue };
        let added = ADDED.iter().any(|sign| text.get(..count.span.start).unwrap_or("").trim_end().ends_with(sign));
        let first = before.iter_mut().find(|first| first.named_at().as_ref() == Some(&name));
        let Some(first) = first.filter(|_| name.start < count.span.start && !added) else { continue };
        let (Some(all), Some(few)) = (first.quantity.amount, some.quantity.amount) else { continue };
        if few >= all || few <= Decimal::ZERO {
            continue;
        }
        let says = format!(
            "\"{}\" behind {} of the goods may count so many more of another kind, or so many of the {}",
            text.get(count.span.clone()).unwrap_or("").trim(),
            all.normalize(),
            all.normalize(),
        );
        first.doubts.push(Doubt { code: "further-count", says, span: count.span.clone(), attribute: None });
    }
}

/// What stands before a count that comes on top.
const ADDED: [&str; 4] = ["&", "+", "and", "plus"];

/// "10 wall stops and 5 floor 626": a finish that only one of such goods has is said of all.
fn finish_of_all(readings: &mut [Reading], colours: &[Colour]) {
    let look = |reading: &Reading| reading.attributes.get(&names::LOOK).filter(|look| look.found().is_some()).cloned();
    let mut looks = readings.iter().filter_map(look);
    let (Some(look), None) = (looks.next(), looks.next()) else { return };
    readings.iter_mut().for_each(|reading| share_end(reading, (Some(&look), colours), &[]));
}

/// Goods that one line joins by their names.
fn named(readings: &mut [Reading], text: &str, colours: &[Colour]) {
    let titles: Vec<String> = readings.iter().filter_map(title).map(str::to_lowercase).collect();
    let says = format!("The line names {} goods: {}; each is a line of its own.", readings.len(), titles.join(", "));
    let spans = || readings.iter().filter_map(Reading::named_at);
    let start = spans().map(|span| span.start).min().unwrap_or(0);
    let span = start..spans().map(|span| span.end).max().unwrap_or(start);
    let ends = readings.last().map(|last| {
        let look = last.attributes.get(&names::LOOK).filter(|look| look.found().is_some()).cloned();
        // "Exit device w/ existing mullion to remain": what stands before the name of the last is said of that alone.
        let name = last.named_at().unwrap_or(0..0);
        let existing = |remark: &Remark| remark.kind == RemarkKind::Existing;
        let of_last = last.remarks.iter().any(|one| existing(one) && one.evidence.span.end <= name.start);
        let own = |remark: &&Remark| {
            of_others(remark.kind) && is_own(last, &remark.evidence, text) || existing(remark) && of_last
        };
        let shared: Vec<Remark> = last.remarks.iter().filter(|remark| !own(remark)).cloned().collect();
        (look, shared)
    });
    share_hand(readings);
    let count = readings[0].quantity.clone();
    let single = count.amount == Some(Decimal::ONE) && count.by_leaves.is_none();
    let last = readings.len() - 1;
    for (place, reading) in readings.iter_mut().enumerate() {
        if place > 0 && single && reading.quantity.amount.is_none() {
            reading.quantity = count.clone();
        }
        if let Some((look, remarks)) = ends.as_ref().filter(|_| place < last) {
            share_end(reading, (look.as_ref(), colours), remarks);
        }
        if place == 0 && span.start < span.end {
            let doubt = Doubt { code: "several-goods", says: says.clone(), span: span.clone(), attribute: None };
            reading.doubts.push(doubt);
        }
    }
}

/// "Wall stop, kick plate not required", "strike, power supply by others": what stands right behind the last good is said of that alone, unless "and" joins it
/// to the ones before or a comma parts the two.
fn is_own(last: &Reading, remark: &Evidence, text: &str) -> bool {
    let Some(name) = last.named_at().filter(|name| name.end <= remark.span.start) else { return false };
    let between = text.get(name.end..remark.span.start).unwrap_or_default();
    let before = text.get(..name.start).unwrap_or_default().trim_end().to_lowercase();
    let with = before.ends_with(" with") || before.ends_with("w/");
    !between.contains([',', ';', '-', '(']) && (with || before.ends_with([',', ';']))
}

fn title(reading: &Reading) -> Option<&'static str> {
    let category = match &reading.category {
        Heard::Found(category, _) => *category,
        Heard::Ambiguous(all) => all.first()?.0,
        Heard::Absent => return None,
    };
    facts::of(category).map(|facts| facts.title)
}

/// The hand at the end of the line is that of the door: each of the goods that has hands has it.
fn share_hand(readings: &mut [Reading]) {
    let mut hands = readings.iter().filter_map(|reading| reading.attributes.get(&names::HAND)?.found().cloned());
    let last = readings.last().and_then(|last| last.attributes.get(&names::HAND)).cloned();
    let (Some(_), None, Some(Heard::Found(value, evidence))) = (hands.next(), hands.next(), last) else { return };
    let by = By::Context("the hand at the end of the line".into());
    for reading in readings {
        let evidence = Evidence { span: evidence.span.clone(), by: by.clone() };
        reading.attributes.insert_new(names::HAND, Heard::Found(value.clone(), evidence));
    }
}

/// What stands at the end of the line and holds for the goods before it too.
fn share_end(reading: &mut Reading, (look, colours): (Option<&Heard<Value>>, &[Colour]), remarks: &[Remark]) {
    if let Some(Heard::Found(value, evidence)) = look
        && ![names::FINISH, names::LOOK].iter().any(|name| reading.attributes.contains_key(name))
    {
        let by = By::Context("the finish at the end of the line".into());
        let category = reading.category.found().copied();
        let of_these = |colour: &&Colour| {
            colour.span == evidence.span && category.is_some_and(|category| colour.categories & only(category) != 0)
        };
        // "Smoke gasketing, head, jambs and meeting stiles, black": the seal is of that colour, not plated.
        if let Some(colour) = colours.iter().find(of_these) {
            let evidence = Evidence { span: evidence.span.clone(), by: by.clone() };
            reading.attributes.insert(names::FINISH, Heard::Found(colour.value.clone(), evidence));
        }
        let evidence = Evidence { span: evidence.span.clone(), by };
        reading.attributes.insert(names::LOOK, Heard::Found(value.clone(), evidence));
    }
    for remark in remarks.iter().filter(|remark| remark.kind != RemarkKind::Other) {
        if !reading.remarks.contains(remark) {
            reading.remarks.push(remark.clone());
        }
    }
}

/// What is said of the first and not of the second.
fn inherit(first: &Reading, second: &mut Reading) {
    let by = second.quantity.evidence.as_ref().map_or(0..0, |evidence| evidence.span.clone());
    let from = || Evidence { span: by.clone(), by: By::Context("the hinges named before".into()) };
    for (attribute, heard) in &first.attributes {
        let copy = match heard {
            Heard::Found(value, _) => Heard::Found(value.clone(), from()),
            Heard::Ambiguous(all) => Heard::Ambiguous(all.iter().map(|(value, _)| (value.clone(), from())).collect()),
            Heard::Absent => continue,
        };
        second.attributes.insert_new(*attribute, copy);
    }
}
