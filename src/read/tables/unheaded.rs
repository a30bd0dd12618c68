//! Columns that stand in a table without a heading of their own, `1 1/2 | pr | butts` under `Qty | | Description`: what
//! their cells look like says what they are. A column whose cells say nothing certain stays words of its row.

use std::collections::{BTreeMap, BTreeSet};

use crate::trade::finish;

use super::columns::{self, looks};
use super::headings::Meaning as M;
use super::headless;
use super::table::{Column, Holds, Table};
use crate::read::sets::setheading;
use crate::read::sheet::Cell;
use crate::read::words::{self, plain};

type Sample<'s> = BTreeMap<usize, Vec<&'s Cell>>;

/// Adds the columns of a table that have no heading and can be told by their cells.
pub(crate) fn find(table: &mut Table, sample: &Sample<'_>) {
    let moved = table.doubts.iter().any(|doubt| doubt.code == "columns-shifted");
    let headed: Vec<usize> = table.columns.iter().map(|column| column.index).collect();
    let (Some(first), Some(last)) = (headed.iter().min(), headed.iter().max()) else { return };
    if moved || matches!(table.holds, Holds::Legend | Holds::Counts | Holds::Components | Holds::Matrix) {
        return;
    }
    let rows = sample.values().map(Vec::len).max().unwrap_or(0);
    // What stands beyond an empty column is a legend or another table.
    let near = first.saturating_sub(1)..=last + 1;
    let mut found: Vec<Column> = Vec::new();
    for (index, cells) in sample.range(near).filter(|(index, _)| !headed.contains(index)) {
        let taken = |meaning: M| table.has(meaning) || found.iter().any(|column| column.meaning == meaning);
        let meaning = match table.holds {
            Holds::Items => of_items(cells, index < first, rows, &taken),
            _ => of_doors(cells, index < first, rows, &taken),
        };
        if let Some(meaning) = meaning.filter(|_| table.holds != Holds::Passed || index < first) {
            let why = format!("no heading; by its {} cells", cells.len());
            found.push(Column { index: *index, heading: String::new(), meaning, why });
        }
    }
    if found.is_empty() {
        return;
    }
    let passed = table.holds == Holds::Passed;
    let mut whole = table.columns.clone();
    whole.append(&mut found);
    whole.sort_by_key(|column| column.index);
    // A table that only lacked the heading of its numbers, or of its sets, is one after all.
    if passed || matches!(table.holds, Holds::Types) {
        let (holds, why) = columns::holds(&whole, None);
        if matches!(holds, Holds::Doors | Holds::Items) {
            (table.holds, table.why) = (holds, why);
        } else if passed {
            return;
        }
    }
    table.columns = whole;
}

/// All cells, or all but one of many.
fn nearly_all(cells: &[&Cell], like: impl Fn(&str) -> bool) -> bool {
    let fitting = cells.iter().filter(|cell| like(&cell.text)).count();
    !cells.is_empty() && fitting * 20 >= cells.len() * 19
}

fn of_items(cells: &[&Cell], leftmost: bool, rows: usize, taken: &dyn Fn(M) -> bool) -> Option<M> {
    let counted = |text: &str| crate::read::goods::itemtext::is_quantity(&plain(text));
    let colored = |text: &str| words::list("no-set").is(&plain(text)) || finish::look_of(text.trim()).is_some();
    if nearly_all(cells, |text| columns::is_unit(&plain(text))) && !taken(M::Unit) {
        return Some(M::Unit);
    }
    if leftmost && !taken(M::Set) && grouped(cells, rows) {
        return Some(M::Set);
    }
    let several = cells.len() >= 2 && cells.len() * 2 >= rows;
    if several && nearly_all(cells, counted) && !taken(M::Quantity) && !rises_by_one(cells) {
        return Some(M::Quantity);
    }
    if several && nearly_all(cells, colored) && !taken(M::Finish) {
        return Some(M::Finish);
    }
    let goods = cells.iter().filter(|cell| words::list("hardware").find(&plain(&cell.text)).is_some()).count();
    (several && goods * 2 > cells.len() && !taken(M::Description)).then_some(M::Description)
}

fn of_doors(cells: &[&Cell], leftmost: bool, rows: usize, taken: &dyn Fn(M) -> bool) -> Option<M> {
    let all = |meaning: M| cells.len() >= 3 && nearly_all(cells, |text| looks(meaning, text) == Some(true));
    let distinct: BTreeSet<String> = cells.iter().map(|cell| plain(&cell.text)).collect();
    // Each row has a number of its own.
    if leftmost && cells.len() * 10 >= rows * 9 && distinct.len() * 20 >= cells.len() * 19 && all(M::DoorNumber) {
        return (!taken(M::DoorNumber)).then_some(M::DoorNumber);
    }
    let sized = taken(M::Size) || taken(M::Width) || taken(M::LeafWidth);
    let feet = |text: &str| text.contains(['\'', '\u{2019}', '-', 'x', 'X']);
    if all(M::Size) && nearly_all(cells, feet) && !sized {
        return Some(M::Size);
    }
    if all(M::Hand) && !taken(M::Hand) {
        return Some(M::Hand);
    }
    if cells.len() >= 3 && nearly_all(cells, headless::is_rating) && !taken(M::Rating) {
        return Some(M::Rating);
    }
    (all(M::DoorMaterial) && !taken(M::DoorMaterial)).then_some(M::DoorMaterial)
}

/// Short names of which each stands in one run of rows, or in the first row of its run: the sets of a flat table.
fn grouped(cells: &[&Cell], rows: usize) -> bool {
    let named = |cell: &&&Cell| {
        let folded = plain(&cell.text);
        headless::is_id(&cell.text) && !folded.starts_with('(')
            || setheading::heading(&cell.text).is_some_and(|found| found.title.is_empty())
    };
    let mut runs: Vec<String> = cells.iter().map(|cell| plain(&cell.text)).collect();
    runs.dedup();
    let each: BTreeSet<&String> = runs.iter().collect();
    cells.iter().filter(named).count() == cells.len()
        && cells.len() >= 2
        && each.len() == runs.len()
        && runs.len() * 3 <= rows * 2
}

/// 1, 2, 3: a running number.
fn rises_by_one(cells: &[&Cell]) -> bool {
    let numbers: Vec<u32> = cells.iter().filter_map(|cell| cell.text.trim().parse().ok()).collect();
    cells.len() >= 3 && numbers.len() == cells.len() && numbers.windows(2).all(|pair| pair[1] == pair[0] + 1)
}
