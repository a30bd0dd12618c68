//! The layouts: one job written as an office would.

use crate::blocks::blocks;
use crate::corpus::{Input, Sheet};
use crate::job::Job;
use crate::lines::Lines;
use crate::more;
use crate::names::Names;
use crate::pen::Pen;
use crate::schedule::{Column, Doors, Page, listed};

/// What was written, and what of the truth can be read in it.
pub struct Rendering {
    /// The files.
    pub inputs: Vec<Input>,
    /// The schedule's columns, where there is a schedule of doors.
    pub facts: Vec<Column>,
    /// Sets stand there with their ids and the order of their goods.
    pub sets: bool,
    /// The goods of pairs stand in their order.
    pub ordered: bool,
}

/// What stands around and between sets: none of it may come into a good.
pub const ASIDES: &[&str] = &[
    "NOTE: VERIFY SWING IN FIELD.",
    "Coordinate with frame supplier.",
    "Notes: Free egress at all times.",
    "FIELD VERIFY EXISTING CONDITIONS.",
    "LAKE DISTRICT LIBRARY",
    "HILLSIDE CLINIC",
    "RIVER DEPOT",
    "08 71 00",
    "END OF SECTION",
    "EACH OPENING",
    "HARDWARE SCHEDULE",
];

/// The layouts, by name.
pub const LAYOUTS: [&str; 9] =
    ["flat", "blocks", "schedule", "index", "matrix", "cells", "pasted", "by door", "matrix of sets"];

/// Renders a job in a layout.
pub fn render(pen: &mut Pen, layout: &str, job: &Job) -> Rendering {
    let names = Names::draw(pen);
    let lines = Lines::draw(pen);
    match layout {
        "flat" => flat(pen, job, &names, &lines),
        "matrix" => more::matrix(pen, job),
        "cells" => more::cells(pen, job, &names, &lines),
        "by door" => more::by_door(pen, job, &lines),
        "matrix of sets" => more::matrix_of_sets(pen, job, &names),
        "pasted" => more::pasted(pen, job, &names, &lines),
        "blocks" => {
            let page = blocks(pen, job, (&names, &lines), (true, false, true));
            Rendering { inputs: files(pen, vec![page]), facts: vec![Column::Number], sets: true, ordered: true }
        }
        "index" => {
            let page = blocks(pen, job, (&names, &lines), (false, false, true));
            with_schedule(pen, job, page, true)
        }
        _ => {
            let page = blocks(pen, job, (&names, &lines), (false, true, true));
            Rendering { ordered: false, ..with_schedule(pen, job, page, false) }
        }
    }
}

/// A schedule or an index of doors, and the page of the sets.
pub fn with_schedule(pen: &mut Pen, job: &Job, sets: Page, bare: bool) -> Rendering {
    let doors = Doors::draw(pen, bare, true);
    let page = doors.page(pen, job);
    let facts = doors.columns.iter().map(|(column, _)| *column).collect();
    Rendering { inputs: files(pen, vec![page, sets]), facts, sets: true, ordered: true }
}

/// Every good in a row, with its set; the doors in a schedule of their own or in a column of the same table.
fn flat(pen: &mut Pen, job: &Job, names: &Names, lines: &Lines) -> Rendering {
    let mut page = Page { name: "Hardware".to_owned(), rows: Vec::new() };
    if pen.has("title above the table", 40) {
        page.say("DOOR HARDWARE SCHEDULE");
    }
    let beside = pen.has("doors in the table", 40);
    let mut headings = vec![
        pen.habit(
            "heading of the set of goods",
            &["SET", "HDW SET", "HW SET", "SET NO.", "GROUP", "Hardware Set", "HDWR GROUP"],
        )
        .to_owned(),
    ];
    if beside {
        headings
            .push(pen.habit("heading of lists of doors", &["DOORS", "OPENINGS", "DOOR NUMBERS", "Doors"]).to_owned());
    }
    headings.extend(lines.headings());
    page.rows.push(headings);
    let every = pen.has("set in every row", 60);
    let gaps = pen.has("blank rows between sets", 30);
    for (at, set) in job.sets.iter().enumerate() {
        if gaps && at > 0 {
            page.blank();
        }
        if set.not_used {
            let mut row = vec![set.id.clone()];
            if beside {
                row.push(String::new());
            }
            row.extend(lines.columns.iter().map(|(column, _)| {
                if *column == crate::lines::Column::Words { names.unused().to_owned() } else { String::new() }
            }));
            page.rows.push(row);
        }
        for (line, good) in set.goods.iter().enumerate() {
            let first = line == 0;
            let mut row = vec![if first || every { set.id.clone() } else { String::new() }];
            if beside {
                row.push(if first || every { listed(names, job, at) } else { String::new() });
            }
            row.extend(lines.cells(good));
            page.rows.push(row);
        }
    }
    if beside {
        return Rendering { inputs: files(pen, vec![page]), facts: vec![Column::Number], sets: true, ordered: true };
    }
    with_schedule(pen, job, page, false)
}

