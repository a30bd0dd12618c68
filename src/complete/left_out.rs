//! Where the words of a line leave it out: `OMIT AT 111, 113-115`, `NOT USED @ DOORS A101 THRU A103`. What a remark says is
//! said up to the end of its brackets and of its cell. What is like the number of a door and is none of the job's is asked
//! about; it never takes the line out everywhere.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use crate::read::schedule::Wording;
use crate::trade::attribute::names;
use crate::trade::condition::{self, Part};
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, Remark, RemarkKind};

use super::door::Door;
use super::reconcile::loose;

/// The doors at which a line is left out.
#[derive(Debug, Default)]
pub struct LeftOut {
    /// Doors of the job.
    pub doors: Vec<usize>,
    /// Those of them where others supply it, or where it is already.
    pub others: Vec<usize>,
    /// What is said like the number of a door, or of some doors, and is none of the job's.
    pub unknown: Vec<String>,
}

impl LeftOut {
    /// Whether the words name no doors at all.
    pub fn is_empty(&self) -> bool {
        self.doors.is_empty() && self.unknown.is_empty()
    }
}

/// Whether a remark leaves its line out.
pub fn leaves_out(kind: RemarkKind) -> bool {
    matches!(kind, RemarkKind::ByOthers | RemarkKind::NotInContract | RemarkKind::Existing | RemarkKind::NotUsed)
}

/// What stands behind a remark: up to the bracket that closes around it, the end of its line, the end of its cell.
pub fn behind(wording: &Wording, remark: &Remark) -> Range<usize> {
    let from = remark.evidence.span.end;
    let cell = wording.parts.iter().find(|part| part.span.contains(&remark.evidence.span.start));
    let end = cell.map_or(wording.text.len(), |part| part.span.end);
    let text = wording.text.get(from..end).unwrap_or_default();
    let mut depth = 0u32;
    let mut goes_on = true;
    for (at, sign) in text.char_indices() {
        match sign {
            '(' | '[' => depth += 1,
            ')' | ']' if depth == 0 => return from..from + at,
            ')' | ']' => depth -= 1,
            // A line that ends with a comma goes on in the next.
            '\n' | '\r' if !goes_on => return from..from + at,
            _ => {}
        }
        if !sign.is_whitespace() {
            goes_on = matches!(sign, ',' | '&' | '-' | '/');
        }
    }
    from..from + text.len()
}

/// The doors at which the words of a line leave it out.
pub fn of_line(wording: &Wording, reading: &Reading, doors: &Numbers) -> LeftOut {
    let mut all = LeftOut::default();
    for remark in reading.remarks.iter().filter(|remark| leaves_out(remark.kind)) {
        let left = of_remark(wording, reading, remark, doors);
        if remark.kind != RemarkKind::NotUsed {
            all.others.extend(left.doors.iter().copied());
        }
        all.doors.extend(left.doors);
        all.unknown.extend(left.unknown);
    }
    all.doors.sort_unstable();
    all.doors.dedup();
    all
}

/// The doors that what stands behind a remark names. What follows an "at" and is like no number of a door of the job
/// (`AT HEAD`, `FOR COORDINATION`) names none.
pub fn of_remark(wording: &Wording, reading: &Reading, remark: &Remark, doors: &Numbers) -> LeftOut {
    let words = words(wording, reading, behind(wording, remark));
    if !words.first().is_some_and(|first| rule_words::is("at-doors", first)) {
        return LeftOut::default();
    }
    of_words(&words, doors)
}

/// The doors that words name by their numbers: `AT 101 & 102`, `DOORS 101-104`.
pub fn of_place(wording: &Wording, reading: &Reading, span: Range<usize>, doors: &Numbers) -> LeftOut {
    let mut words = words(wording, reading, span);
    let leads = |word: &String| rule_words::is("at-doors", word) || rule_words::is("doors-named", word);
    let other = |part: Part| matches!(part, Part::Only | Part::Not);
    words.retain(|word| !condition::words().is_word(&word.to_lowercase(), other));
    if !words.first().is_some_and(|first| leads(first) || has_digit(first)) {
        return LeftOut::default();
    }
    // What leads to the numbers stands first, as behind a remark.
    words.insert(0, String::new());
    of_words(&words, doors)
}

