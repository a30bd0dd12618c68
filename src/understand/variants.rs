//! Other words that a written word may stand for: abbreviations from `catalogs/trade/words/abbreviations.txt`, misspelled
//! words, and words run together. A variant never decides alone: the longest phrase that the words make together does.
//!
//! Misspelled: one letter wrong, missing, too many or two exchanged; two such slips in a word of eight letters and more.
//! Words of fewer than five letters are only taken for misspelled inside a phrase whose other words are right.

use super::lexicon::Lexicon;
use super::meaning::Special;
use super::tree::Map;

/// How a token's other words were come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Guess {
    /// Not a guess: the word stands in the lists, or is an abbreviation.
    #[default]
    None,
    /// A misspelling.
    Spelling,
    /// A word of the lists begins so.
    Begun,
    /// A misspelling of a word so short that only a phrase makes it credible.
    Short,
}

/// The most words that one word may stand for.
pub const MOST: usize = 3;

/// Abbreviations, and the words that may be misspelled.
#[derive(Debug, Default)]
pub struct Variants {
    /// Abbreviation → the words it may stand for.
    pub(super) abbreviations: Map<Box<str>, Vec<u32>>,
    /// Whether the word of a number is an abbreviation too: hardly any is.
    both: Vec<bool>,
    /// Words that a misspelling may stand for, in order.
    spellings: Vec<Known>,
}

/// A word of the lists, of plain letters alone.
#[derive(Debug)]
struct Known {
    text: Box<str>,
    number: u32,
    letters: u32,
}

impl Variants {
    /// The words that an abbreviation stands for; `number` is its own as a word, 0 if it is none.
    pub fn abbreviation(&self, word: &str, number: u32) -> Option<&[u32]> {
        if number != 0 && self.both.get(number as usize) == Some(&false) {
            return None;
        }
        self.abbreviations.get(word).map(Vec::as_slice)
    }

    /// Marks the words that are abbreviations too, once all words are numbered.
    pub(super) fn mark_both(&mut self, words: &Map<Box<str>, u32>) {
        let mut both = vec![false; words.len() + 1];
        for short in self.abbreviations.keys() {
            if let Some(number) = words.get(short) {
                both[*number as usize] = true;
            }
        }
        self.both = both;
    }

    /// The nearest words of the lists to one that they do not have.
    pub fn nearest(&self, word: &str) -> ([u32; MOST], Guess) {
        let mut found = [0; MOST];
        let length = word.len();
        if self.is_unfinished() {
            return (found, Guess::None);
        }
        if !(3..=24).contains(&length) || !word.is_ascii() {
            return (found, Guess::None);
        }
        // A misspelling begins as the word does. Of those few hundred hardly any has nearly its length and letters, so
        // looking at each takes less than an index of all misspellings would.
        let letters = letters(word);
        let mut near: Vec<(usize, u32)> = Vec::new();
        for known in self.beginning_with(word) {
            let most = reach(length.min(known.text.len()));
            // A slip takes one letter away, brings one in, or both.
            if known.text.len().abs_diff(length) > most || (known.letters ^ letters).count_ones() as usize > 2 * most {
                continue;
            }
            let distance = strsim::osa_distance(&known.text, word);
            if distance <= most {
                let unlike = usize::from(length >= 8 && known.text.len() != length);
                near.push((2 * distance + unlike, known.number));
            }
        }
        // A word of the same length is nearer than a longer or shorter one.
        near.sort_unstable();
        let least = near.first().map_or(0, |(distance, _)| *distance);
        near.retain(|(distance, _)| *distance == least);
        let consonants = if length < 5 || near.is_empty() { self.of_consonants(word) } else { Vec::new() };
        if !consonants.is_empty() {
            near = consonants;
        }
        let begun = near.is_empty() || length < 5 && near[0].0 == 0;
        if near.is_empty() {
            near.extend(self.longer(word));
        }
        for (slot, (_, number)) in found.iter_mut().zip(&near) {
            *slot = *number;
        }
        // Of short words one letter may be too much or too little, but not another: "level" is no lever.
        let another = |number: u32| {
            self.spellings.iter().any(|known| {
                let text = &known.text;
                known.number == number && text.len() == length && length == 5 && !same_letters(text, word)
            })
        };
        let guess = match near.as_slice() {
            [] => Guess::None,
            _ if begun => Guess::Begun,
            _ if length < 5 => Guess::Short,
            [(_, number)] if another(*number) => Guess::Short,
            _ => Guess::Spelling,
        };
        (found, guess)
    }

