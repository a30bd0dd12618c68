//! The doors at the head of words and what stands behind them: `102, 103   3-0 X 7-0 X 1-3/4   WD X HM`, `110-114 20 MIN`,
//! `105A,B AND 106 - Offices`. A size, a rating or a word ends the list.

use super::doorlist::{self, Entry};
use crate::read::goods::itemtext::{codes, starts_with_quantity};
use crate::read::schedule::Role;
use crate::read::sets::setheading;
use crate::read::sheet::Row;
use crate::read::sizes::size;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Last, Walker};
use crate::read::words::{self, plain};
use crate::trade::room;

/// A word of the text without the signs around it, and where it ends.
struct Word<'t> {
    bare: &'t str,
    end: usize,
    /// A comma, `&` or `and` stands behind it.
    goes_on: bool,
    /// Signs such as brackets stand around it.
    signs: bool,
    /// It stands in round brackets.
    enclosed: bool,
}

impl Walker<'_> {
    /// `FOR USE ON DOORS:` alone, before the goods of a set or below them, and the rows under it: bare numbers, or a door a row
    /// with its room, size and rating.
    pub(crate) fn listed_doors(
        &mut self,
        lane: usize,
        set: usize,
        row: &Row,
        single: &str,
        out: &mut Gathered,
    ) -> Option<Role> {
        if row.cells.len() == 1 && (setheading::doors_follow(single) || self.is_over_doors(row)) {
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
            self.lanes[lane].listing = true;
            return Some(Role::Note);
        }
        if let Some(role) = self.door_below_heads((lane, set), row, single, out) {
            return Some(role);
        }
        if !self.lanes[lane].listing {
            return None;
        }
        let above = || out.served.iter().rev().find(|(of, ..)| *of == set).map(|(_, entries, _)| entries.as_slice());
        let Some(entries) = of_row(single, above) else {
            // One row of words that nobody knows does not end the list.
            self.lanes[lane].listing = !ends_list(single);
            return None;
        };
        out.served.push((set, entries, self.sheet.place(row.number)));
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
        Some(Role::SetOpenings)
    }
}

impl Walker<'_> {
    /// `DOORS` alone in its row, and in the next one numbers of doors alone below it.
    fn is_over_doors(&self, row: &Row) -> bool {
        let [word] = &row.cells[..] else { return false };
        let next = self.sheet.rows.get(self.sheet.index_of(row.number) + 1);
        let below = || matches!(next.map(|next| &next.cells[..]), Some([one]) if one.column == word.column && setheading::bare_list(&one.text).is_some());
        words::list("doors-over-numbers").is(plain(&word.text).trim_end_matches([':', '.', ' '])) && below()
    }
}

/// Whether a row below doors is of something else for certain: a heading, or goods with their count.
fn ends_list(text: &str) -> bool {
    let folded = plain(text);
    let named = || ["goods", "hardware"].iter().any(|list| words::list(list).find(&folded).is_some());
    lead(text).is_none() || starts_with_quantity(&folded) && named()
}

impl Walker<'_> {
    /// `101 | Room 101` below `Door Number | Location` under the heading of a set, before its goods: headings that tell too little
    /// for a schedule of doors lead to a list of them. `HARDWARE` alone below it leads to the goods.
    fn door_below_heads(&mut self, at: (usize, usize), row: &Row, single: &str, out: &mut Gathered) -> Option<Role> {
        let (lane, set) = at;
        if !out.schedule.sets[set].lines.is_empty() {
            return None;
        }
        let led = self.lanes[lane].last == Last::Doors && row.cells.len() == 1;
        if led && words::list("leads-to-goods").is(plain(single).trim_end_matches([':', ' '])) {
            return Some(Role::Note);
        }
        let heads = self.lanes[lane].table.as_ref().filter(|table| table.holds == Holds::Passed)?;
        let first = heads.columns.first().filter(|column| column.meaning == M::DoorNumber)?.index;
        let number = row.cells.first().filter(|cell| cell.column == first && doorlist::looks_like(&cell.text))?;
        let entries = doorlist::parse(&number.text).filter(|_| of_row(single, || None).is_some())?;
        out.served.push((set, entries, self.sheet.place(row.number)));
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
        Some(Role::SetOpenings)
    }
}

