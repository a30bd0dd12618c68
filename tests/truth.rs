//! Measures the reading of wordings against labels written apart from the word lists (`tests/truth/`), and fails when
//! the reading gets worse than the score on record. `UPDATE=1` writes the score anew. `TRUTH=file.csv` scores labels of
//! one's own and prints what failed.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::str::FromStr;

use pintle::read::schedule::{PartRole, Wording};
use pintle::trade::category::Category;
use pintle::understand::reading::{Heard, Reading, Surroundings};
use pintle::understand::{Lexicon, understand};
use rust_decimal::Decimal;

/// One labelled wording.
struct Label {
    place: String,
    wording: Wording,
    category: String,
    attributes: BTreeMap<String, String>,
    quantity: String,
    unit: String,
    open: BTreeSet<String>,
}

/// Counts of one file.
#[derive(Default, Clone)]
struct Score {
    lines: u32,
    categories: u32,
    categories_right: u32,
    attributes: u32,
    attributes_right: u32,
    missing: u32,
    decisions: u32,
    wrong_but_sure: u32,
    quantities: u32,
    quantities_right: u32,
    unread_words: u32,
}

impl Score {
    fn add(&mut self, other: &Score) {
        self.lines += other.lines;
        self.categories += other.categories;
        self.categories_right += other.categories_right;
        self.attributes += other.attributes;
        self.attributes_right += other.attributes_right;
        self.missing += other.missing;
        self.decisions += other.decisions;
        self.wrong_but_sure += other.wrong_but_sure;
        self.quantities += other.quantities;
        self.quantities_right += other.quantities_right;
        self.unread_words += other.unread_words;
    }

    /// Percentages in hundredths, and the unread words of a hundred lines, in the order of the columns of the record.
    fn figures(&self) -> [u32; 6] {
        let share = |part: u32, whole: u32| (part * 10_000).checked_div(whole).unwrap_or(0);
        [
            share(self.categories_right, self.categories),
            share(self.attributes_right, self.attributes),
            share(self.missing, self.attributes),
            share(self.wrong_but_sure, self.decisions),
            share(self.quantities_right, self.quantities),
            (self.unread_words * 100).checked_div(self.lines).unwrap_or(0),
        ]
    }
}

const COLUMNS: &str =
    "file,lines,category right %,attributes right %,missing %,wrong but sure %,quantity right %,unread words per line";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/truth")
}

fn pairs(cell: &str, place: &str) -> BTreeMap<String, String> {
    cell.split(';')
        .map(str::trim)
        .filter(|pair| !pair.is_empty())
        .map(|pair| {
            let (name, value) = pair.split_once('=').unwrap_or_else(|| panic!("{place}: \"{pair}\" is not name=value"));
            (name.trim().to_owned(), value.trim().to_owned())
        })
        .collect()
}

fn labels(path: &Path) -> Vec<Label> {
    let file = path.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
    let mut reader = csv::Reader::from_path(path).unwrap_or_else(|error| panic!("{file}: {error}"));
    let mut labels = Vec::new();
    for record in reader.records() {
        let record = record.unwrap_or_else(|error| panic!("{file}: {error}"));
        let place = format!("{file}:{}", record.position().map_or(0, csv::Position::line));
        assert_eq!(record.len(), 9, "{place}: nine columns");
        let mut wording = Wording::default();
        let roles = [PartRole::Quantity, PartRole::Description, PartRole::CatalogNumber, PartRole::Finish];
        for (cell, role) in record.iter().zip(roles) {
            wording.push(role, cell, None);
        }
        let label = Label {
            attributes: pairs(&record[5], &place),
            category: record[4].trim().to_owned(),
            quantity: record[6].trim().to_owned(),
            unit: record[7].trim().to_owned(),
            open: record[8].split(';').map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect(),
            wording,
            place,
        };
        let settled = label.category.is_empty() || Category::from_str(&label.category).is_ok();
        assert!(settled, "{}: no category \"{}\"", label.place, label.category);
        labels.push(label);
    }
    labels
}

/// Numbers compare as numbers, lists as sets, the rest as text.
fn same(expected: &str, got: &str) -> bool {
    // `08` is a function number, not the number 8.
    let code = |text: &str| text.len() > 1 && text.starts_with('0') && !text.starts_with("0.");
    if let (Ok(expected), Ok(got), false) =
        (Decimal::from_str(expected), Decimal::from_str(got), code(expected) || code(got))
    {
        return expected == got;
    }
    let parts = |text: &str| text.split(',').map(|part| part.trim().to_lowercase()).collect::<BTreeSet<_>>();
    parts(expected) == parts(got)
}

