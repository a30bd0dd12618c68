//! Sheets and rows that others have replaced: hidden, or called old, and saying again which sets or doors there are. Such
//! sheets are read after the others; what stands elsewhere counts, and what was passed over is said.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::place::Place;

use super::supersededrows;
use crate::read::openings::doorlist;
use crate::read::schedule::{HardwareSet, Opening, Role, loose_id};
use crate::read::sets::setheading;
use crate::read::sheet::Sheet;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// The sheets in the order in which they are read: those that may be out of date come last.
pub(crate) fn in_turn(sheets: &[Sheet]) -> Vec<&Sheet> {
    let (old, current): (Vec<&Sheet>, Vec<&Sheet>) = sheets.iter().partition(|sheet| may_be_old(sheet));
    current.into_iter().chain(old).collect()
}

/// Whether a sheet is hidden, or called old.
pub(crate) fn may_be_old(sheet: &Sheet) -> bool {
    let name = plain(&sheet.name);
    // `Old Gym` is a place, `Old sets` and `A-601 OLD` are out of date.
    let is_place = || {
        words::list("sheet-called-old").begins(&name).is_some_and(|word| word.len() < name.len())
            && words::list("sheet-table").find(&name).is_none()
    };
    sheet.hidden
        || words::list("sheet-old").find(&name).is_some() && !is_place()
        || titled_old(sheet) && supersededrows::of(sheet).is_empty()
}

/// Rows at the head of a sheet that may say that it is out of date.
const HEAD: usize = 6;
/// Words in such a row, at most.
const WORDS: usize = 12;

/// `SUPERSEDED - Issue 2, see Issue 3` alone in a row above the tables.
fn titled_old(sheet: &Sheet) -> bool {
    let old = words::list("title-old");
    sheet.rows.iter().take(HEAD).any(|row| {
        let [cell] = &row.cells[..] else { return false };
        let said = plain(&cell.text).replace(". ", " - ");
        let said = said.trim_matches(|sign: char| !sign.is_alphanumeric());
        let of_itself = |word: &&str| {
            let at = words::offset(said, word);
            let (before, rest) = (&said[..at], said[at + word.len()..].trim_start());
            // `ISSUE 3 - DO NOT USE ISSUE 2`, `VOID ISSUE 2` may stand above the issue that holds.
            let numbered = |text: &str| text.bytes().any(|byte| byte.is_ascii_digit());
            let other = rest.trim_start_matches(|sign: char| !sign.is_alphanumeric());
            // `VOID - ISSUE 1` is the stamp of issue 1 itself.
            let orders = words::list("title-old-orders").is(word) && other.len() == rest.len();
            if numbered(other) && names_a_sheet(other) && (numbered(before) || orders) {
                return false;
            }
            (before.is_empty() || is_of_itself(before)) && goes_on_of_itself(rest)
        };
        // `SET 1 - VOID`, `DOORS 101, 102 - VOID`: these alone.
        let of_part = || setheading::heading(&cell.text).is_some() || setheading::served(&cell.text).is_some();
        let whole = || words::list("title-old-whole").begins(said).is_some_and(|word| is_dated(&said[word.len()..]));
        said.split(' ').count() <= WORDS && (whole() || old.all(said).iter().any(of_itself)) && !of_part()
    })
}

/// Whether words are figures and names of sheets alone: `11/1/26`, `THIS SHEET`.
fn names_a_sheet(words_of: &str) -> bool {
    let mut words = words_of.split(' ').filter(|word| !word.is_empty());
    words.all(|word| is_dated(word) || words::list("title-old-sheet").is(word))
}

/// Whether a text has no letters: a date, a number, nothing.
fn is_dated(text: &str) -> bool {
    text.bytes().all(|byte| !byte.is_ascii_alphabetic())
}

/// What stands behind `SUPERSEDED`, where it is said of the sheet: nothing, `- Issue 2`, `BY ISSUE 3`, `SCHEDULE`, `11/1/26`.
/// `DO NOT USE FOR CONSTRUCTION`, `SUPERSEDED ISSUES: 1, 2` stand above schedules that hold.
fn goes_on_of_itself(rest: &str) -> bool {
    let parted = rest.starts_with(|sign: char| !sign.is_alphanumeric() && sign != ':');
    parted || names_a_sheet(rest) || words::list("title-old-goes-on").begins(rest).is_some()
}

