//! What a person fills into the estimate comes back: read by headings, applied, kept, and dropped where it no longer means
//! the same.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use pintle::complete::told::{Scope, What};
use pintle::read::{Cells, sheets};
use pintle::write::answered;
use serde_json::{Value, json};

const DOORS: &str = "Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Office,3-0 x 7-0,HM,HM,,A\n2,Store,3-0 x 7-0,HM,HM,,A\n3,Hall,3-0 x 7-0,HM,HM,,B\n";
const SETS: &str = "Set,Qty,Unit,Item,Finish\nA,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652\nA,1,EA,Office lock F109,626\nA,1,EA,Wall stop,630\nB,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652\nB,1,EA,Quaint carved thing,626\n";

/// A folder of the test's own with the schedule in it, removed when it ends.
struct Job(PathBuf);

impl Job {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("pintle-answers-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(&path).unwrap();
        let job = Job(path);
        job.schedule(SETS);
        job
    }

    fn schedule(&self, sets: &str) {
        fs::write(self.0.join("doors.csv"), DOORS).unwrap();
        fs::write(self.0.join("sets.csv"), sets).unwrap();
    }

    /// Quotes into a folder and gives the record and what was said.
    fn quote(&self, out: &str, answers: Option<&Path>) -> (Value, String) {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
        command.arg("quote").args([self.0.join("doors.csv"), self.0.join("sets.csv")]).arg("--force");
        command.arg("--out").arg(self.0.join(out)).args(["--date", "2026-11-25"]);
        if let Some(answers) = answers {
            command.arg("--answers").arg(answers);
        }
        let run = command.output().unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(matches!(run.status.code(), Some(0 | 1)), "{said}");
        let record = fs::read_to_string(self.0.join(out).join("doors.record.json")).unwrap();
        (serde_json::from_str(&record).unwrap(), said)
    }

    /// A record with figures typed over, to be given as answers.
    fn told(&self, record: &Value, typed: Value) -> PathBuf {
        let mut record = record.clone();
        record["typed_over"] = typed;
        let path = self.0.join("told.json");
        fs::write(&path, record.to_string()).unwrap();
        path
    }
}

impl Drop for Job {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn lines(record: &Value) -> Vec<&Value> {
    record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap()).collect()
}

fn good(line: &Value) -> String {
    format!("{} {}", line["good"]["maker"].as_str().unwrap(), line["good"]["designation"].as_str().unwrap())
}

/// The cell under a heading in the first row that holds some words.
fn cell<'a>(sheets: &'a mut [Cells], page: &str, heading: &str, row_with: &str) -> &'a mut String {
    let sheet = sheets.iter_mut().find(|sheet| sheet.name == page).unwrap();
    let head = sheet.rows.iter().position(|(_, row)| row.values().any(|text| text == heading)).unwrap();
    let column = *sheet.rows[head].1.iter().find(|(_, text)| *text == heading).unwrap().0;
    let row =
        sheet.rows[head + 1..].iter_mut().find(|(_, row)| row.values().any(|text| text.contains(row_with))).unwrap();
    row.1.entry(column).or_default()
}

#[test]
fn cells_filled_in_are_read_back_and_those_left_alone_say_nothing() {
    let job = Job::new("cells");
    job.quote("first", None);
    let mut pages = sheets(&job.0.join("first/doors.estimate.xlsx")).unwrap();
    let back = answered::answers(&pages).unwrap();
    assert!(back.is_whole && back.answers.is_empty(), "{back:?}");
    assert!(!back.answers.numbers.is_empty());
    "24.50".clone_into(cell(&mut pages, "Priced goods", "Your price", "hinge 4-1/2"));
    "same wording".clone_into(cell(&mut pages, "Priced goods", "Applies to", "hinge 4-1/2"));
    "exclude".clone_into(cell(&mut pages, "Priced goods", "Your quantity", "wall stop"));
    let back = answered::answers(&pages).unwrap();
    let [price, out] = back.answers.typed.as_slice() else { panic!("{:?}", back.answers.typed) };
    assert_eq!((price.what, price.value.as_str(), price.scope), (What::Price, "24.5", Scope::Wording));
    assert_eq!((out.what, out.line.set.as_str()), (What::LeaveOut, "A"));
    "a lot".clone_into(cell(&mut pages, "Priced goods", "Your price", "office lock"));
    let refused = answered::answers(&pages).unwrap_err();
    assert!(refused.contains("Priced goods!") && refused.contains("\"a lot\" is no price"), "{refused}");
}

