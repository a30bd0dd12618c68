//! Catalog numbers on a line: designations of the catalog, cross references of a catalog and of a job, near misses, ties.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use pintle::catalog::Catalog;
use pintle::catalog::good::Request;
use pintle::trade::attribute::{Attr, Value};
use pintle::trade::category::Category;

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-numbers-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn pintle(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .args(arguments)
        .output()
        .expect("the program was built beside this test")
}

fn explained(folder: &Path, wording: &str) -> String {
    let run = pintle(folder, &["explain", wording]);
    String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr)
}

/// The row of an attribute among what was heard.
fn heard<'a>(text: &'a str, name: &str) -> &'a str {
    text.lines().find(|line| line.trim_start().starts_with(&format!("{name} "))).unwrap_or("")
}

#[test]
fn a_number_of_the_catalog_says_what_its_pattern_says() {
    let folder = folder("own");
    let text = explained(&folder, "3 EA HW4545V-W6 652");
    for (name, value) in [("category", "hinge"), ("weight", "heavy"), ("conductors", "6"), ("height", "4-1/2")] {
        let row = heard(&text, name);
        assert!(row.contains(value) && row.contains("hinges.toml:"), "{name}: {row}\n{text}");
    }
    assert!(text.contains("product line brumthorn-hw: as numbered"), "{text}");
    let other = explained(&folder, "3 EA hinge standard weight HW4545V-W6 652");
    assert!(heard(&other, "weight?").contains("standard"), "words and number differ, so it is asked: {other}");
}

#[test]
fn a_near_miss_says_position_what_is_made_and_the_nearest() {
    let folder = folder("near");
    let text = explained(&folder, "3 EA hinge HW4745V 652");
    assert!(text.contains("question[near-designation]") && text.contains("position 3 `4745V`"), "{text}");
    assert!(text.contains("nearest `45`"), "{text}");
}

#[test]
fn a_number_without_a_noun_is_read_and_its_near_misses_told() {
    let folder = folder("alone");
    // A number before a finish that its line does not make is still that number, and the clash is asked.
    let text = explained(&folder, "HW4545M 630");
    assert!(
        heard(&text, "category").contains("brumthorn-hw") && heard(&text, "base metal?").contains("stainless"),
        "{text}"
    );
    let text = explained(&folder, "HW4745M 652");
    assert!(text.contains("question[near-designation]") && text.contains("nearest `45`"), "{text}");
}

#[test]
fn codes_behind_a_number_of_another_maker_are_read_where_they_are_words() {
    let folder = folder("tail");
    let text = explained(&folder, "3 TBH45-NRP-26D");
    assert!(
        heard(&text, "pin").contains("non-removable") && heard(&text, "finish look").contains("satin-chromium"),
        "{text}"
    );
    assert!(!text.contains("not understood"), "{text}");
    // What no hyphen parts from the number, and codes that are no words, stay not understood.
    let text = explained(&folder, "3 TBH45X-QQ-NRP");
    let unread: Vec<&str> = text.lines().filter(|line| line.trim_start().starts_with("not understood")).collect();
    assert!(unread.len() == 2 && unread[0].contains("\"X\"") && unread[1].contains("\"QQ\""), "{text}");
    // A word of other goods says nothing of a hinge.
    let text = explained(&folder, "3 TBH45-PASSAGE");
    assert!(text.contains("not understood"), "{text}");
}

#[test]
fn a_cross_reference_of_the_catalog_reads_another_makers_number() {
    let folder = folder("cross");
    let text = explained(&folder, "3 EA Tolvane TBH45-NRP 652");
    for (name, value) in [("category", "hinge"), ("weight", "heavy"), ("height", "4-1/2"), ("maker", "Tolvane")] {
        let row = heard(&text, name);
        assert!(row.contains(value) && row.contains("crossref.csv:"), "{name}: {row}\n{text}");
    }
    assert!(!text.contains("not understood"), "{text}");
    let text = explained(&folder, "3 EA Tolvane TBH45-QXQ 652");
    assert!(text.contains("not understood") && text.contains("\"QXQ\""), "what * takes is not read: {text}");
    let equal = explained(&folder, "1 EA Tolvane TM07 626");
    assert!(heard(&equal, "function").contains("F07"), "the row that spells out more prevails: {equal}");
    assert!(equal.contains("oskelda-mortise is offered as an equal"), "{equal}");
    assert!(equal.contains("Oskelda        OM07"), "our good is first: {equal}");
    assert!(equal.contains("substitution to be approved"), "{equal}");
}

