//! Fire and smoke ratings as schedules write them. The words are `catalogs/trade/ratings.csv`.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

use super::rule_words;

/// A rating cell, read. The words stay, whatever was made of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rating {
    /// The cell as written; empty when blank.
    pub text: String,
    /// Minutes, when the words settle them; `Some(0)` when they say "not rated", `None` when blank or unknown.
    pub minutes: Option<u32>,
    /// Rated, by the words, without saying how long (`YES`, `FR`, `UL`).
    pub rated_unknown: bool,
    /// Smoke and draft label; `None` when nothing is said.
    pub smoke: Option<bool>,
    /// Temperature-rise limit, degrees Fahrenheit at 30 minutes.
    pub temperature_rise: Option<u32>,
    /// The cell gives the rating of the wall, not of the door (`2 HR WALL`): minutes of the wall.
    pub wall_minutes: Option<u32>,
    /// What a column of frames says beside that of doors, where it says minutes (0: not rated).
    pub frame_minutes: Option<u32>,
}

/// What an entry of the table says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Says {
    Minutes(u32),
    /// The letter B covers 60 and 90 minutes.
    OneOrOneAndAHalf,
    Smoke,
    Rise(u32),
    NotRated,
    Blank,
    Rated,
    Noise,
    /// Refers to something else: the figure or letter behind it is that of a note, no rating.
    Reference,
}

static WORDS: LazyLock<HashMap<String, Says>> = LazyLock::new(|| {
    let mut known = HashMap::new();
    let mut reader = csv::Reader::from_reader(include_str!("../../catalogs/trade/ratings.csv").as_bytes());
    for row in reader.records().flatten() {
        let number = row.get(1).and_then(|value| value.parse().ok()).unwrap_or(0);
        let says = match row.get(0).unwrap_or_default() {
            "minutes" | "old-letter" => Says::Minutes(number),
            "one-or-one-and-a-half" => Says::OneOrOneAndAHalf,
            "smoke" => Says::Smoke,
            "rise" => Says::Rise(number),
            "not-rated" => Says::NotRated,
            "blank" => Says::Blank,
            "rated" => Says::Rated,
            "reference" => Says::Reference,
            _ => Says::Noise,
        };
        for word in row.get(2).unwrap_or_default().split('|') {
            known.entry(word.to_string()).or_insert(says);
        }
    }
    known
});

/// The first two letters of the words that tell how long, or that a door is rated, `MIN`, `HR`, `LABEL`.
static LETTERS: LazyLock<BTreeSet<[u8; 2]>> = LazyLock::new(|| {
    let telling = WORDS.iter().filter(|(_, says)| matches!(says, Says::Minutes(_) | Says::Rated));
    let words = telling.flat_map(|(words, _)| words.split(|letter: char| !letter.is_ascii_alphabetic()));
    words.filter_map(|word| word.as_bytes().first_chunk().copied()).collect()
});

/// Whether a cell holds the letter of a label that covers 60 and 90 minutes, and no more.
pub fn is_letter_b(text: &str) -> bool {
    WORDS.get(&text.trim().to_uppercase()) == Some(&Says::OneOrOneAndAHalf)
}

impl Rating {
    /// Whether a text may say a rating, by its signs alone: quickly, of any remark.
    pub fn may_stand_in(text: &str) -> bool {
        let bytes = text.as_bytes();
        let begins = |at: usize| at == 0 || !bytes[at - 1].is_ascii_alphabetic();
        let telling = |(at, two): (usize, &[u8])| {
            let letters = [two[0].to_ascii_uppercase(), two[1].to_ascii_uppercase()];
            letters.iter().all(u8::is_ascii_uppercase) && begins(at) && LETTERS.contains(&letters)
        };
        bytes.iter().any(u8::is_ascii_digit) && bytes.windows(2).enumerate().any(telling)
    }

    /// Whether the door is to be checked as a fire door.
    pub fn is_fire_door(&self) -> bool {
        self.rated_unknown || self.wall_minutes.is_some() || self.minutes.is_some_and(|minutes| minutes > 0)
    }

