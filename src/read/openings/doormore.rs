//! Doors of a list behind words: `101 (E), 102`, `101 Lobby, 102 Office`, `101, Stair 1, 103`, `101 3-0 x 7-0, 104 3-0 x 7-0`.

use std::ops::Range;

use super::doorlead;
use super::doorlist::{self, Entry};
use crate::read::sizes::size;
use crate::read::words::{self, plain};
use crate::trade::inches::Inches;

/// The doors of a list with those that go on behind the words which end it: each stands first behind a comma and has a number of the
/// form of one before it. Where the words speak of goods the list has ended.
pub(crate) fn further(mut entries: Vec<Entry>, behind: &str) -> Vec<Entry> {
    let more = walk(&entries, behind).more;
    entries.extend(more);
    entries
}

/// The doors of a list behind which brackets say that they are pairs: 113 of `Doors: 113 (pair), 114`.
pub(crate) fn said_pairs(text: &str) -> Vec<String> {
    pairs_in_brackets(text).into_iter().map(|(number, _)| number.to_string()).collect()
}

/// Single doors of a text with the brackets behind them that say pair, and where those stand.
fn pairs_in_brackets(text: &str) -> Vec<(&str, Range<usize>)> {
    let brackets = text.match_indices('(').filter_map(|(at, _)| {
        let inside = text[at + 1..].split(')').next()?;
        let number = text[..at].trim_end().rsplit([' ', ',', ';', '&', '\n']).next()?;
        let single = doorlist::is_door(number)
            && number.bytes().any(|byte| byte.is_ascii_digit())
            && doorlist::dashed_range(number).is_none();
        let end = (at + inside.len() + 2).min(text.len());
        (single && words::list("pair").is(plain(inside).trim_matches(['.', ' ']))).then_some((number, at..end))
    });
    brackets.collect()
}

/// The text without brackets that say pair of one door, where the list goes on behind them with a door of its form: 106 of `105 (PR),
/// 106` is none. Behind the last door, `110A, 110B (pairs)`, they may be of all.
pub(crate) fn without_own_pairs(text: &str) -> String {
    let mut left = text.to_string();
    for (number, at) in pairs_in_brackets(text) {
        let behind = text[at.end..].trim_start();
        let parted = behind.starts_with([',', ';', '&', '\n']) || plain(behind).starts_with("AND ");
        let goes_on = doorlead::lead(behind.trim_start_matches([',', ';', '&', '\n', ' ']).trim_start_matches("and "))
            .is_some_and(|(more, _)| more.iter().flat_map(ends).next().is_some_and(|next| form(next) == form(number)));
        if parted && goes_on {
            left.replace_range(at.clone(), &" ".repeat(at.len()));
        }
    }
    left
}

/// The words behind a list of doors without the numbers of those that go on in them.
pub(crate) fn without_doors(entries: &[Entry], behind: &str) -> String {
    let mut left = behind.to_string();
    for at in walk(entries, behind).at {
        let blank = " ".repeat(at.len());
        left.replace_range(at, &blank);
    }
    left
}

/// Numbers of the form of a list's doors behind a word that ends it: 105 and 106 of `101, 102 NOT 105, 106`.
pub(crate) fn left_over(entries: &[Entry], behind: &str) -> Vec<Entry> {
    walk(entries, behind).left
}

/// What is found behind a list of doors.
#[derive(Debug, Default)]
struct More {
    /// More of its doors.
    more: Vec<Entry>,
    /// Where they stand.
    at: Vec<Range<usize>>,
    /// Numbers of their form that are none of its doors.
    left: Vec<Entry>,
}

fn walk(entries: &[Entry], behind: &str) -> More {
    let mut out = More::default();
    // Cells beside each other are joined by two spaces.
    let joined = behind.replace("  ", " ,");
    let parts = [',', ';', '\n'];
    if !joined.contains(parts) || speaks_of_goods(behind) {
        return out;
    }
    let mut shapes: Vec<String> = entries.iter().flat_map(ends).filter(|end| end.len() >= MARK).map(form).collect();
    let (mut depth, mut from, mut has_ended) = (0, 0, false);
    for (at, part) in joined.split(parts).enumerate() {
        let start = from + part.len() - part.trim_start().len();
        from += part.len() + 1;
        let within = depth > 0;
        let outside = outside(part, &mut depth);
        let found = if at == 0 || within { None } else { doorlead::lead(part.trim()) };
        if let Some((more, rest)) = found
            && more.iter().flat_map(ends).all(|end| shapes.contains(&form(end)))
            && !measures(&more, rest, &entries.iter().chain(&out.more).collect::<Vec<_>>())
        {
            if has_ended {
                out.left.extend(more);
            } else {
                out.at.push(start..start + part.trim().len() - rest.len());
                shapes.extend(more.iter().flat_map(ends).map(form));
                out.more.extend(more);
            }
        }
        if let Some(other) = other_doors(&outside, &shapes).filter(|_| !has_ended) {
            has_ended = true;
            out.left.extend(other);
        }
    }
    out
}

