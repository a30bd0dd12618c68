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
/// is silent about them; those of the line with the row's count and finish where the row says nothing else that is new.
/// `None` where it says nothing new at all.
pub(super) fn revised(line: &Wording, row: &Wording, lexicon: &Lexicon) -> Option<Wording> {
    let (Some(was), Some(is)) = (heard(line, lexicon), heard(row, lexicon)) else { return Some(row.clone()) };
    let in_cell = |role: PartRole| line.part(role).is_some() && row.part(role).is_some();
    let (counts, finishes) = ([PartRole::Quantity, PartRole::Unit], [PartRole::Finish]);
    let remarks = row.parts.iter().find(|part| part.role == PartRole::Remarks).map(|part| part.span.clone());
    let counted = is.quantity.evidence.is_some() || row.part(PartRole::Quantity).is_some();
    let finished = FINISHES.iter().any(|attr| is.attributes.contains_key(attr));
    let keeps = says_nothing_new(&was, &is, remarks);
    let same_count = !counted || (is.quantity.amount, is.quantity.unit) == (was.quantity.amount, was.quantity.unit);
    let agrees = |attr: &Attr| {
        let (old, new) = (was.attributes.get(attr), is.attributes.get(attr));
        new.is_none_or(|new| new.found().is_some() && old.and_then(Heard::found) == new.found())
    };
    let same_finish = FINISHES.iter().all(agrees);
    if keeps && same_count && same_finish {
        return None;
    }
    if keeps
        && !same_finish
        && let Some(wording) = finished_anew((line, &was), (row, &is), lexicon)
    {
        return Some(if same_count { wording } else { counted_anew(&wording, row) });
    }
    if keeps && same_finish && in_cell(PartRole::Quantity) {
        return Some(counted_anew(line, row));
    }
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
    Some(wording)
}

/// How many goods the words name.
pub(super) fn goods(wording: &Wording, lexicon: &Lexicon) -> usize {
    let readings = understand(lexicon, wording, &Surroundings::default());
    readings.iter().filter(|reading| !matches!(reading.category, Heard::Absent)).count()
}

/// What a finish says: its code, its look, the metal below it.
const FINISHES: [Attr; 3] = [names::FINISH, names::LOOK, names::BASE];

/// A line with the count of a row, and with what the row remarks.
fn counted_anew(line: &Wording, row: &Wording) -> Wording {
    let of_row = |role| match role {
        PartRole::Quantity | PartRole::Remarks => true,
        PartRole::Unit => row.part(PartRole::Unit).is_some(),
        _ => false,
    };
    laid_over((line, &|role| !of_row(role)), (row, &of_row))
}

/// A line with the finish of a row in place of its own, wherever its own stands; `None` where it would then mean anything
/// else than it did but for the finish.
fn finished_anew(line: (&Wording, &Reading), row: (&Wording, &Reading), lexicon: &Lexicon) -> Option<Wording> {
    let words_of = |(wording, reading): (&Wording, &Reading)| {
        FINISHES.iter().find_map(|attr| match reading.attributes.get(attr) {
            Some(Heard::Found(_, evidence)) => {
                Some((evidence.span.clone(), wording.text[evidence.span.clone()].to_owned()))
            }
            _ => None,
        })
    };
    let new = match row.0.part(PartRole::Finish) {
        Some(cell) => cell.to_owned(),
        None => words_of(row)?.1,
    };
    let old = words_of(line).map(|(span, _)| span);
    let mut wording = Wording::default();
    let mut is_laid = false;
    for part in &line.0.parts {
        let text = &line.0.text[part.span.clone()];
        let inside = old.as_ref().filter(|old| part.span.start <= old.start && old.end <= part.span.end);
        let text = if part.role == PartRole::Finish {
            new.clone()
        } else if let Some(old) = inside {
            format!("{}{new}{}", &line.0.text[part.span.start..old.start], &line.0.text[old.end..part.span.end])
        } else {
            wording.push(part.role, text, part.column.clone());
            continue;
        };
        is_laid = true;
        wording.push(part.role, &text, part.column.clone());
    }
    if !is_laid {
        let whole = std::mem::take(&mut wording);
        wording.push(PartRole::Finish, &new, None);
        wording = laid_over((&whole, &|_| true), (&wording, &|_| true));
    }
    let after = heard(&wording, lexicon)?;
    let told = |reading: &Reading, finish: bool| -> Vec<(Attr, Option<Value>)> {
        let of_kind = reading.attributes.iter().filter(|(attr, _)| FINISHES.contains(attr) == finish);
        of_kind.map(|(attr, value)| (*attr, value.found().cloned())).collect()
    };
    let is_so = after.category.found() == line.1.category.found()
        && told(&after, false) == told(line.1, false)
        && told(row.1, true).iter().all(|one| told(&after, true).contains(one));
    is_so.then_some(wording)
}

/// Whether a row says of a line only what it was already, its finish aside. In its remarks stands why, as often as not.
fn says_nothing_new(was: &Reading, is: &Reading, remarks: Option<Range<usize>>) -> bool {
    let known = |(attr, value): (&Attr, &Heard<Value>)| {
        FINISHES.contains(attr)
            || value.found().is_some_and(|value| was.attributes.get(attr).and_then(Heard::found) == Some(value))
    };
    is_one_category(&was.category, &is.category)
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
