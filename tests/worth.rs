//! What stands beside an answer is what it makes of the total once it is given, whatever the rules do with it: other sizes,
//! other ratings, a door that is one, other kinds of goods, goods that follow, goods that go. Every priced answer of a job is
//! given, alone, and the job is completed again.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use rayon::prelude::*;
use rust_decimal::Decimal;
use serde_json::{Value, json};

/// A folder of the test's own, removed when it ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("pintle-worth-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        Folder(path)
    }

    fn files(&self, doors: &str, sets: &str) -> Vec<PathBuf> {
        let files = ["doors.csv", "sets.csv"].map(|name| self.0.join(name));
        fs::write(&files[0], doors).unwrap();
        fs::write(&files[1], sets).unwrap();
        files.to_vec()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn check(files: &[PathBuf], answers: Option<&Path>) -> Value {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.args(["check", "--json", "--date", "2026-11-25"]).args(files);
    let run = command.args(answers.iter().flat_map(|path| [Path::new("--answers"), *path])).output().unwrap();
    serde_json::from_slice(&run.stdout).unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)))
}

fn total(record: &Value) -> Decimal {
    record["totals"]["total"].as_str().unwrap().parse().unwrap()
}

/// What was found of a job: how many answers were tried, the rules that gave them, those without a sum and whether anything
/// would change by them, and what is wrong.
#[derive(Default)]
struct Tried {
    answers: usize,
    rules: BTreeSet<String>,
    without: Vec<String>,
    wrong: Vec<String>,
}

fn every_answer(folder: &Folder, files: &[PathBuf]) -> Tried {
    let before = check(files, None);
    let questions = before["findings"].as_array().unwrap().iter().filter(|one| one["kind"] == "question");
    let answers: Vec<(&Value, &Value)> = questions
        .flat_map(|question| question["answers"].as_array().unwrap().iter().map(move |answer| (question, answer)))
        .collect();
    // What does nothing is worth nothing, and need not be tried.
    let (idle, answers): (Vec<_>, Vec<_>) =
        answers.into_iter().partition(|(_, answer)| answer["does"]["kind"] == "nothing");
    for (question, answer) in idle {
        assert_eq!(answer["effect"], "0.00", "{} {}", question["id"], answer["value"]);
    }
    let made: Vec<Decimal> = answers
        .par_iter()
        .enumerate()
        .map(|(at, (question, answer))| {
            let mut record = before.clone();
            record["answers"][question["id"].as_str().unwrap()] = json!({
                "answer": answer["value"], "code": question["rule"], "attribute": "", "scope": "this",
                "wording": "", "by": "", "on": "", "says": question["says"]});
            let path = folder.0.join(format!("told-{at}.json"));
            fs::write(&path, record.to_string()).unwrap();
            total(&check(files, Some(&path))) - total(&before)
        })
        .collect();
    let mut tried = Tried::default();
    for ((question, answer), made) in answers.iter().zip(made) {
        let name = format!("{} {}", question["id"], answer["value"]);
        tried.answers += 1;
        tried.rules.insert(question["rule"].as_str().unwrap().to_owned());
        match answer["effect"].as_str() {
            None => tried.without.push(format!("{name}: {made}")),
            Some(effect) if effect.parse() != Ok(made) => {
                tried.wrong.push(format!("{name}: told {effect}, made {made}"))
            }
            Some(_) => {}
        }
    }
    tried
}

fn holds(tried: &Tried, answers: usize, rules: usize) {
    assert!(tried.answers > answers && tried.rules.len() > rules, "{} answers of {:?}", tried.answers, tried.rules);
    assert!(tried.wrong.is_empty(), "{}", tried.wrong.join("\n"));
}

#[test]
fn of_a_small_job() {
    let folder = Folder::new("small");
    let sets = "Set,Qty,Unit,Item,Finish\nA,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652\nA,1,EA,Storeroom lock,626\nA,1,EA,WS,626\n\
                A,1,EA,Kick plate 10 x 2 LDW,630\nB,6,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652\n\
                B,2,SET,Flush bolts automatic metal,626\nB,1,EA,Mortise lock F07,626\nB,1,EA,Astragal overlapping,600\n\
                C,3,EA,Hinge 5 x 4-1/2 BB hvy wt,652\nC,1,EA,Electric hinge 4 wire 5 x 4-1/2,652\n\
                C,1,EA,Mortise lock F07 electrified fail secure REX latch monitor 24V,626\nC,1,EA,Closer,689\n";
    let doors = "Door,Room,Size,Door Matl,Frame Matl,Label,Remarks,HW Set\n1,Store,3680,HM,HM,NR,,A\n2,Store,3-0 x 7-0,HM,HM,X,,A\n\
                 2,Store,3-0 x 7-0,HM,HM,NR,Provide closer,A\n3,Hall,6-0 x 7-0 PR,HM,HM,X,,B\n4,IT,3-0 x 7-0,HM,HM,20,,C\n";
    let files = folder.files(doors, sets);
    holds(&every_answer(&folder, &files), 15, 7);
}

