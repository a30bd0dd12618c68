//! Goods that are counted at their end, `HINGES x3`, `Closer (1)`, lists of such, `HINGES 652 - 3, LOCK - 1`, and goods that say at
//! their end that they are not ours.

use super::itemtext::{is_quantity, starts_with_quantity};
use crate::read::words::{self, plain};
use crate::trade::finish;

/// The goods of `HINGES 652 - 3, STOREROOM LOCK 626 - 1`: parted by commas, each with its count behind a dash.
pub(crate) fn counted_by_dashes(piece: &str) -> Vec<&str> {
    if !piece.contains(" - ") || !piece.contains(',') {
        return Vec::new();
    }
    let mut parts: Vec<&str> = Vec::new();
    let mut from = 0;
    for at in piece.match_indices(", ").map(|(at, _)| at).chain([piece.len()]) {
        // The words of a good may have commas: only a count ends it.
        if piece[from..at].rsplit_once(" - ").is_some_and(|(_, count)| is_quantity(&plain(count)) && count.len() <= 5) {
            parts.push(piece[from..at].trim());
            from = (at + 2).min(piece.len());
        }
    }
    let named = |part: &&str| {
        let folded = plain(part);
        words::list("hardware").find(&folded).is_some() && has_quantity_behind(&folded)
    };
    if from < piece.len() || parts.len() < 2 || !parts.iter().all(named) { Vec::new() } else { parts }
}

/// `Hinges (3)`, `Silencers: 3 per single door`, `Closer - 1 EA`: whether a text has its quantity behind the goods.
pub(crate) fn has_quantity_behind(folded: &str) -> bool {
    let words: Vec<&str> = folded.split(' ').collect();
    // `HINGES 4.5 x 4.5 652 - 3`
    let ends = |last: &str| {
        let whole = last.strip_suffix("-1/2").unwrap_or(last);
        (1..=2).contains(&whole.len()) && whole.bytes().all(|byte| byte.is_ascii_digit())
    };
    if let [.., named, "-", last] = words[..]
        && ends(last)
        && may_be_counted(folded, named)
    {
        return true;
    }
    words.windows(2).enumerate().any(|(at, pair)| {
        let number = pair[0].trim_matches(['(', ')', ',', ':', '-']);
        let counts = !number.is_empty() && number.len() <= 3 && number.bytes().all(|byte| byte.is_ascii_digit());
        let unit = pair[1].trim_matches([',', '.', ')']);
        at > 0 && counts && words::list("behind-a-count").is(unit)
    }) || counted_at_end(folded)
        || words.iter().skip(1).any(|word| {
            let word = word.trim_end_matches([',', '.']);
            word.strip_prefix('(').and_then(|rest| rest.strip_suffix(')')).is_some_and(|number| {
                !number.is_empty() && number.len() <= 2 && number.bytes().all(|b| b.is_ascii_digit())
            })
        })
}

/// `HINGES x3`, `WALL STOP X 1`, `KICK PLATE 10 X 34 x2`: a text that ends with its count behind the sign for times. Behind one
/// figure alone it is a measure, `4-1/2 x4`.
pub(crate) fn counted_at_end(folded: &str) -> bool {
    let mut words = folded.trim_end_matches(['.', ',', ';', ' ']).rsplit(' ').peekable();
    // `SMOKE SEAL x1 SET`
    words.next_if(|unit| words::list("behind-a-count").is(unit));
    let last = words.next().unwrap_or_default();
    let glued = last.strip_prefix('X');
    let number = glued.unwrap_or(last);
    if number.is_empty() || number.len() > 2 || !number.bytes().all(|byte| byte.is_ascii_digit()) {
        return false;
    }
    if glued.is_none() && words.next() != Some("X") {
        return false;
    }
    let Some(before) = words.next() else { return false };
    let figure = |word: &str| word.starts_with(|sign: char| sign.is_ascii_digit());
    let coded = before.len() > 2 && finish::look_of(before.trim_end_matches(',')).is_some();
    if coded || !figure(before) {
        return before.bytes().any(|byte| byte.is_ascii_alphanumeric()) && may_be_counted(folded, before);
    }
    glued.is_some() && words.next() == Some("X") && words.next().is_some_and(figure)
}

/// Whether a figure behind words may count what they name: in `TRIM TYPE - 4`, `STRIKE LIP - 2`, `SEE DETAIL - 12` it is the number
/// of something else.
fn may_be_counted(folded: &str, before: &str) -> bool {
    let label = words::list("numbered-not-counted").is(before.trim_end_matches([',', ':']));
    // `STOREROOM LOCK` names goods behind the part.
    let part = words::list("goods-part").begins(folded);
    let bare = part.is_some_and(|word| words::list("hardware").find(&folded[word.len()..]).is_none());
    !label && !bare
}

/// `Card reader - NIC`: goods that nothing counts, and words behind them that they are not ours.
pub(crate) fn left_out_alone(folded: &str) -> bool {
    let Some(word) = words::list("excluded").find(folded) else { return false };
    let before = &folded[..words::offset(folded, word)];
    !starts_with_quantity(folded) && words::list("hardware").find(before).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn goods_are_parted_where_each_has_its_count_behind_a_dash() {
        for (text, parts) in [
            ("HINGES 4.5 x 4.5 652 - 3, STOREROOM LOCK 626 - 1", 2),
            ("Hinges, ball bearing, 652 - 3, Closer 689 - 1, Wall stop - 1", 3),
            ("HINGES - 1-1/2, LOCK - 1", 2),
            // A finish, a place or words behind a dash are no counts, and one good is no list.
            ("HINGES 652 - 3, LOCK - 626", 0),
            ("HINGES - 3, LOCK F07", 0),
            ("Lock - lever, closer - arm", 0),
            ("HINGES, 652 - 3", 0),
            ("Corridor - 1, Stair - 2", 0),
        ] {
            assert_eq!(counted_by_dashes(text).len(), parts, "{text}");
        }
    }

    #[test]
    fn quantities_at_the_end_are_seen() {
        for text in [
            "HINGES (3)",
            "SILENCERS: 3 PER SINGLE DOOR, 4 PER PAIR",
            "CLOSER, PA, 689 - 1 EA",
            "AUTOMATIC DOOR BOTTOM X1",
            "SMOKE GASKETING X1 SET",
            "LOCK F07 X1",
            "WALL STOP X 1",
            "CLOSER, 689 X1",
            "KICK PLATE 10 X 34 X2",
        ] {
            assert!(has_quantity_behind(text), "{text}");
        }
        for text in [
            "HINGES",
            "TRIM TYPE - 4",
            "LEVER TRIM - 3",
            "STRIKE LIP - 2",
            "SPRING SIZE X4",
            "WITH 3 SCREWS",
            "KEY OUTSIDE 626",
            "HINGE 4-1/2 X4",
            "PLATE 10 X 34",
            "PLATE 10 X34",
            "MODEL X100",
            "X3",
        ] {
            assert!(!has_quantity_behind(text), "{text}");
        }
    }

    #[test]
    fn goods_that_are_not_ours_say_so_behind_their_name() {
        assert!(left_out_alone("CARD READER - NIC") && left_out_alone("EXISTING HINGES ETR"));
        assert!(!left_out_alone("1 EA CARD READER NIC") && !left_out_alone("NIC"));
    }
}
