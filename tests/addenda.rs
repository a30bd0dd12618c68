//! Worked addenda: for each a bid, what was issued after it, and the changes that a person would list (`tests/addenda`).
//! Every listed change must be told, and nothing else about openings, sets and lines; every cent must be told once.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use rust_decimal::Decimal;
use serde_json::Value;

const DOORS: &str = include_str!("addenda/base-doors.csv");
const SETS: &str = include_str!("addenda/base-sets.csv");

fn pintle(arguments: &[&Path]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pintle")).args(arguments).output().unwrap()
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-addenda-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn put(folder: &Path, name: &str, text: &str) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

/// The sections of a case by name.
fn sections(text: &str) -> BTreeMap<String, Vec<&str>> {
    let mut sections: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    let mut name = "title".to_owned();
    for line in text.lines().filter(|line| !line.trim().is_empty()) {
        match line.strip_prefix('[').and_then(|line| line.strip_suffix(']')) {
            Some(section) => {
                section.clone_into(&mut name);
                sections.entry(name.clone()).or_default();
            }
            None => sections.entry(name.clone()).or_default().push(line),
        }
    }
    sections
}

/// The doors with rows replaced by number, taken out (`-104`) or added.
fn edited_doors(edits: &[&str]) -> String {
    let number = |line: &str| line.split(',').next().unwrap_or_default().to_owned();
    let mut rows: Vec<String> = DOORS.lines().map(str::to_owned).collect();
    for edit in edits {
        match edit.strip_prefix('-') {
            Some(gone) => rows.retain(|row| number(row) != gone),
            None => match rows.iter().position(|row| number(row) == number(edit)) {
                Some(at) => (*edit).clone_into(&mut rows[at]),
                None => rows.push((*edit).to_owned()),
            },
        }
    }
    rows.join("\n")
}

/// The sets with lines replaced (`= old`, then `> new`), taken out (`- old`) or added (`+ new`).
fn edited_sets(edits: &[&str]) -> String {
    let mut rows: Vec<String> = SETS.lines().map(str::to_owned).collect();
    let mut at = 0;
    for edit in edits {
        let (sign, line) = edit.split_once(' ').unwrap();
        let place =
            |rows: &[String]| rows.iter().position(|row| row == line).unwrap_or_else(|| panic!("no line {line}"));
        match sign {
            "=" => at = place(&rows),
            ">" => line.clone_into(&mut rows[at]),
            "-" => {
                let gone = place(&rows);
                rows.remove(gone);
            }
            "+" => {
                let set = line.split(',').next().unwrap_or_default().to_owned() + ",";
                let last = rows.iter().rposition(|row| row.starts_with(&set)).map_or(rows.len(), |last| last + 1);
                rows.insert(last, line.to_owned());
            }
            other => panic!("{other}"),
        }
    }
    rows.join("\n")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn word<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key].as_str().unwrap_or_default()
}

/// Changes of openings, sets and lines, each thing once with all that changed about it.
fn told(changes: &Value) -> Vec<String> {
    let mut things: Vec<(String, Vec<String>, String)> = Vec::new();
    for change in list(&changes["changes"]) {
        if ["price", "finding"].contains(&word(change, "what")) {
            continue;
        }
        // Surcharges follow the goods.
        if word(change, "id").contains("(surcharge)") {
            continue;
        }
        let head = format!("{} {} | {}", word(change, "kind"), word(change, "what"), word(change, "id"));
        let field = match change["field"].as_str() {
            Some(field) => format!("{field}: {} -> {}", word(change, "from"), word(change, "to")),
            None if change["from"].is_string() => format!("{} -> {}", word(change, "from"), word(change, "to")),
            None => String::new(),
        };
        match things.iter_mut().find(|thing| thing.0 == head) {
            Some(thing) => thing.1.push(field),
            None => things.push((head, vec![field], word(change, "why").to_owned())),
        }
    }
    things.into_iter().map(|(head, fields, why)| format!("{head} | {} | why {why}", fields.join("; "))).collect()
}

/// Whether the parts of a wanted change stand in what was told, in order.
fn matches(wanted: &str, told: &str) -> bool {
    let mut rest = told;
    wanted.split(" | ").all(|part| match rest.find(part) {
        Some(at) => {
            rest = &rest[at + part.len()..];
            true
        }
        None => false,
    })
}

