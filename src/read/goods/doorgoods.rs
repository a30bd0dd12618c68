//! Door schedules whose HARDWARE column holds the goods themselves, `hinges, lockset, closer`, instead of the id of a set:
//! doors that say the same get one set with those goods.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use super::itemtext::{self, starts_with_quantity};
use crate::read::excluded::others::{self, Ours};
use crate::read::excluded::outsaid;
use crate::read::memo::{self, Memo};
use crate::read::openings::doorlist;
use crate::read::openings::doors::Reader;
use crate::read::schedule::{Line, Opening, PartRole, Wording, loose_id};
use crate::read::sets::setheading;
use crate::read::tables::headings::Meaning as M;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A set cell that names goods.
pub(crate) struct Named {
    /// Index of the door.
    pub opening: usize,
    /// Its row and column.
    pub place: Place,
    /// Column of the cell, counted from 0.
    pub column: usize,
    /// What it says.
    pub text: String,
}

/// Whether a cell names goods at all; what it is for is settled when all sets are known.
pub(crate) fn names_goods(text: &str) -> bool {
    text.len() > 3 && words::list("hardware").find(&plain(text)).is_some()
}

/// Whether a cell lists goods: at least two of its parts name some, and not fewer than the others.
pub(crate) fn lists_goods(text: &str) -> bool {
    // The id of a set, as nearly all such cells hold.
    text.len() > 3 && memo::once(&LISTS, text, lists)
}

/// The name of a door is no longer, and has no more words.
const NAME: (usize, usize) = (24, 4);

/// Whether a row names a door by words, `Front door`, beside a list of its goods, where the doors above have no numbers either.
/// Where the rows below have some, `Typical` above them is a note.
pub(crate) fn is_named_door(reader: &Reader<'_>, number: &str, above: Option<&Opening>) -> bool {
    let Some(cell) = reader.cell(M::Set) else { return false };
    let folded = plain(number);
    let named = number.len() <= NAME.0
        && number.starts_with(|first: char| first.is_ascii_alphabetic())
        && folded.split(' ').count() <= NAME.1
        && ["note", "total", "not-used", "finish-general"]
            .iter()
            .all(|list| words::list(list).begins(&folded).is_none());
    let above = above.filter(|above| above.place.sheet == reader.sheet.name && above.place.file == reader.sheet.file);
    let alike = || above.is_none_or(|above| !doorlist::looks_like(&above.number));
    let said = plain(&cell.text);
    let short = || words::list("ditto").is(&said) || itemtext::is_by_whom(&cell.text);
    named && alike() && (lists_goods(&cell.text) && !numbers_follow(reader) || above.is_some() && short())
}

/// Rows below a door called by words that are looked at.
const FOLLOWING: usize = 12;

/// Whether most of the rows right below have the number of a door.
fn numbers_follow(reader: &Reader<'_>) -> bool {
    let Some(column) = reader.table.column(M::DoorNumber) else { return false };
    let below = reader.sheet.rows.get(reader.sheet.index_of(reader.row.number) + 1..).unwrap_or_default();
    let cells: Vec<&str> =
        below.iter().take(FOLLOWING).filter_map(|row| Some(row.cell(column.index)?.text.as_str())).collect();
    cells.iter().filter(|text| doorlist::looks_like(text)).count() * 2 > cells.len()
}

/// Whether a line of text tells of a door and lists its goods behind its name: `front door: hinges, panic, closer`.
pub(crate) fn is_line_of_door(text: &str) -> bool {
    let parted = text.split_once(": ").or_else(|| text.split_once(" - "));
    parted.is_some_and(|(name, goods)| name.len() <= 2 * NAME.0 && goods.contains(',') && lists_goods(goods))
}

/// Whether a cell lists goods of which some are not said to be others': what is said of one of them, `card reader by others`,
/// says nothing of the door; what is said of all of them does.
pub(crate) fn lists_ours(text: &str) -> bool {
    text.len() > 3 && memo::once(&OURS, text, of_us)
}

