//! Rows that no reader took and that look like goods with counts, `Wall stop 626 | 1 | 1`, `three hinges, one lock`: they
//! stand in the ledger as titles or notes, and nothing of them is counted. That is asked, once for each sheet, whatever the
//! reason for which they were passed over.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};

use super::itemtext;
use crate::read::schedule::{LedgerRow, Role, Schedule};
use crate::read::words::{self, plain};

/// The code of what is said here.
pub(crate) const CODE: &str = "goods-not-read";

/// The code of rows that stand for doors of other floors.
const ALIKE: &str = "floors-alike";

/// Longer texts are notes of another kind.
const LONGEST_ALIKE: usize = 160;

/// A count beside goods is not larger.
const MOST: u32 = 400;

/// Longer texts are specifications.
const LONGEST: usize = 600;

/// Rows of a sheet that are looked for in the lines of the sets.
const KEYS: usize = 8;

/// How cells of a row are joined in the ledger.
const JOINT: &str = "  ";

/// What a row shows of goods with counts.
#[derive(PartialEq)]
enum Shows {
    /// One of its cells names goods, another counts.
    Beside,
    /// A text lists several goods with their counts.
    List,
}

/// A row with what it shows.
type Row<'s> = (&'s LedgerRow, Shows);

/// Asks about the rows of each sheet.
pub(crate) fn tell(schedule: &mut Schedule) {
    alike(schedule);
    let mut sheets: BTreeMap<(Arc<str>, Arc<str>), Vec<Row<'_>>> = BTreeMap::new();
    for row in schedule.ledger.iter().filter(|row| matches!(row.role, Role::Title | Role::Note)) {
        if let Some(shows) = shows(&row.text) {
            let sheet = (row.place.file.clone(), row.place.sheet.clone());
            sheets.entry(sheet).or_default().push((row, shows));
        }
    }
    if sheets.is_empty() {
        return;
    }
    // The key of a matrix stands in the lines of the sets, which took its words.
    let is_used =
        |cell: &str| schedule.sets.iter().flat_map(|set| &set.lines).any(|line| line.wording.text.contains(cell));
    sheets.retain(|_, rows| {
        let goods = rows.iter().take(KEYS).flat_map(|(row, _)| cells(&row.text)).filter(|cell| names_goods(cell));
        !goods.into_iter().any(is_used)
    });
    let findings: Vec<Finding> = sheets.into_values().filter_map(|rows| finding(&rows)).collect();
    schedule.findings.extend(findings);
}

/// Asks about rows among doors that say that floors or wings are as others, `THIRD FLOOR (FOURTH FLOOR SIMILAR)`: the doors of
/// those stand in no row.
fn alike(schedule: &mut Schedule) {
    let sheets: BTreeSet<(&Arc<str>, &Arc<str>)> =
        schedule.openings.iter().map(|door| (&door.place.file, &door.place.sheet)).collect();
    let says_so = |row: &&LedgerRow| {
        let folded = plain(&row.text);
        row.text.len() <= LONGEST_ALIKE
            && words::list("stands-for-others").find(&folded).is_some()
            && words::list("place-with-a-number").find(&folded).is_some()
            && words::list("hardware").find(&folded).is_none()
            && sheets.contains(&(&row.place.file, &row.place.sheet))
    };
    let rows = schedule.ledger.iter().filter(|row| matches!(row.role, Role::Title | Role::Note));
    let findings: Vec<Finding> = rows
        .filter(says_so)
        .map(|row| {
            let says = "the row says that the doors of another floor or part of the building are as these; no row lists them, and they are not counted";
            let finding = Finding {
                priced_as: "the doors that are listed".into(),
                ..Finding::new(ALIKE, Kind::Question, Weight::Goods, says)
            };
            finding
                .at(row.place.clone(), row.text.clone())
                .help("give each of those doors a row with its number, or ask the architect for their schedule")
        })
        .collect();
    schedule.findings.extend(findings);
}

fn finding(rows: &[Row<'_>]) -> Option<Finding> {
    let (first, shows) = rows.first()?;
    let last = rows.last().map(|(row, _)| row.place.row)?;
    // One such row is a note; a list of goods is one wherever it stands.
    if rows.len() < 2 && *shows != Shows::List || are_numbered(rows) {
        return None;
    }
    let says = match rows.len() {
        1 => format!(
            "row {} names goods with counts and was read as a {}: nothing of it is counted",
            first.place.row,
            first.role.word()
        ),
        many => format!(
            "{many} rows between row {} and row {last} name goods with counts and were read as titles or notes: nothing of them is counted",
            first.place.row
        ),
    };
    let finding =
        Finding { priced_as: "nothing for them".into(), ..Finding::new(CODE, Kind::Question, Weight::Goods, says) };
    Some(finding.at(first.place.clone(), first.text.clone()).help(
        "give each set a heading row of its own with its goods below it, or say in the job file under [[read]] which row holds the headings and what the columns mean",
    ))
}

/// Whether the rows are a numbered list, `1 | HINGES: SEE SPEC`, `2 | CLOSERS`: such numbers count nothing.
fn are_numbered(rows: &[Row<'_>]) -> bool {
    let number = |row: &LedgerRow| row.text.split(JOINT).next().and_then(|cell| cell.trim().parse::<u32>().ok());
    let numbers: Vec<Option<u32>> = rows.iter().map(|(row, _)| number(row)).collect();
    numbers.len() > 1 && numbers.windows(2).all(|two| matches!(two, [Some(one), Some(next)] if *next > *one))
}

/// The cells of a row of the ledger.
fn cells(text: &str) -> impl Iterator<Item = &str> {
    text.split(JOINT).map(str::trim).filter(|cell| !cell.is_empty())
}

/// Whether a cell begins with the name of goods.
fn names_goods(cell: &str) -> bool {
    words::list("goods").begins(&plain(cell)).is_some()
}

/// What a row shows, if anything.
fn shows(text: &str) -> Option<Shows> {
    if text.len() > LONGEST || !text.bytes().any(|byte| byte.is_ascii_digit() || byte == b',') {
        return None;
    }
    let folded = plain(text);
    words::list("goods").find(&folded)?;
    let cells: Vec<&str> = cells(text).collect();
    let begins = |cell: &&str| names_goods(cell);
    let counts = |cell: &&str| {
        let bare = cell.parse::<u32>().is_ok_and(|count| count > 0 && count < MOST);
        bare || itemtext::is_quantity(&plain(cell))
    };
    if cells.len() > 1 && cells.iter().any(begins) && cells.iter().any(counts) {
        return Some(Shows::Beside);
    }
    let lists = |cell: &&str| {
        let folded = plain(cell);
        let mut parts = folded.split([',', ';', ':']).flat_map(|part| part.split(" AND ")).map(str::trim);
        parts.by_ref().filter(|part| is_counted(part)).count() > 1
    };
    cells.iter().any(lists).then_some(Shows::List)
}

/// Whether a part is a count, in figures or in words, with goods behind it.
fn is_counted(part: &str) -> bool {
    let bare = part.trim_start_matches(['(', ' ']);
    let figures = bare.bytes().take_while(u8::is_ascii_digit).count();
    let behind = match figures {
        0 => words::list(words::NUMBERS).begins(bare).map(|word| &bare[word.len()..]),
        // `1. CLOSERS` is a paragraph.
        _ => bare.get(figures..).filter(|rest| figures < 3 && !rest.starts_with('.')),
    };
    behind.is_some_and(|behind| words::list("goods").find(behind).is_some())
}
