//! What the job file settles about reading, and the limits: sheets that declare millions of cells, far corners, floods,
//! files too large, deep merges. All read within bounds or refused clearly.

use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use pintle::read::read;
use pintle::read::schedule::Schedule;
use pintle::terms::{ReadTerms, Terms};
use rust_xlsxwriter::Workbook;

fn folder() -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-limits-{}", std::process::id()));
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn file(name: &str, text: &str) -> PathBuf {
    let path = folder().join(name);
    fs::write(&path, text).unwrap();
    path
}

fn terms(toml: &str) -> Vec<ReadTerms> {
    toml::from_str::<Terms>(toml).unwrap().read
}

fn doors(schedule: &Schedule) -> Vec<(String, Option<String>)> {
    schedule.openings.iter().map(|door| (door.number.clone(), door.set.clone())).collect()
}

fn pairs(pairs: &[(&str, &str)]) -> Vec<(String, Option<String>)> {
    pairs.iter().map(|(door, set)| ((*door).to_string(), Some((*set).to_string()))).collect()
}

#[test]
fn the_job_file_names_the_heading_row_and_the_columns() {
    // The headings mislead: the number stands under SPACE, the set under CODE.
    let path = file("odd.csv", "JOB,X\nSPACE,ELEMENT,CODE\n101,OFFICE,1\n102,STORE,2\n");
    assert!(read(std::slice::from_ref(&path), &[]).is_err());
    let told = terms(
        "[[read]]\nfile = \"odd.csv\"\nheader_row = 2\nholds = \"doors\"\ncolumns = { A = \"door number\", B = \"room\", C = \"set\" }\n",
    );
    let schedule = read(&[path], &told).unwrap();
    assert_eq!(doors(&schedule), pairs(&[("101", "1"), ("102", "2")]));
    assert_eq!(schedule.openings[0].room, "OFFICE");
    assert!(schedule.layout.iter().any(|note| note.why.contains("the job file says so")));
}

#[test]
fn the_job_file_passes_a_sheet_over_and_speaks_of_one_sheet_only() {
    let mut book = Workbook::new();
    for (name, door) in [("Doors", "101"), ("Old doors", "999")] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        for (column, text) in ["DOOR", "SIZE", "HW SET"].iter().enumerate() {
            sheet.write_string(0, column as u16, *text).unwrap();
        }
        for (column, text) in [door, "3070", "1"].iter().enumerate() {
            sheet.write_string(1, column as u16, *text).unwrap();
        }
    }
    let path = folder().join("two.xlsx");
    book.save(&path).unwrap();
    assert_eq!(doors(&read(std::slice::from_ref(&path), &[]).unwrap()).len(), 2);
    let told = terms("[[read]]\nsheet = \"old DOORS\"\nholds = \"ignore\"\n");
    let schedule = read(&[path], &told).unwrap();
    assert_eq!(doors(&schedule), pairs(&[("101", "1")]));
    assert_eq!(schedule.ledger.len(), 4, "passed over, but every row is accounted for");
}

#[test]
fn a_wrong_entry_of_the_job_file_is_refused_with_what_is_known() {
    let path = file("plain.csv", "DOOR,HW SET\n101,1\n102,1\n");
    for (toml, said) in [
        ("[[read]]\ncolumns = { \"1\" = \"set\" }\n", "no column letter"),
        ("[[read]]\ncolumns = { A = \"doors number\" }\n", "door number"),
        ("[[read]]\nholds = \"things\"\n", "doors, sets, items"),
    ] {
        let error = read(std::slice::from_ref(&path), &terms(toml)).unwrap_err();
        assert!(error.contains(said), "{error}");
    }
}

/// An ods file with this body of the first table.
fn ods(name: &str, rows: &str) -> PathBuf {
    let path = folder().join(name);
    let mut zip = zip::ZipWriter::new(fs::File::create(&path).unwrap());
    let options = zip::write::SimpleFileOptions::default();
    zip.start_file("mimetype", options).unwrap();
    zip.write_all(b"application/vnd.oasis.opendocument.spreadsheet").unwrap();
    zip.start_file("META-INF/manifest.xml", options).unwrap();
    zip.write_all(b"<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>")
        .unwrap();
    zip.start_file("content.xml", options).unwrap();
    let head = "<office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\"><office:body><office:spreadsheet><table:table table:name=\"A\">";
    let tail = "</table:table></office:spreadsheet></office:body></office:document-content>";
    zip.write_all(format!("{head}{rows}{tail}").as_bytes()).unwrap();
    zip.finish().unwrap();
    path
}

