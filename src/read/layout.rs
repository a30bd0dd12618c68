//! Why tables and columns were taken for what they are, for `pintle check --layout`, and what is doubtful about them.

use crate::finding::{Finding, Kind, Weight};

use super::headings::Meaning as M;
use super::schedule::LayoutNote;
use super::sheet::Sheet;
use super::table::{Holds, Table};
use super::walk::Gathered;

/// Writes down a table, its columns and the evidence.
pub(super) fn explain(sheet: &Sheet, table: &Table, out: &mut Gathered) {
    let row = sheet.rows[table.rows.1].number;
    let what =
        if table.holds == Holds::Passed { "passed over".to_string() } else { format!("table: {}", table.holds.name()) };
    out.schedule.layout.push(LayoutNote { place: sheet.place(row), what, why: table.why.clone() });
    if table.holds == Holds::Passed {
        out.passed.push(format!("{}: {}", sheet.place(row), table.why));
        return;
    }
    out.set_column |= table.holds == Holds::Doors && table.has(M::Set);
    for column in &table.columns {
        let what = match column.meaning {
            M::Other => "column passed over".to_string(),
            meaning => format!("column: {}", meaning.name()),
        };
        let why = if column.heading.is_empty() {
            column.why.clone()
        } else {
            format!("\"{}\": {}", column.heading.replace('\n', " "), column.why)
        };
        out.schedule.layout.push(LayoutNote { place: sheet.at(row, column.index), what, why });
    }
}

/// Tells what contradicts the headings of a table, and that it has none.
pub(super) fn doubts(sheet: &Sheet, table: &Table, out: &mut Gathered) {
    for doubt in &table.doubts {
        let row = sheet.rows[table.rows.1].number;
        let kind = if doubt.code == "column-contradicts" { Kind::Question } else { Kind::Assumption };
        out.schedule.findings.push(
            Finding::new(doubt.code, kind, Weight::Reading, doubt.says.clone())
                .at(sheet.at(row, doubt.column), sheet.rows[table.rows.1].joined())
                .help("check the columns against the drawing; the job file can name them under [[read]]"),
        );
    }
    if table.headless {
        let row = &sheet.rows[table.rows.0];
        out.schedule.findings.push(
            Finding::new(
                "no-headings",
                Kind::Assumption,
                Weight::Reading,
                "the table has no heading row; its columns were read by what their cells look like",
            )
            .at(sheet.place(row.number), row.joined())
            .help("check the columns with pintle check FILE --layout; the job file can name them under [[read]]"),
        );
    }
}
