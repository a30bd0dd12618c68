//! What each column of a table means, by its heading, its neighbours and its cells; and what that makes of the table.

use std::collections::BTreeMap;

use crate::place::column_index;
use crate::terms::ReadTerms;
use crate::trade::rating::Rating;

use super::headings::{self, Heard, Meaning as M};
use super::table::{Column, HeardColumn, Holds, Table};
use super::{bycells, kinds, settled, twotongues};
use crate::read::goods::{celllist, dooritems, listbeside};
use crate::read::grids::matrixcells;
use crate::read::openings::{doorlist, doors};
use crate::read::sheet::{Cell, CellKind};
use crate::read::sizes::{leaves, size};
use crate::read::words::{self, plain};

/// Why a column was passed over whose heading says nothing.
pub(crate) const UNKNOWN: &str = "heading not known";

/// Why a column was passed over whose heading says what another's says.
pub(crate) const TAKEN: &str = "; that meaning is taken by a column before it";

/// Why a table is passed over that is of no kind known.
pub(crate) const NEITHER: &str = "neither door numbers with facts about doors nor items with quantities";

/// Why a column or a table is what the job file says.
pub(crate) const FROM_JOB_FILE: &str = "the job file says so";

/// Whether a cell looks like a meaning; `None` for meanings that anything may look like.
pub(crate) fn looks(meaning: M, text: &str) -> Option<bool> {
    let plain = plain(text);
    Some(match meaning {
        M::DoorNumber => doorlist::looks_like(text),
        M::Set => plain.len() <= 14 && plain.split(' ').count() <= 3,
        M::Size => size::parse_size(text).is_some(),
        M::Width | M::LeafWidth | M::SecondWidth => {
            size::parse_length(text, size::Axis::Width)
                .and_then(|length| size::settle(length, size::Axis::Width))
                .is_some()
                || size::parse_two_widths(text).is_some()
                || leaves::counted_width(text).is_some()
        }
        M::Height => size::parse_length(text, size::Axis::Height)
            .and_then(|length| size::settle(length, size::Axis::Height))
            .is_some(),
        M::Thickness => size::parse_length(text, size::Axis::Thickness).is_some(),
        M::DoorMaterial | M::FrameMaterial => words::leaf_material(text).is_some(),
        M::Rating | M::FrameRating => Rating::looks_like(text),
        M::Hand => doors::hand(text).is_some(),
        M::Quantity | M::Count => {
            plain.starts_with(|letter: char| letter.is_ascii_digit() || letter == '(') && plain.len() <= 12
        }
        M::Unit => is_unit(&plain),
        _ => return None,
    })
}

/// Units of a unit column.
pub(crate) fn is_unit(plain: &str) -> bool {
    is_one_unit(plain) || twotongues::unit(plain, is_one_unit)
}

fn is_one_unit(plain: &str) -> bool {
    let one = plain.trim_end_matches(['.', 'S']);
    !plain.is_empty() && (one.is_empty() || words::list("unit-of-a-column").is(one))
}

/// The share of cells that look like a meaning, in percent.
pub(crate) fn share(cells: Option<&Vec<&Cell>>, meaning: M) -> Option<usize> {
    let cells = cells.filter(|cells| !cells.is_empty())?;
    let mut looked = 0;
    for cell in cells {
        if looks(meaning, &cell.text)? || matches!(cell.kind, CellKind::Date(_)) {
            looked += 1;
        }
    }
    Some(looked * 100 / cells.len())
}

