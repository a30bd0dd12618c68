//! Makes the samples: an invented library with a clinic wing, drawn up as an architect would send it, with a few deliberate
//! errors. The texts are `tests/samples/*.txt`. `UPDATE=1 cargo test --test samples` writes them anew; otherwise the files
//! in `samples/` must be what this makes.

use std::fs;
use std::path::{Path, PathBuf};

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet};

const DOORS: &str = include_str!("samples/doors.txt");
const SETS: &str = include_str!("samples/sets.txt");
const NOTES: &str = include_str!("samples/notes.txt");
const ADDENDUM_1: (&str, &str) =
    (include_str!("samples/addendum-1-doors.txt"), include_str!("samples/addendum-1-sets.txt"));
const ADDENDUM_2: (&str, &str) =
    (include_str!("samples/addendum-2-doors.txt"), include_str!("samples/addendum-2-sets.txt"));
const ADDENDUM_3: &str = include_str!("samples/addendum-3-list.txt");
const JOB: &str = "QUILLHAVEN PUBLIC LIBRARY AND CLINIC";

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples")
}

/// Compares with what is committed, or writes it.
fn hold(name: &str, bytes: &[u8]) {
    let path = samples().join(name);
    if std::env::var_os("UPDATE").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, bytes).unwrap();
    }
    let found = fs::read(&path).unwrap_or_default();
    assert!(found == bytes, "samples/{name} is not what its text makes; UPDATE=1 writes it anew");
}

fn new_book(title: &str) -> Workbook {
    let mut book = Workbook::new();
    let date = ExcelDateTime::from_ymd(2026, 10, 2).unwrap();
    book.set_properties(&DocProperties::new().set_title(title).set_creation_datetime(&date));
    book
}

fn heading() -> Format {
    Format::new().set_bold().set_border(FormatBorder::Thin).set_align(FormatAlign::Center).set_text_wrap()
}

fn cell() -> Format {
    Format::new().set_border(FormatBorder::Thin)
}

fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with("# "))
}

fn title_block(sheet: &mut Worksheet, what: &str, issue: &str) -> u32 {
    sheet.write_string_with_format(0, 0, JOB, &Format::new().set_bold().set_font_size(14)).unwrap();
    sheet.write_string(1, 0, what).unwrap();
    sheet.write_string(2, 0, issue).unwrap();
    4
}

/// Two heading rows with merged groups, so that MATL and FIN stand twice.
fn door_headings(sheet: &mut Worksheet, row: u32) {
    let bold = heading();
    for (from, to, text) in [(2, 6, "DOOR"), (8, 10, "FRAME")] {
        sheet.merge_range(row, from, row, to, text, &bold).unwrap();
    }
    let names = [
        "DOOR NO.",
        "ROOM",
        "TYPE",
        "WIDTH",
        "HEIGHT",
        "THK",
        "MATL",
        "FIN",
        "TYPE",
        "MATL",
        "FIN",
        "WALL",
        "FIRE LABEL",
        "HAND",
        "HDWR SET",
        "REMARKS",
    ];
    for (column, name) in names.iter().enumerate() {
        sheet.write_string_with_format(row + 1, column as u16, *name, &bold).unwrap();
    }
    for (column, width) in [9, 26, 6, 9, 8, 7, 7, 10, 6, 7, 10, 12, 10, 7, 9, 44].iter().enumerate() {
        sheet.set_column_width(column as u16, *width).unwrap();
    }
}

fn door_row(sheet: &mut Worksheet, row: u32, line: &str) {
    let struck = line.starts_with('~');
    let hidden = line.starts_with('^');
    let mut style = cell();
    if struck {
        style = style.set_font_strikethrough();
    }
    for (column, text) in line.trim_start_matches(['~', '^']).split('|').enumerate() {
        let column = column as u16;
        if let Some(damaged) = text.strip_prefix('@') {
            // What a spreadsheet program makes of a size typed as 3-4: the 4th of March.
            let (month, day) = damaged.trim_end_matches('@').split_once('-').unwrap();
            let date = ExcelDateTime::from_ymd(2026, month.parse().unwrap(), day.parse().unwrap()).unwrap();
            sheet.write_datetime_with_format(row, column, &date, &style.clone().set_num_format("d-mmm")).unwrap();
        } else if text.chars().all(|letter| letter.is_ascii_digit()) && !text.is_empty() && !text.starts_with('0') {
            sheet.write_number_with_format(row, column, text.parse::<u32>().unwrap(), &style).unwrap();
        } else {
            sheet.write_string_with_format(row, column, text, &style).unwrap();
        }
    }
    if hidden {
        sheet.set_row_hidden(row).unwrap();
    }
}