/// What stands before `SUPERSEDED` at the end of a row, where it is said of the sheet: `DOOR SCHEDULE ISSUE 2 -`, `THIS SHEET
/// IS`. `ALL PREVIOUS ISSUES ARE`, `ISSUE 3 (ISSUE 2` say it of others.
fn is_of_itself(before: &str) -> bool {
    if !before.ends_with(|sign: char| !sign.is_alphanumeric()) || words::list("title-old-others").find(before).is_some()
    {
        return false;
    }
    let mut seen: BTreeSet<&str> = BTreeSet::new();
    let mut worded = before.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    let names_two = worded.any(|word| word.bytes().all(|byte| byte.is_ascii_alphabetic()) && !seen.insert(word));
    // `SCHEDULE IS VOID`; `ISSUE 2 IS VOID` may stand above issue 3.
    let itself = || {
        let bare = before.trim_end().rsplit_once(' ').map_or("", |(bare, _)| bare);
        words::list("title-old-itself").begins(before).is_some()
            || !bare.is_empty() && bare.split(' ').all(|word| words::list("title-old-sheet").is(word))
    };
    !names_two && (words::list("prose").find(before).is_none() || itself())
}

type Tab = (Arc<str>, Arc<str>);

fn tab(place: &Place) -> Tab {
    (place.file.clone(), place.sheet.clone())
}

/// Keeps which sheets and rows may be out of date.
pub(crate) fn note(sheet: &Sheet, out: &mut Gathered) {
    if may_be_old(sheet) {
        let tab = (sheet.file.clone(), sheet.name.clone());
        if !sheet.hidden {
            out.called_old.insert(tab.clone());
        }
        out.old_sheets.insert(tab);
    } else {
        out.hidden_rows.extend(sheet.rows.iter().filter(|row| row.hidden).map(|row| sheet.place(row.number)));
        out.old_rows.extend(supersededrows::of(sheet).into_iter().map(|row| sheet.place(row)));
    }
}

/// Where doors and sets stand that are called superseded by the title above them.
const IN_OLD_ROWS: &str = "in rows that are called superseded";

/// What may be out of date.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Age {
    Hidden,
    Rows,
    Sheet,
}

impl Age {
    fn says(self, sheet: &str) -> String {
        match self {
            Age::Hidden => "in hidden rows".into(),
            Age::Rows => IN_OLD_ROWS.into(),
            Age::Sheet => format!("of the old sheet \"{sheet}\""),
        }
    }
}

/// Why a set is out of date, if it may be.
fn age(set: &HardwareSet, out: &Gathered) -> Option<String> {
    if out.old_sheets.contains(&tab(&set.place)) {
        return Some(format!("of the old sheet \"{}\"", set.place.sheet));
    }
    if out.hidden_rows.contains(&whole_row(&set.place)) {
        return Some("in hidden rows".into());
    }
    if out.old_rows.contains(&whole_row(&set.place)) {
        return Some(IN_OLD_ROWS.into());
    }
    words::list("sheet-old").begins(&plain(&set.title)).map(|word| format!("called \"{}\"", word.to_lowercase()))
}

