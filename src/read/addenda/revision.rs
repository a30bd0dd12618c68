//! Columns of revisions, `REV`, `DELTA`, `CHANGE`, and those of a list that mark the rows that hold, `STATUS`, `is_active`: a
//! cell that says DEL, VOID or that its row holds no more takes the row out of a schedule that is read for the first time too;
//! `WAS 8 X 34` names what was there before.

use std::collections::BTreeMap;

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::place::Place;

use crate::read::schedule::{Line, Note, PartRole};
use crate::read::sheet::{Cell, Row};
use crate::read::tables::headings::{self, Meaning as M};
use crate::read::tables::table::{Column, Holds, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// A column that says of rows whether they are still there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Revised {
    /// Its index.
    index: usize,
    /// What its cells say.
    says: Says,
}

/// What the cells of such a column say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Says {
    /// Words: `DEL`, `VOID`, `DOOR DELETED`.
    Words,
    /// Words of a status: `active`, `inactive`, `deleted`.
    Status,
    /// Marks of the rows that hold, `is_active`: `t`, `f`.
    Holds,
    /// Marks of the rows that do not, `DELETED`: `Y`, `N`.
    Gone,
}

/// The columns of revisions of a table, and those of a list that mark the rows that hold.
pub(crate) fn columns(columns: &[Column], sample: &BTreeMap<usize, Vec<&Cell>>) -> Vec<Revised> {
    let others = columns.iter().filter(|column| column.meaning == M::Other);
    // `door_id`: a program wrote the headings.
    let of_leaves = columns.iter().any(|column| words::list("not-active").is(&headings::key(&column.heading)));
    let export = columns.iter().any(|column| column.heading.contains('_')) && !of_leaves;
    others.filter_map(|column| Some(Revised { index: column.index, says: says(column, export, sample)? })).collect()
}

fn says(column: &Column, export: bool, sample: &BTreeMap<usize, Vec<&Cell>>) -> Option<Says> {
    let key = headings::key(&column.heading);
    let (revised, around) = (words::list("revision-heading"), ["revision-heading-beside", "deleted-beside"]);
    let named = key.split(' ').next().is_some_and(|word| revised.is(word));
    // `CHANGE KEY` is of keys.
    let beside = |word: &str| {
        revised.is(word)
            || around.iter().any(|used| words::list(used).is(word))
            || word.bytes().all(|byte| byte.is_ascii_digit())
    };
    if named && key.split(' ').all(beside) {
        return Some(Says::Words);
    }
    if words::list("record-status-heading").is(&key) {
        return Some(Says::Status);
    }
    // Marks alone, of which some leave the row where it is.
    let marks = |stays: fn(&str) -> bool| {
        let cells = sample.get(&column.index)?;
        let marked = cells.iter().all(|cell| is_yes(&cell.text) || is_no(&cell.text));
        (marked && cells.iter().any(|cell| stays(&cell.text))).then_some(())
    };
    if words::list("active-heading").is(&key) || export && words::list("active-heading-of-export").is(&key) {
        return marks(is_yes).map(|()| Says::Holds);
    }
    words::list("deleted-heading").is(&key).then_some(Says::Gone)
}

fn is_yes(text: &str) -> bool {
    let folded = plain(text);
    words::list("truthy").is(&folded) || folded == "1"
}

fn is_no(text: &str) -> bool {
    words::list("not-active-mark").is(&plain(text))
}

/// What a column of revisions says of a row that is no longer there: `DEL`, `VOID`, `DOOR DELETED`, `is_active: f`.
pub(crate) fn gone(table: &Table, row: &Row) -> Option<String> {
    table.revisions.iter().find_map(|column| {
        let cell = row.cell(column.index).filter(|cell| !cell.struck)?;
        let text = cell.text.as_str();
        let marked = || Some(format!("{}: {text}", table.at(column.index)?.heading));
        match column.says {
            Says::Words => says_gone(text).then(|| text.to_string()),
            Says::Status => (says_gone(text) || words::list("not-active").is(&plain(text))).then(marked)?,
            Says::Holds => is_no(text).then(marked)?,
            Says::Gone => is_yes(text).then(marked)?,
        }
    })
}

