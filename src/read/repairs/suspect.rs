//! Columns whose cells contradict their heading: all cells one column beside their headings, two columns exchanged, or one
//! column that holds something else. A reading that makes every cell fit is taken and told; otherwise the column is not
//! used and told.

use std::collections::BTreeMap;

use crate::place::column_letter;
use crate::terms::ReadTerms;
use crate::trade::inches::Inches;

use crate::read::goods::itemtext;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, CellKind, Row, Sheet};
use crate::read::sizes::size::{self, Axis};
use crate::read::tables::columns::looks;
use crate::read::tables::headings::{Heard, Meaning as M};
use crate::read::tables::table::{Column, Doubt, HeardColumn, Holds, Table};
use crate::read::words::{self, plain};

pub(crate) type Sample<'s> = BTreeMap<usize, Vec<&'s Cell>>;

/// Meanings whose cells can be told from others.
const TOLD: [M; 13] = [
    M::DoorNumber,
    M::Set,
    M::Size,
    M::Width,
    M::LeafWidth,
    M::Height,
    M::Thickness,
    M::DoorMaterial,
    M::FrameMaterial,
    M::Rating,
    M::Hand,
    M::Quantity,
    M::Unit,
];
/// The id of a set is no longer.
const LONGEST_ID: usize = 8;
/// From so many cells on, a column is judged.
const FEWEST: usize = 3;

/// Whether headings are those of doors without goods beside them, or of sets with their doors: where a set begins below them, it
/// is no row of theirs.
pub(crate) fn ends_at_sets(heard: &[HeardColumn]) -> bool {
    let has = |meaning| heard.iter().any(|(.., heard)| matches!(heard, Some((Heard::One(one), _)) if *one == meaning));
    has(M::DoorsServed) || has(M::DoorNumber) && has(M::Set) && !has(M::Quantity) && !has(M::Description)
}

/// Whether a set begins in a row below a table of doors: with its heading, or with its goods and what stands above them.
fn begins_a_set(rows: &[Row], at: usize) -> bool {
    let row = &rows[at];
    let worded = |cell: &Cell| !cell.text.bytes().any(|byte| byte.is_ascii_digit());
    let headed = match row.cells.as_slice() {
        [only] => setheading::heading(&only.text).is_some(),
        // `HW SET | 1`
        [word, id] if worded(word) && id.text.len() <= LONGEST_ID => setheading::heading(&row.joined()).is_some(),
        // `HARDWARE SET H3 | TOILET ROOM`
        [first, title] if worded(title) => setheading::heading(&first.text).is_some(),
        // `DESCRIPTION | HW SET 1 | HW SET 2`
        [word, sets @ ..] => {
            worded(word) && sets.len() >= 2 && sets.iter().all(|set| setheading::heading(&set.text).is_some())
        }
        [] => false,
    };
    // `H3 | TOILET ROOM` or `3 | OFFICE` above `3 | EA | HINGE`.
    let goods = itemtext::counts_goods;
    headed || goods(row) || row.cells.len() <= 2 && rows.get(at + 1).is_some_and(goods)
}

/// Up to 60 rows of cells under a band, one column range; up to the heading of a set where that is another table, and without
/// the rows of a key.
pub(crate) fn sample(sheet: &Sheet, from: usize, first: usize, last: usize, to_set: bool) -> Sample<'_> {
    let mut cells: BTreeMap<usize, Vec<&Cell>> = BTreeMap::new();
    let rows = sheet.rows.get(from..).unwrap_or_default();
    let ends = |at: &usize| crate::read::tables::table::is_heading_row(&rows[*at]) || to_set && begins_a_set(rows, *at);
    let rows = (0..rows.len()).take_while(|at| !ends(at)).map(|at| &rows[at]);
    // Beside the ids of a key, `SET | HARDWARE`, the goods of a set stand alone in their rows.
    let heads = from.checked_sub(1).and_then(|at| sheet.rows.get(at)).map_or(&[][..], |row| &row.cells);
    let beside = match heads {
        [_, goods] => Some(goods.column),
        _ => None,
    };
    let tells = |row: &&Row| match &row.cells[..] {
        [one] => Some(one.column) == beside,
        cells => cells.len() > 1,
    };
    for row in rows.filter(tells).filter(|row| !to_set || !explains_goods(row)).take(60) {
        for cell in row.cells.iter().filter(|cell| (first..=last).contains(&cell.column) && !cell.struck) {
            cells.entry(cell.column).or_default().push(cell);
        }
    }
    cells
}

