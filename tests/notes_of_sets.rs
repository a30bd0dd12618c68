//! Notes on finishes that stand under a set: they hold for its goods, and are asked about elsewhere, where they are for the
//! whole job by their words and by their place.

use std::fs;
use std::process::Command;

use serde_json::Value;

const GOODS: &str = "3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight\n1,EA,Wall stop concave\n";
const LOCK: &str = "1,EA,Office lock F109 lever US26D\n";

/// The looks of the stops of two sets, and whether a question on finishes is open.
fn looks(name: &str, sets: &str) -> (Vec<String>, bool) {
    let folder = std::env::temp_dir().join(format!("pintle-notes-of-sets-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let doors = "Door,Room,Size,Door Matl,Frame Matl,HW Set\n1,Office,3-0 x 7-0,WD,HM,A\n2,Office,3-0 x 7-0,WD,HM,B\n";
    fs::write(folder.join("doors.csv"), doors).unwrap();
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let arguments = ["quote", "doors.csv", "sets.csv", "--force", "--out", "o"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
    let record: Value = serde_json::from_str(&fs::read_to_string(folder.join("o/doors.record.json")).unwrap()).unwrap();
    let _ = fs::remove_dir_all(&folder);
    let lines = record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    let stops = lines.filter(|line| line["category"] == "stop");
    let looks = stops.map(|line| line["attributes"]["look"].as_str().unwrap_or("").to_owned()).collect();
    let mut findings = record["findings"].as_array().unwrap().iter();
    (looks, findings.any(|one| one["rule"] == "finish-missing" && one["kind"] == "question"))
}

#[test]
fn a_note_of_one_set_is_no_finish_of_another() {
    let notes = "\"Note: coordinate with security vendor\"\n\"Note: all hardware US10B\"\n";
    let (found, _) = looks("first", &format!("Set A\n{GOODS}{notes}\nSet B\n{GOODS}{LOCK}"));
    assert_eq!(found, ["oil-rubbed-bronze", "satin-chromium"]);
    // Behind the last set, and of that set by its words.
    let own = "\"Note: coordinate with security vendor\"\n\"Note: all hardware in this set finish US10B\"\n";
    let (found, asked) = looks("own", &format!("Set A\n{GOODS}\nSet B\n{GOODS}{own}"));
    assert_eq!(found[1], "oil-rubbed-bronze");
    assert!(found[0] != "oil-rubbed-bronze" && asked, "{found:?}");
}

#[test]
fn a_note_for_all_behind_the_last_set_is_asked_where_nothing_else_is_said() {
    let note = "\n\"Note: all hardware US10B unless noted otherwise\"\n";
    let (found, asked) = looks("all", &format!("Set A\n{GOODS}\nSet B\n{GOODS}{note}"));
    assert_eq!(found, ["oil-rubbed-bronze", "oil-rubbed-bronze"]);
    assert!(asked);
    // Lines of the set that have another finish go before it.
    let (found, asked) = looks("lines", &format!("Set A\n{GOODS}{LOCK}\nSet B\n{GOODS}{note}"));
    assert_eq!(found, ["satin-chromium", "oil-rubbed-bronze"]);
    assert!(!asked);
}
