//! Further layouts: matrices, goods in one cell, pages pasted as text.

use crate::blocks::blocks;
use crate::corpus::Input;
use crate::goods::KINDS;
use crate::job::{Good, Job};
use crate::lines::Lines;
use crate::names::Names;
use crate::pen::Pen;
use crate::render::{Rendering, files, with_schedule};
use crate::schedule::{Column, Doors, Page, listed};

/// A row a door and a column a kind of goods; what stands in the cells is a count, words, or a code of a key.
pub fn matrix(pen: &mut Pen, job: &Job) -> Rendering {
    let doors = Doors::draw(pen, false, false);
    let mut kinds: Vec<&'static str> = Vec::new();
    for kind in KINDS {
        let used = job.sets.iter().flat_map(|set| &set.goods).any(|good| good.of().column == kind.column);
        if used && !kinds.contains(&kind.column) {
            kinds.push(kind.column);
        }
    }
    let coded = pen.has("codes with a key", 40);
    let form = pen.habit("counts with codes", &["3 H1", "(3) H1", "H1 x3", "H1 (3)"]);
    let none = pen.habit("no such good", &["", "-", "--"]);
    let one = pen.habit("one of a good", &["1", "1", "X", "Y"]);
    let codes = Codes::of(job, &kinds);
    let mut page = Page { name: "Hardware".to_owned(), rows: Vec::new() };
    if pen.has("title above the matrix", 60) {
        page.say("DOOR AND HARDWARE SCHEDULE");
    }
    if doors.grouped {
        page.rows.push(doors.groups());
    }
    let mut headings = doors.headings();
    let remarks = if doors.has(Column::Remarks) { headings.pop() } else { None };
    headings.extend(kinds.iter().map(|kind| (*kind).to_owned()));
    headings.extend(remarks.clone());
    page.rows.push(headings);
    for door in &job.doors {
        let mut row = doors.cells(door, job);
        let own = remarks.as_ref().and_then(|_| row.pop());
        for column in &kinds {
            let good = job.sets[door.set].goods.iter().find(|good| good.of().column == *column && !door.not_used);
            row.push(match good {
                None if door.not_used => String::new(),
                None => none.to_owned(),
                Some(good) if good.others.is_some() => good.others.unwrap_or_default().to_uppercase(),
                Some(good) if coded => counted(form, good.pieces, &codes.code(good)),
                Some(good) if ["LOCK", "LATCH", "EXIT DEVICE"].contains(column) => match good.pieces {
                    1 => good.words.to_owned(),
                    more => format!("({more}) {}", good.words),
                },
                Some(good) if good.pieces == 1 => one.to_owned(),
                Some(good) => good.pieces.to_string(),
            });
        }
        row.extend(own);
        page.rows.push(row);
    }
    if coded {
        page.blank();
        page.say(pen.pick(&["HARDWARE KEY", "KEY", "LEGEND", "HARDWARE LEGEND"]));
        let beside = pen.has("key in two columns", 50);
        for (code, words) in &codes.all {
            page.rows.push(if beside {
                vec![code.clone(), (*words).to_owned()]
            } else {
                vec![format!("{code} = {words}")]
            });
        }
    }
    let facts = doors.columns.iter().map(|(column, _)| *column).collect();
    Rendering { inputs: files(pen, vec![page]), facts, sets: false, ordered: true }
}

fn counted(form: &str, pieces: u32, code: &str) -> String {
    match (pieces, form) {
        (1, _) => code.to_owned(),
        (_, "(3) H1") => format!("({pieces}) {code}"),
        (_, "H1 x3") => format!("{code} x{pieces}"),
        (_, "H1 (3)") => format!("{code} ({pieces})"),
        _ => format!("{pieces} {code}"),
    }
}

