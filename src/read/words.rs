//! The words of schedules: `catalogs/trade/schedule-words.csv` and `materials.csv`, and the plain form in which words
//! are compared. Texts handed on keep their own spelling; the plain form is for comparing only.

use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use crate::trade::signs;

use super::memo::{self, ByText, Memo};

thread_local! {
    static PLAIN: Memo<String> = Memo::default();
    static LEAVES: Memo<Option<&'static str>> = Memo::default();
    /// For each list, where a phrase was found in texts that came before.
    static FOUND: RefCell<Vec<ByText<Found>>> = const { RefCell::new(Vec::new()) };
}

/// Upper case, straight quotes, plain hyphens and spaces, one space between words.
pub(crate) fn plain(text: &str) -> String {
    // Ids and short codes are plain as they stand.
    if text.bytes().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit()) {
        return text.to_string();
    }
    memo::once(&PLAIN, text, straightened)
}

fn straightened(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut space = false;
    for letter in text.chars() {
        let letter = signs::straight(letter);
        if letter.is_whitespace() {
            space = !out.is_empty();
            continue;
        }
        let fraction = signs::fraction(letter);
        if let Some(fraction) = fraction {
            // `1 ½` is one and a half; a glyph behind a word, or alone, is no remainder of a whole number.
            let whole = out.ends_with(|last: char| last.is_ascii_digit());
            let dashed = !space && out.ends_with('-');
            if whole {
                out.push('-');
            } else if space && !dashed {
                out.push(' ');
            }
            space = false;
            out.push_str(fraction);
            continue;
        }
        if space {
            out.push(' ');
            space = false;
        }
        match letter {
            letter if letter.is_ascii() => out.push(letter.to_ascii_uppercase()),
            letter => out.extend(letter.to_uppercase()),
        }
    }
    if out.contains(" -") { joined_fractions(&out) } else { out }
}

/// `4 -1/2` is `4-1/2`: a dash that leads a fraction and follows a number. `2 - 3'-0` and `HINGES -4-1/2` stay as they are.
fn joined_fractions(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(" -") {
        let behind = &rest.as_bytes()[at + 2..];
        let figures = behind.iter().take_while(|byte| byte.is_ascii_digit()).count();
        let fraction = figures > 0
            && behind.get(figures) == Some(&b'/')
            && behind.get(figures + 1).is_some_and(u8::is_ascii_digit);
        out.push_str(&rest[..at]);
        let number = out.ends_with(|last: char| last.is_ascii_digit());
        out.push_str(if fraction && number { "-" } else { " -" });
        rest = &rest[at + 2..];
    }
    out.push_str(rest);
    out
}

/// A list of words or phrases with one use.
#[derive(Debug, Default)]
pub(crate) struct WordList {
    exact: ByText<usize>,
    /// The first words of the phrases: nearly all words of a text begin none.
    firsts: ByText<()>,
    longest: usize,
    /// The phrases, the longest first.
    phrases: Vec<String>,
    /// Its number among the lists.
    number: usize,
}

/// Where a phrase of a list stands in a text.
type Found = Option<(usize, usize)>;

/// So many texts are kept for each list.
const MOST_FOUND: usize = 4_096;

/// Signs that a cell holds at most, as spreadsheet programs limit it.
const LONGEST_CELL: usize = 32_767;

impl WordList {
    fn add(&mut self, words: &str) {
        for phrase in words.split('|') {
            let phrase = plain(phrase);
            self.longest = self.longest.max(word_count(&phrase));
            if let Some((from, to)) = word_bounds(&phrase).first() {
                self.firsts.insert(phrase[*from..*to].to_string(), ());
            }
            self.phrases.push(phrase.clone());
            self.exact.insert(phrase, self.exact.len());
        }
        self.phrases.sort_by_key(|phrase| std::cmp::Reverse(phrase.len()));
    }

    /// Whether the plain text is one of the words.
    pub fn is(&self, text: &str) -> bool {
        self.exact.contains_key(text)
    }

