//! Workbooks as spreadsheet programs write them: merged group headings, dates, struck words, hidden parts, formulas.

use std::io::{Read, Write};
use std::path::PathBuf;

use pintle::read::read;
use pintle::read::schedule::{Role, Schedule};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

fn saved(name: &str, workbook: &mut Workbook) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-read-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    workbook.save(&path).unwrap();
    path
}

/// The file as a program saves it that does not calculate: formulas without results.
fn without_results(path: &PathBuf) {
    let bytes = std::fs::read(path).unwrap();
    let mut from = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    let mut to = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for index in 0..from.len() {
        let mut entry = from.by_index(index).unwrap();
        let mut content = String::new();
        entry.read_to_string(&mut content).unwrap();
        let content = content.replace("</f><v></v>", "</f>").replace("</f><v>0</v>", "</f>");
        to.start_file(entry.name().unwrap(), zip::write::SimpleFileOptions::default()).unwrap();
        to.write_all(content.as_bytes()).unwrap();
    }
    std::fs::write(path, to.finish().unwrap().into_inner()).unwrap();
}

fn codes(schedule: &Schedule, code: &str) -> usize {
    schedule.findings.iter().filter(|finding| finding.code == code).count()
}

#[test]
fn a_workbook_with_merged_headings_damage_and_hidden_parts() {
    let mut book = Workbook::new();
    let struck = Format::new().set_font_strikethrough();
    let plain = Format::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Doors").unwrap();
    sheet.write(0, 0, "DOOR SCHEDULE").unwrap();
    sheet.merge_range(2, 0, 3, 0, "NO.", &plain).unwrap();
    sheet.merge_range(2, 1, 2, 3, "DOOR", &plain).unwrap();
    sheet.merge_range(2, 4, 2, 5, "FRAME", &plain).unwrap();
    for (column, text) in ["WIDTH", "HEIGHT", "MATERIAL", "MATERIAL", "WIDTH"].iter().enumerate() {
        sheet.write(3, column as u16 + 1, *text).unwrap();
    }
    sheet.merge_range(2, 6, 3, 6, "HW SET", &plain).unwrap();
    let date = ExcelDateTime::from_ymd(2026, 3, 4).unwrap();
    let day_month = Format::new().set_num_format("d-mmm");
    sheet.write(4, 0, "101").unwrap();
    sheet.write_with_format(4, 1, &date, &day_month).unwrap();
    sheet.write(4, 2, "7'-0\"").unwrap();
    for (column, text) in [(3, "WD"), (4, "HM"), (5, "5 3/4"), (6, "1")] {
        sheet.write(4, column, text).unwrap();
    }
    sheet.write(5, 0, 102).unwrap();
    sheet.write(5, 1, 36).unwrap();
    sheet.write(5, 2, 84).unwrap();
    sheet.write(5, 6, 1).unwrap();
    sheet.set_row_hidden(5).unwrap();
    sheet.write_with_format(6, 0, "103", &struck).unwrap();
    sheet.write_with_format(6, 1, "3-0", &struck).unwrap();
    sheet.write_with_format(6, 6, "1", &struck).unwrap();
    sheet.write(7, 0, "104").unwrap();
    sheet.write(7, 1, "3-0").unwrap();
    sheet.write_formula(7, 2, Formula::new("=C5").set_result("7'-0\"")).unwrap();
    sheet.write_formula(7, 6, Formula::new("=G99").set_result("#REF!")).unwrap();
    let sets = book.add_worksheet();
    sets.set_name("Hardware").unwrap();
    sets.write(0, 0, "HARDWARE SET 1").unwrap();
    sets.write(1, 0, "3 EA HINGE").unwrap();
    sets.write_rich_string(2, 0, &[(&plain, "1 EA LOCK "), (&struck, "F82 "), (&plain, "F07")]).unwrap();
    sets.set_hidden(true);
    let path = saved("damage.xlsx", &mut book);
    let schedule = read(&[path], &[]).unwrap();
    let doors: Vec<_> = schedule
        .openings
        .iter()
        .map(|door| (door.number.as_str(), door.width.map(|w| w.to_string()), door.height.map(|h| h.to_string())))
        .collect();
    let size = |w: &str, h: &str| (Some(w.to_string()), Some(h.to_string()));
    let expected = [("101", size("40", "84")), ("102", size("36", "84")), ("104", size("36", "84"))];
    let expected: Vec<_> = expected.into_iter().map(|(door, (w, h))| (door, w, h)).collect();
    assert_eq!(doors, expected);
    assert_eq!(schedule.openings[0].door_material.as_deref(), Some("wood"));
    assert_eq!(schedule.openings[0].frame_material.as_deref(), Some("hollow-metal"));
    assert_eq!(schedule.sets[0].lines[1].wording.text, "1 EA LOCK F07");
    assert_eq!(schedule.ledger.iter().filter(|row| row.role == Role::Excluded).count(), 1);
    for (code, times) in [("date-for-size", 1), ("hidden-rows", 1), ("hidden-sheet", 1), ("struck-through", 2)] {
        assert_eq!(codes(&schedule, code), times, "{code}");
    }
}

#[test]
fn a_formula_without_a_result_keeps_its_text() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, text) in ["DOOR", "SIZE", "HW SET"].iter().enumerate() {
        sheet.write(0, column as u16, *text).unwrap();
    }
    sheet.write(1, 0, "101").unwrap();
    sheet.write(1, 1, "3070").unwrap();
    sheet.write_formula(1, 2, Formula::new("=Z1&\"A\"").set_result("")).unwrap();
    let path = saved("formula.xlsx", &mut book);
    without_results(&path);
    let schedule = read(&[path], &[]).unwrap();
    assert_eq!(schedule.openings.len(), 1);
    assert_eq!(codes(&schedule, "formula-without-value"), 1);
    assert!(schedule.ledger[1].text.contains("=Z1"));
}

#[test]
fn a_sheet_that_declares_a_million_rows_is_read_at_once() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write(0, 0, "DOOR").unwrap();
    sheet.write(0, 1, "HW SET").unwrap();
    sheet.write(1, 0, "101").unwrap();
    sheet.write(1, 1, "1").unwrap();
    sheet.write(1_048_575, 16_383, "x").unwrap();
    let path = saved("corners.xlsx", &mut book);
    let schedule = read(&[path], &[]).unwrap();
    assert_eq!(schedule.openings.len(), 1);
    assert_eq!(schedule.ledger.len(), 3);
}

/// A program may write the font of the first run as that of the cell: runs with fonts of their own go before it.
#[test]
fn words_with_a_font_of_their_own_are_not_struck_with_their_cell() {
    let (struck, bold) = (Format::new().set_font_strikethrough(), Format::new().set_bold());
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, text) in ["DOOR", "SIZE", "HW SET"].iter().enumerate() {
        sheet.write(0, column as u16, *text).unwrap();
    }
    for (row, door) in [(1, "101"), (2, "102")] {
        sheet.write(row, 0, door).unwrap();
        sheet.write(row, 1, "3070").unwrap();
    }
    sheet.write_rich_string_with_format(1, 2, &[(&struck, "2 "), (&bold, "3")], &struck).unwrap();
    sheet.write_with_format(2, 2, "2", &struck).unwrap();
    let schedule = read(&[saved("runs.xlsx", &mut book)], &[]).unwrap();
    let sets: Vec<_> = schedule.openings.iter().map(|door| door.set.as_deref()).collect();
    assert_eq!(sets, [Some("3"), None]);
    assert_eq!(codes(&schedule, "struck-through"), 2);
}