fn tie(changes: &Value) {
    let decimal = |value: &Value| value.as_str().unwrap().parse::<Decimal>().unwrap();
    let deltas: Decimal = list(&changes["changes"]).iter().map(|change| decimal(&change["delta"])).sum();
    let totals = &changes["totals"];
    assert_eq!(deltas, decimal(&totals["delta"]));
    assert_eq!(decimal(&totals["before"]) + deltas, decimal(&totals["after"]));
}

fn run(name: &str, text: &str) -> Result<(), String> {
    let (sections, folder) = (sections(text), folder(name));
    let bid = [put(&folder, "bid-doors.csv", DOORS), put(&folder, "bid-sets.csv", SETS)];
    let quoted = pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    assert!(matches!(quoted.status.code(), Some(0 | 1)), "{name}: {}", String::from_utf8_lossy(&quoted.stderr));
    let section = |name: &str| sections.get(name).cloned();
    let mut files = Vec::new();
    if let Some(list) = section("list") {
        files.push(put(&folder, "changes.csv", &list.join("\n")));
    }
    let edits = section("doors").is_some() || section("sets").is_some();
    if edits {
        files.push(put(&folder, "new-doors.csv", &edited_doors(&section("doors").unwrap_or_default())));
        files.push(put(&folder, "new-sets.csv", &edited_sets(&section("sets").unwrap_or_default())));
    }
    let mut flags = if edits { vec!["--whole"] } else { Vec::new() };
    for kind in ["part", "whole"] {
        for what in ["doors", "sets"] {
            if let Some(rows) = section(&format!("{kind} {what}")) {
                files.push(put(&folder, &format!("new-{what}.csv"), &rows.join("\n")));
                flags = vec![if kind == "part" { "--partial" } else { "--whole" }];
            }
        }
    }
    let record = folder.join("bid-doors.record.json");
    let kept = fs::read(&record).unwrap();
    let mut arguments = vec![Path::new("reprice"), &record];
    arguments.extend(files.iter().map(PathBuf::as_path));
    arguments.extend(flags.iter().map(Path::new));
    arguments.push(Path::new("--json"));
    let output = pintle(&arguments);
    let wanted = section("changes").unwrap_or_default();
    let status = i32::from(!wanted.is_empty());
    let said = String::from_utf8_lossy(&output.stderr);
    let changes: Value = serde_json::from_slice(&output.stdout).map_err(|error| format!("{name}: {error}: {said}"))?;
    tie(&changes);
    assert_eq!(fs::read(&record).unwrap(), kept, "the old record is as it was");
    fs::remove_dir_all(&folder).unwrap();
    let told = told(&changes);
    let mut open = told.clone();
    let mut wrong = Vec::new();
    for one in &wanted {
        match open.iter().position(|told| matches(one, told)) {
            Some(at) => drop(open.remove(at)),
            None => wrong.push(format!("not told: {one}")),
        }
    }
    wrong.extend(open.iter().map(|told| format!("not wanted: {told}")));
    if output.status.code() != Some(status) {
        wrong.push(format!("exit status {:?}, not {status}", output.status.code()));
    }
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(format!("{name}\n  {}\n  all told:\n  {}", wrong.join("\n  "), told.join("\n  ")))
    }
}

