//! The heading of a column over several rows, groups above and merges among them, and what it may mean.

use super::headings::{self, Heard, Meaning as M};
use super::headingwords;
use crate::read::sheet::{Merge, Sheet};
use crate::read::words;

/// The heading of a column: its texts from group to last row.
pub(crate) fn path(sheet: &Sheet, merges: &[Merge], band: (usize, usize), column: usize) -> Vec<String> {
    let mut path = Vec::new();
    for at in band.0..=band.1 {
        let row = &sheet.rows[at];
        if let Some(cell) = row.cell(column) {
            path.push(cell.text.clone());
            continue;
        }
        let merged = merges.iter().find(|merge| {
            (merge.rows.0..=merge.rows.1).contains(&row.number) && (merge.columns.0..=merge.columns.1).contains(&column)
        });
        if let Some(merge) = merged {
            if merge.rows.0 == row.number
                && let Some(cell) = row.cell(merge.columns.0)
            {
                path.push(cell.text.clone());
            }
            continue;
        }
        // Without merges a group spans the columns up to the next group, as long as they have headings below it.
        if at < band.1
            && sheet.rows[at + 1..=band.1].iter().any(|below| below.cell(column).is_some())
            && let Some(group) = row.cells.iter().rev().find(|cell| cell.column < column)
            && !parted_above(sheet, merges, (band.0, at), (group.column, column))
            && sheet.rows[at + 1..=band.1].iter().any(|below| below.cell(group.column).is_some())
            && !merges
                .iter()
                .any(|merge| (merge.rows.0..=merge.rows.1).contains(&row.number) && merge.columns.0 == group.column)
        {
            path.push(group.text.clone());
        }
    }
    path
}

/// Whether another group of a row above begins between a group and a column: `FRAME > DETAIL` does not reach below `HDWR`. Nor
/// does it pass a cell that is merged down over its own row.
fn parted_above(sheet: &Sheet, merges: &[Merge], rows: (usize, usize), columns: (usize, usize)) -> bool {
    let between = |column: usize| columns.0 < column && column <= columns.1;
    let row = sheet.rows[rows.1].number;
    let down = |merge: &Merge| (merge.rows.0..=merge.rows.1).contains(&row) && between(merge.columns.0);
    sheet.rows[rows.0..rows.1].iter().any(|above| above.cells.iter().any(|cell| between(cell.column)))
        || merges.iter().any(down)
}

/// Signs that part what headings have in common from what each says: `Hardware - Quantity`, `Door: Width`.
const PARTING: [&str; 6] = [" - ", " \u{2013} ", " \u{2014} ", ": ", " > ", "_"];

/// So many headings have their first words in common, or they are part of each.
const COMMON: usize = 3;

/// Parts what most headings of a table begin with from the rest of them, as if it stood above: `Hardware - Quantity`,
/// `Hardware - Finish`. A heading that is known as a whole stays whole.
pub(crate) fn part_common(paths: &mut [Vec<String>]) {
    let parted: Vec<Option<(&str, &str)>> = paths.iter().map(|path| parted(path)).collect();
    let common = |of: &str| parted.iter().flatten().filter(|(first, _)| first.eq_ignore_ascii_case(of)).count();
    let split: Vec<Option<Vec<String>>> = parted
        .iter()
        .map(|parted| {
            let (first, rest) = parted.filter(|(first, _)| common(first) >= COMMON)?;
            let known = headings::exact(&headings::key(rest)).is_some();
            known.then(|| vec![first.to_string(), rest.to_string()])
        })
        .collect();
    for (path, split) in paths.iter_mut().zip(split) {
        *path = split.unwrap_or_else(|| std::mem::take(path));
    }
}