pub(crate) fn table(
    heard: &[HeardColumn],
    lane: (usize, usize),
    band: (usize, usize),
    sample: &BTreeMap<usize, Vec<&Cell>>,
    terms: Option<&ReadTerms>,
) -> Table {
    let named = matrixcells::goods_heard(heard, sample);
    let heard = named.as_deref().unwrap_or(heard);
    let says = |meaning: M| {
        heard.iter().any(|(_, _, heard)| heard.as_ref().is_some_and(|(heard, _)| *heard == Heard::One(meaning)))
    };
    let goods = says(M::Description) || says(M::CatalogNumber);
    // `NO | QTY | SIZE | MATERIAL | SET`: doors.
    let numbered = !goods && kinds::numbers_doors(heard);
    let items = goods && (says(M::Quantity) || says(M::Unit) || says(M::Maker) || says(M::Finish) || says(M::Set))
        || says(M::Quantity) && !says(M::DoorNumber) && !numbered;
    let items_counted = [M::Quantity, M::Unit, M::Maker, M::Finish, M::CatalogNumber].into_iter().any(says);
    let matrix = (!says(M::Set) || !says(M::DoorNumber) && !goods && !says(M::Quantity))
        && heard.iter().filter(|(_, _, heard)| is_kind(heard)).count() >= 3;
    let assets = kinds::is_assets(heard);
    // In a list of sets what a set is used for is its title.
    let of_sets = says(M::Set)
        && !says(M::DoorNumber)
        && !says(M::SetTitle)
        && heard.iter().any(|(index, _, heard)| names_items(heard) && name_goods(sample.get(index)));
    let (all, mut columns): (_, Vec<Column>) = (heard, Vec::new());
    for (index, heading, heard) in heard {
        let (meaning, why) = match heard {
            None => (M::Other, UNKNOWN.to_string()),
            Some((heard, why)) => {
                let taken = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
                let cells = sample.get(index);
                let meaning = match heard {
                    Heard::One(M::Finish) if !items && !taken(M::DoorFinish) => M::DoorFinish,
                    Heard::One(M::Finish) if !items => M::FrameFinish,
                    Heard::One(M::DoorFinish | M::FrameFinish) if items && !says(M::DoorNumber) => M::Finish,
                    Heard::One(M::Room)
                        if assets.is_some() && words::list("asset-name").is(&headings::key(heading)) =>
                    {
                        if assets == Some(Holds::Types) {
                            M::DoorType
                        } else if says(M::DoorNumber) {
                            M::Other
                        } else {
                            M::DoorNumber
                        }
                    }
                    Heard::One(M::Room) if of_sets => M::SetTitle,
                    // `EXT.` behind the quantities of goods is their product with a price or a count.
                    Heard::One(M::Exterior) if items && !says(M::DoorNumber) => M::Other,
                    Heard::Type if assets == Some(Holds::Types) => M::Other,
                    Heard::Type if assets.is_some() => M::DoorType,
                    Heard::One(M::Description) if assets.is_some() => M::Remarks,
                    // `SET | DESCRIPTION | OPENINGS` without goods: what each set is for.
                    Heard::One(M::Description)
                        if says(M::Set) && says(M::DoorsServed) && !items_counted && !name_goods(cells) =>
                    {
                        M::SetTitle
                    }
                    // Beside lists of all goods of a set: what the set is for.
                    Heard::One(M::Description)
                        if says(M::Set) && !says(M::SetTitle) && celllist::beside_lists(*index, all, sample) =>
                    {
                        M::SetTitle
                    }
                    // ITEM 1, 2, 3: a running number, no goods.
                    Heard::One(M::Description) if cells.is_some_and(|cells| runs(cells)) => M::Other,
                    Heard::Material if assets.is_some() && !taken(M::DoorMaterial) => M::DoorMaterial,
                    // The measure of the goods of a row is part of its words.
                    Heard::One(M::Size | M::Width | M::Height | M::Thickness)
                        if items && assets.is_none() && !says(M::DoorNumber) && !of_doors(heading) =>
                    {
                        columns.push(Column {
                            index: *index,
                            heading: heading.clone(),
                            meaning: M::Other,
                            why: "a measure of the goods: part of their words".into(),
                        });
                        continue;
                    }
                    Heard::One(meaning) => *meaning,
                    // `ITEM NO.` over H-100, L-201: what the goods are called.
                    Heard::NumberOrQuantity if items && share(cells, M::Quantity) == Some(0) && says(M::Price) => {
                        M::CatalogNumber
                    }
                    Heard::NumberOrQuantity if items && !says(M::Quantity) => M::Quantity,
                    // NUMBER beside quantities and words of goods: the maker's.
                    Heard::NumberOrQuantity
                        if items && says(M::Description) && !says(M::CatalogNumber) && bycells::lettered(cells) =>
                    {
                        M::CatalogNumber
                    }
                    Heard::NumberOrQuantity if items || says(M::DoorNumber) => M::Other,
                    Heard::NumberOrQuantity => M::DoorNumber,
                    Heard::SetOrDescription if items && !says(M::Description) => M::Description,
                    // A set a row, with all its goods in one cell.
                    Heard::SetOrDescription if says(M::Set) && !says(M::DoorNumber) && name_goods(cells) => {
                        M::Description
                    }
                    // `CODE | HARDWARE`: what codes stand for.
                    Heard::SetOrDescription
                        if says(M::Code) && !says(M::DoorNumber) && !says(M::Set) && name_goods(cells) =>
                    {
                        M::Description
                    }
                    // Beside the ids of sets, what is in them.
                    Heard::SetOrDescription if says(M::DoorNumber) && says(M::Set) && listbeside::are_lists(cells) => {
                        M::Description
                    }
                    Heard::SetOrDescription if says(M::Set) => M::Remarks,
                    Heard::SetOrDescription => M::Set,
                    // `MATERIAL | FINISH | QTY` over goods.
                    Heard::Material if items && !goods && !taken(M::Description) && name_goods(cells) => M::Description,
                    Heard::Material if items => M::Other,
                    Heard::Material if !taken(M::DoorMaterial) && !says(M::DoorMaterial) => M::DoorMaterial,
                    Heard::Material => M::FrameMaterial,
                    Heard::SmokeOrKind | Heard::RemarksOrKind if matrix => M::Kind,
                    Heard::SmokeOrKind => M::Smoke,
                    // Ticks under CARD READER say nothing without the heading.
                    Heard::RemarksOrKind if cells.is_some_and(|cells| cells.iter().all(|cell| is_mark(&cell.text))) => {
                        M::Kind
                    }
                    Heard::RemarksOrKind => M::Remarks,
                    Heard::Type if items => M::CatalogNumber,
                    Heard::Type
                        if share(cells, M::DoorMaterial).is_some_and(|share| share > 70) && !says(M::DoorMaterial) =>
                    {
                        M::DoorMaterial
                    }
                    Heard::Type if !taken(M::DoorType) => M::DoorType,
                    Heard::Type => M::FrameType,
                };
                (meaning, why.clone())
            }
        };
        columns.push(Column { index: *index, heading: heading.clone(), meaning, why });
    }
    if matrix && says(M::DoorNumber) {
        kinds::by_codes(&mut columns, sample);
    }
    bycells::sized_leaves(&mut columns, sample);
    bycells::made_leaves(&mut columns, sample);
    override_columns(&mut columns, terms);
    bycells::said_again(&mut columns, sample);
    single_out(&mut columns);
    bycells::facts(&mut columns, sample, items);
    if !items && !goods && assets.is_none() {
        bycells::doors(&mut columns, sample);
        bycells::made_types(&mut columns, sample);
    }
    for column in &mut columns {
        if let Some(share) = share(sample.get(&column.index), column.meaning) {
            column.why.push_str(&format!("; {share} % of the cells look like it"));
        }
    }
    let moving = |column: &&mut Column| {
        let cells = sample.get(&column.index).into_iter().flatten();
        column.meaning == M::DoorType && cells.into_iter().any(|cell| doors::moves(&cell.text))
    };
    if let Some(column) = columns.iter_mut().find(moving) {
        column.why.push_str("; cells that say how the door moves are kept as its remark");
    }
    dooritems::serve_sets(&mut columns, sample);
    let (mut holds, mut why) = holds(&columns, terms);
    if let Some(assets) = assets.filter(|_| terms.is_none_or(|terms| terms.holds.is_none())) {
        (holds, why) = (assets, "a sheet of an asset workbook: names, types, spaces".to_string());
    }
    if matches!(holds, Holds::Items | Holds::Doors)
        && terms.is_none_or(|terms| terms.holds.is_none())
        && dooritems::are(&columns, sample)
    {
        (holds, why) = (Holds::DoorItems, "an item in every row, and its door beside it".to_string());
    }
    if matches!(holds, Holds::Doors | Holds::Types) {
        kinds::count_rows(&mut columns, sample);
    }
    settled::settle(holds, &mut columns, all, sample);
    Table {
        holds,
        why,
        rows: band,
        columns,
        lane,
        headless: false,
        doubts: Vec::new(),
        dwellings: Default::default(),
        revisions: Vec::new(),
        further_sets: Vec::new(),
    }
}

