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