/// A job in which nearly every set has something that other rules lean on: what leaves or comes takes more with it.
#[test]
fn of_a_job_in_which_one_thing_follows_from_another() {
    let folder = Folder::new("following");
    let files = folder.files(DOORS, SETS);
    let tried = every_answer(&folder, &files);
    holds(&tried, 40, 18);
    assert!(tried.without.is_empty(), "{:?}", tried.without);
}

#[test]
fn of_the_sample() {
    let folder = Folder::new("sample");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library/bid-set.xlsx");
    holds(&every_answer(&folder, &[sample]), 25, 12);
}

const DOORS: &str = "\
Door,Room,Size,Thk,Door Matl,Frame Matl,Wall,Label,Hand,Ext,Remarks,HW Set\n\
100A,MAIN ENTRY,6-0 x 7-0 PR,1-3/4,ALUM,ALUM,CMU,NR,RHR,EXT,,SF\n\
100B,VESTIBULE,6-0 x 7-0 PR,1-3/4,ALUM,ALUM,CMU,NR,RHR,INT,,SF\n\
101,MAIN ELECTRICAL,3-0 x 7-0,1-3/4,HM,HM,CMU,NR,RHR,INT,,S\n\
102,STORAGE,3-0 x 7-0,1-3/4,HM,HM,CMU,NR,RHR,INT,,S\n\
103,AUDITORIUM,3-0 x 7-0,1-3/4,HM,HM,CMU,90,RHR,INT,,P\n\
104,CORRIDOR,2-8 x 7-0,1-3/4,HM,HM,CMU,20,RHR,INT,,P\n\
105,ELEC,3-0 x 7-0,1-3/4,HM,HM,CMU,B,RH,INT,,E\n\
106,EXIT,3-0 x 7-0,1-3/4,HM,HM,CMU,NR,RHR,EXT,,X\n\
107,RECEIVING,6-0 x 7-0 PR,1-3/4,HM,HM,CMU,NR,RHR,EXT,,XP\n\
108,STAIR 1,3-0 x 7-0,1-3/4,HM,HM,CMU,90,RHR,INT,,ST\n\
109,OFFICE,3-0 x 7-0,1-3/4,WD,HM,GYP,NR,RH,INT,Provide closer,O\n\
110,OFFICE,3-0 x 7-0,1-3/4,WD,HM,GYP,NR,RH,INT,,O\n";

const SETS: &str = "\
Set,Qty,Unit,Item,Finish\n\
SF,2,EA,Continuous hinge geared,628\n\
SF,2,EA,Rim exit device electric latch retraction motor,628\n\
SF,1,EA,Removable mullion,628\n\
SF,2,EA,Rim cylinder,626\n\
SF,2,EA,Closer parallel arm,689\n\
SF,1,EA,Threshold 5 x 1/2,AL\n\
SF,2,EA,Sweep,AL\n\
SF,1,SET,Weatherstrip,AL\n\
SF,2,EA,Power transfer,\n\
SF,1,EA,Power supply 24V,\n\
S,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n\
S,1,EA,Storeroom lock,626\n\
S,1,EA,Stop,626\n\
P,3,EA,Hinge 4-1/2 x 4-1/2 plain bearing,652\n\
P,1,EA,Mortise lock classroom,626\n\
P,1,EA,Closer hold open,689\n\
P,1,EA,Armor plate 36 x 2 LDW,630\n\
E,3,EA,Hinge,652\n\
E,1,EA,Electrified lock storeroom,626\n\
E,1,EA,Electric hinge 4 wire,652\n\
E,1,EA,Closer,689\n\
X,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n\
X,1,EA,Rim exit device,630\n\
X,1,EA,Rim cylinder,626\n\
X,1,EA,Closer,689\n\
XP,6,EA,Hinge 4-1/2 x 4-1/2 BB HW,652\n\
XP,2,EA,Rim exit device 01,630\n\
XP,1,EA,Closer,689\n\
XP,1,EA,Kick plate,630\n\
ST,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n\
ST,1,EA,Mortise lock storeroom F07,626\n\
ST,1,EA,Electric strike,630\n\
ST,1,EA,Closer,689\n\
O,3,EA,Hinge 4-1/2 x 4-1/2,652\n\
O,1,EA,Mortise lock privacy,626\n\
O,1,EA,Deadbolt,626\n\
O,1,EA,Wall stop,630\n\
O,1,EA,Overhead stop,630\n";