fn of_words(words: &[String], doors: &Numbers) -> LeftOut {
    let mut left = LeftOut::default();
    let named: Vec<Vec<usize>> = words.iter().map(|word| doors.named(word)).collect();
    let last_named = named.iter().rposition(|found| !found.is_empty()).unwrap_or(0);
    let of_doors = |word: &String| rule_words::is("doors-named", word);
    for (at, word) in words.iter().enumerate().skip(1) {
        if rule_words::is("between-doors", word)
            || at == 1 && rule_words::is("at-doors", word)
            || of_doors(word) && !is_part(words, at)
        {
            continue;
        }
        // `AT 1ST FLOOR`, `FOR 2 DOORS`, `AT LEVEL 2`: some doors, and nobody says which.
        let found = &named[at];
        let counted =
            has_digit(word) && (found.is_empty() || word.len() < 3) && words.get(at + 1).is_some_and(of_doors);
        if counted || is_part(words, at) {
            left.unknown.extend(words.get(at..at + 2).map(|both| both.join(" ")));
            break;
        }
        let is_unit = words.get(at + 1).is_some_and(|next| rule_words::is("units-of-numbers", &next.to_lowercase()));
        let is_bare = word.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-') && !is_unit;
        if found.is_empty() && !is_bare && !doors.is_like(word) {
            // `AT STAIR DOORS 105 AND 106`: what kind of doors they are tells nothing.
            if last_named > at {
                continue;
            }
            // `AT 101 AND EXTERIOR DOORS`: more doors than those named, and nobody says which.
            if !left.doors.is_empty() && rule_words::is("between-doors", &words[at - 1]) {
                left.unknown.push(words[at..].join(" "));
            }
            break;
        }
        if found.is_empty() {
            left.unknown.push(word.clone());
        }
        left.doors.extend(found);
    }
    left
}

/// `LEVEL 2`, `WING B`: a part of the job, with its number or letter.
fn is_part(words: &[String], at: usize) -> bool {
    let part = words.get(at).is_some_and(|word| rule_words::is("parts-of-jobs", word));
    part && words.get(at + 1).is_some_and(|next| has_digit(next) || next.chars().count() == 1)
}

fn has_digit(word: &str) -> bool {
    word.chars().any(|sign| sign.is_ascii_digit())
}

/// The words of a stretch in capitals, both ends of a range in one with a dash between. A finish that the reading heard ends
/// them: it stands behind the doors.
fn words(wording: &Wording, reading: &Reading, span: Range<usize>) -> Vec<String> {
    let text = wording.text.get(span.clone()).unwrap_or_default();
    let finishes: Vec<usize> = match reading.attributes.get(&names::FINISH) {
        Some(Heard::Found(_, evidence)) => vec![evidence.span.start],
        Some(Heard::Ambiguous(all)) => all.iter().map(|(_, evidence)| evidence.span.start).collect(),
        _ => Vec::new(),
    };
    let end = finishes.iter().filter(|at| **at > span.start).filter_map(|at| at.checked_sub(span.start)).min();
    let text = text.get(..end.unwrap_or(text.len())).unwrap_or(text);
    let uniform = text.to_uppercase().replace('@', " AT ").replace(['\u{2013}', '\u{2014}', '\u{2212}'], "-");
    let signs =
        |sign: char| sign.is_whitespace() || matches!(sign, ',' | ';' | '&' | '(' | ')' | '/' | ':' | '#' | '[' | ']');
    let parted = uniform.split(signs).map(|word| word.trim_end_matches('.')).filter(|word| !word.is_empty());
    let mut words: Vec<String> = Vec::new();
    let mut open = false;
    let parted: Vec<&str> = parted.collect();
    for (at, word) in parted.iter().enumerate() {
        let between = rule_words::is("to-doors", word) || word.chars().all(|sign| sign == '-');
        let next = parted.get(at + 1).is_some_and(|next| has_digit(next));
        let before = words.last().is_some_and(|before| has_digit(before));
        if between && before && next {
            open = true;
            continue;
        }
        let leads = word.starts_with('-') && has_digit(word) && before;
        match words.last_mut() {
            Some(last) if open || leads => *last = format!("{last}-{}", word.trim_start_matches('-')),
            _ => words.push((*word).to_owned()),
        }
        // `101- 103`
        open = word.len() > 1 && word.ends_with('-') && has_digit(word) && next;
        if open && let Some(last) = words.last_mut() {
            *last = last.trim_end_matches('-').to_owned();
        }
    }
    words
}

