//! Lists of doors under set headings: `101, 102A`, `105-109`, `105 THRU 109`, `201A,B,C`, `U01.1&2`.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use crate::read::words::{self, plain};

/// One entry of a list of doors.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Entry {
    /// One door.
    Door(String),
    /// From one door to another, both included.
    Range(String, String),
}

/// Reads a list of doors. `None` when something in it is no door number.
pub(crate) fn parse(text: &str) -> Option<Vec<Entry>> {
    let text = text.replace(['\n', '\r', ';', '\t'], ",");
    let mut entries: Vec<Entry> = Vec::new();
    let spaced = spell_ranges(&text);
    for piece in spaced.split(',') {
        let piece = piece.trim().trim_end_matches('.').trim_matches(['(', ')', '[', ']', '#']).trim();
        if piece.is_empty() {
            continue;
        }
        let mut before = "";
        for word in piece.split_whitespace() {
            // `101 A` is the number of one door, written apart.
            let apart = word.len() == 1 && word.as_bytes()[0].is_ascii_uppercase() && is_numbered(before);
            if word.starts_with('(') && counts_beside(word.trim_matches(['(', ')']), before) {
                continue;
            }
            before = word;
            if apart
                && let Some(Entry::Door(number)) = entries.last_mut()
                && number.ends_with(|last: char| last.is_ascii_digit())
            {
                number.push_str(word);
                continue;
            }
            let word = word.trim_matches(['(', ')', '[', ']', '*']);
            if word.is_empty() {
                continue;
            }
            let upper = word.to_ascii_uppercase();
            // `104 - pair`, `102 (RHR)`: what kind of door it is, no door.
            let told = matches!(upper.as_str(), "&" | "/" | "AND" | "-")
                || words::list("kind-in-a-list").is(upper.trim_end_matches('.'))
                || words::list("pair").is(&upper)
                || words::list("single").is(&upper);
            if told && (!entries.is_empty() || !matches!(word, "-" | "/")) {
                continue;
            }
            add(word, &mut entries)?;
        }
    }
    (!entries.is_empty()).then_some(entries)
}

/// `101 A` as `101A`, the way lists of doors write it.
pub(crate) fn in_one_word(number: &str) -> String {
    match number.trim().split_once(' ') {
        Some((first, letter))
            if letter.len() == 1 && letter.as_bytes()[0].is_ascii_uppercase() && is_numbered(first) =>
        {
            format!("{first}{letter}")
        }
        _ => number.to_string(),
    }
}

/// Whether a number in brackets behind a door, 2 of `101 (2)`, is no door but says something of it: its leaves, or how many such
/// doors there are.
pub(crate) fn counts_beside(number: &str, door: &str) -> bool {
    let figures = |text: &str| text.bytes().filter(u8::is_ascii_digit).count();
    (1..=2).contains(&number.len()) && figures(number) == number.len() && figures(door) >= 3 && is_door(door)
}

/// Whether a word is the number of a door and ends in a figure.
fn is_numbered(word: &str) -> bool {
    word.ends_with(|last: char| last.is_ascii_digit()) && is_door(word) && !word.contains(['&', '/'])
}

/// A list of doors that goes on in the further lines of its cell, in one line.
pub(crate) fn in_one_line(text: &str) -> Cow<'_, str> {
    let go_on = || text.lines().skip(1).all(|line| line.trim().is_empty() || parse(line).is_some());
    if text.contains('\n') && go_on() {
        text.split_whitespace().collect::<Vec<_>>().join(" ").into()
    } else {
        text.into()
    }
}

/// `105 THRU 109`, `105 TO 109`, `105 - 109` as `105..109`; `A & B` as `A,B`.
fn spell_ranges(text: &str) -> String {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let words: Vec<&str> = straight.split(' ').filter(|word| !word.is_empty()).collect();
    let mut out = String::with_capacity(straight.len());
    let mut glue = false;
    for (index, word) in words.iter().enumerate() {
        let upper = word.to_ascii_uppercase();
        let between = index > 0 && index + 1 < words.len();
        let leads_on = words.get(index + 1).is_some_and(|next| next.bytes().any(|byte| byte.is_ascii_digit()));
        if between
            && leads_on
            && (matches!(upper.as_str(), "-" | "--") || words::list("id-range").is(upper.trim_end_matches('.')))
        {
            out.push_str("..");
            glue = true;
            continue;
        }
        if !out.is_empty() && !glue {
            out.push(' ');
        }
        out.push_str(word);
        glue = false;
    }
    out
}

