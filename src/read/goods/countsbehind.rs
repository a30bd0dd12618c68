//! Goods that are counted at their end, `HINGES x3`, `Closer (1)`, lists of such, `HINGES 652 - 3, LOCK - 1`, and goods that say at
//! their end that they are not ours.

use super::itemtext::{dangles, goes_on, is_count, is_quantity, starts_with_quantity};
use crate::place::column_letter;
use crate::read::schedule::{Line, PartRole, Wording};
use crate::read::sheet::Row;
use crate::read::tables::columns;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Last, Walker};
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
        && may_be_counted(folded, named, false)
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
    times(folded).is_some()
}

/// `WIDGET PLATE x1`, where nothing known is named: words with a count joined to its sign. `10 X 34 x1` counts what stands before it.
pub(crate) fn joined_at_end(folded: &str) -> bool {
    times(folded) == Some(true) && folded.starts_with(|first: char| first.is_ascii_alphabetic())
}

/// Whether the count at the end of a text is joined to its sign, if it has one.
fn times(folded: &str) -> Option<bool> {
    let mut words = folded.trim_end_matches(['.', ',', ';', ' ']).rsplit(' ').peekable();
    // `SMOKE SEAL x1 SET`
    words.next_if(|unit| words::list("behind-a-count").is(unit));
    let last = words.next().unwrap_or_default();
    let glued = last.strip_prefix('X');
    let number: u32 = glued.unwrap_or(last).parse().ok().filter(|_| glued.unwrap_or(last).len() <= 2)?;
    if glued.is_none() && words.next() != Some("X") {
        return None;
    }
    let before = words.next()?;
    // `SADDLE X 36`, `10 IN X 34`, `HEAD AND JAMB X 7`, `SCREWS #12 X 2`
    let measured = ["measure", "measured-by-times"].iter().any(|list| words::list(list).is(before));
    if (glued.is_none() || measured) && number > MOST_APART || glued.is_none() && measured {
        return None;
    }
    let figure = |word: &str| word.trim_start_matches('#').starts_with(|sign: char| sign.is_ascii_digit());
    let coded = before.len() > 2 && finish::look_of(before.trim_end_matches(',')).is_some();
    let counts = match coded || !figure(before) {
        true => before.bytes().any(|byte| byte.is_ascii_alphanumeric()) && may_be_counted(folded, before, true),
        false => glued.is_some() && words.next() == Some("X") && words.next().is_some_and(figure),
    };
    counts.then_some(glued.is_some())
}

/// A larger number apart from the sign for times is a length in inches.
const MOST_APART: u32 = 12;

/// `(3)`, `x3`, `3 EA`, `QTY: 3`, `1-1/2 PR`: a count and nothing else, with a sign that it is one.
pub(crate) fn is_count_alone(folded: &str) -> bool {
    let text = folded.trim_matches([' ', '.', ',', '-']);
    let few = |number: &str| (1..=3).contains(&number.len()) && number.bytes().all(|byte| byte.is_ascii_digit());
    let bare = |rest: &str| few(rest.trim_start_matches([':', '.', ' ', '-']));
    let in_brackets = text.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
    let inner = in_brackets.unwrap_or(text);
    let begins = inner.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(inner.len());
    let (number, unit) = inner.split_at(begins);
    let unit = unit.trim_end_matches('.');
    let of_goods = |unit: &str| words::list("behind-a-count").is(unit) || words::list("units-of-goods").is(unit);
    // `(1) SET`
    let closed = number.trim_end().ends_with(')');
    let number = number.strip_prefix('(').filter(|_| closed).unwrap_or(number);
    let figured = number.len() <= LONGEST_COUNT && is_count(number.trim_end_matches([' ', ')']));
    in_brackets.is_some_and(few)
        || text.strip_prefix('X').is_some_and(bare)
        || text.strip_suffix('X').is_some_and(bare)
        || words::list("counting-words").begins(text).is_some_and(|label| bare(&text[label.len()..]))
        || figured && !words::list("lengths-that-count").is(unit) && of_goods(unit)
}

/// `10-1/2 ` is the longest count before a unit.
const LONGEST_COUNT: usize = 8;

