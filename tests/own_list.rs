//! A job priced from a price list of one's own: what its rows do not say is no more than the usual, and what it does not
//! have is told, whoever asked for it.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

const DOORS: &str = "Door No,Width,Height,Door Matl,Frame Matl,Rating,HW Set,Room\n\
    101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,90,A,STAIR 1\n102,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,,A,EXTERIOR\n";
const LIST: &str = "Model,Description,Finish,List Price,UOM\n\
    TEP,\"Exit device rim panic function 09 lever trim, 36 in\",630,798,EA\n\
    TEF,\"Exit device rim fire exit hardware function 09 lever trim, 36 in\",630,928,EA\n\
    TH,\"BB hinge 4-1/2 x 4-1/2 std wt\",652,33,EA\n\
    TW,\"Smoke seal, self adhesive, 17 ft set\",,28,SET\n";
const SETS: &str = "Set,Qty,Description,Finish\nA,3,\"BB hinge 4-1/2 x 4-1/2 std wt\",652\n\
    A,1,\"rim exit device, function 09 lever\",630\nA,1,gasketing,\n";

/// A folder of the test's own, removed when it ends.
struct Job(PathBuf);

impl Job {
    fn new(name: &str, list: &str) -> Self {
        let folder = std::env::temp_dir().join(format!("pintle-own-list-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("doors.csv"), DOORS).unwrap();
        fs::write(folder.join("list.csv"), list).unwrap();
        let job = Job(folder);
        let import = ["catalog", "import", "list.csv", "--maker", "Tess", "--into", "catalog", "--effective"];
        job.run(&[&import[..], &["2026-01-01", "--yes"]].concat());
        job
    }

    fn run(&self, arguments: &[&str]) -> String {
        let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .current_dir(&self.0)
            .env("NO_COLOR", "1")
            .args(arguments)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(matches!(run.status.code(), Some(0 | 1)), "{said}");
        said
    }

    fn quote(&self, sets: &str) -> (Value, String) {
        fs::write(self.0.join("sets.csv"), sets).unwrap();
        let said = self.run(&["quote", "doors.csv", "sets.csv", "--force", "--date", "2026-11-25"]);
        let record = fs::read_to_string(self.0.join("doors.record.json")).unwrap();
        (serde_json::from_str(&record).unwrap(), said)
    }
}

impl Drop for Job {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn lines(record: &Value) -> Vec<&Value> {
    let sets = record["sets"].as_array().unwrap();
    sets.iter().flat_map(|set| set["lines"].as_array().unwrap()).collect()
}

/// The designations of the exit devices, in the order of the lines.
fn devices(record: &Value) -> Vec<&str> {
    let devices = lines(record).into_iter().filter(|line| line["category"] == "exit-device");
    devices.map(|line| line["good"]["designation"].as_str().unwrap_or("none")).collect()
}

fn without_good(record: &Value) -> Vec<&Value> {
    let findings = record["findings"].as_array().unwrap();
    findings.iter().filter(|finding| finding["rule"] == "without-good").collect()
}

#[test]
fn a_fire_door_gets_no_device_whose_row_does_not_speak_of_fire() {
    let job = Job::new("fire", LIST);
    // Words that say fire, and words that say nothing: the rated door has the listed device.
    assert_eq!(devices(&job.quote(&SETS.replace("rim exit", "fire rated rim exit")).0), ["TEF"]);
    assert_eq!(devices(&job.quote(SETS).0), ["TEF", "TEP"]);
    // Nor does the number of a panic device make it one.
    assert_eq!(devices(&job.quote(&SETS.replace("rim exit", "TEP rim exit")).0), ["TEF", "TEP"]);
    // A list without a listed one has nothing for the fire door, and says why.
    let panic = Job::new("panic", &LIST.replace("fire exit hardware", "narrow stile"));
    let (record, said) = panic.quote(&SETS.replace("rim exit", "fire rated rim exit"));
    assert_eq!(devices(&record), ["none"]);
    assert!(said.contains("fire_listed true: the list has nothing"), "{said}");
}

#[test]
fn what_rules_add_and_the_list_does_not_have_is_told_everywhere() {
    let job = Job::new("added", LIST);
    let (record, said) = job.quote(SETS);
    assert!(said.contains("3 added by rules, 3 of them without a price"), "{said}");
    let told: Vec<&str> = without_good(&record).iter().map(|finding| finding["says"].as_str().unwrap()).collect();
    for added in ["the closer that", "the sweep that", "the threshold that"] {
        assert!(told.iter().any(|says| says.contains(added)), "{added}: {told:?}");
    }
    // With the goods in the list nothing is told of them.
    let with = format!(
        "{LIST}TC,Surface closer regular arm fire rated,689,100,EA\nTS,Door sweep neoprene 36 in,628,9,EA\n\
                        TT,Saddle threshold 36 in,628,30,EA\n"
    );
    let (record, said) = Job::new("had", &with).quote(SETS);
    assert!(!said.contains("of them without a price"), "{said}");
    assert!(without_good(&record).iter().all(|finding| !finding["says"].as_str().unwrap().contains("a rule adds")));
}

#[test]
fn a_line_without_a_good_for_its_second_kind_of_doors_is_told() {
    let (record, said) = Job::new("kinds", LIST).quote(SETS);
    let seals: Vec<&Value> = lines(&record).into_iter().filter(|line| line["category"] == "gasketing").collect();
    assert!(seals.iter().all(|line| line["status"] == "unpriced"), "{seals:?}");
    assert!(said.contains("1 unpriced"), "{said}");
    let told = without_good(&record);
    let told = told.iter().find(|finding| finding["excerpt"].as_str().unwrap().contains("gasketing")).unwrap();
    assert_eq!(told["openings"], serde_json::json!(["102"]));
    assert!(told["says"].as_str().unwrap().contains("kind weather: the list has smoke"), "{told}");
}

#[test]
fn a_larger_supply_serves_where_a_smaller_one_is_asked() {
    let list =
        format!("{LIST}TPS,\"Power supply 24V DC, 2 amp\",,210,EA\nTPL,\"Power supply 24V DC, 6 amp\",,410,EA\n");
    let sets = format!("{SETS}A,1,\"power supply, 24 VDC, 1 amp\",\n");
    let (record, _) = Job::new("supply", &list).quote(&sets);
    let supply = lines(&record).into_iter().find(|line| line["category"] == "power-supply").unwrap();
    assert_eq!(supply["good"]["designation"], "TPS");
}

#[test]
fn invented_prices_are_said_to_be_invented_and_ones_own_are_not() {
    let job = Job::new("invented", LIST);
    let letter = || {
        let pages = pintle::read::sheets(&job.0.join("doors.proposal.xlsx")).unwrap();
        let cells = pages.into_iter().flat_map(|page| page.rows).flat_map(|(_, row)| row.into_values());
        cells.collect::<Vec<_>>().join("\n")
    };
    let (_, said) = job.quote(SETS);
    assert!(!said.contains("invented") && !letter().contains("invented price book"), "{said}");
    fs::remove_dir_all(job.0.join("catalog")).unwrap();
    let (_, said) = job.quote(SETS);
    assert!(said.contains("prices are invented") && letter().contains("invented price book"), "{said}");
}

/// Two makers with one number.
const TWO: &str = "Manufacturer,Model,Description,Finish,List Price,UOM\nTess,X271,Wall stop concave,630,12,EA\n\
    Wend,X271,Wall stop convex,630,20,EA\nWend,X300,\"Surface closer, size 1-6\",689,200,EA\n";

/// Designation and maker of the good of each line of the first set, with its count.
fn goods(record: &Value) -> Vec<(String, String)> {
    let lines = record["sets"][0]["lines"].as_array().unwrap();
    lines
        .iter()
        .map(|line| (format!("{} {}", line["good"]["maker"], line["good"]["designation"]), line["count"].to_string()))
        .collect()
}

#[test]
fn a_number_of_two_makers_is_that_of_the_one_named_and_else_asked() {
    let job = Job::new("two", LIST);
    fs::write(job.0.join("two.csv"), TWO).unwrap();
    job.run(&["catalog", "import", "two.csv", "--into", "both", "--effective", "2026-01-01", "--yes"]);
    fs::remove_dir_all(job.0.join("catalog")).unwrap();
    fs::rename(job.0.join("both"), job.0.join("catalog")).unwrap();
    let (record, _) = job.quote("Set,Qty,Description,Finish\nA,2,Wend X271,630\nA,,1 X300,689\n");
    assert_eq!(
        goods(&record),
        [("\"Wend\" \"X271\"".to_owned(), "\"4\"".to_owned()), ("\"Wend\" \"X300\"".to_owned(), "\"2\"".to_owned()),]
    );
    // Without a maker both are meant, at different money.
    let (record, said) = job.quote("Set,Qty,Description,Finish\nA,1,X271,630\n");
    let asked = record["findings"].as_array().unwrap().iter().any(|finding| {
        finding["rule"] == "ambiguous-word"
            && finding["kind"] == "question"
            && finding["says"].as_str().unwrap().contains("product line")
    });
    assert!(asked, "{said}");
    // A cross reference that names one of them means it.
    fs::write(job.0.join("crossref.csv"), "maker,number,category,means,ours,note\nTolvane,TW9*,stop,,Wend X271,\n")
        .unwrap();
    let (record, _) = job.quote("Set,Qty,Description,Finish\nA,1,Tolvane TW9,630\n");
    assert_eq!(goods(&record)[0].0, "\"Wend\" \"X271\"");
}