/// Whether a row says what goods a code stands for, as in a key below the doors: `L1 | Mortise lock` says nothing of the column
/// that its words stand in.
fn explains_goods(row: &Row) -> bool {
    let [code, said] = &row.cells[..] else { return false };
    let short = code.text.len() <= LONGEST_ID && code.text.starts_with(|sign: char| sign.is_ascii_alphabetic());
    short && said.column == code.column + 1 && words::list("hardware").find(&plain(&said.text)).is_some()
}

/// Judges the columns of a table and mends what can only be meant one way.
pub(crate) fn mend(table: &mut Table, sample: &Sample<'_>, terms: Option<&ReadTerms>) {
    let judged = matches!(table.holds, Holds::Doors | Holds::Items | Holds::Matrix);
    if !judged || terms.is_some_and(|terms| !terms.columns.is_empty()) {
        return;
    }
    high_and_wide(table, sample);
    set_and_rating(table, sample);
    two_materials(table, sample);
    let bad: Vec<usize> = (0..table.columns.len())
        .filter(|at| {
            let (meaning, cells) = (table.columns[*at].meaning, sample.get(&table.columns[*at].index));
            let odd =
                fit(meaning, cells).is_some_and(|fit| fit <= 30) || meaning == M::Rating && none_is_a_rating(cells);
            // Rows pushed aside make a column look wrong, and its own cells are ratings all the same.
            odd && !(meaning == M::Rating && has_ratings(cells))
        })
        .collect();
    if bad.is_empty() || shifted(table, sample, bad[0]) || exchanged(table, sample, &bad) {
        return;
    }
    for at in bad {
        let column = &mut table.columns[at];
        // A quantity column that holds words is read as text anyway; what has no number cannot be left out.
        if matches!(column.meaning, M::Quantity | M::DoorNumber | M::Unit | M::Thickness) {
            continue;
        }
        let says = format!(
            "the column \"{}\" was taken for the {}, but its cells do not look like it ({}); it was not used",
            heading(column),
            column.meaning.name(),
            some_cells(sample.get(&column.index))
        );
        column.meaning = M::Other;
        column.why.push_str("; its cells contradict the heading");
        table.doubts.push(Doubt { code: "column-contradicts", column: column.index, says });
    }
}

/// `WD/AL` where no column tells of the frame is read as the door and the frame, and said so.
fn two_materials(table: &mut Table, sample: &Sample<'_>) {
    let Some(column) = table.column(M::DoorMaterial).filter(|_| !table.has(M::FrameMaterial)) else { return };
    let both = |cell: &&Cell| crate::read::openings::doors::door_and_frame(&cell.text).is_some();
    let Some(first) = sample.get(&column.index).and_then(|cells| cells.iter().copied().find(both)) else { return };
    let says = format!(
        "cells such as \"{}\" under \"{}\" were read as the material of the door and that of the frame",
        first.text,
        heading(column)
    );
    table.doubts.push(Doubt { code: "materials-parted", column: column.index, says });
}

