//! Binary workbooks (xlsb). No library at hand writes them, so their records are put together here, byte by byte, as
//! [MS-XLSB] (Excel Binary File Format, sections 2.1.4 and 2.4) says; and damaged ones must be refused, never crash.

use std::io::Write;
use std::path::PathBuf;

use pintle::read::read;
use pintle::read::schedule::{Role, Schedule};

/// Records under their numbers, as a part holds them.
#[derive(Default)]
struct Part(Vec<u8>);

impl Part {
    fn put(&mut self, kind: u32, data: &[u8]) -> &mut Self {
        let low = (kind & 0x7F) as u8;
        if kind < 0x80 {
            self.0.push(low)
        } else {
            self.0.extend([low | 0x80, (kind >> 7) as u8])
        }
        let mut size = data.len();
        loop {
            let byte = (size & 0x7F) as u8;
            size >>= 7;
            self.0.push(if size > 0 { byte | 0x80 } else { byte });
            if size == 0 {
                self.0.extend(data);
                return self;
            }
        }
    }
}

fn wide(text: &str) -> Vec<u8> {
    let letters: Vec<u16> = text.encode_utf16().collect();
    let mut out = (letters.len() as u32).to_le_bytes().to_vec();
    out.extend(letters.into_iter().flat_map(u16::to_le_bytes));
    out
}

