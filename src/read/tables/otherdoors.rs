//! Headings that say `DOOR` over cells that number no doors: materials, types, or a second block of doors.

use std::collections::BTreeMap;

use super::columns::share;
use super::headings::{Heard, Meaning as M};
use super::table::HeardColumn;
use crate::read::sheet::Cell;

/// `DOOR` over WD, HM, AL is the material of the door, whatever stands beside it.
pub(crate) fn material_not_number(
    heard: Option<(Heard, String)>,
    cells: Option<&Vec<&Cell>>,
) -> Option<(Heard, String)> {
    let (Heard::One(M::DoorNumber), why) = heard.as_ref()? else { return heard };
    let few = |meaning: M| share(cells, meaning).is_some_and(|share| share < 30);
    let most = |meaning: M| share(cells, meaning).is_some_and(|share| share > 70);
    if most(M::DoorMaterial) && few(M::DoorNumber) {
        return Some((Heard::Material, format!("{why}, over cells that are materials")));
    }
    heard
}

/// `DOOR` once more, over cells none of which is a number as those under the first are: what the doors are made of, or their
/// types.
pub(crate) fn other_doors(heard: &mut [HeardColumn], below: &BTreeMap<usize, Vec<&Cell>>) {
    let of_doors = |heard: &HeardColumn| matches!(heard.2, Some((Heard::One(M::DoorNumber), _)));
    let numbers = |column: usize| share(below.get(&column), M::DoorNumber);
    let mut columns = heard.iter().filter(|heard| of_doors(heard)).map(|heard| heard.0);
    let first =
        columns.next().filter(|first| columns.next().is_some() && numbers(*first).is_some_and(|share| share > 70));
    let Some(first) = first else { return };
    // The same headings once more behind it: a second block of doors.
    let again = |column: usize| {
        let of = |heard: &HeardColumn| heard.2.as_ref().map(|(heard, _)| *heard);
        let behind = |from: usize| heard.iter().find(|heard| heard.0 > from && of(heard).is_some()).and_then(of);
        let next = behind(column);
        next.is_some() && next == behind(first) && next != Some(Heard::One(M::DoorNumber))
    };
    let blocks: Vec<usize> = heard.iter().map(|heard| heard.0).filter(|column| again(*column)).collect();
    let is_fact = |heard: &&mut HeardColumn| heard.0 > first && of_doors(heard) && !blocks.contains(&heard.0);
    for (column, _, heard) in heard.iter_mut().filter(is_fact) {
        let Some((meaning, why)) = heard.as_mut().filter(|_| numbers(*column) == Some(0)) else { continue };
        let material = share(below.get(column), M::DoorMaterial).is_some_and(|share| share > 0);
        *meaning = if material { Heard::Material } else { Heard::One(M::DoorType) };
        why.push_str(", over cells that number no doors");
    }
}
