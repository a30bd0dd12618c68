//! What the words at the heading of a set leave open about its doors, and is asked: whether `PAIR - DOORS 105A AND 105B` are the
//! leaves of one pair or two pairs, `2 SGL DOORS #107` that names one, doors named in words, `Doors at all stairs`, and a set
//! that goes with another, `USED WITH SET 9`.

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use regex::Regex;

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::place::Place;

use super::setheading;
use crate::read::openings::doorlist;
use crate::read::schedule::{LedgerRow, Note, Role, Schedule, loose_id};
use crate::read::sheet::{Row, join};
use crate::read::walk::{Gathered, Last, Walker, join_single};
use crate::read::words::{self, plain};

/// The code of what is said of doors in words.
const IN_WORDS: &str = "doors-not-read";

/// More words than these tell more than where doors are.
const LONGEST: usize = 10;

/// `2 SGL DOORS`, `(1) PR DOORS`, `ONE PAIR OF DOORS`, `3 DOORS` at the head of a row or behind a dash or comma.
static COUNTED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
&format!(
        r"(?ix) (?: ^ | \s [\-\u{{2013}}\u{{2014}}] \s | [,;:(] ) \s* \(? (?P<count> [0-9]{{1,3}} | a | {numbers} ) \)? \s* (?: \( [0-9]+ \) \s* )? (?: ea\.? \s+ )?
        (?: (?P<pair> (?: {pairs} ) \.? ) | (?: {kinds} ) \.? )? \s* (?: of \s+ )? (?: (?: {beside} ) \.? \s+ )* (?P<doors> (?: {doors} ) \.? )? \b",
        numbers = words::list(words::NUMBERS).pattern(),
        pairs = words::list("pair-counted").pattern(),
        kinds = words::list("kind-counted").pattern(),
        beside = words::list("beside-doors-counted").pattern(),
        doors = words::list("doors").pattern(),
    ))
    .ok()
});

/// `IN PAIRS WITH SET 9`, `USED WITH HW SET 9`: this set goes with another.
static WITH_SET: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
&format!(
        r"(?ix) (?: {together} ) \s+ (?: with | w/ ) \s* (?: the \s+ )? (?: (?: {hardware} ) [\s.\-]* )? (?: {sets} ) [\s.:\#]* (?: no\b\.? \s* )?
        (?P<id> [a-z]{{0,4}}-?[0-9]{{1,4}}(?:\.[0-9]{{1,2}})?[a-z]{{0,2}} | [a-z] ) \b",
        together = words::list("goes-with").pattern(),
        hardware = words::list("words-for-hardware").pattern(),
        sets = words::list("heading-sets").pattern(),
    ))
    .ok()
});

/// The other set with which the words say that a set goes, and where they say it.
pub(crate) fn with_set(text: &str) -> Option<(String, std::ops::Range<usize>)> {
    if !text.to_ascii_uppercase().contains('W') {
        return None;
    }
    let found = WITH_SET.as_ref()?.captures(text)?;
    Some((found.name("id")?.as_str().to_string(), found.get(0)?.range()))
}

/// How many doors the words of a heading count, and whether they are pairs.
fn counted(text: &str) -> Option<(usize, bool)> {
    let found = COUNTED.as_ref()?.captures_iter(text).find(|found| {
        let doors = found.name("doors").is_some();
        found.name("pair").is_some() || doors && !found["count"].eq_ignore_ascii_case("a")
    })?;
    let said = &found["count"];
    let count = said.parse().ok().or_else(|| words::number(&plain(said)));
    let count = count.or_else(|| said.eq_ignore_ascii_case("a").then_some(1))?;
    (count > 0).then(|| (count, found.name("pair").is_some()))
}

/// Whether words speak of a pair in the singular: `MAIN ENTRANCE PAIR`, `DOUBLE DOOR`; `pairs`, `PR DOORS` are several.
fn one_pair(text: &str) -> bool {
    let folded = plain(text);
    let several = words::list("several-pairs");
    let all = words::list("pair").all(&folded);
    let said = || folded.split(|sign: char| !sign.is_alphanumeric()).any(|word| several.is(word));
    !all.is_empty() && !said() && !all.iter().any(|words| several.is(words))
}

/// The rows of the ledger by their places.
pub(crate) struct Rows(HashMap<Place, usize>);

