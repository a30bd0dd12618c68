//! How a size says that a door has two leaves: by a word, `PR 3070`, `PR3070`, by a count, `2 x 926`, `2/3070`, or by a second
//! leaf behind the size of the first, `900 x 2100 + 300`.

use rust_decimal::Decimal;

use super::length::{Axis, Length, length};
use crate::read::memo::{self, Memo};
use crate::read::words::{self, plain};
use crate::trade::inches::Inches;

/// How many leaves a cell of a width or a size names, whatever else stands in it.
pub(crate) fn told(text: &str) -> Option<u32> {
    memo::once(&TOLD, text, |text| pair_words(&plain(text)).0)
}

/// Whether the cell of the leaves or a remark speaks of a leaf and a half: one that is wide and one that is small.
pub(crate) fn and_a_half(leaves: &str, remarks: &str) -> bool {
    let worded = |text: &str| !text.is_empty() && words::list("leaf-and-a-half").find(&plain(text)).is_some();
    let counted = |text: &str| {
        let folded = plain(text);
        let count = folded.split('(').next().unwrap_or_default().trim();
        words::list("one-and-a-half").is(count)
    };
    !leaves.is_empty() && counted(leaves) || worded(leaves) || worded(remarks)
}

thread_local! {
    static TOLD: Memo<Option<u32>> = Memo::default();
}

/// Whether the words of a cell say pair (2) or single (1), and the text without them.
pub(crate) fn pair_words(text: &str) -> (Option<u32>, String) {
    let mut leaves = None;
    let mut rest = text.to_string();
    // `1 PR 3070`: one pair; `2/3070`, `2 - 3'-0" x 7'-0"`: two leaves of that size.
    if let Some(one) = rest.strip_prefix("1 ").or_else(|| rest.strip_prefix("(1) ")) {
        let word = one.split(' ').next().unwrap_or_default();
        if words::list("pair").is(word) || words::list("single").is(word) {
            rest = one.to_string();
        }
    } else if let Some(of) = two_of(&rest).map(str::to_string).or_else(|| counted(&rest)) {
        leaves = Some(2);
        rest = of;
    }
    if let Some(apart) = glued(&rest) {
        leaves = Some(2);
        rest = apart;
    }
    for mark in ["(2)", "2 @ ", "2@", "(PR)", "(PAIR)", "(2X)", "2X ("] {
        if rest.contains(mark) {
            leaves = Some(2);
            rest = rest.replacen(mark, if mark == "2X (" { " (" } else { " " }, 1);
        }
    }
    // `2(3'-0")`: so many leaves of that width.
    if let Some(inner) = rest.strip_prefix("2(").or_else(|| rest.strip_prefix("2 (")) {
        leaves = Some(2);
        rest = inner.replacen(')', "", 1);
    }
    if let Some(word) = words::list("pair").find(&rest) {
        leaves = Some(2);
        rest = rest.replacen(&word.to_string(), " ", 1).replace(" OF ", " ");
    } else if let Some(word) = words::list("single").find(&rest) {
        leaves = leaves.or(Some(1));
        rest = rest.replacen(&word.to_string(), " ", 1);
    }
    (leaves, rest.trim().trim_start_matches([':', '-', ',', '.']).trim().to_string())
}

/// What follows `2/`, `2-` or `2 - ` where it is a whole size of its own: `2 - 8 x 6 - 8` and `2/8 x 6/8` are feet and inches.
fn two_of(text: &str) -> Option<&str> {
    let figures = |rest: &str| rest.bytes().take_while(u8::is_ascii_digit).count();
    if let Some(rest) = text.strip_prefix("2/").or_else(|| text.strip_prefix("2-")) {
        // `2-3'-0"`, where `2-8` is a width.
        let feet = figures(rest) == 1 && rest[1..].starts_with('\'');
        return (figures(rest) == 4 || feet).then_some(rest);
    }
    let rest = text.strip_prefix("2 - ").or_else(|| text.strip_prefix("2 / "))?;
    let (first, sign) = (figures(rest), rest.get(figures(rest)..)?);
    (first == 4 || first == 1 && sign.starts_with(['\'', '-', '/'])).then_some(rest)
}

