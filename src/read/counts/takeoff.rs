//! Takeoffs: doors or types of doors down, floors or buildings across, whole numbers under them and perhaps their total.
//! Each row stands for as many doors as the columns add up to.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};

use super::dwellings::{self, Dwellings};
use crate::read::openings::doors::{Reader, whole_count};
use crate::read::sheet::{Cell, CellKind, Row};
use crate::read::tables::columns::name_goods;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{Column, Doubt, HeardColumn, Table};
use crate::read::words::{self, plain};

/// Why a column is passed over that sums others up.
const SUMS: &str = "sums up the counts beside it";

/// What the columns of a takeoff are, once their cells say that it is one; `below` is the row below the headings.
pub(crate) fn across(
    heard: Vec<HeardColumn>,
    sample: &BTreeMap<usize, Vec<&Cell>>,
    below: Option<&Row>,
) -> (Vec<HeardColumn>, Dwellings) {
    let kinds = dwellings::find(&heard, sample, below).filter(|(own, _)| counts_doors(&heard, sample, own));
    let Some((own, kinds)) = kinds else {
        return match parts(&heard, sample) {
            Some((own, total)) => (counted(heard, &own, total), Dwellings::default()),
            None => (by_rooms(heard, sample), Dwellings::default()),
        };
    };
    let total = (own.len()..heard.len()).find(|at| !own.contains(at) && is_total(&heard[*at], sample));
    // What a total says needs no count of dwellings.
    if kinds.open && total.is_some() {
        return (heard, Dwellings::default());
    }
    (counted(heard, &own, total), kinds)
}

/// The columns with those that count doors, and the one that sums them up.
fn counted(heard: Vec<HeardColumn>, parts: &[usize], total: Option<usize>) -> Vec<HeardColumn> {
    let has = |meaning: M| {
        heard.iter().any(|(_, _, heard)| matches!(heard, Some((found, _)) if *found == Heard::One(meaning)))
    };
    let no_room = !has(M::Room);
    let one = |meaning: M, why: String| Some((Heard::One(meaning), why));
    let all = heard.into_iter().enumerate().map(|(at, (index, heading, heard))| {
        let heard = match &heard {
            _ if parts.contains(&at) => {
                one(M::CountPart, format!("whole numbers under \"{heading}\": doors of a part"))
            }
            _ if total == Some(at) => one(M::Other, format!("heading \"{heading}\"; {SUMS}")),
            Some((Heard::Type, why)) => one(M::DoorType, why.clone()),
            Some((Heard::One(M::Description), why)) => one(if no_room { M::Room } else { M::Remarks }, why.clone()),
            _ => heard,
        };
        (index, heading, heard)
    });
    all.collect()
}

/// `DOORS PER ROOM | NO. OF ROOMS | TOTAL DOORS` beside doors of kinds of rooms: the doors are one times the other, and their
/// letters come again in every kind of room.
fn by_rooms(heard: Vec<HeardColumn>, sample: &BTreeMap<usize, Vec<&Cell>>) -> Vec<HeardColumn> {
    let is = |at: usize, used: &str| {
        let (index, heading, _) = &heard[at];
        let cells = sample.get(index).filter(|cells| !cells.is_empty());
        let whole = |cell: &&Cell| is_count(&cell.text) || cell.kind == CellKind::Formula;
        words::list(used).is(&headings::key(heading)) && cells.is_some_and(|cells| cells.iter().all(whole))
    };
    let find = |used: &str| (0..heard.len()).find(|at| is(*at, used));
    let (rooms, each, total) = (find("count-rooms"), find("count-each"), find("count-total"));
    let goods = heard.iter().any(|(index, _, heard)| {
        matches!(heard, Some((Heard::One(M::Description) | Heard::SetOrDescription, _)))
            && name_goods(sample.get(index))
    });
    let (Some(rooms), false) = (rooms, goods) else { return heard };
    // Numbers that tell each door from the others are no letters of types; what one of them has that is no door, a key or
    // a floor, may stand before a total too.
    let numbers = heard.iter().find(|(_, _, heard)| matches!(heard, Some((Heard::One(M::DoorNumber), _))));
    let numbered = numbers.and_then(|(index, ..)| sample.get(index)).is_some_and(|cells| {
        let distinct: BTreeSet<&str> = cells.iter().map(|cell| cell.text.as_str()).collect();
        let figure = |text: &&str| text.bytes().any(|byte| byte.is_ascii_digit());
        distinct.len() == cells.len() && distinct.iter().all(figure)
    });
    if each.is_none() && (total.is_none() || numbered) {
        return heard;
    }
    let one = |meaning: M, why: String| Some((Heard::One(meaning), why));
    let all = heard.into_iter().enumerate().map(|(at, (index, heading, heard))| {
        let heard = match &heard {
            _ if at == rooms || each == Some(at) => {
                one(M::CountFactor, format!("heading \"{heading}\": times the others"))
            }
            _ if total == Some(at) => one(M::Other, format!("heading \"{heading}\"; {SUMS}")),
            Some((Heard::One(M::DoorNumber) | Heard::NumberOrQuantity | Heard::Type, why)) => {
                one(M::DoorType, why.clone())
            }
            _ => heard,
        };
        (index, heading, heard)
    });
    all.collect()
}

