//! Cells and headings of matrices: how many of what a cell says, and the kind of hardware that a heading names.

use std::collections::BTreeMap;

use crate::read::goods::itemtext;
use crate::read::openings::doors::{self, Reader};
use crate::read::schedule::Line;
use crate::read::sheet::{Cell, CellKind, Row};
use crate::read::sizes::size::{self, Axis};
use crate::read::tables::columns;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{Column, HeardColumn};
use crate::read::words::{self, plain};
use crate::trade::function;
use crate::trade::inches::Inches;

/// A heading that names goods is no longer.
const GOODS: usize = 40;

/// Codes and counts below it are no longer.
const CODE: usize = 8;

/// The count and the code of a cell: `X2`, `2`, `H2 X2`, `2 H2`, `H2 (2)`, `2 EA`.
pub(crate) fn counted(folded: &str) -> (Option<&str>, &str) {
    let number = |word: &'_ str| -> bool {
        let digits = word.trim_matches(|letter: char| "X()".contains(letter));
        !digits.is_empty() && digits.len() <= 2 && digits.bytes().all(|byte| byte.is_ascii_digit()) && word.len() <= 4
    };
    let bare = |word| str::trim_matches(word, |letter: char| "X()".contains(letter));
    if number(folded) {
        return (Some(bare(folded)), "");
    }
    match folded.split_once(' ') {
        Some((first, unit)) if number(first) && words::list("unit-of-one").is(unit) => (Some(bare(first)), ""),
        Some((first, rest)) if number(first) && !rest.contains(' ') => (Some(bare(first)), rest),
        Some((first, last)) if number(last) && last.starts_with(['X', '(']) => (Some(bare(last)), first),
        _ => (None, folded),
    }
}

/// `C2X2`, `C2 X 2`, `2-C2`, `2XC2`: counts and codes as they may be parted, where the rest is a code of the key.
pub(crate) fn stuck(folded: &str) -> [Option<(&str, &str)>; 3] {
    let behind = folded.rsplit_once('X').map(|(code, count)| (count.trim(), code.trim()));
    let before = |sign| folded.split_once(sign).map(|(count, code): (&str, &str)| (count.trim(), code.trim()));
    let number = |text: &str| matches!(text.len(), 1 | 2) && text.bytes().all(|byte| byte.is_ascii_digit());
    [behind, before('-'), before('X')].map(|parts| parts.filter(|(count, code)| number(count) && !code.is_empty()))
}

/// Whether a code would be heard as a count of a unit where it stands before words: `ST2` as two sets, `PR1`, `1ST`, `EA`.
pub(crate) fn counts_units(code: &str) -> bool {
    let unit = code.trim_matches(|sign: char| sign.is_ascii_digit() || "-. ".contains(sign));
    unit.len() > 1 && columns::is_unit(unit)
}

/// `Lever, passage` under TRIM: what an exit device has outside, and no good.
pub(crate) fn is_trim(heading: &str, cell: &str) -> bool {
    let folded = plain(cell);
    let said = |word: &&str| ["words-of-use", "goods-part"].iter().any(|list| words::list(list).is(word));
    words::list("heading-trim").is(&headings::key(heading))
        && words::list("goods-part").begins(&folded).is_some()
        && words::list("hardware").all(&folded).iter().all(said)
}

/// Adds the goods of a cell to those of its row; trim goes with the exit devices of the row, but with none that says what it has
/// outside. Trim that is counted goes with one device alone: of several it is not said which.
pub(crate) fn with_trim(lines: &mut Vec<Line>, trim: bool, own: Vec<Line>) {
    let says = |line: &Line, list: &str| words::list(list).find(&plain(&line.wording.text)).is_some();
    let takes = |line: &Line| says(line, "names-of-exits") && !says(line, "device-with-its-trim");
    let all = lines.iter().filter(|line| says(line, "names-of-exits")).count();
    let counted =
        own.iter().any(|line| line.wording.text.starts_with(|sign: char| sign.is_ascii_digit() || sign == '('));
    let shared = trim && (all == 1 || all > 1 && !counted && lines.iter().any(takes));
    if !shared {
        lines.extend(own);
        return;
    }
    for device in lines.iter_mut().filter(|line| if all == 1 { says(line, "names-of-exits") } else { takes(line) }) {
        for part in own.iter().flat_map(|line| line.wording.parts.iter().map(move |part| (line, part))) {
            let (line, part) = part;
            device.wording.push(part.role, &line.wording.text[part.span.clone()], part.column.clone());
        }
    }
}

