//! Designations: one pattern per product line, which builds a designation from attributes and decodes one into them; and
//! the words of a description, made the same way.

use std::sync::Arc;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::inches::Inches;

use super::line::Varying;
use super::source::listed;
use super::value::{Domain, shown};

/// A piece of a pattern.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Piece {
    /// Stands as it is.
    Literal(Arc<str>),
    /// The code (or the words) of an attribute.
    Slot(Attr),
}

/// A pattern: literals and attributes in braces, such as `QL{weight}-{height}{finish}`.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Pattern(pub(super) Vec<Piece>);

/// A designation read against one pattern.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Parsed {
    /// What its codes say; attributes whose code stands for "without" are left out.
    pub(super) attributes: Attributes,
    /// Attributes that the text left out: it ended before their codes.
    pub(super) unsaid: Vec<Attr>,
    /// Bytes of the text that were read.
    pub(super) read: usize,
}

impl Pattern {
    /// Splits `text` at its braces.
    ///
    /// # Errors
    /// A brace that is not closed: its byte.
    pub(super) fn parse(text: &str) -> Result<Pattern, usize> {
        let mut pieces = Vec::new();
        let mut rest = text;
        let mut at = 0;
        while let Some(open) = rest.find('{') {
            let close = rest[open..].find('}').map(|close| open + close).ok_or(at + open)?;
            if rest[open + 1..close].contains('{') {
                return Err(at + open);
            }
            if open > 0 {
                pieces.push(Piece::Literal(rest[..open].into()));
            }
            pieces.push(Piece::Slot(Attr::new(rest[open + 1..close].trim())));
            at += close + 1;
            rest = &rest[close + 1..];
        }
        if !rest.is_empty() {
            pieces.push(Piece::Literal(rest.into()));
        }
        Ok(Pattern(pieces))
    }

    /// The attributes named in it.
    pub(super) fn slots(&self) -> impl Iterator<Item = Attr> + '_ {
        self.0.iter().filter_map(|piece| match piece {
            Piece::Slot(attr) => Some(*attr),
            Piece::Literal(_) => None,
        })
    }

    /// The literal it begins with, squeezed.
    pub(super) fn head(&self) -> String {
        match self.0.first() {
            Some(Piece::Literal(text)) => squeeze(text).iter().map(|(letter, _)| *letter).collect(),
            _ => String::new(),
        }
    }

    /// The designation of these attributes.
    pub(super) fn build(&self, makes: &[Varying], attributes: &Attributes) -> String {
        let mut text = String::new();
        for piece in &self.0 {
            match piece {
                Piece::Literal(literal) => text.push_str(literal),
                Piece::Slot(attr) => {
                    if let Some(varying) = makes.iter().find(|varying| varying.attr == *attr) {
                        text.push_str(&varying.code(attributes.get(attr)));
                    }
                }
            }
        }
        // A code left empty at the end leaves no separator behind.
        text.truncate(text.trim_end_matches([' ', '-', '.']).len());
        text
    }

    /// Reads `text` against the pattern. Case, spaces, hyphens and slashes do not count. `whole`: the text must end with
    /// the designation, else it may go on after a separator.
    ///
    /// # Errors
    /// `None` when the text does not begin like this pattern, else what stands where it stops fitting.
    pub(super) fn read(&self, makes: &[Varying], text: &str, whole: bool) -> Result<Vec<Parsed>, Option<String>> {
        let letters = squeeze(text);
        let mut reader = Reader { pattern: self, makes, text, letters: &letters, whole, found: Vec::new(), far: None };
        reader.step(0, 0, &mut Vec::new());
        let mut found = reader.found;
        if found.is_empty() {
            return Err(reader.far.map(|far| far.words(text, &letters)));
        }
        if let Some(longest) = found
            .iter()
            .map(|parsed| (parsed.read, parsed.unsaid.len()))
            .max_by_key(|(read, unsaid)| (*read, usize::MAX - unsaid))
        {
            found.retain(|parsed| (parsed.read, parsed.unsaid.len()) == longest);
        }
        found.dedup();
        // Separators settle what letters alone leave open: `-1-36` is not `-136`.
        let exact =
            |parsed: &Parsed| self.build(makes, &parsed.attributes).eq_ignore_ascii_case(text[..parsed.read].trim());
        if found.len() > 1 && found.iter().any(exact) {
            found.retain(exact);
        }
        Ok(found)
    }

    /// The pattern filled with words. Parts between commas of which a slot is empty are left out.
    pub(super) fn describe(&self, makes: &[Varying], attributes: &Attributes) -> String {
        let mut phrases: Vec<(String, bool)> = vec![(String::new(), true)];
        for piece in &self.0 {
            match piece {
                Piece::Literal(literal) => {
                    for (index, part) in literal.split(',').enumerate() {
                        if index > 0 {
                            phrases.push((String::new(), true));
                        }
                        if let Some(last) = phrases.last_mut() {
                            last.0.push_str(part);
                        }
                    }
                }
                Piece::Slot(attr) => {
                    let value = attributes.get(attr);
                    let words = match makes.iter().find(|varying| varying.attr == *attr) {
                        Some(varying) => varying.words(value),
                        None => value.map_or(String::new(), |value| shown(Some(value))),
                    };
                    if let Some(last) = phrases.last_mut() {
                        last.1 &= !words.is_empty();
                        last.0.push_str(&words);
                    }
                }
            }
        }
        let kept: Vec<&str> = phrases
            .iter()
            .filter(|(text, whole)| *whole && !text.trim().is_empty())
            .map(|(text, _)| text.trim())
            .collect();
        kept.join(", ")
    }
}

