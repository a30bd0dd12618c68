//! `Alternate No. 2`, `ADD ALT #1`: work that is priced beside the base bid.

use crate::place::Place;
use crate::trade::rule_words;

use crate::read::goods::itemtext::dangles;
use crate::read::repairs::wrapped::is_finish;
use crate::read::schedule::{Line, Note};
use crate::read::words::{self, plain};

/// How every word for an alternate begins.
const ROOT: &str = "ALT";

/// A caption of a part of the bid is no longer.
const LONGEST_HEAD: usize = 40;

/// The words of a text that say of which alternate it is, as they stand in its plain form: with a number or a letter, or
/// with what a bid does with it. `Alternate manufacturer` is none.
pub(crate) fn alternate(text: &str) -> Option<String> {
    // Nearly no text has such a word, and every text is asked.
    if !text.as_bytes().windows(ROOT.len()).any(|letters| letters.eq_ignore_ascii_case(ROOT.as_bytes())) {
        return None;
    }
    let folded = plain(text);
    let found = words::list("alternate").all(&folded);
    found.into_iter().find_map(|word| {
        let at = words::offset(&folded, word);
        let mut end = at + word.len();
        let mut numbered = false;
        let mut rest = folded[end..].split_inclusive(' ').peekable();
        while let Some(next) = rest.next() {
            let bare = next.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
            // `ALT 4.5 X 4.5 HINGES` has a size.
            let sides = rest.peek().is_some_and(|times| times.trim() == "X");
            let number = bare.len() <= 4
                && bare.starts_with(|first: char| first.is_ascii_digit())
                && bare.bytes().all(|letter| letter.is_ascii_alphanumeric())
                && !sides;
            if number || bare.len() == 1 && bare.bytes().all(|byte| byte.is_ascii_uppercase()) {
                numbered = true;
                end += next.trim_end().len();
                break;
            }
            if !bare.is_empty() && !words::list("alternate-beside").is(bare) {
                break;
            }
            end += next.len();
        }
        let bid = words::list("alternate-bid").find(&folded).is_some();
        let end = if numbered { end } else { at + word.len() };
        (numbered || bid).then(|| folded[at..end].trim_end_matches([' ', '.', ',', ':', ')', '-']).to_string())
    })
}

/// Whether a text begins with such words: what follows is of the alternate.
pub(crate) fn begins(text: &str) -> Option<String> {
    let folded = plain(text);
    let said = alternate(text)?;
    let at = folded.find(&said)?;
    folded[..at].split(' ').all(|word| word.is_empty() || words::list("alternate-lead").is(word)).then_some(said)
}

/// Whether a text heads a part of the bid and says nothing else: `ALTERNATE NO. 1`, `ADD ALT 2:`, `BASE BID`.
pub(crate) fn heads_part(text: &str) -> bool {
    let bare = text.trim().trim_end_matches([':', '-', '.', ')']).trim_end();
    // Such captions are short, and every row of one cell is asked.
    bare.len() <= LONGEST_HEAD
        && (rule_words::is("base-bid", bare)
            || stands_alone(bare) && begins(bare).is_some_and(|said| plain(bare).ends_with(&said)))
}

/// Whether a row is of an alternate by its first words: `Alternate 1: add power supply`. `ALT 630` is another finish.
pub(crate) fn stands_alone(text: &str) -> bool {
    begins(text).is_some() && !text.split_whitespace().skip(1).any(is_finish)
}

/// Whether a line is open at its end, behind SEE or within a bracket: the alternate in the next row is more of its words.
pub(crate) fn is_open(line: &Line) -> bool {
    let words = plain(&line.wording.text);
    let last = words.rsplit(' ').find(|word| !is_finish(word)).unwrap_or_default();
    dangles(&words)
        || words.matches('(').count() > words.matches(')').count()
        || words::list("alternate-before").is(last)
}

/// The note that such a row makes of itself.
pub(crate) fn head(text: &str, place: Place) -> Option<Note> {
    begins(text).map(|_| Note { text: text.to_string(), place })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn alternates_have_a_number_a_letter_or_the_words_of_a_bid() {
        for (text, said) in [
            ("BREAK ROOM - ALTERNATE NO. 2", Some("ALTERNATE NO. 2")),
            ("Alternate No. 2", Some("ALTERNATE NO. 2")),
            ("ADD ALT #1", Some("ALT #1")),
            ("Alt. A: provide card reader", Some("ALT. A")),
            ("deduct alternate", Some("ALTERNATE")),
            ("Bid Alternate 3 only", Some("ALTERNATE 3")),
            ("alternate manufacturer: Kelvost", None),
            ("or approved alternate", None),
            ("salt room 2", None),
            ("alt 4.5 x 4.5 hinges", None),
            ("alt 5 x 5 hinges", None),
            ("alternate keying per owner", None),
        ] {
            assert_eq!(alternate(text).as_deref(), said, "{text}");
        }
        let listed = words::table(include_str!("../../../catalogs/trade/schedule-words.csv"));
        let of_use = listed.iter().find(|row| row[0] == "alternate").unwrap();
        assert!(of_use[1].split('|').all(|word| word.starts_with(ROOT)));
        assert!(begins("1 ALTERNATE NO. 3: in lieu of push/pull provide latchset").is_some());
        assert!(begins("ADD ALTERNATE 1 - closer").is_some());
        assert!(begins("Closer, see alternate no. 3").is_none());
    }
}