/// The number of a door in its parts: what stands before its last figures, the figures, what stands behind them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Mark {
    before: String,
    figures: u64,
    behind: String,
}

impl Mark {
    fn of(number: &str) -> Option<Mark> {
        let number = loose(number);
        let end = number.rfind(|sign: char| sign.is_ascii_digit())? + 1;
        let digits = number[..end].bytes().rev().take_while(u8::is_ascii_digit).count();
        let figures = number[end - digits..end].parse().ok()?;
        Some(Mark { before: number[..end - digits].to_owned(), figures, behind: number[end..].to_owned() })
    }

    /// The last of a range that this is the first of. What it leaves unsaid is as in the first: `A101-103`, `101A-C`,
    /// `113-15`.
    fn to(&self, last: &str) -> Option<Mark> {
        let mut to = match Mark::of(last) {
            Some(mark) => mark,
            None => Mark { behind: loose(last), ..self.clone() },
        };
        if to.before.is_empty() {
            to.before.clone_from(&self.before);
        }
        if to.figures < self.figures {
            let tens =
                10u64.checked_pow(u32::try_from(loose(last).trim_end_matches(char::is_alphabetic).len()).ok()?)?;
            to.figures = to.figures.checked_add(self.figures - self.figures % tens)?;
        }
        (to.before == self.before && *self < to).then_some(to)
    }
}

/// The numbers of a job's doors, to be looked up: a long schedule has thousands, and thousands of lines that name some.
#[derive(Debug, Default)]
pub struct Numbers {
    /// By number, compared loosely.
    by_number: HashMap<String, Vec<usize>>,
    /// In the order of their marks; those of a range stand together.
    by_mark: Vec<(Mark, usize)>,
    /// How many figures numbers of the job have.
    figures: HashSet<usize>,
}

impl Numbers {
    /// Those of some doors.
    pub fn of(doors: &[Door]) -> Numbers {
        let mut numbers = Numbers::default();
        for door in doors {
            numbers.by_number.entry(loose(&door.number)).or_default().push(door.index);
            numbers.by_mark.extend(Mark::of(&door.number).map(|mark| (mark, door.index)));
            numbers.figures.insert(shape(&door.number).1);
        }
        numbers.by_mark.sort_unstable();
        numbers
    }

    /// The doors of a number, or of a range of numbers. A number with a dash is first taken for that of one door.
    fn named(&self, word: &str) -> Vec<usize> {
        if let Some(own) = self.by_number.get(&loose(word)) {
            return own.clone();
        }
        // Of `1-101-1-103` the dash in the middle parts the two; a range whose first door the job has is likelier than
        // another.
        let ranges = word.match_indices('-').filter_map(|(at, _)| {
            let first = Mark::of(&word[..at])?;
            let last = first.to(&word[at + 1..])?;
            Some((first, last))
        });
        ranges.map(|range| self.between(&range)).max_by_key(|found| found.len()).unwrap_or_default()
    }

    /// The doors from one mark to another that begin alike.
    fn between(&self, (first, last): &(Mark, Mark)) -> Vec<usize> {
        let from = self.by_mark.partition_point(|(mark, _)| mark < first);
        let within = self.by_mark[from..].iter().take_while(|(mark, _)| mark <= last);
        let mut found: Vec<usize> = within.map(|(_, index)| *index).collect();
        found.sort_unstable();
        found
    }

    /// Whether a word, or both ends of a range, could be the number of a door of the job: figures as long as those of one,
    /// and no more than two letters beside them that are no unit.
    fn is_like(&self, word: &str) -> bool {
        let one = |word: &str| {
            let (letters, figures) = shape(word);
            let unit = word.trim_start_matches(|sign: char| sign.is_ascii_digit());
            word.len() > 1
                && letters <= 2
                && !word.contains(['"', '\''])
                && !rule_words::is("units-of-numbers", unit)
                && self.figures.contains(&figures)
        };
        has_digit(word) && (one(word) || word.split('-').filter(|part| !part.is_empty()).all(one))
    }
}

