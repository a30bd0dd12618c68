//! Reads catalog numbers before the rules run: a designation of this catalog says what its pattern says, a number of another
//! maker what the cross references say of it. Each value keeps its evidence; where words and number differ, both are kept
//! and asked about.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::Arc;

use crate::catalog::crossref::{Crossed, Said, Told};
use crate::catalog::good::Entry;
use crate::catalog::{Catalog, Decoded};
use crate::evidence::{By, Evidence};
use crate::read::schedule::{HardwareSet, PartRole, Wording};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::rating::Rating;
use crate::trade::{finish, type_number};
use crate::understand::Lexicon;
use crate::understand::reading::{Doubt, Heard, Reading};

use super::number_makers::{abbreviates, may_be, place_of, said_maker};
use super::{list_numbers, number_tail};

/// Code of the note that a number of another maker was read.
pub const CROSSED: &str = "cross-reference";
/// Code of the note that a number is nearly one of the catalog's.
pub const NEAR_MISS: &str = "near-designation";

/// Reads the numbers of every line by the catalog and the words of the job. Readings are indexed by set, line, reading.
pub fn decode(sets: &[HardwareSet], readings: &mut [Vec<Vec<Reading>>], by: (&Catalog, Option<&Lexicon>)) {
    // Large jobs write the same line in many sets: what was read once of the same words is not looked up again.
    let mut known: HashMap<&str, Vec<(&Wording, Reading, Reading)>> = HashMap::new();
    for (set, of_set) in sets.iter().zip(readings) {
        for (line, of_line) in set.lines.iter().zip(of_set) {
            let [reading] = of_line.as_mut_slice() else {
                for (reading, within) in apart(of_line, &line.wording) {
                    one(reading, &line.wording, &within, by);
                }
                continue;
            };
            let alike = known.entry(line.wording.text.as_str()).or_default();
            let same =
                alike.iter().find(|(wording, before, _)| alike_cells(wording, &line.wording) && before == reading);
            if let Some((_, _, after)) = same {
                *reading = after.clone();
                continue;
            }
            let before = reading.clone();
            one(reading, &line.wording, &(0..line.wording.text.len()), by);
            alike.push((&line.wording, before, reading.clone()));
        }
    }
}

/// Whether two wordings have the same text in cells of the same roles; in which columns these stand tells nothing.
fn alike_cells(one: &Wording, other: &Wording) -> bool {
    let cells = |wording: &Wording| wording.parts.iter().map(|part| (part.role, part.span.clone())).collect::<Vec<_>>();
    one.text == other.text && cells(one) == cells(other)
}

/// The readings of a line that names several goods, each with the stretch of the text that is its own: a number stands for
/// the good beside it.
fn apart<'a>(readings: &'a mut [Reading], wording: &Wording) -> Vec<(&'a mut Reading, Range<usize>)> {
    let described = readings.iter().find_map(Reading::named_at).map_or(0, |span| span.start);
    let cell = wording.parts.iter().map(|part| &part.span).find(|span| span.contains(&described));
    let cell = cell.cloned().unwrap_or(0..wording.text.len());
    let mut at = cell.start;
    let last = readings.len().saturating_sub(1);
    let mut all = Vec::with_capacity(readings.len());
    for (place, reading) in readings.iter_mut().enumerate() {
        let ends = own_spans(reading).filter(|span| cell.contains(&span.start)).map(|span| span.end).max();
        let end = if place == last { cell.end } else { ends.unwrap_or(at).max(at) };
        all.push((reading, at..end));
        at = end;
    }
    all
}

/// The words that a reading is made from; what it shares with the goods beside it is theirs.
fn own_spans(reading: &Reading) -> impl Iterator<Item = Range<usize>> {
    let own = |by: &Evidence| (!matches!(by.by, By::Context(_))).then(|| by.span.clone());
    let said = reading.attributes.values().flat_map(move |heard| match heard {
        Heard::Found(_, by) => own(by).into_iter().collect::<Vec<_>>(),
        Heard::Ambiguous(all) => all.iter().filter_map(|(_, by)| own(by)).collect(),
        Heard::Absent => Vec::new(),
    });
    let counted = reading.quantity.evidence.iter().map(|by| by.span.clone());
    said.chain(counted).chain(reading.named_at()).chain(reading.unread.iter().chain(&reading.ignored).cloned())
}

