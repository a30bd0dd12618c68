//! The totals of a table of counts, held against what their rows and columns add up to.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};

use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Column, Table};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// What the counts of a sheet add up to: by heading row and column, as written and times the units of their rows.
#[derive(Default)]
pub(crate) struct Sums {
    sums: BTreeMap<(usize, usize), (u64, u64)>,
}

fn whole(cell: Option<&Cell>) -> Option<u64> {
    cell?.text.trim().parse().ok()
}

fn is_total(column: &Column) -> bool {
    words::list("heading-total").leads(&plain(&column.heading)).is_some()
}

impl Sums {
    /// Takes a row of counts and holds its own total against it.
    pub fn row(&mut self, sheet: &Sheet, table: &Table, row: &Row, units: u64, out: &mut Gathered) {
        let mut sum = 0_u64;
        for column in table.columns.iter().filter(|column| column.meaning == M::TypeCount) {
            let Some(count) = whole(row.cell(column.index)) else { continue };
            sum = count.saturating_add(sum);
            let known = self.sums.entry((table.rows.1, column.index)).or_default();
            *known = (known.0.saturating_add(count), known.1.saturating_add(count.saturating_mul(units)));
        }
        for column in table.columns.iter().filter(|column| is_total(column)) {
            let Some(total) = whole(row.cell(column.index)) else { continue };
            let known = self.sums.entry((table.rows.1, column.index)).or_default();
            *known = (known.0.saturating_add(sum), known.1.saturating_add(sum.saturating_mul(units)));
            if total != sum && total != sum.saturating_mul(units) {
                tell(sheet, row, column, total, sum, "its row adds", out);
            }
        }
    }

    /// Holds a row of totals against the rows above it.
    pub fn total(&self, sheet: &Sheet, table: &Table, row: &Row, out: &mut Gathered) {
        for column in table.columns.iter().filter(|column| column.meaning == M::TypeCount || is_total(column)) {
            let Some(total) = whole(row.cell(column.index)) else { continue };
            let (sum, times) = self.sums.get(&(table.rows.1, column.index)).copied().unwrap_or_default();
            if total != sum && total != times {
                tell(sheet, row, column, total, if times == sum { sum } else { times }, "the rows above add", out);
            }
        }
    }
}

fn tell(sheet: &Sheet, row: &Row, column: &Column, total: u64, sum: u64, adds: &str, out: &mut Gathered) {
    let says = format!("the total under \"{}\" says {total}, but {adds} up to {sum}", column.heading);
    out.schedule.findings.push(
        Finding {
            priced_as: "the single counts".into(),
            ..Finding::new("total-disagrees", Kind::Question, Weight::Goods, says)
        }
        .at(sheet.at(row.number, column.index), row.joined())
        .help("ask which is right; a row or a count may be missing"),
    );
}
