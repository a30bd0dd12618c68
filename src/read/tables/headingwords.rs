//! Short forms of the words of column headings, from `catalogs/trade/heading_words.csv`: a heading of several words need
//! not stand in each of its spellings.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::read::words;

/// What a short form stands for, and whether it does so only beside other words: `W` alone is a heading of its own.
struct Full {
    word: String,
    only_beside: bool,
}

/// What each short form of a word of headings stands for; nothing for a word that says nothing.
static WORDS: LazyLock<HashMap<String, Full>> = LazyLock::new(|| {
    let mut known = HashMap::new();
    for row in words::table(include_str!("../../../catalogs/trade/heading_words.csv")) {
        let [means, short, beside, ..] = &row[..] else { continue };
        for word in short.split('|') {
            known.insert(word.to_string(), Full { word: means.clone(), only_beside: beside == "yes" });
        }
    }
    known
});

/// `DR NR`, `HDWE SET NBR`, `WIDTH OF LEAF` as `DOOR NO`, `HARDWARE SET NO`, `LEAF WIDTH`; `None` where nothing is short
/// or turned.
pub(crate) fn spelled_out(key: &str) -> Option<String> {
    let (of, before) = key.split_once(" OF ").map_or(("", key), |(before, behind)| (behind, before));
    // The words of goods and doors that fill most cells cost a look-up each, and no string.
    if of.is_empty() && !key.split(' ').any(|word| WORDS.contains_key(word)) {
        return None;
    }
    let several = key.contains(' ');
    let full = |word| match WORDS.get(word) {
        Some(full) if several || !full.only_beside => full.word.as_str(),
        _ => word,
    };
    let words = of.split(' ').chain(before.split(' ')).map(full).filter(|word| !word.is_empty());
    Some(words.collect::<Vec<_>>().join(" "))
}

/// `NominalWidth` as two words.
pub(crate) fn uncamel(text: &str) -> std::borrow::Cow<'_, str> {
    let joined = |pair: &[u8]| pair[0].is_ascii_lowercase() && pair[1].is_ascii_uppercase();
    if !text.as_bytes().windows(2).any(joined) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len() + 4);
    let mut before = ' ';
    for letter in text.chars() {
        if before.is_ascii_lowercase() && letter.is_ascii_uppercase() {
            out.push(' ');
        }
        out.push(letter);
        before = letter;
    }
    out.into()
}
