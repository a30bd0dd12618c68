//! Every word with several meanings (`catalogs/trade/words/ambiguous.txt`) is tested in each of its meanings, in a wording
//! that decides for it, and once where nothing decides and the tool asks. The rows stand in `tests/words/ambiguous.csv`:
//! the word, which of its meanings (`asks`: none), what the set already has, the heading, the cells, and what is expected:
//! `name=value` pairs; `plain`: said without a doubt and nothing made of it; `doubt`: told as a word with several meanings;
//! `category` or an attribute: left open.

use std::collections::BTreeMap;
use std::path::Path;

use pintle::read::schedule::{PartRole, Wording};
use pintle::trade::attribute::Attr;
use pintle::understand::lexicon::AMBIGUOUS;
use pintle::understand::reading::{Heard, Reading, Surroundings};
use pintle::understand::{Lexicon, understand};

struct Row {
    at: String,
    word: String,
    meaning: String,
    wording: Wording,
    around: Surroundings,
    expect: String,
}

fn rows() -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/ambiguous.csv");
    let mut reader = csv::Reader::from_path(&path).expect("the rows can be read");
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.expect("the row is sound");
        let line = record.position().map_or(0, csv::Position::line);
        let mut wording = Wording::default();
        for (role, cell) in [(PartRole::Description, &record[4]), (PartRole::Finish, &record[5])] {
            if !cell.is_empty() {
                wording.push(role, cell, None);
            }
        }
        let others = record[2].split_whitespace().map(|name| name.parse().expect("a category")).collect();
        let section = Some(&record[3]).filter(|section| !section.is_empty()).map(Into::into);
        rows.push(Row {
            at: format!("tests/words/ambiguous.csv:{line} \"{}\"", &record[4]),
            word: record[0].to_lowercase(),
            meaning: record[1].to_owned(),
            around: Surroundings { section, others, ..Surroundings::default() },
            wording,
            expect: record[6].to_owned(),
        });
    }
    rows
}

/// What is wrong with a reading, if anything.
fn wrong(reading: &Reading, row: &Row) -> Option<String> {
    let doubted = reading.doubts.iter().any(|doubt| doubt.code == "ambiguous-word");
    if row.meaning == "asks" {
        return match row.expect.as_str() {
            "doubt" if doubted => None,
            "doubt" => Some("is not told as a word with several meanings".to_owned()),
            "category" => match &reading.category {
                Heard::Ambiguous(_) => None,
                Heard::Absent if doubted => None,
                other => Some(format!("category must be asked, is {other:?}")),
            },
            name => match reading.attributes.get(&Attr::new(name)) {
                Some(Heard::Ambiguous(_)) => None,
                other => Some(format!("{name} must be asked, is {other:?}")),
            },
        };
    }
    if doubted {
        return Some("is doubted although something decides".to_owned());
    }
    if row.expect == "plain" {
        return reading.attributes.iter().find_map(|(name, heard)| {
            let said =
                |by: &pintle::evidence::Evidence| row.wording.text[by.span.clone()].eq_ignore_ascii_case(&row.word);
            match heard {
                Heard::Found(value, by) if said(by) => Some(format!("{name}={value} was made of it")),
                _ => None,
            }
        });
    }
    row.expect.split(';').map(str::trim).find_map(|pair| {
        let (name, value) = pair.split_once('=').expect("name=value");
        let got = if name == "category" {
            reading.category.found().map(|category| category.name().to_owned())
        } else {
            let heard = reading.attributes.get(&Attr::new(name));
            heard.and_then(Heard::found).map(ToString::to_string)
        };
        (got.as_deref() != Some(value)).then(|| format!("{pair} expected, got {got:?}"))
    })
}

#[test]
fn every_meaning_is_decided_where_something_decides_and_asked_where_nothing_does() {
    let lexicon = Lexicon::load(&[]).expect("the embedded lists load");
    let mut told = Vec::new();
    for row in rows() {
        let readings = understand(&lexicon, &row.wording, &row.around);
        let objections: Vec<String> = readings.iter().filter_map(|reading| wrong(reading, &row)).collect();
        if objections.len() == readings.len() {
            told.push(format!("{} {} {}: {}", row.at, row.word, row.meaning, objections.join(" / ")));
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// The words of a text with one space around each.
fn spaced(text: &str) -> String {
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.fold(" ".to_owned(), |all, word| all + word + " ")
}

#[test]
fn every_word_with_several_meanings_has_a_row_for_each_and_one_that_asks() {
    let mut have: BTreeMap<(String, String), u32> = BTreeMap::new();
    for row in rows() {
        assert!(spaced(&row.wording.text).contains(&spaced(&row.word)), "{}: no {}", row.at, row.word);
        *have.entry((row.word, row.meaning)).or_default() += 1;
    }
    let mut lacking = Vec::new();
    let (file, text) = AMBIGUOUS;
    for (line, content) in
        text.lines().enumerate().filter(|(_, line)| !line.starts_with('#') && !line.trim().is_empty())
    {
        let mut fields = content.split('|').map(str::trim);
        let word = fields.next().unwrap_or_default().to_owned();
        let meanings = (1..=fields.count()).map(|meaning| meaning.to_string());
        for meaning in meanings.chain(["asks".to_owned()]) {
            if have.remove(&(word.clone(), meaning.clone())).is_none() {
                lacking.push(format!("catalogs/{file}:{} {word}: no row for {meaning}", line + 1));
            }
        }
    }
    assert!(lacking.is_empty(), "add rows to tests/words/ambiguous.csv\n{}", lacking.join("\n"));
    assert!(have.is_empty(), "rows for words or meanings that are not in catalogs/{file}: {:?}", have.keys());
}
