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
