//! Answers told again: they stay with the sets that they were given for, neither lost where one of several sets no longer
//! asks, nor widened to a set that nobody was asked about; and what the program repeats of them is nobody's answer.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use pintle::read::sheets;
use pintle::write::answered;
use serde_json::{Value, json};

const DOORS: &str = "Door No,Width,Height,Thk,Door Matl,Frame Matl,Rating,HW Set,Room,Hand\n\
    101,\"3'-0\"\"\",\"7'-0\"\"\",\"1 3/4\"\"\",WD,HM,NR,A,CORRIDOR / LOUNGE,RH\n\
    102,\"3'-0\"\"\",\"7'-0\"\"\",\"1 3/4\"\"\",WD,HM,NR,B,CORRIDOR,RH\n";
const SETS: &str = "Set,Qty,Description,Finish\nA,3,BB hinge 4-1/2 x 4-1/2 std wt,652\nA,1,mort lock F01 passage,626\n\
    A,1,wall stop concave,630\nB,3,BB hinge 4-1/2 x 4-1/2 std wt,652\nB,1,mort lock F01 passage,626\n";

/// A folder of the test's own, removed when it ends.
struct Job(PathBuf);

impl Job {
    fn new(name: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("pintle-told-again-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("doors.csv"), DOORS).unwrap();
        fs::write(folder.join("sets.csv"), SETS).unwrap();
        Job(folder)
    }

    fn run(&self, arguments: &[&str]) -> String {
        let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&self.0).args(arguments).output().unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(matches!(run.status.code(), Some(0 | 1)), "{said}");
        said
    }

    fn record(&self, path: &str) -> Value {
        serde_json::from_str(&fs::read_to_string(self.0.join(path)).unwrap()).unwrap()
    }

    /// The job quoted with these answers, by the id of the question.
    fn quoted(&self, answers: Value) -> Value {
        self.run(&["quote", "doors.csv", "sets.csv", "--force", "--out", "bare"]);
        let mut told = self.record("bare/doors.record.json");
        told["answers"] = answers;
        fs::write(self.0.join("told.json"), told.to_string()).unwrap();
        self.run(&["quote", "doors.csv", "sets.csv", "--answers", "told.json", "--force", "--out", "bid"]);
        self.record("bid/doors.record.json")
    }

    /// The quote after a list of changes.
    fn amended(&self, changes: &str) -> Value {
        fs::write(self.0.join("add.csv"), format!("ACTION,DOOR NO.,HW SET,QTY,DESCRIPTION,FIN\n{changes}")).unwrap();
        self.run(&["reprice", "bid/doors.record.json", "add.csv", "--force", "--out", "after"]);
        self.record("after/add.record.json")
    }
}

