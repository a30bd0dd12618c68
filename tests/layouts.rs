//! A corpus of schedules as strangers would send them, every row of the page on layouts among them: the openings, sets and
//! lines that must come of each are pinned, the ledger is complete for each and for random damage done to it, and no line
//! or opening says anything that its row does not say.

#[path = "layouts/corpus.rs"]
mod corpus;
#[path = "layouts/dump.rs"]
mod dump;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use corpus::{Fixture, Input};
use pintle::read::read;
use pintle::read::schedule::{Role, Schedule};
use pintle::terms::ReadTerms;
use proptest::prelude::*;

fn place_for(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-layouts-{}", std::process::id())).join(name);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn terms(fixture: &Fixture) -> Vec<ReadTerms> {
    let terms: pintle::terms::Terms = toml::from_str(&fixture.job).unwrap_or_else(|e| panic!("{}: {e}", fixture.name));
    terms.read
}

fn read_fixture(fixture: &Fixture) -> Result<Schedule, String> {
    let folder = place_for(&fixture.name);
    let paths: Vec<PathBuf> = fixture.inputs.iter().map(|input| input.write(&folder)).collect();
    read(&paths, &terms(fixture))
}

/// The texts of the rows that one thing was read from: its own and those that go on with it.
fn source(schedule: &Schedule, place: &pintle::place::Place) -> (Option<Role>, String) {
    let at = schedule
        .ledger
        .iter()
        .position(|row| row.place.row == place.row && row.place.sheet == place.sheet && row.place.file == place.file);
    let Some(at) = at else { return (None, String::new()) };
    let mut text = schedule.ledger[at].text.clone();
    for row in &schedule.ledger[at + 1..] {
        if !matches!(row.role, Role::Continuation | Role::Repeat | Role::Header) {
            break;
        }
        text.push(' ');
        text.push_str(&row.text);
    }
    (Some(schedule.ledger[at].role), text)
}

fn check(name: &str, schedule: &Schedule, filled: usize) {
    let places: BTreeSet<_> = schedule.ledger.iter().map(|row| row.place.clone()).collect();
    assert_eq!(places.len(), schedule.ledger.len(), "{name}: a row stands twice in the ledger");
    assert_eq!(schedule.ledger.len(), filled, "{name}: the ledger and the file have different numbers of rows");
    for opening in &schedule.openings {
        let (role, _) = source(schedule, &opening.place);
        // In a flat table the doors may stand beside any row of a set: its items, what goes on with them, NOT USED.
        let served = matches!(role, Some(Role::SetOpenings | Role::Set | Role::Note | Role::Line))
            || matches!(role, Some(Role::Continuation | Role::Excluded));
        assert!(
            role == Some(Role::Opening) || served,
            "{name}: door {} comes from a row that is {role:?}",
            opening.number
        );
    }
    for set in &schedule.sets {
        assert!(source(schedule, &set.place).0.is_some(), "{name}: set {} comes from no row", set.id);
        for line in &set.lines {
            let (role, _) = source(schedule, &line.place);
            assert!(
                matches!(role, Some(Role::Line | Role::Excluded | Role::Opening)),
                "{name}: the line \"{}\" comes from a row that is {role:?}",
                line.wording.text
            );
            let mut end = 0;
            for part in &line.wording.parts {
                assert!(part.span.start >= end && line.wording.text.get(part.span.clone()).is_some(), "{name}");
                end = part.span.end;
            }
        }
    }
}

/// The name of the row without brackets and case, for comparing.
fn words(text: &str) -> BTreeSet<String> {
    text.split(|letter: char| !letter.is_alphanumeric())
        .map(str::to_lowercase)
        .filter(|word| !word.is_empty())
        .collect()
}

/// Every word of a line stands somewhere in the files; nothing is made up.
fn nothing_invented(fixture: &Fixture, schedule: &Schedule, wrong: &mut Vec<String>) {
    let mut all = BTreeSet::new();
    for input in &fixture.inputs {
        all.extend(words(&input.text));
        for cell in input.sheets.iter().flat_map(|sheet| sheet.rows.iter().flatten()) {
            all.extend(words(&cell.replace("~~", "")));
        }
    }
    // A bare mark in a matrix counts as one.
    all.extend(["1".to_string()]);
    for line in schedule.sets.iter().flat_map(|set| &set.lines) {
        if schedule.findings.iter().any(|finding| finding.code == "date-for-size") {
            continue;
        }
        for word in words(&line.wording.text) {
            if !all.contains(&word) {
                wrong.push(format!("{}: \"{word}\" of \"{}\" is nowhere", fixture.name, line.wording.text));
            }
        }
    }
}