/// The doors of a row below words that lead to a list: nothing else, or no goods and no count behind them. A number of another
/// form than those above it, with words of no room and no figures, is none.
fn of_row<'e>(text: &str, above: impl Fn() -> Option<&'e [Entry]>) -> Option<Vec<Entry>> {
    // `Door 103  Classroom 103  3-0 x 7-0  20 MIN` too.
    let named = || setheading::served(text).map(|(entries, _)| entries);
    if let Some(entries) = setheading::bare_list(text).or_else(named) {
        return Some(entries);
    }
    let (entries, rest) = lead(text)?;
    let folded = plain(rest);
    let unit = folded.split(' ').next().is_some_and(crate::read::tables::columns::is_unit);
    if !unit && above().is_some_and(|above| follows(above, &entries)) {
        return Some(entries);
    }
    // `103 Classroom` is a room.
    let uses = words::list("words-of-use");
    let named = words::list("hardware").all(&folded).iter().any(|word| !uses.is(word));
    let goods = named
        || ["goods", "numbered-goods"].iter().any(|list| words::list(list).find(&folded).is_some())
        || is_finished(&folded, &entries);
    let number = |entry: &Entry| match entry {
        Entry::Door(door) | Entry::Range(door, _) => {
            door.len() > 2 || door.starts_with(|sign: char| sign.is_alphabetic())
        }
    };
    // Nobody counts goods by the hundred.
    let counted = |entry: &Entry| match entry {
        Entry::Door(door) => door.len() < 3 || !figures(door) || codes(door) > 0,
        Entry::Range(..) => true,
    };
    // `626 unless noted`, `619 finish on all`
    let of_finish = || words::list("finish-words").find(&folded).is_some();
    let told =
        || has_figure(&folded) || !room::uses(&folded).is_empty() || !entries.iter().any(counted) && !of_finish();
    let like = || {
        let shapes = |of: &[Entry]| of.iter().map(|entry| doorlist::shape(first(entry))).collect::<Vec<_>>();
        above().is_none_or(|above| shapes(above).iter().any(|shape| shapes(&entries).contains(shape)))
    };
    (!goods && !unit && entries.iter().all(number) && (told() || like())).then_some(entries)
}

/// Whether the number of a door comes shortly behind those above it and has their form: that of the `104 Lock Shop` behind 103.
fn follows(above: &[Entry], entries: &[Entry]) -> bool {
    let ([Entry::Door(door)], Some(Entry::Door(last) | Entry::Range(_, last))) = (entries, above.last()) else {
        return false;
    };
    let parts = |number: &str| {
        let lead = number.trim_end_matches(|sign: char| sign.is_ascii_digit());
        (lead.to_string(), number[lead.len()..].parse::<u32>().ok())
    };
    let ((lead, number), (lead_above, number_above)) = (parts(door), parts(last));
    let next = |number: u32, above: u32| number > MOST_COUNTED && number > above && number - above <= NEAR;
    lead == lead_above && number.zip(number_above).is_some_and(|(number, above)| next(number, above))
}

/// Goods are counted up to here; a greater number behind a door is a door.
const MOST_COUNTED: u32 = 30;

/// The next door has a number that is greater by no more.
const NEAR: u32 = 20;

fn figures(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_digit())
}

/// A door, or the first of a range.
fn first(entry: &Entry) -> &str {
    let (Entry::Door(door) | Entry::Range(door, _)) = entry;
    door
}

/// Whether words end with the code of a finish that is no number of the doors: a room may have that of its door.
fn is_finished(folded: &str, entries: &[Entry]) -> bool {
    let last = folded.rsplit(' ').next().unwrap_or_default();
    // `1-3/4` is how thick it is.
    !last.contains('-') && codes(last) > 0 && entries.iter().all(|entry| first(entry) != last)
}

/// The doors with which a text begins, and the rest of it.
pub(crate) fn lead(text: &str) -> Option<(Vec<Entry>, &str)> {
    let words = words_of(text);
    let (mut end, mut before, mut list) = (0, None, String::new());
    let mut at = 0;
    while at < words.len() {
        // `115, 116 AND 1 PR. 117`: how many of which kind, and their numbers.
        if before.is_some() && is_count(&words, at) {
            at += 2;
            continue;
        }
        // `101 (2), 102`
        if before.is_some_and(|before: usize| {
            words[at].enclosed && doorlist::counts_beside(words[at].bare, words[before].bare)
        }) {
            at += 1;
            continue;
        }
        // A dash may lead to other words.
        let joins = joins(&words, at);
        if !joins {
            let joined = at > 0 && words[at - 1].goes_on;
            if !may_go_on(&words, at, before, joined) {
                break;
            }
            (before, end) = (Some(at), at + 1);
        }
        list.push_str(words[at].bare);
        list.push(if words[at].goes_on && !joins { ',' } else { ' ' });
        at += 1;
    }
    let last = words.get(end.checked_sub(1)?)?;
    let entries = doorlist::parse(list.trim_end_matches([' ', ',', '-', '&', '/']))?;
    let rest = text[last.end..].trim_start_matches([',', ';', '.', ' ']);
    Some((entries, rest))
}