/// Whether a table that may count doors beside their facts lists neither goods nor counts of its own.
fn counts_doors(heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>, parts: &[usize]) -> bool {
    let beside = || heard.iter().enumerate().filter(|(at, _)| !parts.contains(at)).map(|(_, column)| column);
    let any = |of: &[Heard]| beside().any(|(_, _, heard)| matches!(heard, Some((found, _)) if of.contains(found)));
    let one = Heard::One;
    let names = [one(M::DoorNumber), one(M::DoorType), Heard::Type, Heard::NumberOrQuantity, one(M::Room)];
    let facts = [one(M::Size), one(M::Width), one(M::LeafWidth), one(M::Set)];
    let goods = beside().any(|(index, _, heard)| {
        matches!(heard, Some((Heard::One(M::Description | M::CatalogNumber) | Heard::SetOrDescription, _)))
            && name_goods(sample.get(index))
    });
    any(&names) && any(&facts) && !goods && !any(&[one(M::Quantity), one(M::Count), one(M::Unit), one(M::Price)])
}

/// Whether a column sums others up: it says so, over whole numbers.
fn is_total((index, heading, _): &HeardColumn, sample: &BTreeMap<usize, Vec<&Cell>>) -> bool {
    let cells = sample.get(index).map_or(&[][..], Vec::as_slice);
    words::list("count-total").is(&headings::key(heading)) && !cells.is_empty() && cells.iter().all(is_whole)
}

/// A count; a formula without a value sums something up.
fn is_whole(cell: &&Cell) -> bool {
    is_count(&cell.text) || cell.kind == CellKind::Formula
}

/// The columns that count doors by floor or building, and the one that sums them up.
fn parts(heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) -> Option<(Vec<usize>, Option<usize>)> {
    if !counts_doors(heard, sample, &[]) {
        return None;
    }
    let cells = |at: usize| sample.get(&heard[at].0).map_or(&[][..], Vec::as_slice);
    let counts = |at: usize| cells(at).iter().all(is_whole);
    // `BUILDING` alone heads where a door is, `LEVEL 1` what is counted there.
    let level = |at: usize| matches!(heard[at].2, Some((Heard::One(M::Level), _))) && names_part(&heard[at].1);
    let open = |at: usize| {
        level(at)
            || matches!(heard[at].2, None | Some((Heard::One(M::Other | M::Foreign | M::Room | M::RoomNumber), _)))
    };
    let total = (0..heard.len()).find(|at| is_total(&heard[*at], sample));
    let end = total.or_else(|| (0..heard.len()).rev().find(|at| level(*at) && counts(*at)).map(|at| at + 1))?;
    let start = (0..end).rev().take_while(|at| open(*at) && counts(*at)).last()?;
    let sum = |of: std::ops::Range<usize>| -> u64 {
        of.flat_map(cells).filter_map(|cell| whole_count(&cell.text)).map(u64::from).sum()
    };
    // What the total says tells where its parts begin; a total without a value leaves that to the headings.
    let begins = match total.filter(|at| cells(*at).iter().all(|cell| is_count(&cell.text))) {
        // Where no columns add up to it, only those are parts that say so.
        Some(at) => {
            let fits = (start..end).find(|first| sum(*first..end) == sum(at..at + 1));
            Some(fits.or_else(|| (start..end).rev().take_while(|at| level(*at)).last())?)
        }
        None => None,
    };
    let begins = begins.or_else(|| (start..end).rev().take_while(|at| total.is_some() || level(*at)).last())?;
    let found: Vec<usize> = (begins..end).collect();
    let sure = found.iter().filter(|at| level(**at)).count() >= 2 || total.is_some() && sum(begins..end) > 0;
    (found.len() >= 2 && sure).then_some((found, total))
}

/// `LEVEL 1`, `2ND FLR`, `BLDG A`: a heading that names one floor or building among several.
fn names_part(heading: &str) -> bool {
    !words::list("parts-of-place").is(&headings::key(heading))
}

/// `12`, `-`: a count or none.
fn is_count(text: &str) -> bool {
    let text = text.trim();
    text.len() <= 4 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-')
}

