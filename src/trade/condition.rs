//! Words of conditions: at which doors of its set a line holds, `(RATED DOORS ONLY)`, `@ EXT DRS`, `EXCEPT AT PAIRS`. The data is
//! `catalogs/trade/conditions.csv`.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/conditions.csv");

/// What a word does in a condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Leads to the doors.
    Lead,
    /// Leads to them, whatever follows: where, if.
    If,
    /// Leads to them where a word for doors follows.
    On,
    /// Leads to them where "only" or a word for several doors follows.
    For,
    /// No other doors.
    Only,
    /// Leads to the doors that have none.
    Not,
    /// Says nothing there.
    Fill,
    /// Doors.
    Doors,
    /// A door.
    Door,
    /// The frame is what the fact is of.
    Frames,
    /// One or the other.
    Joint,
    /// What holds of the doors.
    Fact(Test),
    /// The same, or a side of the door.
    Either(Test),
    /// What holds of doors, where a word for doors follows.
    OfDoors(Test),
}

/// What may hold of a door.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// It is a fire door.
    Rated,
    /// It is rated so many minutes.
    Minutes(u32),
    /// It has a smoke label.
    Smoke,
    /// It has two leaves.
    Pair,
    /// It leads outside.
    Exterior,
    /// It swings out.
    Outswing,
    /// Its leaves are of this material.
    Material(&'static str),
    /// Its frame is of this material.
    Frame(&'static str),
}

/// A fact, and whether it is to hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Test {
    /// The fact.
    pub fact: Fact,
    /// Whether it is to hold.
    pub holds: bool,
}

impl Test {
    /// The same of the frame, where it is one of a material.
    pub fn of_frame(&mut self) {
        if let Fact::Material(material) = self.fact {
            self.fact = Fact::Frame(material);
        }
    }
}

/// The words of the table by their first word, the longest first.
#[derive(Debug, Default)]
pub struct Words {
    by_first: HashMap<&'static str, Vec<(Vec<&'static str>, Part)>>,
    alone: Vec<Vec<&'static str>>,
    options: Vec<(&'static str, &'static str)>,
    of_part: Vec<&'static str>,
}

/// The table.
pub fn words() -> &'static Words {
    static WORDS: LazyLock<Words> = LazyLock::new(Words::load);
    &WORDS
}

fn test(means: &'static str) -> Option<Test> {
    let (holds, fact) = means.strip_prefix("not ").map_or((true, means), |fact| (false, fact));
    let fact = match fact.split_once(' ') {
        Some(("material", material)) => Fact::Material(material),
        _ => match fact {
            "rated" => Fact::Rated,
            "smoke" => Fact::Smoke,
            "pair" => Fact::Pair,
            "exterior" => Fact::Exterior,
            "outswing" => Fact::Outswing,
            _ => return None,
        },
    };
    Some(Test { fact, holds })
}

fn part(name: &str, means: &'static str) -> Option<Part> {
    Some(match name {
        "lead" => Part::Lead,
        "if" => Part::If,
        "on" => Part::On,
        "for" => Part::For,
        "only" => Part::Only,
        "not" => Part::Not,
        "fill" => Part::Fill,
        "doors" => Part::Doors,
        "door" => Part::Door,
        "frames" => Part::Frames,
        "joint" => Part::Joint,
        "fact" => Part::Fact(test(means)?),
        "either" => Part::Either(test(means)?),
        "of-doors" => Part::OfDoors(test(means)?),
        _ => return None,
    })
}

impl Words {
    fn load() -> Words {
        let mut words = Words::default();
        for row in table::rows(TABLE) {
            if row.get(0) == "option" {
                words.options.extend(row.get(1).split_once('='));
            }
            if row.get(0) == "part" {
                words.of_part.extend(row.get(2).split('|'));
            }
            let Some(part) = part(row.get(0), row.get(1)) else { continue };
            for phrase in row.get(2).split('|') {
                let phrase: Vec<&'static str> = phrase.split(' ').collect();
                if let Some(first) = phrase.first() {
                    words.by_first.entry(first).or_default().push((phrase, part));
                }
            }
            words
                .alone
                .extend(row.get(3).split('|').filter(|phrase| !phrase.is_empty()).map(|p| p.split(' ').collect()));
        }
        for phrases in words.by_first.values_mut() {
            phrases.sort_by_key(|(phrase, _)| std::cmp::Reverse(phrase.len()));
        }
        words
    }

    /// The phrases that begin with a word, the longest first.
    pub fn beginning(&self, word: &str) -> &[(Vec<&'static str>, Part)] {
        self.by_first.get(word).map_or(&[], Vec::as_slice)
    }

    /// Whether a word by itself has one of some parts.
    pub fn is_word(&self, word: &str, fits: impl Fn(Part) -> bool) -> bool {
        self.beginning(word).iter().any(|(phrase, part)| phrase.len() == 1 && fits(*part))
    }

    /// Whether these words say what they say without a word for doors.
    pub fn alone(&self, said: &[&str]) -> bool {
        self.alone.iter().any(|phrase| phrase == said)
    }

    /// Whether a condition right behind a value is one of this value and not of the goods.
    pub fn is_option(&self, attribute: &str, value: &str) -> bool {
        self.options.contains(&(attribute, value))
    }

    /// Whether only some goods of a kind have an attribute: a condition behind its value may be one of that alone.
    pub fn is_of_part(&self, attribute: &str) -> bool {
        self.of_part.contains(&attribute)
    }
}

impl std::fmt::Display for Test {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.fact, self.holds) {
            (Fact::Rated, true) => f.write_str("rated"),
            (Fact::Rated, false) => f.write_str("not rated"),
            (Fact::Minutes(minutes), true) => write!(f, "rated {minutes} minutes"),
            (Fact::Minutes(minutes), false) => write!(f, "not rated {minutes} minutes"),
            (Fact::Smoke, true) => f.write_str("with smoke label"),
            (Fact::Smoke, false) => f.write_str("without smoke label"),
            (Fact::Pair, true) => f.write_str("pair"),
            (Fact::Pair, false) => f.write_str("single"),
            (Fact::Exterior, true) => f.write_str("exterior"),
            (Fact::Exterior, false) => f.write_str("interior"),
            (Fact::Outswing, true) => f.write_str("swinging out"),
            (Fact::Outswing, false) => f.write_str("swinging in"),
            (Fact::Material(material), true) => write!(f, "of {material}"),
            (Fact::Material(material), false) => write!(f, "not of {material}"),
            (Fact::Frame(material), true) => write!(f, "in frames of {material}"),
            (Fact::Frame(material), false) => write!(f, "not in frames of {material}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read_and_has_a_source() {
        let known = table::rows(include_str!("../../catalogs/trade/attributes.csv"));
        let known: Vec<&str> = known.iter().map(|row| row.get(0)).collect();
        for row in table::rows(TABLE) {
            let read = part(row.get(0), row.get(1)).is_some()
                || row.get(0) == "option" && row.get(1).contains('=')
                || row.get(0) == "part" && row.get(2).split('|').all(|name| known.contains(&name));
            assert!(read && !row.get(4).is_empty(), "line {}", row.line);
        }
        assert!(words().is_option("pin", "non-removable") && words().alone(&["pairs"]));
        assert_eq!(words().beginning("omit").first().map(|(_, part)| *part), Some(Part::Not));
    }
}
