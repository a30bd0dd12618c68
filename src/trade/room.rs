//! What a room is for, by its name, and which lock functions fit it. The data is `catalogs/trade/rooms.csv` and
//! `room_functions.csv`.

use std::sync::OnceLock;

use super::{rule_words, table};

const ROOMS: &str = include_str!("../../catalogs/trade/rooms.csv");
const FUNCTIONS: &str = include_str!("../../catalogs/trade/room_functions.csv");

/// A use, a word of the table: `stair`, `corridor`.
pub type Use = &'static str;

/// A use, and the names that speak of it, word by word.
type UseNames = (Use, Vec<Vec<&'static str>>);

fn words_of_rooms() -> &'static [UseNames] {
    static TABLE: OnceLock<Vec<UseNames>> = OnceLock::new();
    TABLE.get_or_init(|| {
        table::rows(ROOMS)
            .iter()
            .map(|row| (row.get(0), row.get(1).split('|').map(|words| words.split(' ').collect()).collect()))
            .collect()
    })
}

/// The uses that a room's name speaks of. Whole words only: `STOR` is storage, `STORY` is not.
pub fn uses(room: &str) -> Vec<Use> {
    let lower = room.to_lowercase();
    // `EXAM CORR 120 / SOILED HOLD`: from one room to another.
    let named: Vec<Vec<&str>> = lower.split(['/', '>', '\u{2192}', ';']).map(words).collect();
    let says = |wanted: Use, names: &[Vec<&'static str>]| {
        named.iter().any(|words| {
            let free = rule_words::is("rooms-passed-through", wanted) || !is_named_after_rooms(words);
            free && names.iter().any(|name| speaks(words, name))
        })
    };
    words_of_rooms().iter().filter(|(wanted, names)| says(wanted, names)).map(|(wanted, _)| *wanted).collect()
}

/// The words of a name of a room.
fn words(name: &str) -> Vec<&str> {
    name.split(|letter: char| !letter.is_alphanumeric() && letter != '\'').filter(|word| !word.is_empty()).collect()
}

/// `EXAM CORR 120` is the corridor of the exam rooms, and none of them; `STAIR, CORRIDOR` are two.
fn is_named_after_rooms(words: &[&str]) -> bool {
    let last = words.iter().rev().find(|word| !word.starts_with(|sign: char| sign.is_ascii_digit()));
    last.is_some_and(|last| rule_words::is("named-after-rooms", last))
}

/// Whether the words of a room speak of a name. One behind a sign of equality is the whole name, but for numbers: `=electric` is
/// ELECTRIC 104 and not ELECTRIC CART STORAGE.
fn speaks(words: &[&str], name: &[&str]) -> bool {
    match name {
        [first, rest @ ..] if first.starts_with('=') => {
            let mut own = words.iter().filter(|word| !word.starts_with(|sign: char| sign.is_ascii_digit()));
            own.next() == Some(&&first[1..]) && rest.iter().all(|word| own.next() == Some(word)) && own.next().is_none()
        }
        _ => words.windows(name.len()).any(|window| window == name),
    }
}

/// Which functions fit a use.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The use.
    pub wanted: Use,
    /// Functions that fit.
    pub fits: Vec<&'static str>,
    /// Functions that look wrong there.
    pub wrong: Vec<&'static str>,
    /// The usual one in words.
    pub usual: &'static str,
    /// On what it rests.
    pub source: &'static str,
}

/// The table of functions by use.
pub fn fits() -> &'static [Fit] {
    static TABLE: OnceLock<Vec<Fit>> = OnceLock::new();
    TABLE.get_or_init(|| {
        table::rows(FUNCTIONS)
            .iter()
            .map(|row| Fit {
                wanted: row.get(0),
                fits: row.get(1).split(' ').collect(),
                wrong: row.get(2).split(' ').collect(),
                usual: row.get(3),
                source: row.get(4),
            })
            .collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_rooms_are_read_by_whole_words() {
        assert!(uses("STAIR 2 / CORRIDOR").contains(&"stair") && uses("STAIR 2 / CORRIDOR").contains(&"corridor"));
        assert!(uses("MAIN ELEC. ROOM").contains(&"electrical"));
        assert!(uses("ELEVATOR LOBBY").iter().all(|wanted| *wanted != "electrical"));
        assert_eq!(uses("EXAM CORR 120"), ["corridor"]);
        assert!(uses("EXAM 120 / CORRIDOR").contains(&"exam") && uses("EXAM 120").contains(&"exam"));
        assert!(uses("SECOND STORY").is_empty());
        for room in [
            "ELECTRIC",
            "Electric 104",
            "ELECTRIC ROOM",
            "Elec.",
            "ELECT. CLOSET",
            "Electrical Closet",
            "MAIN ELECTRIC",
        ] {
            assert!(uses(room).contains(&"electrical"), "{room}");
        }
        for room in ["ELECTRIC CART STORAGE", "Electric kiln", "ELECTRICIAN SHOP"] {
            assert!(!uses(room).contains(&"electrical"), "{room}");
        }
    }

    #[test]
    fn every_use_of_the_function_table_is_a_use_of_rooms() {
        for fit in fits() {
            assert!(words_of_rooms().iter().any(|(wanted, _)| *wanted == fit.wanted), "{}", fit.wanted);
            assert!(fit.fits.iter().all(|function| !fit.wrong.contains(function)), "{}", fit.wanted);
        }
    }
}