    /// Reads a rating cell. Never fails: words that are not understood leave everything unknown, with the text kept.
    pub fn parse(cell: &str) -> Self {
        if cell.is_empty() {
            return Rating::default();
        }
        let mut rating = Rating { text: cell.trim().to_string(), ..Rating::default() };
        let words = tidy(cell);
        if words.is_empty() {
            return rating;
        }
        let mut wall = rule_words::of("walls-of-ratings").iter();
        let wall = wall.find_map(|word| words.split(' ').find(|found| found.eq_ignore_ascii_case(word)));
        if let Some(wall) = wall.filter(|_| !words.contains("SMOKE")) {
            let (of_wall, rest) = beside(&words, wall);
            rating.wall_minutes = of_wall.filter(|minutes| *minutes > 0);
            read_words(&rest, &mut rating);
            return rating;
        }
        read_words(&words, &mut rating);
        rating
    }

    /// Whether every word of a cell is a word of ratings.
    pub fn looks_like(cell: &str) -> bool {
        let words = tidy(cell);
        if words.is_empty() {
            return false;
        }
        let mut rating = Rating::default();
        read_words(&words, &mut rating) || Rating::parse(cell).wall_minutes.is_some()
    }
}

/// The usual rating of a door in a wall so rated, by `catalogs/trade/wall_ratings.csv`; `None` where it depends on the wall's use.
pub fn door_in_wall(minutes: u32) -> Option<u32> {
    let rows = super::table::rows(include_str!("../../catalogs/trade/wall_ratings.csv"));
    rows.iter().find(|row| row.get(0).parse() == Ok(minutes)).and_then(|row| row.get(1).parse().ok())
}

/// The minutes that stand beside the word of a wall, before it or else behind it, and the words that are left: in
/// `20 MIN DOOR IN 1 HR WALL` the door's.
fn beside(words: &str, wall: &str) -> (Option<u32>, String) {
    let all: Vec<&str> = words.split(' ').collect();
    let Some(at) = all.iter().position(|word| *word == wall) else { return (None, words.to_owned()) };
    let minutes = |phrase: &[&str]| match WORDS.get(&phrase.join(" ")) {
        Some(Says::Minutes(minutes)) => Some(*minutes),
        _ => None,
    };
    // `2 HR RATED WALL`: what says nothing of time may stand between.
    let idle = |word: &str| word != "DOOR" && matches!(WORDS.get(word), Some(Says::Noise | Says::Rated));
    let mut end = at;
    while end > 0 && minutes(&all[end - 1..end]).is_none() && idle(all[end - 1]) && !UNITS.contains(&all[end - 1]) {
        end -= 1;
    }
    let before =
        (1..=end.min(LONGEST)).rev().find_map(|length| Some((end - length..at + 1, minutes(&all[end - length..end])?)));
    let behind = || {
        let from = at + 1;
        (1..=(all.len() - from).min(LONGEST))
            .rev()
            .find_map(|length| Some((at..from + length, minutes(&all[from..from + length])?)))
    };
    match before.or_else(behind) {
        Some((taken, minutes)) => (Some(minutes), [&all[..taken.start], &all[taken.end..]].concat().join(" ")),
        None => (None, [&all[..at], &all[at + 1..]].concat().join(" ")),
    }
}

/// Words of an entry at most.
const LONGEST: usize = 5;

/// Words of time: noise alone, part of an entry behind a number.
const UNITS: [&str; 3] = ["MIN", "MINUTE", "MINUTES"];

/// Upper case, plain hyphens, one space between words, fraction glyphs spelled out.
fn tidy(cell: &str) -> String {
    let mut out = String::with_capacity(cell.len());
    for letter in cell.chars() {
        match letter {
            '½' => out.push_str("-1/2"),
            '¾' => out.push_str(if out.ends_with(|digit: char| digit.is_ascii_digit()) { "-3/4" } else { "3/4" }),
            '⅓' => out.push_str("1/3"),
            '\u{2010}'..='\u{2015}' | '\u{2212}' => out.push('-'),
            '\u{2044}' => out.push('/'),
            '\'' | '"' | '(' | ')' | '[' | ']' | ';' | ',' | ':' => out.push(' '),
            letter => out.extend(letter.to_uppercase()),
        }
    }
    let joined = out.split_whitespace().collect::<Vec<_>>().join(" ");
    joined.replace(" -1/2", "-1/2").replace("MIN.", "MIN").replace("HR.", "HR")
}

