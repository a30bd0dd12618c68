//! The sample from end to end, as a user runs it: what was read, found, added and summed. Expected figures are taken from
//! the sample's own texts by hand or by a second way of counting, never from an earlier run.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use calamine::{Data, Reader as _, Xlsx, open_workbook};
use rust_decimal::Decimal;
use serde_json::Value;

fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library").join(name)
}

/// Runs `quote` on a file of the sample; gives the record and the bytes of the outputs by name.
fn quote(file: &str, name: &str) -> (Value, BTreeMap<String, Vec<u8>>) {
    let folder = std::env::temp_dir().join(format!("pintle-end-to-end-{name}-{}", std::process::id()));
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .arg("quote")
        .arg(sample(file))
        .arg("--out")
        .arg(&folder)
        .args(["--force", "--json"])
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(1), "the sample has questions: {}", String::from_utf8_lossy(&run.stderr));
    let mut outputs = BTreeMap::new();
    // The drawings are in a folder of their own.
    let mut folders = vec![folder.clone()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap().map(|entry| entry.unwrap()) {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                let name = entry.path().strip_prefix(&folder).unwrap().to_string_lossy().into_owned();
                outputs.insert(name, fs::read(entry.path()).unwrap());
            }
        }
    }
    fs::remove_dir_all(&folder).unwrap();
    (serde_json::from_slice(&run.stdout).unwrap(), outputs)
}

fn record() -> &'static Value {
    static RECORD: OnceLock<Value> = OnceLock::new();
    RECORD.get_or_init(|| quote("bid-set.xlsx", "record").0)
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn decimal(value: &Value) -> Decimal {
    value.as_str().unwrap().parse().unwrap()
}

/// Rules that speak of a set or an opening.
fn rules_about(record: &Value, set: Option<&str>, opening: Option<&str>) -> BTreeSet<String> {
    list(&record["findings"])
        .iter()
        .filter(|finding| set.is_none_or(|set| finding["set"] == set))
        .filter(|finding| opening.is_none_or(|door| list(&finding["openings"]).iter().any(|other| other == door)))
        .map(|finding| finding["rule"].as_str().unwrap().to_owned())
        .collect()
}

/// Every row that has anything in it, found by going through the cells ourselves, has one role.
#[test]
fn every_row_is_accounted_for_once() {
    let mut book: Xlsx<_> = open_workbook(sample("bid-set.xlsx")).unwrap();
    let mut rows = BTreeSet::new();
    for sheet in book.sheet_names() {
        for (row, _, cell) in book.worksheet_range(&sheet).unwrap().used_cells() {
            if !matches!(cell, Data::String(text) if text.trim().is_empty()) {
                rows.insert((sheet.clone(), row as u64 + 1));
            }
        }
    }
    let ledger: Vec<(String, u64)> = list(&record()["ledger"])
        .iter()
        .map(|row| (row["sheet"].as_str().unwrap().to_owned(), row["row"].as_u64().unwrap()))
        .collect();
    let once: BTreeSet<_> = ledger.iter().cloned().collect();
    assert_eq!(once.len(), ledger.len(), "a row has two roles");
    assert_eq!(once, rows);
}

/// Sixty doors stand in the schedule, one of them struck through, one scheduled twice; thirty sets.
#[test]
fn doors_and_sets_are_read() {
    let record = record();
    let doors: Vec<&str> =
        list(&record["openings"]).iter().map(|opening| opening["number"].as_str().unwrap()).collect();
    let text = include_str!("samples/doors.txt");
    let wanted: Vec<&str> = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.starts_with('~') && line.contains('|'))
        .map(|line| line.trim_start_matches('^').split('|').next().unwrap())
        .collect();
    assert_eq!(doors, wanted);
    let sets = include_str!("samples/sets.txt").lines().filter(|line| line.starts_with("= ")).count();
    assert_eq!(list(&record["sets"]).len(), sets);
    let of = |number: &str| list(&record["openings"]).iter().find(|opening| opening["number"] == number).unwrap();
    assert_eq!((of("130")["leaves"].as_u64(), of("130")["width"].as_str()), (Some(2), Some("60")), "3-0/2-0");
    assert_eq!(of("130")["leaf_widths"], serde_json::json!(["36", "24"]));
    assert_eq!((of("C112")["leaves"].as_u64(), of("C112")["width"].as_str()), (Some(2), Some("72")), "6070");
    assert_eq!((of("207")["width"].as_str(), of("207")["height"].as_str()), (Some("40"), Some("84")), "a date: 3-4");
    assert_eq!(of("113")["fire_minutes"], 60);
}