/// Codes of a key: a letter for the column, a number for each wording in it.
struct Codes {
    all: Vec<(String, &'static str)>,
}

impl Codes {
    fn of(job: &Job, kinds: &[&'static str]) -> Codes {
        let mut all: Vec<(String, &'static str)> = Vec::new();
        for column in kinds {
            let lead = lead(column, kinds);
            let mut number = 0;
            for good in job.sets.iter().flat_map(|set| &set.goods) {
                let known = all.iter().any(|(_, words)| *words == good.words);
                if good.of().column == *column && good.others.is_none() && !known {
                    number += 1;
                    all.push((format!("{lead}{number}"), good.words));
                }
            }
        }
        Codes { all }
    }

    fn code(&self, good: &Good) -> String {
        let own = self.all.iter().find(|(_, words)| *words == good.words);
        own.map_or_else(|| good.words.to_owned(), |(code, _)| code.clone())
    }
}

/// The initials of a heading of several words, the fewest letters of one word that no other heading begins with.
fn lead(column: &str, kinds: &[&str]) -> String {
    if column.contains(' ') {
        return column.split(' ').filter_map(|word| word.chars().next()).collect();
    }
    let alone = |long: &usize| kinds.iter().filter(|other| other.starts_with(&column[..*long])).count() == 1;
    (1..column.len()).find(alone).map_or(column, |long| &column[..long]).to_owned()
}

/// A row a set and a column a kind of goods; the doors in a column beside, or in a schedule.
pub fn matrix_of_sets(pen: &mut Pen, job: &Job, names: &Names) -> Rendering {
    let mut kinds: Vec<&'static str> = Vec::new();
    for good in job.sets.iter().flat_map(|set| &set.goods) {
        if !kinds.contains(&good.of().column) {
            kinds.push(good.of().column);
        }
    }
    let none = pen.habit("no such good", &["", "-", "--"]);
    let titles = pen.has("column of titles of sets", 40);
    let mut page = Page { name: "Hardware Sets".to_owned(), rows: Vec::new() };
    page.say("HARDWARE SETS");
    let mut headings =
        vec![pen.habit("heading of the set of goods", &["SET", "HDW SET", "HW SET", "SET NO.", "GROUP"])];
    if titles {
        headings.push(pen.habit("heading of titles", &["SET DESCRIPTION", "USED FOR", "SET TITLE"]));
    }
    headings.extend(&kinds);
    page.rows.push(headings.iter().map(|heading| (*heading).to_owned()).collect());
    for set in &job.sets {
        let mut row = vec![set.id.clone()];
        if titles {
            row.push(if set.not_used { names.unused().to_owned() } else { set.title.to_owned() });
        }
        for (at, column) in kinds.iter().enumerate() {
            let good = set.goods.iter().find(|good| good.of().column == *column);
            row.push(match good {
                None if set.not_used && !titles && at == 0 => names.unused().to_owned(),
                None if set.not_used => String::new(),
                None => none.to_owned(),
                Some(good) if good.others.is_some() => good.others.unwrap_or_default().to_uppercase(),
                Some(good) if ["LOCK", "LATCH", "EXIT DEVICE"].contains(column) => match good.pieces {
                    1 => good.words.to_owned(),
                    more => format!("({more}) {}", good.words),
                },
                Some(good) => good.pieces.to_string(),
            });
        }
        page.rows.push(row);
    }
    // The columns give the goods an order of their own.
    Rendering { sets: false, ..with_schedule(pen, job, page, false) }
}

/// The goods of each door below one another, without sets.
pub fn by_door(pen: &mut Pen, job: &Job, lines: &Lines) -> Rendering {
    let every = pen.has("door in every row", 60);
    let mut page = Page { name: "Hardware".to_owned(), rows: Vec::new() };
    if pen.has("title above the table", 40) {
        page.say("DOOR HARDWARE SCHEDULE");
    }
    let mut headings =
        vec![pen.habit("heading of doors", &["DOOR NO.", "OPENING", "DOOR", "DOOR NUMBER", "DOOR #"]).to_owned()];
    headings.extend(lines.headings());
    page.rows.push(headings);
    let gaps = pen.has("blank rows between doors", 30);
    for door in job.doors.iter().filter(|door| !door.not_used) {
        for (line, good) in job.sets[door.set].goods.iter().enumerate() {
            let mut row = vec![if line == 0 || every { door.number.clone() } else { String::new() }];
            row.extend(lines.cells(good));
            page.rows.push(row);
        }
        if gaps {
            page.blank();
        }
    }
    Rendering { inputs: files(pen, vec![page]), facts: vec![Column::Number], sets: false, ordered: true }
}

/// All goods of a set in one cell.
pub fn cells(pen: &mut Pen, job: &Job, names: &Names, lines: &Lines) -> Rendering {
    let beside = pen.has("doors in the table", 50);
    let between = pen.habit("between goods of a cell", &["\n", "; ", "\n"]);
    let mut page = Page { name: "Sets".to_owned(), rows: Vec::new() };
    let mut headings =
        vec![pen.habit("heading of the set of goods", &["SET", "HDW SET", "HW SET", "SET NO.", "GROUP"]).to_owned()];
    if beside {
        headings.push(pen.habit("heading of lists of doors", &["DOORS", "OPENINGS", "DOOR NUMBERS"]).to_owned());
    }
    headings.push(
        pen.habit("heading of the cell", &["HARDWARE", "ITEMS", "HARDWARE ITEMS", "DESCRIPTION", "CONTENTS"])
            .to_owned(),
    );
    page.rows.push(headings);
    for (at, set) in job.sets.iter().enumerate() {
        let mut row = vec![set.id.clone()];
        if beside {
            row.push(if set.not_used { String::new() } else { listed(names, job, at) });
        }
        let goods: Vec<String> = set.goods.iter().map(|good| lines.line(good)).collect();
        row.push(if set.not_used { names.unused().to_owned() } else { goods.join(between) });
        page.rows.push(row);
    }
    if beside {
        return Rendering { inputs: files(pen, vec![page]), facts: vec![Column::Number], sets: true, ordered: true };
    }
    with_schedule(pen, job, page, false)
}

/// The sets as the text of a page that was copied out of a PDF.
pub fn pasted(pen: &mut Pen, job: &Job, names: &Names, lines: &Lines) -> Rendering {
    let page = blocks(pen, job, (names, lines), (true, false, false));
    let between = pen.habit("between columns of text", &[" ", "  ", "    "]);
    let long = 22 + pen.roll(12);
    let breaks = pen.has("headers of pages", 60);
    let title = pen.pick(&["LAKE DISTRICT LIBRARY", "HILLSIDE CLINIC PROJECT NO. 2026-07", "RIVER DEPOT - PHASE 2"]);
    let (mut text, mut rows, mut number) = (String::new(), 0, 1);
    for row in &page.rows {
        let cells: Vec<&str> = row.iter().map(String::as_str).filter(|cell| !cell.is_empty()).collect();
        // A page ends between sets, or within one.
        if breaks && rows == long {
            let foot = format!("DOOR HARDWARE 08 71 00 - {number}\n{title}\n");
            text.push_str(&foot);
            (rows, number) = (0, number + 1);
        }
        rows += 1;
        text.push_str(&cells.join(between));
        text.push('\n');
    }
    let input = Input { name: "pasted.txt".to_owned(), encoding: String::new(), text, sheets: Vec::new() };
    Rendering { inputs: vec![input], facts: vec![Column::Number], sets: true, ordered: true }
}
