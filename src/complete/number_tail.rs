//! What stands behind the letters that a cross reference spells out, where its pattern ends with `*`: codes between hyphens
//! that are words of the trade (`-NRP`, `-26D`) are heard as such; the others stay not understood.

use std::ops::Range;

use crate::evidence::Evidence;
use crate::read::schedule::Wording;
use crate::trade::attribute::{Attr, Value};
use crate::trade::{category::Category, finish};
use crate::understand::reading::{Heard, Reading, Surroundings};
use crate::understand::{self, Lexicon};

/// What one code says, each with its evidence in the text of the line.
pub type Said = Vec<(Attr, Value, Evidence)>;

/// What the codes of a stretch say, and the stretches of those that say nothing.
pub fn read(
    words: Option<&Lexicon>,
    text: &str,
    tail: &Range<usize>,
    category: Option<Category>,
) -> (Said, Vec<Range<usize>>) {
    let (mut said, mut unread) = (Said::new(), Vec::new());
    let mut at = tail.start;
    let written = text.get(tail.clone()).unwrap_or("");
    // A code that no hyphen parts from the number is a piece of it.
    for (place, code) in written.split(['-', '/', ' ']).enumerate() {
        let span = at..at + code.len();
        at = span.end + 1;
        if code.is_empty() {
            continue;
        }
        match one(words, code, category).filter(|_| place > 0) {
            Some(all) => said.extend(
                all.into_iter().map(|(attribute, value, by)| (attribute, value, Evidence { span: span.clone(), ..by })),
            ),
            None => unread.push(span),
        }
    }
    (said, unread)
}

/// What a code says by itself: three signs or more that are letters or a finish, understood whole, of goods of the category.
fn one(words: Option<&Lexicon>, code: &str, category: Option<Category>) -> Option<Said> {
    let lettered = code.len() > 2 && code.bytes().all(|byte| byte.is_ascii_alphabetic());
    if !lettered && finish::look_of(code).is_none() {
        return None;
    }
    let lexicon = match words {
        Some(words) => words,
        None => understand::embedded()?,
    };
    let readings = understand::understand(lexicon, &Wording::free(code), &Surroundings::default());
    let [reading] = readings.as_slice() else { return None };
    let is_whole = reading.unread.is_empty() && reading.remarks.is_empty() && reading.quantity.amount.is_none();
    if !is_whole || !of_category(reading, category) {
        return None;
    }
    let found = reading.attributes.iter().map(|(attribute, heard)| match heard {
        Heard::Found(value, by) => Some((*attribute, value.clone(), by.clone())),
        _ => None,
    });
    let said: Said = found.collect::<Option<_>>()?;
    (!said.is_empty()).then_some(said)
}

/// Whether what a code says may be said of goods of a category.
fn of_category(reading: &Reading, category: Option<Category>) -> bool {
    match (&reading.category, category) {
        (Heard::Absent, _) | (_, None) => true,
        (Heard::Found(own, _), Some(category)) => *own == category,
        (Heard::Ambiguous(all), Some(category)) => all.iter().any(|(own, _)| *own == category),
    }
}
