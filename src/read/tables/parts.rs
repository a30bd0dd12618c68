//! Sheets on which sets stand beside the door schedule, an empty column between them: each part is read as a sheet of its
//! own, and a row that both have keeps one role.

use std::collections::{BTreeMap, BTreeSet};

use crate::place::column_letter;
use crate::terms::ReadTerms;

use super::aside;
use super::table::{self, Holds};
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::grids::across;
use crate::read::openings::doorsbeside;
use crate::read::repairs::ditto;
use crate::read::schedule::{LayoutNote, LedgerRow};
use crate::read::sets::setheading;
use crate::read::sets::setids::SetIds;
use crate::read::sheet::{Row, Sheet, join};
use crate::read::walk::{self, Gathered};
use crate::read::words::{self, plain};

/// Reads a sheet, or its parts one after the other.
pub(crate) fn read(sheet: &Sheet, terms: Option<&ReadTerms>, out: &mut Gathered) {
    let filled = ditto::carried(sheet, terms, &mut out.schedule.findings);
    let from = out.schedule.ledger.len();
    read_filled(filled.as_ref().unwrap_or(sheet), terms, out);
    if filled.is_some() {
        ditto::as_written(sheet, &mut out.schedule.ledger[from..], walk::LEDGER_TEXT);
    }
}

fn read_filled(sheet: &Sheet, terms: Option<&ReadTerms>, out: &mut Gathered) {
    let told =
        terms.is_some_and(|terms| terms.header_row.is_some() || !terms.columns.is_empty() || terms.holds.is_some());
    let from = out.schedule.ledger.len();
    if let Some((rest, notes)) = aside::apart(sheet).filter(|_| !told) {
        read_filled(&rest, terms, out);
        // A row of the schedule stays what it is, whatever stands aside.
        let known: BTreeMap<u32, usize> =
            (from..).zip(&out.schedule.ledger[from..]).map(|(at, row)| (row.place.row, at)).collect();
        for row in notes {
            let role = walk::note(sheet, &join(&row.cells), &row, out);
            let role = known.get(&row.number).map_or(role, |at| out.schedule.ledger[*at].role);
            out.schedule.ledger.push(walk::ledger_row(sheet, row.number, row.joined(), role));
        }
        gather_rows(from, out);
        return;
    }
    if let Some((rest, doors)) = doorsbeside::apart(sheet).filter(|_| !told) {
        read_filled(&rest, terms, out);
        walk::sheet(&doors, terms, out);
        gather_rows(from, out);
        return;
    }
    let parts = if told { Vec::new() } else { parts(sheet, &out.set_ids) };
    if parts.is_empty() {
        walk::sheet(sheet, terms, out);
        return;
    }
    for part in &parts {
        let (first, last) = columns(part);
        out.schedule.layout.push(LayoutNote {
            place: sheet.place(part.rows.first().map_or(1, |row| row.number)),
            what: format!("columns {} to {} read by themselves", column_letter(first), column_letter(last)),
            why: "an empty column parts a schedule of doors from sets with their goods".into(),
        });
        walk::sheet(part, terms, out);
    }
    gather_rows(from, out);
}

/// Rows of the ledger from a place on: what several parts say of a row becomes one.
fn gather_rows(from: usize, out: &mut Gathered) {
    let mut rows: BTreeMap<u32, LedgerRow> = BTreeMap::new();
    for row in out.schedule.ledger.drain(from..) {
        match rows.get_mut(&row.place.row) {
            Some(known) => {
                known.role = known.role.stronger(row.role);
                known.text = format!("{}  {}", known.text, row.text);
            }
            None => drop(rows.insert(row.place.row, row)),
        }
    }
    out.schedule.ledger.extend(rows.into_values());
}

/// Columns that are kept by their place, not by their number.
const NEAR: usize = 256;