/// Reads the number within a stretch of a line, which is the whole of it where the line names one good.
fn one(
    reading: &mut Reading,
    wording: &Wording,
    within: &Range<usize>,
    (catalog, lexicon): (&Catalog, Option<&Lexicon>),
) {
    let numbered = match reading.attributes.get(&names::DESIGNATION) {
        Some(Heard::Found(_, evidence)) => Some(evidence.span.clone()).filter(|span| within.contains(&span.start)),
        _ => None,
    };
    // Nothing before the stretch is looked at, so that every place is one of the whole text.
    let text = wording.text.get(..within.end).unwrap_or(&wording.text);
    // A line that names another maker has none of our numbers, whatever its number looks like.
    let maker = said_maker(reading).to_owned();
    let ours = |found: &Decoded| may_be(&maker, &found.maker);
    let whole = |span: &Range<usize>| {
        let rest = text.get(span.start..).unwrap_or("");
        let read = |found: &Decoded| found.read >= number_end(rest, span.len()) && ours(found);
        let decoded: Vec<Decoded> = catalog.decode_start(rest).into_iter().filter(read).collect();
        (!decoded.is_empty()).then_some((span.start, decoded))
    };
    let category = reading.category.found().copied();
    let likely =
        words(text).filter(|word| word.start >= within.start && text.get(word.clone()).is_some_and(looks_like_number));
    let found = numbered.as_ref().and_then(&whole).or_else(|| {
        likely
            .clone()
            .filter_map(|word| whole(&word))
            .find(|(_, decoded)| category.is_none_or(|category| decoded.iter().any(|found| found.category == category)))
    });
    if let Some((start, decoded)) = found {
        return own(reading, text, start, &decoded);
    }
    if let Some((start, crossed)) = cross(reading, wording, within, numbered.as_ref(), catalog) {
        return other(reading, wording, start, &crossed, (catalog, lexicon));
    }
    let all = words(text).filter(|word| word.start >= within.start);
    if list_numbers::read(reading, text, (numbered.clone(), all), catalog) {
        return;
    }
    let start = numbered.as_ref().map(|span| span.start);
    for span in numbered.into_iter().chain(likely.filter(|word| Some(word.start) != start)) {
        if near(reading, text, &span, catalog) {
            return;
        }
    }
}

/// The words of a text, without brackets and commas around them.
fn words(text: &str) -> impl Iterator<Item = Range<usize>> + Clone + '_ {
    let edge = |letter: char| letter.is_whitespace() || "(),;:[]".contains(letter);
    let mut at = 0;
    text.split(edge).filter_map(move |word| {
        let start = at;
        // Every edge is one character of one byte, or white space of its own width.
        at = start + word.len() + text[start + word.len()..].chars().next().map_or(0, char::len_utf8);
        (!word.is_empty()).then_some(start..start + word.len())
    })
}

/// Letters first, then a figure somewhere, four characters at least, and no code that the tables of the trade know.
fn looks_like_number(word: &str) -> bool {
    word.len() >= 4
        && word.chars().take(2).all(|letter| letter.is_ascii_alphabetic())
        && word.chars().any(|letter| letter.is_ascii_digit())
        && finish::look_of(word).is_none()
        && type_number::find(word).is_none()
}

/// The first word of a number: the rest of its cell may say other things.
fn number_end(text: &str, length: usize) -> usize {
    text.get(..length).unwrap_or(text).find(char::is_whitespace).unwrap_or(length)
}

