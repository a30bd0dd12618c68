//! Counts of doors in the words of a row that stands for one: `Typ. guestroom entry (42)`, `QTY 42`, `3 doors, one per floor`.
//! The row counts once, and whether it is so many doors is asked.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};

use crate::read::openings::doorlist::{self, Entry};
use crate::read::schedule::{Opening, Schedule};
use crate::read::words::{self, WordList, plain};

/// Fewer are the leaves of a pair, more the number of a room.
const COUNTS: std::ops::RangeInclusive<u32> = 2..=999;

/// The words beside a number that make it a count of doors.
struct Beside {
    before: &'static WordList,
    behind: &'static WordList,
    typical: &'static WordList,
}

impl Beside {
    /// The count of doors in words: behind `QTY`, before `OPENINGS`, in brackets behind `TYP.`, at the end as `x48`.
    fn count(&self, text: &str) -> Option<u32> {
        // `HINGES QTY 4`, `SEE NOTE (3)`, `OCC LOAD 99 TOTAL` count something else.
        let folded = plain(text);
        if ["remark-hardware", "goods", "count-of-others"].iter().any(|list| words::list(list).find(&folded).is_some())
        {
            return None;
        }
        let signs = |sign: char| !sign.is_ascii_alphanumeric();
        let mut before = "";
        let (mut is_typical, mut is_of) = (false, false);
        let mut from = 0;
        while let Some(start) = text[from..].find(|sign: char| !signs(sign)).map(|next| from + next) {
            let end = text[start..].find(signs).map_or(text.len(), |next| start + next);
            let word = &text[start..end];
            if word.as_bytes().iter().any(u8::is_ascii_digit) {
                let times = word.strip_prefix(['x', 'X']).filter(|_| end == text.len());
                let number = times.unwrap_or(word).parse().ok().filter(|number| COUNTS.contains(number));
                let apart = text[..start].ends_with([' ', '(']) || start == 0;
                let sized = text[end..].starts_with(['"', '\'', '-', '/', '.', '#']);
                if let Some(number) = number.filter(|_| apart && !sized) {
                    let next = text[end..].trim_start_matches(['.', ' ']);
                    let next = next.split(signs).next().unwrap_or_default();
                    let bracket = text[..start].ends_with('(') && text[end..].starts_with(')');
                    // Behind `TYP.` alone stands the number of a room.
                    let led = !before.is_empty() && self.before.is(&plain(before)) && (!is_typical || is_of);
                    let begins =
                        text[..start].trim_end().is_empty() || text[..start].trim_end().ends_with(['(', ',', ';']);
                    let followed = begins && !next.is_empty() && self.behind.is(&plain(next)) && number > 2;
                    // `10 x48`, `3-0 X70` are sizes.
                    let sized =
                        before.is_empty() || text[..start].trim_end().ends_with(|sign: char| sign.is_ascii_digit());
                    if times.is_some() && !sized || led || followed || bracket && is_typical {
                        return Some(number);
                    }
                }
            } else {
                is_typical |= self.typical.is(&plain(word));
                // `Typ. of 42`: what stands before the small word tells.
                is_of = is_typical && words::list("typical-of").is(&plain(word));
                before = if is_of { before } else { word };
            }
            from = end;
        }
        None
    }
}

/// The count in brackets behind a mark that is no number of its form: `Q-3 (48)`. `101 (102)` names two numbers.
pub(crate) fn bracketed(number: &str) -> Option<u32> {
    let (mark, count) = number.trim().strip_suffix(')')?.rsplit_once('(')?;
    let figures = (1..=3).contains(&count.len()) && count.bytes().all(|byte| byte.is_ascii_digit());
    let mark = mark.trim_end();
    let other = !mark.is_empty() && doorlist::shape(mark) != doorlist::shape(count);
    count.parse().ok().filter(|count| figures && other && COUNTS.contains(count))
}

/// The same, where it may count doors: fewer figures than the mark has, and not three.
fn few(number: &str) -> Option<u32> {
    let (mark, _) = number.rsplit_once('(')?;
    let figures = mark.bytes().filter(u8::is_ascii_digit).count();
    bracketed(number).filter(|count| *count < 100 && (figures == 0 || count.to_string().len() < figures.max(2) + 1))
}

/// A door whose number is written with a count in brackets: its number without it, and as it is written among the remarks.
pub(crate) fn without_count(mut door: Opening) -> Opening {
    if bracketed(&door.number).is_none() || counted_list(&door.number).is_some() {
        return door;
    }
    let Some(mark) = door.number.rsplit_once('(').map(|(mark, _)| mark.trim_end().to_string()) else { return door };
    let written = std::mem::replace(&mut door.number, mark);
    if !door.remarks.is_empty() {
        door.remarks.push_str("; ");
    }
    door.remarks.push_str(&written);
    door
}

/// What a number cell lists, without the count in brackets behind it: `101-105 (5)` five doors. `Q-3 (48)`, a mark with its
/// count, lists nothing.
pub(crate) fn counted_list(text: &str) -> Option<&str> {
    if bracketed(text).is_none() {
        return Some(text);
    }
    let (mark, _) = text.rsplit_once('(')?;
    let entries = doorlist::parse(mark)?;
    (!matches!(entries[..], [Entry::Door(_)])).then(|| mark.trim_end())
}

