//! Workbooks of the old kind (xls). `layouts/saved/struck.xls` was saved by LibreOffice Calc from the xlsx beside it, which
//! openpyxl wrote: what it hides, strikes and shows must come in as from the xlsx, and damaged ones must not crash.

use std::io::{Cursor, Write};
use std::path::{Path, PathBuf};

use pintle::read::read;
use pintle::read::schedule::{Role, Schedule};

fn saved(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/layouts/saved").join(name)
}

fn read_bytes(name: &str, bytes: &[u8]) -> Result<Schedule, String> {
    let folder = std::env::temp_dir().join(format!("pintle-xls-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    read(&[path], &[])
}

/// Openings, sets, roles and findings without what names the file.
fn told(schedule: &Schedule, file: &str) -> Vec<String> {
    let doors = schedule.openings.iter().map(|opening| format!("{opening:?}"));
    let sets = schedule.sets.iter().map(|set| format!("{set:?}"));
    let rows = schedule.ledger.iter().map(|row| format!("{row:?}"));
    let findings = schedule.findings.iter().map(|finding| format!("{finding:?}"));
    doors.chain(sets).chain(rows).chain(findings).map(|text| text.replace(file, "FILE")).collect()
}

#[test]
fn an_old_workbook_is_read_with_what_it_hides_strikes_and_shows() {
    let old = read(&[saved("struck.xls")], &[]).unwrap();
    let doors: Vec<&str> = old.openings.iter().take(7).map(|opening| opening.number.as_str()).collect();
    // 103 is struck; 704 and 101.1 are shown as 0704 and 101.10; 881 may have lost a zero, but the texts 101 to 105 have none.
    assert_eq!(doors, ["101", "102", "104", "0704", "101.10", "105", "881"]);
    let lines: Vec<&str> = old.sets[0].lines.iter().map(|line| line.wording.text.as_str()).collect();
    assert_eq!(lines, ["3 EA HINGE 4.5 x 4.5", "1 EA CLOSER", "1 EA STOREROOM LOCK"]);
    for code in ["hidden-columns", "hidden-rows", "hidden-sheet", "struck-through", "date-for-size"] {
        assert!(old.findings.iter().any(|finding| finding.code == code), "{code}");
    }
    let excluded: Vec<u32> =
        old.ledger.iter().filter(|row| row.role == Role::Excluded).map(|row| row.place.row).collect();
    assert_eq!(excluded, [4, 9, 3], "two doors and a line are struck through");
    // Words struck inside a cell, also where the texts stand in a further record of their table and where the font of
    // the cell strikes and only a run of it does not.
    let struck: Vec<&str> = old
        .findings
        .iter()
        .filter(|finding| finding.code == "struck-through" && finding.says.contains("inside the cell"))
        .map(|finding| finding.says.as_str())
        .collect();
    assert_eq!(struck.len(), 3, "{struck:?}");
    for words in ["card reader and", "hold open and", "provide closer"] {
        assert!(struck.iter().any(|text| text.contains(words)), "{words} in {struck:?}");
    }
    let new = read(&[saved("struck.xlsx")], &[]).unwrap();
    assert_eq!(told(&old, "struck.xls\""), told(&new, "struck.xlsx\""));
}

/// A record: number, length, bytes.
fn record(kind: u16, data: &[u8]) -> Vec<u8> {
    let mut out = kind.to_le_bytes().to_vec();
    out.extend((data.len() as u16).to_le_bytes());
    out.extend(data);
    out
}

fn shorts(numbers: &[u16]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// A workbook whose one sheet holds these texts, as the version before the last has them; no program at hand writes it,
/// so it is put together here as [MS-XLS] 2.4.21 (BOF), 2.4.28 (BoundSheet8) and 2.4.148 (Label) tell of that version.
fn older(cells: &[(u16, u16, &str)]) -> Vec<u8> {
    older_named(cells, 1)
}

/// The same, with its one sheet named so many times.
fn older_named(cells: &[(u16, u16, &str)], times: usize) -> Vec<u8> {
    let begin = |kind: u16| record(0x0809, &shorts(&[0x0500, kind, 0, 0]));
    let mut stream = begin(0x0005);
    let mut bound = vec![0; 6];
    bound.push(5);
    bound.extend(b"Doors");
    let at = stream.len() + (4 + bound.len()) * times + 4;
    bound[..4].copy_from_slice(&(at as u32).to_le_bytes());
    (0..times).for_each(|_| stream.extend(record(0x0085, &bound)));
    stream.extend(record(0x000A, &[]));
    stream.extend(begin(0x0010));
    for (row, column, text) in cells {
        let mut data = shorts(&[*row, *column, 0, text.len() as u16]);
        data.extend(text.bytes());
        stream.extend(record(0x0204, &data));
    }
    stream.extend(record(0x000A, &[]));
    let mut file = cfb::CompoundFile::create(Cursor::new(Vec::new())).unwrap();
    file.create_stream("Book").unwrap().write_all(&stream).unwrap();
    file.flush().unwrap();
    file.into_inner().into_inner()
}

const DOORS: [(u16, u16, &str); 8] = [
    (0, 0, "DOOR NO."),
    (0, 1, "SIZE"),
    (0, 2, "HW SET"),
    (1, 0, "101"),
    (1, 1, "3070"),
    (1, 2, "1"),
    (2, 0, "102"),
    (2, 1, "3070"),
];

#[test]
fn what_cannot_be_seen_is_said() {
    let schedule = read_bytes("older.xls", &older(&DOORS)).unwrap();
    let doors: Vec<&str> = schedule.openings.iter().map(|opening| opening.number.as_str()).collect();
    assert_eq!(doors, ["101", "102"]);
    assert!(schedule.findings.iter().any(|finding| finding.code == "marks-not-seen"));
}

#[test]
fn a_sheet_that_spreads_too_far_is_refused() {
    let mut cells = DOORS.to_vec();
    cells.push((0xFFFF, 0x7FFF, "far"));
    let message = read_bytes("far.xls", &older(&cells)).unwrap_err();
    assert!(message.contains("65536 rows and 32768 columns") && message.contains("help:"), "{message}");
}

#[test]
fn damaged_old_workbooks_never_crash() {
    let sound = std::fs::read(saved("struck.xls")).unwrap();
    let mut refused = 0;
    let mut look = |name: &str, bytes: &[u8]| {
        if let Err(message) = read_bytes(name, bytes) {
            refused += 1;
            assert!(message.contains("help:") && message.contains(name), "{message}");
        }
    };
    for at in (0..sound.len()).step_by(997) {
        look(&format!("cut-{at}.xls"), &sound[..at]);
        for (name, mask) in [("flip", 0xFF), ("bit", 0x08)] {
            let mut other = sound.clone();
            other[at] ^= mask;
            look(&format!("{name}-{at}.xls"), &other);
        }
        // Lengths and counts at their largest.
        let mut other = sound.clone();
        let end = sound.len().min(at + 4);
        other[at..end].fill(0xFF);
        look(&format!("most-{at}.xls"), &other);
    }
    assert!(refused > 25, "{refused} damaged files were refused");
}

/// Records of sheets that all point at one sheet would have it read as often.
#[test]
fn sheets_that_lie_over_each_other_are_refused() {
    assert!(read_bytes("once.xls", &older_named(&DOORS, 1)).is_ok());
    let message = read_bytes("often.xls", &older_named(&DOORS, 2_000)).unwrap_err();
    assert!(message.contains("lie over each other") && message.contains("help:"), "{message}");
}