/// Sums of money on the first page may be typed over as rates are; only rates stay below 100%.
#[test]
fn sums_of_the_first_page_are_read_back() {
    let job = Job::new("sums");
    fs::write(job.0.join("job.toml"), "[freight]\nsum = \"250\"\nfree_above = \"9000\"\n[tax]\nrate = \"7%\"\n")
        .unwrap();
    let (first, _) = job.quote("first", None);
    let typed = |words: &str, value: &str| {
        let mut pages = sheets(&job.0.join("first/doors.estimate.xlsx")).unwrap();
        let mut rows = pages.iter_mut().flat_map(|page| page.rows.iter_mut());
        let is_it =
            |row: &BTreeMap<usize, String>| row.get(&0).is_some_and(|text| text == words) && row.contains_key(&2);
        let row = rows.find(|(_, row)| is_it(row)).expect("its row");
        row.1.insert(1, value.to_owned());
        answered::answers(&pages).map(|back| back.answers.typed)
    };
    assert!(typed("Freight, fixed sum", "-5").unwrap_err().contains("is below nothing"));
    assert!(typed("Tax, of the taxed part", "-5%").unwrap_err().contains("is below nothing"));
    assert_eq!(typed("Freight is free from this sum of goods", "12500").unwrap()[0].value, "12500");
    let sum = typed("Freight, fixed sum", "600").unwrap();
    let told = job.told(&first, serde_json::to_value(&sum).unwrap());
    let (again, _) = job.quote("again", Some(&told));
    assert_eq!(again["totals"]["freight"], "600.00", "{}", again["typed_over"]);
}

#[test]
fn a_typed_price_holds_for_the_wording_and_survives_a_re_issue_that_means_the_same() {
    let job = Job::new("wording");
    let (first, _) = job.quote("first", None);
    let name = |line: &Value, set: &str| json!({"set": set, "words": line["text"].as_str().unwrap().to_lowercase().split_whitespace().collect::<Vec<_>>().join(" "), "nth": 0});
    let hinge = lines(&first)[0].clone();
    let typed = json!([
        {"what": "price", "line": name(&hinge, "A"), "good": good(&hinge), "value": "24.50", "scope": "wording", "by": "R. Quill"},
        {"what": "price", "line": name(lines(&first)[4], "B"), "value": "77"},
        {"what": "leave-out", "line": name(lines(&first)[2], "A"), "value": "x"},
    ]);
    let told = job.told(&first, typed);
    let (second, said) = job.quote("second", Some(&told));
    for line in [lines(&second)[0], lines(&second)[3]] {
        assert_eq!(line["unit_price"], "24.50", "{line}");
    }
    assert_eq!(lines(&second)[4]["extended"], "77.00");
    assert_eq!(lines(&second)[2]["status"], "excluded");
    // What we leave out is not said to be left out by the schedule.
    let letter = sheets(&job.0.join("second/doors.proposal.xlsx")).unwrap();
    let words: Vec<&String> =
        letter.iter().flat_map(|page| page.rows.iter().flat_map(|(_, row)| row.values())).collect();
    assert!(words.iter().any(|text| text.contains("Wall stop") && text.ends_with("(not included)")), "{words:?}");
    assert_eq!(second["typed_over"][0]["by"], "R. Quill");
    assert!(said.contains("3 figures typed over"), "{said}");

    // The rows come in another order: the lines mean the same.
    let moved = SETS.replace("A,1,EA,Wall stop,630\n", "").replace("A,3,EA", "A,1,EA,Wall stop,630\nA,3,EA");
    job.schedule(&moved);
    let (third, _) = job.quote("third", Some(&job.0.join("second/doors.record.json")));
    assert_eq!(third["totals"], second["totals"]);

    // The hinge is another now: its price is not used, and that is said.
    job.schedule(&SETS.replace("A,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652", "A,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,630"));
    let (fourth, said) = job.quote("fourth", Some(&job.0.join("second/doors.record.json")));
    assert_ne!(lines(&fourth)[0]["unit_price"], "24.50");
    assert_eq!(lines(&fourth)[3]["unit_price"], "24.50", "the other line with the wording keeps it");
    assert!(!said.contains("error"), "{said}");
}