/// Letters that count in a designation, upper case, each with its byte.
fn squeeze(text: &str) -> Vec<(char, usize)> {
    text.char_indices()
        .filter(|(_, letter)| !matches!(letter, ' ' | '-' | '/' | '_' | '\u{2013}'))
        .map(|(at, letter)| (letter.to_ascii_uppercase(), at))
        .collect()
}

/// Signs that end a word wherever they stand.
fn is_edge(letter: char) -> bool {
    matches!(letter, ',' | ';' | '(' | ')')
}

/// Where reading stopped furthest along.
struct Far {
    at: usize,
    wants: Vec<String>,
}

impl Far {
    fn words(self, text: &str, letters: &[(char, usize)]) -> String {
        let wants = listed(self.wants.iter().map(|code| format!("`{code}`")));
        match letters.get(self.at) {
            Some((_, byte)) => {
                let word: String = text[*byte..]
                    .chars()
                    .take_while(|letter| letter.is_alphanumeric() || *letter == '.')
                    .take(8)
                    .collect();
                let position = text[..*byte].chars().count() + 1;
                let near = nearest_code(&word, &self.wants).map_or(String::new(), |code| format!("; nearest `{code}`"));
                format!("position {position} `{word}`: this line makes {wants}{near}")
            }
            None => format!("the designation ends after `{text}`: {wants} would go on"),
        }
    }
}

/// The code that a person most likely meant: nearest in value where both are figures, else in letters.
fn nearest_code<'a>(word: &str, wants: &'a [String]) -> Option<&'a str> {
    if wants.len() < 2 {
        return None;
    }
    let figures = |text: &str| -> Option<i64> {
        let run: String = text.chars().take_while(char::is_ascii_digit).collect();
        run.parse().ok()
    };
    let upper = word.to_uppercase();
    wants
        .iter()
        .map(|code| {
            let head: String = upper.chars().take(code.chars().count().max(1)).collect();
            let apart = match (figures(&head), figures(code)) {
                (Some(one), Some(other)) => one.abs_diff(other),
                _ => u64::MAX,
            };
            (apart, strsim::damerau_levenshtein(&head, &code.to_uppercase()), code.as_str())
        })
        // Letters that share nothing with a code are not near it.
        .filter(|(apart, edits, code)| *apart < u64::MAX || *edits < code.chars().count())
        .min()
        .map(|(_, _, code)| code)
}

struct Reader<'a> {
    pattern: &'a Pattern,
    makes: &'a [Varying],
    text: &'a str,
    letters: &'a [(char, usize)],
    whole: bool,
    found: Vec<Parsed>,
    far: Option<Far>,
}

/// More readings of one designation than this are not told apart.
const MOST_READINGS: usize = 8;

