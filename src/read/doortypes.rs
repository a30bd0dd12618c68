//! Schedules of types of doors, `DOOR TYPE | DESCRIPTION | COUNT | WIDTH | HEIGHT`: what is described there are doors, no goods.

use std::collections::BTreeMap;

use super::headings::{Heard, Meaning as M};
use super::sheet::Cell;
use super::table::HeardColumn;
use super::words::{self, plain};

/// Hears DESCRIPTION beside types of doors with their sizes as the name of the type, where it names no goods.
pub(super) fn described(heard: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let says = |meanings: &[M]| {
        heard.iter().any(|(_, _, heard)| matches!(heard, Some((Heard::One(meaning), _)) if meanings.contains(meaning)))
    };
    let sized = says(&[M::Size]) || says(&[M::Width]) && says(&[M::Height]);
    if !sized || !says(&[M::DoorType]) || says(&[M::DoorNumber, M::Room, M::Maker, M::CatalogNumber, M::Unit]) {
        return;
    }
    let goods = |cell: &&Cell| words::list("goods").find(&plain(&cell.text)).is_some();
    for (column, _, heard) in heard.iter_mut() {
        let Some((meaning, why)) = heard.as_mut().filter(|(heard, _)| *heard == Heard::One(M::Description)) else {
            continue;
        };
        let named = sample.get(column).is_some_and(|cells| cells.iter().any(goods));
        if !named {
            *meaning = Heard::One(M::Room);
            why.push_str(", beside types of doors and their sizes");
        }
    }
}