    /// The words that a word of five letters and more begins: interconn for interconnected. More than three are too many.
    fn longer(&self, word: &str) -> Vec<(usize, u32)> {
        if word.len() < 5 {
            return Vec::new();
        }
        let from = self.spellings.partition_point(|known| known.text.as_ref() < word);
        let begun = self.spellings[from..].iter().take_while(|known| known.text.starts_with(word));
        let all: Vec<(usize, u32)> = begun.map(|known| (0, known.number)).collect();
        if all.len() > MOST { Vec::new() } else { all }
    }

    /// The words that a word of four consonants and more is written for: thrsh'ld, knkl for knuckle, one consonant left out
    /// or none. More than three are too many.
    fn of_consonants(&self, word: &str) -> Vec<(usize, u32)> {
        let vowel = |byte: u8| matches!(byte, b'a' | b'e' | b'i' | b'o' | b'u');
        if word.len() < 4 || word.bytes().skip(1).any(vowel) {
            return Vec::new();
        }
        let own = skeleton(word);
        let mut found = self.written_for(&own);
        if let Some(singular) = own.strip_suffix('s').filter(|_| found.is_empty()) {
            found = self.written_for(singular);
        }
        if found.len() > MOST { Vec::new() } else { found }
    }

    /// The words whose consonants these are, all of them or but one.
    fn written_for(&self, consonants: &str) -> Vec<(usize, u32)> {
        let mut found = Vec::new();
        if consonants.len() < 4 {
            return found;
        }
        for known in self.beginning_with(consonants) {
            let all = skeleton(&known.text);
            if all.len() < 4 || all.len() == known.text.len() {
                continue;
            }
            let is_all_but_one = all.len() == consonants.len() + 1
                && (1..all.len() - 1).any(|gone| [&all[..gone], &all[gone + 1..]].concat() == consonants);
            if (all == consonants || is_all_but_one) && !found.contains(&(0, known.number)) {
                found.push((0, known.number));
            }
        }
        found
    }

    /// The words with the first letter of a word.
    fn beginning_with(&self, word: &str) -> impl Iterator<Item = &Known> {
        let first = word.as_bytes().first().copied();
        let from = self.spellings.partition_point(|known| known.text.as_bytes().first().copied() < first);
        self.spellings[from..].iter().take_while(move |known| known.text.as_bytes().first().copied() == first)
    }

    /// Takes the words that a misspelling may stand for: plain letters, each once.
    pub(super) fn set_spellings(&mut self, words: impl Iterator<Item = (Box<str>, u32)>) {
        let known = |(text, number): (Box<str>, u32)| Known { letters: letters(&text), text, number };
        self.spellings = words.map(known).collect();
        self.spellings.sort_unstable_by(|one, other| one.text.cmp(&other.text));
    }

    /// Whether the lists are still being read: their words stand as they are.
    fn is_unfinished(&self) -> bool {
        self.spellings.is_empty()
    }
}

