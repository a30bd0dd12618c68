//! Rows whose cells are lists: all goods of a set in one cell, a line or a part behind a semicolon for each, or columns
//! that go line by line, `3\n1\n1` beside `Hinges\nCloser\nWall stop`. Each item is read as the row that it would be, so
//! that what is said of one of them, `by others`, reaches no further than itself.

use std::collections::BTreeMap;

use super::countsbehind::{counted_by_dashes, ends_what_began};
use super::itemtext::{self, by_whom, dangles, has_quantity_behind, is_quantity, listed_item, starts_with_quantity};
use super::setremark::{is_of_set, is_place};
use crate::read::sheet::{Cell, Row};
use crate::read::tables::columns;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{HeardColumn, Table};
use crate::read::words::{self, plain};

/// The items of a row of lists.
pub(crate) struct Parted {
    /// Each item as a row of its own, with the number of the row it comes from.
    pub rows: Vec<Row>,
    /// Cells of finishes beside the list, which hold for the set and not for one of its items.
    pub finishes: Vec<Cell>,
    /// What stands beside the list and names no goods: what the set is for.
    pub title: Option<String>,
    /// Notes beside the list: they say something of the set, and not the same of each of its items.
    pub notes: Vec<Cell>,
}

/// The items of a row, if one of its cells lists several.
pub(crate) fn parted(table: Option<&Table>, row: &Row) -> Option<Parted> {
    let parts =
        |cell: &Cell| cell.text.contains(['\n', ';', '(', '/', '|']) || !counted_by_dashes(&cell.text).is_empty();
    if !row.cells.iter().any(parts) {
        return None;
    }
    let meaning = |cell: &Cell| table?.columns.iter().find(|own| own.index == cell.column).map(|own| own.meaning);
    if let Some(rows) = line_by_line(row, &meaning) {
        return Some(Parted { rows, finishes: Vec::new(), title: None, notes: Vec::new() });
    }
    let counted = |cell: &Cell| {
        meaning(cell) == Some(M::Quantity) || row.cells.len() > 1 && meaning(cell).is_none() && is_bare(&cell.text)
    };
    if row.cells.iter().any(counted) {
        return None;
    }
    // `Exterior` beside all goods of a set says where its doors are, and nothing of each of them.
    let place = |cell: &Cell| {
        meaning(cell) == Some(M::Remarks) && table.is_some_and(|table| table.has(M::Set)) && is_place(&cell.text)
    };
    let fixed = |cell: &Cell| {
        !place(cell)
            && matches!(
                meaning(cell),
                Some(M::Finish | M::DoorFinish | M::FrameFinish | M::Maker | M::Unit | M::Remarks)
            )
    };
    let lists: Vec<(&Cell, Vec<String>)> =
        row.cells.iter().filter(|cell| !fixed(cell)).filter_map(|cell| Some((cell, items(&cell.text)?))).collect();
    if lists.is_empty() {
        return None;
    }
    let listed = |cell: &Cell| lists.iter().any(|(list, _)| list.column == cell.column);
    let is_finish = |cell: &Cell| matches!(meaning(cell), Some(M::Finish | M::DoorFinish | M::FrameFinish));
    // `Seals by others` in the remarks is one more item.
    let apart = |cell: &Cell| meaning(cell) == Some(M::Remarks) && by_others_alone(&plain(&cell.text));
    let titles = |cell: &Cell| {
        let free =
            matches!(meaning(cell), None | Some(M::Description | M::Other | M::SetTitle | M::Room | M::DoorsServed));
        let figures = cell.text.bytes().any(|byte| byte.is_ascii_digit());
        (free || place(cell))
            && !(figures && meaning(cell) == Some(M::Other))
            && !tells_of_goods(&plain(&cell.text))
            && cell.text.bytes().any(|byte| byte.is_ascii_alphabetic())
    };
    let beside = |cell: &&Cell| !listed(cell) && !is_finish(cell) && !apart(cell);
    let title = row.cells.iter().filter(beside).find(|cell| titles(cell)).map(|cell| cell.text.clone());
    // `Alternate 1: electronic hold open in lieu of HO closer`, `Provide 1/2" undercut`.
    let noted =
        |cell: &&Cell| meaning(cell) == Some(M::Remarks) && beside(cell) && !titles(cell) && is_of_set(&cell.text);
    let notes: Vec<Cell> = row.cells.iter().filter(noted).cloned().collect();
    let shared = row.cells.iter().filter(beside).filter(|cell| !titles(cell) && !noted(cell));
    let shared: Vec<Cell> = shared.cloned().collect();
    let with = |cell: Cell| {
        let mut cells = shared.clone();
        cells.push(cell);
        cells.sort_by_key(|cell| cell.column);
        Row { number: row.number, cells, hidden: row.hidden }
    };
    let mut rows: Vec<Row> = Vec::new();
    for (cell, items) in &lists {
        rows.extend(items.iter().map(|item| with(Cell { text: item.clone(), ..(*cell).clone() })));
    }
    rows.extend(row.cells.iter().filter(|cell| apart(cell)).map(|cell| with(cell.clone())));
    let finishes = row.cells.iter().filter(|cell| is_finish(cell)).cloned().collect();
    Some(Parted { rows, finishes, title, notes })
}

