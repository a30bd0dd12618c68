//! Cells and headings of matrices: how many of what a cell says, and the kind of hardware that a heading names.

use super::doors::Reader;
use super::headings::{self, Heard, Meaning as M};
use super::itemtext;
use super::schedule::Line;
use super::size::{self, Axis};
use super::words::{self, plain};
use crate::trade::function;
use crate::trade::inches::Inches;

/// The count and the code of a cell: `X2`, `2`, `H2 X2`, `2 H2`, `H2 (2)`, `2 EA`.
pub(super) fn counted(folded: &str) -> (Option<&str>, &str) {
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
pub(super) fn stuck(folded: &str) -> [Option<(&str, &str)>; 3] {
    let behind = folded.rsplit_once('X').map(|(code, count)| (count.trim(), code.trim()));
    let before = |sign| folded.split_once(sign).map(|(count, code): (&str, &str)| (count.trim(), code.trim()));
    let number = |text: &str| matches!(text.len(), 1 | 2) && text.bytes().all(|byte| byte.is_ascii_digit());
    [behind, before('-'), before('X')].map(|parts| parts.filter(|(count, code)| number(count) && !code.is_empty()))
}

/// `Lever, passage` under TRIM: what an exit device has outside, and no good.
pub(super) fn is_trim(heading: &str, cell: &str) -> bool {
    let folded = plain(cell);
    let said = |word: &&str| ["words-of-use", "goods-part"].iter().any(|list| words::list(list).is(word));
    words::list("heading-trim").is(&headings::key(heading))
        && words::list("goods-part").begins(&folded).is_some()
        && words::list("hardware").all(&folded).iter().all(said)
}

/// Adds the goods of a cell to those of its row; trim goes with the exit device of the row, where it has one.
pub(super) fn with_trim(lines: &mut Vec<Line>, trim: bool, own: Vec<Line>) {
    let names = |line: &Line| words::list("names-of-exits").find(&plain(&line.wording.text)).is_some();
    let one = trim && lines.iter().filter(|line| names(line)).count() == 1;
    match lines.iter_mut().find(|line| one && names(line)) {
        Some(device) => {
            for line in own {
                for part in &line.wording.parts {
                    device.wording.push(part.role, &line.wording.text[part.span.clone()], part.column.clone());
                }
            }
        }
        None => lines.extend(own),
    }
}

/// Whether words of a note give a size, a finish or a material, and say nothing of where, whether or by whom.
pub(super) fn holds_for_each(words: &str) -> bool {
    let folded = plain(words);
    let told =
        folded.bytes().any(|byte| byte.is_ascii_digit()) || words::list("goods-material").find(&folded).is_some();
    told && words::list("note-condition").find(&folded).is_none() && !itemtext::by_others(&folded)
}

/// Doors are of these heights: a size of 4.5 x 4.5 is that of a hinge, whatever its unit.
const HEIGHTS: std::ops::RangeInclusive<Inches> = Inches::whole(60)..=Inches::whole(168);

/// Whether a number that stands as a count among the goods too, 2 hinges and door 2, is that of a door: the cells of its goods
/// are codes or counts, and of its size nothing is said, or a size. A key has words and finishes there.
pub(super) fn counts_doors(number: &str, reader: &Reader<'_>, used: impl Fn(&str) -> bool) -> bool {
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
pub(super) fn of_others(words: &str, kind: &str) -> bool {
    let hinges = words::list("counted-by-rule");
    let named = || hinges.find(words).is_some() && words::list("hardware").find(kind).is_some();
    words::list("truthy").begins(words).is_some()
        || !hinges.is(kind) && named() && !words.contains(kind.trim_end_matches('S'))
}

/// The kind of hardware that a heading names, without the words of the groups above it.
pub(super) fn label(heading: &str) -> String {
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
    // `HANGING Type`: the kind stands above.
    let group =
        || heading.rsplit_once(' ').map(|(group, _)| group).filter(|group| words::list("section").is(&plain(group)));
    // `Storeroom Lock`: the function stands before the kind.
    let function = |word: &str| {
        let word = word.to_lowercase();
        function::all().iter().any(|function| function.names.iter().any(|name| name.trim_end_matches('?') == word))
    };
    let own = (0..words.len()).find(|from| known(&words[*from..].join(" "))).map(|from| {
        let from = if from > 0 && function(words[from - 1]) { from - 1 } else { from };
        words[from..].join(" ")
    });
    own.or_else(|| group().map(str::to_string)).unwrap_or(heading)
}