fn says_gone(text: &str) -> bool {
    let (gone, around) = (words::list("deleted-mark"), words::list("deleted-beside"));
    let folded = plain(text);
    let mut words = folded.split(|letter: char| !letter.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let number = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    let words: Vec<&str> = words.by_ref().collect();
    // `ADD. 1`, `AD-2` name an addendum; `ADD` alone adds.
    // Behind a count it is another count, `DEL 1, ADD 2`; behind a joint another deed, `DELETE AND ADD 1`.
    let parted = |at: usize| {
        let before = at.checked_sub(1).and_then(|before| words.get(before));
        before.is_some_and(|word| number(word) || words::list("joins-doors").is(word))
    };
    let issue = |at: usize| {
        let numbered = words.get(at + 1).is_some_and(|next| number(next));
        words::list("issue-in-short").is(words[at]) && numbered && !parted(at)
    };
    // `DELETE ITEM 2` is of a part.
    let part = |two: &[&str]| words::list("numbered-part").is(two[0]) && number(two[1]);
    if words.windows(2).any(part) {
        return false;
    }
    let fits = |(at, word): (usize, &&str)| gone.is(word) || around.is(word) || number(word) || issue(at);
    words.iter().any(|word| gone.is(word)) && words.iter().enumerate().all(fits)
}

/// What a column of revisions says of a part of a row: `DELETE CLOSER`.
pub(crate) fn takes_a_part(table: &Table, row: &Row) -> Option<String> {
    let cells = table.revisions.iter().filter_map(|column| row.cell(column.index)).filter(|cell| !cell.struck);
    let names = |text: &&str| {
        let folded = plain(text);
        let mut words = folded.split(|letter: char| !letter.is_ascii_alphanumeric());
        words.any(|word| words::list("deleted-mark").is(word)) && !says_gone(text)
    };
    cells.map(|cell| cell.text.as_str()).find(names).map(str::to_string)
}

/// Says that a door is left out because of its revision.
pub(crate) fn tell(number: &str, words: &str, has_set: bool, place: Place) -> Finding {
    let says = format!("the row of door {number} says \"{words}\"; the door was left out");
    // What is deleted at a door that has a set may be a part of it.
    let kind = if has_set { Kind::Question } else { Kind::Assumption };
    let finding = Finding {
        openings: vec![number.to_string()],
        priced_as: if has_set { "the door left out".into() } else { String::new() },
        answers: if has_set { answers() } else { Vec::new() },
        ..Finding::new("row-deleted", kind, Weight::Goods, says)
    };
    finding.at(place, words).help("check that the door is deleted, and not something at it")
}

/// Says that goods are left out because of their revision, and asks where a status or a mark says so.
fn of_line(set: &str, gone: &str, line: &Line) -> Finding {
    let says = format!("the row of the goods says \"{gone}\"; they were left out");
    // `DELETED, ADD 2` names an addendum, or adds two.
    let marked = gone.contains(": ") || gone.contains(", ");
    let kind = if marked { Kind::Question } else { Kind::Assumption };
    let priced_as = if marked { "left out".to_string() } else { String::new() };
    let finding =
        Finding { set: Some(set.to_string()), priced_as, ..Finding::new("row-deleted", kind, Weight::Goods, says) };
    finding
        .at(line.place.clone(), line.wording.text.clone())
        .help("check that the goods are deleted; if they stay, take the mark out")
}

fn answers() -> Vec<Answer> {
    let stays = Effect::Doors { are: Fact::Stay, goods: Vec::new() };
    vec![Answer::new("the door is deleted", Effect::Nothing), Answer::new("the door stays", stays)]
}

impl Walker<'_> {
    /// Takes the goods of a row out that its revision deletes, and what was there before out of the words of the others.
    pub(crate) fn revised(&self, row: &Row, text: &str, out: &mut Gathered) {
        let lanes = || self.lanes.iter().filter_map(|lane| Some((lane.table.as_ref()?, lane.set?)));
        for (table, set) in lanes().filter(|(table, _)| table.holds == Holds::Items) {
            let dated = ["WAS ", "Was ", "was "].iter().any(|word| text.contains(word));
            let gone = if table.revisions.is_empty() { None } else { gone(table, row) };
            let Some(set) = out.schedule.sets.get_mut(set).filter(|_| dated || gone.is_some()) else { continue };
            for line in set.lines.iter_mut().rev().take_while(|line| line.place.row == row.number) {
                if let Some(gone) = gone.as_ref().filter(|_| line.excluded.is_none()) {
                    line.excluded = Some(gone.clone());
                    out.schedule.findings.push(of_line(&set.id, gone, line));
                }
                let before = if dated { take_old(line) } else { Vec::new() };
                set.notes.extend(before.into_iter().map(|text| Note { text, place: line.place.clone() }));
            }
        }
    }
}