    /// The first phrase of the list that stands in the plain text as whole words.
    pub fn find<'t>(&self, text: &'t str) -> Option<&'t str> {
        if text.is_empty() || self.exact.is_empty() {
            return None;
        }
        // No cell of a spreadsheet holds more signs; of a longer text its head tells what it is.
        let text = text.get(..LONGEST_CELL).unwrap_or(text);
        let known = FOUND.with_borrow(|found| found.get(self.number).and_then(|found| found.get(text)).copied());
        let span = known.unwrap_or_else(|| {
            let span = self.look_for(text).map(|piece| {
                let start = piece.as_ptr() as usize - text.as_ptr() as usize;
                (start, start + piece.len())
            });
            if text.len() <= 200 {
                FOUND.with_borrow_mut(|found| self.keep(found, text, span));
            }
            span
        });
        span.and_then(|(start, end)| text.get(start..end))
    }

    fn keep(&self, found: &mut Vec<ByText<Found>>, text: &str, span: Found) {
        if found.len() <= self.number {
            found.resize_with(self.number + 1, ByText::default);
        }
        let found = &mut found[self.number];
        if found.len() >= MOST_FOUND {
            found.clear();
        }
        found.insert(text.to_string(), span);
    }

    fn look_for<'t>(&self, text: &'t str) -> Option<&'t str> {
        let bounds = word_bounds(text);
        for start in 0..bounds.len() {
            if !self.may_begin(&text[bounds[start].0..bounds[start].1]) {
                continue;
            }
            for length in (1..=self.longest.min(bounds.len() - start)).rev() {
                let piece = &text[bounds[start].0..bounds[start + length - 1].1];
                let trimmed = piece.trim_matches(is_sign);
                if self.exact.contains_key(piece) {
                    return Some(piece);
                }
                if self.exact.contains_key(trimmed) {
                    return Some(trimmed);
                }
            }
        }
        None
    }

    /// Whether a word, with or without the signs around it, begins a phrase.
    pub fn may_begin(&self, word: &str) -> bool {
        let begins = |word: &str| self.firsts.contains_key(word);
        begins(word)
            || word.contains(is_sign)
                && (begins(word.trim_start_matches(is_sign)) || begins(word.trim_matches(is_sign)))
    }

    /// All phrases of the list that stand in the plain text, in their order.
    pub fn all<'t>(&self, text: &'t str) -> Vec<&'t str> {
        let mut found = Vec::new();
        let mut from = 0;
        // Most texts have none, and that is known.
        while let Some(phrase) = if from == 0 { self.find(text) } else { self.look_for(&text[from..]) } {
            from = offset(text, phrase) + phrase.len();
            found.push(phrase);
        }
        found
    }

    /// The first phrase of the list with which the plain text begins.
    pub fn begins<'t>(&self, text: &'t str) -> Option<&'t str> {
        let bounds = word_bounds(text);
        (1..=self.longest.min(bounds.len())).rev().find_map(|length| {
            let piece = text[..bounds[length - 1].1].trim_end_matches([':', ',', ';']);
            self.exact.contains_key(piece).then_some(piece)
        })
    }

    /// The longest phrase with which a text begins, whatever stands behind it, capitals aside: `SET#4`.
    pub fn leads<'t>(&self, text: &'t str) -> Option<&'t str> {
        let begun = |phrase: &String| text.get(..phrase.len()).filter(|begun| begun.eq_ignore_ascii_case(phrase));
        self.phrases.iter().find_map(begun)
    }

    /// The longest phrase with which a plain text ends, whatever stands before it.
    pub fn ends<'t>(&self, text: &'t str) -> Option<&'t str> {
        let found = self.phrases.iter().find(|phrase| text.ends_with(phrase.as_str()))?;
        text.get(text.len() - found.len()..)
    }

    /// Whether a phrase stands in the plain text, as a part of a word too.
    pub fn is_within(&self, text: &str) -> bool {
        self.phrases.iter().any(|phrase| text.contains(phrase.as_str()))
    }

    /// The phrases, the longest first.
    pub fn phrases(&self) -> impl Iterator<Item = &str> {
        self.phrases.iter().map(String::as_str)
    }

    /// The phrases as the choice of an extended regular expression, the longest first.
    pub fn pattern(&self) -> String {
        let escaped: Vec<String> = self.phrases().map(|phrase| regex::escape(phrase).replace(' ', r"\s+")).collect();
        escaped.join("|")
    }
}

/// Signs around words that are no part of them.
fn is_sign(letter: char) -> bool {
    ".,;:()[]*\"".contains(letter)
}