#[test]
fn what_a_person_would_list_is_told_and_nothing_else() {
    let cases = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/addenda");
    let mut names: Vec<PathBuf> = fs::read_dir(cases)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    names.sort();
    assert!(names.len() >= 12);
    let wrong: Vec<String> = names
        .iter()
        .filter_map(|path| {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            run(&name, &fs::read_to_string(path).unwrap()).err()
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// What a chain of changes tells, one line each: the golden form of it.
fn pinned(name: &str, changes: &Value) -> String {
    let totals = &changes["totals"];
    let mut text =
        format!("== {name}: {} {} {}\n", word(totals, "before"), word(totals, "delta"), word(totals, "after"));
    for change in list(&changes["changes"]) {
        let field = |key: &str| match &change[key] {
            Value::Null => String::new(),
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        let fields =
            ["kind", "what", "id", "field", "from", "to", "quantity_from", "quantity_to", "delta", "cause", "why"];
        let fields: Vec<String> = fields.iter().map(|key| field(key)).filter(|text| !text.is_empty()).collect();
        text.push_str(&fields.join(" | ").replace('\n', " "));
        text.push('\n');
    }
    text
}

/// The sample's bid and its three addenda, the last one a list in words: each step, and the way from the bid to the end.
/// `UPDATE=1 cargo test --test addenda` writes what is pinned anew; read the difference before you keep it.
#[test]
fn the_samples_chain_of_three() {
    let folder = folder("chain");
    let sample = |name: &str| Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library").join(name);
    let run = |arguments: &[&Path]| {
        let flags = ["--force", "--json", "--out"].map(Path::new);
        let output = pintle(&[arguments, &flags, &[&folder]].concat());
        assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<Value>(&output.stdout).unwrap()
    };
    let record = |name: &str| folder.join(format!("{name}.record.json"));
    let bid = run(&[Path::new("quote"), &sample("bid-set.xlsx")]);
    let (mut text, mut sum) = (String::new(), Decimal::ZERO);
    let decimal = |value: &Value| value.as_str().unwrap().parse::<Decimal>().unwrap();
    let mut total = bid["totals"]["total"].clone();
    for (before, after) in [("bid-set", "addendum-1"), ("addendum-1", "addendum-2"), ("addendum-2", "addendum-3")] {
        let changes = run(&[Path::new("reprice"), &record(before), &sample(&format!("{after}.xlsx"))]);
        tie(&changes);
        assert_eq!(changes["totals"]["before"], total, "{after} goes on from where {before} ended");
        total = changes["totals"]["after"].clone();
        sum += decimal(&changes["totals"]["delta"]);
        text.push_str(&pinned(after, &changes));
    }
    let whole = run(&[Path::new("reprice"), &record("bid-set"), &record("addendum-3")]);
    tie(&whole);
    assert_eq!(decimal(&whole["totals"]["delta"]), sum, "the steps and the whole way come to the same");
    let last: Value = serde_json::from_slice(&fs::read(record("addendum-3")).unwrap()).unwrap();
    assert_eq!(last["job"]["addenda"], serde_json::json!(["Addendum 1", "Addendum 2", "Addendum 3"]));
    assert_eq!(list(&last["history"]).len(), 3);
    let golden = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/addenda/chain.golden");
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&golden, &text).unwrap();
    }
    let kept = fs::read_to_string(&golden).unwrap_or_default();
    assert!(kept == text, "the chain tells something else than tests/addenda/chain.golden:\n{text}");
    fs::remove_dir_all(&folder).unwrap();
}

/// What was asked about rows that an addendum leaves alone stays asked; what it answers is closed, with its words.
#[test]
fn questions_about_what_stays_stay() {
    let folder = folder("stays");
    let doors = "Door,Size,Door Matl,Frame,Hdwr Set,Remarks\n101,3-0 x 7-0,WD,HM,1,card reader\n\
                 102,30-0 x 7-0,WD,HM,2,hold open\n103,40-0 x 7-0,WD,HM,2,\n";
    let sets = "Set,Qty,Unit,Item,Finish\n1,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n2,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n";
    let bid = [put(&folder, "bid-doors.csv", doors), put(&folder, "bid-sets.csv", sets)];
    pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    let rows = "Action,Door,Hdwr Set,Qty,Description,Finish\nADD,,1,1,Card reader,\nDELETE,103,,,,\n";
    let change = put(&folder, "changes.csv", rows);
    let output = pintle(&[Path::new("reprice"), &folder.join("bid-doors.record.json"), &change, Path::new("--json")]);
    let changes: Value = serde_json::from_slice(&output.stdout).expect("changes are told");
    let record: Value = serde_json::from_slice(&fs::read(folder.join("changes.record.json")).unwrap()).unwrap();
    let asked: Vec<(&str, Vec<&str>)> = list_of_questions(&record);
    let about = |code: &str| asked.iter().find(|(id, _)| id.starts_with(code)).map(|(_, doors)| doors.clone());
    assert_eq!(about("hardware-in-remarks"), Some(vec!["102"]), "door 101 has its reader now: {asked:?}");
    let sizes: Vec<&str> = list(&record["findings"])
        .iter()
        .map(|one| word(one, "excerpt"))
        .filter(|excerpt| excerpt.contains("x 7-0"))
        .collect();
    assert_eq!(sizes, ["30-0 x 7-0"], "the row of door 103 is gone, that of 102 is not");
    let closed = list(&changes["changes"]).iter().find(|change| word(change, "id") == "hardware-in-remarks:1");
    assert!(word(closed.expect("it is told"), "why").contains("card reader"));
    fs::remove_dir_all(&folder).unwrap();
}

fn list_of_questions(record: &Value) -> Vec<(&str, Vec<&str>)> {
    let questions = list(&record["findings"]).iter().filter(|one| word(one, "kind") == "question");
    questions.map(|one| (word(one, "id"), list(&one["openings"]).iter().filter_map(Value::as_str).collect())).collect()
}

/// After the award a change is a request with its own rate; what is ordered goes back at net less restocking.
#[test]
fn a_change_after_the_award_is_a_request() {
    let folder = folder("award");
    let bid = [put(&folder, "bid-doors.csv", DOORS), put(&folder, "bid-sets.csv", SETS)];
    let terms = "[job]\nname = \"Low Barn\"\n[price]\nmethod = \"markup\"\nrate = \"25%\"\nbond = \"1.5%\"\n[freight]\nrate = \"2%\"\n[tax]\nrate = \"5%\"\n";
    put(&folder, "job.toml", terms);
    pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    let award = "[change]\nawarded = true\nrate = \"40%\"\nrestocking = \"15%\"\nordered = [\"hinge\"]\n";
    put(&folder, "job.toml", &format!("{terms}{award}"));
    let change = put(
        &folder,
        "changes.csv",
        "Action,Door,Hdwr Set,Qty,Unit,Description,Finish\nDELETE,104,,,,,\nADD,,1,1,EA,Kick plate 10 x 2 LDW,630\n",
    );
    let output = pintle(&[Path::new("reprice"), &folder.join("bid-doors.record.json"), &change, Path::new("--json")]);
    let changes: Value = serde_json::from_slice(&output.stdout).expect("changes are told");
    let decimal = |value: &Value| value.as_str().unwrap().parse::<Decimal>().unwrap();
    let cents = |value: Decimal| value.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero);
    let request = &changes["request"];
    assert!(folder.join("changes.request.xlsx").exists(), "the customer gets a letter");
    assert!(!folder.join("changes.proposal.xlsx").exists(), "a proposal would offer another sum than the contract's");
    let rows = list(&request["rows"]);
    let added = rows.iter().flat_map(|row| list(&row["reasons"])).filter_map(Value::as_str);
    assert!(!added.into_iter().any(|reason| reason.starts_with("added ") && reason.ends_with(')')), "{request}");
    let mut goods = (Decimal::ZERO, Decimal::ZERO);
    for row in rows {
        let (count, price, sum) = (decimal(&row["count"]), decimal(&row["price"]), decimal(&row["sum"]));
        assert_eq!(cents(count * price), sum, "{row}");
        if count > Decimal::ZERO {
            goods.0 += sum
        } else {
            goods.1 += sum
        }
        let words = word(row, "words");
        let net =
            || words.split("net ").nth(1).and_then(|rest| rest.split(' ').next()).unwrap().parse::<Decimal>().unwrap();
        let of = |rate: &str| rate.parse::<Decimal>().unwrap();
        match word(row, "category") {
            "hinge" if count < Decimal::ZERO => assert_eq!(price, cents(net() * of("0.85")), "{row}"),
            _ if count > Decimal::ZERO => assert_eq!(price, cents(net() * of("1.40")), "{row}"),
            _ => assert!(words.contains("not ordered: at the contract price"), "{row}"),
        }
    }
    assert!(rows.iter().any(|row| word(row, "category") == "hinge"), "door 104 had hinges: {request}");
    assert_eq!((decimal(&request["add"]), decimal(&request["deduct"])), goods);
    let charge = |name: &str| {
        let found = list(&request["charges"]).iter().find(|charge| charge[0].as_str().unwrap().starts_with(name));
        found.map_or(Decimal::ZERO, |charge| decimal(&charge[1]))
    };
    let surcharged: Decimal = list(&changes["changes"])
        .iter()
        .filter(|change| word(change, "id").ends_with("(surcharge)"))
        .map(|change| decimal(&change["delta"]))
        .sum();
    assert!(!surcharged.is_zero(), "the demo catalog surcharges some of these goods");
    assert_eq!(charge("Surcharges"), surcharged);
    assert_eq!(charge("Freight"), cents(goods.0 * "0.02".parse::<Decimal>().unwrap()));
    let changed = goods.0 + goods.1 + surcharged;
    assert_eq!(charge("Tax"), cents(changed * "0.05".parse::<Decimal>().unwrap()));
    assert_eq!(charge("Bond"), cents(changed * "0.015".parse::<Decimal>().unwrap()));
    let net = changed + charge("Freight") + charge("Bond") + charge("Tax");
    assert_eq!(decimal(&request["net"]), net);
    assert_eq!(decimal(&request["contract_before"]) + net, decimal(&request["contract_after"]));
    assert!(request.get("open").is_none(), "every line has its price: {request}");
    // What nothing fits stands in no sum, and the letter says so.
    let bare = put(
        &folder,
        "bare.csv",
        "Action,Door,Hdwr Set,Qty,Unit,Description,Finish\nADD,,1,1,EA,Kick plate 10 x 2 LDW flat black,\n",
    );
    let output = pintle(&[Path::new("reprice"), &folder.join("bid-doors.record.json"), &bare, Path::new("--json")]);
    let told: Value = serde_json::from_slice(&output.stdout).expect("changes are told");
    let open = list(&told["request"]["open"]);
    assert!(open.iter().any(|line| line.as_str().unwrap().contains("Kick plate")), "{}", told["request"]);
    // Of what fewer are wanted the price is known.
    let fewer = "Action,Door,Hdwr Set,Qty,Unit,Description,Finish\nREVISE,,1,2,EA,Silencer,GREY\n";
    let fewer = put(&folder, "fewer.csv", fewer);
    let output = pintle(&[Path::new("reprice"), &folder.join("bid-doors.record.json"), &fewer, Path::new("--json")]);
    let told: Value = serde_json::from_slice(&output.stdout).expect("changes are told");
    assert!(!list(&told["request"]["rows"]).is_empty() && told["request"].get("open").is_none(), "{}", told["request"]);
    // Where the goods make freight free, the change has none either; what is exempt is not taxed, however it is written.
    let free = terms.replace("[tax]", "free_above = \"100\"\n[tax]\nexempt = [\"Kick-Plate\", \"HINGE\"]");
    put(&folder, "job.toml", &format!("{free}{award}"));
    let force = Path::new("--force");
    let output =
        pintle(&[Path::new("reprice"), &folder.join("bid-doors.record.json"), &change, Path::new("--json"), force]);
    let changes: Value = serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stderr)));
    let request = &changes["request"];
    assert!(!list(&request["charges"]).iter().any(|charge| charge[0].as_str().unwrap().starts_with("Freight")));
    let exempt = ["kick-plate", "hinge"];
    let due = list(&request["rows"]).iter().filter(|row| !exempt.contains(&word(row, "category")));
    let due: Decimal = due.map(|row| decimal(&row["sum"])).sum();
    let tax = list(&request["charges"]).iter().find(|charge| charge[0].as_str().unwrap().starts_with("Tax"));
    let untaxed = list(&changes["changes"]).iter().filter(|change| word(change, "id").contains("not taxed"));
    let untaxed: Decimal = untaxed.map(|change| decimal(&change["delta"])).sum();
    let surcharged: Decimal = list(&changes["changes"])
        .iter()
        .filter(|change| word(change, "id").ends_with("(surcharge)"))
        .map(|change| decimal(&change["delta"]))
        .sum();
    assert!(!untaxed.is_zero(), "surcharges on exempt goods stand apart");
    assert_eq!(
        tax.map_or(Decimal::ZERO, |tax| decimal(&tax[1])),
        cents((due + surcharged - untaxed) * "0.05".parse::<Decimal>().unwrap())
    );
    fs::remove_dir_all(&folder).unwrap();
}

