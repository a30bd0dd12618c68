//! Addenda beside a schedule: a sheet that says what to add, to delete and to revise. Whether its changes are made already
//! the files do not say, so a schedule is read without them, and each is asked about in one question.

use crate::finding::{Finding, Kind, Weight};
use crate::terms::ReadTerms;

use super::changelist;
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::sets::setheading;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{self, Holds, Table};
use crate::read::walk::{self, Gathered};
use crate::read::words::{self, plain};

/// Rows of a title block, at most.
const TITLE: usize = 4;

/// Reads a sheet of changes as notes. False: it is none.
pub(crate) fn noted(sheet: &Sheet, out: &mut Gathered) -> bool {
    if !is_called_so(sheet) {
        return false;
    }
    let changes: Vec<&Row> = sheet.rows.iter().filter(|row| says_change(row)).collect();
    // Among numbered changes every numbered row is one: `5 | Door 107A is deleted.`
    let numbers: Vec<u32> = sheet.rows.iter().filter_map(numbered).collect();
    let counted = numbers.windows(2).all(|pair| pair[1] == pair[0] + 1)
        && changes.iter().filter(|row| numbered(row).is_some()).count() * 2 > changes.len();
    let is_change = |row: &&Row| says_change(row) || counted && numbered(row).is_some();
    let changes: Vec<&Row> = sheet.rows.iter().filter(is_change).collect();
    let rest = sheet.rows.iter().filter(|row| row.cells.iter().any(|cell| cell.text.len() > 1)).count();
    let listed = changelist::is_list(sheet);
    let most = changes.len() * 2 >= rest.saturating_sub(TITLE / 2);
    // Between headings of sections and sheets one change is enough, unless goods stand below sets.
    let in_words = || !is_issued_again(sheet) && (most || !holds_goods(sheet));
    if changes.is_empty() || !listed && !in_words() {
        return false;
    }
    let ignored = ReadTerms { holds: Some("ignore".into()), ..ReadTerms::default() };
    walk::sheet(sheet, Some(&ignored), out);
    let name = if sheet.name.is_empty() { &sheet.file } else { &sheet.name };
    let says = format!(
        "the sheet \"{name}\" lists {} changes; the files do not say whether they are made, and the schedule was read without them",
        changes.len()
    );
    let all: Vec<String> = changes.iter().map(|row| row.joined()).collect();
    out.schedule.findings.push(
        Finding {
            priced_as: "the schedule as it stands, without these changes".into(),
            ..Finding::new("changes-beside", Kind::Question, Weight::Goods, says)
        }
        .at(sheet.place(changes[0].number), all.join("; "))
        .help("make each change in the schedule, or price the job and give the list to `pintle reprice`"),
    );
    out.passed.push(format!("the sheet \"{name}\": a list of changes to a schedule"));
    true
}

/// Whether the sheet's name or its title speaks of an addendum.
fn is_called_so(sheet: &Sheet) -> bool {
    let mut titles = sheet.rows.iter().take(TITLE).filter(|row| row.cells.len() <= 2).map(Row::joined);
    let called = |text: &str| {
        let folded = plain(text);
        folded
            .split([':', '|', ','])
            .flat_map(|part| part.split(" - "))
            .any(|part| words::list("addendum").begins(part.trim()).is_some())
    };
    called(&sheet.name) || titles.any(|title| called(&title))
}

/// Whether the sheet is a door schedule issued anew, in which rows are marked as new.
fn is_issued_again(sheet: &Sheet) -> bool {
    let tells = |table: &Table| table.columns.iter().filter(|column| column.meaning != M::Other).count() >= 4;
    table::find(sheet, None).iter().any(|table| table.holds == Holds::Doors && tells(table))
}

/// Whether rows count goods, as those of a set do.
fn holds_goods(sheet: &Sheet) -> bool {
    let counts = |row: &Row| {
        let folded = plain(&row.joined());
        starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some() && !says_change(row)
    };
    sheet.rows.iter().any(counts)
}

/// A text without the letter or number of its paragraph: `c. Delete door 119`.
fn without_letter(text: &str) -> &str {
    let text = text.trim_start_matches(|letter: char| !letter.is_alphanumeric());
    match text.split_once(['.', ')']) {
        Some((letter, rest)) if letter.len() <= 2 && rest.starts_with([' ', '\t']) => rest.trim_start(),
        _ => text,
    }
}

/// The number of a row in a numbered list: `5 | Door 107A is deleted.`, `5. All kick plates 12" high`.
fn numbered(row: &Row) -> Option<u32> {
    let number = |text: &str| {
        let bare = text.trim().trim_end_matches(['.', ')']);
        bare.parse().ok().filter(|_| bare.len() <= 2)
    };
    let worded = |text: &&str| text.trim().contains(' ') && text.bytes().any(|byte| byte.is_ascii_alphabetic());
    let (first, rest) = match &row.cells[..] {
        [one] => one.text.split_once(['.', ')'])?,
        [first, second, ..] => (first.text.as_str(), second.text.as_str()),
        [] => return None,
    };
    number(first).filter(|_| worded(&rest))
}

/// Whether a row says what to change: `Delete: wall stop`, `SET 3 - revise hinges`.
fn says_change(row: &Row) -> bool {
    row.cells.iter().any(|cell| {
        let text = without_letter(&cell.text).trim_start_matches(|letter: char| !letter.is_alphabetic());
        let signs = [':', '-', '\u{2013}', '\u{2014}', ','];
        let mut behind = text.match_indices(signs).map(|(at, sign)| text[at + sign.len()..].trim_start());
        let titled = setheading::heading(text).map(|heading| heading.title);
        // `ADD 3` marks a row; `Add coordinator` is a change.
        let said = |text: &str| {
            let goes_on =
                text.split(' ').skip(1).any(|word| word.chars().filter(|letter| letter.is_alphabetic()).count() >= 3);
            goes_on && changelist::is_action(text)
        };
        // `Door 119: delete`
        let folded = plain(text);
        let of = |list: &str| words::list(list).begins(&folded).is_some();
        let subject = of("doors") || of("set-word") || of("words-for-hardware");
        let alone = |behind: &str| subject && changelist::is_action(behind);
        said(text) || behind.any(|behind| said(behind) || alone(behind)) || titled.is_some_and(|title| said(&title))
    })
}