/// `2 X 926`, `2NO 926`, `926 X 2`: two leaves of that width, or of that size. `2 x 8` is no leaf of 8.
fn counted(text: &str) -> Option<String> {
    let number = |text: &str| -> Option<u32> {
        let figures = text.bytes().take_while(u8::is_ascii_digit).count();
        text[..figures].parse().ok()
    };
    // Millimetres, four figures of feet and inches, or feet with a sign and a height behind them.
    let of_leaf = |rest: &str| {
        let feet = || {
            let sign = rest.trim_start_matches(|sign: char| sign.is_ascii_digit());
            sign.starts_with(['\'', '-']) && sign.contains('X')
        };
        number(rest).is_some_and(|width| (300..=9999).contains(&width) || width < 10 && feet())
    };
    if let Some(rest) = text.strip_prefix('2') {
        let rest = rest.trim_start();
        let sign = words::list("counts-leaves").leads(rest)?;
        let rest = rest[sign.len()..].trim_start_matches([' ', '.', 'X', '@']);
        return of_leaf(rest).then(|| rest.to_string());
    }
    let (width, two) = text.rsplit_once('X')?;
    let alone = two.trim() == "2" && !width.contains('X') && of_leaf(width.trim());
    alone.then(|| width.trim().to_string())
}

/// `2 x 3'-0"`, `2X 3-0`, `2 x 36`, `3'-0" x 2` as `2 @ 3'-0"`: in the column of widths beside one of heights, the leaves and the
/// width of one. `2 x 6'-8"` is as wide as two feet, `2 x 8` no width of a leaf.
pub(crate) fn counted_width(text: &str) -> Option<String> {
    let folded = plain(text);
    let (before, behind) = folded.split_once('X').map(|(before, behind)| (before.trim(), behind.trim()))?;
    let counts = |count: &str| count == "2" || count == "(2)";
    let leaf = match (counts(before), counts(behind)) {
        (true, false) => behind,
        (false, true) => before,
        _ => return None,
    };
    let (length, end) = length(leaf, 0, Axis::Width)?;
    let written = leaf.bytes().next().is_some_and(|first| first.is_ascii_digit()) && end == leaf.len();
    let of_leaf = match length {
        Length::Settled(inches) => inches,
        Length::Bare(number) if number >= Decimal::from(16) => Inches::new(number),
        Length::Bare(_) => return None,
    };
    (written && of_leaf >= Inches::whole(12) && of_leaf <= WIDEST_LEAF).then(|| format!("2 @ {leaf}"))
}

/// What is wider than this behind `2 x` is a height, or the width of an opening.
const WIDEST_LEAF: Inches = Inches::whole(54);

/// `PR3070`, `3070PR`, `PAIR3'-0" x 7'-0"`: the word for two leaves glued to the figures.
fn glued(text: &str) -> Option<String> {
    let figure = |sign: Option<char>| sign.is_some_and(|sign| sign.is_ascii_digit() || "'\"".contains(sign));
    words::list("pair-glued").phrases().find_map(|word| {
        let before = text.strip_suffix(word).filter(|rest| figure(rest.chars().next_back()));
        let behind = text.strip_prefix(word).filter(|rest| figure(rest.chars().next()));
        before.or(behind).map(str::to_string)
    })
}

/// `900 X 2100 + 300` as `900 + 300 X 2100`: the second leaf beside the first.
pub(crate) fn moved_up(text: &str) -> Option<String> {
    let (size, second) = text.rsplit_once('+')?;
    let (width, height) = size.split_once('X')?;
    let bare = !second.contains('X') && second.bytes().any(|byte| byte.is_ascii_digit()) && !width.contains('+');
    bare.then(|| format!("{} + {} X {}", width.trim(), second.trim(), height.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_before_the_width_of_a_leaf_is_told_from_a_size() {
        for (text, read) in [
            ("2 x 3'-0\"", Some("2 @ 3'-0\"")),
            ("2X 3'-0\"", Some("2 @ 3'-0\"")),
            ("2 x 3-0", Some("2 @ 3-0")),
            ("2 x 36", Some("2 @ 36")),
            ("2 x 36\"", Some("2 @ 36\"")),
            ("(2) x 3'-0\"", Some("2 @ 3'-0\"")),
            ("3'-0\" x 2", Some("2 @ 3'-0\"")),
            ("2'-0\" x 7'-0\"", None),
            ("2 x 6'-8\"", None),
            ("2 x 7-0", None),
            ("2 x 8", None),
            ("2-0 x 3-0", None),
            ("2 x 3'-0\" x 7'-0\"", None),
            ("3'-0\" x", None),
        ] {
            assert_eq!(counted_width(text).as_deref(), read, "{text}");
        }
    }
}
