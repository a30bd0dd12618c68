//! Patterns of numbers of other makers, as a cross reference writes them: letters and digits stand for themselves, `*` for
//! any, `#` for one digit; `{finish}` reads a finish code, `{weight:H=heavy/S=standard}` reads codes of an attribute. Case,
//! spaces, hyphens and slashes do not count.

use std::sync::Arc;

use crate::trade::attribute::{Attr, Value, names};
use crate::trade::finish;

use super::value::{is_misfit, parse};

#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Letter(char),
    Digit,
    Any,
    Finish,
    Codes(Attr, Vec<(Arc<str>, Value)>),
}

/// What a pattern takes of a text: its bytes, those before a last `*`, and what its codes say.
pub(super) type Taken = (usize, usize, Vec<(Attr, Value)>);

/// A pattern.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Foreign(Vec<Piece>);

fn counts(letter: char) -> bool {
    !matches!(letter, ' ' | '-' | '/' | '_' | '\u{2013}' | '\u{a0}')
}

impl Foreign {
    /// Reads a pattern.
    ///
    /// # Errors
    /// The byte of what is wrong, and what.
    pub(super) fn parse(text: &str) -> Result<Foreign, (usize, String)> {
        let mut pieces = Vec::new();
        let mut letters = text.char_indices();
        while let Some((at, letter)) = letters.next() {
            match letter {
                '*' => pieces.push(Piece::Any),
                '#' => pieces.push(Piece::Digit),
                '{' => {
                    let inner: String = letters.by_ref().map(|(_, letter)| letter).take_while(|c| *c != '}').collect();
                    if !text[at..].contains('}') {
                        return Err((at, "a brace is not closed".to_owned()));
                    }
                    pieces.push(slot(&inner).map_err(|says| (at, says))?);
                }
                '}' => return Err((at, "a brace closes that was not opened".to_owned())),
                letter if counts(letter) => pieces.extend(letter.to_uppercase().map(Piece::Letter)),
                _ => {}
            }
        }
        let foreign = Foreign(pieces);
        if foreign.spelled() < 2 {
            return Err((0, format!("\"{text}\" spells out fewer than two letters or digits and would fit anything")));
        }
        Ok(foreign)
    }

    /// The letters and digits it begins with, a few of them at most.
    pub(super) fn beginning(&self) -> String {
        let spelled = self.0.iter().map_while(|piece| match piece {
            Piece::Letter(letter) => Some(*letter),
            _ => None,
        });
        spelled.take(Self::FEW).collect()
    }

    /// Every beginning that a pattern may have which fits a text, from none to a few letters and digits.
    pub(super) fn beginnings_of(text: &str) -> impl Iterator<Item = String> {
        let letters: String =
            text.chars().filter(|letter| counts(*letter)).flat_map(char::to_uppercase).take(Self::FEW).collect();
        let ends: Vec<usize> = letters.char_indices().map(|(at, _)| at).chain([letters.len()]).collect();
        ends.into_iter().map(move |end| letters[..end].to_owned())
    }

    /// The most letters of a beginning.
    const FEW: usize = 4;

    /// How many letters and digits it spells out.
    pub(super) fn spelled(&self) -> usize {
        self.0.iter().filter(|piece| matches!(piece, Piece::Letter(_))).count()
    }

    /// Reads the number at the beginning of a text: its bytes, those before a last `*`, and what its codes say. It ends where
    /// the text ends, or a word does.
    pub(super) fn read(&self, text: &str) -> Option<Taken> {
        let letters: Vec<(char, usize)> = text
            .char_indices()
            .filter(|(_, letter)| counts(*letter))
            .flat_map(|(at, letter)| letter.to_uppercase().map(move |upper| (upper, at)))
            .collect();
        let mut taken = Vec::new();
        let end = step(&self.0, text, &letters, 0, &mut taken)?;
        let bytes = |end: usize| match end.checked_sub(1).and_then(|last| letters.get(last)) {
            Some((_, at)) => at + text[*at..].chars().next().map_or(0, char::len_utf8),
            None => 0,
        };
        let spelled = match self.0.split_last() {
            // The shortest beginning that the rest of the pattern reads.
            Some((Piece::Any, before)) => (0..=end)
                .find(|cut| step(before, text, &letters[..*cut], 0, &mut Vec::new()) == Some(*cut))
                .unwrap_or(end),
            _ => end,
        };
        Some((bytes(end), bytes(spelled), taken))
    }
}

/// `finish`, or `weight:H=heavy/S=standard`.
fn slot(inner: &str) -> Result<Piece, String> {
    let Some((name, codes)) = inner.split_once(':') else {
        return match inner.trim() {
            "finish" => Ok(Piece::Finish),
            name => Err(format!("{{{name}}} needs its codes")),
        };
    };
    let attr = Attr::new(name.trim());
    let mut read = Vec::new();
    for code in codes.split('/') {
        let (code, value) = code.split_once('=').ok_or_else(|| format!("\"{code}\" is not code=value"))?;
        let code: String = code.chars().filter(|letter| counts(*letter)).flat_map(char::to_uppercase).collect();
        let value = value.trim();
        if value.is_empty() || is_misfit(attr, value) {
            return Err(format!("\"{value}\" is no value of {}", attr.name()));
        }
        read.push((code.into(), parse(attr, value)));
    }
    // The longest code first, so that W6 is not read as W.
    read.sort_by_key(|(code, _): &(Arc<str>, Value)| std::cmp::Reverse(code.len()));
    Ok(Piece::Codes(attr, read))
}