/// `DOOR SIZE`: of doors, whatever stands in the rows.
fn of_doors(heading: &str) -> bool {
    headings::key(heading)
        .split(' ')
        .any(|word| words::list("doors").is(word) || words::list("heading-one-leaf").is(word))
}

fn runs(cells: &[&Cell]) -> bool {
    let number = |cell: &&&Cell| cell.text.len() <= 3 && cell.text.bytes().all(|byte| byte.is_ascii_digit());
    cells.len() >= 2 && cells.iter().filter(number).count() == cells.len()
}

pub(crate) fn name_goods(cells: Option<&Vec<&Cell>>) -> bool {
    cells.is_some_and(|cells| {
        let goods = cells.iter().filter(|cell| celllist::tells_of_goods(&plain(&cell.text)));
        !cells.is_empty() && goods.count() * 2 > cells.len()
    })
}

/// Whether a cell begins with the name of a good.
pub(crate) fn names_good(text: &str) -> bool {
    words::list("goods").begins(&plain(text)).is_some()
}

pub(crate) fn names_items(heard: &Option<(Heard, String)>) -> bool {
    matches!(heard, Some((Heard::SetOrDescription | Heard::One(M::Description), _)))
}

fn is_mark(text: &str) -> bool {
    let folded = plain(text);
    words::list("truthy").is(&folded) || words::list("falsy").is(&folded)
}