/// An answer goes with its line while that means the same; when the line means something else it is asked again, and the
/// old answer is shown.
#[test]
fn answers_stand_or_are_asked_again() {
    let folder = folder("again");
    let doors = put(&folder, "bid-doors.csv", DOORS);
    let sets = |name: &str, line: &str| put(&folder, name, &SETS.replace("1,1,EA,Wall stop concave,630", line));
    let bid = [Path::new("quote"), &doors, &sets("bid-sets.csv", "1,1,EA,WS,630")];
    pintle(&bid);
    let record = folder.join("bid-doors.record.json");
    let mut told: Value = serde_json::from_slice(&fs::read(&record).unwrap()).unwrap();
    let asked = |record: &Value| {
        let found =
            list(&record["findings"]).iter().find(|one| one["rule"] == "ambiguous-word" && one["kind"] == "question");
        found.map(|one| (word(one, "id").to_owned(), word(one, "says").to_owned()))
    };
    let (id, _) = asked(&told).expect("WS means stop or seal");
    told["answers"] = serde_json::json!({ &id: "stop" });
    let answers = put(&folder, "answers.json", &told.to_string());
    let output = pintle(&[&bid[..], &[Path::new("--answers"), &answers, Path::new("--force")]].concat());
    assert!(matches!(output.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&output.stderr));
    let answered: Value = serde_json::from_slice(&fs::read(&record).unwrap()).unwrap();
    assert_eq!(asked(&answered), None, "the answer settles it");
    let reissued = |name: &str, line: &str, more: &str| {
        let text = SETS.replace("1,1,EA,Wall stop concave,630", line);
        let sets = put(&folder, name, &text.replace("1,3,EA,Silencer,GREY", more));
        let out = folder.join(name.trim_end_matches(".csv"));
        pintle(&[Path::new("reprice"), &record, &doors, &sets, Path::new("--whole"), Path::new("--out"), &out]);
        let new = fs::read(out.join("bid-doors.record.json")).expect("it was priced again");
        asked(&serde_json::from_slice(&new).unwrap())
    };
    assert_eq!(reissued("quantity.csv", "1,2,EA,ws,US32D", "1,4,EA,Silencer,GREY"), None, "it still means the same");
    let (_, says) = reissued("meaning.csv", "1,1,EA,WS,AL", "1,3,EA,Silencer,GREY").expect("asked again");
    assert!(says.contains("Asked again: \"stop\" was answered before"), "{says}");
    fs::remove_dir_all(&folder).unwrap();
}

