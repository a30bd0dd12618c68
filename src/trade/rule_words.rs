//! Words and codes that rules look for. The data is `catalogs/trade/rule_words.csv`, each row with its source.

use std::sync::OnceLock;

use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/rule_words.csv");

/// The words of a use, as written in the table; none for a use that it lacks, which a test over the rules would find.
pub fn of(wanted: &str) -> &'static [&'static str] {
    static LISTS: OnceLock<Vec<(&'static str, Vec<&'static str>)>> = OnceLock::new();
    let lists = LISTS
        .get_or_init(|| table::rows(TABLE).iter().map(|row| (row.get(0), row.get(1).split('|').collect())).collect());
    lists.iter().find(|(known, _)| *known == wanted).map_or(&[], |(_, words)| words.as_slice())
}

/// Whether a word is one of a use.
pub fn is(wanted: &str, word: &str) -> bool {
    of(wanted).iter().any(|known| known.eq_ignore_ascii_case(word))
}

/// Whether a text holds a word of a use, as a whole word.
pub fn speak(wanted: &str, text: &str) -> bool {
    let list = of(wanted);
    let words = text.split(|letter: char| !letter.is_alphanumeric() && letter != '-');
    let mut pieces = words.flat_map(|word| std::iter::once(word).chain(word.split('-')));
    pieces.any(|word| list.iter().any(|known| known.eq_ignore_ascii_case(word)))
}

/// Whether a text holds words of a use that stand together, whatever their case: `both sides`.
pub fn speak_together(wanted: &str, text: &str) -> bool {
    let lower = format!(" {} ", text.to_lowercase());
    of(wanted).iter().any(|known| lower.contains(&format!(" {known} ")))
}

/// Whether words put a bolt at the top of its leaf, and say nothing of a bottom or a set.
pub fn is_top_bolt(text: &str) -> bool {
    speak("top-bolt", text) && !speak("bolts-of-a-set", text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_use_has_words_and_a_source() {
        let rows = table::rows(TABLE);
        assert!(!rows.is_empty());
        for row in rows {
            assert!(!row.get(2).is_empty() && of(row.get(0)).iter().all(|word| !word.is_empty()), "{}", row.get(0));
        }
        assert!(of("no such use").is_empty());
    }

    #[test]
    fn words_are_whole() {
        assert!(speak("on-keying", "GMK system, by owner") && !speak("on-keying", "see keynotes, keypad"));
        assert!(
            speak("without-wires", "stand-alone lock")
                && speak("without-wires", "battery-operated")
                && is("top-bolt", "TOP")
        );
    }
}