fn is_kind(heard: &Option<(Heard, String)>) -> bool {
    matches!(heard, Some((Heard::One(M::Kind) | Heard::SmokeOrKind | Heard::RemarksOrKind, _)))
}

fn override_columns(columns: &mut Vec<Column>, terms: Option<&ReadTerms>) {
    let Some(terms) = terms else { return };
    for (letter, name) in &terms.columns {
        if let (Some(index), Some(meaning)) = (column_index(letter), M::named(name)) {
            let why = FROM_JOB_FILE.to_string();
            for other in columns.iter_mut().filter(|column| column.meaning == meaning && column.index != index) {
                other.meaning = M::Other;
            }
            match columns.iter_mut().find(|column| column.index == index) {
                Some(column) => (column.meaning, column.why) = (meaning, why),
                None => columns.push(Column { index, heading: String::new(), meaning, why }),
            }
        }
    }
    columns.sort_by_key(|column| column.index);
}

/// One column for each meaning; the first keeps it, save for meanings that may stand in several.
fn single_out(columns: &mut [Column]) {
    let of_doors = columns.iter().any(|column| column.meaning == M::DoorNumber);
    for at in 1..columns.len() {
        let meaning = columns[at].meaning;
        if matches!(
            meaning,
            M::Other
                | M::Foreign
                | M::SecondSet
                | M::Remarks
                | M::CountPart
                | M::CountFactor
                | M::Kind
                | M::Price
                | M::Room
                | M::RoomTo
                | M::RoomNumber
                | M::CatalogNumber
                | M::Description
        ) {
            continue;
        }
        if columns[..at].iter().any(|before| before.meaning == meaning) {
            columns[at].meaning = match meaning {
                M::DoorMaterial => M::FrameMaterial,
                M::DoorType => M::FrameType,
                M::DoorFinish => M::FrameFinish,
                M::Width => M::SecondWidth,
                M::Set if of_doors => M::SecondSet,
                _ => M::Other,
            };
            columns[at].why.push_str(TAKEN);
        }
    }
}

