//! What single parts of a door's remarks say: a mark, whose the goods are, the finish of hardware.

use crate::trade::finish;

use crate::read::sets::section;
use crate::read::words;

/// The heading of a mark, `CARD READER: Y`.
pub(crate) fn marked(part: &str) -> Option<&str> {
    let (label, mark) = part.rsplit_once(':')?;
    words::list("truthy").is(mark.trim()).then(|| label.trim().trim_end_matches('.'))
}

/// `mag hold open by elec`: goods of another trade, which a set that has them prices nevertheless.
pub(crate) fn of_others(part: &str) -> bool {
    let Some(by) = words::list("by").find(part) else { return false };
    let whose = part[words::offset(part, by) + by.len()..].trim_start();
    // `BY SECTION 28 10 00`
    let section = || section::named(whose).is_some_and(|digits| !section::is_ours(&digits));
    if whose.bytes().any(|byte| byte.is_ascii_digit()) && section() {
        return true;
    }
    let mut words = whose.split(' ').take(4).map(|word| word.trim_matches(['.', ')', ':']));
    words.any(|word| words::list("by-whom").is(word) || words::list("remark-trade").is(word))
}

/// `finish US10B`, `FINISH: 630`: the codes of hardware, not of paint.
pub(crate) fn finish_of_hardware(part: &str) -> bool {
    // `Finish floor 612`, `Room finish: 626 carpet` are of the room.
    let named =
        || words::list("finish-words").find(part).is_some() && words::list("finish-of-rooms").find(part).is_none();
    let number = |word: &str| word.len() == 3 && word.bytes().all(|byte| byte.is_ascii_digit());
    part.split([' ', ':', '=']).any(|word| {
        let word = word.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
        if number(word) {
            return finish::look_of(word).is_some() && named();
        }
        word.strip_prefix("US").is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit()))
            && finish::look_of(word).is_some()
    })
}

/// `Add exit alarm`, `install lockdown device`: goods that a remark asks for in words that no list has. Words of the building, of
/// the door itself and of work are none, nor is a sentence.
pub(crate) fn asked_in_other_words(part: &str) -> Option<String> {
    let part = part.trim().trim_end_matches(['.', ')', '!']);
    let asks = words::list("remark-asks").begins(part)?;
    let behind = part[asks.len()..].trim_start_matches([':', ' ']);
    let is_count = |word: &&str| {
        let bare = word.trim_matches(['(', ')', '.']);
        bare.bytes().all(|byte| byte.is_ascii_digit()) || words::list("before-goods").is(bare)
    };
    let said: Vec<&str> = behind.split(' ').filter(|word| !word.is_empty()).skip_while(is_count).collect();
    let (first, goods) = (said.first()?, said.join(" "));
    let no_goods = words::list("remark-no-goods").find(&goods).is_some() || words::list("no-goods-begin").is(first);
    let letters = said.iter().any(|word| word.len() > 2 && word.bytes().all(|byte| byte.is_ascii_alphabetic()));
    (letters && !no_goods && said.len() <= MOST_WORDS).then(|| goods.to_lowercase())
}

/// More words are a sentence.
const MOST_WORDS: usize = 5;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goods_in_words_of_no_list_are_asked_for_and_work_is_not() {
        for (part, goods) in [
            ("ADD EXIT ALARM", Some("exit alarm")),
            ("ADD 1 EA EXIT ALARM", Some("exit alarm")),
            ("INSTALL LOCKDOWN DEVICE", Some("lockdown device")),
            ("PROVIDE (2) WINDOW SENSORS.", Some("window sensors")),
            ("ADD FRAME ANCHORS", None),
            ("PROVIDE UNDERCUT 3/4\"", None),
            ("INSTALL AFTER FLOORING", None),
            ("PROVIDE AS REQUIRED", None),
            ("PROVIDE VISION PANEL", None),
            ("INSTALL PER MANUFACTURER", None),
            ("ADD 2\"", None),
            ("EXIT ALARM", None),
        ] {
            assert_eq!(asked_in_other_words(part).as_deref(), goods, "{part}");
        }
    }
}