/// Paint, finishes and codes of both under a heading of ratings: several cells say something, and none a rating.
fn none_is_a_rating(cells: Option<&Vec<&Cell>>) -> bool {
    let says = |cell: &&&Cell| !words::list("no-set").is(&plain(&cell.text)) && cell.kind == CellKind::Text;
    let said: Vec<_> = cells.into_iter().flatten().filter(says).collect();
    said.len() >= FEWEST && said.iter().all(|cell| looks(M::Rating, &cell.text) == Some(false))
}

/// Whether some cells are surely ratings: `45 MIN`.
fn has_ratings(cells: Option<&Vec<&Cell>>) -> bool {
    let timed = |cell: &&&Cell| {
        let unit = words::list("unit-of-a-rating").find(&plain(&cell.text)).is_some();
        unit && looks(M::Rating, &cell.text) == Some(true)
    };
    cells.into_iter().flatten().filter(timed).count() >= FEWEST
}

fn heading(column: &Column) -> String {
    column.heading.replace('\n', " ")
}

fn some_cells(cells: Option<&Vec<&Cell>>) -> String {
    let texts: Vec<&str> = cells.into_iter().flatten().take(3).map(|cell| cell.text.as_str()).collect();
    texts.join(", ")
}

/// The share of cells, in percent, that can be what the meaning says; `None` when nothing can be told.
fn fit(meaning: M, cells: Option<&Vec<&Cell>>) -> Option<usize> {
    if !TOLD.contains(&meaning) {
        return None;
    }
    let (mut all, mut fitting) = (0, 0);
    for cell in cells? {
        let folded = plain(&cell.text);
        let says_nothing = words::list("no-set").is(&folded) || words::list("excluded").find(&folded).is_some();
        if says_nothing || cell.kind == CellKind::Error || cell.kind == CellKind::Formula {
            continue;
        }
        all += 1;
        fitting += usize::from(fits(meaning, cell, &folded));
    }
    (all >= FEWEST).then(|| fitting * 100 / all)
}

/// Whether a cell can be what the meaning says.
pub(crate) fn fits(meaning: M, cell: &Cell, folded: &str) -> bool {
    if matches!(cell.kind, CellKind::Date(_)) {
        return true;
    }
    match meaning {
        // A set may be called nearly anything, but not hollow metal, 7'-0" or 90 MIN.
        M::Set => {
            let figures = folded.bytes().any(|byte| byte.is_ascii_digit());
            let material = !figures && folded.len() >= 2 && words::leaf_material(folded).is_some();
            let measure = folded.contains(['"', '\''])
                && folded.len() <= 12
                && size::parse_length(folded, Axis::Height).is_some();
            !(material || measure || figures && words::list("unit-of-a-rating").find(folded).is_some())
        }
        // Types such as `A` or `F1` stand in columns of materials too often to be told from them; measures do not.
        M::DoorMaterial | M::FrameMaterial => {
            words::leaf_material(&cell.text).is_some()
                || !folded.bytes().any(|byte| byte.is_ascii_digit())
                    && crate::read::openings::doors::hand(folded).is_none()
        }
        M::Rating => {
            looks(M::Rating, &cell.text) == Some(true)
                || words::leaf_material(&cell.text).is_none_or(|found| found == "none")
                    && crate::read::openings::doors::hand(folded).is_none()
                    && !folded.contains(['"', '\''])
        }
        // An operation may be written in words; a hand is never a measure or a material.
        M::Hand => {
            crate::read::openings::doors::hand(folded).is_some()
                || !folded.contains(['"', '\'']) && words::leaf_material(&cell.text).is_none() && !is_number(folded)
        }
        // No door is lower than an access panel.
        M::Height => size::parse_length(&cell.text, Axis::Height)
            .and_then(|length| size::settle(length, Axis::Height))
            .is_some_and(|high| high >= Inches::whole(48)),
        M::Thickness => size::parse_length(&cell.text, Axis::Thickness)
            .and_then(|length| size::settle(length, Axis::Thickness))
            .is_some_and(|thick| thick < Inches::whole(12)),
        M::Quantity => crate::read::goods::itemtext::is_quantity(folded) || folded.len() > 14,
        M::Unit => crate::read::tables::columns::is_unit(folded) || !is_number(folded),
        other => looks(other, &cell.text) != Some(false),
    }
}