impl Rows {
    /// Of a schedule.
    pub fn new(schedule: &Schedule) -> Self {
        let names = |row: &&LedgerRow| matches!(row.role, Role::Set | Role::SetOpenings);
        let rows = schedule.ledger.iter().enumerate().filter(|(_, row)| names(row));
        Self(rows.map(|(at, row)| (Place { column: None, ..row.place.clone() }, at)).collect())
    }

    /// The words of the row at a place.
    pub fn text<'s>(&self, place: &Place, schedule: &'s Schedule) -> Option<&'s str> {
        self.of(place).and_then(|at| schedule.ledger.get(at)).map(|row| row.text.as_str())
    }

    fn of(&self, place: &Place) -> Option<usize> {
        self.0.get(&Place { column: None, ..place.clone() }).copied()
    }
}

/// What the words of a row that names doors leave open about them; `pair`: they gave its doors two leaves.
pub(crate) fn of_row(set: &str, place: &Place, doors: &[String], pair: bool, rows: &Rows, schedule: &mut Schedule) {
    let Some(row) = rows.of(place).and_then(|at| schedule.ledger.get(at)) else { return };
    // The number of the set counts nothing: it stands before a sign, or no word for doors behind it.
    let (text, whole) = (row.text.clone(), row.text.clone());
    // Beside the doors of another table a number is the last of those.
    let count = match row.role {
        Role::Set => counted(&text),
        Role::SetOpenings => {
            counted(&text).filter(|_| text.starts_with(|first: char| first.is_ascii_digit() || first == '('))
        }
        _ => None,
    };
    let pairs = pair
        && match count {
            Some((_, pair)) => pair,
            None => one_pair(&whole) && matches!(doors, [first, second] if are_neighbours(first, second)),
        };
    let finding = match (doors, count) {
        (_, Some(_)) if doors.len() > 1 && speaks_of_both(&whole) => Some(both_kinds(set, doors)),
        ([first, second], None | Some((1, _))) if pairs => Some(pair_or_pairs(set, [first, second])),
        (_, Some((count, _))) if count != doors.len() => Some(other_count(set, count, doors)),
        _ => None,
    };
    let beside = count.is_none().then(|| counted_beside(set, &whole, doors)).flatten();
    schedule.findings.extend(finding.or(beside).map(|finding| finding.at(place.clone(), whole)));
}

/// `101 (2), 102`: what a number in brackets behind a door says.
fn counted_beside(set: &str, text: &str, doors: &[String]) -> Option<Finding> {
    let words: Vec<&str> = text.split([' ', ',', ';']).filter(|word| !word.is_empty()).collect();
    let said = words.windows(2).filter_map(|pair| {
        let number = pair[1].strip_prefix('(')?.trim_end_matches([':', '.']).strip_suffix(')')?;
        let counts = doorlist::counts_beside(number, pair[0]) && number.trim_start_matches('0') != "1";
        (counts && doors.iter().any(|door| door == pair[0])).then(|| format!("{} {}", pair[0], pair[1]))
    });
    let said: Vec<String> = said.collect();
    let first = said.first()?;
    let says = format!("\"{first}\" under set {set} may tell the leaves of the door, or how many such doors there are");
    let openings = said.iter().filter_map(|said| said.split(' ').next()).map(str::to_string).collect();
    let finding = Finding {
        openings,
        set: Some(set.to_string()),
        priced_as: "one single door each".into(),
        ..Finding::new("set-count-disagrees", Kind::Question, Weight::Goods, says)
    };
    Some(finding.help("ask what the numbers in brackets mean"))
}

/// Whether two numbers may be those of two leaves: `105A` and `105B`, `105` and `105A`, `402` and `403`.
fn are_neighbours(first: &str, second: &str) -> bool {
    let stem = |number: &str| {
        let end = number.trim_end_matches(|sign: char| sign.is_ascii_alphabetic()).len();
        number[..end].trim_end_matches(['.', '-']).to_string()
    };
    let figures = |number: &str| {
        let digits = number.trim_start_matches(|sign: char| !sign.is_ascii_digit());
        (number[..number.len() - digits.len()].to_string(), digits.parse::<i64>().ok())
    };
    let next = || {
        let ((before, one), (also, other)) = (figures(first), figures(second));
        before == also && one.zip(other).is_some_and(|(one, other)| (one - other).abs() == 1)
    };
    stem(first) == stem(second) || next()
}

