//! Schedules of types of doors, `DOOR TYPE | DESCRIPTION | COUNT | WIDTH | HEIGHT`: what is described there are doors, no goods.

use std::collections::BTreeMap;

use crate::trade::room;

use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::sheet::Cell;
use crate::read::tables::headings::{Heard, Meaning as M};
use crate::read::tables::kinds;
use crate::read::tables::table::HeardColumn;
use crate::read::words::{self, plain};

/// Hears DESCRIPTION beside types of doors with their sizes as the name of the type, and beside doors or rooms with sizes and
/// sets as that of the room, where it names no goods.
pub(crate) fn described(heard: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let says = |meanings: &[M]| {
        heard.iter().any(|(_, _, heard)| matches!(heard, Some((Heard::One(meaning), _)) if meanings.contains(meaning)))
    };
    let sized = says(&[M::Size]) || says(&[M::Width]) && says(&[M::Height]);
    let says_number = says(&[M::DoorNumber]);
    let of_items = says(&[M::Maker, M::CatalogNumber, M::Unit]);
    let of_types = says(&[M::DoorType]) && !says(&[M::DoorNumber, M::Room]);
    // `OPNG | DESCRIPTION | SIZE | SET` and `ROOM TYPE | DESCRIPTION | NO. OF ROOMS | SIZE | SET`: what the rooms are.
    let of_rooms = says(&[M::Set])
        && match says_number {
            true => !says(&[M::Room]),
            false => says(&[M::Room]) && !says(&[M::Quantity, M::Finish]),
        };
    if !sized || of_items || !of_types && !of_rooms || of_rooms && kinds::is_assets(heard).is_some() {
        return;
    }
    let goods = |cell: &&Cell| {
        let folded = plain(&cell.text);
        let of_door = || of_rooms && words::list("doors").find(&folded).is_some();
        words::list("goods").find(&folded).is_some() || starts_with_quantity(&folded) || of_door()
    };
    for (column, _, heard) in heard.iter_mut() {
        let Some((meaning, why)) = heard.as_mut().filter(|(heard, _)| *heard == Heard::One(M::Description)) else {
            continue;
        };
        let cells = sample.get(column).map_or(&[][..], Vec::as_slice);
        // `FLUSH WOOD`, `Double flush` beside numbers of doors describe these.
        let of_numbers = says_number && {
            let rooms = cells.iter().filter(|cell| !room::uses(&cell.text).is_empty()).count();
            rooms * 2 < cells.len()
        };
        if !cells.iter().any(goods) && !of_numbers {
            *meaning = Heard::One(M::Room);
            why.push_str(", beside doors and their sizes");
        }
    }
}