/// The first words of a heading that is not known as a whole, and the rest.
fn parted(path: &[String]) -> Option<(&str, &str)> {
    let [whole] = path else { return None };
    let by_sign = || PARTING.iter().find_map(|sign| whole.split_once(sign));
    // `HDW QTY`, `HDW FINISH` need no sign.
    let hardware = |word: &str| {
        let key = headings::key(word);
        headingwords::spelled_out(&key).is_some_and(|spelled| words::list("heading-hardware").is(&spelled))
            || words::list("heading-hardware").is(&key)
    };
    let by_word = || whole.split_once(' ').filter(|(first, _)| hardware(first));
    let (first, rest) = by_sign().or_else(by_word)?;
    let whole_known = || headings::exact(&headings::whole_key(whole)).is_some();
    (!first.trim().is_empty() && !rest.trim().is_empty() && !whole_known()).then(|| (first.trim(), rest.trim()))
}

/// Why a column is not used that says what is done with a part of the door.
pub(crate) const STATE: &str = "what is done with it";

/// What a column may mean by its heading.
pub(crate) fn hear(path: &[String]) -> Option<(Heard, String)> {
    let keys: Vec<String> = path.iter().map(|text| headings::key(text)).filter(|key| !key.is_empty()).collect();
    let last = keys.last()?;
    // `LATCHING KEY` explains the codes of a column, it is none.
    if last.rsplit_once(' ').is_some_and(|(_, word)| words::list("heading-key").is(word)) {
        return Some((Heard::One(M::Other), format!("heading \"{last}\"")));
    }
    if keys.len() == 1 {
        return headings::near(last);
    }
    let group = keys[..keys.len() - 1].join(" ");
    // `EXIST. | NEW` under DOOR, `REUSE | REPLACE` under HARDWARE: what is done with it.
    if words::list("state-of-part").is(last) {
        return Some((Heard::One(M::Other), format!("\"{last}\" under \"{group}\": {STATE}")));
    }
    let has = |list: &str| group.split(' ').any(|found| words::list(list).is(found));
    if has("heading-not-of-leaf") {
        return Some((Heard::One(M::Other), format!("\"{last}\" under \"{group}\"")));
    }
    let joined = keys.join(" ");
    let turned = format!("{last} {group}");
    for key in [&joined, &turned] {
        if let Some(heard) = headings::exact(key) {
            return Some((heard, format!("heading \"{joined}\"")));
        }
    }
    let own = headings::near(last);
    // `HANGING` over `Type` and `Qty`: the codes of one kind of goods.
    let kind = headings::exact(&group) == Some(Heard::One(M::Kind)) || words::list("section").is(&group);
    if kind && words::list("heading-of-codes").is(last) {
        return Some((Heard::One(M::Kind), format!("\"{last}\" under \"{group}\"")));
    }
    let frame = has("heading-frame") && !has("heading-door");
    let door = has("heading-door") || has("heading-leaf");
    let hardware = has("words-for-hardware");
    let placed = match own.as_ref().map(|(heard, _)| *heard) {
        Some(Heard::Material) if frame => Some(M::FrameMaterial),
        Some(Heard::Material) if door => Some(M::DoorMaterial),
        Some(Heard::Type) if frame => Some(M::FrameType),
        Some(Heard::Type) if door => Some(M::DoorType),
        Some(Heard::One(M::Finish)) if frame => Some(M::FrameFinish),
        Some(Heard::One(M::Finish)) if door => Some(M::DoorFinish),
        Some(Heard::One(M::Rating)) if frame => Some(M::FrameRating),
        Some(Heard::One(M::Width | M::Height | M::Size | M::Thickness)) if frame => Some(M::Other),
        Some(Heard::NumberOrQuantity) if hardware => Some(M::Set),
        Some(Heard::NumberOrQuantity) if door => Some(M::DoorNumber),
        Some(Heard::One(meaning)) => Some(meaning),
        Some(other) => return Some((other, format!("\"{last}\" under \"{group}\""))),
        None => match headings::exact(&group) {
            Some(Heard::One(meaning)) => Some(meaning),
            _ => None,
        },
    };
    placed.map(|meaning| (Heard::One(meaning), format!("\"{last}\" under \"{group}\"")))
}