/// Reads as many words at a time as an entry has; tells whether every word was known.
fn read_words(text: &str, rating: &mut Rating) -> bool {
    let words: Vec<&str> = text.split(' ').collect();
    let mut at = 0;
    // Words that point elsewhere alone are no words of ratings.
    let (mut all_known, mut says_any) = (true, false);
    // Within `SEE NOTES 1, 3 & 45`: figures and letters alone are those of notes.
    let (mut referring, mut referred) = (false, false);
    while at < words.len() {
        let taken = (1..=(words.len() - at).min(LONGEST)).rev().find_map(|length| {
            let phrase = words[at..at + length].join(" ");
            Some((length, WORDS.get(&phrase).copied()?))
        });
        // `20 MIN (2)`, `45 MIN SEE NOTE 1`: a letter or figure alone behind a reading, or behind the word for a note, is no
        // second class.
        let is_long = taken.is_some_and(|(length, _)| length > 1);
        if referring && !is_long && is_of_note(words[at]) {
            referred = true;
            at += 1;
            continue;
        }
        referring = matches!(taken, Some((_, Says::Reference)));
        let idle = is_bare(words[at]) && rating.minutes.is_some_and(|minutes| minutes > 0);
        match taken {
            Some((1, Says::Minutes(_) | Says::OneOrOneAndAHalf | Says::NotRated)) if idle => at += 1,
            Some((length, says)) => {
                says_any |= says != Says::Reference;
                note(says, rating);
                at += length;
            }
            None => {
                let known = one_word(words[at], rating);
                (all_known, says_any) = (all_known && known, says_any || known);
                at += 1;
            }
        }
    }
    // What the note says nobody knows here: the door may be rated, and that is asked.
    rating.rated_unknown |= referred && rating.minutes.is_none() && rating.wall_minutes.is_none();
    all_known && says_any
}

/// What may follow the word for a note: its number or letter, and what joins several.
fn is_of_note(word: &str) -> bool {
    matches!(word, "&" | "AND" | "-" | "OR" | "/")
        || word.bytes().all(|byte| byte.is_ascii_digit())
        || word.len() == 1 && word.as_bytes()[0].is_ascii_alphabetic()
}

/// A letter alone, or a figure below the least minutes of a door: it may be a class or hours, and the number of a note as well.
fn is_bare(word: &str) -> bool {
    word.len() == 1 && word.as_bytes()[0].is_ascii_alphanumeric()
        || word.bytes().all(|byte| byte.is_ascii_digit()) && word.len() == 2 && word < "20"
}

fn note(says: Says, rating: &mut Rating) {
    match says {
        Says::Minutes(minutes) => {
            rating.minutes = Some(rating.minutes.unwrap_or(0).max(minutes));
            rating.rated_unknown = false;
        }
        // Which of the two is asked; meanwhile it is a fire door of unknown minutes.
        Says::OneOrOneAndAHalf => rating.rated_unknown = rating.minutes.is_none(),
        Says::Smoke => rating.smoke = Some(true),
        Says::Rise(limit) => rating.temperature_rise = Some(limit),
        Says::NotRated => rating.minutes = rating.minutes.or(Some(0)),
        Says::Rated => rating.rated_unknown = rating.minutes.is_none(),
        Says::Blank | Says::Noise | Says::Reference => {}
    }
}

/// A word with several things in it: `20S`, `90/S`, `C/S`, `90MIN`, `45-S`, `60+SMOKE`.
fn one_word(word: &str, rating: &mut Rating) -> bool {
    let pieces: Vec<&str> = word.split(['/', '+', '&']).filter(|piece| !piece.is_empty()).collect();
    if pieces.len() > 1 && pieces.iter().all(|piece| WORDS.contains_key(*piece) || split_digits(piece).is_some()) {
        for piece in pieces {
            if let Some(says) = WORDS.get(piece) {
                note(*says, rating);
            } else {
                one_word(piece, rating);
            }
        }
        return true;
    }
    // `FD30S`: a British fire door with smoke seals.
    let word = word.strip_prefix("FD").filter(|rest| rest.starts_with(|l: char| l.is_ascii_digit())).unwrap_or(word);
    if let Some((digits, rest)) = split_digits(word)
        && let (Some(minutes), Some(says)) = (WORDS.get(digits), WORDS.get(rest))
        && matches!(minutes, Says::Minutes(_))
    {
        note(*minutes, rating);
        note(*says, rating);
        return true;
    }
    false
}