impl Reader<'_> {
    fn step(&mut self, piece: usize, at: usize, taken: &mut Vec<(Attr, Option<Value>)>) {
        if self.found.len() >= MOST_READINGS {
            return;
        }
        match self.pattern.0.get(piece) {
            None => self.finish(at, taken, Vec::new()),
            Some(Piece::Literal(literal)) => match self.eat(literal, at) {
                Some(next) => self.step(piece + 1, next, taken),
                None if at == self.letters.len() && piece > 0 => self.cut_short(piece, at, taken),
                None if self.word_ended(at) => self.cut_at_word(piece, at, taken),
                None => self.stopped(piece, at, &[literal.to_string()]),
            },
            Some(Piece::Slot(attr)) => self.slot(piece, *attr, at, taken),
        }
    }

    fn slot(&mut self, piece: usize, attr: Attr, at: usize, taken: &mut Vec<(Attr, Option<Value>)>) {
        let Some(varying) = self.makes.iter().find(|varying| varying.attr == attr) else { return };
        if at == self.letters.len() {
            return self.cut_short(piece, at, taken);
        }
        let options = self.options(varying, at);
        if options.is_empty() {
            // The number may end with a word: what stands behind it is no code of it, as a finish that the line does not make.
            if self.word_ended(at) {
                self.cut_at_word(piece, at, taken);
            }
            let codes: Vec<String> =
                varying.codes.iter().map(|(_, code)| code.to_string()).filter(|code| !code.is_empty()).collect();
            return self.stopped(piece, at, &if codes.is_empty() { vec![varying.domain.words()] } else { codes });
        }
        let only_without = options.iter().all(|(_, next)| *next == at);
        if only_without {
            let codes: Vec<String> =
                varying.codes.iter().map(|(_, code)| code.to_string()).filter(|code| !code.is_empty()).collect();
            self.stopped(piece, at, &codes);
        }
        for (value, next) in options {
            taken.push((attr, value));
            self.step(piece + 1, next, taken);
            taken.pop();
        }
    }

    /// Every value whose code stands at `at`, longest code first.
    fn options(&self, varying: &Varying, at: usize) -> Vec<(Option<Value>, usize)> {
        let mut options: Vec<(Option<Value>, usize)> = match &varying.domain {
            Domain::OneOf(_) | Domain::Free => varying
                .codes
                .iter()
                .filter_map(|(value, code)| self.eat(code, at).map(|next| (value.clone(), next)))
                .collect(),
            Domain::Range(..) => self.lengths(varying, at),
            Domain::AnyOf(_) => self.words(varying, at),
        };
        options.sort_by_key(|(_, next)| usize::MAX - next);
        options
    }

    fn lengths(&self, varying: &Varying, at: usize) -> Vec<(Option<Value>, usize)> {
        let run = self.letters[at..].iter().take_while(|(letter, _)| letter.is_ascii_digit() || *letter == '.').count();
        (1..=run)
            .filter_map(|count| {
                let digits: String = self.letters[at..at + count].iter().map(|(letter, _)| *letter).collect();
                let length: Inches = digits.parse().ok()?;
                // A trailing point or zero is not how a code is written; reading it would give two readings of one code.
                (length.to_string() == digits).then_some(())?;
                varying.domain.meet(&Value::Length(length)).ok().map(|value| (value, at + count))
            })
            .collect()
    }

    fn words(&self, varying: &Varying, at: usize) -> Vec<(Option<Value>, usize)> {
        let mut sets: Vec<(Vec<Arc<str>>, usize)> = vec![(Vec::new(), at)];
        for (value, code) in &varying.codes {
            let Some(Value::Text(word)) = value else { continue };
            let more: Vec<(Vec<Arc<str>>, usize)> = sets
                .iter()
                .filter_map(|(words, next)| {
                    let next = self.eat(code, *next)?;
                    let mut words = words.clone();
                    words.push(word.clone());
                    Some((words, next))
                })
                .collect();
            sets.extend(more);
        }
        sets.into_iter()
            .map(|(mut words, next)| {
                words.sort();
                (Some(Value::List(words)).filter(|value| *value != Value::List(Vec::new())), next)
            })
            .collect()
    }

    /// The place after `code`, if it stands at `at`.
    fn eat(&self, code: &str, at: usize) -> Option<usize> {
        let mut next = at;
        for (letter, _) in squeeze(code) {
            if self.letters.get(next)?.0 != letter {
                return None;
            }
            next += 1;
        }
        Some(next)
    }

    /// Whether the text may go on behind the number, and a word of it has ended before the letter at `at`.
    fn word_ended(&self, at: usize) -> bool {
        let Some((letter, byte)) = self.letters.get(at).filter(|_| at > 0 && !self.whole) else { return false };
        let before = self.text.get(..*byte).and_then(|text| text.chars().next_back());
        is_edge(*letter) || before.is_some_and(char::is_whitespace)
    }

    /// The number ends with a word: it says nothing of the codes that it might have gone on with.
    fn cut_at_word(&mut self, piece: usize, at: usize, taken: &[(Attr, Option<Value>)]) {
        let (mut piece, mut kept) = (piece, taken);
        while let Some(before) = piece.checked_sub(1).and_then(|before| self.pattern.0.get(before)) {
            match (before, kept.split_last()) {
                (Piece::Literal(literal), _) if squeeze(literal).is_empty() => {}
                (Piece::Slot(_), Some(((attr, value), rest))) if self.took_nothing(*attr, value.as_ref()) => {
                    kept = rest
                }
                _ => break,
            }
            piece -= 1;
        }
        let rest = Pattern(self.pattern.0[piece..].to_vec()).slots().collect();
        self.finish(at, kept, rest);
    }

    /// Whether a value is one that no code stands for.
    fn took_nothing(&self, attr: Attr, value: Option<&Value>) -> bool {
        let varying = self.makes.iter().find(|varying| varying.attr == attr);
        varying.is_some_and(|varying| squeeze(&varying.code(value)).is_empty())
    }

    /// The text ends at the beginning of a piece: what is left is unsaid, unless it can all be empty.
    fn cut_short(&mut self, piece: usize, at: usize, taken: &[(Attr, Option<Value>)]) {
        let rest: Vec<Attr> = Pattern(self.pattern.0[piece..].to_vec()).slots().collect();
        let only_slots = self.pattern.0[piece..].iter().all(|piece| matches!(piece, Piece::Slot(_)));
        let empty = |attr: &Attr| {
            let varying = self.makes.iter().find(|varying| varying.attr == *attr)?;
            varying.empty_code()
        };
        let all_empty: Option<Vec<(Attr, Option<Value>)>> =
            rest.iter().map(|attr| empty(attr).map(|value| (*attr, value))).collect();
        match all_empty {
            Some(values) if only_slots => {
                let taken: Vec<_> = taken.iter().cloned().chain(values).collect();
                self.finish(at, &taken, Vec::new());
            }
            _ => self.finish(at, taken, rest),
        }
    }

    fn finish(&mut self, at: usize, taken: &[(Attr, Option<Value>)], unsaid: Vec<Attr>) {
        let end = self.letters.get(at).map(|(_, byte)| *byte);
        let read = match end {
            None => self.text.len(),
            Some(_) if self.whole => return self.stopped(self.pattern.0.len(), at, &["nothing more".to_owned()]),
            Some(byte) => {
                let before = self.text[..byte].chars().next_back();
                let edge = self.letters.get(at).is_some_and(|(letter, _)| is_edge(*letter));
                if before.is_none_or(char::is_alphanumeric) && !edge {
                    return;
                }
                byte
            }
        };
        let without = |attr: &Attr| self.makes.iter().find(|varying| varying.attr == *attr)?.without();
        let attributes = taken
            .iter()
            .filter_map(|(attr, value)| value.clone().or_else(|| without(attr)).map(|value| (*attr, value)))
            .collect();
        self.found.push(Parsed { attributes, unsaid, read });
    }

    fn stopped(&mut self, piece: usize, at: usize, wants: &[String]) {
        // A text that does not even begin with the line's own letters says nothing about the line.
        if piece == 0 || self.pattern.head().chars().count() < 2 && at < 2 {
            return;
        }
        match &mut self.far {
            Some(far) if far.at > at => {}
            Some(far) if far.at == at => {
                for want in wants {
                    if !far.wants.contains(want) {
                        far.wants.push(want.clone());
                    }
                }
            }
            far => *far = Some(Far { at, wants: wants.to_vec() }),
        }
    }
}