fn door_sheet(book: &mut Workbook, text: &str, issue: &str) {
    let sheet = book.add_worksheet().set_name("A-601 Doors").unwrap();
    let mut row = title_block(sheet, "DOOR AND FRAME SCHEDULE", issue);
    door_headings(sheet, row);
    sheet.set_freeze_panes(row + 2, 1).unwrap();
    row += 2;
    for line in lines(text) {
        match line.strip_prefix("## ") {
            Some(group) => {
                sheet.write_string_with_format(row, 0, group, &Format::new().set_bold()).unwrap();
            }
            None => door_row(sheet, row, line),
        }
        row += 1;
    }
    sheet.write_string(row + 1, 0, "NOTES:").unwrap();
    sheet.write_string(row + 2, 0, "1. Sizes are nominal. Verify all dimensions in the field.").unwrap();
    sheet.write_string(row + 3, 0, "2. See sheet A-602 for door and frame elevations.").unwrap();
    sheet.set_landscape();
}

fn set_sheet(book: &mut Workbook, text: &str, issue: &str) {
    let sheet = book.add_worksheet().set_name("08 71 00 Sets").unwrap();
    let mut row = title_block(sheet, "SECTION 08 71 00 - DOOR HARDWARE, PART 3 - HARDWARE SETS", issue);
    for (column, width) in [7, 7, 58, 10, 40].iter().enumerate() {
        sheet.set_column_width(column as u16, *width).unwrap();
    }
    let headings = |sheet: &mut Worksheet, row: u32| {
        for (column, name) in ["QTY", "UNIT", "DESCRIPTION", "FINISH", "REMARKS"].iter().enumerate() {
            sheet.write_string_with_format(row, column as u16, *name, &heading()).unwrap();
        }
    };
    headings(sheet, row);
    row += 1;
    let mut page = 1;
    for line in lines(text) {
        if line.starts_with("= ") && row / 60 >= page {
            page += 1;
            sheet.write_string(row + 1, 0, format!("{JOB} - DOOR HARDWARE 08 71 00 - {page}")).unwrap();
            headings(sheet, row + 2);
            row += 3;
        }
        if let Some(set) = line.strip_prefix("= ") {
            sheet.write_string_with_format(row + 1, 0, set.replace(" | ", " - "), &Format::new().set_bold()).unwrap();
            row += 2;
        } else if let Some(doors) = line.strip_prefix("> ").or_else(|| line.strip_prefix("* ")) {
            sheet.write_string(row, 0, doors).unwrap();
            row += 1;
        } else {
            for (column, text) in line.split('|').enumerate() {
                if let (0, Ok(number)) = (column, text.parse::<u32>()) {
                    sheet.write_number(row, 0, number).unwrap();
                } else if !text.is_empty() {
                    sheet.write_string(row, column as u16, text).unwrap();
                }
            }
            row += 1;
        }
    }
    sheet.write_string(row + 1, 0, "END OF SECTION").unwrap();
}

fn note_sheet(book: &mut Workbook) {
    let sheet = book.add_worksheet().set_name("General Notes").unwrap();
    for (row, line) in lines(NOTES).enumerate() {
        sheet.write_string(row as u32, 0, line).unwrap();
    }
    sheet.set_column_width(0, 110).unwrap();
}

#[test]
fn the_library() {
    let mut book = new_book(JOB);
    let issue = "Issued for bid, October 2, 2026";
    door_sheet(&mut book, DOORS, issue);
    set_sheet(&mut book, SETS, issue);
    note_sheet(&mut book);
    hold("library/bid-set.xlsx", &book.save_to_buffer().unwrap());
}

/// The doors after an addendum: replaced in place, taken out, or added at the end.
fn revised_doors(doors: &str, changes: &str) -> String {
    let number = |line: &str| line.trim_start_matches(['~', '^', '-', ' ']).split('|').next().unwrap_or("").to_owned();
    let mut kept: Vec<String> = lines(doors).map(str::to_owned).collect();
    for change in lines(changes).filter(|line| !line.starts_with("##")) {
        let door = number(change);
        match (change.starts_with('-'), kept.iter().position(|line| !line.starts_with("##") && number(line) == door)) {
            (true, _) => kept.retain(|line| line.starts_with("##") || number(line) != door),
            (false, Some(at)) => change.clone_into(&mut kept[at]),
            (false, None) => kept.push(change.to_owned()),
        }
    }
    kept.join("\n")
}