/// Where in a text a part of it begins.
pub(crate) fn offset(text: &str, part: &str) -> usize {
    (part.as_ptr() as usize).saturating_sub(text.as_ptr() as usize).min(text.len())
}

fn word_count(text: &str) -> usize {
    text.split(' ').count()
}

/// Byte ranges of words; a slash, comma or bracket parts words too, but a phrase may hold one.
fn word_bounds(text: &str) -> Vec<(usize, usize)> {
    let mut bounds = Vec::new();
    let mut start = None;
    for (at, letter) in text.char_indices() {
        let parts = letter == ' ' || letter == ',' || letter == ';' || letter == '(' || letter == ')';
        match (parts, start) {
            (true, Some(from)) => {
                bounds.push((from, at));
                start = None;
            }
            (false, None) => start = Some(at),
            _ => {}
        }
    }
    if let Some(from) = start {
        bounds.push((from, text.len()));
    }
    bounds
}

static LISTS: LazyLock<ByText<WordList>> = LazyLock::new(|| {
    let mut lists: ByText<WordList> = ByText::default();
    for row in table(include_str!("../../catalogs/trade/schedule-words.csv")) {
        if let [used, words, ..] = &row[..] {
            let number = lists.len();
            lists.entry(used.clone()).or_insert_with(|| WordList { number, ..WordList::default() }).add(words);
        }
    }
    let number = lists.len();
    lists.insert(NUMBERS.to_owned(), numbers(number));
    lists
});

/// The use of whole numbers in words: `THREE`, `A DOZEN`.
pub(crate) const NUMBERS: &str = "number-words";

/// Whole numbers in words that lines are read by, each with its value.
fn in_words() -> impl Iterator<Item = (usize, &'static str)> {
    let lines = include_str!("../../catalogs/trade/words/numbers.txt").lines();
    let numbers = lines.filter_map(|line| line.strip_prefix("number=")?.split_once('|'));
    // `1 / 2 DOZ` is written in figures, and a half begins goods too: `HALF MORTISE`.
    let whole = numbers.filter_map(|(value, words)| Some((value.parse().ok()?, words)));
    let each = whole.flat_map(|(value, words): (usize, _)| words.split('|').map(move |words| (value, words)));
    each.filter(|(_, words)| words.starts_with(|letter: char| letter.is_ascii_alphabetic() && letter != 'h'))
}

fn numbers(number: usize) -> WordList {
    let mut list = WordList { number, ..WordList::default() };
    in_words().for_each(|(_, words)| list.add(words));
    list
}

/// The whole number that plain words say.
pub(crate) fn number(words: &str) -> Option<usize> {
    static VALUES: LazyLock<HashMap<String, usize>> =
        LazyLock::new(|| in_words().map(|(value, words)| (plain(words), value)).collect());
    VALUES.get(words).copied()
}

/// What lines are named by: the nouns that lines are read by.
static NOUNS: LazyLock<WordList> = LazyLock::new(|| {
    let lines = include_str!("../../catalogs/trade/words/nouns.txt").lines().filter(|line| !line.starts_with('#'));
    let nouns: Vec<&str> = lines.filter_map(|line| Some(line.split_once('|')?.1)).collect();
    let mut list = WordList { number: LISTS.len() + 1, ..WordList::default() };
    list.add(&nouns.join("|"));
    list
});

/// The nouns that lines are read by.
pub(crate) fn nouns() -> &'static WordList {
    &NOUNS
}

static EMPTY: LazyLock<WordList> = LazyLock::new(WordList::default);

/// The words of a use, such as `pair`.
pub(crate) fn list(used: &str) -> &'static WordList {
    LISTS.get(used).unwrap_or(&EMPTY)
}

/// The uses that begin with a prefix, such as `remark:`, without it.
pub(crate) fn uses(prefix: &str) -> Vec<(&'static str, &'static WordList)> {
    let mut found: Vec<_> = LISTS.iter().filter_map(|(used, list)| Some((used.strip_prefix(prefix)?, list))).collect();
    found.sort_unstable_by_key(|(used, _)| *used);
    found
}

/// Rows of an embedded table, without its heading.
pub(crate) fn table(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    reader.records().flatten().map(|record| record.iter().map(str::to_string).collect()).collect()
}