/// What stands outside brackets in a part of a text in which so many are open.
fn outside(part: &str, depth: &mut usize) -> String {
    let mut said = String::new();
    for sign in part.chars() {
        match sign {
            '(' => *depth += 1,
            ')' => *depth = depth.saturating_sub(1),
            _ if *depth == 0 => said.push(sign),
            _ => {}
        }
    }
    said
}

/// `NOT 103`, `FROM 105`, `REPLACES SET 2 AT DOOR 103`, `CODE 200`: right behind a word that leads to other doors or numbers
/// something else, a number of the form of the list. `LEVEL 2`, `NOT RATED` say something of the door before them.
fn other_doors(part: &str, shapes: &[String]) -> Option<Vec<Entry>> {
    let folded = plain(part);
    let led = ["list-ends-at", "number-of-other"].iter().flat_map(|list| words::list(list).all(&folded));
    led.into_iter().find_map(|word| {
        let behind = &folded[words::offset(&folded, word) + word.len()..];
        let mut words = behind.split([' ', '.', ':', '#', '-']).filter(|word| !word.is_empty());
        let next = words.find(|word| !words::list("leads-to-number").is(word))?;
        let like = next.len() >= MARK && shapes.contains(&form(next));
        like.then(|| doorlist::parse(next).unwrap_or_default())
    })
}

/// As many signs the number of a door has at least that is known by its form: `2` may count doors.
const MARK: usize = 3;

/// Whether what looks like a door is a size, the code of a finish or so many of a unit: `1001 LOBBY, 3070 HM`, `101, 626 FINISH`.
/// With the name of a room behind it, `2070 STAIR`, it is the door of another floor, and alone behind `1070` too.
fn measures(more: &[Entry], rest: &str, known: &[&Entry]) -> bool {
    let first = |text: &str| text.chars().next();
    let before = || known.iter().flat_map(|entry| ends(entry));
    let folded = plain(rest);
    let next = folded.split(' ').next().unwrap_or_default().trim_matches(|sign: char| !sign.is_alphanumeric());
    let said = || {
        let kinds = ["beside-size", "pair", "single", "kind-in-a-list"];
        let material = |word: &str| words::leaf_material(word).is_some();
        // `SOLID WASTE`, `EXTERIOR STAIR`, `PANEL ROOM` are rooms: words of make alone say how a door is made.
        let makes = ["makes-of-a-door", "behind-makes-of-a-door", "beside-size"];
        let of_make = |word: &str| {
            let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
            makes.iter().any(|list| words::list(list).is(word)) || word.is_empty() || material(word)
        };
        let made = || words::list("makes-of-a-door").is(next) && folded.split([' ', '/']).all(of_make);
        made()
            || kinds.iter().any(|list| words::list(list).is(next))
            || next.split('/').any(material)
            || next.bytes().any(|byte| byte.is_ascii_digit())
    };
    let sized = |end: &str| {
        let size = size::parse_size(end).filter(|_| end.len() == 4).and_then(|size| size.width.zip(size.height));
        let door = size.is_some_and(|(width, height)| width >= WIDTH && height >= HEIGHT);
        let stacked = || before().any(|door| door.len() == 4 && door.get(1..) == end.get(1..));
        let of_size = if next.is_empty() { !stacked() } else { said() };
        door && of_size && before().any(|door| first(door) != first(end))
    };
    let unit = ["behind-a-measure", "finish-words", "weights"]
        .iter()
        .any(|list| folded.split(' ').next().is_some_and(|word| words::list(list).is(word)));
    unit || more.iter().flat_map(ends).any(sized)
}

/// No door is narrower or lower.
const WIDTH: Inches = Inches::whole(24);
const HEIGHT: Inches = Inches::whole(72);

/// The form of a number without the letters behind it: 102A is as 101.
fn form(number: &str) -> String {
    doorlist::shape(number.trim_end_matches(|sign: char| sign.is_ascii_alphabetic()))
}

fn ends(entry: &Entry) -> impl Iterator<Item = &str> {
    let (first, last) = match entry {
        Entry::Door(door) => (door, None),
        Entry::Range(first, last) => (first, Some(last)),
    };
    std::iter::once(first.as_str()).chain(last.map(String::as_str))
}

