//! What a remark beside goods says: of where the doors are, of the set as a whole, of each good, or a fact of the one above.

use super::itemtext;
use crate::read::notes::alternates;
use crate::read::words::{self, plain};
use crate::trade::finish;

/// Whether words say that doors are outside or inside, and nothing else.
pub(super) fn is_place(text: &str) -> bool {
    let folded = plain(text);
    ["exterior", "interior"].iter().any(|list| words::list(list).is(folded.trim_end_matches(['.', ':'])))
}

/// Whether a remark beside a list of goods says something of the set: an alternate, words that name goods or are more than a
/// few. `By owner`, `626`, `Fail secure` hold for each item.
pub(super) fn is_of_set(text: &str) -> bool {
    let folded = plain(text);
    let worded = folded.split(' ').filter(|word| word.bytes().any(|byte| byte.is_ascii_alphabetic())).count();
    let asks = words::list("provides").begins(&folded).is_some();
    let told = asks || worded > FEW_WORDS || worded > 1 && words::list("hardware").find(&folded).is_some();
    // `Existing to be reused`, `Not required`: what is said of none of them is said of all.
    let state = ["state-of-goods", "state-behind-goods"].iter().any(|list| words::list(list).find(&folded).is_some());
    alternates::stands_alone(text) || told && !state && !gives_finish(&folded) && !itemtext::by_others(&folded)
}

/// Whether a remark gives all items a finish: `Finish: 613 all items`, `US26D throughout the set`. A code is one at the head of the
/// remark, or beside a word for finishes or for all; no number of a door is, `with door 605`, and no `floor finish` without a code.
fn gives_finish(folded: &str) -> bool {
    let bare = |word: &str| -> String { word.trim_matches([',', ';', ':', '(', ')']).to_owned() };
    let all: Vec<String> = folded.split(' ').map(bare).collect();
    let of_door = |at: usize| {
        let before = |back: usize| at.checked_sub(back).map(|before| all[before].as_str());
        let door = |word: Option<&str>| word.is_some_and(|word| words::list("finish-of-no-door").is(word));
        all[at].bytes().all(|byte| byte.is_ascii_digit()) && (door(before(1)) || door(before(2)))
    };
    let code = |at: usize| all[at].len() >= 3 && finish::look_of(&all[at]).is_some() && !of_door(at);
    let mut codes = (0..all.len()).filter(|at| code(*at)).peekable();
    let said = ["finish-words", "finish-for-all"].iter().any(|list| words::list(list).find(folded).is_some());
    codes.peek().is_some_and(|first| *first == 0) || said && codes.peek().is_some()
}

/// So few words of a remark hold for each item of the list beside it.
const FEW_WORDS: usize = 4;

/// `NIGHT LATCH FUNCTION 03`, `34 X 34` behind CONFIRM: a function, a size or a finish, which are the good's above. The number
/// of a door, a sheet or an addendum is none, and `VERIFY CLOSER SIZE 4` is of other goods.
pub(super) fn gives_facts(behind: &str) -> bool {
    if words::list("goods").find(behind).is_some() {
        return false;
    }
    let words: Vec<&str> = behind.split(' ').map(|word| word.trim_matches(['.', ',', ':', ';', '(', ')'])).collect();
    let numbers = |at: usize| {
        let before = at.checked_sub(1).map_or("", |before| words[before]);
        ["number-of-other", "doors", "refers-to-page"].iter().any(|list| words::list(list).is(before))
            && !words::list("goods-part").is(before)
            && !words::list("function-words").is(before)
    };
    let figured = |at: usize| words[at].starts_with(|sign: char| sign.is_ascii_digit()) && !numbers(at);
    let coded = |word: &&str| word.len() > 2 && finish::find(word).is_some();
    (0..words.len()).any(figured)
        || words.iter().any(coded)
        || words::list("goods-part").find(behind).is_some()
        || words::list("function-words").find(behind).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_remark_finishes_all_goods_only_with_a_code_that_is_said_of_them() {
        for text in [
            "Finish: 613 all items",
            "US26D throughout the set but for closers",
            "All hardware of this set in 626 finish",
        ] {
            assert!(gives_finish(&plain(text)), "{text}");
        }
        for text in [
            "Coordinate undercut with floor finish in the corridor",
            "Keyed alike with door 605 and tagged by room",
            "Coordinate mounting height with adjacent door 613",
            "All as at door 626, verify hardware in the field",
        ] {
            assert!(!gives_finish(&plain(text)), "{text}");
        }
    }
}