/// What the pattern of a product line says. Several lines may share a number: what they differ in stays open.
fn own(reading: &mut Reading, text: &str, start: usize, decoded: &[Decoded]) {
    let most = decoded.iter().map(|found| found.read).max().unwrap_or(0);
    let decoded: Vec<&Decoded> = decoded.iter().filter(|found| found.read == most).collect();
    let span = start..start + text.get(start..start + most).map_or(most, |number| number.trim_end().len());
    forget(reading, &span);
    let by = |found: &Decoded| Evidence { span: span.clone(), by: by_line(&found.line, &found.entry) };
    hear_category(reading, decoded.iter().map(|found| (found.category, by(found))).collect());
    let mut attributes: Vec<Attr> = decoded.iter().flat_map(|found| found.attributes.keys().copied()).collect();
    attributes.sort();
    attributes.dedup();
    for attribute in attributes {
        let told: Vec<(Value, Evidence)> =
            decoded.iter().filter_map(|found| Some((found.attributes.get(&attribute)?.clone(), by(found)))).collect();
        // What only one of several lines knows is not said of all.
        if told.len() == decoded.len() {
            hear(reading, attribute, told);
        }
    }
    hear(reading, names::LINE, decoded.iter().map(|found| (Value::Text(found.line.clone()), by(found))).collect());
    take(reading, &span);
}

pub(super) fn by_line(line: &str, entry: &Entry) -> By {
    By::Designation(format!("{line} ({}:{})", entry.file, entry.line).into())
}

/// Where a number of another maker stands in the line, and what the cross references say of it.
fn cross(
    reading: &Reading,
    wording: &Wording,
    within: &Range<usize>,
    numbered: Option<&Range<usize>>,
    catalog: &Catalog,
) -> Option<(usize, Crossed)> {
    let text = wording.text.get(..within.end).unwrap_or(&wording.text);
    let maker = |name: &str| match reading.attributes.get(&names::MAKER).and_then(Heard::found) {
        Some(Value::Text(said)) if place_of(said, name).is_some() => Said::This,
        Some(_) => Said::Another,
        None if place_of(text, name).is_some() => Said::This,
        None => Said::Nothing,
    };
    let first = numbered.map(|span| span.start);
    // A number stands in the column of numbers, or in that of makers.
    let numbers = |role: PartRole| matches!(role, PartRole::CatalogNumber | PartRole::Maker);
    let column = |at: usize| wording.parts.iter().any(|part| numbers(part.role) && part.span.contains(&at));
    let words = text.char_indices().filter(|(at, letter)| {
        let before = text[..*at].chars().next_back();
        *at >= within.start
            && letter.is_alphanumeric()
            && before.is_none_or(|before| before.is_whitespace() || "(,;:/[".contains(before))
    });
    let starts = first.into_iter().chain(words.map(|(at, _)| at));
    starts.filter_map(|at| Some((at, catalog.cross(&text[at..], &maker, column(at))?))).max_by_key(|(at, crossed)| {
        // The number that most is known of; of equals the first.
        (crossed.ours.is_some(), crossed.attributes.len(), std::cmp::Reverse(*at))
    })
}