fn score_category(label: &Label, reading: &Reading, score: &mut Score, told: &mut Vec<String>) {
    let got = reading.category.found().map(|category| category.name());
    if label.open.contains("category") {
        score.decisions += 1;
        if let Some(got) = got {
            score.wrong_but_sure += 1;
            told.push(format!("category: must stay open, got {got}"));
        }
        return;
    }
    if label.category.is_empty() {
        return;
    }
    score.categories += 1;
    score.decisions += 1;
    match got {
        Some(got) if got == label.category => score.categories_right += 1,
        Some(got) => {
            score.wrong_but_sure += 1;
            told.push(format!("category: expected {}, got {got}", label.category));
        }
        None => told.push(format!("category: expected {}, got nothing settled", label.category)),
    }
}

fn score_attributes(label: &Label, reading: &Reading, score: &mut Score, told: &mut Vec<String>) {
    let got: BTreeMap<&str, &Heard<_>> = reading.attributes.iter().map(|(name, heard)| (name.name(), heard)).collect();
    for (name, expected) in &label.attributes {
        score.attributes += 1;
        score.decisions += 1;
        match got.get(name.as_str()).and_then(|heard| heard.found()) {
            Some(value) if same(expected, &value.to_string()) => score.attributes_right += 1,
            Some(value) => {
                score.wrong_but_sure += 1;
                told.push(format!("{name}: expected {expected}, got {value}"));
            }
            None => {
                score.missing += 1;
                told.push(format!("{name}: expected {expected}, got nothing settled"));
            }
        }
    }
    for name in label.open.iter().filter(|name| *name != "category") {
        score.decisions += 1;
        // What holds under a condition is open: the doors decide it, or a person.
        let conditional = reading.conditions.iter().any(|condition| condition.of.is_some_and(|of| of.name() == name));
        if let Some(value) = got.get(name.as_str()).and_then(|heard| heard.found()).filter(|_| !conditional) {
            score.wrong_but_sure += 1;
            told.push(format!("{name}: must stay open, got {value}"));
        }
    }
}

/// What the readings of one kind of good count together: of two hinges one may be read as the one with wires.
fn together(readings: &[Reading], chief: &Reading) -> Option<Decimal> {
    let alike = readings.iter().filter(|one| one.category.found() == chief.category.found());
    let alike: Vec<Decimal> = alike.filter_map(|one| one.quantity.amount).collect();
    chief.quantity.amount.map(|own| if chief.category.found().is_some() { alike.iter().sum() } else { own })
}

fn score_quantity(label: &Label, readings: &[Reading], reading: &Reading, score: &mut Score, told: &mut Vec<String>) {
    if label.quantity.is_empty() {
        return;
    }
    score.quantities += 1;
    let expected = Decimal::from_str(&label.quantity).unwrap_or_else(|error| panic!("{}: {error}", label.place));
    let got = &reading.quantity;
    if together(readings, reading) == Some(expected) && (label.unit.is_empty() || got.unit.word() == label.unit) {
        score.quantities_right += 1;
    } else {
        let amount = got.amount.map_or("nothing".to_owned(), |amount| amount.normalize().to_string());
        told.push(format!("quantity: expected {} {}, got {amount} {}", label.quantity, label.unit, got.unit.word()));
    }
}

fn score_file(lexicon: &Lexicon, labels: &[Label], failures: &mut String) -> Score {
    let mut score = Score::default();
    for label in labels {
        let readings = understand(lexicon, &label.wording, &Surroundings::default());
        // A line that names two goods gives two readings; the labels speak of the chief one.
        let chief = readings
            .iter()
            .find(|reading| reading.category.found().is_some_and(|category| category.name() == label.category))
            .or(readings.first());
        let Some(reading) = chief else { panic!("{}: no reading at all", label.place) };
        let mut told = Vec::new();
        score.lines += 1;
        score_category(label, reading, &mut score, &mut told);
        score_attributes(label, reading, &mut score, &mut told);
        score_quantity(label, &readings, reading, &mut score, &mut told);
        for span in readings.iter().flat_map(|reading| &reading.unread) {
            let words = label.wording.text.get(span.clone()).unwrap_or_default().trim();
            score.unread_words += u32::try_from(words.split_whitespace().count()).unwrap_or(u32::MAX);
            if !words.is_empty() {
                told.push(format!("unread: {words}"));
            }
        }
        if readings.len() > 1 {
            let names = readings.iter().map(|one| one.category.found().map_or("?", |category| category.name()));
            told.push(format!("several goods: {}", names.collect::<Vec<_>>().join(", ")));
        }
        if !told.is_empty() {
            let _ = writeln!(failures, "{}: {}", label.place, label.wording.text);
            for line in told {
                let _ = writeln!(failures, "    {line}");
            }
        }
    }
    score
}