fn of_us(text: &str) -> bool {
    let folded = plain(text);
    let parts: Vec<&str> = folded.split([',', ';', '\n']).map(str::trim).collect();
    let asked =
        |part: &&str| words::list("note-asks").find(part).is_some() || words::list("by-us").find(part).is_some();
    let ours: Vec<&str> = parts.iter().copied().filter(|part| is_ours(part)).collect();
    let said_ours = |part: &str| words::list("by-us").find(part).is_some() && words::list("goods").find(part).is_some();
    ours.iter().any(asked)
        || parts.iter().any(|part| said_ours(part))
        || (!ours.is_empty() || lists(text)) && !all_by_others(text, &folded)
}

/// `Provide 2 mortise cylinders` beside `hardware by storefront supplier`: goods with a count, and no one else.
fn is_ours(part: &str) -> bool {
    part.split([' ', '(', ')']).any(itemtext::is_count)
        && words::list("goods").find(part).is_some()
        && by_others(part).is_none()
        && words::list("excluded").find(part).is_none()
}

/// Where a part of a cell says that others supply what it names.
fn by_others(part: &str) -> Option<usize> {
    let padded = format!(" {part}");
    let found = words::list("hardware-by").find(&padded).or_else(|| itemtext::by_whom(&padded))?;
    let start = words::offset(&padded, found);
    let by = itemtext::by_at(found).unwrap_or_default();
    (words::list("by-us").find(part).is_none()).then(|| (start + by).saturating_sub(1))
}

/// Whether others supply all of a list: `ALL BY OTHERS`, `HARDWARE BY OTHERS: 3 HINGES, 1 LOCK`, `2 HINGES, 1 LOCK, NIC`; and
/// `HINGES, LOCK, CLOSER BY OTHERS`, which counts none of them as ours.
fn all_by_others(text: &str, folded: &str) -> bool {
    if others::ours(folded) == Ours::Unsaid && outsaid::reason(text).is_some() {
        return true;
    }
    let parts: Vec<&str> = folded
        .split([',', ';', ':', '\n'])
        .flat_map(|part| part.split(" - "))
        .flat_map(|part| part.split(". "))
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    let of_all = |at: usize| {
        by_others(parts[at]).is_some_and(|end| {
            let before = &parts[at][..end];
            let (aside, before) = before.rsplit_once('(').map_or((false, before), |(_, inside)| (true, inside));
            let said = others::subject(before);
            let (hardware, goods) = (words::list("with-hardware"), words::list("words-for-hardware"));
            // `1 lockset (all by others)`
            let all = said.last().is_some_and(|word| hardware.is(word) && !goods.is(word));
            // Words in the middle are said of what stands before them.
            let whole = all || said.is_empty() && !aside && (at == 0 || at + 1 == parts.len());
            whole || others::is_whole(&said) && said.iter().any(|word| hardware.is(word))
        })
    };
    let counted = || folded.split([' ', ',', ';', '(', ')', '\n']).any(itemtext::is_count);
    let told: Vec<usize> = (0..parts.len()).filter(|at| by_others(parts[*at]).is_some()).collect();
    // A reader is nearly always another's; what is said of the rest leaves what stands before it.
    let own = |at: usize| {
        let rest = || parts[at].split(' ').next().is_some_and(|word| words::list("the-rest").is(word));
        words::list("goods-mostly-of-others").find(parts[at]).is_some() || rest()
    };
    let last = matches!(told[..], [at] if at > 0 && at + 1 == parts.len() && !own(at)) && !counted();
    last || told.into_iter().any(|at| of_all(at) && !(at > 0 && own(at)))
}

thread_local! {
    static OURS: Memo<bool> = Memo::default();
    static LISTS: Memo<bool> = Memo::default();
}

fn lists(text: &str) -> bool {
    let folded = itemtext::with_commas(&plain(text), "joins-goods");
    let parts: Vec<&str> =
        folded.split([',', ';', '\n', '+', '&']).map(str::trim).filter(|part| !part.is_empty()).collect();
    let goods = parts.iter().filter(|part| words::list("hardware").find(part).is_some()).count();
    goods >= 2 && goods * 2 >= parts.len()
}