/// Takes over what the cross references say.
fn other(
    reading: &mut Reading,
    wording: &Wording,
    start: usize,
    crossed: &Crossed,
    (catalog, words): (&Catalog, Option<&Lexicon>),
) {
    let span = start..start + crossed.read;
    forget(reading, &span);
    let by = |entry: &Entry, row: &Arc<str>| Evidence {
        span: span.clone(),
        by: By::Entry { file: entry.file.clone(), line: entry.line, entry: row.clone() },
    };
    fn all<T: Clone>(told: &[Told<T>], by: &dyn Fn(&Entry, &Arc<str>) -> Evidence) -> Vec<(T, Evidence)> {
        told.iter().map(|told| (told.value.clone(), by(&told.entry, &told.row))).collect()
    }
    if !crossed.categories.is_empty() {
        hear_category(reading, all(&crossed.categories, &by));
    }
    for (attribute, told) in &crossed.attributes {
        hear(reading, *attribute, all(told, &by));
    }
    let number = wording.text.get(span.clone()).unwrap_or("").trim().to_owned();
    let evidence = |told: &Told<Arc<str>>| by(&told.entry, &told.row);
    if let Some(maker) = &crossed.maker {
        let place = place_of(&wording.text, &maker.value);
        if let Some(place) = &place {
            take(reading, place);
        }
        let mut said = evidence(maker);
        said.span = place.unwrap_or(said.span);
        reading.attributes.insert_new(names::MAKER, Heard::Found(Value::Text(maker.value.clone()), said));
    }
    let mut says = format!("\"{number}\" is read by the cross reference");
    if let Some(ours) = &crossed.ours {
        let (number, found) = catalog.ours(&ours.value).unzip();
        let line = found.as_ref().map_or_else(|| ours.value.clone(), |found| found.line.clone());
        hear(reading, names::LINE, vec![(Value::Text(line.clone()), evidence(ours))]);
        if let Some(info) = catalog.line(&line) {
            hear_category(reading, vec![(info.category, evidence(ours))]);
        }
        for (attribute, value) in found.iter().flat_map(|found| &found.attributes) {
            hear(reading, *attribute, vec![(value.clone(), evidence(ours))]);
        }
        // A good of a list has no other name than its number.
        if let Some(number) = number.filter(|_| catalog.is_listed(&line)) {
            let number = Heard::Found(Value::text(number), evidence(ours));
            reading.attributes.insert(names::DESIGNATION, number);
        }
        says.push_str(&format!("; {} is offered as an equal, to be approved", ours.value));
    }
    for note in &crossed.notes {
        says.push_str(&format!("; {note}"));
    }
    let place = crossed.ours.as_ref().map(|told| &told.entry).or(crossed.categories.first().map(|told| &told.entry));
    if let Some(entry) = place.or(crossed.attributes.values().flatten().next().map(|told| &told.entry)) {
        says.push_str(&format!(" ({}:{})", entry.file, entry.line));
    }
    take(reading, &span);
    let said = Evidence { span: span.clone(), by: By::Grammar("catalog number") };
    reading.attributes.insert_new(names::DESIGNATION, Heard::Found(Value::text(&number), said));
    if crossed.spelled < crossed.read {
        // What stands for anything in the pattern is not understood, and shown as such, but for words of the trade.
        let tail = start + crossed.spelled..span.end;
        let (said, unread) = number_tail::read(words, &wording.text, &tail, reading.category.found().copied());
        for (attribute, value, by) in said {
            hear(reading, attribute, vec![(value, by)]);
        }
        reading.unread.extend(unread);
        reading.unread.sort_by_key(|range| range.start);
    }
    reading.doubts.push(Doubt { code: CROSSED, says, span, attribute: None });
}

/// A number that begins like one of the catalog's and then goes wrong is told with what would be right.
fn near(reading: &mut Reading, text: &str, span: &Range<usize>, catalog: &Catalog) -> bool {
    let text = text.get(span.clone()).unwrap_or("");
    let number = text.get(..number_end(text, text.len())).unwrap_or(text);
    let category = reading.category.found().copied();
    // A rating of a fire door is no number of goods: `FD60S`.
    if Rating::parse(number).minutes.is_some() {
        return false;
    }
    // The number of another maker, whom the line names, is no mistake in a number of ours.
    let maker = said_maker(reading);
    let misses: Vec<String> = catalog
        .decode(number)
        .into_iter()
        .filter(|found| category.is_none_or(|category| category == found.category))
        .filter(|found| abbreviates(maker, &found.maker))
        .filter_map(|found| found.miss)
        .collect();
    if !misses.is_empty() {
        let own = span.start..span.start + number.len();
        // The number is shown whole; pieces of it were no words.
        forget(reading, &own);
        take(reading, &own);
        let said = Evidence { span: own.clone(), by: By::Grammar("catalog number") };
        reading.attributes.insert_new(names::DESIGNATION, Heard::Found(Value::text(number), said));
        let says = format!("\"{number}\" is nearly a number of the catalog: {}", misses.join("; or "));
        reading.doubts.push(Doubt { code: NEAR_MISS, says, span: span.clone(), attribute: Some(names::LINE) });
    }
    !misses.is_empty()
}

