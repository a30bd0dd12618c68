//! Doors of a list behind words: `101 (E), 102`, `101 Lobby, 102 Office`, `101, Stair 1, 103`, `101 3-0 x 7-0, 104 3-0 x 7-0`.

use super::doorlead;
use super::doorlist::{self, Entry};
use super::words::{self, plain};

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
    for part in joined.split(parts).skip(usize::from(!joined.starts_with(parts))) {
        let Some((more, _)) = doorlead::lead(part.trim()) else { continue };
        let alike = more.iter().flat_map(ends).all(|end| shapes.contains(&form(end)));
        if alike {
            shapes.extend(more.iter().flat_map(ends).map(form));
            entries.extend(more);
        }
    }
    entries
}

/// As many signs the number of a door has at least that is known by its form: `2` may count doors.
const MARK: usize = 3;

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
        ] {
            assert_eq!(doors(text), expected, "{text}");
        }
    }
}