/// The sets after an addendum: a set of the same heading is replaced, others are added at the end.
fn revised_sets(sets: &str, changes: &str) -> String {
    let blocks = |text: &str| -> Vec<Vec<String>> {
        let mut found: Vec<Vec<String>> = Vec::new();
        for line in lines(text) {
            if line.starts_with("= ") {
                found.push(Vec::new());
            }
            found.last_mut().unwrap().push(line.to_owned());
        }
        found
    };
    let id = |block: &[String]| block[0].split(" | ").next().unwrap_or("").to_owned();
    let mut kept = blocks(sets);
    for change in blocks(changes) {
        match kept.iter().position(|block| id(block) == id(&change)) {
            Some(at) => kept[at] = change,
            None => kept.push(change),
        }
    }
    kept.concat().join("\n")
}

/// Each addendum issues everything again, with its changes and those before it.
#[test]
fn the_addenda() {
    let (mut doors, mut sets) = (DOORS.to_owned(), SETS.to_owned());
    for (number, date, changes) in [(1, "October 16, 2026", ADDENDUM_1), (2, "October 30, 2026", ADDENDUM_2)] {
        doors = revised_doors(&doors, changes.0);
        sets = revised_sets(&sets, changes.1);
        let mut book = new_book(JOB);
        let issue = format!("Addendum No. {number}, {date}. This issue replaces all earlier ones.");
        door_sheet(&mut book, &doors, &issue);
        set_sheet(&mut book, &sets, &issue);
        note_sheet(&mut book);
        hold(&format!("library/addendum-{number}.xlsx"), &book.save_to_buffer().unwrap());
    }
}

/// The third addendum says in a list what changes, and issues nothing again.
#[test]
fn the_addendum_in_words() {
    let mut book = new_book(JOB);
    let sheet = book.add_worksheet().set_name("Addendum 3").unwrap();
    let row = title_block(sheet, "CHANGES TO DOORS AND HARDWARE SETS", "Addendum No. 3, November 9, 2026");
    let names =
        ["ACTION", "DOOR NO.", "HDWR SET", "QTY", "UNIT", "DESCRIPTION", "FINISH", "SIZE", "FIRE LABEL", "REMARKS"];
    for (column, (name, width)) in names.iter().zip([10, 12, 9, 6, 6, 34, 9, 18, 12, 44]).enumerate() {
        sheet.write_string_with_format(row, column as u16, *name, &heading()).unwrap();
        sheet.set_column_width(column as u16, width).unwrap();
    }
    for (index, line) in lines(ADDENDUM_3).enumerate() {
        for (column, text) in line.split('|').enumerate() {
            let (row, column) = (row + 1 + index as u32, column as u16);
            match text.parse::<u32>() {
                // Set ids keep their zeros only as text.
                Ok(number) if !text.starts_with('0') => sheet.write_number_with_format(row, column, number, &cell()),
                _ => sheet.write_string_with_format(row, column, text, &cell()),
            }
            .unwrap();
        }
    }
    sheet.set_landscape();
    hold("library/addendum-3.xlsx", &book.save_to_buffer().unwrap());
}

#[test]
fn a_small_job_in_two_text_files() {
    let doors = "Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n\
                 1,Shop,3-0 x 7-0,HM,HM,,A\n2,Office,3-0 x 7-0,WD,HM,20 MIN,B\n3,Store,PR 3-0 x 7-0,HM,HM,,C\n";
    let sets = "Set,Qty,Unit,Item,Finish\n\
                A,3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight,652\nA,1,EA,Storeroom lock F86 lever,626\nA,1,EA,Closer parallel arm,689\nA,1,EA,Wall stop concave,630\n\
                B,1-1/2,PR,HGS BB 4-1/2x4-1/2,US26D\nB,1,EA,Office lock F109,626\nB,1,EA,Closer,689\nB,1,SET,Smoke seal,BLK\nB,1,EA,Wall stop,630\n\
                C,3,PR,Hinges BB 4-1/2 x 4-1/2,652\nC,1,SET,Manual flush bolts metal door,626\nC,1,EA,DPS,626\nC,1,EA,Storeroom lock F86,626\nC,2,EA,Overhead stop surface,630\n";
    hold("small/doors.csv", doors.as_bytes());
    hold("small/sets.csv", sets.as_bytes());
}