impl Lexicon {
    /// Whether a word by itself means something: not a word that says nothing, and not an ordinary one.
    pub(super) fn is_meaningful(&self, word: u32) -> bool {
        let Some(node) = self.step(0, word) else { return false };
        let empty = |special: &Special| matches!(special, Special::Nothing | Special::Ordinary | Special::Not);
        let joins = |special: &Special| matches!(special, Special::Link(_) | Special::Number(_));
        let mut meanings = self.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| !empty(&meaning.special) && !joins(&meaning.special))
    }

    /// Whether a word means something by itself, or begins or continues a phrase that does.
    pub(super) fn is_substantial(&self, word: u32) -> bool {
        let Some(node) = self.step(0, word) else { return true };
        let ordinary = |special: &Special| {
            matches!(special, Special::Ordinary | Special::Not | Special::Link(_) | Special::Number(_))
        };
        !self.entries(node).flat_map(|entry| &entry.meanings).any(|meaning| ordinary(&meaning.special))
    }

    /// Whether a word denies what follows: less, non, without.
    pub(super) fn denies(&self, word: u32) -> bool {
        let Some(node) = self.step(0, word) else { return false };
        self.entries(node).flat_map(|entry| &entry.meanings).any(|meaning| meaning.special == Special::Not)
    }
}

/// The first letter of a word and its other consonants, those doubled once.
fn skeleton(word: &str) -> String {
    let mut kept = String::with_capacity(word.len());
    for (at, letter) in word.char_indices() {
        let vowel = matches!(letter, 'a' | 'e' | 'i' | 'o' | 'u');
        if at == 0 || !vowel && !kept.ends_with(letter) {
            kept.push(letter);
        }
    }
    kept
}

/// How many slips a word of a length may have.
fn reach(length: usize) -> usize {
    if length >= 8 { 2 } else { 1 }
}

/// Which letters a word has, a bit for each.
fn letters(word: &str) -> u32 {
    word.bytes().fold(0, |letters, byte| letters | 1 << (byte & 31))
}

/// Two letters exchanged.
fn same_letters(one: &str, other: &str) -> bool {
    let sorted = |word: &str| {
        let mut letters = word.as_bytes().to_vec();
        letters.sort_unstable();
        letters
    };
    sorted(one) == sorted(other)
}

/// A word that the lists do not have as two to four that they have, run together: lengths in bytes. The fewest pieces
/// are taken, and only where one of them is long enough not to be there by chance.
pub fn pieces(lexicon: &Lexicon, word: &str, beside_number: bool) -> Option<Vec<usize>> {
    let length = word.len();
    if lexicon.variants.is_unfinished() {
        return None;
    }
    if !(4..=32).contains(&length) || !word.is_ascii() {
        return None;
    }
    // best[i]: the fewest pieces of the first i letters, and the length of the last of them.
    let mut best: Vec<Option<(usize, usize)>> = vec![None; length + 1];
    best[0] = Some((0, 0));
    for end in 2..=length {
        for start in 0..=end - 2 {
            let Some((count, _)) = best[start].filter(|(count, _)| *count < 4 && end - start < length) else {
                continue;
            };
            if best[end].is_none_or(|(fewest, _)| count + 1 < fewest) && is_piece(lexicon, &word[start..end]) {
                best[end] = Some((count + 1, end - start));
            }
        }
    }
    let mut lengths = Vec::new();
    let mut end = length;
    while end > 0 {
        let (_, last) = best[end]?;
        lengths.push(last);
        end -= last;
    }
    lengths.reverse();
    let longest = lengths.iter().copied().max()?;
    let two = lengths.iter().filter(|piece| **piece == 2).count();
    let credible = longest >= 4 && two <= 1
        || longest >= 3 && two == 0 && lengths.len() == 2
        || longest >= 4 && two <= 2 && lengths.len() == 3
        || beside_number && lengths.len() <= 3;
    credible.then_some(lengths)
}

/// Whether a stretch of letters can be a word of a run: it carries meaning by itself or in a phrase.
fn is_piece(lexicon: &Lexicon, word: &str) -> bool {
    if lexicon.variants.abbreviations.contains_key(word) {
        return true;
    }
    let number = lexicon.word(word);
    let denies = word.len() > 2 && lexicon.denies(number);
    number != 0
        && !lexicon.places.only(number)
        && !lexicon.roles.only(number)
        && if word.len() == 2 { lexicon.is_meaningful(number) } else { denies || lexicon.is_substantial(number) }
}
