//! Goods between commas in one cell, `1-1/2 pr. butts, office lock, wall stop, coat hook`: each a line, where every piece is the
//! whole name of a good of another kind. `Closer, parallel arm, stop` is one good and what is said of it.

use super::celllist::Parted;
use super::itemtext::{dangles, is_count, starts_with_quantity};
use crate::read::schedule::Line;
use crate::read::sheet::{Cell, Row};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Table;
use crate::read::words::{self, plain};

/// The lists of whole names, one for each kind of goods.
const WHOLE: &str = "whole-good:";

/// The goods of a text, if there are several and every piece between its commas names one whole: no piece says only
/// something of the good before it, and no kind comes twice.
pub(crate) fn goods(text: &str) -> Option<Vec<&str>> {
    if !text.contains(',') || text.contains([';', '\n', ':']) {
        return None;
    }
    let pieces: Vec<&str> = text.trim().trim_end_matches('.').split(',').map(str::trim).collect();
    let mut kinds: Vec<&str> = Vec::new();
    for piece in &pieces {
        let kind = kind(&plain(piece))?;
        if kinds.contains(&kind) {
            return None;
        }
        kinds.push(kind);
    }
    (pieces.len() > 1).then_some(pieces)
}

/// The kind of the good whose whole name a piece is, a count before it and what it has with it behind: `closer with hold open`.
fn kind(folded: &str) -> Option<&'static str> {
    let name = without_count(folded);
    let alike = |(_, list): &(&str, &words::WordList)| {
        let Some(named) = list.begins(name) else { return false };
        let behind = name[named.len()..].trim_start();
        let aside = behind.starts_with('(') && behind.ends_with(')') && behind.matches('(').count() == 1;
        behind.is_empty() || aside || words::list("comes-along").begins(behind).is_some()
    };
    let by = words::list("by").find(folded).is_some() || words::list("excluded").find(folded).is_some();
    let (kind, _) = words::uses(WHOLE).into_iter().find(alike).filter(|_| !by)?;
    Some(kind)
}

/// A piece without the count it begins with: `BUTTS` of `1-1/2 PR. BUTTS`.
fn without_count(folded: &str) -> &str {
    if !starts_with_quantity(folded) {
        return folded;
    }
    let mut rest = folded;
    while let Some((word, next)) = rest.split_once(' ') {
        let bare = word.trim_matches(|sign: char| ".()".contains(sign));
        let figures = bare.bytes().all(|byte| byte.is_ascii_digit() || b"-/.".contains(&byte)) && bare.len() <= 6;
        let counts =
            is_count(word) || figures || words::list("units-of-goods").is(bare) || words::number(bare).is_some();
        if !counts {
            break;
        }
        rest = next.trim_start();
    }
    rest
}

/// The goods of a row that is one cell of them. `headed`: counted goods stand below it and none above, goods that nothing counts
/// are then the title of those; words that go on from an open line above stay with it.
pub(crate) fn parted(table: Option<&Table>, row: &Row, headed: bool, above: Option<&Line>) -> Option<Parted> {
    let [cell] = &row.cells[..] else { return None };
    let column = table.and_then(|table| table.columns.iter().find(|own| own.index == cell.column));
    if column.is_some_and(|column| !matches!(column.meaning, M::Description | M::SetTitle | M::Other | M::Quantity)) {
        return None;
    }
    let goods = goods(&cell.text)?;
    let counted = goods.first().is_some_and(|first| starts_with_quantity(&plain(first)));
    if !counted && (headed || above.is_some_and(|above| dangles(&plain(&above.wording.text)))) {
        return None;
    }
    let own = |text: &&str| {
        let cell = Cell { text: (*text).to_string(), ..cell.clone() };
        Row { number: row.number, cells: vec![cell], hidden: row.hidden }
    };
    Some(Parted { rows: goods.iter().map(own).collect(), finishes: Vec::new(), title: None, notes: Vec::new() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_between_commas_is_a_whole_good_or_none_is() {
        for (text, count) in [
            ("1-1/2 pr. butts, office lock, wall stop, coat hook, 3 silencers", 5),
            ("2 floor stops, astragal, smoke seals", 3),
            ("wall stop, coat hook", 2),
            ("Hinges, passage latch, closer with hold-open, kick plate (both sides), silencers.", 5),
            ("3 hinges, lockset, (1) closer", 3),
        ] {
            assert_eq!(goods(text).map(|goods| goods.len()), Some(count), "{text}");
        }
        for text in [
            "Mortise lock, storeroom function, 626",
            "Closer, parallel arm, stop",
            "Closer, stop",
            "Exit device, rim, night latch, pull",
            "Exit device, storeroom lock",
            "Hinge, ball bearing, 652",
            "Kick plate, 10 x 34, stop side",
            "Closer, overhead stop",
            "Stop, wall stop",
            "Lockset, storeroom lock",
            "3 hinges, closer, wall stop by others",
            "3 hinges, closer, wall stop, 626",
            "Threshold, with stop",
            "1 closer, wall mounted",
            "Flush bolts, dust proof strike",
            "Storeroom lock, electric strike",
            "Closer bracket, wall stop",
            "Wall stop,",
        ] {
            assert_eq!(goods(text), None, "{text}");
        }
    }
}