/// The goods of a cell, each a line; words that name none stay with the goods before them.
pub(crate) fn lines(place: &Place, cell: &str, column: usize) -> Vec<Line> {
    let mut texts: Vec<String> = Vec::new();
    // Semicolons and lines part goods; beside them commas part their words, unless a count or goods follow.
    let parted = cell.contains([';', '\n']);
    for whole in cell.split([';', '\n']) {
        for (at, part) in whole.split(',').map(str::trim).filter(|part| !part.is_empty()).enumerate() {
            let folded = plain(part);
            let counted = starts_with_quantity(&folded) && folded.bytes().any(|byte| byte.is_ascii_alphabetic());
            let begins = counted || words::list("goods").begins(&folded).is_some();
            let named = words::list("hardware").find(&folded).is_some() && !words::list("goods-part").is(&folded);
            let goods = if parted { at == 0 && named || begins } else { named };
            match texts.last_mut().filter(|_| !goods) {
                Some(before) => before.push_str(&format!(", {part}")),
                None => texts.push(part.to_string()),
            }
        }
    }
    let line = |text: String| {
        let mut wording = Wording::default();
        wording.push(PartRole::Free, &text, Some(column_letter(column).into()));
        Line::new(place.cell(column), wording)
    };
    texts.into_iter().map(line).collect()
}

/// What a cell under the heading of a kind says of that kind, and the goods of their own behind it: `storeroom, electric strike
/// 24VDC` under LOCK names a strike too.
pub(crate) fn beside_kind(cell: &str) -> Option<(&str, Vec<&str>)> {
    let cuts: Vec<usize> = cell.match_indices([',', ';', '+', '&']).map(|(at, _)| at).collect();
    let ends = cuts.iter().skip(1).copied().chain([cell.len()]);
    let mut goods: Vec<(usize, usize)> = Vec::new();
    for (at, end) in cuts.iter().copied().zip(ends) {
        let folded = plain(cell[at + 1..end].trim());
        let counted = starts_with_quantity(&folded) && words::list("goods").find(&folded).is_some();
        match goods.last_mut() {
            _ if counted || words::list("goods").begins(&folded).is_some() => goods.push((at + 1, end)),
            // Words behind a good go with it.
            Some((_, last)) => *last = end,
            None => {}
        }
    }
    let (first, _) = goods.first()?;
    let own = cell[..first - 1].trim();
    (!own.is_empty()).then(|| (own, goods.into_iter().map(|(from, to)| cell[from..to].trim()).collect()))
}

/// Lines of goods that stand under the heading of another kind.
pub(crate) fn under_kind(place: &Place, goods: &[&str], kind: &str, column: usize) -> Vec<Line> {
    let line = |goods: &&str| {
        let mut wording = Wording::default();
        wording.push(PartRole::Free, goods, Some(column_letter(column).into()));
        Line { section: Some(kind.into()), ..Line::new(place.cell(column), wording) }
    };
    goods.iter().map(line).collect()
}

/// Gives the doors of columns that list goods the goods; an id that is defined stays a set.
pub(crate) fn settle(out: &mut Gathered) {
    let named = std::mem::take(&mut out.goods);
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let of_column = |named: &Named| (named.place.file.clone(), named.place.sheet.clone(), named.column);
    // `1 (no closer)` names set 1.
    let id = |named: &Named| loose_id(named.text.split_once(" (").map_or(named.text.as_str(), |(id, _)| id));
    let free: Vec<&Named> = named.iter().filter(|named| !defined.contains(&id(named))).collect();
    let listing: BTreeSet<_> =
        free.iter().filter(|named| lists_goods(&named.text)).map(|named| of_column(named)).collect();
    for column in listing {
        let doors: Vec<&&Named> = free.iter().filter(|named| of_column(named) == column).collect();
        let Some(first) = doors.first() else { continue };
        let openings = doors.iter().map(|named| out.schedule.openings[named.opening].number.clone()).collect();
        out.schedule.findings.push(
            Finding {
                openings,
                ..Finding::new(
                    "goods-for-set",
                    Kind::Assumption,
                    Weight::Goods,
                    "the door schedule names goods where others name a set; doors that say the same got one set with these goods",
                )
            }
            .at(first.place.clone(), first.text.clone())
            .help("check the goods and their quantities, which such schedules rarely give"),
        );
        for named in doors {
            out.schedule.openings[named.opening].set = None;
            out.matrix.goods(named.opening, named.place.clone(), &named.text, named.column);
        }
    }
}