fn pair_or_pairs(set: &str, [first, second]: [&String; 2]) -> Finding {
    let says = format!(
        "the heading of set {set} speaks of one pair and names {first} and {second}: the two leaves of one pair, or two pairs"
    );
    Finding {
        openings: vec![first.clone(), second.clone()],
        set: Some(set.to_string()),
        priced_as: "two pairs, four leaves".into(),
        answers: vec![
            Answer::new("two pairs", Effect::Nothing),
            Answer::new(
                format!("one pair: {first} and {second} are its leaves"),
                Effect::Doors { are: Fact::OnePair, goods: Vec::new() },
            ),
        ],
        ..Finding::new("pair-or-pairs", Kind::Question, Weight::Goods, says)
    }
    .help("look at the plan: one opening with two leaves, or two openings")
}

fn other_count(set: &str, count: usize, doors: &[String]) -> Finding {
    let some = doors.iter().take(6).cloned().collect::<Vec<_>>().join(", ");
    let more = if doors.len() > 6 { " and more" } else { "" };
    let named = if doors.len() == 1 { "one".to_string() } else { doors.len().to_string() };
    let says = format!("a row of set {set} says {count} and names {named}: {some}{more}");
    Finding {
        openings: doors.to_vec(),
        set: Some(set.to_string()),
        priced_as: format!("for the doors named, {}", doors.len()),
        ..Finding::new("set-count-disagrees", Kind::Question, Weight::Goods, says)
    }
    .help("ask which doors have the set; the doors named were counted")
}

/// `2 SGL. DOORS 115, 116 AND 1 PR. 117`: single doors and pairs, each with their number.
fn speaks_of_both(text: &str) -> bool {
    let folded = plain(text);
    let words: Vec<&str> = folded.split([' ', ',', ':', '.', '-', '(', ')']).filter(|word| !word.is_empty()).collect();
    let counted = |list: &str| {
        words.windows(2).any(|two| {
            two[0].len() <= 2 && two[0].bytes().all(|byte| byte.is_ascii_digit()) && words::list(list).is(two[1])
        })
    };
    counted("pair") && counted("single")
}

fn both_kinds(set: &str, doors: &[String]) -> Finding {
    Finding {
        openings: doors.to_vec(),
        set: Some(set.to_string()),
        priced_as: "each as one leaf".to_owned(),
        ..Finding::new(
            "singles-and-pairs",
            Kind::Question,
            Weight::Goods,
            format!(
                "a row of set {set} names single doors and pairs together; nothing tells them apart by their numbers"
            ),
        )
    }
    .help("write single doors and pairs into rows of their own, or give the widths in a door schedule")
}

/// Whether words begin with doors that they tell by their place: `Doors at all stairs`, `DOORS: north and south entrance`.
fn doors_in_words(text: &str) -> bool {
    let folded = plain(text);
    if setheading::names_doors(text) {
        return true;
    }
    let rest = words::list("doors-in-words").begins(&folded).map(|found| folded[found.len()..].trim_start());
    rest.is_some_and(|rest| {
        let place = words::list("doors-where").begins(rest).is_some_and(|word| rest.len() > word.len());
        let asks = || ["hardware", "note-asks"].iter().any(|list| words::list(list).find(rest).is_some());
        place && rest.split(' ').count() <= LONGEST && !asks()
    })
}

impl Walker<'_> {
    /// A row under a heading that speaks of its doors in words, or of another set.
    pub(crate) fn words_of_heading(&mut self, lane: usize, set: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        if row.cells.len() > 3 {
            return None;
        }
        let (single, place) = (join_single(&row.cells), self.sheet.place(row.number));
        if let Some(entries) = setheading::led_by_words(&single).filter(|_| out.schedule.sets[set].lines.is_empty()) {
            out.served.push((set, entries, place));
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
            return Some(Role::SetOpenings);
        }
        let of = &mut out.schedule.sets[set];
        let finding = if doors_in_words(&single) {
            let says = "the row names doors in words that cannot be read as numbers";
            Finding { set: Some(of.id.clone()), ..Finding::new(IN_WORDS, Kind::Question, Weight::Goods, says) }
                .at(place.clone(), single)
                .help("write the numbers with commas; ranges as 105-109")
        } else {
            // Beside goods it is a remark of theirs.
            let (other, at) = with_set(&single).filter(|_| of.lines.is_empty())?;
            let rest = plain(&format!("{} {}", &single[..at.start], &single[at.end..]));
            if words::list("hardware").find(&rest).is_some() {
                return None;
            }
            goes_with(&of.id, &other).at(place.clone(), single)
        };
        of.notes.push(Note { text: join(&row.cells), place });
        out.schedule.findings.push(finding);
        Some(Role::Note)
    }
}