/// Columns that go line by line: a column of quantities and one of goods with as many lines each. Other columns with as many
/// lines go with them; what has one line is said of each. A line without a quantity goes on from the one above.
fn line_by_line(row: &Row, meaning: &impl Fn(&Cell) -> Option<M>) -> Option<Vec<Row>> {
    let lines = |cell: &Cell| cell.text.split('\n').map(|line| line.trim().to_string()).collect::<Vec<_>>();
    let counts = |cell: &&Cell| {
        let lines = lines(cell);
        let free = meaning(cell).is_none_or(|meaning| meaning == M::Quantity);
        let filled: Vec<String> = lines.iter().filter(|line| !line.is_empty()).map(|line| plain(line)).collect();
        free && lines.len() > 1 && filled.len() > 1 && filled.iter().all(|line| is_quantity(line) && line.len() <= 8)
    };
    let quantity = row.cells.iter().find(counts)?;
    let count = lines(quantity).len();
    let along = |cell: &&Cell| cell.column != quantity.column && lines(cell).len() == count;
    let worded = |cell: &Cell| lines(cell).iter().any(|line| words::list("hardware").find(&plain(line)).is_some());
    if !row.cells.iter().filter(along).any(worded) {
        return None;
    }
    let mut rows: Vec<Row> = Vec::new();
    for at in 0..count {
        let begins = lines(quantity).get(at).is_some_and(|line| !line.is_empty());
        match rows.last_mut().filter(|_| !begins) {
            Some(last) => {
                for cell in row.cells.iter().filter(along) {
                    let more = lines(cell).swap_remove(at);
                    match last.cells.iter_mut().find(|own| own.column == cell.column) {
                        Some(own) if !more.is_empty() => own.text = format!("{} {more}", own.text),
                        Some(_) => {}
                        None if more.is_empty() => {}
                        None => last.cells.push(Cell { text: more, ..cell.clone() }),
                    }
                }
                last.cells.sort_by_key(|cell| cell.column);
            }
            None => {
                let of_line = |cell: &Cell| {
                    let own = cell.column == quantity.column || along(&cell);
                    let text = if own { lines(cell).swap_remove(at) } else { cell.text.clone() };
                    (!text.is_empty()).then(|| Cell { text, ..cell.clone() })
                };
                let cells = row.cells.iter().filter_map(of_line).collect();
                rows.push(Row { number: row.number, cells, hidden: row.hidden });
            }
        }
    }
    Some(rows)
}

/// A quantity and nothing else.
pub(crate) fn is_bare(text: &str) -> bool {
    is_quantity(&plain(text)) && text.len() <= 10
}

/// How a part of a cell begins.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Begins {
    /// With a quantity, or it is an item of a list.
    Counted,
    /// With goods that nothing counts.
    Goods,
    /// It names goods, somewhere.
    Names,
    /// It is what others supply, or a sentence about it.
    Others,
    /// With other words.
    Words,
}