/// Counted by hand from the sample's text: three leaves' worth of hinges and so on, times the openings of the set.
#[test]
fn goods_are_counted_over_openings_and_leaves() {
    let record = record();
    let count = |set: &str, category: &str| -> Decimal {
        let set = list(&record["sets"]).iter().find(|other| other["id"] == set).unwrap();
        list(&set["lines"])
            .iter()
            .filter(|line| line["category"] == category && !line["count"].is_null())
            .map(|line| decimal(&line["count"]))
            .sum()
    };
    // Set 15: three hinges and one exit device on each of the two leaves of one opening.
    assert_eq!(count("15", "hinge"), Decimal::from(6));
    assert_eq!(count("15", "exit-device"), Decimal::from(2));
    // Set 16: four doors.
    assert_eq!(count("16", "hinge"), Decimal::from(12));
    assert_eq!(count("16", "closer"), Decimal::from(4));
    // Set 23: four exam rooms, "3 EA".
    assert_eq!(count("23", "hinge"), Decimal::from(12));
    // Set 02: one pair, "3 PR" of hinges is six.
    assert_eq!(count("02", "hinge"), Decimal::from(6));
}

/// Each error put into the sample on purpose is spoken of.
#[test]
fn every_deliberate_error_is_found() {
    let record = record();
    let all = rules_about(record, None, None);
    for (what, set, opening, any_of) in [
        ("set 12A is not defined", None, Some("210"), vec!["set-not-defined"]),
        ("door 205 stands twice", None, Some("205"), vec!["duplicate-door"]),
        ("set 30 serves no door", Some("30"), None, vec!["set-not-used"]),
        ("a rated door without closer", None, Some("109"), vec!["fire-closer"]),
        ("automatic bolts without coordinator", None, Some("114"), vec!["coordinator"]),
        ("WS can be two things", Some("03"), None, vec!["ambiguous-word"]),
        ("four wires are too few", None, Some("203"), vec!["conductors-short"]),
        ("a hospital latch may be mortise or bored", Some("22"), None, vec!["ambiguous-word"]),
        ("three hinges and an electric one", Some("12"), None, vec!["electrified-hinge-twice", "hinge-count"]),
        ("seal and silencers", None, Some("203"), vec!["seal-and-silencer"]),
        ("exterior hinges without fixed pins", None, Some("209"), vec!["hinge-pin"]),
    ] {
        let found = rules_about(record, set, opening);
        assert!(any_of.iter().any(|rule| found.contains(*rule)), "{what}: only {found:?}");
    }
    for rule in ["date-for-size", "hidden-rows", "struck-through", "line-excluded"] {
        assert!(all.contains(rule), "{rule} is not among {all:?}");
    }
}

/// A sentence among the items of a set is no item, though it stands in the quantity column.
#[test]
fn a_sentence_in_a_set_is_not_priced() {
    let row = |text: &str| list(&record()["ledger"]).iter().find(|row| row["text"] == text).unwrap();
    assert_eq!(row("Door is rated. Closer is not listed here.")["role"], "note");
    let line = list(&record()["sets"])
        .iter()
        .flat_map(|set| list(&set["lines"]))
        .find(|line| line["text"].as_str().unwrap().starts_with("Balance of hardware by aluminum entrance supplier"));
    assert!(line.is_none_or(|line| line["status"] == "excluded"), "{line:?}");
}

/// By others, existing, not in contract: kept, never priced.
#[test]
fn what_others_supply_has_no_price() {
    for set in list(&record()["sets"]) {
        for line in list(&set["lines"]) {
            let text = line["text"].as_str().unwrap();
            if text.contains("By security contractor") || text.contains("NIC") {
                assert_eq!(line["status"], "excluded", "{text}");
                assert!(line["extended"].is_null(), "{text}");
            }
        }
    }
}

#[test]
fn figures_tie() {
    let record = record();
    let lines = list(&record["sets"]).iter().flat_map(|set| list(&set["lines"]));
    let goods: Decimal = lines
        .chain(list(&record["added"]))
        .filter(|item| !item["extended"].is_null())
        .map(|item| decimal(&item["extended"]))
        .sum();
    let totals = &record["totals"];
    assert!(goods > Decimal::ZERO);
    assert_eq!(decimal(&totals["goods"]), goods);
    assert!(decimal(&totals["exposure_low"]) <= decimal(&totals["total"]));
    assert!(decimal(&totals["total"]) <= decimal(&totals["exposure_high"]));
    assert!(decimal(&totals["exposure_low"]) < decimal(&totals["exposure_high"]), "open questions are worth something");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    // The estimate names the command that takes up what is filled into it, and so its folder.
    let (_, first) = quote("bid-set.xlsx", "same");
    let (_, second) = quote("bid-set.xlsx", "same");
    assert!(first.len() > 5, "workbooks, record and drawings: {:?}", first.keys());
    for (name, bytes) in &first {
        assert!(!bytes.is_empty(), "{name} is empty");
        assert!(second[name] == *bytes, "{name} differs from run to run");
    }
}