/// What the columns make of their table.
pub(crate) fn holds(columns: &[Column], terms: Option<&ReadTerms>) -> (Holds, String) {
    let has = |meaning: M| columns.iter().any(|column| column.meaning == meaning);
    let count = |meaning: M| columns.iter().filter(|column| column.meaning == meaning).count();
    match terms.and_then(|terms| terms.holds.as_deref()) {
        Some("doors") => return (Holds::Doors, FROM_JOB_FILE.into()),
        Some("sets" | "items") => return (Holds::Items, FROM_JOB_FILE.into()),
        Some("matrix") => return (Holds::Matrix, FROM_JOB_FILE.into()),
        Some("ignore") => return (Holds::Passed, FROM_JOB_FILE.into()),
        _ => {}
    }
    let item = has(M::Description) || has(M::CatalogNumber);
    if has(M::Set) && count(M::Kind) >= 3 && !item && !has(M::DoorNumber) && !has(M::Quantity) {
        return (Holds::SetMatrix, format!("sets against {} kinds of hardware", count(M::Kind)));
    }
    if has(M::Substitute) && !has(M::Quantity) {
        return (Holds::Passed, "a list of allowed products: no quantities".into());
    }
    if has(M::Code) && item && !has(M::Quantity) && !has(M::Set) && !has(M::DoorNumber) {
        return (Holds::Legend, "codes and their words".into());
    }
    if has(M::Price) && !has(M::Set) && !has(M::Quantity) && !has(M::DoorNumber) {
        return (
            Holds::Passed,
            "a price list: prices, but neither sets nor quantities; pintle catalog import takes such".into(),
        );
    }
    if count(M::Foreign) >= 2 {
        return (Holds::Passed, "the headings are those of another kind of schedule".into());
    }
    let sized = has(M::Size) || has(M::Width) || has(M::LeafWidth) || has(M::Height);
    let door_facts = [
        sized,
        has(M::Set),
        has(M::DoorMaterial),
        has(M::FrameMaterial),
        has(M::Rating),
        has(M::Hand),
        has(M::DoorType),
        has(M::Thickness),
        has(M::FrameType),
    ];
    let facts = door_facts.iter().filter(|fact| **fact).count();
    if has(M::DoorNumber) && count(M::Kind) >= 3 && !has(M::Set) {
        return (Holds::Matrix, format!("door numbers against {} kinds of hardware", count(M::Kind)));
    }
    if item && (has(M::Quantity) || has(M::Set) || has(M::Finish) || has(M::Maker)) && !(has(M::DoorNumber) && sized) {
        return (Holds::Items, "items with quantities, sets, finishes or makers".into());
    }
    if has(M::DoorNumber) && (has(M::Set) || sized || facts >= 2) {
        return (Holds::Doors, format!("door numbers and {facts} kinds of facts about doors"));
    }
    if has(M::Set) && has(M::DoorsServed) {
        return (Holds::SetIndex, "sets and the doors they serve".into());
    }
    if (has(M::DoorType) || has(M::Room)) && (sized || has(M::Set)) && !item {
        return (Holds::Types, "door types or rooms with sizes or sets, without door numbers".into());
    }
    if has(M::Code) && item {
        return (Holds::Legend, "codes and their words".into());
    }
    if item && has(M::Quantity) {
        return (Holds::Items, "items with quantities".into());
    }
    (Holds::Passed, NEITHER.into())
}