#[test]
fn a_jobs_own_cross_reference_stands_above_the_catalogs_and_says_its_mistakes() {
    let folder = folder("job");
    let job = folder.join("crossref.csv");
    fs::write(&job, "maker,number,category,means,ours,note\nTolvane,TM07*,mortise-lock,function=F05,,\n").unwrap();
    let text = explained(&folder, "1 EA Tolvane TM07 626");
    assert!(heard(&text, "function").contains("F05"), "{text}");
    fs::write(
        &job,
        "maker,number,category,means,ours,note\nTolvane,TX1*,hinges,wieght=heavy,QQ99,\n,T*,hinge,,,\nTolvane,TX2,,,,\n",
    )
    .unwrap();
    let run = pintle(&folder, &["explain", "1 EA Tolvane TM07 626"]);
    assert_eq!(run.status.code(), Some(2));
    let told = String::from_utf8_lossy(&run.stderr).into_owned();
    for part in [
        "crossref.csv, line 2, column 14: \"hinges\" is not a category",
        "line 2, column 21: \"wieght\" is not an attribute",
        "a similar name exists: `weight`",
        "line 2, column 34: `QQ99` is neither a number nor a product line",
        "line 3, column 2: \"T*\" spells out fewer than two",
        "line 4, column 1: the row of TX2 says nothing",
    ] {
        assert!(told.contains(part), "{part}\n{told}");
    }
}

#[test]
fn the_template_of_init_is_an_empty_table_and_its_examples_are_sound() {
    let folder = folder("init");
    assert_eq!(pintle(&folder, &["init", "."]).status.code(), Some(0));
    let path = folder.join("crossref.csv");
    let catalog = Catalog::embedded("2026-11-25").unwrap();
    catalog.clone().with_cross_references(&path).unwrap();
    let template = fs::read_to_string(&path).unwrap();
    let rows: Vec<&str> = template.lines().filter_map(|line| line.strip_prefix("# Tolvane")).collect();
    assert_eq!(rows.len(), 2);
    let all: String = rows.iter().map(|row| format!("Tolvane{row}\n")).collect();
    fs::write(&path, format!("maker,number,category,means,ours,note\n{all}")).unwrap();
    catalog.with_cross_references(&path).unwrap();
}