/// Whether a word of the text ends before a letter that counts.
fn ends(text: &str, letters: &[(char, usize)], at: usize) -> bool {
    let (Some((_, next)), Some((_, last))) = (letters.get(at), at.checked_sub(1).and_then(|last| letters.get(last)))
    else {
        return true;
    };
    let last_is_sign = text[*last..].chars().next().is_some_and(|letter| matches!(letter, ',' | ';' | ')'));
    let next_is_sign = text[*next..].chars().next().is_some_and(|letter| matches!(letter, ',' | ';' | ')'));
    last_is_sign || next_is_sign || text[*last..*next].chars().any(char::is_whitespace)
}

fn step(
    pieces: &[Piece],
    text: &str,
    letters: &[(char, usize)],
    at: usize,
    taken: &mut Vec<(Attr, Value)>,
) -> Option<usize> {
    let Some((piece, rest)) = pieces.split_first() else {
        return ends(text, letters, at).then_some(at);
    };
    match piece {
        Piece::Letter(wanted) => {
            letters.get(at).filter(|(letter, _)| letter == wanted)?;
            step(rest, text, letters, at + 1, taken)
        }
        Piece::Digit => {
            letters.get(at).filter(|(letter, _)| letter.is_ascii_digit())?;
            step(rest, text, letters, at + 1, taken)
        }
        Piece::Any => {
            let mut end = at;
            loop {
                if let Some(found) = step(rest, text, letters, end, taken) {
                    return Some(found);
                }
                // What stands for any letters stays within one word.
                if end >= letters.len() || (end > 0 && ends(text, letters, end)) {
                    return None;
                }
                end += 1;
            }
        }
        Piece::Finish => (1..=6).rev().find_map(|length| {
            let code: String = letters.get(at..at + length)?.iter().map(|(letter, _)| *letter).collect();
            let found = finish::find(&code)?;
            attempt(names::FINISH, Value::text(found.code), rest, text, letters, at + length, taken)
        }),
        Piece::Codes(attr, codes) => codes.iter().find_map(|(code, value)| {
            let length = code.chars().count();
            let here = letters.get(at..at + length)?;
            here.iter().map(|(letter, _)| *letter).eq(code.chars()).then_some(())?;
            attempt(*attr, value.clone(), rest, text, letters, at + length, taken)
        }),
    }
}

fn attempt(
    attr: Attr,
    value: Value,
    rest: &[Piece],
    text: &str,
    letters: &[(char, usize)],
    at: usize,
    taken: &mut Vec<(Attr, Value)>,
) -> Option<usize> {
    taken.push((attr, value));
    let found = step(rest, text, letters, at, taken);
    if found.is_none() {
        taken.pop();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(pattern: &str, text: &str) -> Option<(usize, String)> {
        let (read, _, taken) = Foreign::parse(pattern).unwrap().read(text)?;
        Some((read, taken.iter().map(|(attr, value)| format!("{attr}={value} ")).collect()))
    }

    #[test]
    fn series_patterns_and_exact_numbers_are_read() {
        assert_eq!(read("TM 71", "tm-71"), Some((5, String::new())));
        assert_eq!(read("TM71", "TM712"), None, "an exact number is not the beginning of a longer one");
        assert_eq!(read("TM71*", "TM71-F07 626"), Some((8, String::new())), "the number ends with its word");
        assert_eq!(read("TB{weight:H=heavy/S=standard}##*", "TBH45X, NRP"), Some((6, "weight=heavy ".to_owned())));
        assert_eq!(read("TM#-{finish}", "TM4-626"), Some((7, "finish=626 ".to_owned())));
        assert_eq!(read("TM{conductors:W=4/W6=6}", "TMW6"), Some((4, "conductors=6 ".to_owned())));
    }

    #[test]
    fn what_a_last_star_takes_is_told_apart() {
        let spelled =
            |pattern: &str, text: &str| Foreign::parse(pattern).unwrap().read(text).map(|(_, spelled, _)| spelled);
        assert_eq!(spelled("TB{weight:H=heavy/S=standard}##*", "TBH45-NRP 652"), Some(5));
        assert_eq!(spelled("TM07*", "TM07 626"), Some(4));
    }

    #[test]
    fn broken_patterns_say_where() {
        assert_eq!(Foreign::parse("TM{weight").unwrap_err().0, 2);
        assert_eq!(Foreign::parse("TM{weight}").unwrap_err().0, 2);
        assert!(Foreign::parse("*").is_err() && Foreign::parse("T*").is_err());
        assert!(Foreign::parse("TM{height:A=tall}").unwrap_err().1.contains("tall"));
    }
}
