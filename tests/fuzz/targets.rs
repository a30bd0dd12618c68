//! What is fuzzed: every reader of something that comes from outside.

use std::fs;
use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};

use pintle::catalog::Catalog;
use pintle::price::quote::Quote;
use pintle::read::schedule::{Schedule, Wording};
use pintle::reprice::snapshot::Snapshot;
use pintle::terms::Terms;
use pintle::understand::reading::Surroundings;
use pintle::understand::{Lexicon, understand};

use super::{fuzz, sign};

const SHEET_WORDS: [&str; 29] = [
    "SET",
    "HARDWARE SET NO. ",
    "DOORS: ",
    "101 THRU 109",
    "201A,B,C",
    "NOT USED",
    "BY OTHERS",
    "EA",
    "PR",
    "1-1/2",
    "3070",
    "3'-0\" x 7'-0\"",
    "90 MIN",
    "\u{bd}",
    "\u{feff}",
    "\u{202e}",
    "END OF SECTION",
    "Door No.",
    "Hdwe Set",
    "Y",
    "x2",
    "#REF!",
    "1E2",
    "\u{2013}",
    "((((((((((((((((",
    "----------------",
    "................",
    "1,200",
    "101 THRU 99999",
];
const PARTS_WORDS: [&str; 16] = [
    "<row r=\"1048576\">",
    "<c r=\"XFD1\" t=\"s\"><v>",
    "</v></c>",
    "<v>99999999999</v>",
    "<mergeCell ref=\"A1:XFD1048576\"/>",
    "t=\"inlineStr\"",
    "<is><t>",
    "&#x0;",
    "&amp;",
    "<!DOCTYPE x [<!ENTITY y \"z\">]>",
    "<f>1/0</f>",
    "hidden=\"1\"",
    "s=\"9999\"",
    "<dimension ref=\"A1:XFD1048576\"/>",
    "-1",
    "<strike/>",
];
const WORDING_WORDS: [&str; 30] = [
    "HINGE",
    "x",
    "4-1/2",
    "4.5",
    "BB",
    "HW",
    "NRP",
    "652",
    "26D",
    "US32D",
    "MORT",
    "LOCK",
    "F07",
    "RIM",
    "PANIC",
    "W/",
    "LESS",
    "NO ",
    "or",
    "/",
    "1-1/2 PR",
    "EA",
    "4W",
    "24VDC",
    "CLSR",
    "KP 10 x 34",
    "ditto",
    "by others",
    "\u{be}",
    "#",
];
const RECORD_WORDS: [&str; 14] = [
    "null",
    "\"\"",
    "[]",
    "{}",
    "-1",
    "1e999",
    "\"12/0\"",
    "\"schema\"",
    "\"pintle.record/2\"",
    "99999999999999999999999999999",
    "\"shares\":",
    "\"quantity\":",
    "true",
    "\\u0000",
];