/// Goods or their finish, and no room or use that is called so.
pub(super) fn speaks_of_goods(text: &str) -> bool {
    let folded = plain(text);
    let uses = words::list("words-of-use");
    let named = words::list("hardware").all(&folded).iter().any(|word| !uses.is(word));
    named || ["goods", "numbered-goods"].iter().any(|list| words::list(list).find(&folded).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn doors(text: &str) -> String {
        let (entries, behind) = doorlead::lead(text).unwrap();
        doorlist::spell_out(&further(entries, behind), &doorlist::Known::default()).join(" ")
    }

    #[test]
    fn a_list_goes_on_behind_words_where_numbers_of_its_form_follow() {
        for (text, expected) in [
            ("101 (E), 102", "101 102"),
            ("101 (Lobby), 102 (Office)", "101 102"),
            ("101 Lobby, 102 Office, 103A Storage", "101 102 103A"),
            ("101, Stair 1, 103", "101 103"),
            ("101 3-0 x 7-0, 104 3-0 x 7-0", "101 104"),
            ("A101 Lobby; A102 Office", "A101 A102"),
            ("101A, 102 - pair, 103", "101A 102 103"),
            // What follows is a size, a time, a finish or the count of goods.
            ("101, 102 3-0 x 7-0, 45 MIN, WD/HM", "101 102"),
            ("101 Lobby, 20 min", "101"),
            ("102 Office, hinges 652, 626", "102"),
            ("101, 102 Lobby, 2 leaves", "101 102"),
            ("1001, 1002 HM, 3070, 20 MIN", "1001 1002"),
            ("1001 LOBBY, 3070 HM, 1002 OFFICE", "1001 1002"),
            ("101 LOBBY, 626 FINISH", "101"),
            ("101 LOBBY, 102 LOBBY; 450 LBS LEAF", "101 102"),
            ("101, 102 NOT 103, 104", "101 102"),
            ("101, 102 REPLACES SET 2 AT DOOR 103, 104", "101 102"),
            ("101 STAIR, 102 (FROM 105, 106), 103", "101 102 103"),
            ("101 (E), 102 (SEE NOTE, 103), 104", "101 102 104"),
            ("101, 102 CODE 200, 201", "101 102"),
            ("101 Dining Area, 102 Office", "101 102"),
            ("3001 LOBBY, 3070 OFFICE", "3001 3070"),
            ("1001 LOBBY, 3070 OFFICE", "1001 3070"),
            ("1070 STAIR, 2070 STAIR, 3070", "1070 2070 3070"),
            ("1068 JANITOR, 2068 JANITOR, 2069 OFFICE", "1068 2068 2069"),
            ("1070 LOBBY, 3080 WD/HM, 1071 OFFICE", "1070 1071"),
            ("1001 LOBBY; 3070 EXTERIOR STAIR", "1001 3070"),
            ("1002 LOBBY, 2068 SOLID WASTE, 3068 HALF LANDING", "1002 2068 3068"),
            ("1003 LOBBY, 2070 PANEL ROOM, 3070 LEAD TEACHER", "1003 2070 3070"),
            ("1001 LOBBY, 3070 SOLID WOOD, 1002 OFFICE", "1001 1002"),
            ("1001 LOBBY, 3070 EXTERIOR, 1002 OFFICE", "1001 1002"),
            // Words that say something of the door before them end nothing.
            ("201 (SIM), 202, 203 (LESS BELL), 204", "201 202 203 204"),
            ("101 LOBBY FROM CORRIDOR, 102 OFFICE", "101 102"),
            ("101 LOBBY FLOOR 1, 102 OFFICE LEVEL 2, 103", "101 102 103"),
            ("301 OFFICE NOT RATED, 302 TYPE A, 303 OPPOSITE HAND, 304", "301 302 303 304"),
            ("101 SIM. TO DOOR 103, 104", "101"),
            ("101, 102 NOT USED AT 103, 104", "101 102"),
        ] {
            assert_eq!(doors(text), expected, "{text}");
        }
    }

    #[test]
    fn a_pair_in_brackets_amid_a_list_is_one_door() {
        for (text, expected) in [
            ("103 (Lobby), 105 (PR), 106", "103 (Lobby), 105     , 106"),
            ("110A, 110B (pairs)", "110A, 110B (pairs)"),
            ("105, 106 (PR)", "105, 106 (PR)"),
            ("105 (PR), 3-0 x 7-0", "105 (PR), 3-0 x 7-0"),
            ("101-103 (PR), 104", "101-103 (PR), 104"),
        ] {
            assert_eq!(without_own_pairs(text), expected, "{text}");
        }
    }

    #[test]
    fn numbers_behind_a_word_that_ends_the_list_are_left_over() {
        for (text, expected) in [
            ("101, 102 NOT 103, 104", "103 104"),
            ("101 OFFICE, 102 FROM 105, 106 STAIR", "105 106"),
            ("101 OFFICE NOT RATED, 102", ""),
            ("101 LOBBY, 102 TYPE 2", ""),
        ] {
            let (entries, behind) = doorlead::lead(text).unwrap();
            let left = doorlist::spell_out(&left_over(&entries, behind), &doorlist::Known::default());
            assert_eq!(left.join(" "), expected, "{text}");
        }
    }
}