fn hundredths(figure: u32) -> String {
    format!("{}.{:02}", figure / 100, figure % 100)
}

fn from_hundredths(text: &str) -> u32 {
    text.replace('.', "").parse().unwrap_or_else(|error| panic!("score.csv: \"{text}\": {error}"))
}

fn table(scores: &BTreeMap<String, Score>) -> String {
    let mut text = format!("{COLUMNS}\n");
    for (file, score) in scores {
        let figures = score.figures().map(hundredths).join(",");
        let _ = writeln!(text, "{file},{},{figures}", score.lines);
    }
    text
}

/// What got worse than the record: category or attributes fell, or wrong-but-sure rose.
fn worse(before: &str, scores: &BTreeMap<String, Score>) -> Vec<String> {
    let mut told = Vec::new();
    let mut reader = csv::Reader::from_reader(before.as_bytes());
    for record in reader.records() {
        let record = record.unwrap_or_else(|error| panic!("score.csv: {error}"));
        let Some(score) = scores.get(&record[0]) else {
            told.push(format!("{}: gone", &record[0]));
            continue;
        };
        let now = score.figures();
        for (column, name, falls) in [(2, "category", true), (3, "attributes", true), (5, "wrong but sure", false)] {
            let (was, is) = (from_hundredths(&record[column]), now[column - 2]);
            if (falls && is < was) || (!falls && is > was) {
                told.push(format!("{}: {name} was {}, is {}", &record[0], hundredths(was), hundredths(is)));
            }
        }
    }
    told
}

#[test]
fn readings_are_no_worse_than_the_score_on_record() {
    let lexicon = Lexicon::load(&[]).unwrap_or_else(|error| panic!("{error}"));
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder())
        .unwrap_or_else(|error| panic!("tests/truth: {error}"))
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "csv") && !path.ends_with("score.csv"))
        .collect();
    files.sort();

    let (mut scores, mut failures, mut overall) = (BTreeMap::new(), String::new(), Score::default());
    for path in &files {
        let name = path.file_stem().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
        let score = score_file(&lexicon, &labels(path), &mut failures);
        overall.add(&score);
        scores.insert(name, score);
    }
    scores.insert("~all".to_owned(), overall);

    let target = Path::new(env!("CARGO_MANIFEST_DIR")).join("target");
    std::fs::create_dir_all(&target).unwrap_or_else(|error| panic!("target: {error}"));
    std::fs::write(target.join("truth-failures.txt"), format!("{}\n{failures}", table(&scores)))
        .unwrap_or_else(|error| panic!("truth-failures.txt: {error}"));

    let record = folder().join("score.csv");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&record, table(&scores)).unwrap_or_else(|error| panic!("score.csv: {error}"));
        return;
    }
    let before = std::fs::read_to_string(&record).unwrap_or_else(|error| panic!("score.csv: {error}"));
    let told = worse(&before, &scores);
    assert!(told.is_empty(), "{}\nsee target/truth-failures.txt; UPDATE=1 records the new score", told.join("\n"));
}

/// Labels of one's own, in the form of `tests/truth`: their score and their failures are printed.
#[test]
#[allow(clippy::print_stdout, reason = "showing is what it is for")]
fn labels_of_ones_own_are_scored() {
    let Some(path) = std::env::var_os("TRUTH") else { return };
    let lexicon = Lexicon::load(&[]).unwrap_or_else(|error| panic!("{error}"));
    let mut failures = String::new();
    let score = score_file(&lexicon, &labels(Path::new(&path)), &mut failures);
    println!("{failures}\n{}", table(&BTreeMap::from([("own".to_owned(), score)])));
}

#[test]
fn every_category_is_labelled() {
    let mut seen = BTreeSet::new();
    for entry in std::fs::read_dir(folder()).unwrap_or_else(|error| panic!("tests/truth: {error}")).flatten() {
        let path = entry.path();
        if path.extension().is_some_and(|extension| extension == "csv") && !path.ends_with("score.csv") {
            seen.extend(labels(&path).into_iter().map(|label| label.category));
        }
    }
    let absent: Vec<_> =
        Category::ALL.iter().map(|category| category.name()).filter(|name| !seen.contains(*name)).collect();
    assert!(absent.is_empty(), "no label for {absent:?}");
}