/// Passes over old sets that others define too, before anything is made of them.
pub(crate) fn sets(out: &mut Gathered) {
    let ages: Vec<Option<String>> = out.schedule.sets.iter().map(|set| age(set, out)).collect();
    if ages.iter().all(Option::is_none) {
        return;
    }
    let said_to_be = |at: usize| out.same.iter().any(|same| same.0 == at);
    let sets = &out.schedule.sets;
    let defined: BTreeSet<String> = (0..sets.len())
        .filter(|at| ages[*at].is_none())
        .filter(|at| !sets[*at].lines.is_empty() || sets[*at].not_used.is_some() || said_to_be(*at))
        .map(|at| loose_id(&sets[at].id))
        .collect();
    let gone: Vec<bool> =
        sets.iter().zip(&ages).map(|(set, age)| age.is_some() && defined.contains(&loose_id(&set.id))).collect();
    let mut told: BTreeMap<(Tab, &str), (Place, Vec<String>)> = BTreeMap::new();
    let mut rows: BTreeSet<Place> = BTreeSet::new();
    for (set, age) in sets.iter().zip(&ages).zip(&gone).filter(|(_, gone)| **gone).map(|(set, _)| set) {
        let key = (tab(&set.place), age.as_deref().unwrap_or_default());
        let (_, ids) = told.entry(key).or_insert_with(|| (set.place.clone(), Vec::new()));
        ids.push(set.id.clone());
        rows.extend(set.lines.iter().map(|line| whole_row(&line.place)));
        rows.insert(whole_row(&set.place));
    }
    if told.is_empty() {
        return;
    }
    for (((_, sheet), age), (place, ids)) in told {
        let says = match &ids[..] {
            [id] => format!("set {id} {age} is defined elsewhere too, and that was followed"),
            ids => format!("sets {} {age} are defined elsewhere too, and that was followed", ids.join(", ")),
        };
        out.schedule.findings.push(finding(says).at(place, sheet.to_string()));
    }
    let lost = out.served.iter().filter(|served| gone[served.0]);
    let lost = lost.map(|(set, entries, place)| (out.schedule.sets[*set].id.clone(), entries.clone(), place.clone()));
    out.served_by_old.extend(lost.collect::<Vec<_>>());
    take_out(&gone, out);
    pass_over(&rows, out);
}

/// Asks about doors that nothing names but the headings of sets that were passed over.
pub(crate) fn unserved(out: &mut Gathered) {
    let lost = std::mem::take(&mut out.served_by_old);
    if lost.is_empty() {
        return;
    }
    let numbers: Vec<String> = out.schedule.openings.iter().map(|opening| opening.number.clone()).collect();
    let have: BTreeSet<String> = numbers.iter().map(|number| plain(number)).collect();
    let known = doorlist::Known::of(&numbers);
    let mut asked: BTreeSet<String> = BTreeSet::new();
    for (id, entries, place) in lost {
        let mut doors = doorlist::spell_out(&entries, &known);
        doors.retain(|door| !have.contains(&plain(door)) && asked.insert(plain(door)));
        let [first, ..] = &doors[..] else { continue };
        let says = format!(
            "only the set {id} that was passed over as out of date names {} that {} nowhere else: {}",
            if doors.len() == 1 { "a door" } else { "doors" },
            if doors.len() == 1 { "stands" } else { "stand" },
            doors.iter().take(12).cloned().collect::<Vec<_>>().join(", ")
        );
        let excerpt = first.clone();
        out.schedule.findings.push(
            Finding {
                openings: doors,
                set: Some(id),
                priced_as: "these doors are not counted".into(),
                ..Finding::new("old-set-doors", Kind::Question, Weight::Goods, says)
            }
            .at(place, excerpt)
            .help("ask whether these doors were taken out of the job; if not, name them under the set that counts"),
        );
    }
}

/// Takes sets out; where a set stood among all, it stands among those that stay.
pub(crate) fn take_out(gone: &[bool], out: &mut Gathered) {
    let mut kept = 0;
    let moved: Vec<Option<usize>> = gone
        .iter()
        .map(|gone| {
            kept += usize::from(!gone);
            (!gone).then(|| kept - 1)
        })
        .collect();
    out.served.retain_mut(|served| moved[served.0].map(|at| served.0 = at).is_some());
    out.same.retain_mut(|same| moved[same.0].map(|at| same.0 = at).is_some());
    let facts = std::mem::take(&mut out.set_facts).into_iter();
    out.set_facts = facts.filter_map(|(at, facts)| Some((moved[at]?, facts))).collect();
    out.assigned.moved(&moved);
    let mut at = 0;
    out.schedule.sets.retain(|_| {
        at += 1;
        !gone[at - 1]
    });
}

