//! What `pintle explain` says of twenty invented wordings, pinned in `tests/words/explained.txt`: the words heard, each with
//! what read it. Numbers of lines in the lists are left out; they move with every spelling. `UPDATE=1` writes it anew, to be
//! read by a person who knows the trade.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

const WORDINGS: [&str; 20] = [
    "(3) BB hinges 4-1/2 x 4-1/2 hvy wt NRP 26D",
    "1-1/2 pr butts 5x4.5 std wt plain brg USP, 1/4 rad",
    "4 ea hinge 114 x 102 BB 630",
    "elec hinge 8 wire w/ monitor 652",
    "cont gear hinge 83 HD clear anod",
    "ML storeroom, lever/rose, less cyl, LH 626",
    "mort lock F13 x RX x fail secure x 24V 630",
    "privacy lever cyl 26D",
    "rim panic x fire x key-lever x ELR, no dogging, 36",
    "SVR or CVR exit device LBR 630",
    "closer PA HO size 1-6 alum",
    "OH stop conc HD US32D",
    "wall or floor stop as req'd 626",
    "KP 10x34 or 12x34 B4E SS",
    "kick plate 10 x (DW-2) .050 630",
    "630 CTC 10 pull, back to back",
    "17 LF smoke seal s/a blk",
    "auto DB 36 AL",
    "DPS 626",
    "mag lock 1200# 12/24 w/ bond sensor by security",
];

/// The part of the answer that tells what was heard.
fn heard(wording: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .env("NO_COLOR", "1")
        .args(["explain", wording])
        .output()
        .expect("the program was built beside this test");
    let text = String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    let told = text.lines().skip_while(|line| *line != "heard").skip(1).take_while(|line| !line.is_empty());
    let mut part = String::new();
    for line in told {
        let _ = writeln!(part, "{}", without_line(line).trim_end());
    }
    part
}

/// `(trade/words/hinge.txt:12)` without the number.
fn without_line(row: &str) -> String {
    match row.rsplit_once(':') {
        Some((before, number)) if number.trim_end_matches(')').chars().all(|c| c.is_ascii_digit()) => {
            format!("{before})")
        }
        _ => row.to_owned(),
    }
}

#[test]
fn twenty_wordings_are_answered_as_pinned() {
    let mut told = String::new();
    for wording in WORDINGS {
        let part = heard(wording);
        assert!(!part.is_empty(), "{wording}: nothing heard");
        let _ = writeln!(told, "{wording}\n{part}");
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/explained.txt");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &told).expect("the pinned text can be written");
        return;
    }
    let pinned = std::fs::read_to_string(&path).expect("the pinned text is there");
    let differs = told.lines().zip(pinned.lines()).find(|(told, pinned)| told != pinned);
    assert!(told == pinned, "UPDATE=1 cargo test --test explain writes it anew; first difference: {differs:?}");
}

/// A row is explained whatever it is, in a job of several files too.
#[test]
fn rows_of_all_kinds_are_explained() {
    let folder = std::env::temp_dir().join(format!("pintle-rows-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let put = |name: &str, text: &str| {
        std::fs::write(folder.join(name), text).unwrap();
        folder.join(name)
    };
    let doors = put("doors.csv", "Door,Size,Thk,Matl,Set\nA101,3-0 x 7-0,1-3/4,WD,1\nA102,3-0 x 7-0,1-3/4,WD,1\n");
    let sets =
        put("sets.csv", "Our list\nSet,Qty,Unit,Item,Finish\n1,3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight,652\n");
    let told = |row: &str, more: &[&str]| {
        let output = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .arg("explain")
            .args([&doors, &sets])
            .args(["--row", row])
            .args(more)
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap(), String::from_utf8(output.stderr).unwrap())
    };
    let (status, text, _) = told("3", &[]);
    assert_eq!(status, Some(0));
    assert!(text.contains("door A102") && text.contains("hardware of this door"), "{text}");
    assert!(text.contains("hinge") && text.contains("price of one each"), "the line of the other file, too: {text}");
    let (_, text, _) = told("3", &["--sheet", "doors.csv"]);
    assert!(text.contains("door A102") && !text.contains("price of one each"), "{text}");
    let (_, text, _) = told("1", &["--sheet", "sets.csv"]);
    assert!(text.contains("Our list") && text.contains("read as title"), "{text}");
    let (status, _, error) = told("9", &[]);
    assert_eq!(status, Some(2));
    assert!(error.contains("row 9 is empty or not there") && error.contains("sets.csv"), "{error}");
    let (status, _, error) = told("2", &["--json", "--sheet", "doors.csv"]);
    assert_eq!(status, Some(2));
    assert!(error.contains("it is door A101"), "{error}");
    std::fs::remove_dir_all(&folder).unwrap();
}
