//! Random mutations of schedules: no row is lost, none has two roles, nothing panics.

use std::collections::BTreeSet;
use std::path::PathBuf;

use pintle::read::read;
use proptest::prelude::*;

const SEED: &str = include_str!("layouts/doors-and-blocks.csv");
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
    "½",
    "3\u{2019}-0\u{201d}",
    "(((((",
    "\u{feff}",
    "PR 3-0/2-0 x 7-0",
    "999999999999999999999",
    "0.0000000001 x 1",
    "#REF!",
    "ÄÖÜß",
    "2(",
];

fn filled(rows: &[Vec<String>]) -> usize {
    rows.iter().filter(|row| row.iter().any(|cell| !cell.trim().is_empty())).count()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn no_mutation_loses_a_row(edits in prop::collection::vec((0usize..40, 0usize..10, 0usize..WORDS.len(), 0u8..4), 1..30)) {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(SEED.as_bytes());
        let mut rows: Vec<Vec<String>> = reader.records().map(|row| row.unwrap().iter().map(str::to_string).collect()).collect();
        for (row, column, word, edit) in edits {
            let at = row % rows.len();
            match edit {
                0 => { rows[at][column % 10] = WORDS[word].to_string(); }
                1 => { let moved = rows.remove(at); rows.insert(column % (rows.len() + 1), moved); }
                2 => { let copied = rows[at].clone(); rows.insert(at, copied); }
                _ => { rows[at].swap(column % 10, word % 10); }
            }
        }
        // A row of the file begins with something, so that empty rows are still rows and no line is only commas.
        let mut text = csv::Writer::from_writer(Vec::new());
        for row in &rows {
            text.write_record(row).unwrap();
        }
        let bytes = text.into_inner().unwrap();
        let folder = std::env::temp_dir().join(format!("pintle-mutations-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let path: PathBuf = folder.join("mutation.csv");
        std::fs::write(&path, bytes).unwrap();
        // At the very beginning of a file it is the mark of the encoding, not text.
        if let Some(first) = rows.first_mut().and_then(|row| row.first_mut()) {
            *first = first.trim_start_matches('\u{feff}').to_string();
        }
        if let Ok(schedule) = read(&[path], &[]) {
            let places: BTreeSet<u32> = schedule.ledger.iter().map(|row| row.place.row).collect();
            prop_assert_eq!(places.len(), schedule.ledger.len());
            prop_assert_eq!(schedule.ledger.len(), filled(&rows));
            for opening in &schedule.openings {
                prop_assert!(places.contains(&opening.place.row));
            }
            for line in schedule.sets.iter().flat_map(|set| &set.lines) {
                prop_assert!(places.contains(&line.place.row), "{}", line.wording.text);
                for part in &line.wording.parts {
                    prop_assert!(line.wording.text.get(part.span.clone()).is_some());
                }
            }
        }
    }
}