/// Whether a figure behind words may count what they name: in `TRIM TYPE - 4`, `STRIKE LIP - 2`, `SEE DETAIL - 12` it is the number
/// of something else. `DEADLOCK SATIN FINISH - 2` ends with a word of its name, and the sign for times numbers nothing.
fn may_be_counted(folded: &str, before: &str, times: bool) -> bool {
    let before = before.trim_end_matches([',', ':']);
    let said = &folded[..words::offset(folded, before)];
    let named = || words::list("hardware").all(said).iter().any(|word| !words::list("goods-part").is(word));
    let label = words::list("numbered-not-counted").is(before) && !(times && named())
        || words::list("ends-a-name").is(before) && !named();
    // `STOREROOM LOCK` names goods behind the part.
    let part = words::list("goods-part").begins(folded);
    let bare = part.is_some_and(|word| words::list("hardware").find(&folded[word.len()..]).is_none());
    !label && !bare
}

/// Whether words name goods by themselves: `STOREROOM LOCK F07`; `LEVER TRIM`, `WITH CYLINDER`, `LESS CLOSER`, `ARM FOR CLOSER` say
/// something of goods.
pub(crate) fn names_goods(folded: &str) -> bool {
    !goods_named(folded).is_empty()
}

/// Whether words below goods whose count stands behind them name others: `OFFICE LOCK F04` below `HINGES x3`.
pub(crate) fn names_others(folded: &str, before: &str) -> bool {
    // `MORTISE LOCK` below `HINGES, FULL MORTISE x3` is a lock.
    let mut named = goods_named(folded);
    if named.iter().any(|word| !words::list("kinds-of-fitting").is(word)) {
        named.retain(|word| !words::list("kinds-of-fitting").is(word));
    }
    !named.is_empty() && !named.iter().any(|goods| before.contains(goods.trim_end_matches('S')))
}

/// The goods that words name by themselves.
fn goods_named(folded: &str) -> Vec<&str> {
    if goes_on(folded) || words::list("remark-out").begins(folded).is_some() {
        return Vec::new();
    }
    let part = words::list("goods-part").begins(folded).map_or(0, str::len);
    let rest = &folded[part..];
    let until = words::list("beside-goods").find(rest).map_or(rest.len(), |joint| words::offset(rest, joint));
    let own = |word: &&str| !words::list("goods-part").is(word);
    words::list("hardware").all(&rest[..until]).into_iter().filter(own).collect()
}

/// `Hinges 652 | x3`, `Hinges | (3) | 652`: goods, and behind them a cell that is nothing but their count.
pub(crate) fn counted_beside(row: &Row, folded: &str) -> bool {
    row.cells.iter().skip(1).any(|cell| is_count_alone(&plain(&cell.text))) && names_goods(folded)
}

/// Whether the count of a line stands behind its goods.
pub(crate) fn counts_behind(line: &Line, before: &str) -> bool {
    match line.wording.parts.iter().position(|part| part.role == PartRole::Quantity) {
        Some(at) => at > 0,
        None => !starts_with_quantity(before) && was_counted(before),
    }
}

/// Whether a text has its quantity behind the goods, or had it before more rows went on with it: `LOCK F07 x1 LEVER TRIM`.
pub(crate) fn was_counted(folded: &str) -> bool {
    let until = |at: usize| &folded[..at];
    has_quantity_behind(folded) || folded.match_indices(' ').any(|(at, _)| counted_at_end(until(at)))
}

/// Whether a row goes on from a line without a count and ends with that count.
pub(crate) fn ends_above(row: &Row, folded: &str, before: Option<&Line>) -> bool {
    let ([cell], Some(before)) = (&row.cells[..], before) else { return false };
    let (text, own) = (&before.wording.text, has_quantity_behind(folded) && !starts_with_quantity(folded));
    let above = plain(text);
    let open =
        before.wording.part(PartRole::Quantity).is_none() && !starts_with_quantity(&above) && !was_counted(&above);
    own && open
        && names_goods(&above)
        && ends_what_began(&cell.text, folded, &above, text.starts_with(char::is_uppercase))
}

/// Whether a text with its count at the end goes on from words above that have none: `arm 689 x1` below `Closer with hold open`.
pub(crate) fn ends_what_began(text: &str, folded: &str, before: &str, capitals: bool) -> bool {
    let lower = capitals && text.starts_with(char::is_lowercase);
    let part = || words::list("goods-part").begins(folded).is_some() || goes_on(folded);
    let more = || dangles(before) || part() || folded.starts_with(|sign: char| sign.is_ascii_digit());
    words::list("goods").begins(folded).is_none() && (lower || more() && !names_goods(folded))
}

