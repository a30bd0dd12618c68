//! Broken and hostile files: every sample cut at every kilobyte, with flipped bytes, with parts missing or swapped, and
//! text made to hurt. Nothing may panic, hang or write; a clear error or a schedule comes out.

use std::fs;
use std::io::{Read, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use pintle::read::read;

/// No file here may take longer; the machine may be slow and the build unoptimised.
const BOUND: Duration = Duration::from_secs(20);

/// A small generator of numbers, so that every run tries the same damage.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-hostile-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// Reads the bytes under a name; fails on a panic, on a hang, and on an error that does not name the file.
fn try_read(folder: &Path, name: &str, bytes: &[u8], damage: &str) {
    let path = folder.join(name);
    fs::write(&path, bytes).unwrap();
    let start = Instant::now();
    let result = catch_unwind(AssertUnwindSafe(|| read(std::slice::from_ref(&path), &[])));
    assert!(start.elapsed() < BOUND, "{name}, {damage}: took {:?}", start.elapsed());
    match result {
        Ok(Ok(_)) => {}
        Ok(Err(message)) => {
            assert!(message.contains(name), "{name}, {damage}: the error does not name the file: {message}");
            assert!(message.contains("help:"), "{name}, {damage}: the error does not say what to do: {message}");
        }
        Err(_) => panic!("{name}, {damage}: panicked"),
    }
}

fn samples() -> Vec<(String, Vec<u8>)> {
    fn gather(folder: &Path, found: &mut Vec<(String, Vec<u8>)>) {
        let mut entries: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        entries.sort();
        for path in entries {
            let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default().to_owned();
            if path.is_dir() {
                gather(&path, found);
            } else if ["xlsx", "xls", "ods", "csv", "txt"].contains(&ending.as_str()) {
                found.push((path.file_name().unwrap().to_string_lossy().into_owned(), fs::read(&path).unwrap()));
            }
        }
    }
    let mut found = Vec::new();
    gather(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/samples")), &mut found);
    found.retain(|(name, _)| !name.contains("estimate") && !name.contains("proposal"));
    assert!(!found.is_empty(), "there are samples to damage");
    found
}

#[test]
fn files_cut_at_every_kilobyte() {
    let folder = folder("cut");
    for (name, bytes) in samples() {
        for end in (0..bytes.len()).step_by(1024) {
            try_read(&folder, &name, &bytes[..end], &format!("cut at {end}"));
        }
    }
}

#[test]
fn files_with_flipped_bytes() {
    let folder = folder("flip");
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    for (name, bytes) in samples() {
        for round in 0..150 {
            let mut damaged = bytes.clone();
            for _ in 0..=dice.roll(8) {
                let at = dice.roll(damaged.len());
                damaged[at] ^= 1 << dice.roll(8);
            }
            try_read(&folder, &name, &damaged, &format!("flips, round {round}"));
        }
    }
}

/// The parts of a workbook.
fn parts(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|index| {
            let mut entry = archive.by_index(index).unwrap();
            let mut content = Vec::new();
            entry.read_to_end(&mut content).unwrap();
            (entry.name().unwrap().into_owned(), content)
        })
        .collect()
}

fn zipped(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for (name, content) in parts {
        writer.start_file(name.as_str(), zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

#[test]
fn workbooks_with_missing_empty_swapped_and_mangled_parts() {
    let folder = folder("parts");
    let mut dice = Dice(0x1234_5678_9abc_def1);
    for (name, bytes) in samples().into_iter().filter(|(name, _)| name.ends_with(".xlsx")) {
        let whole = parts(&bytes);
        for index in 0..whole.len() {
            let part = whole[index].0.clone();
            let mut missing = whole.clone();
            missing.remove(index);
            try_read(&folder, &name, &zipped(&missing), &format!("without {part}"));
            for (what, content) in [
                ("empty", Vec::new()),
                ("no XML", b"\x00\xff\xfe\x00".to_vec()),
                ("only opened", b"<?xml version=\"1.0\"?><worksheet><sheetData><row r=\"1\"><c r=\"A1\"".to_vec()),
                ("entities", b"<?xml version=\"1.0\"?><!DOCTYPE a [<!ENTITY b \"bbbb\"><!ENTITY c \"&b;&b;&b;&b;\">]><worksheet><sheetData><row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>&c;&c;</t></is></c></row></sheetData></worksheet>".to_vec()),
                ("a range written backwards", b"<worksheet><dimension ref=\"C9:A1\"/><sheetData><row r=\"1\"><c r=\"A1\"><v>1</v></c></row></sheetData></worksheet>".to_vec()),
                ("far cells", b"<worksheet><dimension ref=\"A1:XFD1048576\"/><sheetData><row r=\"1\"><c r=\"A1\"><v>1</v></c></row><row r=\"1048576\"><c r=\"XFD1048576\"><v>1</v></c></row></sheetData></worksheet>".to_vec()),
                ("wild references", b"<worksheet><sheetData><row r=\"0\"><c r=\"\"><v>1</v></c><c r=\"1A\"><v>x</v></c><c r=\"ZZZZZZ99999999999\"><v>1</v></c></row><row r=\"99999999999\"/></sheetData><mergeCells><mergeCell ref=\"A1:XFD1048576\"/><mergeCell ref=\"B\"/></mergeCells></worksheet>".to_vec()),
            ] {
                let mut changed = whole.clone();
                changed[index].1 = content;
                try_read(&folder, &name, &zipped(&changed), &format!("{part}: {what}"));
            }
        }
        for round in 0..100 {
            let mut changed = whole.clone();
            let index = dice.roll(changed.len());
            let content = &mut changed[index].1;
            for _ in 0..=dice.roll(20) {
                if !content.is_empty() {
                    let at = dice.roll(content.len());
                    content[at] = (dice.roll(256)) as u8;
                }
            }
            try_read(&folder, &name, &zipped(&changed), &format!("mangled, round {round}"));
        }
    }
}

#[test]
fn text_made_to_hurt() {
    let folder = folder("text");
    let head = "Door,Size,Rating,Set\n";
    let nasty = [
        "=CMD()|' /C calc'!A0",
        "+1+1",
        "-2+3",
        "@SUM(1)",
        "\u{202e}101A\u{202c}",
        "\u{200b}\u{200d}\u{feff}",
        "\u{0000}",
        "½ ⁄ ″ ′ × ‐ ‑ – —",
        "9999999999999999999999999999999999999999999999",
        "1/0 x 0/0",
        "3'-999999999999\" x 7'-0\"",
        "-3-0 x -7-0",
        "1e308",
        "e\u{301}\u{301}\u{301}",
        "ﬁﬂ ①②③ Ⅷ",
        "\"\"\"\"\"",
    ];
    for (index, text) in nasty.iter().enumerate() {
        let quoted = text.replace('"', "\"\"");
        let rows: String = (0..4)
            .map(|column| {
                let mut cells = ["101", "3070", "90", "1"].map(str::to_owned);
                cells[column] = format!("\"{quoted}\"");
                cells.join(",") + "\n"
            })
            .collect();
        try_read(&folder, &format!("nasty-{index}.csv"), format!("{head}{rows}").as_bytes(), text);
    }
    let long = "A".repeat(1_000_000);
    try_read(&folder, "long.csv", format!("{head}101,3070,90,{long}\n").as_bytes(), "a cell of a million letters");
    let wide = format!("Door,{}\n101,{}\n", "x,".repeat(20_000), "1,".repeat(20_000));
    try_read(&folder, "wide.csv", wide.as_bytes(), "20,000 columns");
    let open = format!("{head}\"{}", "101,3070\n".repeat(50_000));
    try_read(&folder, "open-quote.csv", open.as_bytes(), "a quote that never closes");
    let range = format!("{head}1-999999999,3070,,1\nA1 THRU ZZ99,3070,,1\n");
    try_read(&folder, "range.csv", range.as_bytes(), "an endless range of doors");
}

#[test]
fn a_workbook_that_unpacks_to_gigabytes_is_refused_or_read_in_bounds() {
    let folder = folder("bomb");
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let (_, bytes) = samples().into_iter().find(|(name, _)| name.ends_with(".xlsx")).unwrap();
    for (name, content) in parts(&bytes) {
        writer.start_file(name.as_str(), zip::write::SimpleFileOptions::default()).unwrap();
        if name == "xl/sharedStrings.xml" {
            writer.write_all(b"<sst><si><t>").unwrap();
            let block = vec![b' '; 1 << 20];
            for _ in 0..600 {
                writer.write_all(&block).unwrap();
            }
            writer.write_all(b"</t></si></sst>").unwrap();
        } else {
            writer.write_all(&content).unwrap();
        }
    }
    let bomb = writer.finish().unwrap().into_inner();
    assert!(bomb.len() < 4 << 20, "it is small on disk: {} bytes", bomb.len());
    try_read(&folder, "bomb.xlsx", &bomb, "600 MB of shared strings");
}