/// Old prices hold, hold for what stays, or give way to the edition now in force.
#[test]
fn prices_are_held_or_current() {
    let folder = folder("held");
    let bid = [put(&folder, "bid-doors.csv", DOORS), put(&folder, "bid-sets.csv", SETS)];
    let job = |date: &str| put(&folder, "job.toml", &format!("[job]\nname = \"Low Barn\"\nbid_date = \"{date}\"\n"));
    job("2026-11-02");
    pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    let record = folder.join("bid-doors.record.json");
    job("2027-03-01");
    let more = put(&folder, "more.csv", &format!("{SETS}\n1,1,EA,Mortise lock passage F01 lever grade 1,626\n"));
    let edition = |record: &Value| word(&record["catalog"], "effective").to_owned();
    let kept: Value = serde_json::from_slice(&fs::read(&record).unwrap()).unwrap();
    let run = |sets: &Path, prices: &str| {
        let out = folder.join(prices);
        let flags = ["--whole", "--json", "--force", "--prices", prices, "--out"].map(Path::new);
        let output = pintle(&[&[Path::new("reprice"), &record, &bid[0], sets], &flags[..], &[&out]].concat());
        let changes: Value = serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|error| panic!("{error}: {}", String::from_utf8_lossy(&output.stderr)));
        tie(&changes);
        let new: Value = serde_json::from_slice(&fs::read(out.join("bid-doors.record.json")).unwrap()).unwrap();
        (output.status.code(), changes, new)
    };
    let of = |changes: &Value, what: &str| list(&changes["changes"]).iter().filter(|one| one["what"] == what).count();
    let (status, changes, new) = run(&bid[1], "held");
    assert_eq!((status, list(&changes["changes"]).len(), edition(&new)), (Some(0), 0, edition(&kept)), "{changes}");
    let (status, changes, new) = run(&bid[1], "current");
    assert_eq!(status, Some(1));
    assert_eq!(of(&changes, "price"), list(&changes["changes"]).len(), "prices and nothing else: {changes}");
    assert_ne!(edition(&new), edition(&kept));
    let (_, changes, _) = run(&more, "added-current");
    assert_eq!(of(&changes, "line"), 1, "the goods that stay keep their prices: {changes}");
    let price = |record: &Value| {
        let lines = list(&record["sets"]).iter().flat_map(|set| list(&set["lines"]));
        let lock = lines.clone().find(|line| word(line, "text").contains("passage F01")).expect("the added line");
        lock["unit_price"].clone()
    };
    let (_, _, current) = run(&more, "current");
    let (_, _, added) = run(&more, "added-current");
    let (_, _, held) = run(&more, "held");
    assert!(price(&added).is_string());
    assert_eq!(price(&added), price(&current), "what is added is of the edition in force");
    assert_ne!(price(&added), price(&held), "the editions differ, or this test tests nothing");
    fs::remove_dir_all(&folder).unwrap();
}