#[test]
fn teach_refuses_what_nobody_knows_and_tells_what_a_word_meant_before() {
    let folder = folder("teach");
    let told = |means: &str| {
        let run = pintle(&folder, &["teach", "big butt", "--means", means]);
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    for (means, part) in [
        ("wieght=heavy", "\"wieght\" is not an attribute; nearest is weight"),
        ("weight=hevy", "weight is never \"hevy\"; it is one of"),
        ("category=hinges", "hinges"),
        ("function_name=storerom", "nearest is storeroom"),
        ("heavy thing", "is not name=value"),
    ] {
        let (code, says) = told(means);
        assert!(code == Some(2) && says.contains(part), "{means}: {says}");
    }
    assert!(!folder.join("words.txt").exists(), "a refused entry leaves nothing behind");
    for means in [
        "category=hinge; weight=heavy",
        "look=satin-chromium",
        "function_name=storeroom",
        "remark=by-others",
        "heavy",
        "[closer] arm=parallel",
        "unit=each",
    ] {
        let (code, says) = told(means);
        assert!(code == Some(0) && says.contains("now means"), "{means}: {says}");
        fs::remove_file(folder.join("words.txt")).unwrap();
    }
    let run = pintle(&folder, &["teach", "nrp", "--means", "pin=removable"]);
    let says = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(says.contains("before, it was read by words: ") && says.contains("hinge.txt:"), "{says}");
    assert!(explained(&folder, "hinge 4-1/2 x 4-1/2 nrp 652").contains("words.txt:"), "the user's own word prevails");
}

/// Two lines alike but for their maker and letters.
const TWINS: &str = r#"
[[line]]
id = "one"
maker = "Aldemor"
category = "silencer"
designation = "AS"
describe = "Silencer"
price = { each = 1.00, net = true }
[[line]]
id = "other"
maker = "Bexley Orn"
category = "silencer"
designation = "BS"
describe = "Silencer"
price = { each = 1.00, net = true }
"#;

#[test]
fn goods_that_only_their_names_tell_apart_are_said_to_be_tied() {
    let head = "name = \"t\"\ncurrency = \"USD\"\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"a\"\n";
    let catalog = Catalog::from_texts(&[("catalog.toml", head), ("a/lines.toml", TWINS)], "2026-06-01")
        .unwrap_or_else(|report| panic!("{report}"));
    let request = |maker: Option<&str>| Request {
        category: Category::Silencer,
        attributes: maker.map(|maker| (Attr::new("maker"), Value::text(maker))).into_iter().collect(),
        makers: Vec::new(),
    };
    let tied = catalog.select(&request(None));
    assert_eq!((tied.candidates.len(), tied.tied), (2, 1));
    let named = catalog.select(&request(Some("Bexley Orn")));
    assert_eq!((named.tied, &*named.candidates[0].good.line), (0, "other"), "a maker named breaks the tie");
}

#[test]
fn numbers_in_a_line_that_names_several_goods_stand_each_for_the_good_beside_it() {
    let folder = folder("split");
    let text = explained(&folder, "5 ea hinges HW4545V 652 and 1 ea closer NH4R-689");
    let (hinges, closer) = text.split_at(text.rfind("category ").expect("two goods are heard"));
    assert!(heard(hinges, "weight").contains("hinges.toml:"), "{text}");
    assert!(heard(hinges, "size").is_empty() && heard(hinges, "arm").is_empty(), "{text}");
    assert!(heard(closer, "size").contains('4') && heard(closer, "arm").contains("control.toml:"), "{text}");
    assert!(heard(closer, "height").is_empty(), "{text}");
    let near = explained(&folder, "1 ea closer NH4R-689, 3 ea hinges HW4745V 652");
    assert!(near.contains("question[near-designation]") && near.contains("position 3 `4745V`"), "{near}");
}

#[test]
fn heavy_duty_is_not_met_by_a_standard_closer_and_standard_is_met_by_a_heavy_one() {
    let folder = folder("duty");
    let goods =
        |text: &str| text.split("goods that fit").nth(1).unwrap_or("").split("price").next().unwrap_or("").to_owned();
    let heavy = explained(&folder, "closer HD PA 689");
    assert!(!goods(&heavy).contains("Norvath") && goods(&heavy).contains("duty heavy"), "{heavy}");
    let standard = explained(&folder, "standard duty closer PA 689");
    assert!(goods(&standard).trim_start().starts_with("Norvath"), "{standard}");
    assert!(goods(&standard).contains("duty standard: heavy serves"), "{standard}");
}

/// `MFR / CAT` is one column with maker and number; either may be missing.
#[test]
fn cross_references_hold_in_the_column_of_makers() {
    let folder = folder("maker");
    fs::write(
        folder.join("crossref.csv"),
        "maker,number,category,means,ours,note\nTolvane,TC-{arm:P=parallel/R=regular}7,closer,,,\n",
    )
    .unwrap();
    let doors = "Door No,Width,Height,HW Set\n101,3-0,7-0,A\n102,3-0,7-0,B\n103,3-0,7-0,C\n";
    fs::write(folder.join("doors.csv"), doors).unwrap();
    let sets = "Set,Qty,Description,MFR / CAT,Finish\nA,1,closer,Tolvane TC-P7,689\nB,1,closer,TC-R7,689\nC,1,closer,Ostmark TC-P7,689\n";
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let row = |row: &str| {
        let run = pintle(&folder, &["explain", "sets.csv", "--row", row]);
        String::from_utf8_lossy(&run.stdout).into_owned()
    };
    let (first, second, third) = (row("2"), row("3"), row("4"));
    assert!(heard(&first, "arm").contains("parallel") && heard(&first, "maker").contains("Tolvane  "), "{first}");
    assert!(heard(&second, "arm").contains("regular") && heard(&second, "maker").contains("Tolvane"), "{second}");
    assert!(!heard(&third, "arm").contains("crossref.csv"), "another maker's number: {third}");
}

/// A good of an imported list is an equal too, by its number, with its maker before it or without, or by its family.
#[test]
fn equals_may_be_goods_of_a_list() {
    let folder = folder("listed");
    let list = "Part No,Description,List Price\nQL07-626,Mortise lock F07 storeroom lever rose 626,352.00\nQL05-626,Mortise lock F05 classroom lever rose 626,352.00\n";
    fs::write(folder.join("list.csv"), list).unwrap();
    let import = [
        "catalog",
        "import",
        "list.csv",
        "--maker",
        "Quell Works",
        "--into",
        "catalog",
        "--effective",
        "2026-01-01",
        "--yes",
    ];
    let run = pintle(&folder, &import);
    assert!(run.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&run.stderr));
    for ours in ["QL07-626", "Quell Works QL07-626", "list quell works mortise-lock"] {
        let row = format!("maker,number,category,means,ours,note\nTolvane,TL9*,,,{ours},\n");
        fs::write(folder.join("crossref.csv"), row).unwrap();
        fs::write(folder.join("set.csv"), "Set,Qty,Description,Cat No\nA,1,lock F07,TL90\n").unwrap();
        let run = pintle(&folder, &["explain", "set.csv", "--row", "2"]);
        let text = String::from_utf8_lossy(&run.stdout).into_owned() + &String::from_utf8_lossy(&run.stderr);
        assert!(text.contains("price of one each: Quell Works QL07-626"), "{ours}: {text}");
    }
    fs::write(folder.join("crossref.csv"), "maker,number,category,means,ours,note\nTolvane,TL9*,,,Quell Works QL99,\n")
        .unwrap();
    let run = pintle(&folder, &["explain", "1 EA TL90"]);
    assert!(String::from_utf8_lossy(&run.stderr).contains("neither a number nor a product line"));
}