/// `Hinges: 3`, `Closer: | 1 EA`: goods as a label, and how many there are as its value.
pub(crate) fn counted_label(row: &Row) -> Option<Wording> {
    let (label, value, column) = match &row.cells[..] {
        [one] => one.text.split_once(':').map(|(label, value)| (label, value, one.column))?,
        [label, value] if label.text.trim_end().ends_with(':') => {
            (label.text.trim_end().trim_end_matches(':'), value.text.as_str(), value.column)
        }
        _ => return None,
    };
    let folded = plain(value.trim());
    let begins = folded.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(folded.len());
    let (number, unit) = folded.split_at(begins);
    // `Strike: 4-7/8` is a size.
    let whole = number.trim().bytes().all(|byte| byte.is_ascii_digit());
    let counts = is_count(number.trim()) && (unit.is_empty() && whole || columns::is_unit(unit));
    let goods = plain(label.trim());
    let named = words::list("hardware").find(&goods).is_some() && !goods.bytes().any(|byte| byte.is_ascii_digit());
    (counts && named).then(|| {
        let mut wording = Wording::default();
        wording.push(PartRole::Quantity, value.trim(), Some(column_letter(column).into()));
        wording.push(PartRole::Description, label.trim(), Some(column_letter(row.cells[0].column).into()));
        wording
    })
}

impl Walker<'_> {
    /// The wording of a row whose count stands beside its goods, where its form alone tells that it is one.
    pub(crate) fn labelled(&self, lane: usize, row: &Row, set: usize, folded: &str, out: &Gathered) -> Option<Wording> {
        let state = &self.lanes[lane];
        let tabled = state.table.as_ref().is_some_and(|table| table.holds == Holds::Items);
        let at = self.sheet.index_of(row.number);
        let (from, to) = (at.saturating_sub(NEAR), (at + NEAR + 1).min(self.sheet.rows.len()));
        let follows = state.last == Last::Line && row.number == state.last_row + 1;
        let near = || self.sheet.rows.get(from..to).unwrap_or_default();
        let below = || follows && counted_below(row, out.schedule.sets[set].lines.last());
        let beside = || !tabled && (counts_in_column(row, folded, near()) || below());
        counted_label(row).or_else(|| counted_by_leaders(row)).or_else(|| {
            let mut wording = beside().then(|| self.wording(lane, row))?;
            wording.parts.last_mut()?.role = PartRole::Quantity;
            Some(wording)
        })
    }
}

/// Rows above and below in which a column shows that it is that of counts.
const NEAR: usize = 4;

/// `Kick plates, 8 x 34 ........ 2`: goods, and their count behind dots that lead to it.
fn counted_by_leaders(row: &Row) -> Option<Wording> {
    let [cell] = &row.cells[..] else { return None };
    let at = cell.text.rfind(LEADERS)?;
    let (goods, count) = (cell.text[..at].trim_end_matches(['.', ' ']), cell.text[at + LEADERS.len()..].trim());
    let folded = plain(count);
    let bare = count.len() <= 2 && count.bytes().all(|sign| sign.is_ascii_digit()) && !count.is_empty();
    // `Hardware schedule ..... 4` is a row of contents.
    let own = plain(goods);
    let named = own.starts_with(|sign: char| sign.is_ascii_alphabetic())
        && words::list("words-for-hardware").find(&own).is_none();
    let counts = (bare || is_count_alone(&folded)) && named && !starts_with_quantity(&own);
    counts.then(|| {
        let (mut wording, column) = (Wording::default(), column_letter(cell.column));
        wording.push(PartRole::Quantity, count, Some(column.clone().into()));
        wording.push(PartRole::Free, goods, Some(column.into()));
        wording
    })
}

/// Dots that lead from goods to their count are no fewer.
const LEADERS: &str = "....";

