//! What a job leaves undecided, through the program: several attributes of several lines at once. Each that changes the
//! price or the goods is a question whose answers carry money; what changes neither is listed as assumed; what holds for
//! some of the goods only is asked, with what it costs; a tie is asked, not broken.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

const DOORS: &str = "Door,Width,Height,Thickness,Material,Frame,Rating,Hand,Set\n\
    101,3'-0\",7'-0\",1-3/4\",HM,HM,NR,LH,1\n102,3'-0\",7'-0\",1-3/4\",HM,HM,NR,RH,1\n103,3'-0\",7'-0\",1-3/4\",HM,HM,NR,RH,2\n";

const SETS: &str = "Set,Qty,Description,Finish\n\
    1,3,\"Hinges 4-1/2 x 4-1/2 BB std wt, some NRP\",652\n\
    1,1,Rim exit device with key lever,630\n\
    1,1,Wall or floor stop,626\n\
    1,1,Kick plate 10 x 34 or 12 x 34,630\n\
    2,3,Hinges 4-1/2 x 4-1/2 BB std wt,652\n\
    2,1,Electric strike fail secure 24V,630\n\
    2,1,Wall stop,626\n\
    2,1,Strike,630\n";

fn quoted(name: &str) -> Value {
    quoted_of(name, SETS)
}

fn quoted_of(name: &str, sets: &str) -> Value {
    let folder: PathBuf = std::env::temp_dir().join(format!("pintle-undecided-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("doors.csv"), DOORS).unwrap();
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(&folder)
        .args(["quote", "doors.csv", "sets.csv", "--json", "--out", "out", "--date", "2026-11-25"])
        .output()
        .expect("the program was built beside this test");
    let record = serde_json::from_slice(&run.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&run.stderr)));
    fs::remove_dir_all(&folder).unwrap();
    record
}

fn text<'a>(finding: &'a Value, key: &str) -> &'a str {
    finding[key].as_str().unwrap_or("")
}

/// The questions whose words have a part.
fn asked<'a>(record: &'a Value, part: &str) -> Vec<&'a Value> {
    let all = record["findings"].as_array().expect("findings");
    all.iter().filter(|one| text(one, "kind") == "question" && text(one, "says").contains(part)).collect()
}

/// Whether the answers of a question carry different money.
fn carries_money(finding: &Value) -> bool {
    let answers = finding["answers"].as_array().expect("answers");
    let money: Vec<&str> = answers.iter().filter_map(|answer| answer["effect"].as_str()).collect();
    money.len() >= 2 && money.iter().any(|one| *one != money[0])
}

#[test]
fn each_of_several_undecided_things_is_asked_with_money() {
    let record = quoted("money");
    for part in [
        "function of the exit device",
        "mounting can be read as wall or floor",
        "height can be read as 10 or 12",
        "kind of lock for the electric strike",
        "is said of some only",
        "strike or electric strike",
    ] {
        let found = asked(&record, part);
        assert_eq!(found.len(), 1, "{part}: {:#}", record["findings"]);
        assert!(carries_money(found[0]), "{part}: {:#}", found[0]);
        assert!(!text(found[0], "priced_as").is_empty(), "{part}: what is priced meanwhile is told");
    }
}

#[test]
fn a_tie_is_asked_and_not_broken_silently() {
    let record = quoted("tie");
    // Functions 08 and 09 have one price and are other goods.
    let function = asked(&record, "function of the exit device");
    let answers = function[0]["answers"].as_array().unwrap();
    let free: Vec<&str> = answers
        .iter()
        .filter(|one| one["effect"].as_str() == Some("0.00"))
        .filter_map(|one| one["value"].as_str())
        .collect();
    assert!(free.len() >= 2, "several answers of one price: {answers:?}");
}