/// The items that a cell lists, each with the lines that go on from it; `None`: it is one item.
pub(crate) fn items(text: &str) -> Option<Vec<String>> {
    let mut parts: Vec<(&str, bool)> = Vec::new();
    for line in text.split('\n') {
        let from = parts.len();
        for piece in line.split(';').map(str::trim) {
            parts.extend(counted_inside(piece).into_iter().map(|part| (part, false)));
        }
        if let Some(first) = parts.get_mut(from) {
            first.1 = true;
        }
    }
    let kinds: Vec<Begins> = parts.iter().map(|(part, _)| begins(part)).collect();
    let count = |kind: Begins| kinds.iter().filter(|own| **own == kind).count();
    let counted = count(Begins::Counted);
    // Where words begin in capitals only at the head of a line, a line that begins so is no wrapped one.
    let mixed = text.bytes().any(|byte| byte.is_ascii_lowercase());
    let capital = |part: &str| mixed && part.starts_with(|letter: char| letter.is_uppercase());
    let heads = text.starts_with(char::is_uppercase);
    let led = parts.iter().any(|(part, _)| listed_item(part).is_some() || starts_with_quantity(&plain(part)));
    let headed = parts.iter().all(|(part, line)| *line && capital(part)) && count(Begins::Words) == 0;
    // `Butt hinges; Mortise lock; Card reader - NIC`: what is said of one must not reach the others. Counts part a list otherwise.
    let each = count(Begins::Words) == 0
        && (parts.len() >= 2 && count(Begins::Others) > 0 && counted < 2
            // `Closer (1); Exit device; Viewer`: one of them is counted.
            || parts.len() >= 3 && counted == 1 && !led && parts.iter().all(|(part, _)| itemtext::names_goods(&plain(part))));
    // `Hinges; Storeroom lock; Closer (NIC)`: goods that are left out are goods of the list too.
    let left_out = parts.iter().filter(|(part, _)| itemtext::left_out_alone(&plain(part))).count();
    let uncounted = each
        || counted == 0 && count(Begins::Goods) + left_out >= 2 && kinds.first() == Some(&Begins::Goods)
        || !led && headed && parts.len() >= 2;
    if counted < 2 && !uncounted && (counted == 0 || count(Begins::Others) == 0) {
        return None;
    }
    let mut items: Vec<String> = Vec::new();
    for ((part, line), kind) in parts.iter().zip(&kinds) {
        let before = items.last().map(|item| plain(item)).unwrap_or_default();
        let folded = plain(part);
        let ended = !led && has_quantity_behind(&before);
        let own = match kind {
            _ if items.is_empty() => true,
            // `Closer with hold open` above `arm 689 x1`: where every count stands behind, it ends what began above.
            Begins::Counted => !*line || led || ended || !ends_what_began(part, &folded, &before, heads),
            // Behind `W/` or `LESS` stand words of the goods before.
            _ if dangles(&before) => false,
            Begins::Goods if itemtext::counted_at_end(&before) => true,
            Begins::Goods | Begins::Others => *line || counted < 2 || *kind == Begins::Others,
            Begins::Names if ended && itemtext::names_others(&folded, &before) => true,
            Begins::Names => each && itemtext::names_goods(&folded) || *line && capital(part),
            Begins::Words => false,
        };
        match items.last_mut().filter(|_| !own) {
            Some(last) => last.push_str(&if *line { format!("\n{part}") } else { format!("; {part}") }),
            // Without the sign of the list.
            None => items.push(part[listed_item(part).unwrap_or(0)..].to_string()),
        }
    }
    (items.len() > 1).then_some(items)
}

/// The parts of a piece that has several counts inside, `3 hinges / 1 lock`, `(3) hinges (1) lock`: each begins with a count and
/// names goods. `(2) closers (1) with hold open arm` is one.
fn counted_inside(piece: &str) -> Vec<&str> {
    if piece.is_empty() {
        return Vec::new();
    }
    let by_dashes = counted_by_dashes(piece);
    if !by_dashes.is_empty() {
        return by_dashes;
    }
    let counts = |rest: &str| {
        let folded = plain(rest);
        let named = folded.trim_start_matches(in_count);
        let joins = itemtext::goes_on(named);
        let begun = words::list("hardware").begins(named).is_some() || words::list("goods").begins(named).is_some();
        let known = |folded: &str| words::list("hardware").find(folded).is_some();
        starts_with_quantity(&folded) && !joins && (begun || known(&folded) || known(&singular(&folded)))
    };
    // `2 push/pull bar sets` stands before goods that are known and counted.
    let stands = |rest: &str| {
        let folded = plain(rest);
        counts(rest) || self::counts(&folded, false) && !itemtext::goes_on(folded.trim_start_matches(in_count))
    };
    let bracket = |at: usize| {
        let rest = &piece[at..];
        let figures = rest[1..].bytes().take_while(u8::is_ascii_digit).count();
        (1..=2).contains(&figures) && rest[1 + figures..].starts_with(')')
    };
    let mut cuts: Vec<(usize, usize)> =
        piece.match_indices('(').filter(|(at, _)| bracket(*at)).map(|(at, _)| (at, at)).collect();
    cuts.extend(
        [" / ", " | "].iter().flat_map(|sign| piece.match_indices(*sign)).map(|(at, sign)| (at, at + sign.len())),
    );
    cuts.sort_unstable();
    let mut parts = Vec::new();
    let mut from = 0;
    for (at, next) in cuts {
        let others = || at < next && by_others_alone(&plain(&piece[next..]));
        if at > from && stands(&piece[from..at]) && (counts(&piece[next..]) || others()) {
            parts.push(piece[from..at].trim_end());
            from = next;
        }
    }
    parts.push(&piece[from..]);
    parts
}

