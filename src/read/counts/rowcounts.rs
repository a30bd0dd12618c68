//! QTY in a schedule of doors: how many doors a row stands for, or how many leaves its door has. Where it says two for pairs
//! and one for all else, it counts leaves; otherwise doors, and that is asked.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use crate::read::openings::doors::Reader;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::kinds;
use crate::read::walk::Gathered;

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// What columns of quantities say of the doors.
#[derive(Default)]
pub(crate) struct RowCounts {
    columns: BTreeMap<Key, Said>,
}

/// What one such column says.
struct Said {
    heading: String,
    /// Openings of rows that say more than one, with the place of the first.
    many: Vec<usize>,
    at: Place,
    /// Openings of rows that say one.
    single: Vec<usize>,
}

impl RowCounts {
    /// Keeps what the quantity of a door's row says.
    pub fn keep(&mut self, opening: usize, count: u32, reader: &Reader<'_>) {
        let Some(column) = reader.table.column(M::Count).filter(|column| column.why.contains(kinds::COUNTS_ROWS))
        else {
            return;
        };
        if reader.cell(M::Count).is_none() {
            return;
        }
        let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), column.index);
        let at = || reader.sheet.at(reader.row.number, column.index);
        let heading = || column.heading.clone();
        let new = || Said { heading: heading(), many: Vec::new(), at: at(), single: Vec::new() };
        let said = self.columns.entry(key).or_insert_with(new);
        if count > 1 {
            if said.many.is_empty() {
                said.at = at();
            }
            said.many.push(opening);
        } else {
            said.single.push(opening);
        }
    }
}

/// How the user settles it.
const SAY_SO: &str = "write in the job file under [[read]]";

/// Settles what each column counts, once the leaves of all doors are known.
pub(crate) fn settle(out: &mut Gathered) {
    for ((_, _, column), said) in std::mem::take(&mut out.row_counts).columns {
        let letter = column_letter(column);
        let openings = &mut out.schedule.openings;
        let Some(first) = said.many.first() else { continue };
        let leaves = said.many.iter().all(|at| openings[*at].count == 2 && openings[*at].leaves == 2)
            && said.single.iter().all(|at| openings[*at].leaves == 1);
        let each = |at: &usize| format!("{} ({})", openings[*at].number, openings[*at].count);
        let some: Vec<String> = said.many.iter().take(8).map(each).collect();
        let more = match said.many.len() - some.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let excerpt = format!("{} {}", openings[*first].number, openings[*first].count);
        let numbers: Vec<String> = said.many.iter().map(|at| openings[*at].number.clone()).collect();
        let (kind, read_as, alone, priced_as, help) = if leaves {
            said.many.iter().for_each(|at| openings[*at].count = 1);
            // Pairs alone may as well stand for two pairs each; single doors with 1 beside them say which it is.
            let (kind, alone) = match said.single[..] {
                [] => (Kind::Question, "; no single door stands beside them to tell"),
                _ => (Kind::Assumption, ""),
            };
            (
                kind,
                "says 2 for pairs and was read as how many leaves a door has",
                alone,
                "one door for each row",
                format!(
                    "ask whether it counts leaves or doors; if doors, {SAY_SO}: columns = {{ {letter} = \"count\" }}"
                ),
            )
        } else {
            (
                Kind::Question,
                "was read as how many doors a row stands for",
                "",
                "as many doors as it says",
                format!(
                    "ask whether it counts doors, leaves or something else; if not doors, {SAY_SO}: columns = {{ {letter} = \"ignore\" }}, or \"leaves\""
                ),
            )
        };
        let says = format!("the column \"{}\" {read_as}: {}{more}{alone}", said.heading, some.join(", "));
        let finding = Finding {
            openings: numbers,
            priced_as: priced_as.into(),
            ..Finding::new("rows-counted", kind, Weight::Goods, says)
        };
        out.schedule.findings.push(finding.at(said.at, excerpt).help(help));
    }
}
