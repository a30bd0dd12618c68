//! Words that say that a set is as another: `SAME AS SET 2.0 EXCEPT ADD:`, `IDENTICAL TO 3`, `Hardware as door 103`.

use std::sync::LazyLock;

use regex::Regex;

use crate::read::schedule::loose_id;
use crate::read::words::{self, plain};

static SAME: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let [led, lead, same, joins] = ["same-led", "same-lead", "same-word", "same-joins"].map(pattern);
    let [hardware, set, number, alike] = ["words-for-hardware", "heading-sets", "number-short", "as"].map(pattern);
    Regex::new(&format!(
        r"(?ix)^ [^a-z0-9]* (?: (?:{led}) \s+ )? (?: (?:{lead}) \s+ )* (?: (?:{same}) \s+ (?:{joins}) | (?:{alike}) )
        \s+ (?: (?:{hardware}) [\s.\-]* )? (?:{set}) [\s.:\#]* (?: (?:{number})\b\.? \s* )? (?P<id> [a-z]{{0,4}}-?[0-9]{{1,4}}(?:\.[0-9]{{1,2}})?[a-z]{{0,2}} | [a-z] ) (?: [^a-z0-9_] | $ )",
    ))
    .ok()
});

/// `SAME AS B-2`, `IDENTICAL TO 3 EXCEPT NO CLOSER`, `AS 103`: without the word for a set nothing else may follow.
static SAME_ID: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let [lead, same, short, joins] = ["same-lead", "same-word", "same-short", "same-joins"].map(pattern);
    let [ditto, ditto_joins, alike] = ["same-ditto", "same-ditto-joins", "as"].map(pattern);
    let [number, door, but] = ["number-short", "one-door", "same-behind"].map(pattern);
    Regex::new(&format!(
        r"(?ix)^ [^a-z0-9]* (?: (?: (?:{lead}) \s+ )* (?: {same} | (?:{short})\.? ) \s+ (?:{joins}) | (?:{ditto}) (?: \s+ (?:{ditto_joins}) )? | (?:{alike}) ) \s+ (?: (?: (?:{number})\b\.? | {door} | \# ) \s* )?
        (?P<id> [a-z]{{0,4}}[-.]?[0-9]{{1,4}}(?:\.[0-9]{{1,2}})?[a-z]{{0,2}} | [a-z] ) \s* (?: $ | [.,;(:\-] | \+ \s* (?: [0-9]{{1,2}} \s+ )? [a-z]{{3}} | (?:{but}) (?: \b | \s ) )",
    ))
    .ok()
});

/// `SET 9 + COAT HOOK`, `9 PLUS COAT HOOK`.
static MORE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let [set, number, plus, with] = ["heading-sets", "number-short", "same-plus", "same-with"].map(pattern);
    Regex::new(&format!(
        r"(?ix)^ \s* (?: (?P<set>{set}) [\s.:\#]* (?: (?:{number})\b\.? \s* )? )? (?P<id> [a-z]{{0,4}}-?[0-9]{{1,4}}(?:\.[0-9]{{1,2}})?[a-z]{{0,2}} ) \s* (?: \+ | (?:{plus})\b | (?P<with> (?:{with}) (?: \b | \s ) ) ) \s* (?P<more> .+ ) $",
    ))
    .ok()
});

/// `SET 9 + COAT HOOK`, `SET 9 W/ COAT HOOK` in a row of another set: the goods of that one, and more. Without the word for a set,
/// `9 PLUS COAT HOOK`, only where the row's own set is one like it: `9A`. A number alone counts as a rule.
fn other_and_more(text: &str, own: &str) -> Option<String> {
    if !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let found = MORE.as_ref()?.captures(text)?;
    let (id, more) = (found.name("id")?.as_str(), plain(found.name("more")?.as_str()));
    let worded = found.name("set").is_some();
    let goods = ["goods", "remark-hardware"].iter().any(|list| words::list(list).find(&more).is_some());
    let (other, own) = (loose_id(id), loose_id(own));
    let kin = own
        .strip_prefix(&other)
        .is_some_and(|rest| (1..=2).contains(&rest.len()) && rest.bytes().all(|byte| byte.is_ascii_alphabetic()));
    let evident = if worded { own != other } else { kin && found.name("with").is_none() };
    (goods && evident).then(|| id.to_string())
}

/// The set that the words of a row say its own set is as, or has the goods of and more.
pub(crate) fn as_other(text: &str, own: Option<&str>) -> Option<String> {
    same_as(text).or_else(|| other_and_more(text, own?))
}