/// Hears the category that a number tells: it settles what the words leave open, and is asked about where they differ.
pub(super) fn hear_category(reading: &mut Reading, mut told: Vec<(Category, Evidence)>) {
    told.sort_by_key(|(category, _)| *category);
    told.dedup_by_key(|(category, _)| *category);
    let old = std::mem::replace(&mut reading.category, Heard::Absent);
    reading.category = merge(old, told);
}

/// Hears values that a number tells of an attribute.
pub(super) fn hear(reading: &mut Reading, attribute: Attr, mut told: Vec<(Value, Evidence)>) {
    told.dedup_by(|(one, _), (other, _)| one == other);
    let old = reading.attributes.remove(&attribute).unwrap_or(Heard::Absent);
    reading.attributes.insert(attribute, merge(old, told));
}

/// What the words say, joined by what a number says.
fn merge<T: PartialEq + Clone>(said: Heard<T>, told: Vec<(T, Evidence)>) -> Heard<T> {
    let of = |mut all: Vec<(T, Evidence)>| match all.len() {
        1 => all.pop().map_or(Heard::Absent, |(value, by)| Heard::Found(value, by)),
        _ => Heard::Ambiguous(all),
    };
    match said {
        Heard::Absent => of(told),
        Heard::Found(value, by) if told.iter().any(|(other, _)| *other == value) => Heard::Found(value, by),
        Heard::Found(value, by) => {
            let mut all = vec![(value, by)];
            all.extend(told);
            of(all)
        }
        Heard::Ambiguous(all) => {
            let both: Vec<(T, Evidence)> =
                told.iter().filter(|(value, _)| all.iter().any(|(other, _)| other == value)).cloned().collect();
            if !both.is_empty() {
                return of(both);
            }
            let mut all = all;
            all.extend(told);
            of(all)
        }
    }
}

/// What was read in pieces of a number, as if they were words (4545V: volts), was no word.
pub(super) fn forget(reading: &mut Reading, span: &Range<usize>) {
    let inside = |by: &Evidence| by.span.start >= span.start && by.span.end <= span.end && !by.span.is_empty();
    reading.attributes.retain(|attribute, heard| match heard {
        Heard::Found(_, by) => *attribute == names::DESIGNATION || !inside(by),
        Heard::Ambiguous(all) => {
            all.retain(|(_, by)| !inside(by));
            !all.is_empty()
        }
        Heard::Absent => true,
    });
    for heard in reading.attributes.values_mut() {
        if let Heard::Ambiguous(all) = heard
            && let [(value, by)] = all.as_slice()
        {
            *heard = Heard::Found(value.clone(), by.clone());
        }
    }
}

/// Marks the words of a number as understood.
pub(super) fn take(reading: &mut Reading, span: &Range<usize>) {
    for list in [&mut reading.unread, &mut reading.ignored] {
        let mut kept = Vec::with_capacity(list.len());
        for range in list.drain(..) {
            if range.end <= span.start || range.start >= span.end {
                kept.push(range);
                continue;
            }
            if range.start < span.start {
                kept.push(range.start..span.start);
            }
            if range.end > span.end {
                kept.push(span.end..range.end);
            }
        }
        *list = kept;
    }
    // A word inside the number was no word: what was doubted of it is settled.
    let inside = |doubt: &Doubt| doubt.span.start >= span.start && doubt.span.end <= span.end;
    reading.doubts.retain(|doubt| !inside(doubt));
}

#[cfg(test)]
mod tests {
    use super::{looks_like_number, words};

    #[test]
    fn words_keep_their_places() {
        let text = "(3) HW45, b\u{a0}c";
        let found: Vec<&str> = words(text).map(|word| &text[word]).collect();
        assert_eq!(found, ["3", "HW45", "b", "c"]);
    }

    #[test]
    fn codes_of_the_trade_are_no_catalog_numbers() {
        assert!(looks_like_number("HW4545V-W6"));
        for word in ["F07", "US26D", "L02251", "24VDC", "HINGE", "4545"] {
            assert!(!looks_like_number(word), "{word}");
        }
    }
}