impl Drop for Job {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// Doors at which a category was added.
fn added(record: &Value, category: &str) -> Vec<String> {
    let added = record["added"].as_array().unwrap().iter().filter(|added| added["category"] == category);
    added
        .flat_map(|added| added["openings"].as_array().unwrap())
        .map(|door| door.as_str().unwrap().to_owned())
        .collect()
}

/// Doors of the open questions of a rule.
fn open(record: &Value, rule: &str) -> Vec<Value> {
    let findings = record["findings"].as_array().unwrap().iter();
    findings.filter(|one| one["rule"] == rule && one["kind"] == "question").map(|one| one["openings"].clone()).collect()
}

#[test]
fn a_question_that_one_set_of_several_no_longer_raises_keeps_its_answer_for_the_others() {
    let job = Job::new("kept");
    let bid = job.quoted(json!({"closer-missing:corridor": {"answer": "a closer for each leaf"}}));
    assert_eq!(added(&bid, "closer"), ["101", "102"]);
    let after = job.amended("Add,,B,1,closer,689\n");
    assert_eq!(added(&after, "closer"), ["101"]);
    assert!(open(&after, "closer-missing").is_empty());
}

#[test]
fn a_set_that_comes_under_an_answered_question_is_asked_about_by_itself() {
    let job = Job::new("wider");
    let bid = job.quoted(json!({"stop-missing": {"answer": "a wall stop for each leaf"}}));
    assert_eq!(added(&bid, "stop"), ["102"]);
    // The architect deletes the stop of another set: nothing brings it back.
    let after = job.amended("Delete,,A,1,wall stop concave,630\n");
    assert_eq!(added(&after, "stop"), ["102"]);
    assert_eq!(open(&after, "stop-missing"), [json!(["101"])]);
    // That question has an answer of its own, and the first one stays as it was.
    let mut told = after.clone();
    told["answers"]["stop-missing:a"] = json!({"answer": "a wall stop for each leaf"});
    fs::write(job.0.join("told.json"), told.to_string()).unwrap();
    let arguments =
        ["reprice", "bid/doors.record.json", "add.csv", "--answers", "told.json", "--force", "--out", "after"];
    job.run(&arguments);
    let again = job.record("after/add.record.json");
    let mut doors = added(&again, "stop");
    doors.sort();
    assert_eq!(doors, ["101", "102"]);
    assert!(open(&again, "stop-missing").is_empty());
}

#[test]
fn what_one_answer_brings_under_another_question_is_not_answered_with_it() {
    // Answered when it named the door of set B alone; the words of set A were read with a stop then.
    let job = Job::new("rounds");
    fs::write(job.0.join("sets.csv"), SETS.replace("A,1,wall stop concave,630\n", "")).unwrap();
    let told = |doors: Value| json!({"stop-missing": {"answer": "a wall stop for each leaf", "doors": doors}});
    assert_eq!(added(&job.quoted(told(json!(["102"]))), "stop"), ["102"]);
    assert_eq!(added(&job.quoted(told(json!(["101", "102"]))), "stop"), ["101", "102"]);
    // An answer for the whole job reaches it all the same.
    let whole = json!({"stop-missing": {"answer": "a wall stop for each leaf", "doors": ["102"], "code": "stop-missing", "scope": "job"}});
    let mut doors = added(&job.quoted(whole), "stop");
    doors.sort();
    assert_eq!(doors, ["101", "102"]);
}

#[test]
fn a_refused_answer_waits_in_the_estimate_alone() {
    let job = Job::new("refused");
    job.quoted(json!({"stop-missing": {"answer": "whatever suits"}}));
    let filled = |book: &str| answered::answers(&sheets(&job.0.join("bid").join(book)).unwrap()).unwrap().answers;
    assert_eq!(filled("doors.estimate.xlsx").questions["stop-missing"].answer, "whatever suits");
    // Nobody filled the list for the architect in: nothing in it could be lost.
    assert!(filled("doors.questions.xlsx").questions.is_empty());
    job.run(&["quote", "doors.csv", "sets.csv", "--answers", "bid/doors.estimate.xlsx", "--force", "--out", "bid"]);
    // The doors that a question named come back with its answer.
    assert_eq!(filled("doors.estimate.xlsx").questions["stop-missing"].doors, ["102"]);
    // A list that did not fit its cell does not tell them all.
    let mut pages = sheets(&job.0.join("bid/doors.estimate.xlsx")).unwrap();
    let cells = pages.iter_mut().flat_map(|page| &mut page.rows).flat_map(|(_, row)| row.values_mut());
    cells.filter(|text| *text == "102").for_each(|text| text.push_str(" … (cut)"));
    let cut = answered::answers(&pages).unwrap().answers;
    assert!(cut.questions["stop-missing"].doors.is_empty());
}

#[test]
fn a_plain_hinge_that_is_answered_on_a_rated_door_is_told() {
    let job = Job::new("plain");
    fs::write(job.0.join("doors.csv"), DOORS.replace("WD,HM,NR", "HM,HM,45 MIN")).unwrap();
    fs::write(
        job.0.join("sets.csv"),
        SETS.replace("BB hinge 4-1/2 x 4-1/2 std wt", "Hinge 4-1/2 x 4-1/2 plain or ball bearing"),
    )
    .unwrap();
    let of_hinges = |record: &Value| -> Vec<Value> {
        let findings = record["findings"].as_array().unwrap().iter();
        findings
            .filter(|one| one["kind"] == "question" && one["attribute"] == "bearing")
            .map(|one| one["id"].clone())
            .collect()
    };
    job.run(&["quote", "doors.csv", "sets.csv", "--force", "--out", "bare"]);
    let ids = of_hinges(&job.record("bare/doors.record.json"));
    assert!(!ids.is_empty());
    let told = ids.iter().map(|id| (id.as_str().unwrap().to_owned(), json!({"answer": "plain"}))).collect();
    let bid = job.quoted(Value::Object(told));
    let mut findings = bid["findings"].as_array().unwrap().iter();
    assert!(findings.any(|one| one["rule"] == "fire-hinge" && one["says"].as_str().unwrap().contains("by an answer")));
}

#[test]
fn an_answer_holds_where_all_doors_that_it_named_have_other_numbers() {
    let job = Job::new("numbers");
    let told = json!({"stop-missing": {"answer": "a wall stop for each leaf", "doors": ["X-102"]}});
    assert_eq!(added(&job.quoted(told), "stop"), ["102"]);
}

#[test]
fn one_set_that_becomes_of_another_kind_leaves_the_others_their_answer() {
    let job = Job::new("kinds");
    let doors = ["A", "B", "C"].iter().zip(1..).map(|(set, door)| format!("{door},Lobby,3-0 x 7-0,HM,HM,,{set}\n"));
    let doors: String = doors.collect();
    fs::write(job.0.join("doors.csv"), format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n{doors}")).unwrap();
    let sets = |first: &str| {
        let of = |set: &str, device: &str| {
            format!(
                "{set},3,EA,Hinge 4-1/2 x 4-1/2 BB heavy weight,630\n{set},1,EA,{device},630\n{set},1,EA,Closer,689\n"
            )
        };
        let (a, b, c) = (of("A", first), of("B", "Rim panic device"), of("C", "Rim panic device"));
        format!("Set,Qty,Unit,Item,Finish\n{a}{b}{c}")
    };
    fs::write(job.0.join("sets.csv"), sets("Exit device rim type")).unwrap();
    job.run(&["quote", "doors.csv", "sets.csv", "--force", "--out", "bare"]);
    let bare = job.record("bare/doors.record.json");
    let asks = |one: &&Value| one["kind"] == "question" && one["attribute"] == "function";
    let questions: Vec<&Value> = bare["findings"].as_array().unwrap().iter().filter(asks).collect();
    let told = questions.iter().map(|one| (one["id"].as_str().unwrap().to_owned(), json!({"answer": "08"}))).collect();
    job.quoted(Value::Object(told));
    fs::write(job.0.join("sets.csv"), sets("Exit device rim type electric latch retraction")).unwrap();
    job.run(&["reprice", "bid/doors.record.json", "doors.csv", "sets.csv", "--force", "--out", "after"]);
    let after = job.record("after/doors.record.json");
    let lines = after["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    let devices = lines.filter(|line| line["category"] == "exit-device");
    let functions: Vec<&str> = devices.map(|line| line["attributes"]["function"].as_str().unwrap_or("")).collect();
    assert_eq!(functions.get(1..), Some(["08", "08"].as_slice()), "{questions:#?}");
}

/// The priced goods of an estimate as a page of text, with figures typed over: the row that holds a word, the heading, the figure.
fn typed_over(job: &Job, typed: &[(&str, &str, &str)]) -> PathBuf {
    let pages = sheets(&job.0.join("bid/doors.estimate.xlsx")).unwrap();
    let page = pages.into_iter().find(|page| page.name == "Priced goods").unwrap();
    let head = page.rows.iter().find(|(_, row)| row.values().any(|text| text == "List before")).unwrap().1.clone();
    let column = |heading: &str| *head.iter().find(|(_, text)| *text == heading).unwrap().0;
    let path = job.0.join("typed.csv");
    let mut text = csv::WriterBuilder::new().flexible(true).from_path(&path).unwrap();
    let mut next = 1;
    for (number, mut row) in page.rows {
        while next < number {
            text.write_record([""]).unwrap();
            next += 1;
        }
        next += 1;
        for (word, heading, figure) in typed {
            if row.get(&column("Line")).is_some_and(|line| line.contains(word)) {
                row.insert(column(heading), (*figure).to_owned());
            }
        }
        let last = row.keys().max().copied().unwrap_or_default();
        text.write_record((0..=last).map(|at| row.get(&at).cloned().unwrap_or_default())).unwrap();
    }
    text.flush().unwrap();
    path
}

#[test]
fn figures_typed_over_where_nothing_takes_them_up_are_told() {
    let job = Job::new("beside");
    job.run(&["quote", "doors.csv", "sets.csv", "--out", "bid"]);
    let bare = typed_over(&job, &[]);
    assert_eq!(answered::answers(&sheets(&bare).unwrap()).unwrap().answers.beside, Vec::<String>::new());
    let path =
        typed_over(&job, &[("mort lock", "List", "99.5"), ("wall stop", "Sell", "3"), ("hinge", "Your price", "20")]);
    let told = answered::answers(&sheets(&path).unwrap()).unwrap().answers.beside;
    // The net does not follow from the list any more: this file was not reckoned again.
    let about = |heading: &str, figure: &str| {
        told.iter().filter(|says| says.contains(&format!("\"{figure}\" typed over under {heading} "))).count()
    };
    assert_eq!((about("List", "99.5"), about("Sell", "3")), (2, 1), "{told:?}");
    assert!(!told.iter().any(|says| says.contains("\"20\"")), "a price of one's own is taken up: {told:?}");
    let said = job.run(&["quote", "doors.csv", "sets.csv", "--answers", "typed.csv", "--force", "--out", "bid"]);
    assert!(said.contains("typed over under List"), "{said}");
    let record = job.record("bid/doors.record.json");
    let findings = record["findings"].as_array().unwrap();
    assert!(findings.iter().any(|finding| finding["rule"] == "typed-over-beside"), "{findings:?}");
}

#[test]
fn a_part_of_goods_that_come_whole_is_refused() {
    let job = Job::new("part");
    job.run(&["quote", "doors.csv", "sets.csv", "--out", "bid"]);
    for heading in ["Your quantity", "Each"] {
        let path = typed_over(&job, &[("wall stop", heading, "2.5")]);
        let refused = answered::answers(&sheets(&path).unwrap()).unwrap_err();
        assert!(refused.contains("\"2.5\" is no whole number"), "{refused}");
    }
    let path = typed_over(&job, &[("wall stop", "Your quantity", "2")]);
    assert!(answered::answers(&sheets(&path).unwrap()).is_ok());
}