/// Whether words that say that a set is as another give it the goods of that one where it has goods of its own: `As set 1 for
/// keying and finish` is said of what they are like. Without SAME the words end with the id, or lead to more or fewer goods.
pub(crate) fn takes_goods(text: &str) -> bool {
    let folded = plain(text);
    let Some(bare) = words::list("as").begins(&folded) else { return true };
    if SAYS_SAME.find(&folded).is_some() {
        return true;
    }
    let Some(id) = same_as(text).map(|id| plain(&id)) else { return true };
    let behind = folded[bare.len()..].find(&id).map_or("", |at| &folded[bare.len() + at + id.len()..]);
    let rest = behind.trim_start_matches([' ', ',', ';', '.', '-', '(', ')']);
    rest.is_empty() || rest.starts_with(['+', ':']) || words::list("same-takes").begins(rest).is_some()
}

/// The phrases of a list as a choice.
fn pattern(list: &str) -> String {
    words::list(list).pattern()
}

/// Every row is asked: its lists are looked up once.
static GOODS: LazyLock<&words::WordList> = LazyLock::new(|| words::list("goods-of-same"));
static SAYS_SAME: LazyLock<&words::WordList> = LazyLock::new(|| words::list("says-same"));
static AS: LazyLock<&words::WordList> = LazyLock::new(|| words::list("joins-use"));

/// `SAME AS SET 2.0 EXCEPT ADD:`: the other set.
pub(crate) fn same_as(text: &str) -> Option<String> {
    // `Hardware as door 103`, `Ironmongery as for 103`.
    let first = text.trim_start().split(' ').next().unwrap_or_default();
    let rest = text.trim_start().get(first.len()..).map_or("", str::trim_start);
    let led = first.starts_with(|sign: char| sign.is_ascii_alphabetic())
        && GOODS.is(&first.to_ascii_uppercase())
        && words::list("as").begins(&plain(rest)).is_some();
    let text = if led { rest } else { text };
    let upper = text.get(..40).unwrap_or(text).to_ascii_uppercase();
    let word = |list: &words::WordList, text: &str| {
        list.phrases().find_map(|phrase| text.strip_prefix(phrase)?.strip_prefix(' ').map(str::to_string))
    };
    let behind = word(&AS, upper.trim_start());
    let bare = behind.is_some();
    // `AS PER A156.3`: a standard or a drawing.
    let per = behind.and_then(|rest| word(words::list("as-per"), rest.trim_start()));
    if per.is_some_and(|rest| rest.trim_start().starts_with(|letter: char| letter.is_ascii_alphabetic())) {
        return None;
    }
    if !bare && !SAYS_SAME.is_within(&upper) {
        return None;
    }
    let found = SAME.as_ref()?.captures(text).or_else(|| SAME_ID.as_ref()?.captures(text))?;
    let id = found.name("id").map(|id| id.as_str().to_string())?;
    // `AS A`: a single letter is an id only behind more words.
    (!bare || id.bytes().any(|byte| byte.is_ascii_digit())).then_some(id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bare_as_takes_goods_where_no_more_is_said_than_which_and_what_differs() {
        for text in [
            "As set 1",
            "AS SET 1.",
            "As set 1:",
            "As set 1 + closer",
            "As set 1 w/ closer",
            "As set 1, plus closer",
            "As set 1 less lock",
            "As set 1 (except closer)",
            "As set 1, add:",
            "Same as set 1 for keying",
            "Hardware as set 1",
        ] {
            assert!(takes_goods(text), "{text}");
        }
        for text in [
            "As set 1 for keying and finish.",
            "As set 1 function where noted",
            "As set 1 keying",
            "As set 1, closer by owner",
            "As 101 for finish",
        ] {
            assert!(!takes_goods(text) || same_as(text).is_none(), "{text}");
        }
    }

    #[test]
    fn a_set_that_is_as_another_and_more_names_the_other() {
        for (text, id) in [
            ("Same as 9 + coat hook", Some("9")),
            ("Same as 9 w/ coat hook", Some("9")),
            ("Same as 9 + 1 coat hook", Some("9")),
            ("As set 9 with coat hook", Some("9")),
            ("Same as 9 + 10", None),
        ] {
            assert_eq!(same_as(text).as_deref(), id, "{text}");
        }
        for (text, own, id) in [
            ("Set 9 + coat hook", "9A", Some("9")),
            ("Set 9 + closer", "12", Some("9")),
            ("Set 9 w/ closer", "9A", Some("9")),
            ("9 plus closer", "9A", Some("9")),
            ("9 + closer", "9.1", None),
            ("9 plus closer", "12", None),
            ("9 w/ closer", "9A", None),
            ("Set 9 + closer", "9", None),
            ("Set 9 + 10", "9A", None),
            ("Set 9", "9A", None),
        ] {
            assert_eq!(other_and_more(text, own).as_deref(), id, "{text} in {own}");
        }
    }
}
