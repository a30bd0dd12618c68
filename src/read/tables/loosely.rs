//! Headings that say many things, over the numbers of doors, their sizes and their rooms: what the cells below them say decides.

use std::collections::{BTreeMap, BTreeSet};

use crate::trade::room;

use super::bycells::runs_from_one;
use super::columns::{name_goods, share};
use super::headings::{self, Heard, Meaning as M};
use super::table::HeardColumn;
use crate::read::sheet::Cell;
use crate::read::words::{self, plain};

/// Headings that say many things, among those of doors: `KEY` or `ITEM` over their numbers, `DESCRIPTION` over the names of
/// their rooms, `DOOR OPENING` over their sizes, each where no other heading says that and the cells do.
pub(crate) fn named(out: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let one = Heard::One;
    let says = |out: &[HeardColumn], of: &[M]| {
        let is = |heard: &Heard| of.iter().any(|meaning| *heard == one(*meaning));
        out.iter().any(|(_, _, heard)| heard.as_ref().is_some_and(|(heard, _)| is(heard)))
    };
    let cells = |index: &usize| sample.get(index).map_or(&[][..], Vec::as_slice);
    let sizes = [M::Size, M::Width, M::LeafWidth];
    let numbers = |column: &&mut HeardColumn| matches!(column.2, Some((Heard::One(M::DoorNumber), _)));
    if !says(out, &sizes) && out.iter_mut().filter(|column| numbers(column)).count() > 1 {
        let sized = |index: &usize| {
            let crossed = cells(index).iter().all(|cell| cell.text.contains(['x', 'X']));
            crossed && share(sample.get(index), M::Size).is_some_and(|share| share >= 90)
        };
        if let Some((_, heading, heard)) = out.iter_mut().filter(numbers).find(|column| sized(&column.0)) {
            *heard = Some((one(M::Size), format!("heading \"{heading}\", over sizes")));
        }
    }
    let named = |out: &[HeardColumn]| says(out, &[M::Room, M::RoomTo, M::RoomNumber]);
    let loose = |list: &str, heading: &str| words::list(list).is(&headings::key(heading));
    if !says(out, &sizes) || says(out, &[M::Quantity, M::Count, M::Unit]) {
        return;
    }
    let numbered = out.iter().any(|(_, _, heard)| matches!(heard, Some((Heard::NumberOrQuantity, _))));
    if named(out)
        && !numbered
        && says(out, &[M::Set])
        && !says(out, &[M::DoorNumber])
        && let Some((index, heading, heard)) = out.first_mut().filter(|column| loose("loose-door-number", &column.1))
        && numbers_doors(cells(index))
    {
        *heard = Some((one(M::DoorNumber), format!("heading \"{heading}\", over one door number a row")));
    }
    if !named(out)
        && says(out, &[M::DoorNumber])
        && let Some((_, heading, heard)) = out.iter_mut().find(|column| {
            let uses = cells(&column.0).iter().filter(|cell| !room::uses(&cell.text).is_empty()).count();
            loose("loose-room", &column.1)
                && uses > 1
                && uses * 2 >= cells(&column.0).len()
                && !name_goods(sample.get(&column.0))
        })
    {
        *heard = Some((one(M::Room), format!("heading \"{heading}\", over the names of rooms")));
    }
}

/// Whether the cells are numbers of doors, each another: `101`, `1-104`, `A101B`. `D1` may be a type, and 1, 2, 3 count rows.
fn numbers_doors(cells: &[&Cell]) -> bool {
    let figures = |cell: &&Cell| {
        let count = cell.text.bytes().filter(u8::is_ascii_digit).count();
        count > 2 || count > 0 && cell.text.starts_with(|sign: char| sign.is_ascii_digit())
    };
    let distinct: BTreeSet<String> = cells.iter().map(|cell| plain(&cell.text)).collect();
    cells.len() > 1
        && cells.iter().all(figures)
        && distinct.len() == cells.len()
        && share(Some(&cells.to_vec()), M::DoorNumber).is_some_and(|share| share >= 90)
        && !runs_from_one(cells)
}