fn goes_with(set: &str, other: &str) -> Finding {
    let says = format!(
        "set {set} is said to go with set {other}: whether its doors are leaves of pairs whose other leaves have set {other}, or have the goods of both, is not told"
    );
    Finding {
        set: Some(set.to_string()),
        priced_as: format!("each door that names set {set} has that set alone, as the schedule gives it"),
        ..Finding::new("set-with-another", Kind::Question, Weight::Goods, says)
    }
    .help("ask which doors have both sets, and which leaf has which; write it into the door schedule")
}

/// Once doors have their sets: titles that speak of another set or of doors in words. Of words alone nothing is asked where a
/// door has the set.
pub(crate) fn settle(schedule: &mut Schedule) {
    let Schedule { openings, sets, findings, .. } = schedule;
    if sets.is_empty() && findings.iter().all(|finding| finding.code != IN_WORDS) {
        return;
    }
    let named: HashSet<&str> = openings.iter().filter_map(|door| door.set.as_deref()).collect();
    let served: HashSet<String> = named.into_iter().map(loose_id).collect();
    let is_served = |id: &str| served.contains(&loose_id(id));
    findings.retain(|finding| finding.code != IN_WORDS || !finding.set.as_deref().is_some_and(is_served));
    for set in sets.iter().filter(|set| set.not_used.is_none() && !set.title.is_empty()) {
        if let Some((other, _)) = with_set(&set.title) {
            findings.push(goes_with(&set.id, &other).at(set.place.clone(), set.title.clone()));
        }
        let worded = words::list("doors-in-title").find(&plain(&set.title)).is_some();
        let told = || findings.iter().any(|known| known.code == IN_WORDS && known.set.as_ref() == Some(&set.id));
        if worded && !openings.is_empty() && !set.lines.is_empty() && !is_served(&set.id) && !told() {
            let says = format!(
                "the heading of set {} names its doors in words, and no door has the set; it is not counted",
                set.id
            );
            let finding = Finding::new(IN_WORDS, Kind::Question, Weight::Goods, says);
            findings.push(
                Finding { set: Some(set.id.clone()), ..finding }
                    .at(set.place.clone(), set.title.clone())
                    .help("ask which doors have the set, and give it to them in the door schedule"),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_count_doors_and_pairs() {
        for (text, expected) in [
            ("2 SGL DOORS #107", Some((2, false))),
            ("1 PR DOORS #402 & #403 NAVE", Some((1, true))),
            ("Entrance - (2) PAIRS OF DOORS 101, 102", Some((2, true))),
            ("ONE (1) PAIR EXTERIOR DOORS 105", Some((1, true))),
            ("A pair, doors 101 and 102", Some((1, true))),
            ("3 DOORS 101 102", Some((3, false))),
            ("DOORS: 101, 102", None),
            ("STAIR 2 DOORS 101, 102", None),
            ("MAIN ENTRANCE PAIR - DOORS 105A AND 105B", None),
            ("PAIR 3'-0\" x 7'-0\" - 45 MINUTE", None),
        ] {
            assert_eq!(counted(text), expected, "{text}");
        }
        for (text, one) in [
            ("MAIN ENTRANCE PAIR - DOORS 105A AND 105B", true),
            ("1 PR DOORS #402 & #403", true),
            ("Hall - Doors 801A, 802A - pairs", false),
            ("Double doors - Doors 201, 203", false),
            ("Each pair to have", false),
            ("DOORS 105A, 105B", false),
        ] {
            assert_eq!(one_pair(text), one, "{text}");
        }
    }

    #[test]
    fn headings_speak_of_other_sets_and_of_doors_in_words() {
        for (text, id) in [
            ("IN PAIRS WITH SET 9", Some("9")),
            ("Used with HW set B-2", Some("B-2")),
            ("use w/ hardware set 3 at pairs", Some("3")),
            ("Pairs with mullion", None),
            ("USED WITH SET SCREWS", None),
        ] {
            assert_eq!(with_set(text).map(|(id, _)| id).as_deref(), id, "{text}");
        }
        for (text, worded) in [
            ("Doors at all stairs", true),
            ("DOORS: north and south entrance", true),
            ("All doors to mechanical rooms", true),
            ("OPENINGS IN CORRIDOR 100", true),
            ("DOORS TO HAVE CLOSERS", false),
            ("DOOR STOP AT WALL", false),
            ("DOORS TO RECEIVE KICK PLATES", false),
        ] {
            assert_eq!(doors_in_words(text), worded, "{text}");
        }
    }
}
