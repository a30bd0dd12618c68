//! Headings that say many things, over the numbers of doors, their sizes and their rooms: what the cells below them say decides.

use std::collections::{BTreeMap, BTreeSet};

use crate::trade::room;

use super::bycells::runs_from_one;
use super::columns::{name_goods, share};
use super::headings::{self, Heard, Meaning as M};
use super::table::HeardColumn;
use crate::read::goods::{celllist, itemtext};
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
    goods_in_rows(out, sample);
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

/// `SET | DOOR NUMBERS | QTY | HARDWARE`, a good in every row: HARDWARE is what the goods are, QTY how many of them, and the
/// doors stand in the first row of each set alone or say the same over and over. Where every row has another door of its own,
/// QTY may count doors and HARDWARE be a remark.
fn goods_in_rows(out: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let at = |out: &[HeardColumn], of: &[Heard]| {
        out.iter().position(|(_, _, heard)| heard.as_ref().is_some_and(|(heard, _)| of.contains(heard)))
    };
    let one = Heard::One;
    let doors = at(out, &[one(M::DoorNumber), one(M::DoorsServed)]);
    let (Some(doors), Some(counts)) = (doors, at(out, &[one(M::Quantity)])) else { return };
    let named = [M::Description, M::Kind, M::CatalogNumber, M::Substitute].map(one);
    if at(out, &named).is_some() {
        return;
    }
    let cells = |at: usize| sample.get(&out[at].0).map_or(&[][..], Vec::as_slice);
    // `HDWR` may be said of the sets as well: of two such columns the last.
    let sets = out.iter().filter(|(_, _, heard)| matches!(heard, Some((Heard::One(M::Set), _)))).count();
    let goods = (0..out.len()).rev().find(|at| match &out[*at].2 {
        Some((Heard::SetOrDescription, _)) => true,
        Some((Heard::One(M::Set), _)) => sets > 1 && *at > counts,
        _ => false,
    });
    let Some(goods) = goods else { return };
    let tells = |cell: &&&Cell| celllist::tells_of_goods(&plain(&cell.text)) && celllist::items(&cell.text).is_none();
    let counted = |cell: &&Cell| cell.text.trim().len() <= 5 && itemtext::is_quantity(&plain(&cell.text));
    let (number, rows) = (cells(doors), cells(goods));
    let again = number.windows(2).filter(|pair| pair[0].text == pair[1].text).count();
    let beside = number.len() * 10 <= rows.len() * 7 || number.len() >= 4 && again * 3 >= number.len();
    if rows.len() >= 3
        && rows.iter().filter(tells).count() * 10 >= rows.len() * 8
        && cells(counts).len() * 10 >= rows.len() * 8
        && cells(counts).iter().all(counted)
        && !number.is_empty()
        && beside
    {
        let (_, heading, heard) = &mut out[goods];
        *heard = Some((one(M::Description), format!("heading \"{heading}\", over a good in every row")));
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
