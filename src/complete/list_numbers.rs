//! Numbers of flat price lists on a line: they name the good whether or not a noun stands beside them. Two makers may have the
//! same number; then the name of one on the line tells whose is meant.

use std::ops::Range;

use crate::catalog::{Catalog, Decoded};
use crate::evidence::{By, Evidence};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::{finish, type_number};
use crate::understand::reading::{Heard, Quantity, Reading};

use super::number_makers::place_of;
use super::numbers::{by_line, forget, hear, hear_category, take};

/// What a row has of its own finish is left to the words: one number may stand in the list in many.
const OF_FINISH: [Attr; 5] = [names::FINISH, names::LOOK, names::BASE, names::DESIGNATION, names::MAKER];

/// Reads the number of a list: in the cell of numbers, else among the words. False: the line has none.
pub(super) fn read(
    reading: &mut Reading,
    text: &str,
    (numbered, words): (Option<Range<usize>>, impl Iterator<Item = Range<usize>>),
    catalog: &Catalog,
) -> bool {
    if catalog.goods_in_lists() == 0 {
        return false;
    }
    let category = reading.category.found().copied();
    let of_span = |span: Range<usize>| {
        let listed = catalog.decode(text.get(span.clone())?).into_iter().filter(|found| catalog.is_listed(&found.line));
        let fitting = listed.filter(|found| category.is_none_or(|category| category == found.category));
        let found: Vec<Decoded> = fitting.collect();
        (!found.is_empty()).then_some((span, found))
    };
    let words = words.filter(|word| text.get(word.clone()).is_some_and(is_number));
    let Some((span, found)) = numbered.into_iter().chain(words).find_map(of_span) else { return false };
    let found = of_maker(reading, text, found);
    forget(reading, &span);
    count_anew(reading, text, &span);
    let by = |found: &Decoded| Evidence { span: span.clone(), by: by_line(&found.line, &found.entry) };
    hear_category(reading, found.iter().map(|found| (found.category, by(found))).collect());
    let Some(first) = found.first() else { return false };
    for (attribute, value) in first.attributes.iter().filter(|(attribute, _)| !OF_FINISH.contains(attribute)) {
        // What only some rows of the number say is not said of all.
        if found.iter().all(|other| other.attributes.get(attribute) == Some(value)) {
            hear(reading, *attribute, vec![(value.clone(), by(first))]);
        }
    }
    let mut lines: Vec<(Value, Evidence)> =
        found.iter().map(|found| (Value::Text(found.line.clone()), by(found))).collect();
    lines.sort_by(|(one, _), (other, _)| one.cmp(other));
    hear(reading, names::LINE, lines);
    take(reading, &span);
    let number = Value::text(text.get(span.clone()).unwrap_or_default());
    let said = Evidence { span, by: By::Grammar("catalog number") };
    reading.attributes.insert(names::DESIGNATION, Heard::Found(number, said));
    true
}

/// A count that was read in the number (`X271`: 271 times) is none; a whole number alone before it on the line is one.
fn count_anew(reading: &mut Reading, text: &str, number: &Range<usize>) {
    let is_inside = |by: &Evidence| number.start <= by.span.start && by.span.end <= number.end;
    if reading.quantity.evidence.as_ref().is_some_and(is_inside) {
        reading.quantity = Quantity::default();
    }
    if reading.quantity.conflict.as_ref().is_some_and(|(_, by)| is_inside(by)) {
        reading.quantity.conflict = None;
    }
    let before = text.get(..number.start).unwrap_or_default();
    let span = before.len() - before.trim_start().len()..before.trim_end().len();
    let amount = text.get(span.clone()).and_then(|amount| amount.parse::<u32>().ok());
    if let (None, Some(amount)) = (reading.quantity.amount, amount.filter(|amount| *amount > 0)) {
        take(reading, &span);
        reading.quantity.amount = Some(amount.into());
        reading.quantity.evidence = Some(Evidence { span, by: By::Grammar("quantity") });
    }
}

/// A letter and a figure, three signs or more, and no code that the tables of the trade know.
fn is_number(word: &str) -> bool {
    word.len() >= 3
        && word.bytes().any(|byte| byte.is_ascii_alphabetic())
        && word.bytes().any(|byte| byte.is_ascii_digit())
        && finish::look_of(word).is_none()
        && type_number::find(word).is_none()
}

/// Those of the maker that the line names, or of all makers that have the number.
fn of_maker(reading: &mut Reading, text: &str, mut found: Vec<Decoded>) -> Vec<Decoded> {
    let said = reading.attributes.get(&names::MAKER).and_then(Heard::found).and_then(Value::as_text).map(str::to_owned);
    let beside = |found: &Decoded| place_of(said.as_deref().unwrap_or(text), &found.maker);
    let Some((place, maker)) = found.iter().find_map(|one| Some((beside(one)?, one.maker.clone()))) else {
        return found;
    };
    if said.is_none() {
        take(reading, &place);
        let by = Evidence { span: place, by: By::Grammar("maker of the number") };
        reading.attributes.insert(names::MAKER, Heard::Found(Value::Text(maker.clone()), by));
    }
    found.retain(|one| one.maker == maker);
    found
}