fn add(word: &str, entries: &mut Vec<Entry>) -> Option<()> {
    if let Some((from, to)) = word.split_once("..") {
        if !is_door(from) || !is_door(to) {
            return None;
        }
        entries.push(Entry::Range(from.to_string(), to.to_string()));
        return Some(());
    }
    // `U01.1&2`, `101A/B`, `101A&B`: the last part of the number varies.
    let word = word.trim_start_matches('#');
    if let Some((first, more)) = word.split_once(['&', '/'])
        && is_door(first)
        && !more.is_empty()
    {
        entries.push(Entry::Door(first.to_string()));
        for tail in more.split(['&', '/']) {
            let door = continued(first, tail)?;
            entries.push(Entry::Door(door));
        }
        return Some(());
    }
    if is_door(word) && word.bytes().any(|byte| byte.is_ascii_digit()) {
        if let Some((from, to)) = dashed_range(word) {
            entries.push(Entry::Range(from, to));
        } else {
            entries.push(Entry::Door(word.to_string()));
        }
        return Some(());
    }
    // `201A,B,C`: a letter alone goes on from the door before it.
    if word.len() <= 2 && word.bytes().all(|byte| byte.is_ascii_uppercase()) {
        let door = match entries.last()? {
            Entry::Door(before) => continued(before, word)?,
            Entry::Range(..) => return None,
        };
        entries.push(Entry::Door(door));
        return Some(());
    }
    None
}

/// The number of `before` with its last part replaced by `tail`; a whole number stands for itself.
fn continued(before: &str, tail: &str) -> Option<String> {
    if !tail.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'.' || byte == b'-') {
        return None;
    }
    let letters = tail.bytes().all(|byte| byte.is_ascii_alphabetic());
    let stem = if letters {
        before.trim_end_matches(|letter: char| letter.is_ascii_alphabetic())
    } else if tail.len() < before.len() && tail.bytes().all(|byte| byte.is_ascii_digit()) {
        // `U01.1&2` replaces what follows the dot; `101/102` is two whole numbers.
        match before.rfind(['.', '-']) {
            Some(dot) => &before[..=dot],
            None => &before[..before.len() - tail.len()],
        }
    } else {
        return is_door(tail).then(|| tail.to_string());
    };
    let door = format!("{stem}{tail}");
    (is_door(&door) && door != tail || !letters).then_some(door)
}

/// `105-109` is a range when both ends have the same form and the second is higher; `100-1` is one door.
pub(crate) fn dashed_range(word: &str) -> Option<(String, String)> {
    let (from, to) = word.split_once('-')?;
    let start = split(from)?;
    // `113A-C`: the letters alone go on.
    if let (&[a], &[b]) = (start.2.as_bytes(), to.as_bytes())
        && start.1 >= 10
        && a < b
        && b.is_ascii_uppercase()
    {
        return Some((from.to_string(), format!("{}{to}", &from[..from.len() - 1])));
    }
    // `1.04-1.06`: what follows the last dot counts.
    let dotted = |word: &'_ str| {
        let dot = word.rfind('.')?;
        Some((word[..dot].to_string(), word[dot + 1..].parse::<u32>().ok()?, word.len()))
    };
    if let (Some(first), Some(last)) = (dotted(from), dotted(to))
        && (&first.0, first.2) == (&last.0, last.2)
        && !first.0.is_empty()
        && (1..=300).contains(&last.1.saturating_sub(first.1))
    {
        return Some((from.to_string(), to.to_string()));
    }
    let end = split(to)?;
    // `101A-101C` counts letters.
    let letters = start.1 == end.1 && start.2.len() == 1 && end.2.len() == 1 && start.2 < end.2;
    // `1-4` may be one number; `OH1-OH4` names its letters twice.
    let counted = start.1 >= 10 || !start.0.is_empty();
    let same =
        start.0 == end.0 && from.len() == to.len() && counted && (letters || start.2 == end.2 && start.1 < end.1);
    (same && end.1 - start.1 <= 300).then(|| (from.to_string(), to.to_string()))
}

/// Prefix, number, suffix of a door number.
pub(crate) fn split(door: &str) -> Option<(String, u32, String)> {
    let from = door.find(|letter: char| letter.is_ascii_digit())?;
    let digits = door[from..].bytes().take_while(u8::is_ascii_digit).count();
    let number = door[from..from + digits].parse().ok()?;
    Some((door[..from].to_uppercase(), number, door[from + digits..].to_uppercase()))
}

/// Whether a word can be a door number: letters, figures, dots, dashes; at most fourteen.
pub(crate) fn is_door(word: &str) -> bool {
    let word = word.trim();
    !word.is_empty()
        && word.len() <= 14
        && word.bytes().all(|byte| byte.is_ascii_alphanumeric() || b".-_/&#".contains(&byte))
        && word.bytes().any(|byte| byte.is_ascii_alphanumeric())
        && word.bytes().filter(u8::is_ascii_alphabetic).count() <= 6
}