fn is_number(folded: &str) -> bool {
    !folded.is_empty() && folded.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
}

/// The cells strictly look like the meaning, not merely fail to contradict it.
fn strictly(meaning: M, cells: Option<&Vec<&Cell>>) -> Option<usize> {
    let cells = cells.filter(|cells| cells.len() >= FEWEST)?;
    let like = cells
        .iter()
        .filter(|cell| match meaning {
            M::Set => fits(M::Set, cell, &plain(&cell.text)) && cell.text.len() <= 10 && !cell.text.contains(' '),
            M::Thickness | M::Height => fits(meaning, cell, &plain(&cell.text)),
            M::Quantity => crate::read::goods::itemtext::is_quantity(&plain(&cell.text)),
            meaning => looks(meaning, &cell.text) == Some(true),
        })
        .count();
    Some(like * 100 / cells.len())
}

/// Width and height exchanged: doors lower than 5-0 and wider than 6-6 in nearly every row.
fn high_and_wide(table: &mut Table, sample: &Sample<'_>) {
    let at = |meaning: M| table.columns.iter().position(|column| column.meaning == meaning);
    let (Some(wide), Some(high)) = (at(M::Width).or_else(|| at(M::LeafWidth)), at(M::Height)) else { return };
    let inches = |column: usize, axis: Axis| -> Option<Vec<Inches>> {
        let cells = sample.get(&table.columns[column].index)?;
        let read = cells.iter().filter_map(|cell| size::settle(size::parse_length(&cell.text, axis)?, axis)).collect();
        Some(read)
    };
    let (Some(widths), Some(heights)) = (inches(wide, Axis::Width), inches(high, Axis::Height)) else { return };
    let most = |count: usize, of: usize| of >= FEWEST && count * 10 >= of * 8;
    let wide_heights = widths.iter().filter(|width| **width >= Inches::whole(78)).count();
    let low = heights.iter().filter(|height| **height < Inches::whole(60)).count();
    if most(wide_heights, widths.len()) && most(low, heights.len()) {
        swap(table, wide, high);
    }
}

/// `20 MIN` under HDW SET and `2` under RATING, in most rows: exchanged, though some rows say neither.
fn set_and_rating(table: &mut Table, sample: &Sample<'_>) {
    let at = |meaning: M| table.columns.iter().position(|column| column.meaning == meaning);
    let (Some(set), Some(rating)) = (at(M::Set), at(M::Rating)) else { return };
    let timed = |cell: &&&Cell| {
        let folded = plain(&cell.text);
        let unit = words::list("units-of-time").is_within(&folded);
        unit && folded.bytes().any(|byte| byte.is_ascii_digit()) && looks(M::Rating, &cell.text) == Some(true)
    };
    let says = |cell: &&&Cell| !words::list("no-set").is(&plain(&cell.text)) && cell.kind != CellKind::Formula;
    let share = |column: usize| -> (usize, usize) {
        let cells = sample.get(&table.columns[column].index).map_or(&[][..], Vec::as_slice);
        let said = cells.iter().filter(says);
        (said.clone().filter(timed).count(), said.count())
    };
    let ((times, sets), (own, ratings)) = (share(set), share(rating));
    // Ids are short and have no unit; a few rows may be pushed aside.
    let ids = |column: usize| {
        let cells = sample.get(&table.columns[column].index).map_or(&[][..], Vec::as_slice);
        cells.iter().filter(says).filter(|cell| cell.text.len() <= 6 && !timed(cell)).count()
    };
    if times >= FEWEST && times * 2 > sets && own * 4 < ratings && ids(rating) * 3 > ratings * 2 {
        swap(table, set, rating);
    }
}

