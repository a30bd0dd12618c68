//! The corpus of schedules in `tests/layouts/*.txt`: each file holds the inputs of one job as text, and what must come of
//! them. Shared by the tests that read it, mutate it, and have other programs save it.
//!
//! ```text
//! about: what this one is
//! row: the row of the page on layouts that it stands for
//! == file doors.csv [utf-16le | windows-1252 | bytes]
//! == book job.xlsx
//! == sheet Doors [hidden] [hide C,D]
//! == job            what the job file says, as TOML
//! == expect         written by UPDATE=1, read by a person
//! ```
//! In a book, rows are csv, and a cell may begin with a mark: `!n 3070` a number, `!z0000 701` a number in that format,
//! `!d 2026-03-04` a date, `!x 100` a number with an exponent, `!s text` struck through, `!r kept~~gone~~kept` struck in
//! part, `!f =A1|result` a formula, `!m 2x3 text` merged over rows and columns. A row that begins with `!hidden` is hidden.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::fs;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};

/// One input file of a fixture.
#[derive(Debug, Clone)]
pub struct Input {
    /// File name.
    pub name: String,
    /// `utf-16le` and the like; empty for UTF-8.
    pub encoding: String,
    /// The text of a text file.
    pub text: String,
    /// The sheets of a book; empty for text.
    pub sheets: Vec<Sheet>,
}

/// One sheet of a book.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Name.
    pub name: String,
    /// Hidden.
    pub hidden: bool,
    /// Hidden columns.
    pub hide: Vec<u16>,
    /// Rows of marked cells.
    pub rows: Vec<Vec<String>>,
}

/// One fixture.
#[derive(Debug, Clone)]
pub struct Fixture {
    /// Its file.
    pub path: PathBuf,
    /// Name without ending.
    pub name: String,
    /// The row of the page on layouts.
    pub row: String,
    /// Inputs in order.
    pub inputs: Vec<Input>,
    /// What the job file says.
    pub job: String,
    /// What must come.
    pub expect: String,
    /// The text before the expectation.
    pub head: String,
}

pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/layouts")
}

/// Every fixture, by name.
pub fn all() -> Vec<Fixture> {
    let mut paths: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    paths.sort();
    paths.iter().map(|path| parse(path)).collect()
}

fn parse(path: &Path) -> Fixture {
    let text = fs::read_to_string(path).unwrap();
    let name = path.file_stem().unwrap().to_string_lossy().into_owned();
    let (head, expect) = text.split_once("== expect\n").unwrap_or((&text, ""));
    let mut inputs: Vec<Input> = Vec::new();
    let (mut job, mut row) = (String::new(), String::new());
    let mut to_job = false;
    for line in head.lines() {
        if let Some(told) = line.strip_prefix("row: ").filter(|_| inputs.is_empty()) {
            row = told.to_string();
        } else if let Some(told) = line.strip_prefix("== ") {
            let (what, rest) = told.split_once(' ').unwrap_or((told, ""));
            to_job = what == "job";
            match what {
                "file" | "book" => {
                    let (name, encoding) = rest.split_once(' ').unwrap_or((rest, ""));
                    inputs.push(Input {
                        name: name.into(),
                        encoding: encoding.into(),
                        text: String::new(),
                        sheets: Vec::new(),
                    });
                }
                "sheet" => inputs.last_mut().expect("a book before its sheet").sheets.push(sheet_head(rest)),
                "job" => {}
                other => panic!("{name}: section {other} is not known"),
            }
        } else if to_job {
            job.push_str(line);
            job.push('\n');
        } else if let Some(input) = inputs.last_mut() {
            input.text.push_str(line);
            input.text.push('\n');
            if let Some(sheet) = input.sheets.last_mut() {
                sheet.rows.push(cells(line));
            }
        }
    }
    for input in inputs.iter_mut() {
        for sheet in &mut input.sheets {
            sheet.rows.iter_mut().for_each(|row| row.iter_mut().for_each(|cell| *cell = cell.replace("\\n", "\n")));
        }
    }
    Fixture { path: path.into(), name, row, inputs, job, expect: expect.into(), head: head.into() }
}

fn sheet_head(rest: &str) -> Sheet {
    let (name, marks) = rest.split_once(" [").unwrap_or((rest, ""));
    let hide = marks
        .split_once("hide ")
        .map(|(_, list)| list.trim_end_matches(']').split(',').map(|letter| u16::from(letter.as_bytes()[0] - b'A')))
        .into_iter()
        .flatten()
        .collect();
    Sheet { name: name.into(), hidden: marks.contains("hidden"), hide, rows: Vec::new() }
}

fn cells(line: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(line.as_bytes());
    reader.records().next().map_or_else(Vec::new, |row| row.unwrap().iter().map(str::to_string).collect())
}

/// A marked cell: its mark and its text.
pub fn marked(cell: &str) -> (&str, &str) {
    match cell.strip_prefix('!') {
        Some(rest) => rest.split_once(' ').unwrap_or((rest, "")),
        None => ("", cell),
    }
}