#[test]
fn an_answer_for_the_whole_job_settles_every_question_of_the_kind() {
    let job = Job::new("job");
    job.schedule(&SETS.replace("Wall stop,630", "WS,").replace("B,1,EA,Quaint carved thing,626", "B,2,EA,WS,"));
    let (first, _) = job.quote("first", None);
    let questions: Vec<&Value> = first["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|finding| finding["kind"] == "question" && !finding["answers"].as_array().unwrap().is_empty())
        .collect();
    let question = questions.first().expect("a word of two meanings is asked about");
    let answer = question["answers"].as_array().unwrap().last().unwrap()["value"].clone();
    let mut told = first.clone();
    told["answers"] = json!({question["id"].as_str().unwrap(): {
        "answer": answer, "scope": "job", "code": question["rule"],
        "attribute": question["attribute"].as_str().unwrap_or_default()}});
    let path = job.0.join("told.json");
    fs::write(&path, told.to_string()).unwrap();
    let (second, _) = job.quote("second", Some(&path));
    let open = second["findings"].as_array().unwrap().iter().filter(|finding| {
        finding["kind"] == "question"
            && finding["rule"] == question["rule"]
            && finding["attribute"] == question["attribute"]
            && finding["answers"].as_array().unwrap().iter().any(|offered| offered["value"] == answer)
    });
    assert_eq!(open.count(), 0);
    // What was asked is still said, with the answer, though nothing is unclear any more.
    let id = &question["id"];
    let settled = second["findings"].as_array().unwrap().iter().find(|finding| finding["id"] == *id).unwrap();
    assert_eq!(settled["kind"], "note");
    assert!(settled["text"].as_str().or(settled["says"].as_str()).unwrap().contains("Answered: "), "{settled}");
    // Numbers given out stay with their questions.
    for (id, number) in first["question_numbers"].as_object().unwrap() {
        assert_eq!(&second["question_numbers"][id], number, "{id}");
    }
}

#[test]
fn an_answer_in_words_closes_its_question_and_is_left_to_a_person() {
    let job = Job::new("words");
    let (first, _) = job.quote("first", None);
    let findings = first["findings"].as_array().unwrap();
    let question = findings
        .iter()
        .find(|finding| finding["kind"] == "question" && finding["answers"].as_array().is_none_or(Vec::is_empty))
        .expect("the carved thing is asked about, without answers");
    let id = question["id"].as_str().unwrap();
    let mut told = first.clone();
    told["answers"] = json!({id: {"answer": "See the architect's letter", "by": "R. Quill"}});
    let path = job.0.join("told.json");
    fs::write(&path, told.to_string()).unwrap();
    let (second, said) = job.quote("second", Some(&path));
    assert!(said.contains("for you to carry out: Answered in words: \"See the architect's letter\""), "{said}");
    assert!(said.contains("1 answer in words waits for you to carry out: in the schedule, or by figures"), "{said}");
    let kind = |id: &str| {
        let findings = second["findings"].as_array().unwrap();
        findings.iter().find(|finding| finding["id"] == id).map(|finding| finding["kind"].clone())
    };
    assert_eq!(kind(id), Some(json!("note")));
    assert_eq!(kind(&format!("answer-in-words:{id}")), Some(json!("note")));
    assert_eq!(first["totals"], second["totals"]);
    let pages = sheets(&job.0.join("second/doors.estimate.xlsx")).unwrap();
    let given = pages.iter().find(|page| page.name == "Answers given").unwrap();
    assert!(given.rows.iter().any(|(_, row)| row.values().any(|text| text == "in words: carry it out")));
    let counted = pages.iter().find(|page| page.name == "The bid").unwrap().rows.iter().map(|(_, row)| row);
    let mut waiting =
        counted.filter(|row| row.get(&0).is_some_and(|text| text.starts_with("Answers in words, to carry out")));
    assert_eq!(waiting.next().and_then(|row| row.get(&1)).map(String::as_str), Some("1"));
}

#[test]
fn what_was_filled_in_is_not_written_over_unknowingly() {
    let job = Job::new("spare");
    let (first, _) = job.quote("first", None);
    let hinge = lines(&first)[0].clone();
    let words = hinge["text"].as_str().unwrap().to_lowercase();
    let name = json!({"set": "A", "words": words.split_whitespace().collect::<Vec<_>>().join(" "), "nth": 0});
    let told = job.told(&first, json!([{"what": "price", "line": name, "good": good(&hinge), "value": "24.50"}]));
    let (second, _) = job.quote("second", Some(&told));
    assert_eq!(lines(&second)[0]["unit_price"], "24.50");
    let before = fs::read(job.0.join("second/doors.estimate.xlsx")).unwrap();
    let run = |answers: Option<&str>| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
        command.arg("quote").args([job.0.join("doors.csv"), job.0.join("sets.csv")]).arg("--force");
        command.arg("--out").arg(job.0.join("second")).args(["--date", "2026-11-25"]);
        answers.map(|answers| command.arg("--answers").arg(job.0.join(answers)));
        command.output().unwrap()
    };
    let refused = run(None);
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(said.contains("would be lost") && said.contains("--answers"), "{said}");
    assert_eq!(fs::read(job.0.join("second/doors.estimate.xlsx")).unwrap(), before);
    for answers in ["second/doors.estimate.xlsx", "second/doors.record.json"] {
        assert!(matches!(run(Some(answers)).status.code(), Some(0 | 1)), "{answers}");
    }
}