/// Takes `REV 1: WAS 8 X 34` out of the remarks of a line.
fn take_old(line: &mut Line) -> Vec<String> {
    let mut taken = Vec::new();
    let remarks: Vec<usize> = line
        .wording
        .parts
        .iter()
        .enumerate()
        .filter(|(_, part)| part.role == PartRole::Remarks)
        .filter(|(_, part)| {
            let text = line.wording.text.get(part.span.clone()).unwrap_or_default();
            let old = names_old(text);
            if old {
                taken.push(text.to_string());
            }
            old
        })
        .map(|(at, _)| at)
        .collect();
    if !remarks.is_empty() {
        line.wording.rewrite(|at, text| if remarks.contains(&at) { String::new() } else { text.to_owned() });
    }
    taken
}

/// Whether a remark says what was there before and nothing else: `REV 1: WAS 8 X 34`, `was set 1`.
fn names_old(text: &str) -> bool {
    let folded = plain(text);
    let Some(at) = words::list("named-old").find(&folded).map(|was| words::offset(&folded, was)) else { return false };
    let (before, behind) = folded.split_at(at);
    let around = words::list("revision");
    let idle = |word: &str| word.is_empty() || around.is(word) || word.bytes().all(|byte| byte.is_ascii_digit());
    before.split(|letter: char| !letter.is_ascii_alphanumeric()).all(idle)
        && !behind.contains([';', '\n'])
        && words::list("named-new").find(behind).is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deleted_rows_and_old_values_are_told_from_other_remarks() {
        for (text, gone) in [
            ("DEL", true),
            ("VOID", true),
            ("DOOR DELETED", true),
            ("DELETED REV 2", true),
            ("ADD OR DELETE", false),
            ("DEL 1, ADD 2", false),
            ("Delete Item 2", false),
            ("ITEM DELETED", true),
            ("DEL 1 ADD 2", false),
            ("DELETE AND ADD 1", false),
            ("DELETED CLOSER", false),
            ("ADD", false),
            ("2", false),
            ("DELTA 2", false),
            ("DELETED ADD. 1", true),
            ("DELETED (ADD #2)", true),
            ("AD-2 DELETE", true),
            ("Add. 1 - deleted", true),
            ("ADD 1", false),
            ("DEL CLOSER, ADD 1", false),
            ("DELETE STOP, ADD CLOSER", false),
            ("DELETED, ADD 2", true),
            ("DOOR DELETED, AD-2", true),
            ("DEL 1, ADD. 2", false),
        ] {
            assert_eq!(says_gone(text), gone, "{text}");
        }
        for (text, old) in [
            ("REV 1: WAS 8 X 34", true),
            ("was set 1", true),
            ("FORMERLY 8 IN", true),
            ("WAS 8 X 34, NOW 10 X 34", false),
            ("closer was omitted; provide", false),
            ("DOOR WAS EXISTING", true),
            ("10 X 34", false),
        ] {
            assert_eq!(names_old(text), old, "{text}");
        }
    }
}