impl Input {
    /// Rows of each sheet that hold something, as the spreadsheet program would say: the number the reader must give
    /// a role.
    pub fn filled(&self) -> usize {
        if self.sheets.is_empty() {
            let meaningless = |letter: char| letter.is_whitespace() || ",;\t|\"".contains(letter);
            return self.text.lines().filter(|line| !line.chars().all(meaningless)).count();
        }
        let holds = |row: &Vec<String>| row.iter().any(|cell| !marked(cell).1.trim().is_empty());
        self.sheets.iter().map(|sheet| sheet.rows.iter().filter(|row| holds(row)).count()).sum()
    }

    /// Writes the file into the folder.
    pub fn write(&self, folder: &Path) -> PathBuf {
        let path = folder.join(&self.name);
        if self.sheets.is_empty() {
            fs::write(&path, self.bytes()).unwrap();
            return path;
        }
        let mut book = Workbook::new();
        for sheet in &self.sheets {
            let page = book.add_worksheet().set_name(&sheet.name).unwrap();
            fill(page, sheet);
        }
        // The first sheet may not be a hidden one.
        if let Some(shown) = self.sheets.iter().position(|sheet| !sheet.hidden) {
            book.worksheet_from_index(shown).unwrap().set_active(true).set_first_tab(true);
        }
        book.save(&path).unwrap();
        path
    }

    fn bytes(&self) -> Vec<u8> {
        match self.encoding.as_str() {
            "" => self.text.clone().into_bytes(),
            "utf-16le" => [0xFF, 0xFE].into_iter().chain(self.text.encode_utf16().flat_map(u16::to_le_bytes)).collect(),
            "utf-16le-bare" => self.text.encode_utf16().flat_map(u16::to_le_bytes).collect(),
            "utf-16be" => [0xFE, 0xFF].into_iter().chain(self.text.encode_utf16().flat_map(u16::to_be_bytes)).collect(),
            "utf-8-bom" => [0xEF, 0xBB, 0xBF].into_iter().chain(self.text.bytes()).collect(),
            "crlf" => self.text.replace('\n', "\r\n").into_bytes(),
            "windows-1252" => encoding_rs::WINDOWS_1252.encode(&self.text).0.into_owned(),
            // `\xBD` is that byte alone.
            "bytes" => {
                let mut bytes = Vec::new();
                let mut rest = self.text.as_str();
                while let Some((before, after)) = rest.split_once("\\x") {
                    bytes.extend(before.bytes());
                    bytes.push(u8::from_str_radix(&after[..2], 16).unwrap());
                    rest = &after[2..];
                }
                bytes.extend(rest.bytes());
                bytes
            }
            other => panic!("{}: encoding {other} is not known", self.name),
        }
    }
}

fn fill(page: &mut Worksheet, sheet: &Sheet) {
    let struck = Format::new().set_font_strikethrough();
    let plain = Format::new();
    if sheet.hidden {
        page.set_hidden(true);
    }
    for column in &sheet.hide {
        page.set_column_hidden(*column).unwrap();
    }
    for (number, row) in sheet.rows.iter().enumerate() {
        let number = number as u32;
        for (column, cell) in row.iter().enumerate() {
            let (mark, text) = marked(cell);
            if mark == "hidden" {
                page.set_row_hidden(number).unwrap();
            }
            let at = column as u16;
            let digits = || text.trim().parse::<f64>().unwrap_or_else(|_| panic!("{text} is no number"));
            match mark {
                _ if text.is_empty() => {}
                "" | "hidden" => drop(page.write_string(number, at, text).unwrap()),
                "n" => drop(page.write_number(number, at, digits()).unwrap()),
                "x" => {
                    let format = Format::new().set_num_format("0.00E+00");
                    page.write_number_with_format(number, at, digits(), &format).unwrap();
                }
                "d" => {
                    let parts: Vec<u16> = text.split('-').map(|part| part.parse().unwrap()).collect();
                    let date = ExcelDateTime::from_ymd(parts[0], parts[1] as u8, parts[2] as u8).unwrap();
                    let format = Format::new().set_num_format("d-mmm");
                    page.write_with_format(number, at, &date, &format).unwrap();
                }
                "s" => drop(page.write_string_with_format(number, at, text, &struck).unwrap()),
                "r" => {
                    let runs: Vec<(&Format, &str)> = text
                        .split("~~")
                        .enumerate()
                        .map(|(index, run)| (if index % 2 == 1 { &struck } else { &plain }, run))
                        .filter(|(_, run)| !run.is_empty())
                        .collect();
                    page.write_rich_string(number, at, &runs).unwrap();
                }
                "f" => {
                    let (formula, result) = text.split_once('|').unwrap();
                    page.write_formula(number, at, Formula::new(formula).set_result(result)).unwrap();
                }
                "m" => {
                    let (size, words) = text.split_once(' ').unwrap();
                    let (rows, columns) = size.split_once('x').unwrap();
                    let (rows, columns): (u32, u16) = (rows.parse().unwrap(), columns.parse().unwrap());
                    page.merge_range(number, at, number + rows - 1, at + columns - 1, words, &plain).unwrap();
                }
                format => {
                    let code = format.strip_prefix('z').unwrap_or_else(|| panic!("mark {format} is not known"));
                    page.write_number_with_format(number, at, digits(), &Format::new().set_num_format(code)).unwrap();
                }
            }
        }
    }
}