fn swap(table: &mut Table, one: usize, other: usize) {
    let says = format!(
        "the cells of \"{}\" and \"{}\" stand in each other's column; they were exchanged",
        heading(&table.columns[one]),
        heading(&table.columns[other])
    );
    let meaning = table.columns[one].meaning;
    table.columns[one].meaning = table.columns[other].meaning;
    table.columns[other].meaning = meaning;
    for at in [one, other] {
        table.columns[at].why.push_str("; exchanged, because the cells contradict the headings");
    }
    table.doubts.push(Doubt { code: "columns-swapped", column: table.columns[one].index, says });
}

/// Two columns that each look like the other's heading.
fn exchanged(table: &mut Table, sample: &Sample<'_>, bad: &[usize]) -> bool {
    for (nth, one) in bad.iter().enumerate() {
        for other in &bad[nth + 1..] {
            let (a, b) = (&table.columns[*one], &table.columns[*other]);
            let crossed = strictly(a.meaning, sample.get(&b.index)).is_some_and(|share| share >= 80)
                && strictly(b.meaning, sample.get(&a.index)).is_some_and(|share| share >= 80);
            if crossed && bad.len() == 2 {
                swap(table, *one, *other);
                return true;
            }
        }
    }
    false
}

/// All cells from some column on stand one column beside their headings.
fn shifted(table: &mut Table, sample: &Sample<'_>, bad: usize) -> bool {
    let headed: Vec<usize> = table.columns.iter().map(|column| column.index).collect();
    for (step, whither) in [(1isize, "right"), (-1, "left")] {
        // Columns between the last that fits and the first that does not may be empty of what tells.
        let first = (0..=bad)
            .rev()
            .take_while(|at| {
                *at == bad
                    || table.columns[*at].meaning != M::DoorNumber
                        && fit(table.columns[*at].meaning, sample.get(&headed[*at])).is_none_or(|fit| fit <= 30)
            })
            .filter(|at| TOLD.contains(&table.columns[*at].meaning))
            .last()
            .unwrap_or(bad);
        if first == 0 {
            continue;
        }
        let moved: Vec<usize> = (first..table.columns.len()).collect();
        let told: Vec<(M, Option<usize>, Option<usize>)> = moved
            .iter()
            .filter(|at| TOLD.contains(&table.columns[**at].meaning))
            .map(|at| {
                let column = &table.columns[*at];
                let beside = column.index.checked_add_signed(step).and_then(|index| sample.get(&index));
                (column.meaning, fit(column.meaning, sample.get(&column.index)), strictly(column.meaning, beside))
            })
            .collect();
        let better = told.iter().filter(|(_, _, beside)| beside.is_some_and(|share| share >= 80)).count();
        let worse = told.iter().filter(|(_, _, beside)| beside.is_some_and(|share| share < 60)).count();
        let wrong = told.iter().filter(|(_, own, _)| own.is_none_or(|fit| fit <= 30)).count();
        if better < 2 || worse > 0 || wrong * 2 < told.len() {
            continue;
        }
        let says = format!(
            "from the column \"{}\" on, the cells stand one column {whither} of their headings in every row; they were read that way",
            heading(&table.columns[first])
        );
        let passed = table.columns[first].index;
        for at in moved {
            let column = &mut table.columns[at];
            column.index = column.index.saturating_add_signed(step);
            column.why.push_str(&format!("; its cells stand in column {}", column_letter(column.index)));
        }
        if step > 0 {
            let why = "no heading stands over its cells once the others are read beside theirs".to_string();
            table.columns.insert(first, Column { index: passed, heading: String::new(), meaning: M::Other, why });
        } else {
            let taken = table.columns[first].index;
            table.columns.retain(|column| column.index != taken || column.why.contains("its cells stand in"));
        }
        table.doubts.push(Doubt { code: "columns-shifted", column: passed, says });
        return true;
    }
    false
}
