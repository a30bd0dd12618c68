//! What floats above the cells: comments, text boxes, pictures. `layouts/saved/above.*` were saved by LibreOffice Calc from a
//! workbook that a general-purpose library wrote; the same words must come out of all three.

use std::path::{Path, PathBuf};

use pintle::finding::Kind;
use pintle::read::read;
use pintle::read::schedule::Schedule;
use rust_xlsxwriter::{Image, Note, Shape, Workbook};

fn saved(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/layouts/saved").join(name)
}

/// Code, place, excerpt, doors of what is told of the texts.
fn told(schedule: &Schedule) -> Vec<String> {
    let above = |code: &str| code.ends_with("-above-cells");
    let findings = schedule.findings.iter().filter(|finding| above(finding.code));
    findings
        .map(|finding| {
            let column = finding.place.as_ref().and_then(|place| place.column.clone());
            let at = column.map(|column| format!("{column}")).unwrap_or_default();
            format!("{} {at} {} {}", finding.code, finding.excerpt, finding.openings.join("+")).trim().to_string()
        })
        .collect()
}

#[test]
fn comments_and_boxes_are_told_from_every_format() {
    let expected = [
        "hardware-above-cells E Add closer & kick plate here 101+103",
        "hardware-above-cells  GENERAL NOTE: all locks to have construction cores",
        "text-above-cells A check the size with the plans",
        "text-above-cells  Sheet A601, issued for bid",
    ];
    for name in ["above.xlsx", "above.ods", "above.xls"] {
        let schedule = read(&[saved(name)], &[]).unwrap();
        let mut told = told(&schedule);
        told.sort_by_key(|one| expected.iter().position(|line| line == one));
        assert_eq!(told, expected, "{name}");
        assert_eq!(schedule.openings.len(), 3, "{name}");
        assert!(schedule.openings.iter().all(|door| door.remarks.is_empty()), "{name}: the cells have no remarks");
        let asked: Vec<_> = schedule.findings.iter().filter(|one| one.code == "hardware-above-cells").collect();
        assert!(asked.iter().all(|one| one.kind == Kind::Question), "{name}");
    }
}

#[test]
fn tall_pictures_are_told_and_logos_are_not() {
    for name in ["above.xlsx", "above.ods", "above.xls"] {
        let schedule = read(&[saved(name)], &[]).unwrap();
        let pictures: Vec<_> = schedule.findings.iter().filter(|one| one.code == "picture-not-read").collect();
        let sheets: Vec<&str> = pictures.iter().filter_map(|one| Some(&*one.place.as_ref()?.sheet)).collect();
        assert_eq!(sheets, ["Doors"], "{name}");
        let rows: Vec<u32> = pictures.iter().filter_map(|one| Some(one.place.as_ref()?.row)).collect();
        assert_eq!(rows.len(), 1, "{name}");
    }
}

#[test]
fn a_schedule_that_is_only_a_picture_is_refused_with_that_reason() {
    let folder = std::env::temp_dir().join(format!("pintle-floating-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let picture = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("pictures").join(first_picture())).unwrap();
    let picture = Image::new_from_buffer(&picture).unwrap().set_scale_to_size(600, 500, false);
    sheet.insert_image(1, 1, &picture).unwrap();
    sheet.insert_shape(40, 1, &Shape::textbox().set_text("SET 1\n3 EA HINGES")).unwrap();
    let path = folder.join("picture.xlsx");
    book.save(&path).unwrap();
    let why = read(&[path], &[]).err().unwrap();
    assert!(why.contains("What a picture shows is not read"), "{why}");
    assert!(why.contains("Words stand in text boxes"), "{why}");
    std::fs::remove_dir_all(&folder).unwrap();
}

fn first_picture() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("pictures");
    let names = std::fs::read_dir(folder).unwrap().flatten().map(|entry| entry.file_name());
    let names = names.map(|name| name.to_string_lossy().into_owned());
    names.filter(|name| name.ends_with(".png")).min().unwrap()
}

#[test]
fn the_doors_of_a_plain_workbook_do_not_move_for_comments() {
    let folder = std::env::temp_dir().join(format!("pintle-floating-plain-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let cells = ["DOOR", "WIDTH", "HEIGHT", "SET"];
    let doors = [["101", "3-0", "7-0", "1"], ["102", "3-0", "7-0", "1"]];
    let write = |name: &str, above: bool| {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        for (column, cell) in (0..).zip(cells) {
            sheet.write_string(0, column, cell).unwrap();
        }
        for (row, door) in (1..).zip(doors) {
            for (column, cell) in (0..).zip(door) {
                sheet.write_string(row, column, cell).unwrap();
            }
        }
        for (row, cell) in (4..).zip(["SET 1", "3 EA HINGES", "1 EA PASSAGE SET"]) {
            sheet.write_string(row, 0, cell).unwrap();
        }
        if above {
            sheet.insert_note(1, 0, &Note::new("103: 3 EA HINGES")).unwrap();
            sheet.insert_shape(8, 0, &Shape::textbox().set_text("SET 2\n1 EA CLOSER")).unwrap();
        }
        let path = folder.join(name);
        book.save(&path).unwrap();
        let schedule = read(&[path], &[]).unwrap();
        let doors: Vec<String> = schedule.openings.iter().map(|door| door.number.clone()).collect();
        (doors, schedule.sets.iter().map(|set| set.lines.len()).sum::<usize>(), told(&schedule))
    };
    let (plain, above) = (write("plain.xlsx", false), write("above.xlsx", true));
    assert_eq!((&plain.0, plain.1), (&above.0, above.1));
    assert!(plain.2.is_empty());
    assert_eq!(
        above.2,
        ["hardware-above-cells A Author: 103: 3 EA HINGES 101", "hardware-above-cells  SET 2 1 EA CLOSER"]
    );
    std::fs::remove_dir_all(&folder).unwrap();
}
