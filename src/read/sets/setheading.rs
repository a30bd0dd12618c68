//! Headings of hardware sets and what stands under them: `HARDWARE SET NO. 04`, `HW SET: 3`, `SET 12A – STAIR`,
//! `Heading # 7`, `Group 3`, `HDW-04`; the doors a set serves; `each leaf to have`.

use regex::Regex;
use std::sync::LazyLock;

pub(crate) use super::sameas::{as_other, same_as, takes_goods};
use super::{headforms, titledoors};
use crate::read::excluded::others;
use crate::read::memo::{self, Memo};
use crate::read::openings::doorlist::{self, Entry};
use crate::read::openings::{doorlabels, doorlead};
use crate::read::schedule::Basis;
use crate::read::sheet::{CellKind, Row};
use crate::read::tables::twotongues;
use crate::read::words::{self, plain};
use crate::trade::{finish, function};

/// A set heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Heading {
    /// The id alone.
    pub id: String,
    /// What stands beside it.
    pub title: String,
    /// Doors named in the heading itself.
    pub doors: Vec<Entry>,
    /// `NOT USED` and the like.
    pub not_used: Option<String>,
}

static HEADING: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ [^a-z0-9]*
        (?: (?: (?:finish\s+|door\s+)? (?:hardware|hdware|hrdwr?|hdwr|hdwe|hdw|h\.?w\.?|ironmongery) [\s.\-]* (?: sched(?:ule)?\.? [\s.\-]+ )? )?
            (?: set | group | grp\.? | gps?\.? | heading | hdg\.? | schedule\s+item | item (?: \s* (?:no\b\.?|number|\#) ) ) s? \b
          | (?: hardware | hdwr | hdwe | hdw | hw | hws | hs | dhs | hg ) (?: \s* (?:no\.|number|\#) | \s*[\-:] | \s+ ) )
        [\s.:\-\u{2013}\u{2014}\#]* (?: (?:no\b\.? | number\b | num\b\.? | nbr\b\.? | id\b | \#) [\s.:\-\#]* )*
        (?P<id> [a-z]{5,12}-[0-9]{1,3}[a-z]? | [a-z]{0,4}[\-.]?[0-9]{1,4}(?:[.\-][0-9]{1,3})?[a-z]{0,2}[0-9]{0,2}(?:-[a-z]{1,2})? | [ivx]{2,5}\b | [a-z]\b )
        (?P<rest> $ | [\s\u{2013}\u{2014}:,;()\-\[\]}>*/.\u{a0}\#=|].* )",
    )
    .ok()
});

static DOORS: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ [^a-z0-9]* (?: (?:provide|furnish)\s+ )? (?: (?: for\s+ (?:use\s+ on\s+)? | used?\s+ (?:on|at|for|with)\s+ | serves?\s+ | applies\s+to\s+ | (?:typical\s+|typ\.?\s+)? at\s+ )? (?:the\s+)?(?:following\s+)?
        (?: doors? | openings? | drs? \.? | door\s+marks? | marks? | door\s+tags? ) \s* (?: \(s\) )? \s* (?: (?:no's|no|nos|number|numbers)\b\.? | \#s? | served | list | marks? | tags? )* (?:\(s\))? [\s.:\-=\u{2013}]*
        | serves? \s* : \s* | used\s+ (?:on|at) \s* :? \s* ) (?P<list> .*[0-9].* ) $",
    )
    .ok()
});

static COUNTED: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ \s* (?: (?: \(? [0-9]+ \)? \s* (?: ea\.? \s* )? | one \s+ | two \s+ )? (?P<kind> sgl\.? | single | pr\.? | pair | pairs | dbl\.? | double ) \s* (?: of\s+)? | \(? [0-9]+ \)? \s* (?: ea\.? \s* )? ) (?: doors? | openings? | drs?\.? )
        \s* (?: (?:no|number)\b\.? | \#|mark)? \s* [:.\-\#]? \s* (?P<list> \#?[a-z]{0,3}[0-9] .* ) $",
    )
    .ok()
});

/// Reads a row as the heading of a set, `Groupe / Group Q1` too.
pub(crate) fn heading(text: &str) -> Option<Heading> {
    let may = text.len() <= 240 && may_begin(text);
    let found = may.then(|| memo::once(&HEADINGS, text, heading_of)).flatten();
    found.or_else(|| twotongues::set_heading(text, |half| may_begin(half).then(|| heading_of(half))?))
}

/// Whether a text may begin the heading of a set: every form begins with one of few letters; most cells begin with another.
pub(crate) fn may_begin(text: &str) -> bool {
    let first = text.chars().find(|letter| letter.is_alphanumeric());
    first.is_some_and(|first| matches!(first.to_ascii_uppercase(), 'D' | 'F' | 'G' | 'H' | 'I' | 'S'))
}

thread_local! {
    static HEADINGS: Memo<Option<Heading>> = Memo::default();
}

/// The id of a set with which a text begins, however long it is, and what stands behind it.
pub(crate) fn led(straight: &str) -> Option<(String, &str)> {
    let found = HEADING.as_ref()?.captures(straight)?;
    let id = found.name("id")?.as_str();
    let rest = found.name("rest").map_or("", |rest| rest.as_str());
    if headforms::is_roman_good(straight, id, rest) {
        return None;
    }
    // `GROUP HW-01` is what the door schedule calls `HW-01`: the id alone is 01.
    let inner = HEADING.as_ref()?.captures(id).filter(|inner| inner.name("rest").is_none_or(|rest| rest.is_empty()));
    let id = inner.as_ref().and_then(|inner| inner.name("id")).map_or(id, |id| id.as_str()).to_string();
    Some((id, rest))
}

/// "NOT USED" in the title of a set, which then is not used. "CLOSER NOT USED" says so of a good, "NOT USED AS EXIT" of the door:
/// such a set is read. "NOT USED AS OF REV 2", "DELETED AS PER ADDENDUM 1" say it of the set.
pub(crate) fn not_used(title: &str) -> Option<String> {
    let title = plain(title);
    let found = words::list("not-used").find(&title)?;
    let (before, after) = title.split_once(found)?;
    let of_good = before.ends_with(' ') && words::list("goods").ends(before.trim_end()).is_some();
    let after = after.trim_start();
    let goes_on = words::list("not-used-said-of-doors").is(found)
        && words::list("joins-use").begins(after).is_some()
        && words::list("not-used-of-set").begins(after).is_none();
    (!of_good && !goes_on).then(|| found.to_string())
}

fn heading_of(text: &str) -> Option<Heading> {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let (id, rest) = led(&straight)?;
    let not_used = not_used(rest);
    let mut title = without_rest(tidy(rest));
    let mut doors = Vec::new();
    let named = doors_in(&title).into_iter().find_map(|(before, list)| {
        let (entries, after) = listed(list)?;
        Some((
            titledoors::less(entries, after),
            without_rest(tidy(&format!("{} {after}", tidy(doorlabels::before_word(before))))),
        ))
    });
    if let Some((entries, rest)) = named.or_else(|| led_by_list(&title)) {
        (doors, title) = (entries, rest);
    }
    // `SET 3 EA`, `GROUP 2 of 5`: a quantity or page, no heading; `SET 3: EACH OPENING TO RECEIVE` is one.
    let first = plain(&title);
    let counts = first.split(' ').next().is_some_and(|word| words::list("counts-behind-a-number").is(word));
    if let Some(rest) = headforms::of_so_many(&straight, &id, &title) {
        title = tidy(rest);
    } else if counts && basis(&title, false).is_none() {
        return None;
    }
    Some(Heading { id, title, doors, not_used })
}

/// A title that is only signs, or only the words that led to a list of doors, is none.
fn without_rest(title: String) -> String {
    let folded = plain(&title);
    let said = folded.trim_matches(|letter: char| !letter.is_alphanumeric());
    if said.is_empty() || words::list("leads-to-doors").is(said) { String::new() } else { title }
}

fn tidy(text: &str) -> String {
    let trimmed = text.trim().trim_start_matches(|sign: char| ":-,;.#=/|])}>*\u{2013}\u{2014}".contains(sign)).trim();
    let trimmed = trimmed.trim_end_matches([':', ',', ';', '-', '|', '*', '\u{2013}', '\u{2014}']).trim();
    match trimmed.strip_prefix('(').and_then(|inner| inner.strip_suffix(')')) {
        Some(inner) if !inner.contains('(') => inner.trim().to_string(),
        _ => trimmed.to_string(),
    }
}

/// The doors of a list and what stands behind them: `110 (90 min)`, `104 - Lobby to corridor`, `102, 103  3-0 X 7-0`.
fn listed(list: &str) -> Option<(Vec<Entry>, &str)> {
    doorlead::lead(list).map(|(entries, rest)| {
        // `101, 102 each to have:` leads to the goods and says nothing more.
        let said = plain(rest);
        let leads_on = words::list("each-have").is(said.trim_matches(|sign: char| !sign.is_alphanumeric()));
        (entries, if leads_on || doorlead::only_kind(rest) { "" } else { rest.trim() })
    })
}

/// `… DOORS: 101, 102` at the end of a title: what stands before each of its words for doors and behind it; `Connecting doors
/// - Doors 101A, 103A` has two.
pub(crate) fn doors_in(title: &str) -> Vec<(&str, &str)> {
    let upper = title.to_ascii_uppercase();
    let mut found: Vec<(usize, usize)> = Vec::new();
    for word in words::list("door-heads").phrases() {
        for (at, _) in upper.match_indices(word) {
            if !found.iter().any(|(known, _)| *known == at) {
                found.push((at, word.len()));
            }
        }
    }
    found.extend(doorlabels::inside(&upper));
    found.sort_unstable();
    let parts = found.into_iter().map(|(at, length)| (&title[..at], doorlabels::behind_word(&title[at + length..])));
    parts.collect()
}

/// The doors that stand behind a word for doors in a text, and what stands behind them.
pub(crate) fn doors_of(text: &str) -> Option<(Vec<Entry>, &str)> {
    doors_in(text).into_iter().find_map(|(_, list)| doorlead::lead(list))
}

/// `SET 2 - 201, 203 - PAIR`: several doors at the head of a title, without a word for them.
fn led_by_list(title: &str) -> Option<(Vec<Entry>, String)> {
    let ends = [" (", " - ", " \u{2013} ", " \u{2014} "].iter().filter_map(|mark| title.find(mark));
    let end = ends.min().unwrap_or(title.len());
    let list = &title[..end];
    let words = list.split([',', '&', ' ']).filter(|word| !word.is_empty());
    // `3070, 3080` are sizes, `1, 2` may be anything.
    let number = |word: &str| {
        let (figures, length) = (word.bytes().filter(u8::is_ascii_digit).count(), word.len());
        (3..=7).contains(&length) && figures >= 2 && crate::read::sizes::size::parse_size(word).is_none()
    };
    let joins = |word: &str| words::list("joins-doors").is(&word.to_ascii_uppercase());
    if !words.clone().all(|word| number(word) || joins(word)) || words.filter(|word| number(word)).count() < 2 {
        return None;
    }
    // `US26D, US10B`, `F81, F82`: what the goods look like or do; 626 alone may be a door.
    let of_goods = |word: &str| {
        let led = word.starts_with(|letter: char| letter.is_ascii_alphabetic());
        let function = || function::all().iter().any(|known| known.number.eq_ignore_ascii_case(word));
        (finish::look_of(word).is_some() || led && function(), led)
    };
    let mut told = list.split([',', '&', ' ']).filter(|word| number(word)).map(of_goods);
    if told.clone().any(|(goods, led)| goods && led) || told.all(|(goods, _)| goods) {
        return None;
    }
    Some((doorlist::parse(list)?, without_rest(tidy(&title[end..]))))
}

/// `MAIN ENTRANCE PAIR - DOORS 105A AND 105B`: a row that names its doors behind words of no goods.
pub(crate) fn led_by_words(text: &str) -> Option<Vec<Entry>> {
    let (before, list) = doors_in(text).into_iter().next_back()?;
    let folded = plain(before);
    let worded = folded.bytes().any(|byte| byte.is_ascii_alphabetic());
    let goods =
        words::list("hardware").find(&folded).is_some() || folded.starts_with(|first: char| first.is_ascii_digit());
    let (entries, rest) = listed(list).filter(|_| worded && !goods && folded.len() <= 80)?;
    // `The pair of doors at opening 110, two leaves each 3'-0" x 7'-0", shall have:` leads to the goods below it.
    let figures = !text.trim_end().ends_with(':') && rest.bytes().any(|byte| byte.is_ascii_digit());
    (!figures && words::list("hardware").find(&plain(rest)).is_none()).then_some(entries)
}

/// Doors that a row under a set heading names, and the basis its words give.
pub(crate) fn served(text: &str) -> Option<(Vec<Entry>, Option<Basis>)> {
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let joined = doorlist::in_one_line(straight.trim());
    let straight = joined.as_ref();
    if let Some(found) = COUNTED.as_ref()?.captures(straight)
        && let Some(list) = found.name("list")
        && let Some((entries, _)) = listed(list.as_str().trim_start_matches('#'))
    {
        let pair = found.name("kind").is_some_and(|kind| kind.as_str().to_ascii_uppercase().starts_with(['P', 'D']));
        return Some((entries, pair.then_some(Basis::Opening)));
    }
    if let Some(found) = DOORS.as_ref()?.captures(straight)
        && let Some((entries, behind)) = listed(found.name("list")?.as_str())
    {
        return Some((titledoors::less(entries, behind), None));
    }
    doorlabels::labelled(straight).map(|entries| (entries, None))
}

/// Whether a row says that it lists doors: `DOORS: north and south entrance`.
pub(crate) fn names_doors(text: &str) -> bool {
    let folded = plain(text);
    let rest = words::list("lists-doors").leads(&folded).map(|word| &folded[word.len()..]);
    rest.is_some_and(|rest| rest.trim_start_matches(['.', ' ']).starts_with([':', '=']) && rest.len() > 2)
}

/// `FOR USE ON DOOR #(S):` alone: the list of doors stands in the next row.
pub(crate) fn doors_follow(text: &str) -> bool {
    let folded = plain(text);
    let led = words::list("leads-to-a-list").leads(&folded).and_then(|word| folded[word.len()..].strip_prefix(' '));
    let rest = led.unwrap_or(&folded).trim_end_matches([':', ' ', '.', '-']);
    let names = words::list("doors-before-a-list").leads(rest).map(|word| &rest[word.len()..]);
    names.is_some_and(|tail| {
        let tail = tail.trim_matches([' ', '#', ':', '.', '(', ')']);
        (tail.is_empty() || words::list("behind-doors").is(tail))
            && (led.is_some() || folded.ends_with(':') || !tail.is_empty())
    })
}

/// Nothing but door numbers: the doors of the heading above it go on.
pub(crate) fn bare_list(text: &str) -> Option<Vec<Entry>> {
    let entries = doorlist::parse(text)?;
    let figures = text.bytes().filter(u8::is_ascii_digit).count();
    (figures * 4 >= text.len() && (entries.len() > 1 || text.trim().len() >= 3)).then_some(entries)
}

/// A number and `EACH` behind it.
static UNIT: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let each = words::list("each-unit").pattern();
    Regex::new(&format!(r"^\(?[0-9][0-9./\- ]*\)? *(?:{each}) ")).ok()
});