/// Doors that are as others one after the other, at most.
const MOST_IN_TURN: usize = 20;

/// Doors whose set cell says `SAME AS B-2` or `Sim. to 103`: the set of that id, or the set of that door, which may be as
/// another's itself, wherever it stands.
pub(crate) fn same(out: &mut Gathered) {
    // Nearly all cells hold an id and no words.
    let as_other = |set: &Option<String>| {
        set.as_deref().filter(|set| set.len() > 3 && set.contains(' ')).and_then(setheading::same_as)
    };
    let said: Vec<(usize, String)> =
        out.schedule.openings.iter().enumerate().filter_map(|(at, door)| Some((at, as_other(&door.set)?))).collect();
    above(out);
    if said.is_empty() {
        return;
    }
    let sets: BTreeMap<String, String> =
        out.schedule.sets.iter().rev().map(|set| (loose_id(&set.id), set.id.clone())).collect();
    let doors: BTreeMap<String, Option<String>> =
        out.schedule.openings.iter().rev().map(|door| (plain(&door.number), door.set.clone())).collect();
    for (at, first) in said {
        let mut id = first;
        let mut found = None;
        for _ in 0..MOST_IN_TURN {
            found = sets.get(&loose_id(&id)).cloned();
            let of_door = || doors.get(&plain(&id)).cloned().flatten();
            let Some(set) = found.clone().or_else(of_door) else { break };
            found = Some(set.clone());
            match setheading::same_as(&set) {
                Some(next) => (id, found) = (next, None),
                None => break,
            }
        }
        let found = found.unwrap_or(id);
        let door = &mut out.schedule.openings[at];
        let told = taken(door, found);
        out.schedule.findings.push(told);
    }
}

/// `DITTO` in the column of sets: the set of the door in the row above.
fn above(out: &mut Gathered) {
    let ditto = words::list("ditto");
    for at in 1..out.schedule.openings.len() {
        let (earlier, rest) = out.schedule.openings.split_at_mut(at);
        let Some(door) = rest.first_mut() else { continue };
        let figures = |set: &str| set.bytes().any(|byte| byte.is_ascii_digit());
        if !door.set.as_deref().is_some_and(|set| !figures(set) && ditto.is(&plain(set))) {
            continue;
        }
        let beside = |one: &&Opening| one.place.file == door.place.file && one.place.sheet == door.place.sheet;
        let Some(row) =
            earlier.iter().rev().take_while(beside).map(|one| one.place.row).find(|row| *row < door.place.row)
        else {
            continue;
        };
        // Doors of schedules side by side share a row: where they have different sets, nobody knows which one is meant.
        let mut above = earlier.iter().rev().take_while(beside).skip_while(|one| one.place.row != row);
        let mut above = above.by_ref().take_while(|one| one.place.row == row);
        let Some(before) = above.next() else { continue };
        let agreed = above.all(|one| one.set == before.set);
        let found = before.set.clone().filter(|set| agreed && before.excluded.is_none() && !ditto.is(&plain(set)));
        if let Some(found) = found {
            let told = taken(door, found);
            out.schedule.findings.push(told);
        }
    }
}

/// Gives a door the set of another, and says so.
fn taken(door: &mut Opening, found: String) -> Finding {
    let said = door.set.replace(found.clone()).unwrap_or_default();
    let says = format!("door {} has no set of its own, but \"{said}\"; set {found} was taken", door.number);
    let openings = vec![door.number.clone()];
    // `Same as 9 + coat hook` names goods that the set has not.
    let more = words::list("remark-hardware").find(&plain(&said)).is_some();
    let kind = if more { Kind::Question } else { Kind::Assumption };
    Finding { openings, set: Some(found), ..Finding::new("set-as-another", kind, Weight::Goods, says) }
        .at(door.place.clone(), said)
        .help("check that the door has this set as it is")
}