/// `101A (1)`, `101A (2)`, or `101A` and `101A (2)`: brackets that count up tell doors of one number apart, and count none.
fn counting_up(schedule: &mut Schedule) {
    let written = |door: &Opening| {
        let last = door.remarks.rsplit("; ").next().filter(|text| text.starts_with(&*door.number))?;
        Some((last.to_string(), bracketed(last).filter(|count| *count < 10)?))
    };
    let told: Vec<Option<(String, u32)>> = schedule.openings.iter().map(written).collect();
    if told.iter().all(Option::is_none) {
        return;
    }
    let squeezed = |text: &str| text.replace(' ', "");
    let plain_ones = schedule.openings.iter().zip(&told).filter(|(_, told)| told.is_none());
    let mut known: BTreeSet<String> = plain_ones.map(|(door, _)| squeezed(&door.number)).collect();
    known.extend(told.iter().flatten().map(|(text, _)| squeezed(text)));
    for (door, told) in schedule.openings.iter_mut().zip(told) {
        let Some((text, count)) = told else { continue };
        let mark = squeezed(&door.number);
        let first = known.contains(&mark) || known.contains(&format!("{mark}(1)"));
        if first && (2..count).all(|before| known.contains(&format!("{mark}({before})"))) {
            let rest = door.remarks.len() - text.len();
            door.remarks.truncate(rest);
            door.remarks.truncate(door.remarks.trim_end_matches([';', ' ']).len());
            door.number = text;
        }
    }
}

/// Asks of rows that stand for one door whether they are as many as their words count.
pub(crate) fn settle(schedule: &mut Schedule) {
    counting_up(schedule);
    let list = words::list;
    let beside =
        Beside { before: list("count-of-doors-behind"), behind: list("count-of-doors"), typical: list("typical") };
    let counted = |text: &str| text.bytes().any(|byte| byte.is_ascii_digit()).then(|| beside.count(text)).flatten();
    let mut said: BTreeMap<u32, Vec<(&str, &Opening)>> = BTreeMap::new();
    for door in schedule.openings.iter().filter(|door| door.count == 1 && door.excluded.is_none()) {
        let found = [&door.room, &door.remarks].into_iter().find_map(|text| Some((counted(text)?, text.as_str())));
        let written = || door.remarks.rsplit("; ").next().filter(|text| text.starts_with(&*door.number));
        let found = found.or_else(|| written().and_then(|text| Some((few(text)?, text))));
        if let Some((count, text)) = found {
            said.entry(count).or_default().push((text, door));
        }
    }
    let found: Vec<Finding> = said.into_iter().filter_map(|(count, doors)| asked(count, &doors)).collect();
    schedule.findings.extend(found);
}

fn asked(count: u32, doors: &[(&str, &Opening)]) -> Option<Finding> {
    let (text, first) = *doors.first()?;
    let others = if doors.iter().any(|(other, _)| *other != text) { " and the like" } else { "" };
    let says = format!("\"{text}\"{others} may count {count} doors, and each row that says so stands for one");
    let all = Effect::Doors { are: Fact::Count(count), goods: Vec::new() };
    let finding = Finding {
        openings: doors.iter().map(|(_, door)| door.number.clone()).collect(),
        answers: vec![Answer::new("one door", Effect::Nothing), Answer::new(format!("{count} doors"), all)],
        priced_as: "one door".into(),
        ..Finding::new("doors-counted-in-words", Kind::Question, Weight::Goods, says)
    };
    let help = "ask how many such doors there are, and give the schedule a column of counts";
    Some(finding.at(first.place.clone(), text).help(help))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_of_doors_are_told_from_other_numbers() {
        let list = words::list;
        let beside =
            Beside { before: list("count-of-doors-behind"), behind: list("count-of-doors"), typical: list("typical") };
        for (text, count) in [
            ("Typ. guestroom entry (42)", Some(42)),
            ("Guestroom (16 openings)", Some(16)),
            ("42 total", Some(42)),
            ("QTY 42", Some(42)),
            ("Qty: 42", Some(42)),
            ("guestroom x48", Some(48)),
            ("Typ. of 42", Some(42)),
            ("3 doors, one per floor", Some(3)),
            ("Office (102)", None),
            ("Office 42", None),
            ("2 doors", None),
            ("20 MIN", None),
            ("Storage 3-0 x 70", None),
            ("1 of 42", None),
            ("pair with door 104", None),
            ("Typical office 104", None),
            ("Storage x7-0", None),
            ("see 12 / A-501", None),
            ("HINGES QTY 4", None),
            ("closer x2", None),
            ("3-0 X70", None),
            ("LITE 6 X27", None),
            ("OCC LOAD 99 TOTAL", None),
            ("Serves 3 openings", None),
            ("TYP 104", None),
            ("Typical 204", None),
            ("TYP. SEE NOTE (3)", None),
            ("UNIT 12 ROOMS", None),
        ] {
            assert_eq!(beside.count(text), count, "{text}");
        }
    }
}