/// Tells that the columns of a table count its doors.
pub(crate) fn tell(table: &mut Table) {
    let parts: Vec<_> = table.columns.iter().filter(|column| column.meaning == M::CountPart).collect();
    let Some(first) = parts.first().map(|column| column.index) else { return };
    let each = |column: &&Column| table.dwellings.named(column.index, &column.heading);
    let named = parts.iter().map(each).collect::<Vec<_>>().join(", ");
    let says = format!("the columns {named} count doors; each row stands for as many as they add up to");
    let unsaid = dwellings::unsaid(table);
    table.doubts.push(Doubt { code: "counted-across", column: first, says });
    table.doubts.extend(unsaid.map(|says| Doubt { code: "dwellings-not-counted", column: first, says }));
}

/// How many doors a row stands for by its factors: doors of a room, rooms; a total goes before them where one is missing.
fn product(reader: &Reader<'_>, number: &str, findings: &mut Vec<Finding>) -> u32 {
    let columns = || reader.table.columns.iter();
    let cells = |of: M| columns().filter(move |column| column.meaning == of);
    let factors: Vec<Option<u32>> =
        cells(M::CountFactor).map(|column| whole_count(&reader.row.cell(column.index)?.text)).collect();
    let total = cells(M::Other)
        .find(|column| column.why.ends_with(SUMS))
        .and_then(|column| whole_count(&reader.row.cell(column.index)?.text));
    let whole = factors.iter().copied().collect::<Option<Vec<u32>>>();
    let times = whole.map(|all| all.into_iter().fold(1_u32, u32::saturating_mul)).filter(|count| *count > 0);
    let counted = match (times, total.filter(|total| *total > 0)) {
        // One factor says nothing of what the other is.
        (Some(_) | None, Some(total)) if factors.len() == 1 => total,
        (Some(times), _) => times,
        (None, Some(total)) => total,
        (None, None) => 1,
    };
    let says = match (times, total) {
        (Some(times), Some(total)) if factors.len() > 1 && times != total => {
            Some(("total-disagrees", format!("the total of doors {number} says {total}, but its row makes {times}")))
        }
        (None, None | Some(0)) => {
            Some(("count-not-read", format!("nothing tells how many doors {number} there are; one was counted")))
        }
        _ => None,
    };
    if let Some((code, says)) = says {
        let finding = Finding {
            openings: vec![number.to_string()],
            priced_as: format!("{counted} doors"),
            ..Finding::new(code, Kind::Question, Weight::Goods, says)
        };
        let finding = finding.at(reader.sheet.place(reader.row.number), reader.row.joined());
        findings.push(finding.help("ask how many such doors there are, and write the number"));
    }
    counted.min(crate::read::openings::doors::MOST_ALIKE)
}

/// How many doors a row of a takeoff stands for; `None` in other tables.
pub(crate) fn count(reader: &Reader<'_>, number: &str, findings: &mut Vec<Finding>) -> Option<u32> {
    let columns = || reader.table.columns.iter();
    if reader.table.has(M::CountFactor) {
        return Some(product(reader, number, findings));
    }
    let parts: Vec<&Cell> = columns()
        .filter(|column| column.meaning == M::CountPart)
        .filter_map(|column| reader.row.cell(column.index).filter(|cell| !cell.struck))
        .collect();
    columns().find(|column| column.meaning == M::CountPart)?;
    let times = |cell: &Cell| reader.table.dwellings.times(cell.column);
    let count = |cell: &&Cell| Some(whole_count(&cell.text)?.saturating_mul(times(cell)));
    let counts: Vec<Option<u32>> = parts.iter().map(count).collect();
    let sum = counts.iter().flatten().fold(0_u32, |sum, count| sum.saturating_add(*count));
    let total = columns()
        .find(|column| column.meaning == M::Other && column.why.ends_with(SUMS))
        .and_then(|column| whole_count(&reader.row.cell(column.index)?.text));
    let unread = parts
        .iter()
        .zip(&counts)
        .find(|(cell, count)| count.is_none() && !plain(&cell.text).trim_matches('-').is_empty());
    let counted = if sum > 0 { sum } else { total.filter(|total| *total > 0).unwrap_or(1) };
    let mut ask = |code: &'static str, says: String| {
        let finding = Finding {
            openings: vec![number.to_string()],
            priced_as: format!("{counted} doors"),
            ..Finding::new(code, Kind::Question, Weight::Goods, says)
        };
        let finding = finding.at(reader.sheet.place(reader.row.number), reader.row.joined());
        findings.push(finding.help("ask how many such doors there are, and write the number"));
    };
    if let Some((cell, _)) = unread {
        ask("count-not-read", format!("\"{}\" is no count of doors {number}; it was left out of their sum", cell.text));
    } else if sum == 0 && total.is_none_or(|total| total == 0) {
        ask("count-not-read", format!("no column counts doors {number}; one was counted"));
    }
    if let Some(total) = total.filter(|total| sum > 0 && *total != sum) {
        ask("total-disagrees", format!("the total of doors {number} says {total}, but its row adds up to {sum}"));
    }
    Some(counted.min(crate::read::openings::doors::MOST_ALIKE))
}