/// `Cylinder, mortise | 26D | 2`: a bare figure behind goods counts them where rows near by have a count with its unit in the
/// same column, `2 ea`, `1-1/2 pr`.
fn counts_in_column(row: &Row, folded: &str, near: &[Row]) -> bool {
    let [first, .., last] = &row.cells[..] else { return false };
    let text = last.text.trim();
    let bare = (1..=2).contains(&text.len()) && text.bytes().all(|sign| sign.is_ascii_digit());
    let with_unit = |other: &Row| {
        other.number != row.number
            && other.cells.last().is_some_and(|cell| {
                let own = plain(&cell.text);
                cell.column == last.column
                    && is_count_alone(&own)
                    && own.ends_with(|sign: char| sign.is_ascii_alphabetic())
            })
    };
    bare && !starts_with_quantity(folded) && names_goods(&plain(&first.text)) && near.iter().any(with_unit)
}

/// `Coat hook | | 1` below `Wall stop | 26D | 1`: goods whose count stands behind them in the column of that of the goods above.
pub(crate) fn counted_below(row: &Row, before: Option<&Line>) -> bool {
    let ([first, .., last], Some(before)) = (&row.cells[..], before) else { return false };
    let count = before.wording.parts.iter().find(|part| part.role == PartRole::Quantity);
    let Some(column) = count.and_then(|part| part.column.as_deref()) else { return false };
    column_letter(last.column) == column && is_quantity(&plain(&last.text)) && names_goods(&plain(&first.text))
}

/// `Seals by storefront.`: goods, and at the end of the row the trade that has them.
pub(crate) fn by_another_trade(folded: &str) -> bool {
    let folded = folded.trim_end_matches(['.', ' ']);
    let Some(by) = words::list("by-another-trade").all(folded).pop().filter(|by| folded.ends_with(by)) else {
        return false;
    };
    names_goods(&folded[..words::offset(folded, by)])
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
            "MORTISE LOCK STOREROOM FUNCTION X1",
            "DEADLOCK 626 SATIN FINISH X2",
            "EXIT DEVICE 626 WITH LEVER TRIM - 1",
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
            "SADDLE X 36",
            "10 IN X 34",
            "HEAD AND JAMB X 7",
            "DOOR FACE FIXING SCREWS #12 X 2",
            "X3",
        ] {
            assert!(!has_quantity_behind(text), "{text}");
        }
    }

    #[test]
    fn counts_alone_have_a_sign_that_they_are_counts() {
        for text in [
            "X3", "X 3", "(3)", "3 EA", "3EA", "QTY 3", "QTY: 3", "1-1/2 PR", "3 PCS", "(3 EA)", "(1) SET", "(2) PR",
            "(3)EA",
        ] {
            assert!(is_count_alone(text), "{text}");
        }
        for text in [
            "3",
            "652",
            "X34X2",
            "3 FT",
            "",
            "EA",
            "HINGES (3)",
            "626 X3",
            "36 IN",
            "4.5",
            "(36) IN",
            "(1) HINGE",
            "(1 SET",
        ] {
            assert!(!is_count_alone(text), "{text}");
        }
    }

    #[test]
    fn words_below_counted_goods_name_others_or_go_on() {
        for text in ["STOREROOM LOCK F07 626", "OFFICE LOCK", "MORTISE LOCK WITH CYLINDER", "DEADLOCK", "KICK PLATE"] {
            assert!(names_others(text, "HINGES 652 X3"), "{text}");
        }
        for text in ["LEVER TRIM 626", "WITH CYLINDER", "LESS CYLINDER", "ARM FOR CLOSER", "STOREROOM FUNCTION", "626"]
        {
            assert!(!names_others(text, "EXIT DEVICE 626 X1"), "{text}");
        }
        assert!(!names_others("LOCK CYLINDER KEYED", "MORTISE LOCK X1"));
        assert!(names_others("MORTISE LOCK, STOREROOM", "HINGES FULL MORTISE 652 X3"));
    }

    #[test]
    fn goods_by_another_trade_end_with_it() {
        assert!(by_another_trade("SEALS BY STOREFRONT.") && by_another_trade("WEATHERSTRIP BY GLAZING"));
        assert!(!by_another_trade("SEALS BY STOREFRONT DOORS") && !by_another_trade("BY STOREFRONT"));
    }

    #[test]
    fn goods_that_are_not_ours_say_so_behind_their_name() {
        assert!(left_out_alone("CARD READER - NIC") && left_out_alone("EXISTING HINGES ETR"));
        assert!(!left_out_alone("1 EA CARD READER NIC") && !left_out_alone("NIC"));
    }
}