/// The second addendum answers some of what was asked, and makes a door rated whose set holds it open.
#[test]
fn an_addendum_answers_questions_and_raises_others() {
    let (later, _) = quote("addendum-2.xlsx", "later");
    assert!(!rules_about(&later, None, None).contains("duplicate-door"));
    assert!(!rules_about(&later, None, Some("210")).contains("set-not-defined"));
    assert!(!rules_about(&later, Some("03"), None).contains("ambiguous-word"));
    assert!(!rules_about(record(), Some("13"), None).contains("fire-hold-open"));
    assert!(
        rules_about(&later, Some("13"), None).contains("fire-hold-open"),
        "door 118 is rated now, set 13 holds it open"
    );
}

/// Bid, first addendum, second addendum: what a person would list, and every cent in one change.
#[test]
fn the_addenda_are_compared() {
    let folder = std::env::temp_dir().join(format!("pintle-end-to-end-chain-{}", std::process::id()));
    let run = |arguments: &[&Path]| {
        let output = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .args(arguments)
            .arg("--out")
            .arg(&folder)
            .args(["--force", "--json"])
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()
    };
    let reprice = |record: &str, file: &str| {
        run(&[Path::new("reprice"), &folder.join(format!("{record}.record.json")), &sample(&format!("{file}.xlsx"))])
    };
    let bid = run(&[Path::new("quote"), &sample("bid-set.xlsx")]);
    let first = reprice("bid-set", "addendum-1");
    let second = reprice("addendum-1", "addendum-2");
    let has = |changes: &Value, kind: &str, what: &str, id: &str| {
        list(&changes["changes"]).iter().any(|one| one["kind"] == kind && one["what"] == what && one["id"] == id)
    };
    assert!(has(&first, "added", "opening", "211") && has(&first, "added", "set", "12A"));
    assert!(has(&first, "changed", "opening", "210") && has(&first, "changed", "opening", "118"));
    assert!(has(&second, "removed", "opening", "116") && has(&second, "removed", "opening", "208"));
    for (before, changes) in [(&bid["totals"]["total"], &first), (&first["totals"]["after"], &second)] {
        let totals = &changes["totals"];
        assert_eq!(&totals["before"], before);
        let deltas: Decimal = list(&changes["changes"])
            .iter()
            .filter(|one| !one["delta"].is_null())
            .map(|one| decimal(&one["delta"]))
            .sum();
        assert_eq!(deltas, decimal(&totals["delta"]));
        assert_eq!(decimal(&totals["before"]) + deltas, decimal(&totals["after"]));
    }
    fs::remove_dir_all(&folder).unwrap();
}

/// Nothing that a person reads names an attribute of the tables, a flag, or an article that jars. What stands in quotation
/// marks are words of the file, in backticks what is to be typed.
#[test]
fn what_is_said_of_the_sample_is_language() {
    let quoted = regex::Regex::new("`[^`]*`|\"[^\"]*\"").unwrap();
    let jars = regex::Regex::new(r"_|\b(true|false|null)\b|\ba [aeio][a-z]|\b[a-z]+=[a-z0-9]|\bthe the\b").unwrap();
    let fine = regex::Regex::new(r"\ba (one|once|euro)").unwrap();
    let mut said: Vec<String> = Vec::new();
    for finding in list(&record()["findings"]) {
        said.extend(["says", "help", "priced_as"].iter().filter_map(|name| finding[*name].as_str().map(str::to_owned)));
        said.extend(list(&finding["answers"]).iter().filter_map(|answer| answer["value"].as_str().map(str::to_owned)));
    }
    said.extend(list(&record()["added"]).iter().filter_map(|added| added["why"].as_str().map(str::to_owned)));
    for prep in list(&record()["preps"]) {
        said.extend(["what", "detail"].iter().filter_map(|name| prep[*name].as_str().map(str::to_owned)));
    }
    assert!(said.len() > 200, "the sample says little: {}", said.len());
    let wrong: BTreeSet<&String> = said
        .iter()
        .filter(|text| {
            let plain = quoted.replace_all(text, "…");
            jars.is_match(&fine.replace_all(&plain, "…"))
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}