#[test]
fn what_changes_neither_price_nor_goods_is_listed_as_assumed() {
    let record = quoted("assumed");
    let all = record["findings"].as_array().unwrap();
    let assumed =
        |part: &str| all.iter().any(|one| text(one, "kind") == "assumption" && text(one, "says").contains(part));
    assert!(assumed("stop: concave"), "{all:#?}");
    let lines = record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    for line in lines {
        // Whatever was filled in says by what, and no line without a price is called settled.
        for filled in line["filled"].as_array().into_iter().flatten() {
            assert!(filled["by"].as_str().is_some_and(|by| !by.is_empty()), "{line:#}");
        }
        let priced = line["unit_price"].is_string() || line["unit_price"].is_null() && line["status"] != "settled";
        assert!(priced, "{line:#}");
    }
}

#[test]
fn the_same_job_is_decided_the_same_way_each_time() {
    assert_eq!(quoted("once"), quoted("again"));
}

#[test]
fn one_code_in_several_sets_is_asked_once() {
    let sets = "Set,Qty,Description,Finish\n1,1,CR,\n1,3,Hinges,652\n2,1,CR,\n2,3,Hinges,652\n";
    let record = quoted_of("codes", sets);
    let of_code =
        |finding: &&Value| text(finding, "rule") == "ambiguous-word" && text(finding, "says").contains("\"CR\"");
    let asked: Vec<&Value> = record["findings"].as_array().unwrap().iter().filter(of_code).collect();
    assert_eq!(asked.len(), 1, "{asked:#?}");
    assert!(text(asked[0], "says").ends_with("(sets 1, 2)"), "{asked:#?}");
    assert_eq!(asked[0]["openings"].as_array().unwrap().len(), 3);
}

/// Who supplies what a list of counted goods ends with may be said of each: the last is left out, the others are asked about.
#[test]
fn who_supplies_the_end_of_a_list_is_asked_of_the_goods_before() {
    let of_list = |name: &str, list: &str| {
        let record = quoted_of(name, &format!("Set,Qty,Description,Finish\n1,,\"{list}\",\n2,1,Wall stop,626\n"));
        let lines = record["sets"][0]["lines"].as_array().unwrap().clone();
        let states: Vec<String> = lines.iter().map(|line| text(line, "status").to_owned()).collect();
        let asked = asked(&record, "at the end of the list").len();
        (states, asked)
    };
    for (name, list) in [("nic", "3 hinges, 1 closer, NIC"), ("others", "3 hinges, 1 closer by others")] {
        let (states, asked) = of_list(name, list);
        assert_eq!((states.as_slice(), asked), (["open".to_owned(), "excluded".to_owned()].as_slice(), 1), "{list}");
    }
    // Nothing is left out; each says it of itself; a reader by others is no news of hinges.
    for (name, list, out) in [
        ("plain", "3 hinges, 1 closer", 0),
        ("each", "3 hinges NIC, 1 closer NIC", 2),
        ("reader", "3 hinges, 1 closer, 1 card reader by others", 1),
    ] {
        let (states, asked) = of_list(name, list);
        assert_eq!((states.iter().filter(|state| *state == "excluded").count(), asked), (out, 0), "{list}");
    }
}

/// Locks keyed into the owner's system: what that is is asked, and keying is not asked beside it.
#[test]
fn keying_is_not_asked_where_the_owner_has_a_system() {
    let rules = |name: &str, words: &str| {
        let record = quoted_of(name, &format!("Set,Qty,Description,Finish\n1,1,\"Storeroom lock F07{words}\",626\n"));
        let asked = asked(&record, "");
        let rules = asked.iter().map(|one| text(one, "rule").to_owned());
        rules.filter(|rule| ["keying", "refers-elsewhere"].contains(&rule.as_str())).collect::<Vec<_>>()
    };
    assert_eq!(rules("owner", ", key to owner's system"), ["refers-elsewhere"]);
    assert_eq!(rules("standard", ", per owner's standard"), ["refers-elsewhere", "keying"]);
    assert_eq!(rules("unkeyed", ""), ["keying"]);
}