/// Whether a cell of a door number column looks like one.
pub(crate) fn looks_like(text: &str) -> bool {
    let plain = plain(text);
    if plain.len() > 18 || plain.contains('"') || plain.contains('\'') {
        return false;
    }
    let words: Vec<&str> = plain.split(' ').collect();
    // `1ST FLOOR`, `2ND LEVEL` head the rows below them.
    let ordinal = |word: &&str| {
        let figures = word.trim_end_matches(|letter: char| letter.is_ascii_alphabetic());
        let by_figures = !figures.is_empty() && figures.bytes().all(|sign| sign.is_ascii_digit());
        by_figures && words::list("ordinal-ends").is(&word[figures.len()..])
    };
    words.len() <= 3
        && words.iter().all(|word| is_door(word))
        && !words.iter().any(ordinal)
        && plain.bytes().any(|byte| byte.is_ascii_digit())
}

/// The doors of a schedule, as ranges look for them.
#[derive(Debug, Default)]
pub(crate) struct Known<'s> {
    all: HashSet<&'s str>,
    /// By what stands before the number: number, what stands behind it, place in the schedule, the door.
    by_prefix: HashMap<String, Vec<(u32, String, usize, &'s str)>>,
    /// The doors are those of the rows that are being read, and not known yet.
    is_partial: bool,
}

impl<'s> Known<'s> {
    /// For a row of a schedule, whose other doors are not known yet.
    pub(crate) fn of_a_row() -> Self {
        Self { is_partial: true, ..Self::default() }
    }

    /// These doors, in the order of the schedule.
    pub(crate) fn of(doors: &'s [String]) -> Self {
        let mut known = Self::default();
        for (at, door) in doors.iter().enumerate() {
            known.all.insert(door);
            if let Some((prefix, number, suffix)) = split(door) {
                known.by_prefix.entry(prefix).or_default().push((number, suffix, at, door));
            }
        }
        known.by_prefix.values_mut().for_each(|doors| doors.sort_unstable());
        known
    }

    /// Those from one end to the other. `105-109` takes 109A in; `101A-101C` ends at C.
    fn inside(&self, start: &(String, u32, String), end: &(String, u32, String)) -> Vec<String> {
        let Some(doors) = self.by_prefix.get(&start.0) else { return Vec::new() };
        let first = doors.partition_point(|(number, suffix, ..)| (number, suffix) < (&start.1, &start.2));
        let high = |(number, suffix, ..): &&(u32, String, usize, &str)| {
            *number < end.1 || *number == end.1 && (end.2.is_empty() || *suffix <= end.2)
        };
        let mut inside: Vec<(usize, &str)> =
            doors[first..].iter().take_while(high).map(|(.., at, door)| (*at, *door)).collect();
        inside.sort_unstable();
        inside.into_iter().map(|(_, door)| door.to_string()).collect()
    }
}

/// The doors that entries stand for. A range takes the doors of the schedule that lie in it, or, where none is known,
/// counts from one end to the other.
pub(crate) fn spell_out(entries: &[Entry], known: &Known<'_>) -> Vec<String> {
    let mut doors: Vec<String> = Vec::new();
    let mut seen: HashSet<String> = HashSet::new();
    let mut push = |door: String| {
        if seen.insert(door.clone()) {
            doors.push(door);
        }
    };
    for entry in entries {
        match entry {
            Entry::Door(door) => push(door.clone()),
            Entry::Range(from, to) => {
                let ends = || vec![from.to_string(), to.to_string()];
                in_range(from, to, known).unwrap_or_else(ends).into_iter().for_each(&mut push);
            }
        }
    }
    doors
}

/// Whether an end of one range is an end of another too: `100-101`, `100-102` are numbers then.
pub(crate) fn share_ends<'e>(entries: impl IntoIterator<Item = &'e Entry>) -> bool {
    let mut seen: HashSet<&str> = HashSet::new();
    entries.into_iter().any(|entry| match entry {
        Entry::Range(from, to) => [from, to].into_iter().any(|end| !seen.insert(end)),
        Entry::Door(_) => false,
    })
}

/// The ranges of which only the ends are read.
pub(crate) fn not_spelled(entries: &[Entry], known: &Known<'_>) -> Vec<(String, String)> {
    let ranges = entries.iter().filter_map(|entry| match entry {
        Entry::Range(from, to) => Some((from.clone(), to.clone())),
        Entry::Door(_) => None,
    });
    ranges.filter(|(from, to)| from != to && in_range(from, to, known).is_none()).collect()
}

/// Doors that a range is counted out to where nothing says which of them there are; a job has few more.
const MOST_IN_RANGE: u32 = 2_000;
/// The same where there is a schedule of doors and none of them is known to lie in the range: most of these will not be there.
const MOST_UNKNOWN: u32 = 300;