#[test]
fn repeated_cells_and_far_corners_of_an_ods_file_are_refused() {
    let cell = "office:value-type=\"string\"><text:p>x</text:p></table:table-cell>";
    let flood = format!(
        "<table:table-row table:number-rows-repeated=\"1048576\"><table:table-cell table:number-columns-repeated=\"16384\" {cell}</table:table-row>"
    );
    let corner = format!(
        "<table:table-row><table:table-cell {cell}</table:table-row><table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell/></table:table-row><table:table-row><table:table-cell table:number-columns-repeated=\"16000\"/><table:table-cell {cell}</table:table-row>"
    );
    for (name, rows) in [("flood.ods", flood), ("corner.ods", corner)] {
        let start = Instant::now();
        let error = read(&[ods(name, &rows)], &[]).unwrap_err();
        assert!(error.contains("spreads over") && error.contains(name), "{error}");
        assert!(start.elapsed() < Duration::from_secs(5));
    }
    // What programs write as a rule, a million empty rows below the table, is no flood.
    let row = |cells: &[&str]| {
        let cells: String = cells
            .iter()
            .map(|text| {
                format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
            })
            .collect();
        format!("<table:table-row>{cells}</table:table-row>")
    };
    let usual = format!(
        "{}{}<table:table-row table:number-rows-repeated=\"1048574\"><table:table-cell table:number-columns-repeated=\"16384\"/></table:table-row>",
        row(&["DOOR", "HW SET"]),
        row(&["101", "1"])
    );
    assert_eq!(doors(&read(&[ods("usual.ods", &usual)], &[]).unwrap()), pairs(&[("101", "1")]));
}

#[test]
fn a_file_of_200_megabytes_is_refused_by_its_size() {
    let path = folder().join("large.csv");
    fs::File::create(&path).unwrap().set_len(200 * 1024 * 1024).unwrap();
    let start = Instant::now();
    let error = read(std::slice::from_ref(&path), &[]).unwrap_err();
    fs::remove_file(&path).unwrap();
    assert!(error.contains("200 MB") && error.contains("help:"), "{error}");
    assert!(start.elapsed() < Duration::from_secs(2), "without reading it");
}

#[test]
fn deep_merges_and_sixteen_thousand_columns_are_read_in_time() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write_string(0, 0, "DOOR").unwrap();
    sheet.write_string(0, 1, "HW SET").unwrap();
    for column in 2..16_384u16 {
        sheet.write_string(0, column, "DETAIL").unwrap();
    }
    let plain = rust_xlsxwriter::Format::new();
    for row in 1..=3_000u32 {
        sheet.write_string(row, 0, format!("{}", 1000 + row)).unwrap();
        sheet.write_string(row, 1, "1").unwrap();
        sheet.merge_range(row, 2, row, 12, "", &plain).unwrap();
    }
    let path = folder().join("merges.xlsx");
    book.save(&path).unwrap();
    let start = Instant::now();
    let schedule = read(&[path], &[]).unwrap();
    assert_eq!(schedule.openings.len(), 3_000);
    assert!(start.elapsed() < Duration::from_secs(20), "{:?}", start.elapsed());
}

#[test]
fn a_text_file_of_too_many_cells_is_refused() {
    let mut text = String::from("DOOR,SIZE,SET\n");
    text.push_str(&"1,2,3,4,5,6,7,8,9,10\n".repeat(210_000));
    let error = read(&[file("cells.csv", &text)], &[]).unwrap_err();
    assert!(error.contains("more than 2000000 cells"), "{error}");
}

/// What a column of numbers with dashes is, is judged once and not for every row: before, these took minutes.
#[test]
fn thousands_of_numbers_with_dashes_are_read_in_time() {
    let rows = (0..6_000).map(|at| format!("A{}-A{},3070,1\n", 10_000 + at * 4, 10_003 + at * 4));
    let path = file("dashes.csv", &format!("Door,Size,Set\n{}", rows.collect::<String>()));
    let begun = Instant::now();
    let schedule = read(&[path], &[]).unwrap();
    assert!(begun.elapsed() < Duration::from_secs(20), "{:?}", begun.elapsed());
    assert_eq!(schedule.openings.len(), 6_000);
    assert_eq!(schedule.findings.iter().filter(|finding| finding.code == "range-or-number").count(), 1);
}

#[test]
fn a_cell_of_thousands_of_goods_is_read_in_pieces() {
    let goods =
        |count: usize| (0..count).map(|at| format!("{} HINGE H{at}", at % 3 + 1)).collect::<Vec<_>>().join(", ");
    let path = file(
        "long-cell.csv",
        &format!("SET,DESCRIPTION,FINISH\n1,\"{}\",652\n2,\"{}\",626\n", goods(2_000), goods(100)),
    );
    let schedule = read(&[path], &[]).unwrap();
    let [long, short] = &schedule.sets[..] else { panic!("two sets: {}", schedule.sets.len()) };
    assert_eq!(short.lines.len(), 1, "a cell of a hundred goods is one line");
    assert!(long.lines.len() > 10 && long.lines.iter().all(|line| line.wording.text.len() < 1_000));
    let all: String = long.lines.iter().map(|line| line.wording.text.as_str()).collect();
    assert!((0..2_000).all(|at| all.contains(&format!("HINGE H{at}"))), "no good is lost");
    assert!(
        long.lines.iter().all(|line| line.wording.text.ends_with("652")),
        "each piece has the other cells beside it"
    );
    let told: Vec<_> = schedule.findings.iter().filter(|finding| finding.code == "long-cell").collect();
    assert_eq!(told.len(), 1);
}