/// Whether words of a note give a size, a finish or a material, and say nothing of where, whether or by whom.
pub(crate) fn holds_for_each(words: &str) -> bool {
    let folded = plain(words);
    let told =
        folded.bytes().any(|byte| byte.is_ascii_digit()) || words::list("goods-material").find(&folded).is_some();
    told && words::list("note-condition").find(&folded).is_none() && !itemtext::by_others(&folded)
}

/// Doors are of these heights: a size of 4.5 x 4.5 is that of a hinge, whatever its unit.
const HEIGHTS: std::ops::RangeInclusive<Inches> = Inches::whole(60)..=Inches::whole(168);

/// Whether a number that stands as a count among the goods too, 2 hinges and door 2, is that of a door: the cells of its goods
/// are codes or counts, and of its size nothing is said, or a size. A key has words and finishes there.
pub(crate) fn counts_doors(number: &str, reader: &Reader<'_>, used: impl Fn(&str) -> bool) -> bool {
    let code = |text: &str| {
        let folded = plain(text);
        used(text)
            || words::list("truthy").is(&folded)
            || counted(&folded).0.is_some_and(|_| counted(&folded).1.is_empty())
    };
    let sized = |meaning: M, axis: Axis| {
        let text = reader.text(meaning);
        text.is_empty() || size::parse_length(text, axis).is_some()
    };
    let whole = reader.text(M::Size);
    let goods = reader.table.columns.iter().filter(|column| column.meaning == M::Kind);
    let mut cells = goods.filter_map(|column| reader.row.cell(column.index)).peekable();
    let given = |meaning: M, axis: Axis| {
        let text = reader.text(meaning);
        !text.is_empty() && size::parse_length(text, axis).is_some()
    };
    let high = reader.table.column(M::Height).is_none() || given(M::Height, Axis::Height);
    // A row with the size of a door is one, whatever codes its goods have.
    let tall = |size: size::Size| size.height.is_some_and(|height| HEIGHTS.contains(&height));
    let is_sized = size::parse_size(whole).is_some_and(tall) || given(M::Width, Axis::Width) && high;
    let figures = number.bytes().all(|byte| byte.is_ascii_digit()) && cells.peek().is_some();
    figures && is_sized
        || figures
            && cells.all(|cell| code(&cell.text))
            && (whole.is_empty() || size::parse_size(whole).is_some())
            && sized(M::Width, Axis::Width)
            && sized(M::Height, Axis::Height)
}

/// Whether the words of a key say no more of a mark than yes, or are of the hinges of another column: `Y - Full set of hinges
/// (3)` is what it says under HINGES, and under CONT HINGE that there is one.
pub(crate) fn of_others(words: &str, kind: &str) -> bool {
    let hinges = words::list("counted-by-rule");
    let named = || hinges.find(words).is_some() && words::list("hardware").find(kind).is_some();
    words::list("truthy").begins(words).is_some()
        || !hinges.is(kind) && named() && !words.contains(kind.trim_end_matches('S'))
}

/// `Lever height AFF`, `HINGE JAMB DETAIL NO`, `LOCK POWER`: a measure or a place at goods, or what they are fed with.
pub(crate) fn is_aside(heading: &str) -> bool {
    let folded = plain(heading);
    let aside = |word: &str| words::list("heading-aside-of-goods").is(word);
    folded.split([' ', '/', '-']).any(aside) || words::list("heading-ends-aside").ends(&folded).is_some()
}

/// Whether a heading names goods: `Office Lock`, `Hinges BB 4-1/2 652`.
fn names_goods(text: &str) -> bool {
    let kind =
        || matches!(headings::of_cell(text), Some(Heard::One(M::Kind) | Heard::SmokeOrKind | Heard::RemarksOrKind));
    let folded = plain(text);
    let goods = || words::list("hardware").find(&folded).is_some();
    text.len() <= GOODS
        && !text.starts_with(|first: char| first.is_ascii_digit())
        && !is_aside(text)
        && (kind() || goods())
}