fn in_range(from: &str, to: &str, known: &Known<'_>) -> Option<Vec<String>> {
    let literal = format!("{from}-{to}");
    if known.all.contains(literal.as_str()) {
        return Some(vec![literal]);
    }
    let most = if known.all.is_empty() && !known.is_partial { MOST_IN_RANGE } else { MOST_UNKNOWN };
    let (start, end) = (split(from)?, split(to)?);
    if start.0 == end.0 {
        let inside = known.inside(&start, &end);
        if !inside.is_empty() {
            return Some(inside);
        }
        if start.1 == end.1
            && let (&[a], &[b]) = (start.2.as_bytes(), end.2.as_bytes())
            && a < b
        {
            let stem = &from[..from.len() - 1];
            return Some((a..=b).map(|letter| format!("{stem}{}", char::from(letter))).collect());
        }
        if start.1 < end.1 && end.1 - start.1 <= most {
            let digits = from[start.0.len()..].bytes().take_while(u8::is_ascii_digit).count();
            let prefix = &from[..start.0.len()];
            return Some((start.1..=end.1).map(|number| format!("{prefix}{number:0digits$}{}", start.2)).collect());
        }
    }
    by_last_number(from, to, most)
}

/// `1-101 THRU 1-105`, `U01.1 THRU U01.9`: numbers that are alike up to the last figures, counted from one end to the other.
fn by_last_number(from: &str, to: &str, most: u32) -> Option<Vec<String>> {
    let parts = |door: &str| {
        let stem = door.trim_end_matches(|letter: char| letter.is_ascii_digit()).len();
        Some((door[..stem].to_uppercase(), door[stem..].parse::<u32>().ok()?, door.len() - stem))
    };
    let ((stem, first, digits), (other, last, _)) = (parts(from)?, parts(to)?);
    (stem == other && first < last && last - first <= most)
        .then(|| (first..=last).map(|number| format!("{}{number:0digits$}", &from[..from.len() - digits])).collect())
}

/// The kind of a door number: its letters and figures, one of each.
pub(crate) fn shape(number: &str) -> String {
    let kind = |sign: char| match sign {
        '0'..='9' => '9',
        sign if sign.is_alphabetic() => 'A',
        sign => sign,
    };
    number.trim().chars().map(kind).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn doors(text: &str) -> Option<String> {
        parse(text).map(|entries| spell_out(&entries, &Known::default()).join(" "))
    }

    #[test]
    fn lists_and_ranges_are_spelled_out() {
        for (text, expected) in [
            ("101, 102A, 105-109", "101 102A 105 106 107 108 109"),
            ("105 THRU 109", "105 106 107 108 109"),
            ("105 to 107; 110", "105 106 107 110"),
            ("105 \u{2013} 107", "105 106 107"),
            ("201A,B,C", "201A 201B 201C"),
            ("201A, B & C", "201A 201B 201C"),
            ("U01.1&2", "U01.1 U01.2"),
            ("100.A 115.B B06.B", "100.A 115.B B06.B"),
            ("101A/B", "101A 101B"),
            ("101/102", "101 102"),
            ("100A / 100B", "100A 100B"),
            ("E1001.D1", "E1001.D1"),
            ("101A-101C", "101A 101B 101C"),
            ("101A THRU 101C", "101A 101B 101C"),
            ("100-1, 100-2", "100-1 100-2"),
            ("R100E", "R100E"),
            ("#107, #108 & #109", "107 108 109"),
            ("OH1-OH4", "OH1 OH2 OH3 OH4"),
            ("113A-C", "113A 113B 113C"),
            ("1-4", "1-4"),
            ("1.04-1.06, 1.09", "1.04 1.05 1.06 1.09"),
            ("1.04-2.06", "1.04-2.06"),
            ("U1.2-U1.3", "U1.2 U1.3"),
            ("101.10-1", "101.10-1"),
        ] {
            assert_eq!(doors(text).as_deref(), Some(expected), "{text}");
        }
        for text in ["HINGES", "3 EA HINGES", "Each leaf to have", "A, B", ""] {
            assert_eq!(doors(text), None, "{text}");
        }
    }

    #[test]
    fn a_range_takes_the_doors_that_the_schedule_has_in_it() {
        let known: Vec<String> = ["104", "105", "106A", "106B", "109", "110"].map(String::from).to_vec();
        assert_eq!(spell_out(&parse("105-109").unwrap(), &Known::of(&known)), ["105", "106A", "106B", "109"]);
    }

    #[test]
    fn a_long_range_is_counted_out_or_told() {
        let entries = parse("101 THRU 450").unwrap();
        assert_eq!(spell_out(&entries, &Known::default()).len(), 350);
        assert_eq!(not_spelled(&entries, &Known::default()), []);
        let entries = parse("101 THRU 99999").unwrap();
        assert_eq!(spell_out(&entries, &Known::default()), ["101", "99999"]);
        assert_eq!(not_spelled(&entries, &Known::default()), [("101".to_string(), "99999".to_string())]);
    }
}
