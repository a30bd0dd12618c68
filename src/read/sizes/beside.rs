//! A second width in the size of a door that nothing calls a pair: `3'-0" + 1'-6" x 7'-0"`, `900 x 2100 + 300`. It may be a
//! second leaf, a sidelight or a transom, and the goods of the door hang on it, so it is asked.

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::trade::inches::Inches;

use super::size::Beside;
use crate::read::openings::doors::Reader;
use crate::read::schedule::Opening;
use crate::read::words::{self, plain};

/// Settles what the second width is by what the words of the row say, and asks where they say nothing.
pub(crate) fn settle(
    reader: &Reader<'_>,
    opening: &Opening,
    (beside, text): (Beside, &str),
    worded: Option<u32>,
    (leaves, second): (&mut Option<u32>, &mut Option<Inches>),
    findings: &mut Vec<Finding>,
) {
    let Some(first) = opening.width else { return };
    let Some(other) = (match beside {
        Beside::Width => *second,
        Beside::Behind(width) => Some(width),
    }) else {
        return;
    };
    // `INACTIVE LEAF 2'-0"` in the remarks: there are two.
    let active = |remarks: &str| {
        words::list("active-of-two").find(remarks).is_some() && words::list("beside-leaf").find(remarks).is_none()
    };
    let inactive = || says_two(&plain(&opening.remarks)) || active(&plain(&opening.remarks));
    match (worded, beside) {
        (Some(2), _) => *second = Some(other),
        (None, _) if inactive() => (*leaves, *second) = (Some(2), Some(other)),
        // A door that is said to be single has no second leaf; what the width is stays to be asked.
        (Some(_), _) => {
            (*leaves, *second) = (worded, None);
            findings.push(question(reader, opening, (first, other), text, false));
        }
        (None, Beside::Width) => findings.push(question(reader, opening, (first, other), text, true)),
        (None, Beside::Behind(_)) => findings.push(question(reader, opening, (first, other), text, false)),
    }
}

/// Whether remarks say that there are two leaves: not `no inactive leaf`, and not `inactive leaf beside sidelight`. What the
/// leaf itself is without, `inactive leaf no closer`, denies no leaf.
pub(crate) fn says_two(folded: &str) -> bool {
    let denied = |before: &str| {
        words::list("hardware-denied").find(before).is_some() || words::list("remark-out").find(before).is_some()
    };
    let two = |part: &str| {
        let said = words::list("says-two-leaves").find(part);
        let behind = |said: &str| part[words::offset(part, said) + said.len()..].trim_start_matches([' ', '-', ':']);
        let gone = |said: &str| words::list("leaf-denied").begins(behind(said)).is_some();
        said.is_some_and(|said| !denied(&part[..words::offset(part, said)]) && !gone(said))
            && words::list("beside-leaf").find(part).is_none()
    };
    folded.split([',', ';', '.', '\n']).any(two)
}

/// `INACTIVE LEAF FIXED` at a door with the width of one leaf and nothing that says pair: the width may be that of each leaf, or
/// the row one leaf of a pair.
pub(crate) fn of_a_pair(reader: &Reader<'_>, opening: &Opening) -> Finding {
    let mut answers = vec![Answer::new("one leaf, as written", Effect::Nothing)];
    if let Some(width) = opening.width {
        let size = Effect::Size { width: width * 2, height: opening.height, leaf_widths: vec![width, width] };
        answers.push(Answer::new(format!("a pair: two leaves of {}", width.in_feet()), size));
    }
    answers.push(Answer::new("the leaf of a pair that has a row of its own", Effect::ByHand));
    let says = "the remarks speak of a second leaf, and nothing else says pair; one leaf was read";
    Finding {
        openings: vec![opening.number.clone()],
        answers,
        priced_as: "one leaf".into(),
        ..Finding::new("leaf-of-a-pair", Kind::Question, Weight::Goods, says)
    }
    .at(reader.sheet.place(reader.row.number), opening.remarks.clone())
    .help("write PR before the size of a pair, and one row for both its leaves")
}

fn question(
    reader: &Reader<'_>,
    opening: &Opening,
    (first, other): (Inches, Inches),
    text: &str,
    is_pair: bool,
) -> Finding {
    let size = |width, leaf_widths| Effect::Size { width, height: opening.height, leaf_widths };
    let pair = format!("a pair: leaves of {} and {}", first.in_feet(), other.in_feet());
    let single = format!("one leaf of {}; the rest is a sidelight or a transom", first.in_feet());
    let (priced_as, answers) = if is_pair {
        let other = Answer::new(single, size(first, vec![first]));
        (pair.clone(), vec![Answer::new(pair, Effect::Nothing), other])
    } else {
        let other = Answer::new(pair, size(first + other, vec![first, other]));
        (single.clone(), vec![Answer::new(single, Effect::Nothing), other])
    };
    let says =
        format!("\"{text}\" gives a second width, and nothing says pair: a second leaf, a sidelight or a transom");
    Finding {
        openings: vec![opening.number.clone()],
        answers,
        priced_as,
        ..Finding::new("second-width", Kind::Question, Weight::Goods, says)
    }
    .at(reader.sheet.place(reader.row.number), text)
    .help("look at the elevation of the opening; write PR before the size of a pair")
}