static MATERIALS: LazyLock<BTreeMap<String, HashMap<String, String>>> = LazyLock::new(|| {
    let mut lists: BTreeMap<String, HashMap<String, String>> = BTreeMap::new();
    for row in table(include_str!("../../catalogs/trade/materials.csv")) {
        if let [used, material, words, ..] = &row[..] {
            let list = lists.entry(used.clone()).or_default();
            for word in words.split('|') {
                list.entry(plain(word)).or_insert_with(|| material.clone());
            }
        }
    }
    lists
});

/// Canonical material of a leaf or frame; `None` when the words are not known.
pub(crate) fn leaf_material(text: &str) -> Option<&'static str> {
    memo::once(&LEAVES, text, |text| material("leaf", text))
}

/// Canonical material of a leaf or frame where the words say nothing else.
pub(crate) fn only_leaf_material(text: &str) -> Option<&'static str> {
    MATERIALS.get("leaf")?.get(plain(text).trim_matches(['.', ',', ' '])).map(String::as_str)
}

/// Canonical wall construction.
pub(crate) fn wall(text: &str) -> Option<&'static str> {
    material("wall", text)
}

fn material(used: &str, text: &str) -> Option<&'static str> {
    let list = MATERIALS.get(used)?;
    let plain = plain(text);
    let tidy = plain.trim_matches(|letter: char| letter == '.' || letter == ',' || letter == ' ');
    if let Some(found) = list.get(tidy).or_else(|| list.get(&plain)) {
        return Some(found);
    }
    // `HM - painted`, `WD/VENEER`, `HM (GALV)`: the first word that is a material, if no other material contradicts it.
    let mut found: Option<&'static str> = None;
    for piece in tidy.split(|letter: char| " -/(),&+".contains(letter)).filter(|piece| !piece.is_empty()) {
        if let Some(material) = list.get(piece).filter(|material| material.as_str() != "none") {
            match found {
                None => found = Some(material),
                // Glass in a door of another material is its lite.
                Some(before) if before != material.as_str() && material != "glass" => {
                    return if before == "glass" { Some(material) } else { None };
                }
                Some(_) => {}
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_plain_form_mends_quotes_hyphens_spaces_and_glyphs() {
        assert_eq!(plain(" 3\u{2019}\u{2011}0\u{201d}\u{a0}x 7\u{2032}-0\u{2033} "), "3'-0\" X 7'-0\"");
        assert_eq!(plain("4½ × 4½"), "4-1/2 X 4-1/2");
        assert_eq!(plain("1 ¾"), "1-3/4");
        assert_eq!(plain("½"), "1/2");
        assert_eq!(plain("4 -1/2 x 4 -1/2"), "4-1/2 X 4-1/2");
    }

    #[test]
    fn a_dash_between_words_stays_one_beside_a_fraction() {
        assert_eq!(plain("2 - 3'-0\" x 7'-0\" x 1-3/4\""), "2 - 3'-0\" X 7'-0\" X 1-3/4\"");
        assert_eq!(plain("hinges - 4-1/2 x 4½ 652"), "HINGES - 4-1/2 X 4-1/2 652");
        assert_eq!(plain("door ½"), "DOOR 1/2");
        assert_eq!(plain("hinges - ½ pr"), "HINGES - 1/2 PR");
    }

    #[test]
    fn materials_are_canonical_or_unknown() {
        assert_eq!(leaf_material("H.M."), Some("hollow-metal"));
        assert_eq!(leaf_material("hollow metal"), Some("hollow-metal"));
        assert_eq!(leaf_material("SC WD"), Some("wood"));
        assert_eq!(leaf_material("AL/GL"), Some("aluminum"));
        assert_eq!(leaf_material("HM - PT"), Some("hollow-metal"));
        assert_eq!(leaf_material("PT-1"), None);
        assert_eq!(wall("8\" CMU"), Some("masonry"));
    }

    #[test]
    fn phrases_are_found_as_whole_words() {
        assert_eq!(list("hardware-by").find("HARDWARE BY OTHERS, TYP."), Some("HARDWARE BY OTHERS"));
        assert_eq!(list("excluded").find("N.I.C."), Some("N.I.C."));
        assert_eq!(list("pair").find("PRESSED"), None);
        assert_eq!(list("excluded").all("EXISTING DOOR, N.I.C., NO WORK"), ["EXISTING DOOR", "N.I.C.", "NO WORK"]);
    }
}