/// `EACH LEAF TO HAVE`, `PER PAIR`: what the quantities below multiply by.
pub(crate) fn basis(text: &str, pair_named: bool) -> Option<Basis> {
    let plain = plain(text);
    let words = plain.split(' ').count();
    if words > 14
        || plain.starts_with(|letter: char| letter.is_ascii_digit()) && !words::list("each-unit").is_within(&plain)
    {
        return None;
    }
    let verb = words::list("has-goods").is_within(&plain);
    // `1 EACH DOOR SWEEP`: the unit of a quantity.
    let counted = UNIT.as_ref().and_then(|unit| unit.find(&plain)).filter(|_| !verb);
    let said = counted.map_or(plain.as_str(), |unit| &plain[unit.end()..]);
    let says_have = verb || words::list("goods-follow").is_within(said) || said.ends_with(':');
    let (list, basis) = [("basis-leaf", Basis::Leaf), ("basis-opening", Basis::Opening)]
        .into_iter()
        .find_map(|(name, basis)| words::list(name).find(said).map(|found| (found, basis)))?;
    if !says_have && words > list.split(' ').count() + 2 {
        return None;
    }
    // `EACH DOOR CLOSER`, `PER LEAF: 3 HINGES`: goods, that say for what they count.
    let rest = &said[words::offset(said, list) + list.len()..];
    let (goods, figure) = (words::list("hardware").find(rest).is_some(), |byte: u8| byte.is_ascii_digit());
    // `each leaf 3'-0" x 7'-0"`: the size of the leaves.
    if goods && (!verb || rest.bytes().any(figure)) || rest.trim_start().bytes().next().is_some_and(figure) {
        return None;
    }
    // `1 PAIR DOORS 101 … EACH TO HAVE` speaks of each pair.
    let general = words::list("basis-of-each").is(list);
    Some(if general && pair_named { Basis::Opening } else { basis })
}