/// `- pairs`, `(PR)`: what kind of doors they are, and nothing else.
pub(crate) fn only_kind(rest: &str) -> bool {
    let left = words_of(rest).into_iter().filter(|word| !matches!(word.bare, "" | "-"));
    left.map(|word| is_kind(&word.bare.to_ascii_uppercase())).reduce(|all, one| all && one) == Some(true)
}

fn words_of(text: &str) -> Vec<Word<'_>> {
    let mut out: Vec<Word<'_>> = Vec::new();
    let mut from = 0;
    for word in text.split_inclusive([' ', ',', ';', '\n', '\t']) {
        let start = from;
        from += word.len();
        let trimmed = word.trim_end_matches([' ', ',', ';', '\n', '\t']);
        let goes_on = word[trimmed.len()..].contains([',', ';', '\n']);
        if trimmed.trim().is_empty() {
            if let Some(last) = out.last_mut() {
                last.goes_on |= goes_on;
            }
            continue;
        }
        let bare = trimmed.trim_matches(['(', ')', '[', ']', '#', '*', '.', ':']);
        let enclosed = trimmed.starts_with('(') && trimmed.ends_with(')');
        out.push(Word { bare, end: start + trimmed.len(), goes_on, signs: bare.len() < trimmed.len(), enclosed });
    }
    // `A AND B`, `A & B`: what stands before goes on.
    for at in 1..out.len() {
        if matches!(out[at].bare.to_ascii_uppercase().as_str(), "&" | "AND" | "+") {
            (out[at - 1].goes_on, out[at].goes_on) = (true, true);
        }
    }
    out
}

/// Words for the kind of a door, which may stand in a list of doors.
fn is_kind(upper: &str) -> bool {
    ["pair", "single", "kind-in-a-list"].iter().any(|list| words::list(list).is(upper))
}

