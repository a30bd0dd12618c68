//! Small jobs of a door list and a list of sets, run through `check`: what the words of lines and notes make of whole sets.

use std::fs;
use std::process::Command;

use serde_json::Value;

/// The record of a job.
fn job(name: &str, doors: &str, sets: &str) -> Value {
    let folder = std::env::temp_dir().join(format!("pintle-small-jobs-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("doors.csv"), doors).unwrap();
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let arguments = ["check", "doors.csv", "sets.csv", "--json"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    let _ = fs::remove_dir_all(&folder);
    serde_json::from_slice(&run.stdout).unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)))
}

/// Category and status of each line, in order.
fn lines(job: &Value) -> Vec<String> {
    let lines = job["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    let text = |value: &Value| value.as_str().unwrap_or("-").to_owned();
    lines.map(|line| format!("{} {}", text(&line["category"]), text(&line["status"]))).collect()
}

/// Whether a question of a rule is open.
fn asked(job: &Value, rule: &str) -> bool {
    let findings = job["findings"].as_array().unwrap();
    findings.iter().any(|one| one["rule"] == rule && one["kind"] == "question")
}

#[test]
fn goods_that_a_line_names_with_its_own_are_those_on_a_line_of_their_own() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n";
    let device = "Set,Qty,Unit,Description,Finish\n1,2,EA,\"Rim exit device, w/ mullion\",630\n";
    let both = job("mullion-twice", doors, &format!("{device}1,1,EA,Removable mullion,600\n"));
    assert_eq!(lines(&both), ["exit-device open", "mullion excluded", "mullion open"]);
    assert!(asked(&both, "line-twice"));
    // Nothing else has it: it is bought.
    let alone = job("mullion-once", doors, device);
    assert_eq!(lines(&alone), ["exit-device open", "mullion open"]);
    assert!(!asked(&alone, "line-twice"));
}

#[test]
fn the_good_in_a_cell_goes_before_the_good_of_its_heading() {
    let heads = "Door,Width,Height,Door Matl,Frame,Hinges,Lock / Latch,Closer,Stop\n";
    let of = |name: &str, lock: &str, closer: &str| {
        let doors = format!(
            "{heads}101,6-0 PR,7-0,HM,HM,6 BB,\"{lock}\",{closer},wall\n102,3-0,7-0,HM,HM,3 BB,storeroom,surf.,wall\n"
        );
        let all = lines(&job(name, &doors, "\n"));
        [all[1].clone(), all[2].clone()]
    };
    let said = |text: &str| text.split(' ').next().unwrap_or("").to_owned();
    assert_eq!(said(&of("cell-count", "2 exit devices SVR, lever trim", "surf.")[0]), "exit-device");
    assert_eq!(said(&of("cell-replace", "replace w/ fire exit device", "surf.")[0]), "exit-device");
    // The heading still names what its cell does not; what comes from another door is not new.
    assert_eq!(said(&of("cell-plain", "2 storeroom", "surf.")[0]), "mortise-lock");
    assert_eq!(of("cell-moved", "storeroom", "from 111")[1], "closer excluded");
}