/// The workbook of one job given with another: nothing of it is taken up, and nothing is written.
#[test]
fn a_workbook_of_another_job_is_refused() {
    let job = Job::new("another");
    let named = |name: &str| fs::write(job.0.join("job.toml"), format!("[job]\nname = \"{name}\"\n")).unwrap();
    named("Alder School");
    job.quote("alder", None);
    let estimate = job.0.join("alder/doors.estimate.xlsx");
    job.quote("alder again", Some(&estimate));
    named("Brook Clinic");
    for workbook in ["doors.estimate.xlsx", "doors.questions.xlsx"] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
        command.arg("quote").args([job.0.join("doors.csv"), job.0.join("sets.csv")]);
        command.arg("--out").arg(job.0.join("brook")).arg("--answers").arg(job.0.join("alder").join(workbook));
        let run = command.output().unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert_eq!(run.status.code(), Some(2), "{workbook}: {said}");
        assert!(said.contains("Alder School") && said.contains("Brook Clinic"), "{workbook}: {said}");
        assert!(!job.0.join("brook/doors.record.json").exists());
    }
}

#[test]
fn records_of_before_hold_answers_as_words_alone() {
    let told: pintle::complete::told::Told = serde_json::from_value(json!("wall")).unwrap();
    assert_eq!((told.answer.as_str(), told.scope), ("wall", Scope::This));
}

/// A size that is answered goes through everything after it: hinges, lengths, price. Picking what was taken changes nothing.
#[test]
fn a_size_that_is_answered_is_worked_out_anew() {
    let job = Job::new("size");
    let doors = "Door,Size,Door Matl,Frame Matl,HW Set\n1,3680,HM,HM,A\n2,50 x 70 PR,HM,HM,B\n";
    let sets = "Set,Qty,Unit,Item,Finish\nA,1,EA,Office lock F109,626\nA,1,EA,Door bottom automatic,628\n\
                B,6,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652\nB,1,EA,Kick plate 10 x 2 LDW,630\n";
    job.schedule(sets);
    fs::write(job.0.join("doors.csv"), doors).unwrap();
    let (before, _) = job.quote("before", None);
    let question = |record: &Value, rule: &str| {
        let all = record["findings"].as_array().unwrap();
        all.iter().find(|one| one["rule"] == rule).cloned().unwrap_or_else(|| panic!("{rule} is not told"))
    };
    let told = |answers: &[(&Value, usize)]| {
        let mut record = before.clone();
        for (question, pick) in answers {
            record["answers"][question["id"].as_str().unwrap()] = json!({
                "answer": question["answers"][pick]["value"], "code": question["rule"], "attribute": "", "scope": "this",
                "wording": "", "by": "", "on": "", "says": question["says"]});
        }
        let path = job.0.join("told.json");
        fs::write(&path, record.to_string()).unwrap();
        path
    };
    let (size, pair) = (question(&before, "ambiguous-size"), question(&before, "pair-of-5-0"));
    let (same, _) = job.quote("same", Some(&told(&[(&size, 0), (&pair, 0)])));
    assert_eq!(same["totals"]["total"], before["totals"]["total"]);
    let (other, _) = job.quote("other", Some(&told(&[(&size, 1), (&pair, 1)])));
    assert_eq!((&other["openings"][0]["width"], &other["openings"][0]["height"]), (&json!("36"), &json!("80")));
    assert_eq!(question(&other, "ambiguous-size")["kind"], "note");
    assert_ne!(other["sets"][0]["lines"][1]["good"], before["sets"][0]["lines"][1]["good"], "36 in of it, not 42");
    assert!(other.to_string().contains("x 34") || other.to_string().contains("X34"),);
    assert_ne!(other["totals"]["total"], before["totals"]["total"]);
}