/// The same job as a workbook with another look, in other columns and another order, is no change.
#[test]
fn a_workbook_of_another_look_is_no_change() {
    use rust_xlsxwriter::{Color, Format, Workbook};
    let folder = folder("look");
    let bid = [put(&folder, "bid-doors.csv", DOORS), put(&folder, "bid-sets.csv", SETS)];
    pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    let mut book = Workbook::new();
    let loud = Format::new().set_bold().set_italic().set_font_size(15).set_background_color(Color::Yellow);
    for (name, text, first) in [("Hardware", SETS, 2), ("Doors", DOORS, 5)] {
        let sheet = book.add_worksheet().set_name(name).unwrap();
        sheet.write_string_with_format(1, 1, "Re-issued for Low Barn", &loud).unwrap();
        let mut rows = text.lines();
        let heading: Vec<&str> = rows.next().unwrap().split(',').collect();
        let mut rows: Vec<Vec<&str>> = rows.map(|row| row.split(',').collect()).collect();
        // Doors last one first; the columns the other way round. Lines of a set stay in their set.
        rows.reverse();
        for (index, row) in std::iter::once(heading).chain(rows).enumerate() {
            for (column, text) in row.iter().rev().enumerate() {
                let at = (first + index as u32, column as u16 + 1);
                match text.parse::<u32>() {
                    Ok(number) => sheet.write_number_with_format(at.0, at.1, number, &loud).unwrap(),
                    Err(_) => sheet.write_string_with_format(at.0, at.1, text.to_uppercase(), &loud).unwrap(),
                };
            }
        }
    }
    let path = folder.join("again.xlsx");
    book.save(&path).unwrap();
    let record = folder.join("bid-doors.record.json");
    let output = pintle(&[Path::new("reprice"), &record, &path, Path::new("--whole"), Path::new("--json")]);
    let changes: Value = serde_json::from_slice(&output.stdout).expect("changes are told");
    assert_eq!((output.status.code(), told(&changes)), (Some(0), Vec::new()), "{changes}");
    fs::remove_dir_all(&folder).unwrap();
}