/// Pages as files: sheets of a book, or text files, or one below the other.
pub fn files(pen: &mut Pen, pages: Vec<Page>) -> Vec<Input> {
    let mut kind = pen.habit("files", &["csv", "csv", "tsv", "xlsx", "xlsx", "txt"]);
    // Lines within a cell have no place in text of columns.
    if kind == "txt" && pages.iter().flat_map(|page| &page.rows).flatten().any(|cell| cell.contains('\n')) {
        kind = "csv";
    }
    if kind == "xlsx" {
        let numbers = pen.has("figures as numbers", 50);
        let sheets = pages.into_iter().map(|page| Sheet {
            name: page.name,
            hidden: false,
            hide: Vec::new(),
            rows: if numbers {
                page.rows.into_iter().map(|row| row.into_iter().map(marked).collect()).collect()
            } else {
                page.rows
            },
        });
        let sheets: Vec<Sheet> = sheets.collect();
        if sheets.len() > 1 && pen.has("a book each", 25) {
            let book = |sheet: Sheet| Input {
                name: format!("{}.xlsx", plain(&sheet.name)),
                encoding: String::new(),
                text: String::new(),
                sheets: vec![sheet],
            };
            return sheets.into_iter().map(book).collect();
        }
        return vec![Input { name: "schedule.xlsx".to_owned(), encoding: String::new(), text: String::new(), sheets }];
    }
    let separator = if kind == "tsv" { '\t' } else { ',' };
    let pages = if kind != "txt" && pages.len() > 1 && pen.has("sets below the doors", 30) {
        let mut all = Page { name: "job".to_owned(), rows: Vec::new() };
        for page in pages {
            all.rows.extend(page.rows);
            all.blank();
        }
        vec![all]
    } else {
        pages
    };
    // A spreadsheet program writes every row as wide as the widest; a hand does not.
    let wide = pen.has("rows as wide as the widest", 70);
    let encoding = pen.habit("encoding", &["", "", "crlf", "utf-8-bom", "windows-1252"]);
    let file = |mut page: Page| {
        let width = page.rows.iter().map(Vec::len).max().unwrap_or(0);
        if wide {
            page.rows.iter_mut().for_each(|row| row.resize(width, String::new()));
        }
        let text = match kind {
            "txt" => aligned(&page.rows),
            _ => page.rows.iter().map(|row| line(row, separator)).collect(),
        };
        Input { name: format!("{}.{kind}", plain(&page.name)), encoding: encoding.to_owned(), text, sheets: Vec::new() }
    };
    pages.into_iter().map(file).collect()
}

/// Columns under one another, as a program prints them; a row of one cell stands for itself.
fn aligned(rows: &[Vec<String>]) -> String {
    // A title is as long as it is; anything else keeps to its column.
    let among = |row: &&Vec<String>| row.iter().skip(1).any(|cell| !cell.is_empty());
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let cell = |row: &Vec<String>, at: usize| row.get(at).map_or(0, |cell| cell.chars().count());
    let widths: Vec<usize> =
        (0..columns).map(|at| rows.iter().filter(among).map(|row| cell(row, at)).max().unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:width$}"));
        let joined = if among(&row) { cells.collect::<Vec<_>>().join("  ") } else { row.concat() };
        text.push_str(joined.trim_end());
        text.push('\n');
    }
    text
}

fn plain(name: &str) -> String {
    name.to_lowercase().replace(' ', "-")
}

fn marked(cell: String) -> String {
    let figure =
        !cell.is_empty() && cell.bytes().all(|byte| byte.is_ascii_digit()) && (cell == "0" || !cell.starts_with('0'));
    if figure { format!("!n {cell}") } else { cell }
}

fn line(row: &[String], separator: char) -> String {
    let quoted = |cell: &String| {
        if cell.contains([separator, '"', '\n']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.clone() }
    };
    let mut text = row.iter().map(quoted).collect::<Vec<_>>().join(&separator.to_string());
    text.push('\n');
    text
}
