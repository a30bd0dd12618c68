//! Lists in one cell or line whose goods have their counts behind a dash and are parted by commas alone: `HINGES 652 - 3, LOCK - 1`.

use super::itemtext::{has_quantity_behind, is_quantity};
use super::words::{self, plain};

/// The goods of `HINGES 652 - 3, STOREROOM LOCK 626 - 1`: parted by commas, each with its count behind a dash.
pub(super) fn counted_by_dashes(piece: &str) -> Vec<&str> {
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
}