/// A proposal promises no keying meeting where keying was answered to be others' work.
#[test]
fn keying_by_the_owner_is_no_part_of_the_proposal() {
    let job = Job::new("keying");
    let (mut record, _) = job.quote("before", None);
    let says = |out: &str| {
        let letter = sheets(&job.0.join(out).join("doors.proposal.xlsx")).unwrap();
        let words: Vec<&String> =
            letter.iter().flat_map(|sheet| &sheet.rows).flat_map(|(_, row)| row.values()).collect();
        let has = |part: &str| words.iter().any(|text| text.contains(part));
        (has("One keying meeting"), has("Keying, key system and keying meeting"))
    };
    assert_eq!(says("before"), (true, false));
    record["answers"]["keying"] = json!({"answer": "The owner's key shop does it", "code": "keying", "attribute": "",
        "scope": "this", "wording": "", "by": "", "on": "", "says": ""});
    let told = job.0.join("told.json");
    fs::write(&told, record.to_string()).unwrap();
    let (_, said) = job.quote("after", Some(&told));
    assert_eq!(says("after"), (false, true));
    assert!(
        said.contains("taken to say that others do the keying: the letter excludes \"Keying, key system"),
        "{said}"
    );
    // What is denied to others is ours, and the run says so.
    record["answers"]["keying"]["answer"] = json!("Not by others, we do the keying");
    fs::write(&told, record.to_string()).unwrap();
    let (_, said) = job.quote("denied", Some(&told));
    assert_eq!(says("denied"), (true, false));
    assert!(said.contains("is not taken to say that others do the keying"), "{said}");
}

/// Three of something with a finish, first in a set without hinges, are asked about as hinges; in a set with hinges they are
/// only a line that was not read.
#[test]
fn the_first_line_of_a_set_without_hinges_is_asked_about_as_hinges() {
    let job = Job::new("lacking");
    let question = |sets: &str, out: &str| {
        job.schedule(sets);
        let (record, _) = job.quote(out, None);
        let line = &record["sets"][0]["lines"][0];
        let asks = |finding: &Value| {
            let says = finding["says"].as_str().unwrap_or_default();
            finding["kind"] == "question" && says.contains("first line of a set that has no hinges")
        };
        (line["category"].clone(), record["findings"].as_array().unwrap().iter().any(asks))
    };
    let lock = "A,1,EA,Office lock F109,626\n";
    let without = format!("Set,Qty,Unit,Item,Finish\nA,3,EA,TQX 2714,652\n{lock}");
    assert_eq!(question(&without, "without"), (json!("hinge"), true));
    let with = format!("Set,Qty,Unit,Item,Finish\nA,3,EA,TQX 2714,652\nA,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n{lock}");
    assert_eq!(question(&with, "with"), (Value::Null, false));
    let one = format!("Set,Qty,Unit,Item,Finish\nA,1,EA,TQX 2714,652\n{lock}");
    assert_eq!(question(&one, "one"), (Value::Null, false));
}

