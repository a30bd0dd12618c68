//! Lines that hold at some doors of their set only: facts of the door schedule decide door by door, numbers and rooms name the
//! doors, what nothing decides is asked; and no line is counted where its own words say that it is not.

use std::fs;
use std::process::Command;

use serde_json::Value;

const DOORS: &str = "\
DOOR,WIDTH,HEIGHT,DOOR MATL,FRAME MATL,RATING,SET,REMARKS,ROOM
101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,90 MIN,1,,STAIR
102,\"3'-0\"\"\",\"7'-0\"\"\",WD,HM,-,1,,OFFICE
103,\"PR 3'-0\"\"\",\"7'-0\"\"\",HM,HM,45 MIN,1,,CORRIDOR
104,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,-,1,EXTERIOR,VESTIBULE
";

/// The record of a job with these lines.
fn record(name: &str, doors: &str, lines: &[String]) -> Value {
    let folder = std::env::temp_dir().join(format!("pintle-conditions-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("doors.csv"), doors).unwrap();
    let sets = format!("SET 1,,\nQTY,DESCRIPTION,FINISH\n{}\n", lines.join("\n"));
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let arguments = ["quote", "doors.csv", "sets.csv", "--force", "--out", "o"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
    let record = serde_json::from_str(&fs::read_to_string(folder.join("o/doors.record.json")).unwrap()).unwrap();
    let _ = fs::remove_dir_all(&folder);
    record
}

fn lines(record: &Value) -> impl Iterator<Item = &Value> {
    record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap())
}

/// The shares of the lines whose text holds some words: `1@0,2` is one at the first and the third door.
fn shares(record: &Value, words: &str) -> Vec<String> {
    let of = lines(record).filter(|line| line["text"].as_str().unwrap().contains(words));
    of.map(|line| line["shares"].as_str().unwrap_or("").to_owned()).collect()
}

/// Whether a question about conditions is asked of a line.
fn asked(record: &Value, words: &str) -> bool {
    record["findings"].as_array().unwrap().iter().any(|one| {
        one["rule"] == "holds-at" && one["kind"] == "question" && one["excerpt"].as_str().unwrap().contains(words)
    })
}

/// Wording, doors at which it is counted by their place in the schedule, whether it is asked. Of goods that no rule adds to
/// or takes from.
const CASES: &[(&str, &str, bool)] = &[
    ("COAT HOOK (RATED DOORS ONLY)", "1@0,2", false),
    ("COAT HOOK AT NON-RATED DOORS", "1@1,3", false),
    ("COAT HOOK WHERE RATED", "1@0,2", false),
    ("COAT HOOK @ FIRE RATED DRS", "1@0,2", false),
    ("COAT HOOK IF DOOR IS RATED", "1@0,2", false),
    ("COAT HOOK AT 45 MIN DOORS", "1@2", false),
    ("COAT HOOK 1-1/2 HR DOORS ONLY", "1@0", false),
    ("COAT HOOK AT PAIRS ONLY", "1@2", false),
    ("COAT HOOK (PAIRS)", "1@2", false),
    ("COAT HOOK - SINGLES ONLY", "1@0-1,3", false),
    ("COAT HOOK NOT AT PAIRS", "1@0-1,3", false),
    ("COAT HOOK EXT DRS ONLY", "1@3", false),
    ("COAT HOOK (AT INTERIOR DOORS)", "1@0-2", false),
    ("COAT HOOK AT EXTERIOR", "1@3", true),
    ("COAT HOOK - EXTERIOR", "1@3", true),
    ("COAT HOOK AT WOOD DOORS", "1@1", false),
    ("COAT HOOK, HM DOORS ONLY", "1@0,2-3", false),
    ("COAT HOOK @ HM FRAMES ONLY", "1@0-3", false),
    ("COAT HOOK AT RATED PAIRS", "1@2", false),
    ("COAT HOOK AT PAIRS AND EXTERIOR DOORS", "1@2-3", false),
    ("COAT HOOK EXCEPT AT RATED DOORS", "1@1,3", false),
    ("COAT HOOK (OMIT AT PAIRS)", "1@0-1,3", false),
    ("COAT HOOK BY OTHERS AT EXTERIOR DOORS", "1@0-2", false),
    ("COAT HOOK (DOOR 102 ONLY)", "1@1", false),
    ("COAT HOOK AT DOORS 101, 103 ONLY", "1@0,2", false),
    ("COAT HOOK EXCEPT AT 101", "1@1-3", false),
    ("COAT HOOK AT STAIR DOORS ONLY", "1@0", false),
    ("COAT HOOK, ONLY AT 103", "1@2", false),
    ("COAT HOOK, ROOMS 101 AND 103 ONLY", "1@0,2", false),
    ("COAT HOOK, ACCESSIBLE ROOMS 101, 103 ONLY", "1@0,2", false),
    ("COAT HOOK 626 BY OTHERS AT RATED DOORS", "1@1,3", false),
    // No condition at all.
    ("COAT HOOK UNLESS NOTED OTHERWISE", "1@0-3", false),
    ("COAT HOOK - TO REPLACE EXISTING", "1@0-3", false),
    ("COAT HOOK UNLESS NOTED OTHERWISE AT 101", "1@0-3", true),
    // Nobody says which doors these are.
    ("COAT HOOK WHERE NOTED", "1@0-3", true),
    ("COAT HOOK AT OUTSWING DOORS ONLY", "1@0-3", true),
    // No door of the set is of glass, and the words may mean something else.
    ("COAT HOOK ON GLASS DOOR", "1@0-3", true),
    // Of the good, and of no door.
    ("COAT HOOK", "1@0-3", false),
    ("COAT HOOK FOR WOOD DOOR", "1@0-3", false),
];

#[test]
fn facts_of_the_doors_decide_where_a_line_is_counted() {
    let all: Vec<String> = CASES.iter().map(|(wording, _, _)| format!("1,\"{wording}\",626")).collect();
    let record = record("cases", DOORS, &all);
    let mut wrong = Vec::new();
    for (wording, expected, question) in CASES {
        let text = format!("1  {wording}  626");
        let found: Vec<&str> =
            lines(&record).filter(|line| line["text"] == text).map(|line| line["shares"].as_str().unwrap()).collect();
        let asked = asked(&record, &format!("1 {wording} 626"));
        if found != [*expected] || asked != *question {
            wrong.push(format!("{wording}: {found:?}, asked: {asked}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_condition_behind_an_option_is_one_of_the_option() {
    let lines = [
        "3,HINGE 4-1/2 X 4-1/2 BB NRP @ EXT DRS,652".to_owned(),
        "1,\"CLOSER, HOLD OPEN AT NON-RATED DOORS\",689".into(),
    ];
    let record = record("option", DOORS, &lines);
    // Each door has its hinges and its closer; the parts that are priced apart stand once each.
    let hinges = shares(&record, "HINGE 4");
    assert_eq!(hinges, ["3@0-1 6@2", "3@3"]);
    assert_eq!(shares(&record, "HOLD OPEN"), ["1@0,2", "1@1,3"]);
}

#[test]
fn a_schedule_that_says_nothing_of_a_fact_is_asked() {
    let silent = "DOOR,WIDTH,HEIGHT,SET\n101,\"3'-0\"\"\",\"7'-0\"\"\",1\n102,\"3'-0\"\"\",\"7'-0\"\"\",1\n";
    for wording in ["COAT HOOK AT RATED DOORS ONLY", "COAT HOOK AT EXTERIOR DOORS ONLY", "COAT HOOK AT WOOD DOORS"] {
        let record = record("silent", silent, &[format!("1,{wording},626")]);
        assert_eq!(shares(&record, "COAT"), ["1@0-1"], "{wording}");
        assert!(asked(&record, "COAT"), "{wording}");
    }
}

/// A condition behind words that not all goods of the line have may be one of those alone: nothing is left out, and it is asked.
#[test]
fn a_condition_behind_a_part_of_the_words_takes_nothing_out() {
    let part = [
        "CLOSER SEX BOLTS AT WOOD DOORS",
        "CLOSER (PARALLEL ARM AT EXTERIOR DOORS)",
        "CLOSER - PARALLEL ARM AT EXTERIOR DOORS",
        "CLOSER PARALLEL ARM AT EXTERIOR DOORS",
        "HINGES 4.5 X 4.5 (5 X 4.5 AT EXTERIOR DOORS)",
        "WALL STOP / FLOOR STOP AT EXTERIOR DOORS",
    ];
    for wording in part {
        let record = record("part", DOORS, &[format!("1,{wording},")]);
        let at: Vec<String> = shares(&record, wording);
        let doors = |shares: &String| ["0", "1", "2", "3"].iter().any(|door| shares.contains(door));
        assert!(asked(&record, wording) && at.iter().all(doors), "{wording}: {at:?}");
        let left =
            record["findings"].as_array().unwrap().iter().any(|one| one["says"].as_str().unwrap().contains("; not at"));
        assert!(!left, "{wording}");
    }
    // Sizes, finishes and kinds are of the whole good.
    for (wording, at) in [
        ("KICK PLATE 10 X 34 B3E AT WOOD DOORS", "1@1"),
        ("SURFACE CLOSER AT INTERIOR DOORS", "1@0-1 2@2"),
        ("1 EA - COAT HOOK AT WOOD DOORS", "1@1"),
        ("COAT HOOK (SINGLE) AT WOOD DOORS", "1@1"),
        ("ELECTRIC STRIKE 24VDC AT INTERIOR DOORS", "1@0-2"),
        ("CLOSER HEAVY DUTY EXCEPT AT EXTERIOR DOORS", "1@0-2"),
        ("CLOSER QZX AT INTERIOR DOORS", "1@0-2"),
        ("CARD READER, WALL MOUNTED, @ 101", "1@0"),
        ("GASKETING HEAD AND JAMBS AT RATED DOORS", "1@0,2"),
        ("GASKETING PERIMETER AT RATED DOORS", "1@0,2"),
    ] {
        let record = record("whole", DOORS, &[format!("1,{wording},")]);
        assert!(!asked(&record, wording), "{wording}");
        assert!(!shares(&record, wording).iter().any(|found| found.contains('3')), "{wording} {at}");
    }
}

/// Others' closers stand at their doors: no rule buys them again.
#[test]
fn what_others_supply_at_some_doors_is_there() {
    let closers = |wording: &str| {
        let record = record("others", &DOORS.replace("PR ", ""), &[format!("1,{wording},689")]);
        let findings = record["findings"].as_array().unwrap();
        findings.iter().any(|one| one["rule"] == "fire-closer")
    };
    assert!(!closers("CLOSER BY OTHERS AT RATED DOORS ONLY") && !closers("CLOSER BY OTHERS AT 101 AND 103"));
    assert!(closers("CLOSER OMIT AT RATED DOORS"));
}

/// An answer reaches one question: two sets of one line ask each for itself.
/// Goods with notes in a column of their own, and doors whose rooms tell which of them are meant.
const ROOMS: &str = "\
Set,Qty,Description,Finish,Notes
4,1,COAT HOOK A,626,Clerk only
4,1,COAT HOOK B,626,Mayor's office only
4,1,COAT HOOK C,626,Not at Clerk
4,1,COAT HOOK D,626,Prep only
4,1,COAT HOOK E,626,Treasurer only

Door,Room,Width,Height,Door Matl,Frame Matl,Set
102,Clerk,3'-0\",7'-0\",WD,HM,4
104,Assessor,3'-0\",7'-0\",WD,HM,4
202,Mayor,3'-0\",7'-0\",WD,HM,4
";

#[test]
fn the_name_of_a_room_before_only_says_at_which_doors() {
    let record = record("rooms", ROOMS, &["1,COAT HOOK Z,626".to_owned()]);
    for (words, at) in
        [("HOOK A", "1@0"), ("HOOK B", "1@2"), ("HOOK C", "1@1-2"), ("HOOK D", "1@0-2"), ("HOOK E", "1@0-2")]
    {
        assert_eq!(shares(&record, words), [at], "{words}");
    }
}

#[test]
fn no_two_questions_have_one_id() {
    let doors = format!("{DOORS}201,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,-,2,,OFFICE\n");
    let lines = ["1,CLOSER WHERE NOTED,689".to_owned(), "SET 2,,".into(), "1,CLOSER WHERE NOTED,689".into()];
    let record = record("ids", &doors, &lines);
    let findings = record["findings"].as_array().unwrap();
    let mut ids: Vec<&str> = findings.iter().map(|one| one["id"].as_str().unwrap()).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
    assert_eq!(findings.iter().filter(|one| one["rule"] == "holds-at").count(), 2);
}

/// The goods of a line and the question about them.
fn rule_asked(record: &Value, rule: &str) -> Vec<String> {
    let findings = record["findings"].as_array().unwrap().iter();
    let of = findings.filter(|one| one["rule"] == rule && one["kind"] == "question");
    of.map(|one| one["excerpt"].as_str().unwrap_or("").to_owned()).collect()
}

/// A general note that begins with ALL and says of goods what their lines do not say is asked, and is no line of goods.
#[test]
fn a_note_of_all_goods_is_asked() {
    let lines = |note: &str| {
        let lines = ["1,CLOSER,689", "1,LOCKSET STOREROOM,626", "1,KICK PLATE 10 X 34,", ",,", note].map(str::to_owned);
        record("note", DOORS, &lines)
    };
    for note in ["NOTES: All closers with hold-open unless rated.", "ALL LOCKSETS CYLINDRICAL GRADE 1"] {
        let record = lines(note);
        assert_eq!(rule_asked(&record, "note-of-goods"), [note]);
        assert_eq!(self::lines(&record).count(), 3, "{note}");
    }
    for note in ["ALL CLOSERS TO BE ADJUSTED ON SITE", "All closers 689"] {
        let record = lines(note);
        assert!(rule_asked(&record, "note-of-goods").is_empty(), "{note}");
        assert_eq!(self::lines(&record).count(), 3, "{note}");
    }
    // Plates by no other name are those on the leaf.
    let record = lines("All hardware 626 except plates 630");
    let plate = self::lines(&record).find(|line| line["category"] == "protection-plate").unwrap();
    assert_eq!(plate["attributes"]["look"], "satin-stainless");
}

/// A note that says of a set's goods what its lines do not say, or asks for more of them, is asked, with what it is worth.
#[test]
fn a_note_that_names_a_set_or_asks_for_more_is_asked() {
    let lines = |note: &str| {
        let lines = ["1,CLOSER,689", "1,LOCKSET STOREROOM,626", "1,KICK PLATE 10 X 34,", ",,", note].map(str::to_owned);
        record("set", DOORS, &lines)
    };
    for (note, does) in [
        ("1. Set 1: closer with hold open.", "several"),
        ("NOTE: Furnish one additional cylinder for the mullion.", "add"),
        ("NOTE: set 1 kick plates by others.", "exclude"),
        ("NOTE: set 1 omit kick plates.", "exclude"),
        ("NOTE: Set 1: 2 closers.", "quantity"),
    ] {
        let record = lines(note);
        assert_eq!(rule_asked(&record, "note-of-set"), [note]);
        let findings = record["findings"].as_array().unwrap().iter();
        let answers = findings.filter(|one| one["rule"] == "note-of-set").map(|one| &one["answers"][1]["does"]["kind"]);
        assert_eq!(answers.collect::<Vec<_>>(), [does], "{note}");
        assert_eq!(self::lines(&record).count(), 3, "{note}");
    }
    for note in
        ["Set 1: closer", "Set 1: adjust closers", "NOTE: additional requirements for locks", "MISC,Set 1,Wall stop"]
    {
        assert!(rule_asked(&lines(note), "note-of-set").is_empty(), "{note}");
    }
}

/// Goods behind a "with", among others and behind words of their own, are asked with what they would cost; what comes with the
/// good of the line is not.
#[test]
fn goods_beside_others_are_priced_as_an_answer() {
    let lines = [
        "1,PASSAGE SET W/ WALL STOP AND COAT HOOK,626",
        "1,OFFSET PIVOT SET WITH CONCEALED FLOOR CLOSER,626",
        "1,STOREROOM LOCK W/ 2 KEYS AND LATCH GUARD,626",
    ];
    let record = record("beside-priced", DOORS, &lines.map(str::to_owned));
    let mut asked = rule_asked(&record, "also-named");
    asked.sort_unstable();
    assert_eq!(asked, [lines[1], lines[0]].map(|line| line.replace(',', " ")));
    for finding in record["findings"].as_array().unwrap().iter().filter(|finding| finding["rule"] == "also-named") {
        assert!(finding["answers"][1]["effect"].as_str().is_some_and(|effect| !effect.starts_with('0')), "{finding}");
    }
}

/// Goods that are named beside others, alternates in the words of a line, lots that nobody counts: asked, and priced as before.
#[test]
fn what_a_line_says_beside_its_good_is_asked() {
    let lines = [
        "1,CLOSER W/ MAGNETIC HOLD OPEN,689",
        "1,CLOSER ALTERNATE NO. 1,689",
        "1 LOT,CYLINDERS AS REQUIRED,626",
        "1,OPTION: LOCKSET STOREROOM,626",
        "1,CLOSER W/ HOLD OPEN ARM,689",
        "1,MANUAL FLUSH BOLTS,626",
        "1,AUTO FLUSH BOLT SET,626",
        "1,FLUSH BOLT W/ SET SCREW,626",
        "1,FLUSH BOLT - SEE SET 4,626",
        "1 EA,SURFACE BOLT,626",
    ];
    let plain = record("plain", DOORS, &["1,CLOSER,SIL".into(), "1,LOCK W/ EXISTING CORE RELOCATED,626".into()]);
    assert!(rule_asked(&plain, "also-named").is_empty());
    let record = record("beside", DOORS, &lines.map(str::to_owned));
    assert_eq!(rule_asked(&record, "also-named"), ["1 CLOSER W/ MAGNETIC HOLD OPEN 689"]);
    let mut alternates = rule_asked(&record, "alternate-in-base");
    alternates.sort_unstable();
    assert_eq!(alternates, ["1 CLOSER ALTERNATE NO. 1 689", "1 OPTION: LOCKSET STOREROOM 626"]);
    assert_eq!(rule_asked(&record, "quantity-missing"), ["1 LOT CYLINDERS AS REQUIRED 626"]);
    let unit = |words: &str| {
        let line = self::lines(&record).find(|line| line["text"].as_str().unwrap().contains(words)).unwrap();
        (line["quantity"].to_string(), line["unit"].as_str().unwrap().to_owned())
    };
    assert_eq!(unit("FLUSH BOLT SET").1, "set");
    assert_eq!(unit("SET SCREW").1, "each");
    assert_eq!(unit("SEE SET 4").1, "each");
    assert_eq!(unit("MANUAL FLUSH BOLTS").1, "each");
    assert!(rule_asked(&record, "unit-quantity").iter().any(|words| words.contains("MANUAL FLUSH BOLTS")));
}

/// Words that count leaves count no goods on them.
#[test]
fn one_leaf_is_no_count_for_each_leaf() {
    let record = record("one-leaf", DOORS, &["2,\"EXIT DEVICE, RIM - ONE LEAF WITH KEY CYLINDER\",626".to_owned()]);
    let line = lines(&record).next().unwrap();
    assert_eq!(line["quantity"], "2");
}

/// Three pairs for the opening and a pair and a half for each leaf are one count.
#[test]
fn a_count_for_the_opening_and_one_for_each_leaf_agree() {
    let doors = DOORS.lines().enumerate().filter(|(at, _)| [0, 3].contains(at)).map(|(_, row)| format!("{row}\n"));
    let doors: String = doors.collect();
    for hinges in ["3 PR,\"HINGE 4.5 X 4.5, 1 1/2 PR PER LEAF\",652", "6,HINGE 4.5 X 4.5,652"] {
        let record = record("leaf", &doors, &[hinges.to_owned()]);
        assert_eq!(shares(&record, "HINGE"), ["6@0"], "{hinges}");
        assert!(rule_asked(&record, "unit-quantity").is_empty(), "{hinges}");
    }
}

/// Goods behind "and", "w/" or "provide" in the remarks of a line, and lines below an alternate that is left out or below
/// exclusions: asked, and priced as before. A remark that begins otherwise speaks of the line's own good.
#[test]
fn what_stands_in_remarks_and_below_captions_is_asked() {
    let job = "\
Door,Room,Size,Mat,Frame,Set
1,Men,3-0 x 7-0,WD,HM,A

Set,Qty,Item,Finish,Remarks
A,1,Push plate 4x16,630,and pull plate 4x16 on pull side
A,1,Closer,689,w/ kick plate 10x34 630 push side
A,1,Wall stop,630,beside kick plate 10x34
A,3,Hinge 4.5x4.5,652,with non-removable pin at exterior
A,1,Coat hook,630,provide mop plate
A,,ALTERNATES,,
A,,Alternate 1: at door 1 add closer and strike,,
A,1,Electric strike 24VDC,630,
A,,EXCLUSIONS,,
A,,Overhead door hardware,,
A,1,Power supply 24VDC,,
";
    let record = record("remarks", job, &["1,CLOSER,689".into()]);
    let mut asked = rule_asked(&record, "also-named");
    asked.sort_unstable();
    let beside = ["1 Closer 689 w/ kick plate 10x34 630 push side", "1 Coat hook 630 provide mop plate"];
    assert_eq!(asked, [beside[0], beside[1], "1 Push plate 4x16 630 and pull plate 4x16 on pull side"]);
    let mut below = rule_asked(&record, "alternate-in-base");
    below.sort_unstable();
    assert_eq!(below, ["Alternate 1: at door 1 add closer and strike", "EXCLUSIONS"]);
    let priced = |words: &str| shares(&record, words);
    assert_eq!([priced("Electric strike"), priced("Power supply")], [["1@0"], ["1@0"]]);
    assert!(priced("Overhead door hardware").is_empty());
}