/// Passes over the doors of old sheets and of hidden rows that stand elsewhere too. Where that is most of an old sheet, the
/// rest of it is counted no more, and asked about.
pub(crate) fn doors(out: &mut Gathered) {
    if out.old_sheets.is_empty() && out.hidden_rows.is_empty() && out.old_rows.is_empty() {
        return;
    }
    let age = |place: &Place| {
        let row = whole_row(place);
        match out.old_sheets.contains(&tab(place)) {
            true => Some(Age::Sheet),
            false if out.old_rows.contains(&row) => Some(Age::Rows),
            false => out.hidden_rows.contains(&row).then_some(Age::Hidden),
        }
    };
    let doors = &out.schedule.openings;
    let current: BTreeSet<String> =
        doors.iter().filter(|door| age(&door.place).is_none()).map(|door| plain(&door.number)).collect();
    let mut by_sheet: BTreeMap<(Tab, Age), (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for (at, door) in doors.iter().enumerate() {
        if let Some(age) = age(&door.place) {
            let (again, alone) = by_sheet.entry((tab(&door.place), age)).or_default();
            let list = if current.contains(&plain(&door.number)) { again } else { alone };
            list.push(at);
        }
    }
    // What a title calls superseded is so, whatever stands below it.
    let passed = |age: Age, again: &[usize], alone: &[usize]| {
        !again.is_empty() && (age != Age::Sheet || again.len() >= alone.len())
    };
    for ((tab, age), (again, alone)) in &by_sheet {
        let called = *age == Age::Rows || *age == Age::Sheet && out.called_old.contains(tab);
        if called && !passed(*age, again, alone) {
            let counted: Vec<&Opening> = alone.iter().map(|at| &doors[*at]).collect();
            out.schedule.findings.extend(alone_but_counted(*age, &tab.1, &counted));
        }
    }
    by_sheet.retain(|(_, age), (again, alone)| passed(*age, again, alone));
    let mut gone: BTreeSet<usize> = BTreeSet::new();
    let mut rows: BTreeSet<Place> = BTreeSet::new();
    for (((_, sheet), age), (again, alone)) in by_sheet {
        let openings = &mut out.schedule.openings;
        rows.extend(again.iter().map(|at| whole_row(&openings[*at].place)));
        gone.extend(&again);
        let numbers = |list: &[usize], openings: &[Opening]| -> Vec<String> {
            list.iter().map(|at| openings[*at].number.clone()).collect()
        };
        let says = format!("doors {} stand elsewhere too, and that was followed: {}", age.says(&sheet), again.len());
        let told = Finding { openings: numbers(&again, openings), ..finding(says) };
        out.schedule.findings.push(told.at(openings[again[0]].place.clone(), sheet.to_string()));
        let Some(first) = alone.first().filter(|_| age != Age::Hidden) else { continue };
        let (says, why) = match age {
            Age::Rows => (
                format!("doors stand {IN_OLD_ROWS} alone, and not in the issue that holds"),
                format!("stands {IN_OLD_ROWS} alone"),
            ),
            _ => (
                format!("doors stand on the old sheet \"{sheet}\" alone, most of whose doors stand elsewhere too"),
                format!("stands on the old sheet \"{sheet}\" alone"),
            ),
        };
        out.schedule.findings.push(
            Finding {
                openings: numbers(&alone, openings),
                priced_as: "these doors are not counted".into(),
                ..Finding::new("old-sheet", Kind::Question, Weight::Goods, says)
            }
            .at(openings[*first].place.clone(), openings[*first].number.clone())
            .help("ask whether these doors were taken out of the job"),
        );
        for at in alone {
            openings[at].excluded = Some(why.clone());
        }
    }
    let mut at = 0;
    out.schedule.openings.retain(|_| {
        at += 1;
        !gone.contains(&(at - 1))
    });
    pass_over(&rows, out);
}

/// Asks about doors that stand on a sheet that is called old, and nowhere else, where most of its doors do.
fn alone_but_counted(age: Age, sheet: &str, doors: &[&Opening]) -> Option<Finding> {
    let first = doors.first()?;
    let says = match age {
        Age::Rows => "a title calls rows superseded, and their doors stand nowhere else; they were counted".to_string(),
        _ => {
            format!("the sheet \"{sheet}\" is called out of date, and its doors stand nowhere else; they were counted")
        }
    };
    let out = Effect::Doors { are: Fact::Out, goods: Vec::new() };
    let finding = Finding {
        openings: doors.iter().map(|door| door.number.clone()).collect(),
        priced_as: "counted".into(),
        answers: vec![Answer::new("counted", Effect::Nothing), Answer::new("not of the job", out)],
        ..Finding::new("old-sheet", Kind::Question, Weight::Goods, says)
    };
    Some(finding.at(first.place.clone(), first.number.clone()).help("ask whether these doors are still in the job"))
}

fn finding(says: String) -> Finding {
    Finding::new("old-sheet", Kind::Assumption, Weight::Goods, says).help(
        "check that it is out of date; if it counts, take out the other one, or pass its sheet over in the job file",
    )
}

fn whole_row(place: &Place) -> Place {
    Place { column: None, ..place.clone() }
}

/// The rows of what was passed over say so, unless something else comes from them.
fn pass_over(rows: &BTreeSet<Place>, out: &mut Gathered) {
    let schedule = &out.schedule;
    let lines = schedule.sets.iter().flat_map(|set| set.lines.iter().map(|line| &line.place));
    let sources = lines.chain(schedule.openings.iter().map(|door| &door.place));
    let used: BTreeSet<Place> = sources.map(whole_row).collect();
    for row in out.schedule.ledger.iter_mut().filter(|row| rows.contains(&row.place) && !used.contains(&row.place)) {
        row.role = Role::Excluded;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::sheet::{Cell, Row};

    #[test]
    fn a_title_calls_its_own_sheet_old_and_not_others() {
        for (title, old) in [
            ("SUPERSEDED - Issue 2, see Issue 3", true),
            ("SUPERSEDED BY ISSUE 3", true),
            ("*** DO NOT USE ***", true),
            ("Door schedule, Issue 2 (superseded)", true),
            ("DOOR SCHEDULE ISSUE 2 - VOID", true),
            ("THIS SCHEDULE IS SUPERSEDED", true),
            ("SUPERSEDED SCHEDULE", true),
            ("VOID SHEET", true),
            ("DO NOT USE THIS SHEET", true),
            ("SUPERSEDED ISSUE 2", true),
            ("SUPERSEDED 11/1/26", true),
            ("SCHEDULE IS VOID", true),
            ("PREVIOUS ISSUE", true),
            ("PREVIOUS ISSUE, 11/1/26", true),
            ("NOT CURRENT. USE ISSUE 2", true),
            ("DOOR SCHEDULE REV 1 - SUPERSEDED BY REV 2", true),
            ("Version 3. Do not use version 2", false),
            ("REV 3 - VOID REV 2", false),
            ("Rev. 3 - do not use Rev. 2", false),
            ("ISSUE 3, DO NOT USE ISSUE 2", false),
            ("ISSUE 3 (DO NOT USE ISSUE 2)", false),
            ("ISSUE 3 / VOID ISSUE 2", false),
            ("REV 3. OBSOLETE: REV 2", false),
            ("ISSUE 1 VOID. ISSUE 2", false),
            ("VOID ISSUE 2", false),
            ("DO NOT USE VERSION 2", false),
            ("DO NOT USE SHEET 1", false),
            ("CURRENT - DO NOT USE 11/1/26 ISSUE", false),
            ("PREVIOUS ISSUES ARE LISTED BELOW", false),
            ("PREVIOUS ISSUE: SEE A-601", false),
            ("VOID DOORS SHOWN STRUCK", false),
            ("DOOR SCHEDULE - OBSOLETE HARDWARE REUSED", false),
            ("ISSUE 3 - ALL PREVIOUS ISSUES ARE SUPERSEDED", false),
            ("Previous schedules are superseded", false),
            ("ISSUE 3 (ISSUE 2 SUPERSEDED)", false),
            ("ISSUE 2 IS SUPERSEDED", false),
            ("SUPERSEDED ISSUES: 1, 2", false),
            ("DO NOT USE FOR CONSTRUCTION", false),
            ("CHANGES SINCE PREVIOUS ISSUE", false),
            ("HARDWARE SET 9 - VOID", false),
            ("DOORS 101, 102 - VOID", false),
        ] {
            let mut sheet = Sheet::new(&Arc::from("a.csv"), "");
            sheet.rows.push(Row { number: 1, cells: vec![Cell::text(0, title)], hidden: false });
            assert_eq!(titled_old(&sheet), old, "{title}");
        }
    }
}
