//! Why tables and columns were taken for what they are, for `pintle check --layout`, and what is doubtful about them.

use crate::finding::{Finding, Kind, Weight};

use super::headings::Meaning as M;
use super::othertrade;
use super::table::{Holds, Table};
use crate::read::schedule::{LayoutNote, Role};
use crate::read::sheet::Sheet;
use crate::read::walk::Gathered;

/// Writes down a table, its columns and the evidence.
pub(crate) fn explain(sheet: &Sheet, table: &Table, out: &mut Gathered) {
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

/// Writes down the sets of a sheet that stand under headings of their own, and what was found under them.
pub(crate) fn blocks(sheet: &Sheet, first_row: usize, first_set: usize, out: &mut Gathered) {
    let rows = &out.schedule.ledger[first_row..];
    let headed: Vec<_> = rows.iter().filter(|row| row.role == Role::Set).collect();
    let sets = &out.schedule.sets[first_set..];
    let of_heading =
        |set: &&crate::read::schedule::HardwareSet| headed.iter().any(|row| row.place.row == set.place.row);
    let under = sets.iter().filter(of_heading).count();
    let Some(first) = headed.first().filter(|_| under > 0) else { return };
    let count = |role: Role| rows.iter().filter(|row| row.role == role).count();
    let what = format!("sets under headings: {under}");
    let ids: Vec<&str> = sets.iter().filter(of_heading).take(6).map(|set| set.id.as_str()).collect();
    let more = if under > ids.len() { ", \u{2026}" } else { "" };
    let why = format!(
        "rows such as \"{}\" read as headings of the sets {}{more}; under them {} item rows, {} rows that go on, {} rows of doors, {} notes",
        first.text,
        ids.join(", "),
        count(Role::Line),
        count(Role::Continuation),
        count(Role::SetOpenings),
        count(Role::Note),
    );
    let place = first.place.clone();
    out.schedule.layout.push(LayoutNote { place, what, why });
    let in_cells = rows.iter().filter(|row| row.role == Role::Line).count();
    let columns = sheet.rows.iter().map(|row| row.cells.len()).max().unwrap_or_default();
    if columns == 1 && in_cells > 0 {
        out.schedule.layout.push(LayoutNote {
            place: sheet.place(first.place.row),
            what: "items in one cell".into(),
            why: "no row of the sheet has more than one cell; quantity, unit and words are told apart by their form"
                .into(),
        });
    }
}

/// Tells what contradicts the headings of a table, and that it has none.
pub(crate) fn doubts(sheet: &Sheet, table: &Table, out: &mut Gathered) {
    for doubt in &table.doubts {
        let row = sheet.rows[table.rows.1].number;
        let asked = ["column-contradicts", "dwellings-not-counted", othertrade::CODE].contains(&doubt.code);
        let kind = if asked { Kind::Question } else { Kind::Assumption };
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
