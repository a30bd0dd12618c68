//! Which line of a set a row of a list of changes means: the one with its words; else, among those of its category, the one
//! that agrees with it most. Where two agree equally, or what it is (mop plate, kick plate) differs, none is chosen: a list
//! of changes that hits the wrong line changes a bid and nobody sees it.

use std::collections::BTreeSet;
use std::ops::Range;

use super::pairs::squeezed;
use crate::read::schedule::{Line, PartRole, Wording};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::understand::reading::{Heard, Reading, Surroundings};
use crate::understand::{Lexicon, understand};

/// The line that is meant.
pub(super) struct Chosen {
    /// Its index in the set.
    pub(super) index: usize,
    /// How many others of the set are of its category: then the choice is worth a word.
    pub(super) others: usize,
}

/// What a line's words say, as far as likeness asks.
struct Known {
    reading: Option<Reading>,
    words: BTreeSet<String>,
}

/// How far a line agrees with a row; the less the better.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Unlike {
    against: usize,
    agreeing: std::cmp::Reverse<usize>,
    words: std::cmp::Reverse<usize>,
}

/// The line that is to be taken out: nothing said of it may be otherwise.
///
/// # Errors
/// Why no line was chosen, to follow "and".
pub(super) fn to_delete(lines: &[Line], row: &Wording, lexicon: &Lexicon) -> Result<Chosen, String> {
    chosen(lines, row, lexicon, |one, other| against(one, other).next().is_none())
}

/// The line that is to be another one: its attributes may differ, what it is may not.
///
/// # Errors
/// Why no line was chosen, to follow "and".
pub(super) fn to_revise(lines: &[Line], row: &Wording, lexicon: &Lexicon) -> Result<Chosen, String> {
    chosen(lines, row, lexicon, |one, other| against(one, other).all(|attr| attr != names::KIND))
}

/// The words of a line after a row revised it: those of the row, with the count and the finish of the line where the row
/// is silent about them; those of the line with the row's count where the row says nothing else that is new.
pub(super) fn revised(line: &Wording, row: &Wording, lexicon: &Lexicon) -> Wording {
    let (Some(was), Some(is)) = (heard(line, lexicon), heard(row, lexicon)) else { return row.clone() };
    let in_cell = |role: PartRole| line.part(role).is_some() && row.part(role).is_some();
    let (counts, finishes) = ([PartRole::Quantity, PartRole::Unit], [PartRole::Finish]);
    let remarks = row.parts.iter().find(|part| part.role == PartRole::Remarks).map(|part| part.span.clone());
    if in_cell(PartRole::Quantity) && says_nothing_new(&was, &is, remarks) {
        let of_row = |role| match role {
            PartRole::Quantity | PartRole::Remarks => true,
            PartRole::Unit => row.part(PartRole::Unit).is_some(),
            _ => false,
        };
        return laid_over((line, &|role| !of_row(role)), (row, &of_row));
    }
    let finished = [names::FINISH, names::LOOK].iter().any(|attr| is.attributes.contains_key(attr));
    let counted = is.quantity.evidence.is_some() || row.part(PartRole::Quantity).is_some();
    let kept = move |role: PartRole| (!counted && counts.contains(&role)) || (!finished && finishes.contains(&role));
    let mut wording = laid_over((line, &kept), (row, &|_| true));
    if !counted
        && line.part(PartRole::Quantity).is_none()
        && let Some(evidence) = &was.quantity.evidence
    {
        let whole = std::mem::take(&mut wording);
        wording.push(PartRole::Quantity, &line.text[evidence.span.clone()], None);
        wording = laid_over((&wording, &|_| true), (&whole, &|_| true));
    }
    wording
}

/// Whether a row says of a line only what it was already. In its remarks stands why, as often as not.
fn says_nothing_new(was: &Reading, is: &Reading, remarks: Option<Range<usize>>) -> bool {
    let known = |(attr, value): (&Attr, &Heard<Value>)| {
        value.found().is_some_and(|value| was.attributes.get(attr).and_then(Heard::found) == Some(value))
    };
    was.category.found() == is.category.found()
        && is.attributes.iter().all(known)
        && is.unread.iter().all(|span| remarks.as_ref().is_some_and(|remarks| remarks.contains(&span.start)))
        && is.remarks.is_empty()
}

type Cells<'w> = (&'w Wording, &'w dyn Fn(PartRole) -> bool);