fn file(name: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// A file of a fuzzer's own.
fn scratch(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-fuzz-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a temporary folder can be made");
    folder.join(name)
}

/// How a schedule was read: which roles its rows have and what was found, or which kind of error.
fn answer(result: Result<Schedule, String>, name: &str) -> u64 {
    match result {
        Ok(schedule) => {
            for row in &schedule.ledger {
                assert!(row.place.row > 0, "a row of the ledger has no place");
            }
            let roles: Vec<&str> = schedule.ledger.iter().map(|row| row.role.word()).collect();
            sign(&(roles, schedule.openings.len(), schedule.sets.len()))
        }
        Err(message) => {
            assert!(message.contains(name), "the error does not name the file: {message}");
            sign(&message.chars().filter(|letter| !letter.is_ascii_digit()).take(80).collect::<String>())
        }
    }
}

#[test]
fn text_schedules() {
    let path = scratch("fuzzed.csv");
    let seeds = [
        "samples/small/doors.csv",
        "samples/small/sets.csv",
        "tests/layouts/doors-and-blocks.csv",
        "tests/samples/sets.txt",
    ];
    let seeds = seeds.iter().map(|name| file(name)).map(|bytes| bytes[..bytes.len().min(3_000)].to_vec()).collect();
    fuzz("text-schedule", seeds, &SHEET_WORDS, |bytes| {
        fs::write(&path, bytes).expect("a temporary file can be written");
        answer(pintle::read::read(std::slice::from_ref(&path), &[]), "fuzzed.csv")
    });
}

/// A workbook small enough to be read hundreds of times a second.
fn small_workbook() -> Vec<(String, Vec<u8>)> {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    let rows = [
        ["Door", "Size", "Rating", "Set", "Remarks"],
        ["101", "3070", "90", "1", "card reader"],
        ["102A", "3'-0\" x 7'-0\"", "", "2", ""],
        ["", "", "", "", ""],
        ["SET 1", "", "", "", ""],
        ["3", "EA", "Hinge 4-1/2 x 4-1/2 BB", "652", ""],
        ["1", "EA", "Mortise lock F07", "626", ""],
    ];
    for (row, cells) in rows.iter().enumerate() {
        for (column, text) in cells.iter().enumerate() {
            sheet.write_string(row as u32, column as u16, *text).expect("the cell is within the sheet");
        }
    }
    sheet.merge_range(8, 0, 8, 3, "END OF SECTION", &rust_xlsxwriter::Format::new()).expect("the range is free");
    let bytes = book.save_to_buffer().expect("it is written to memory");
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("it was just written");
    (0..archive.len())
        .map(|index| {
            let mut entry = archive.by_index(index).expect("the entry is there");
            let mut content = Vec::new();
            entry.read_to_end(&mut content).expect("it was just written");
            (entry.name().expect("a name of ours").into_owned(), content)
        })
        .collect()
}

/// Parts behind one another, each led by its name and length, so that the parts are damaged and not the packing.
fn packed(parts: &[(String, Vec<u8>)]) -> Vec<u8> {
    parts.iter().flat_map(|(name, content)| [name.as_bytes(), b"\x1f", content, b"\x1e"].concat()).collect()
}

fn zipped(bytes: &[u8]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for part in bytes.split(|byte| *byte == 0x1e) {
        let (name, content) = part.split_at(part.iter().position(|byte| *byte == 0x1f).unwrap_or(0));
        let options = zip::write::SimpleFileOptions::default();
        if writer.start_file(String::from_utf8_lossy(name), options).is_ok() {
            writer.write_all(content.get(1..).unwrap_or_default()).expect("it goes to memory");
        }
    }
    writer.finish().map(Cursor::into_inner).unwrap_or_default()
}

#[test]
fn workbooks() {
    let path = scratch("fuzzed.xlsx");
    fuzz("workbook", vec![packed(&small_workbook())], &PARTS_WORDS, |bytes| {
        fs::write(&path, zipped(bytes)).expect("a temporary file can be written");
        answer(pintle::read::read(std::slice::from_ref(&path), &[]), "fuzzed.xlsx")
    });
}

#[test]
fn wordings() {
    let lexicon = Lexicon::load(&[]).expect("the embedded lists are sound");
    let labels = String::from_utf8(file("tests/truth/composite.csv")).expect("it is text");
    let seeds = labels.lines().skip(1).map(|line| line.as_bytes().to_vec()).collect();
    fuzz("wording", seeds, &WORDING_WORDS, |bytes| {
        let text = String::from_utf8_lossy(bytes);
        let wording = Wording::free(&text);
        let text = &wording.text;
        let readings = understand(&lexicon, &wording, &Surroundings::default());
        for range in readings.iter().flat_map(|reading| reading.unread.iter().chain(&reading.ignored)) {
            assert!(text.get(range.clone()).is_some(), "{range:?} is outside the text or within a letter: {text:?}");
        }
        let names: Vec<_> = readings.iter().map(|reading| reading.attributes.keys().collect::<Vec<_>>()).collect();
        sign(&format!("{names:?}"))
    });
}

const CATALOG: &str =
    "name = \"Small\"\ncurrency = \"USD\"\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"\n";
const GOODS: &str = "[[line]]\nid = \"plain\"\nmaker = \"Wend\"\ncategory = \"hinge\"\ndesignation = \"PL{height}{pin} {finish}\"\n\
describe = \"Hinge, {height}, {finish}\"\nprice = { by = [\"height\"], rows = [[4, 10.00], [4.5, 12.00]] }\nis = { base = \"steel\" }\n\
makes.height = { values = [4, 4.5], codes = [\"40\", \"45\"], usual = 4.5 }\nmakes.pin = { values = [\"removable\", \"non-removable\"], codes = [\"\", \"-K\"], list = [0, 2] }\n\
makes.width = { from = 2, to = 6, usual = 4 }\nmakes.finish = [\"652\", \"640\"]\n[[line.rule]]\nwhen = { pin = \"non-removable\" }\nneeds = { height = 4.5 }\n\
[[line.adder]]\nwhen = { finish = \"640\" }\npercent = 10\n[[discount]]\nmaker = \"Wend\"\nchain = [50]\n";

#[test]
fn catalogs() {
    let words = [
        "[[line]]",
        "makes.",
        "percent = ",
        "by = [",
        "rows = [",
        "{height}",
        "from = 9",
        "-1",
        "\"652\"",
        "codes",
        "[[line.rule]]",
    ];
    fuzz("catalog", vec![GOODS.as_bytes().to_vec()], &words, |bytes| {
        let text = String::from_utf8_lossy(bytes);
        match Catalog::from_texts(&[("catalog.toml", CATALOG), ("one/goods.toml", &text)], "2026-06-01") {
            Ok(catalog) => sign(&format!("{:?}", catalog.lines().count())),
            Err(report) => {
                // What is wrong, without where.
                let mistakes = report.lines().filter_map(|line| line.split_once(", column ")?.1.split_once(": "));
                sign(&mistakes.map(|(_, what)| what.split('"').next()).collect::<std::collections::BTreeSet<_>>())
            }
        }
    });
}

#[test]
fn terms() {
    let seed = file("catalogs/job-template.toml");
    let set = String::from_utf8_lossy(&seed).replace("\n# ", "\n").into_bytes();
    fuzz(
        "terms",
        vec![seed, set, file("samples/library/job.toml")],
        &["[[read]]", " = ", "margin", "2026-13-45", "1e99", "["],
        |bytes| match Terms::parse(&String::from_utf8_lossy(bytes), "job.toml") {
            Ok(_) => 1,
            Err(message) => sign(
                &message.lines().next().map(|line| line.chars().filter(|one| one.is_alphabetic()).collect::<String>()),
            ),
        },
    );
}

/// The small sample, priced.
fn small_quote() -> Quote {
    let files = ["samples/small/doors.csv", "samples/small/sets.csv"]
        .map(|name| Path::new(env!("CARGO_MANIFEST_DIR")).join(name));
    let schedule = pintle::read::read(&files, &[]).expect("the small sample reads");
    let lexicon = Lexicon::load(&[]).expect("the embedded lists are sound");
    let readings = pintle::understand::understand_sets(&lexicon, &schedule);
    let catalog = Catalog::embedded("2026-11-25").expect("the demo catalog is sound");
    let terms = Terms::default();
    let job = pintle::complete::complete(schedule, readings, &catalog, &terms, &Default::default());
    let takeoff = pintle::count::count(&job, &catalog);
    pintle::price::price(job, takeoff, &catalog, &terms, "2026-11-25")
}

/// The pages of an estimate in which something can be typed, as text, with a few cells filled in.
fn estimate_pages() -> Vec<Vec<u8>> {
    let path = scratch("estimate.xlsx");
    fs::write(&path, pintle::write::estimate(&small_quote()).expect("it is written")).expect("it can be kept");
    let pages = pintle::read::sheets(&path).expect("our own workbook reads");
    let mut texts = Vec::new();
    for page in pages.iter().filter(|page| ["Questions", "Priced goods", "Answers given"].contains(&page.name.as_str()))
    {
        let mut out = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
        for (_, row) in &page.rows {
            let last = row.keys().last().map_or(0, |last| last + 1);
            let cells = (0..last).map(|column| row.get(&column).map_or("", String::as_str));
            out.write_record(cells).expect("text can be written");
        }
        texts.push(out.into_inner().expect("text can be written"));
    }
    assert_eq!(texts.len(), 3, "the pages have these names");
    texts
}

#[test]
fn answers() {
    let words =
        ["exclude", "job", "12.50", "-1", "1e9", "=1+1", "2026-13-45", "yes", "\"", ",,,", "Your answer", "Line"];
    let path = scratch("answers.csv");
    fuzz("answers", estimate_pages(), &words, |bytes| {
        fs::write(&path, bytes).expect("a temporary file can be written");
        match pintle::read::sheets(&path) {
            Ok(sheets) => match pintle::write::answered::answers(&sheets) {
                Ok(back) => sign(&(back.answers.questions.len(), back.answers.typed.len())),
                Err(told) => sign(&told.chars().filter(|letter| letter.is_alphabetic()).take(60).collect::<String>()),
            },
            Err(told) => sign(&told.len()),
        }
    });
}

#[test]
fn records() {
    let record = pintle::write::record(&small_quote());
    let seed = Snapshot::parse(&record, "the record").expect("our own record reads");
    fuzz("record", vec![record.clone().into_bytes()], &RECORD_WORDS, |bytes| {
        match Snapshot::parse(&String::from_utf8_lossy(bytes), "the record") {
            Ok(other) => {
                // What reads can also be compared.
                let compared = pintle::reprice::reprice(&seed, &other, &Default::default());
                sign(&compared.map_or(0, |changes| changes.json().len()))
            }
            Err(message) => sign(&message.chars().filter(|letter| letter.is_alphabetic()).take(60).collect::<String>()),
        }
    });
}