/// An answer that brings more doors under a question which is answered too: that answer holds for them as well.
#[test]
fn an_answer_holds_for_the_doors_that_another_answer_brings() {
    let job = Job::new("widen");
    let sets = "Set,Qty,Unit,Item,Finish\nA,3,EA,Hinge 5 x 4-1/2 BB heavy NRP,652\nA,1,EA,Storeroom lock F86,626\n\
                B,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt NRP,652\nB,1,EA,Storeroom lock F86,626\n";
    job.schedule(sets);
    let doors = "Door,Room,Size,Thk,Door Matl,Frame Matl,Exterior,HW Set\n1,Entry,3-0 x 7-0,1-3/4,HM,HM,YES,A\n\
                 2,Rear exit,3-0 x 7-0,1-3/4,HM,HM,,B\n";
    fs::write(job.0.join("doors.csv"), doors).unwrap();
    let (before, _) = job.quote("before", None);
    let question = |rule: &str| {
        let all = before["findings"].as_array().unwrap();
        all.iter().find(|one| one["rule"] == rule).cloned().unwrap_or_else(|| panic!("{rule} is not told"))
    };
    let (outside, finish) = (question("exterior-evidence"), question("exterior-hinge-finish"));
    assert_eq!(finish["openings"], json!(["1"]), "the other door is not exterior yet");
    let mut record = before.clone();
    for question in [&outside, &finish] {
        let answer =
            question["answers"].as_array().unwrap().iter().find(|one| one["does"]["kind"] != "nothing").unwrap();
        record["answers"][question["id"].as_str().unwrap()] = json!({
            "answer": answer["value"], "code": question["rule"], "attribute": "", "scope": "this",
            "wording": "", "by": "", "on": "", "says": question["says"]});
    }
    let told = job.0.join("told.json");
    fs::write(&told, record.to_string()).unwrap();
    let (after, _) = job.quote("after", Some(&told));
    for (set, hinge) in [(0, 0), (1, 0)] {
        let good = good(&after["sets"][set]["lines"][hinge]);
        assert!(good.contains("630"), "set {set}: {good} is to be stainless");
    }
}

/// What is said of some of the goods of a line has a price for each count, and the answer parts the line in two.
#[test]
fn each_count_of_some_goods_has_its_price() {
    let job = Job::new("some");
    job.schedule(
        "Set,Qty,Unit,Item,Finish\nA,3,EA,\"Hinge 4-1/2 x 4-1/2 BB std wt, some NRP\",652\nA,1,EA,Office lock F109,626\n\
         B,3,EA,\"Hinge 4-1/2 x 4-1/2 BB std wt, 1 NRP\",652\nB,1,EA,Wall stop not acceptable,626\n\
         C,3,EA,\"Hinge 4-1/2 x 4-1/2 BB std wt, 1 NRP\",652\n",
    );
    let (before, _) = job.quote("before", None);
    let findings = before["findings"].as_array().unwrap();
    let asked: Vec<&Value> = findings.iter().filter(|one| one["rule"] == "some-of-them").collect();
    // The same words in two sets are one question.
    assert_eq!(asked.len(), 2, "{asked:#?}");
    let counts = |question: &Value| -> Vec<String> {
        let answers = question["answers"].as_array().unwrap();
        answers.iter().map(|answer| answer["value"].as_str().unwrap().to_owned()).collect()
    };
    let all: Vec<Vec<String>> = asked.iter().map(|question| counts(question)).collect();
    assert!(all.contains(
        &["said of none", "said of 1 of the 3", "said of 2 of the 3", "said of all"].map(str::to_owned).to_vec()
    ));
    assert!(all.contains(&["said of none", "said of 1 of the 3", "said of all"].map(str::to_owned).to_vec()));
    assert!(findings.iter().any(|one| one["rule"] == "refused-good" && one["kind"] == "question"));
    let total = |record: &Value| record["totals"]["total"].as_str().unwrap().parse::<rust_decimal::Decimal>().unwrap();
    let mut tried = 0;
    for question in asked {
        let mut worth = Vec::new();
        for answer in question["answers"].as_array().unwrap() {
            let mut record = before.clone();
            record["answers"][question["id"].as_str().unwrap()] = json!({
                "answer": answer["value"], "code": question["rule"], "attribute": "", "scope": "this",
                "wording": "", "by": "", "on": "", "says": question["says"]});
            tried += 1;
            let told = job.0.join("told.json");
            fs::write(&told, record.to_string()).unwrap();
            let (after, _) = job.quote(&format!("after-{tried}"), Some(&told));
            let effect: rust_decimal::Decimal = answer["effect"].as_str().unwrap().parse().unwrap();
            assert_eq!(total(&after) - total(&before), effect, "{} {}", question["id"], answer["value"]);
            worth.push(effect);
        }
        assert!(worth.is_sorted_by(|one, next| one < next), "more of the dearer goods cost more: {worth:?}");
    }
}