#[test]
fn every_schedule_comes_in_whole() {
    let update = std::env::var_os("UPDATE").is_some();
    let mut wrong = Vec::new();
    let fixtures = corpus::all();
    for fixture in &fixtures {
        let said = match read_fixture(fixture) {
            Ok(schedule) => {
                let filled = fixture.inputs.iter().map(Input::filled).sum();
                check(&fixture.name, &schedule, filled);
                nothing_invented(fixture, &schedule, &mut wrong);
                dump::dump(&schedule)
            }
            Err(message) => format!("refused: {message}\n"),
        };
        if said == fixture.expect {
            continue;
        }
        if update {
            fs::write(&fixture.path, format!("{}== expect\n{said}", fixture.head)).unwrap();
        } else {
            wrong.push(format!("{}:\n{}", fixture.name, difference(&fixture.expect, &said)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn difference(expect: &str, said: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (expect.lines().collect(), said.lines().collect());
    let gone = old.iter().filter(|line| !new.contains(line)).map(|line| format!("  - {line}\n"));
    let come = new.iter().filter(|line| !old.contains(line)).map(|line| format!("  + {line}\n"));
    gone.chain(come).collect()
}

/// The rows of the page on layouts, each of which some fixture stands for.
const ROWS: [&str; 9] = [
    "flat item table",
    "block sets",
    "door schedule",
    "bare index",
    "matrix",
    "room schedule",
    "count matrix",
    "asset workbook",
    "list of allowed products",
];

#[test]
fn every_row_of_the_page_on_layouts_has_a_fixture() {
    let fixtures = corpus::all();
    assert!(fixtures.len() >= 30, "only {} fixtures", fixtures.len());
    for row in ROWS {
        assert!(fixtures.iter().any(|fixture| fixture.row == row), "no fixture is a {row}");
    }
    for fixture in &fixtures {
        assert!(!fixture.expect.is_empty(), "{} expects nothing", fixture.name);
    }
}

/// Cells that hurt.
const WORDS: &[&str] = &[
    "",
    "HARDWARE SET 9",
    "3 EA HINGE",
    "DOORS: 101-109",
    "EACH LEAF",
    "NO.",
    "SIZE",
    "-",
    "3070",
    "1E+02",
    "4-Mar",
    "SET",
    "QTY",
    "½",
    "3\u{2019}-0\u{201d}",
    "(((((",
    "PR 3-0/2-0 x 7-0",
    "999999999999999999999",
    "0.0000000001 x 1",
    "#REF!",
    "ÄÖÜß",
    "2(",
    "END OF SECTION",
    "NOT USED",
    "TOTAL",
];

/// The rows of an input as plain cells.
fn rows_of(input: &Input) -> Vec<Vec<String>> {
    if !input.sheets.is_empty() {
        return input
            .sheets
            .iter()
            .flat_map(|sheet| &sheet.rows)
            .map(|row| row.iter().map(|cell| corpus::marked(cell).1.to_string()).collect())
            .collect();
    }
    input
        .text
        .lines()
        .map(|line| {
            let separator =
                [b'|', b'\t', b';', b','].into_iter().find(|byte| line.as_bytes().contains(byte)).unwrap_or(b',');
            let mut reader = csv::ReaderBuilder::new()
                .delimiter(separator)
                .has_headers(false)
                .flexible(true)
                .from_reader(line.as_bytes());
            let row = reader.records().next();
            row.map_or_else(Vec::new, |row| row.unwrap().iter().map(str::to_string).collect())
        })
        .collect()
}

fn mutated(rows: &mut Vec<Vec<String>>, edits: &[(usize, usize, usize, u8)]) {
    for row in rows.iter_mut() {
        row.resize(row.len().max(4), String::new());
    }
    for (row, column, word, edit) in edits {
        let at = row % rows.len();
        let width = rows[at].len();
        match edit {
            0 => rows[at][column % width] = WORDS[word % WORDS.len()].to_string(),
            1 => {
                let moved = rows.remove(at);
                rows.insert(column % (rows.len() + 1), moved);
            }
            2 => {
                let copied = rows[at].clone();
                rows.insert(at, copied);
            }
            3 => rows[at].swap(column % width, word % width),
            4 => rows[at].insert(column % width, String::new()),
            _ => {
                rows[at].remove(column % width);
                rows[at].push(String::new());
            }
        }
    }
}

fn written(rows: &[Vec<String>]) -> Vec<u8> {
    let mut text = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for row in rows {
        text.write_record(row).unwrap();
    }
    text.into_inner().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_damage_loses_a_row(
        which in 0usize..1000,
        edits in prop::collection::vec((0usize..200, 0usize..20, 0usize..40, 0u8..6), 1..30),
    ) {
        static CORPUS: std::sync::LazyLock<Vec<Vec<Vec<String>>>> = std::sync::LazyLock::new(|| {
            corpus::all().iter().flat_map(|fixture| &fixture.inputs).map(rows_of).filter(|rows| !rows.is_empty()).collect()
        });
        let mut rows = CORPUS[which % CORPUS.len()].clone();
        mutated(&mut rows, &edits);
        let folder = place_for("mutations");
        let path = folder.join("mutation.csv");
        fs::write(&path, written(&rows)).unwrap();
        let filled = rows.iter().filter(|row| row.iter().any(|cell| !cell.trim().is_empty())).count();
        if let Ok(schedule) = read(&[path], &[]) {
            check("a mutation", &schedule, filled);
        }
    }
}

/// The folder is not a test's own: `tests/outside/run` names it, other programs save what is in it, and come back.
#[test]
fn fixtures_are_written_out_where_asked() {
    let Some(folder) = std::env::var_os("PINTLE_FIXTURES") else { return };
    let folder = Path::new(&folder);
    for fixture in corpus::all() {
        let own = folder.join(&fixture.name);
        fs::create_dir_all(&own).unwrap();
        for input in &fixture.inputs {
            input.write(&own);
            // A text file also as a workbook, so that other programs save its rows without guessing at them.
            if let Some(stem) = input.name.strip_suffix(".csv").filter(|_| input.encoding.is_empty()) {
                let rows = rows_of(input);
                let sheet = corpus::Sheet { name: "Sheet1".into(), hidden: false, hide: Vec::new(), rows };
                let name = format!("{stem}.xlsx");
                corpus::Input { name, sheets: vec![sheet], ..input.clone() }.write(&own);
            }
        }
    }
}