/// `SET 3: EACH LEAF TO HAVE`: what the quantities below multiply by, which is no title; `OFFICE, EACH TO HAVE` keeps its own.
pub(crate) fn takes_basis(found: &mut Heading) -> Option<Basis> {
    // In a heading EACH alone is each opening that has the set.
    let basis = basis(&found.title, true)?;
    let folded = plain(&found.title);
    let leads =
        ["basis-leaf", "basis-opening", "provides"].iter().any(|list| words::list(list).begins(&folded).is_some());
    if leads {
        found.title.clear();
    }
    Some(basis)
}

/// Whether a row that reads as a heading can be one.
pub(crate) fn is_plausible(found: &Heading, row: &Row, in_set_column: bool) -> bool {
    // In a flat table the set column itself says `SET 3` in every row.
    !(in_set_column && row.cells.len() > 1)
        && (row.cells.len() <= 2 || found.title.len() < 120)
        && row.cells[0].kind == CellKind::Text
}

/// A set id as a door schedule writes it, without the words around it; `None` for a dash and the like.
pub(crate) fn id_of_cell(text: &str) -> Option<String> {
    let trimmed = text.trim();
    if trimmed.is_empty() || words::list("no-set").is(&plain(trimmed)) || others::gives_nothing(trimmed) {
        return None;
    }
    match heading(trimmed) {
        Some(found) if found.title.is_empty() => Some(found.id),
        _ => Some(trimmed.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_of_every_form_give_the_id_alone() {
        for (text, id, title) in [
            ("HARDWARE SET NO. 04", "04", ""),
            ("HW SET: 3", "3", ""),
            ("SET 12A \u{2013} STAIR", "12A", "STAIR"),
            ("Heading # 7", "7", ""),
            ("HDW-04", "04", ""),
            ("Set: 1.0", "1.0", ""),
            ("HARDWARE GROUP NO. 01 (ENTRY)", "01", "ENTRY"),
            ("HARDWARE SET A", "A", ""),
            ("Hardware Set 5: Corridor single, card reader", "5", "Corridor single, card reader"),
            ("SET SHW-25A", "SHW-25A", ""),
            ("GROUP HW-01", "01", ""),
            ("HARDWARE GROUP HW-01: STAIR", "01", "STAIR"),
            ("DOOR HARDWARE SET 2", "2", ""),
        ] {
            let found = heading(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((found.id.as_str(), found.title.as_str()), (id, title), "{text}");
        }
        for text in [
            "SET SCREWS",
            "1 SET SEALS",
            "HARDWARE SETS",
            "HARDWARE SCHEDULE",
            "Settings",
            "HINGES",
            "GROUP",
            "HW",
            "SET OF 3",
            "3 EA HINGE",
            "Hardware by others",
        ] {
            assert_eq!(heading(text), None, "{text}");
        }
        assert_eq!(heading("SET 9 NOT USED").unwrap().not_used.as_deref(), Some("NOT USED"));
        assert_eq!(heading("SET 3 - DOORS 101, 102").unwrap().doors.len(), 2);
        for (text, doors, title) in [
            ("SET 2: Stair - pair door 110 (90 min)", 1, "Stair - pair (90 min)"),
            ("HARDWARE SET 4 (DOORS 101, 102)", 2, ""),
            ("SET 6 - DOOR 104 - Lobby to corridor", 1, "Lobby to corridor"),
            ("SET #2 - Connecting doors - Doors 101A, 103A & 107A", 3, "Connecting doors"),
            ("SET #2 - 201, 203 - PAIR", 2, "PAIR"),
            ("SET 2 - Double doors - Doors 201, 203 (PR)", 2, "Double doors"),
            ("SET: E-1: STORAGE - For use on Door #(s): 107, 206", 2, "STORAGE"),
            ("Set No. 02 - DOOR NUMBERS: A-101, A-102", 2, ""),
            ("SET 01 - OFFICE    Door(s): 101, 102", 2, "OFFICE"),
            ("SET 3 - Door S-101, S-102", 2, ""),
            ("SET 1 - US26D, US10B", 0, "US26D, US10B"),
            ("SET 2 - 626, 630", 0, "626, 630"),
            ("SET 3 - F81, F82", 0, "F81, F82"),
            ("SET 4 - 626, 627, 301", 3, ""),
        ] {
            let found = heading(text).unwrap();
            assert_eq!((found.doors.len(), found.title.as_str()), (doors, title), "{text}");
        }
    }

    #[test]
    fn doors_served_and_bases_are_read() {
        assert_eq!(served("Doors: 101, 102A, 105-109").unwrap().0.len(), 3);
        assert_eq!(served("For use on Door #(s): 101 102").unwrap().0.len(), 2);
        assert_eq!(served("OPENINGS: 105 THRU 109").unwrap().0.len(), 1);
        assert_eq!(served("1 Pair Doors #104 Lobby to Corridor  RHR").unwrap().1, Some(Basis::Opening));
        assert_eq!(served("2 SGL DOORS #107, #108  TOILETS FROM HALL 100   RH").unwrap().0.len(), 2);
        assert_eq!(served("2 SINGLE DOORS #107 & #108 TOILETS").unwrap().0.len(), 2);
        assert_eq!(served("Doors: 101, 102,\n105-109 & 112A").unwrap().0.len(), 4);
        assert_eq!(served("Doors: 101, 102,\n3 EA hinges"), None);
        assert_eq!(served("DOOR STOP 436"), None);
        assert_eq!(served("Door closer"), None);
        for (text, id) in [
            ("SAME AS SET 2.0 EXCEPT ADD:", Some("2.0")),
            ("SAME AS B-2", Some("B-2")),
            ("Same as 3, except no closer", Some("3")),
            ("as G03", Some("G03")),
            ("Ditto 109", Some("109")),
            ("DITTO", None),
            ("As per 12", Some("12")),
            ("AS REQUIRED", None),
            ("AS A", None),
            ("SAME AS ABOVE", None),
            ("SIMILAR TO A DOOR", None),
            ("SAME AS 3 HINGES", None),
        ] {
            assert_eq!(same_as(text).as_deref(), id, "{text}");
        }
        assert_eq!(basis("EACH LEAF TO HAVE:", false), Some(Basis::Leaf));
        assert_eq!(basis("Per leaf", false), Some(Basis::Leaf));
        assert_eq!(basis("EACH PAIR TO HAVE", false), Some(Basis::Opening));
        assert_eq!(basis("EACH TO HAVE:", true), Some(Basis::Opening));
        assert_eq!(basis("1 EA KICK PLATE, PUSH SIDE PER DOOR WIDTH", false), None);
        for text in
            ["1 EACH DOOR SWEEP", "(2) each door pulls", "1 each Door closer", "EACH DOOR STOP", "PER LEAF: 3 HINGES"]
        {
            assert_eq!(basis(text, false), None, "{text}");
        }
        assert_eq!(basis("EACH DOOR TO RECEIVE THE FOLLOWING HARDWARE", false), Some(Basis::Leaf));
        assert_eq!(id_of_cell("HDW-04").as_deref(), Some("04"));
        assert_eq!(id_of_cell("Not used"), None);
        assert_eq!(id_of_cell("---"), None);
        assert_eq!(id_of_cell("116A").as_deref(), Some("116A"));
    }
}