/// A sign of a count: `(2)`, `1-1/2`.
fn in_count(sign: char) -> bool {
    sign.is_ascii_digit() || "()-/. ".contains(sign)
}

/// Words without the sign of the plural: the lists have many goods by their singular alone.
fn singular(folded: &str) -> String {
    folded.split(' ').map(|word| word.strip_suffix('S').unwrap_or(word)).collect::<Vec<&str>>().join(" ")
}

fn begins(part: &str) -> Begins {
    let folded = plain(part);
    let hardware = words::list("hardware").find(&folded).is_some();
    let behind = hardware && has_quantity_behind(&folded) || itemtext::joined_at_end(&folded);
    if listed_item(part).is_some() || counts(&folded, hardware) || behind {
        return Begins::Counted;
    }
    let noted = words::list("note").begins(&folded).is_some_and(|word| folded[word.len()..].starts_with(':'));
    if by_others_alone(&folded) || itemtext::left_out_alone(&folded) || noted {
        return Begins::Others;
    }
    // `Storeroom lock` names goods behind the part.
    if words::list("goods-part").begins(&folded).is_some() && !itemtext::names_goods(&folded) {
        return Begins::Words;
    }
    match (words::list("goods").begins(&folded).is_some(), hardware) {
        (true, _) => Begins::Goods,
        (false, true) => Begins::Names,
        _ => Begins::Words,
    }
}

/// `1 robe hook`, `3 hinges`: a count of something; `10 in. high`, `626 satin`, `2 wires` go on from what stands before.
fn counts(folded: &str, hardware: bool) -> bool {
    if !starts_with_quantity(folded) {
        return false;
    }
    let figures = folded.bytes().take_while(u8::is_ascii_digit).count();
    let mut rest = folded[figures..].split(' ').skip_while(|word| !word.bytes().any(|byte| byte.is_ascii_alphabetic()));
    let bare = |word: &str| word.trim_matches(|sign: char| !sign.is_ascii_alphanumeric()).to_string();
    let measures = |word: &str| words::list("measure").is(&bare(word));
    let (word, next) = (rest.next(), rest.next());
    // `17 ft smoke gasket` is so much of it; `7 ft high` and `10 ft` tell how large something is.
    let length = word.is_some_and(|word| words::list("lengths-that-count").is(&bare(word)));
    let counted = length && hardware && next.is_some_and(|next| !measures(next));
    word.is_some_and(|word| counted || !measures(word)) && (figures <= 2 || hardware)
}

/// `Weatherstrip by door supplier`, `balance of hardware by others`: goods and who else supplies them, and nothing counts them.
pub(crate) fn by_others_alone(folded: &str) -> bool {
    let padded = format!(" {folded}");
    let others = words::list("hardware-by").find(&padded).or_else(|| by_whom(&padded));
    let Some(others) = others else { return false };
    let before = &padded[..words::offset(&padded, others)];
    let named = [before, others].iter().any(|words| words::list("hardware").find(words).is_some());
    named && !starts_with_quantity(folded)
}

/// Whether another column holds all goods of a set in each cell, while a column counts and lists none: `Bedroom` beside
/// `3 hinges; 1 privacy set` is what the set is for.
pub(crate) fn beside_lists(own: usize, heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) -> bool {
    let whole = |cell: &&&Cell| {
        let folded = plain(&cell.text);
        let counted = starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some();
        counted || items(&cell.text).is_some() || without_goods(&folded).is_some()
    };
    let counts = |cell: &&Cell| starts_with_quantity(&plain(&cell.text)) || items(&cell.text).is_some();
    let cells = |column: usize| sample.get(&column).map_or(&[][..], Vec::as_slice);
    let lists = |column: &usize| {
        let cells = cells(*column);
        let lines = cells.iter().any(|cell| items(&cell.text).is_some() || without_goods(&plain(&cell.text)).is_some());
        *column != own && lines && cells.iter().filter(whole).count() * 3 >= cells.len() * 2
    };
    !cells(own).is_empty()
        && !cells(own).iter().any(counts)
        && heard.iter().filter(|(_, _, heard)| columns::names_items(heard)).any(|(column, ..)| lists(column))
}

