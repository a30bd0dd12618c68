//! What remarks and "same as set" ask for, once the goods of the lines are known: no question about goods that the set has
//! under another word, one about goods that a remark leaves to another trade, and an answer for exceptions that stand twice.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::{Value, json};

/// The record of a job of these doors and sets, with these answers.
fn quoted(name: &str, doors: &str, sets: &str, answers: Option<Value>) -> Value {
    let folder: PathBuf = std::env::temp_dir().join(format!("pintle-as-told-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let head = "Door,Size,Door Matl,Frame Matl,Rating,HW Set,Remarks\n";
    fs::write(folder.join("doors.csv"), format!("{head}{doors}")).unwrap();
    fs::write(folder.join("sets.txt"), sets).unwrap();
    let run = |more: &[&str]| {
        let arguments = ["quote", "doors.csv", "sets.txt", "--force", "--date", "2026-11-25"];
        let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .current_dir(&folder)
            .args(arguments)
            .args(more)
            .output()
            .unwrap();
        assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
        let record = fs::read_to_string(folder.join("doors.record.json")).unwrap();
        serde_json::from_str::<Value>(&record).unwrap()
    };
    let mut record = run(&[]);
    if let Some(answers) = answers {
        record["answers"] = answers;
        fs::write(folder.join("told.json"), record.to_string()).unwrap();
        record = run(&["--answers", "told.json"]);
    }
    let _ = fs::remove_dir_all(&folder);
    record
}

fn of<'r>(record: &'r Value, rule: &str) -> Vec<&'r Value> {
    record["findings"].as_array().unwrap().iter().filter(|one| one["rule"] == rule).collect()
}

#[test]
fn exceptions_of_a_set_that_is_as_another_may_take_the_place_of_its_goods() {
    let doors = "101,3070,HM,HM,,1,\n102,3070,HM,HM,,2,\n";
    let sets = "SET 1\nDOORS: 101\n3 EA BB HINGES 4-1/2 X 4-1/2 652\n1 EA PASSAGE SET MORTISE 626\n\
                SET 2\nDOORS: 102\nSAME AS SET 1 EXCEPT:\n4 EA BB HINGES HEAVY 5 X 4-1/2 652\n";
    let record = quoted("except", doors, sets, None);
    let asked = of(&record, "set-as-another");
    let [question] = asked.as_slice() else { panic!("{asked:?}") };
    let instead = &question["answers"][1];
    assert!(instead["effect"].as_str().unwrap().starts_with('-'), "{question}");
    let id = question["id"].as_str().unwrap();
    let answered = quoted("instead", doors, sets, Some(json!({id: {"answer": instead["value"]}})));
    let hinges = |record: &Value| -> Vec<String> {
        let lines = record["sets"][1]["lines"].as_array().unwrap().iter();
        let hinges = lines.filter(|line| line["category"] == "hinge" && line["status"] != "excluded");
        hinges.map(|line| line["count"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(hinges(&record).len(), 2);
    assert_eq!(hinges(&answered), ["4"]);
    // Exceptions of other goods stand beside those taken, and nothing is offered.
    let other = sets.replace("4 EA BB HINGES HEAVY 5 X 4-1/2 652", "1 EA WALL STOP 630");
    assert!(of(&quoted("other", doors, &other, None), "set-as-another")[0]["answers"].as_array().unwrap().is_empty());
}

#[test]
fn a_remark_is_held_against_the_goods_of_the_set_and_not_its_words() {
    let sets =
        "SET 1\nDOORS: 101\n3 EA BB HGS 4-1/2 X 4-1/2 652\n1 EA PASSAGE SET MORTISE 626\n1 EA MAG HOLD OPEN WALL 689\n";
    let remarked = |name: &str, remark: &str| quoted(name, &format!("101,3070,HM,HM,,1,{remark}\n"), sets, None);
    let question = |record: &Value, rule: &str| of(record, rule).iter().any(|one| one["kind"] == "question");
    let hinges = remarked("hinges", "PROVIDE NRP HINGES");
    assert!(!question(&hinges, "hardware-in-remarks") && of(&hinges, "hardware-in-remarks").len() == 1);
    assert!(question(&remarked("viewer", "PROVIDE DOOR VIEWER"), "hardware-in-remarks"));
    // What another trade supplies is asked about where the set has it.
    assert!(question(&remarked("holder", "mag hold open by elec"), "remark-takes-out"));
    assert!(!question(&remarked("reader", "card reader by security"), "remark-takes-out"));
}