/// Whether a row heads doors against kinds of goods, whatever else its headings say of these: `Door | Office lock 626 |
/// Storeroom lock 626 | Closer 689`.
pub(crate) fn heads_goods(row: &Row) -> bool {
    let of_doors = || headings::of_cell(&row.cells[0].text) == Some(Heard::One(M::DoorNumber));
    if row.cells.len() < 4 || !of_doors() {
        return false;
    }
    let named = |cell: &&Cell| !cell.struck && cell.kind == CellKind::Text && names_goods(&cell.text);
    let named = row.cells[1..].iter().filter(named).count();
    named >= 3 && named * 2 >= row.cells.len()
}

/// The headings of such a table, those among them that name goods as kinds; `None` where there are none.
pub(crate) fn goods_heard(heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) -> Option<Vec<HeardColumn>> {
    let says = |meaning: M| heard.iter().any(|(.., own)| own.as_ref().is_some_and(|own| own.0 == Heard::One(meaning)));
    let codes = |at: &usize| sample.get(at).is_none_or(|cells| cells.iter().all(|cell| cell.text.len() <= CODE));
    let goods = |(at, heading, own): &&HeardColumn| own.is_none() && names_goods(heading) && codes(at);
    let kind = |(.., own): &&HeardColumn| own.as_ref().is_some_and(|own| own.0 == Heard::One(M::Kind));
    let others = [M::Set, M::Quantity, M::Description, M::CatalogNumber];
    let named = heard.iter().filter(goods).count();
    if named == 0
        || !says(M::DoorNumber)
        || others.into_iter().any(says)
        || named + heard.iter().filter(kind).count() < 3
    {
        return None;
    }
    let taken = |column: &HeardColumn| match goods(&column) {
        true => (column.0, column.1.clone(), Some((Heard::One(M::Kind), "it names goods".to_string()))),
        false => column.clone(),
    };
    Some(heard.iter().map(taken).collect())
}

/// The kind of hardware that a heading names, without the words of the groups above it.
pub(crate) fn label(heading: &str) -> String {
    let heading = heading.replace('\n', " ");
    // `HARDWARE (see key) LOCK`: what stands in brackets belongs to the group.
    let known = |text: &str| {
        matches!(
            headings::exact(&headings::key(text)),
            Some(Heard::One(M::Kind) | Heard::SmokeOrKind | Heard::RemarksOrKind)
        )
    };
    let behind = heading.rsplit_once(')').map(|(_, behind)| behind.trim()).filter(|behind| known(behind));
    let heading = behind.map_or(heading.clone(), str::to_string);
    let words: Vec<&str> = heading.split(' ').collect();
    // `HANGING Type`: the kind stands above. `Closer 689` is one whole.
    let worded = |last: &str| !last.bytes().any(|byte| byte.is_ascii_digit());
    let group =
        || heading.rsplit_once(' ').filter(|(group, last)| worded(last) && words::list("section").is(&plain(group)));
    // `Storeroom Lock`: the function stands before the kind.
    let function = |word: &str| {
        let word = word.to_lowercase();
        function::all().iter().any(|function| function.names.iter().any(|name| name.trim_end_matches('?') == word))
    };
    let own = (0..words.len()).find(|from| known(&words[*from..].join(" "))).map(|from| {
        let from = if from > 0 && function(words[from - 1]) { from - 1 } else { from };
        words[from..].join(" ")
    });
    own.or_else(|| group().map(|(group, _)| group.to_string())).unwrap_or(heading)
}

/// The count that stands beside a kind of hardware, under a heading of the same group that says how many.
pub(crate) fn count_beside(reader: &Reader<'_>, kind: &Column) -> Option<u32> {
    let group = |column: &Column| {
        let (group, last) = column.heading.rsplit_once(' ')?;
        Some((plain(group), headings::exact(&headings::key(last))))
    };
    let (own, _) = group(kind)?;
    let counts = |column: &&Column| {
        let near = column.index == kind.index + 1 || column.index + 1 == kind.index;
        let many = Some(Heard::One(M::Quantity));
        near && group(column)
            .is_some_and(|(other, last)| other == own && (last == many || last == Some(Heard::NumberOrQuantity)))
    };
    let column = reader.table.columns.iter().find(counts)?;
    doors::whole_count(&reader.row.cell(column.index)?.text).filter(|count| (1..100).contains(count))
}