/// Wrong records and schedules end with an error that says what to do, and leave the record as it is.
#[test]
fn bad_input_is_refused() {
    let folder = folder("bad");
    let bid = [put(&folder, "bid-doors.csv", DOORS), put(&folder, "bid-sets.csv", SETS)];
    put(&folder, "job.toml", "[job]\nname = \"Low Barn\"\nnumber = \"17\"\nbid_date = \"2026-11-02\"\n");
    pintle(&[Path::new("quote"), &bid[0], &bid[1]]);
    let record = folder.join("bid-doors.record.json");
    let text = fs::read_to_string(&record).unwrap();
    let refused = |record: &Path, more: &[&str]| {
        let mut arguments = vec![Path::new("reprice"), record, &bid[0], &bid[1]];
        arguments.extend(more.iter().map(Path::new));
        let output = pintle(&arguments);
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(said.contains("help:"), "{said}");
        said
    };
    let changed = |name: &str, from: &str, to: &str| put(&folder, name, &text.replacen(from, to, 1));
    assert!(refused(&put(&folder, "cut.json", &text[..text.len() / 2]), &[]).contains("cut short"));
    assert!(refused(&changed("newer.json", "pintle.record/1", "pintle.record/7"), &[]).contains("version 7"));
    assert!(refused(&changed("other.json", "\"number\": \"17\"", "\"number\": \"18\""), &[]).contains("job 18"));
    let no_edition =
        text.replace(word(&serde_json::from_str::<Value>(&text).unwrap()["catalog"], "effective"), "2019-01-01");
    let said = refused(&put(&folder, "edition.json", &no_edition), &["--prices", "held"]);
    assert!(said.contains("edition") && said.contains("2019-01-01"), "{said}");
    assert!(refused(&folder.join("none.json"), &[]).contains("cannot read record"));
    let strange = put(&folder, "strange.csv", "Door,Size,HW Set\nX1,3-0 x 7-0,Z\n");
    let sets = put(&folder, "strange-sets.csv", "Set,Qty,Unit,Item,Finish\nZ,1,EA,Door viewer,605\n");
    let output = pintle(&[Path::new("reprice"), &record, &strange, &sets, Path::new("--whole")]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no door and no set"));
    assert_eq!(fs::read_to_string(&record).unwrap(), text, "the record is as it was");
    fs::remove_dir_all(&folder).unwrap();
}