/// A line with another good at some doors has a row for each. What stands on one row holds for that row: x, a quantity, a
/// price; x on all of them leaves the line out; and the workbook written next says the same again.
#[test]
fn a_row_of_a_line_with_several_goods_is_left_out_alone() {
    let job = Job::new("rows");
    fs::write(job.0.join("doors.csv"), DOORS.replace("2,Store,3-0", "2,Store,4-0")).unwrap();
    fs::write(
        job.0.join("sets.csv"),
        format!("{SETS}A,1,EA,Kick plate 10 x 2LDW,630\nA,1,EA,Kick plate 47 x 2LDW,630\n"),
    )
    .unwrap();
    let (first, _) = job.quote("first", None);
    // Which rows hold some words, and the cell of one of them under a heading.
    let rows = |page: &Cells, words: &str| -> Vec<usize> {
        let holds = |row: &BTreeMap<usize, String>| row.values().any(|text| text.contains(words));
        (0..page.rows.len()).filter(|at| holds(&page.rows[*at].1)).collect()
    };
    let fill = |from: &str, cells: &[(&str, usize, &str, &str)]| {
        let mut pages = sheets(&job.0.join(from).join("doors.estimate.xlsx")).unwrap();
        let page = pages.iter_mut().find(|page| page.name == "Priced goods").unwrap();
        for (words, nth, heading, value) in cells {
            let head = page.rows.iter().position(|(_, row)| row.values().any(|text| text == heading)).unwrap();
            let column = *page.rows[head].1.iter().find(|(_, text)| text == heading).unwrap().0;
            let row = rows(page, words)[*nth];
            page.rows[row].1.insert(column, (*value).to_owned());
        }
        answered::answers(&pages).map(|back| back.answers.typed)
    };
    let tell = |typed: &[pintle::complete::told::Typed], out: &str| {
        let told = job.told(&first, serde_json::to_value(typed).unwrap());
        job.quote(out, Some(&told))
    };
    let counts = |record: &Value, words: &str| -> Vec<String> {
        let mine = lines(record).into_iter().filter(|line| line["text"].to_string().contains(words));
        mine.map(|line| line["count"].to_string().trim_matches('"').to_owned()).collect()
    };
    assert_eq!(counts(&first, "47 x 2LDW"), ["1", "1"], "{first:#}");

    let typed = fill(
        "first",
        &[
            ("kick plate 10", 1, "Leave out", "x"),
            ("kick plate 47", 0, "Your price", "300"),
            ("kick plate 47", 1, "Your quantity", "0"),
        ],
    )
    .unwrap();
    let (second, said) = tell(&typed, "second");
    assert_eq!(counts(&second, "10 x 2LDW"), ["1", "0"]);
    assert_eq!(counts(&second, "47 x 2LDW"), ["1", "0"]);
    assert!(said.contains("left out by the estimator at door 2; the rest of the line stays"), "{said}");
    // The workbook of that run says the same again.
    assert_eq!(fill("second", &[]).unwrap(), typed);

    // On every row: the line.
    let all = fill("second", &[("kick plate 10", 0, "Leave out", "x")]).unwrap();
    let whole: Vec<_> = all.iter().filter(|one| one.what == What::LeaveOut).collect();
    assert!(matches!(whole[..], [one] if one.good.is_empty()), "{all:?}");

    // The door becomes as the others: what was left out there is not there, and the run says so.
    fs::write(job.0.join("doors.csv"), DOORS).unwrap();
    let (_, said) = tell(&typed, "third");
    assert!(said.contains("not taken up: The x in Leave out for \"1 ea kick plate 10"), "{said}");
    assert!(said.contains("x in Withdraw on Answers given"), "{said}");
}

/// A typed price on a line that is left out by now is said with its line and with the way to end it.
#[test]
fn a_price_of_a_line_that_is_not_priced_is_said_whole() {
    let job = Job::new("gone");
    let (first, _) = job.quote("first", None);
    let typed = json!([
        {"what": "price", "line": {"set": "B", "words": "1 ea quaint carved thing 626"}, "value": "785"},
        {"what": "leave-out", "line": {"set": "B", "words": "1 ea quaint carved thing 626"}, "value": "x"},
    ]);
    let (_, said) = job.quote("second", Some(&job.told(&first, typed)));
    let expected = "The price 785 typed over for \"1 ea quaint carved thing 626\" of set B is not used: the line is not priced now.";
    assert!(said.contains(expected), "{said}");
}
