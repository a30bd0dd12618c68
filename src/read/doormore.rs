//! Doors of a list behind words: `101 (E), 102`, `101 Lobby, 102 Office`, `101, Stair 1, 103`, `101 3-0 x 7-0, 104 3-0 x 7-0`.

use super::doorlead;
use super::doorlist::{self, Entry};
use super::size;
use super::words::{self, plain};
use crate::trade::inches::Inches;

/// The doors of a list with those that go on behind the words which end it: each stands first behind a comma and has a number of the
/// form of one before it. Where the words speak of goods the list has ended.
pub(super) fn further(mut entries: Vec<Entry>, behind: &str) -> Vec<Entry> {
    // Cells beside each other are joined by two spaces.
    let joined = behind.replace("  ", ",");
    let parts = [',', ';', '\n'];
    if !joined.contains(parts) || speaks_of_goods(behind) {
        return entries;
    }
    let mut shapes: Vec<String> = entries.iter().flat_map(ends).filter(|end| end.len() >= MARK).map(form).collect();
    let begun = usize::from(!joined.starts_with(parts));
    let mut open = 0;
    for (at, part) in joined.split(parts).enumerate() {
        let within = open > 0;
        open += part.matches('(').count();
        open -= part.matches(')').count().min(open);
        // `NOT 103, 104`, `(FROM 105, 106)`, `REPLACES SET 2 AT DOOR 103, 104` speak of other doors.
        let folded = plain(part);
        let ends_here = open == 0 && (words::list("list-ends-at").find(&folded).is_some() || numbers_other(&folded));
        let found = if at < begun || within { None } else { doorlead::lead(part.trim()) };
        let Some((more, rest)) = found else {
            if ends_here {
                break;
            }
            continue;
        };
        let alike = more.iter().flat_map(ends).all(|end| shapes.contains(&form(end)));
        if alike && !measures(&more, rest, &entries) {
            shapes.extend(more.iter().flat_map(ends).map(form));
            entries.extend(more);
        }
        if ends_here {
            break;
        }
    }
    entries
}

/// As many signs the number of a door has at least that is known by its form: `2` may count doors.
const MARK: usize = 3;

/// Whether what looks like a door is a size, the code of a finish or so many of a unit: `1001 LOBBY, 3070 HM`, `101, 626 FINISH`.
fn measures(more: &[Entry], rest: &str, entries: &[Entry]) -> bool {
    let first = |text: &str| text.chars().next();
    let floors: Vec<_> = entries.iter().flat_map(ends).map(first).collect();
    let sized = |end: &str| {
        let size = size::parse_size(end).filter(|_| end.len() == 4).and_then(|size| size.width.zip(size.height));
        let door = size.is_some_and(|(width, height)| width >= WIDTH && height >= HEIGHT);
        door && floors.iter().any(|floor| *floor != first(end))
    };
    let folded = plain(rest);
    let unit = ["behind-a-measure", "finish-words", "weights"]
        .iter()
        .any(|list| folded.split(' ').next().is_some_and(|word| words::list(list).is(word)));
    unit || more.iter().flat_map(ends).any(sized)
}

/// `SUITE 200`: a number of something else.
fn numbers_other(folded: &str) -> bool {
    let behind = |word: &str| folded[words::offset(folded, word) + word.len()..].trim_start();
    let mut found = words::list("number-of-other").all(folded).into_iter();
    found.any(|word| behind(word).starts_with(|sign: char| sign.is_ascii_digit()))
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
fn speaks_of_goods(text: &str) -> bool {
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
        ] {
            assert_eq!(doors(text), expected, "{text}");
        }
    }
}