/// Words that join two doors, or a door and the end of its range.
fn joins(words: &[Word<'_>], at: usize) -> bool {
    let upper = words[at].bare.to_ascii_uppercase();
    let next = words.get(at + 1).is_some_and(|next| has_figure(next.bare));
    at > 0 && next && (upper == "--" || words::list("joins-numbers").is(&upper))
}

/// A small count before a word for the kind of doors, and a number behind it.
fn is_count(words: &[Word<'_>], at: usize) -> bool {
    let count = words[at].bare.len() <= 2 && words[at].bare.bytes().all(|byte| byte.is_ascii_digit());
    let kind = words.get(at + 1).is_some_and(|next| is_kind(&next.bare.to_ascii_uppercase()));
    count && kind && words.get(at + 2).is_some_and(|next| has_figure(next.bare))
}

fn has_figure(word: &str) -> bool {
    word.bytes().any(|byte| byte.is_ascii_digit())
}

/// Whether the word at a place is one more door of the list.
fn may_go_on(words: &[Word<'_>], at: usize, before: Option<usize>, joined: bool) -> bool {
    let word = words[at].bare;
    // `201A,B,C`: the letter alone goes on from the door before it.
    if before.is_some() && joined && word.len() == 1 && word.bytes().all(|byte| byte.is_ascii_uppercase()) {
        return true;
    }
    // `101 A`: the letter is written apart.
    let apart = word.len() == 1 && word.bytes().all(|byte| byte.is_ascii_uppercase()) && !words[at].signs;
    if apart
        && before.is_some_and(|before| before + 1 == at && ends_in_figure(&words[before]) && lists(words, at - 1, at))
    {
        return true;
    }
    // `102 (RHR), 103 (PR)`: what kind of door it is, where more doors follow.
    if before.is_some() && is_kind(&word.to_ascii_uppercase()) {
        // `102, 103, pairs, 3-0 x 7-0`: what follows is a size.
        let next = |next: &Word<'_>| has_figure(next.bare) && may_go_on(words, at + 1, before, true);
        return words[at].goes_on && words.get(at + 1).is_some_and(next);
    }
    if !has_figure(word) || doorlist::parse(word).is_none() || is_measure(words, at, before) {
        return false;
    }
    if crossed(words, at) {
        return false;
    }
    before
        .is_none_or(|before| joined || !is_width(word) || doorlist::shape(words[before].bare) == doorlist::shape(word))
}

fn ends_in_figure(word: &Word<'_>) -> bool {
    word.bare.ends_with(|last: char| last.is_ascii_digit())
}

/// Whether a letter behind a number ends what is said, or another number follows behind a comma or of the same form: `101 A, 102 B`.
fn lists(words: &[Word<'_>], before: usize, at: usize) -> bool {
    words.get(at + 1).is_none_or(|next| {
        let letter = next.bare.len() == 1 && next.bare.bytes().all(|byte| byte.is_ascii_uppercase());
        let parted = words[at].goes_on && (has_figure(next.bare) || letter || next.bare == "&");
        parted || has_figure(next.bare) && doorlist::shape(next.bare) == doorlist::shape(words[before].bare)
    })
}

/// Whether a size with an `x` begins here: `3-0 X 7-0`, `3-0X7-0`.
fn crossed(words: &[Word<'_>], at: usize) -> bool {
    let is_sign = |word: &Word<'_>| word.bare.eq_ignore_ascii_case("x");
    let within = || {
        let upper = words[at].bare.to_ascii_uppercase();
        upper.contains('X') && size::parse_size(&upper).is_some_and(|read| read.height.is_some())
    };
    words.get(at + 1).is_some_and(is_sign) || within()
}

/// `3-0`, `3070` behind doors of another form: how wide they are.
fn is_width(word: &str) -> bool {
    let figures = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let feet = word.split_once('-').is_some_and(|(feet, inches)| {
        feet.len() == 1 && (1..=2).contains(&inches.len()) && figures(feet) && figures(inches)
    });
    feet || word.len() == 4 && figures(word) && size::parse_size(word).is_some()
}

/// `20 MIN`, `2 LEAVES`, `1-3/4`, `3/4 HR`: a figure with its unit, or a fraction.
fn is_measure(words: &[Word<'_>], at: usize, before: Option<usize>) -> bool {
    let fraction = words[at].bare.split_once('/').is_some_and(|(whole, of)| {
        let figures = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
        figures(whole) && matches!(of, "2" | "4" | "8" | "16" | "32")
    });
    let behind = words.get(at + 1).map(|next| plain(next.bare)).filter(|_| !words[at].goes_on);
    let unit = behind.is_some_and(|behind| {
        // `Doors 101, 102 each:` has two doors, `2 EACH` none: nobody counts by the hundred, nor in numbers like those of doors.
        let like = |before: usize| doorlist::shape(words[before].bare) == doorlist::shape(words[at].bare);
        let number = words[at].bare.bytes().filter(u8::is_ascii_digit).count() >= 3 || before.is_some_and(like);
        words::list("behind-a-measure").is(&behind) && !(number && words::list("each-behind-a-number").is(&behind))
    });
    fraction || unit
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_of_doors_ends_at_what_is_none() {
        for (text, doors, rest) in [
            ("102, 103   3-0 X 7-0 X 1-3/4   WD X HM", 2, "3-0 X 7-0 X 1-3/4   WD X HM"),
            ("102   3-0 X 7-0", 1, "3-0 X 7-0"),
            ("110-114   20 MIN", 1, "20 MIN"),
            ("110-114   3070 WD/HM", 1, "3070 WD/HM"),
            ("102, 103   3'-0\" X 7'-0\" X 1-3/4\"", 2, "3'-0\" X 7'-0\" X 1-3/4\""),
            ("102, 103, 104, 105A,B, 106", 6, ""),
            ("104   3070   HM/HM   45 MIN", 1, "3070   HM/HM   45 MIN"),
            ("105A AND 105B", 2, ""),
            ("101 THRU 104, 107 & 109", 3, ""),
            ("104 - Lobby to corridor", 1, "- Lobby to corridor"),
            ("110 (90 min)", 1, "(90 min)"),
            ("102 (RHR), 103 (PR)", 2, "(PR)"),
            ("110A, 110B (pairs)", 2, "(pairs)"),
            ("106  NAVE FROM NARTHEX   LHR/RHR", 1, "NAVE FROM NARTHEX   LHR/RHR"),
            ("1101 1102 3070", 3, ""),
            ("2-116A/B", 2, ""),
            ("115, 116 AND 1 PR. 117   3-0 X 7-0", 3, "3-0 X 7-0"),
            ("101 - 45 min", 1, "- 45 min"),
            ("102 and 103, pairs, 3-0 x 7-0", 2, "pairs, 3-0 x 7-0"),
            ("101, 102 each", 2, "each"),
            ("101-103 each to have", 1, "each to have"),
            ("101, 102A EA", 2, "EA"),
            ("101, 2 each", 1, "2 each"),
            ("12, 14 each", 2, "each"),
        ] {
            let (entries, left) = lead(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((entries.len(), left), (doors, rest), "{text}: {entries:?}");
        }
        for text in ["3 HOUR RATED", "2 LEAVES EACH", "3-0 X 7-0", "1-3/4 THICK", "Lobby 101", "CLOSER 436", "90 MIN"] {
            assert_eq!(lead(text), None, "{text}");
        }
    }
}