/// `None`, `Hardware with door`, `By others`, where the goods of a set should stand: why it has none of ours.
pub(crate) fn without_goods(folded: &str) -> Option<&str> {
    let alone = folded.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
    ["no-goods", "hardware-by", "excluded"].iter().any(|list| words::list(list).is(alone)).then_some(alone)
}

/// Whether words name goods, or say why there are none.
pub(crate) fn tells_of_goods(folded: &str) -> bool {
    words::list("hardware").find(folded).is_some() || without_goods(folded).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_list_items_or_hold_one() {
        let of = |text: &str| items(text).unwrap_or_default();
        let text = "3 hinges 4-1/2 x 4-1/2\n1 mortise lock,\n  storeroom function\n1 kick plate\n10 in. high\n1 robe hook\nElectrified latch retraction, power transfer\nWeatherstrip and sweeps by door supplier";
        assert_eq!(of(text).len(), 6, "{:?}", of(text));
        assert_eq!(of("1 threshold\nWeatherstrip by door supplier").len(), 2);
        assert_eq!(of("3 HINGES; 1 CLOSER; PARALLEL ARM; 1 THRESHOLD BY OTHERS; SEALS BY OTHERS").len(), 4);
        assert_eq!(of("Hinges\nLockset\nstoreroom function\nCloser").len(), 3);
        assert_eq!(of("1. Hinges (3)\n2. Office lock (1)"), ["Hinges (3)", "Office lock (1)"]);
        assert_eq!(of("3 hinges / 1 privacy lock / 1 stop / threshold by tile contractor").len(), 4);
        assert_eq!(of("(3) hinges (1) storeroom lock (1) stop\nNOTE: verify swing").len(), 4);
        assert_eq!(items("(2) closers (1) with hold open arm"), None);
        assert_eq!(of("Hinges: 3\nLock: privacy F76\nStop: floor stop").len(), 3);
        assert_eq!(of("Butt hinges x3; Office lock F04 x1; Widget plate x1; Silencers; Card reader - NIC x1").len(), 5);
        assert_eq!(of("3 hinges; 1 closer; card reader - NIC").len(), 3);
        assert_eq!(of("Butt hinges; Mortise lock; Card reader - NIC").len(), 3);
        assert_eq!(of("Butt hinges; Storeroom lock; Card reader - NIC").len(), 3);
        assert_eq!(
            of("(3) hinges 652; (1) mortise lock; with deadbolt indicator; silencers by frame supplier").len(),
            3
        );
        assert_eq!(of("1 mortise lock F07; less cylinder; cylinders by owner").len(), 2);
        assert_eq!(
            of("(3) HINGES\n(1) RIM EXIT DEVICE W/ NIGHT\nLATCH CYLINDER\n(1) CLOSER\nCARD READER - NIC").len(),
            4
        );
        assert_eq!(of("Mortise lock, storeroom\nfunction F07, 626 x1\nCloser with hold open\narm 689 x1").len(), 2);
        assert_eq!(of("HINGES 652 X3; STOREROOM LOCK F07 626; CLOSER 689 X1").len(), 3);
        assert_eq!(of("Viewer 626 x1\nCoat hook 626\nMortise lock storeroom function").len(), 3);
        assert_eq!(of("Closer 689 (1); Exit device rim 626; Viewer 626").len(), 3);
        assert_eq!(items("Exit device x1; night latch; lever trim"), None);
        assert_eq!(items("1 threshold; saddle x 36"), None);
        assert_eq!(items("1 kick plate 630; 10 in x 34"), None);
        assert_eq!(of("Hinges; Storeroom lock; Closer (NIC)").last().map(String::as_str), Some("Closer (NIC)"));
        assert_eq!(of("(3) HINGES\n(1) EXIT DEVICE W/\nCYLINDER DOGGING\n(1) CLOSER").len(), 3);
        assert_eq!(of("1 floor stop, 626; 17 ft smoke gasket, black; 1 pkg silencers; 20 lin ft seal").len(), 4);
        assert_eq!(of("3 hinges; 1 mullion; 7 ft high; 10 ft").len(), 2);
        for one in
            ["1 mortise lock\nstoreroom function\n626", "Closer\nparallel arm", "4.5 x 4.5; 626", "1 EA CLOSER; 689"]
        {
            assert_eq!(items(one), None, "{one}");
        }
    }
}