/// The parts of a sheet, if one of them is a schedule of doors and another heads sets with goods under them, or has sets across.
fn parts(sheet: &Sheet, known: &SetIds) -> Vec<Sheet> {
    let named = |row: &Row| row.cells.iter().skip(1).filter(|cell| known.has(cell.text.trim())).nth(1).is_some();
    let headed =
        |row: &Row| row.cells.iter().skip(1).any(|cell| setheading::heading(&cell.text).is_some()) || named(row);
    // Nearly all columns are near; a damaged file may name one that no sheet has.
    let (mut near, mut far) = ([false; NEAR], BTreeSet::new());
    for column in sheet.rows.iter().flat_map(|row| row.cells.iter().map(|cell| cell.column)) {
        match near.get_mut(column) {
            Some(filled) => *filled = true,
            None => drop(far.insert(column)),
        }
    }
    let columns: Vec<usize> = (0..NEAR).filter(|column| near[*column]).chain(far).collect();
    let gaps = columns.windows(2).filter(|pair| pair[1] > pair[0] + 1).map(|pair| pair[1]);
    let starts: Vec<usize> = std::iter::once(0).chain(gaps).collect();
    if starts.len() < 2 || !sheet.rows.iter().any(headed) {
        return Vec::new();
    }
    let kinds: Vec<(Sheet, Part)> = starts
        .iter()
        .enumerate()
        .map(|(at, start)| {
            let part = cut(sheet, *start, starts.get(at + 1).copied().unwrap_or(usize::MAX));
            let kind = kind(&part, known);
            (part, kind)
        })
        .collect();
    let count = |kind: Part| kinds.iter().filter(|(_, own)| *own == kind).count();
    if count(Part::Doors) == 0 || count(Part::Sets) == 0 {
        return Vec::new();
    }
    // What is neither, a legend, belongs to what stands on its left.
    let mut bounds: Vec<usize> = Vec::new();
    for (at, (_, kind)) in kinds.iter().enumerate() {
        if at == 0 || *kind != Part::Other {
            bounds.push(starts[at]);
        }
    }
    let ends = bounds.iter().skip(1).copied().chain([usize::MAX]);
    bounds.iter().zip(ends).map(|(start, end)| cut(sheet, *start, end)).collect()
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    Doors,
    Sets,
    Other,
}

fn kind(part: &Sheet, known: &SetIds) -> Part {
    let texts: Vec<String> = part.rows.iter().map(|row| join(&row.cells)).collect();
    let heads = texts.iter().filter(|text| setheading::heading(text).is_some()).count();
    let goods = texts
        .iter()
        .map(|text| plain(text))
        .filter(|text| starts_with_quantity(text) && words::list("hardware").find(text).is_some());
    let doors = table::find(part, None).iter().any(|table| table.holds == Holds::Doors);
    let of_sets = heads > 0 && goods.count() >= 2 || !across::find(part, known).is_empty();
    match (doors, of_sets) {
        (true, false) => Part::Doors,
        (false, true) => Part::Sets,
        _ => Part::Other,
    }
}

/// The first and the last column of a part that hold something.
fn columns(part: &Sheet) -> (usize, usize) {
    let columns = || part.rows.iter().flat_map(|row| row.cells.iter().map(|cell| cell.column));
    (columns().min().unwrap_or_default(), columns().max().unwrap_or_default())
}

/// The cells of a sheet from one column up to another.
fn cut(sheet: &Sheet, from: usize, to: usize) -> Sheet {
    let inside = |column: usize| column >= from && column < to;
    let rows = sheet.rows.iter().filter_map(|row| {
        let cells: Vec<_> = row.cells.iter().filter(|cell| inside(cell.column)).cloned().collect();
        (!cells.is_empty()).then_some(Row { number: row.number, cells, hidden: row.hidden })
    });
    Sheet {
        rows: rows.collect(),
        hidden_columns: sheet.hidden_columns.iter().copied().filter(|column| inside(*column)).collect(),
        merges: sheet.merges.iter().copied().filter(|merge| inside(merge.columns.0)).collect(),
        oddities: sheet.oddities.clone(),
        floating: Vec::new(),
        file: sheet.file.clone(),
        name: sheet.name.clone(),
        hidden: sheet.hidden,
    }
}