fn longs(numbers: &[u32]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

/// Cell formats of the workbook made here.
const PLAIN: u32 = 0;
const STRUCK: u32 = 1;
const DAY_MONTH: u32 = 2;

enum Value<'v> {
    Shared(u32),
    Text(&'v str),
    Number(f64),
    Small(i32),
    Error(u8),
    Formula(&'v str),
}

fn cell(part: &mut Part, column: u32, format: u32, value: Value<'_>) {
    let mut data = longs(&[column, format]);
    let kind = match value {
        Value::Shared(index) => {
            data.extend(index.to_le_bytes());
            7
        }
        Value::Text(text) => {
            data.extend(wide(text));
            6
        }
        Value::Number(number) => {
            data.extend(number.to_le_bytes());
            5
        }
        // A whole number in thirty bits, its second bit says so.
        Value::Small(number) => {
            data.extend(((number << 2) | 2).to_le_bytes());
            2
        }
        Value::Error(code) => {
            data.push(code);
            3
        }
        Value::Formula(result) => {
            data.extend(wide(result));
            data.extend([0, 0]);
            data.extend(longs(&[0, 0]));
            8
        }
    };
    part.put(kind, &data);
}

fn row(part: &mut Part, number: u32, hidden: bool) {
    let mut data = longs(&[number, 0]);
    data.extend([0x2C, 0x01, 0, if hidden { 0x10 } else { 0 }, 0]);
    data.extend(longs(&[0]));
    part.put(0, &data);
}

fn styles() -> Vec<u8> {
    let mut part = Part::default();
    part.put(278, &[]).put(611, &longs(&[2]));
    for flags in [0u16, 0x8] {
        let mut font = 220u16.to_le_bytes().to_vec();
        font.extend(flags.to_le_bytes());
        font.extend([0x90, 0x01, 0, 0, 0, 2, 0, 0]);
        font.extend([7, 0, 0, 0, 0, 0, 0, 0xFF, 2]);
        font.extend(wide("Sans"));
        part.put(43, &font);
    }
    part.put(612, &[]).put(617, &longs(&[3]));
    // The parent, the number format, the font; what follows is not looked at.
    for (format, font) in [(0u16, 0u16), (0, 1), (16, 0)] {
        let mut data = vec![0, 0];
        data.extend(format.to_le_bytes());
        data.extend(font.to_le_bytes());
        data.extend([0; 10]);
        part.put(47, &data);
    }
    part.put(618, &[]).put(279, &[]);
    part.0
}

/// Plain shared strings, and one whose middle is struck through.
fn shared(texts: &[&str]) -> Vec<u8> {
    let mut part = Part::default();
    let count = texts.len() as u32 + 1;
    part.put(159, &longs(&[count, count]));
    for text in texts {
        let mut data = vec![0];
        data.extend(wide(text));
        part.put(19, &data);
    }
    let mut rich = vec![1];
    rich.extend(wide("1 EA STOREROOM F80 F86 LOCK"));
    rich.extend(longs(&[2]));
    for (from, font) in [(15u16, 1u16), (19, 0)] {
        rich.extend(from.to_le_bytes());
        rich.extend(font.to_le_bytes());
    }
    part.put(19, &rich).put(160, &[]);
    part.0
}

fn doors() -> Part {
    let mut part = Part::default();
    part.put(129, &[]).put(148, &longs(&[0, 6, 0, 4]));
    // Column D is hidden.
    let mut column = longs(&[3, 3, 2304, 0]);
    column.extend([1, 0]);
    part.put(390, &[]).put(60, &column).put(391, &[]).put(145, &[]);
    row(&mut part, 0, false);
    for (at, text) in ["DOOR NO.", "SIZE", "RATING", "OLD SET", "HW SET"].into_iter().enumerate() {
        cell(&mut part, at as u32, PLAIN, Value::Text(text));
    }
    row(&mut part, 1, false);
    cell(&mut part, 0, PLAIN, Value::Small(101));
    cell(&mut part, 1, PLAIN, Value::Number(3070.0));
    cell(&mut part, 2, PLAIN, Value::Shared(0));
    cell(&mut part, 3, PLAIN, Value::Text("9"));
    cell(&mut part, 4, PLAIN, Value::Formula("1"));
    row(&mut part, 2, false);
    cell(&mut part, 0, PLAIN, Value::Text("102"));
    cell(&mut part, 1, PLAIN, Value::Text("3'-0\" x 7'-0\""));
    row(&mut part, 3, true);
    cell(&mut part, 0, PLAIN, Value::Text("103"));
    cell(&mut part, 1, DAY_MONTH, Value::Small(46_085));
    cell(&mut part, 4, PLAIN, Value::Error(0x17));
    row(&mut part, 4, false);
    cell(&mut part, 0, STRUCK, Value::Text("104"));
    cell(&mut part, 1, STRUCK, Value::Text("3070"));
    part.put(146, &[]);
    part.put(177, &longs(&[1])).put(176, &longs(&[1, 2, 4, 4])).put(178, &[]).put(130, &[]);
    part
}

fn sets() -> Part {
    let mut part = Part::default();
    part.put(129, &[]).put(148, &longs(&[0, 3, 0, 0])).put(145, &[]);
    for (number, index) in [(0, 1), (1, 2), (2, 3)] {
        row(&mut part, number, false);
        cell(&mut part, 0, PLAIN, Value::Shared(index));
    }
    row(&mut part, 3, false);
    cell(&mut part, 0, PLAIN, Value::Shared(4));
    part.put(146, &[]).put(130, &[]);
    part
}

const STRINGS: [&str; 4] = ["45 MIN", "HARDWARE SET 1", "3 EA HINGE", "1 EA CLOSER"];

fn workbook() -> Vec<u8> {
    let mut part = Part::default();
    part.put(131, &[]).put(143, &[]);
    for (state, number, relation, name) in [(0, 1, "rId1", "Doors"), (1, 2, "rId2", "Sets")] {
        let mut data = longs(&[state, number]);
        data.extend(wide(relation));
        data.extend(wide(name));
        part.put(156, &data);
    }
    part.put(144, &[]).put(157, &[0; 26]).put(132, &[]);
    part.0
}

fn zipped(doors: &[u8], strings: &[u8], workbook: &[u8]) -> Vec<u8> {
    let rels = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="x" Target="worksheets/sheet1.bin"/><Relationship Id="rId2" Type="x" Target="worksheets/sheet2.bin"/></Relationships>"#;
    let mut zip = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, bytes) in [
        ("xl/workbook.bin", workbook),
        ("xl/_rels/workbook.bin.rels", rels.as_bytes()),
        ("xl/styles.bin", &styles()),
        ("xl/sharedStrings.bin", strings),
        ("xl/worksheets/sheet1.bin", doors),
        ("xl/worksheets/sheet2.bin", &sets().0),
    ] {
        zip.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

fn read_bytes(name: &str, bytes: &[u8]) -> Result<Schedule, String> {
    let folder = std::env::temp_dir().join(format!("pintle-xlsb-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path: PathBuf = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    read(&[path], &[])
}

#[test]
fn a_binary_workbook_is_read_with_what_it_hides_strikes_and_merges() {
    let schedule = read_bytes("sound.xlsb", &zipped(&doors().0, &shared(&STRINGS), &workbook())).unwrap();
    let doors: Vec<(&str, Option<&str>)> =
        schedule.openings.iter().map(|opening| (opening.number.as_str(), opening.set.as_deref())).collect();
    assert_eq!(doors, [("101", Some("1")), ("102", Some("1")), ("103", None)]);
    assert_eq!(schedule.openings[0].rating.minutes, Some(45));
    assert!(schedule.openings.iter().take(2).all(|opening| opening.width.is_some() && opening.height.is_some()));
    let lines: Vec<&str> = schedule.sets[0].lines.iter().map(|line| line.wording.text.as_str()).collect();
    assert_eq!(lines, ["3 EA HINGE", "1 EA CLOSER", "1 EA STOREROOM F86 LOCK"]);
    let mut codes: Vec<&str> = schedule.findings.iter().map(|finding| finding.code).collect();
    codes.sort_unstable();
    codes.dedup();
    for code in ["date-for-size", "error-cell", "hidden-columns", "hidden-rows", "hidden-sheet", "merged-cells"] {
        assert!(codes.contains(&code), "{code} in {codes:?}");
    }
    assert!(codes.contains(&"struck-through") && !codes.contains(&"marks-not-seen"), "{codes:?}");
    assert_eq!(schedule.ledger.iter().filter(|row| row.role == Role::Excluded).count(), 1);
    assert_eq!(schedule.ledger.len(), 9);
}

#[test]
fn damaged_binary_workbooks_are_refused_and_never_crash() {
    let sound = (doors().0, shared(&STRINGS), workbook());
    let mut refused = 0;
    let mut tried = 0;
    let mut look = |name: &str, bytes: &[u8]| {
        tried += 1;
        if let Err(message) = read_bytes(name, bytes) {
            refused += 1;
            assert!(message.contains("help:") && message.contains(name), "{message}");
        }
    };
    for part in 0..3 {
        let whole = [&sound.0, &sound.1, &sound.2][part];
        for at in (0..whole.len()).step_by(3) {
            // Cut off, and with a byte that is another.
            let mut cut = whole.clone();
            cut.truncate(at);
            let mut other = whole.clone();
            other[at] ^= 0xFF;
            for (kind, damaged) in [("cut", cut), ("other", other)] {
                let mut parts = [sound.0.clone(), sound.1.clone(), sound.2.clone()];
                parts[part] = damaged;
                look(&format!("{kind}-{part}-{at}.xlsb"), &zipped(&parts[0], &parts[1], &parts[2]));
            }
        }
    }
    assert!(refused * 4 > tried, "{refused} of {tried} damaged files were refused");
    // A string that is not there.
    let end = sound.0.len() - doors_end().len();
    let mut bytes = sound.0[..end].to_vec();
    let mut more = Part::default();
    row(&mut more, 6, false);
    cell(&mut more, 0, PLAIN, Value::Shared(999));
    bytes.extend(more.0);
    bytes.extend(doors_end());
    let message = read_bytes("string.xlsb", &zipped(&bytes, &sound.1, &sound.2)).unwrap_err();
    assert!(message.contains("string.xlsb: is damaged") && message.contains("save it again"), "{message}");
    // A relation that names no part.
    let workbook: Vec<u8> = sound.2.iter().map(|byte| if *byte == b'2' { b'7' } else { *byte }).collect();
    assert!(read_bytes("relation.xlsb", &zipped(&sound.0, &sound.1, &workbook)).is_err());
}

/// The end of the sheet of doors, behind its last cell.
fn doors_end() -> Vec<u8> {
    let mut part = Part::default();
    part.put(146, &[]).put(177, &longs(&[1])).put(176, &longs(&[1, 2, 4, 4])).put(178, &[]).put(130, &[]);
    part.0
}
