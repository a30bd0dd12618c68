//! What a set lacks tells what a line without a name may be: three of something with a finish, first in a set that has no
//! hinges, are hinges in all likelihood. It is taken so until the question is answered, never silently.

use rust_decimal::Decimal;

use crate::evidence::{By, Evidence};
use crate::read::schedule::HardwareSet;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::understand::reading::{Heard, Reading, Unit};

/// What doors hang on.
const HANGING: [Category; 4] = [Category::Hinge, Category::ContinuousHinge, Category::Pivot, Category::SpringHinge];

/// Hears hinges in the first line of each set that has none, where nothing names its good.
pub fn hear_hinges(sets: &[HardwareSet], readings: &mut [Vec<Vec<Reading>>]) {
    for (set, lines) in sets.iter().zip(readings) {
        let hangs = |reading: &Reading| match &reading.category {
            Heard::Found(category, _) => HANGING.contains(category),
            Heard::Ambiguous(all) => all.iter().any(|(category, _)| HANGING.contains(category)),
            Heard::Absent => false,
        };
        // A set of one line tells nothing of what it lacks.
        if lines.len() < 2 || lines.iter().flatten().any(hangs) {
            continue;
        }
        let first = set.lines.iter().zip(lines.iter_mut()).find(|(line, _)| line.excluded.is_none());
        let Some((line, of_line)) = first else { continue };
        if let [reading] = of_line.as_mut_slice()
            && may_be_hinges(reading)
        {
            let span = 0..line.wording.text.len();
            let by = By::Context("the first line of a set that has no hinges".into());
            reading.category = Heard::Ambiguous(vec![(Category::Hinge, Evidence { span, by })]);
        }
    }
}

/// Nothing named, as many as hinges are, and a finish or a number of a catalog.
fn may_be_hinges(reading: &Reading) -> bool {
    let many = |amount: Decimal| (2..=8).map(Decimal::from).any(|count| count == amount);
    let pairs = [Decimal::ONE, Decimal::new(15, 1), Decimal::TWO];
    let counted = match (reading.quantity.amount, reading.quantity.unit) {
        (Some(amount), Unit::Pair) => pairs.contains(&amount),
        (Some(amount), Unit::Each) => many(amount),
        _ => false,
    };
    let told =
        [names::FINISH, names::LOOK, names::DESIGNATION].iter().any(|name| reading.attributes.contains_key(name));
    reading.category == Heard::Absent && reading.remarks.is_empty() && counted && told
}