/// How many letters and how many figures a word has.
fn shape(word: &str) -> (usize, usize) {
    let letters = word.chars().filter(|sign| sign.is_alphabetic()).count();
    let figures = word.chars().filter(char::is_ascii_digit).count();
    (letters, figures)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::terms::Terms;

    fn doors(numbers: &[&str]) -> Vec<Door> {
        let (schedule, _) = crate::complete::example::job(
            &numbers.iter().map(|number| format!("door {number} 36x84")).collect::<Vec<_>>().join("; "),
        );
        let openings = schedule.openings.iter().enumerate();
        openings.map(|(index, opening)| Door::of(index, opening, &Terms::default())).collect()
    }

    fn left(text: &str, numbers: &[&str]) -> (Vec<String>, Vec<String>) {
        let lexicon = crate::understand::Lexicon::load(&[]).unwrap();
        let wording = Wording::free(text);
        let reading = crate::understand::understand(&lexicon, &wording, &Default::default()).remove(0);
        let doors = doors(numbers);
        let left = of_line(&wording, &reading, &Numbers::of(&doors));
        (left.doors.iter().map(|index| doors[*index].number.clone()).collect(), left.unknown)
    }

    #[test]
    fn ranges_are_those_doors() {
        let plain = ["101", "102", "102A", "103", "104", "689"];
        let lettered = ["A101", "A102", "A103", "A104", "B102"];
        let storeys = ["1-101", "1-102", "1-103", "2-102"];
        for (text, numbers, expected) in [
            ("CLOSER (OMIT AT 101)", &plain[..], &["101"][..]),
            ("CLOSER (OMIT AT 101 - 103)", &plain, &["101", "102", "102A", "103"]),
            ("CLOSER OMIT AT 101 TO 103", &plain, &["101", "102", "102A", "103"]),
            ("CLOSER OMIT AT DOORS 101\u{2013}102 AND 104", &plain, &["101", "102", "104"]),
            ("CLOSER (NOT USED @ 101- 102)", &plain, &["101", "102"]),
            ("CLOSER (OMIT AT 101-02)", &plain, &["101", "102"]),
            ("CLOSER (OMIT AT 689)", &plain, &["689"]),
            ("CLOSER (OMIT AT DOOR 101, DOOR 102)", &plain, &["101", "102"]),
            ("CLOSER (OMIT AT STAIR DOORS 103 AND 104)", &plain, &["103", "104"]),
            ("CLOSER (OMIT AT 101) 689", &plain, &["101"]),
            ("CLOSER (OMIT AT A101-A103)", &lettered, &["A101", "A102", "A103"]),
            ("CLOSER (OMIT AT A101 THRU 103)", &lettered, &["A101", "A102", "A103"]),
            ("CLOSER (OMIT AT 1-101)", &storeys, &["1-101"]),
            ("CLOSER (OMIT AT 1-101 THRU 1-103)", &storeys, &["1-101", "1-102", "1-103"]),
        ] {
            let (doors, unknown) = left(text, numbers);
            assert_eq!(doors, expected, "{text}");
            assert!(unknown.is_empty(), "{text}: {unknown:?}");
        }
    }

    #[test]
    fn what_is_like_a_door_is_asked_and_what_is_none_is_not() {
        let plain = ["101", "102", "103"];
        for (text, unknown) in [
            ("CLOSER (OMIT AT 205)", &["205"][..]),
            ("CLOSER (OMIT AT B101-B104)", &["B101-B104"]),
            ("CLOSER (OMIT AT 1ST FLOOR)", &["1ST FLOOR"]),
            ("CLOSER (OMIT AT LEVEL 2)", &["LEVEL 2"]),
            ("CLOSER (OMIT AT 9)", &["9"]),
            ("CLOSER (OMIT AT 18446744073709551615-9)", &["18446744073709551615-9"]),
            ("CLOSER BY OTHERS FOR COORDINATION", &[]),
            ("CARD READER BY OTHERS ON 120V", &[]),
        ] {
            assert_eq!(
                left(text, &plain),
                (Vec::new(), unknown.iter().map(|word| (*word).to_owned()).collect()),
                "{text}"
            );
        }
    }
}