fn split_digits(word: &str) -> Option<(&str, &str)> {
    let digits = word.bytes().take_while(u8::is_ascii_digit).count();
    let rest = word[digits..].trim_start_matches('-');
    (digits > 0 && !rest.is_empty()).then_some((&word[..digits], rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of rating words: fire-door classes (A 3 h, B 1 or 1-1/2 h, C 3/4 h), UL 1784 smoke label, and common practice.
    #[test]
    fn the_words_of_the_rating_column_are_read() {
        for (text, minutes) in [
            ("180", 180),
            ("3 HR", 180),
            ("A", 180),
            ("90", 90),
            ("1-1/2 HR", 90),
            ("1½ HR", 90),
            ("1.5", 90),
            ("60", 60),
            ("1 HR", 60),
            ("45", 45),
            ("3/4 HR", 45),
            ("¾ HR", 45),
            ("C", 45),
            ("C LABEL", 45),
            ("20", 20),
            ("1/3 HR", 20),
            ("20 MIN.", 20),
            ("D", 90),
            ("E", 45),
            ("90 MIN LABEL", 90),
            ("NR", 0),
            ("N/A", 0),
            ("0", 0),
            ("non-rated", 0),
        ] {
            assert_eq!(Rating::parse(text).minutes, Some(minutes), "{text}");
        }
        for text in ["", "-", "—", "SEE PLAN"] {
            assert_eq!(Rating::parse(text).minutes, None, "{text}");
            assert!(!Rating::parse(text).is_fire_door(), "{text}");
        }
        for text in ["FR", "YES", "X", "UL", "B", "B LABEL"] {
            let rating = Rating::parse(text);
            assert!(rating.rated_unknown && rating.minutes.is_none() && rating.is_fire_door(), "{text}");
        }
    }

    #[test]
    fn the_number_of_a_note_is_no_second_class() {
        for (text, minutes) in [
            ("20 MIN (2)", Some(20)),
            ("45 MIN SEE NOTE 1", Some(45)),
            ("90 MIN NOTE 3", Some(90)),
            ("20 MIN C", Some(20)),
            ("SEE NOTE 1", None),
            ("90 MIN B LABEL", Some(90)),
            ("B 90", Some(90)),
            ("45/60", Some(60)),
            ("FIRE RATED 1 HR", Some(60)),
            ("UL A", Some(180)),
        ] {
            assert_eq!(Rating::parse(text).minutes, minutes, "{text}");
        }
        // What a note says is not known here: such a door is asked about.
        for text in ["SEE NOTE 3", "SEE NOTES 1 & 2", "SEE NOTES 1, 3", "KEYNOTE 20", "SEE NOTE 45"] {
            let rating = Rating::parse(text);
            assert_eq!((rating.minutes, rating.rated_unknown), (None, true), "{text}");
        }
        assert_eq!(Rating::parse("SEE NOTE 4, 90 MIN").minutes, Some(90));
        assert_eq!(Rating::parse("20 MIN S").smoke, Some(true));
        assert_eq!(Rating::parse("90 MIN, 450").temperature_rise, Some(450));
    }

    #[test]
    fn smoke_rise_and_wall_ratings_are_kept_apart() {
        for text in ["20S", "20 S", "20/S", "20-S", "20 MIN + SMOKE"] {
            let rating = Rating::parse(text);
            assert_eq!((rating.minutes, rating.smoke), (Some(20), Some(true)), "{text}");
        }
        assert_eq!(Rating::parse("S").smoke, Some(true));
        assert_eq!(Rating::parse("S").minutes, None);
        assert_eq!(Rating::parse("90 MIN, 450").temperature_rise, Some(450));
        let wall = Rating::parse("2 HR WALL");
        assert_eq!((wall.minutes, wall.wall_minutes), (None, Some(120)));
        assert!(wall.is_fire_door());
        for (text, door, of_wall) in [
            ("20 MIN DOOR IN 1 HR WALL", Some(20), Some(60)),
            ("1 HR WALL / 45 MIN DOOR", Some(45), Some(60)),
            ("90 MIN IN 2 HR RATED WALL", Some(90), Some(120)),
            ("WALL 2 HR", None, Some(120)),
            ("1-1/2 HR DOOR, 2 HR WALL", Some(90), Some(120)),
            ("2 HR PARTITION", None, Some(120)),
            ("20S IN 1 HR WALL", Some(20), Some(60)),
        ] {
            let rating = Rating::parse(text);
            assert_eq!((rating.minutes, rating.wall_minutes), (door, of_wall), "{text}");
        }
    }
}
