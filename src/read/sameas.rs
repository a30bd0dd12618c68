//! Words that say that a set is as another: `SAME AS SET 2.0 EXCEPT ADD:`, `IDENTICAL TO 3`, `Hardware as door 103`.

use std::sync::LazyLock;

use regex::Regex;

use super::words::{self, plain};

static SAME: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ [^a-z0-9]* (?: all\s+hardware\s+ | hardware\s+ )? (?: (?:to\s+be\s+)? (?:the\s+)? (?: same | identical | similar ) \s+ (?: as | to ) )
        \s+ (?: (?:hardware|hdwr|hdwe|hdw|hw) [\s.\-]* )? (?: set | group | heading ) [\s.:\#]* (?: no\b\.? \s* )? (?P<id> [a-z]{0,4}-?[0-9]{1,4}(?:\.[0-9]{1,2})?[a-z]{0,2} | [a-z] ) (?: [^a-z0-9_] | $ )",
    )
    .ok()
});

/// `SAME AS B-2`, `IDENTICAL TO 3 EXCEPT NO CLOSER`, `AS 103`: without the word for a set nothing else may follow.
static SAME_ID: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ [^a-z0-9]* (?: (?:to\s+be\s+)? (?:the\s+)? (?: same | identical | similar | sim\.? ) \s+ (?: as | to ) | ditto (?: \s+ (?: as | to | for ) )? | as (?: \s+ (?: for | per | at | on ) )? ) \s+ (?: (?:no\b\.?|door|opening|\#) \s* )?
        (?P<id> [a-z]{0,4}[-.]?[0-9]{1,4}(?:\.[0-9]{1,2})?[a-z]{0,2} | [a-z] ) \s* (?: $ | [.,;(:\-] | except\b | less\b | with\b | without\b | but\b | plus\b | omit\b )",
    )
    .ok()
});

/// Every row is asked: its lists are looked up once.
static GOODS: LazyLock<&words::WordList> = LazyLock::new(|| words::list("goods-of-same"));
static SAYS_SAME: LazyLock<&words::WordList> = LazyLock::new(|| words::list("says-same"));

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
    let bare = upper.trim_start().starts_with("AS ");
    // `AS PER A156.3`: a standard or a drawing.
    let per = bare.then(|| upper.trim_start()[3..].trim_start().strip_prefix("PER ")).flatten();
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
