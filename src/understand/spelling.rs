//! Misspelled words: one letter wrong, missing, too many, or two exchanged, in a word of five letters and more. Never for
//! numbers, finishes or functions; the evidence says that it was a guess.

use super::lexicon::Lexicon;

/// The one word of the lists that a misspelled word may stand for; none where two are as near.
pub fn nearest(lexicon: &Lexicon, word: &str) -> Option<u32> {
    let length = word.len();
    let first = word.as_bytes().first()?;
    if length < 5 || !word.is_ascii() {
        return None;
    }
    let mut found = None;
    let from = lexicon.spellings.partition_point(|(known, _)| known.as_bytes().first() < Some(first));
    for (known, number) in &lexicon.spellings[from..] {
        if known.as_bytes().first() != Some(first) {
            break;
        }
        // Of short words one letter may be too much or too little, but not another: "level" is no lever.
        let near = known.len().abs_diff(length) <= 1 && strsim::osa_distance(known, word) == 1;
        let other_word = length == 5 && known.len() == 5 && !same_letters(known, word);
        if near && !other_word {
            if found.is_some() {
                return None;
            }
            found = Some(*number);
        }
    }
    found
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