/// The cells of two wordings as one, in the order of columns.
fn laid_over(old: Cells<'_>, new: Cells<'_>) -> Wording {
    let cells = |(wording, wanted): Cells<'_>| -> Vec<(PartRole, String, Option<std::sync::Arc<str>>)> {
        let parts = wording.parts.iter().filter(|part| wanted(part.role));
        parts.map(|part| (part.role, wording.text[part.span.clone()].to_owned(), part.column.clone())).collect()
    };
    let mut all = cells(old);
    all.extend(cells(new));
    all.sort_by_key(|(role, _, _)| *role);
    let mut wording = Wording::default();
    for (role, text, column) in all {
        wording.push(role, &text, column);
    }
    wording
}

fn chosen(
    lines: &[Line],
    row: &Wording,
    lexicon: &Lexicon,
    may_be: impl Fn(&Reading, &Reading) -> bool,
) -> Result<Chosen, String> {
    if let Some(index) = lines.iter().position(|known| squeezed(&known.wording.text) == squeezed(&row.text)) {
        return Ok(Chosen { index, others: 0 });
    }
    let row = known(row, lexicon);
    let Some(meant) = row.reading.as_ref() else { return Err("its words were not understood".to_owned()) };
    let lines: Vec<Known> = lines.iter().map(|line| known(&line.wording, lexicon)).collect();
    let of_kind: Vec<(usize, &Known, &Reading)> = lines
        .iter()
        .enumerate()
        .filter_map(|(index, line)| line.reading.as_ref().map(|reading| (index, line, reading)))
        .filter(|(_, _, reading)| is_one_category(&meant.category, &reading.category))
        .collect();
    if of_kind.is_empty() {
        return Err("no line of that set is of its kind".to_owned());
    }
    let mut close: Vec<(Unlike, usize)> = of_kind
        .iter()
        .filter(|(_, _, reading)| may_be(meant, reading))
        .map(|(index, line, reading)| {
            let unlike = Unlike {
                against: against(meant, reading).count(),
                agreeing: std::cmp::Reverse(agreeing(meant, reading)),
                words: std::cmp::Reverse(line.words.intersection(&row.words).count()),
            };
            (unlike, *index)
        })
        .collect();
    close.sort();
    match close.as_slice() {
        [] => Err("what that set has of its kind is said to be something else".to_owned()),
        // Two lines with the same words are the same to whoever writes the list.
        [(best, one), (next, two), ..] if best == next && lines[*one].words != lines[*two].words => {
            Err("several lines of that set may be meant".to_owned())
        }
        [(_, index), ..] => Ok(Chosen { index: *index, others: of_kind.len() - 1 }),
    }
}

fn known(wording: &Wording, lexicon: &Lexicon) -> Known {
    let words = squeezed(&wording.text).split(' ').map(str::to_owned).collect();
    Known { reading: heard(wording, lexicon), words }
}

fn heard(wording: &Wording, lexicon: &Lexicon) -> Option<Reading> {
    understand(lexicon, wording, &Surroundings::default()).into_iter().next()
}

/// Whether two readings may be of one category; what is not understood is of none.
fn is_one_category(one: &Heard<Category>, other: &Heard<Category>) -> bool {
    fn may(heard: &Heard<Category>) -> Vec<Category> {
        match heard {
            Heard::Found(category, _) => vec![*category],
            Heard::Ambiguous(several) => several.iter().map(|(category, _)| *category).collect(),
            Heard::Absent => Vec::new(),
        }
    }
    let others = may(other);
    may(one).iter().any(|category| others.contains(category))
}

/// The attributes of which both say something that cannot be the same.
fn against<'r>(one: &'r Reading, other: &'r Reading) -> impl Iterator<Item = Attr> + 'r {
    fn may(heard: &Heard<Value>) -> Vec<&Value> {
        match heard {
            Heard::Found(value, _) => vec![value],
            Heard::Ambiguous(several) => several.iter().map(|(value, _)| value).collect(),
            Heard::Absent => Vec::new(),
        }
    }
    one.attributes.iter().filter_map(|(attr, heard)| {
        let (says, knows) = (may(heard), other.attributes.get(attr).map(may).unwrap_or_default());
        let differ = !says.is_empty() && !knows.is_empty() && !says.iter().any(|value| knows.contains(value));
        differ.then_some(*attr)
    })
}

fn agreeing(one: &Reading, other: &Reading) -> usize {
    let same = |(attr, value): &(&Attr, &Heard<_>)| {
        value.found().is_some_and(|value| other.attributes.get(attr).and_then(Heard::found) == Some(value))
    };
    one.attributes.iter().filter(same).count()
}
