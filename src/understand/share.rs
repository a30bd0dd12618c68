//! Hinges named twice in a line: the second have what was said of the first, and are some of them when the line does not
//! add them up. "1-1/2 pr BB hinges 4-1/2 x 4-1/2 652, 1 ETW": of three hinges one has wires.

use rust_decimal::Decimal;

use super::reading::{Doubt, Heard, Reading};
use crate::evidence::{By, Evidence};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// Shares what two readings of one line have in common.
pub fn among(readings: &mut [Reading], text: &str) {
    let [first, second] = readings else { return };
    let hinge = |reading: &Reading| reading.category.found() == Some(&Category::Hinge);
    let wired = |reading: &Reading| reading.attributes.contains_key(&names::CONDUCTORS);
    if !hinge(first) || !hinge(second) || wired(first) || !wired(second) {
        return;
    }
    inherit(first, second);
    let (Some(all), Some(some)) = (first.quantity.amount, second.quantity.amount) else { return };
    let Some(evidence) = second.quantity.evidence.clone() else { return };
    let before = text.get(..evidence.span.start).unwrap_or("").trim_end().trim_end_matches('(').trim_end();
    let added = ["&", "+", "and", "plus"].iter().any(|sign| before.ends_with(sign));
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
        second.attributes.entry(*attribute).or_insert(copy);
    }
}
