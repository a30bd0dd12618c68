//! Layouts of schedules in, openings, sets and lines out; the ledger complete; damage told.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use pintle::read::read;
use pintle::read::schedule::{Basis, Role, Schedule};

fn fixture(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/layouts").join(name)
}

fn text_file(name: &str, text: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-read-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, text).unwrap();
    path
}

fn read_text(name: &str, text: &str) -> Schedule {
    read(&[text_file(name, text)], &[]).unwrap()
}

/// Every non-empty row of a csv text once in the ledger, and everything's place a row of the ledger with a fitting role.
fn check_ledger(schedule: &Schedule, rows: usize) {
    let places: BTreeSet<_> = schedule.ledger.iter().map(|row| (row.place.sheet.clone(), row.place.row)).collect();
    assert_eq!(places.len(), schedule.ledger.len(), "a row stands twice in the ledger");
    assert_eq!(schedule.ledger.len(), rows, "a row is missing from the ledger");
    let role = |place: &pintle::place::Place| {
        schedule
            .ledger
            .iter()
            .find(|row| row.place.row == place.row && row.place.sheet == place.sheet && row.place.file == place.file)
            .map(|row| row.role)
    };
    for opening in &schedule.openings {
        let role = role(&opening.place);
        assert!(
            matches!(role, Some(Role::Opening | Role::SetOpenings | Role::Set | Role::Note | Role::Line)),
            "{} {role:?}",
            opening.number
        );
    }
    for line in schedule.sets.iter().flat_map(|set| &set.lines) {
        let role = role(&line.place);
        assert!(matches!(role, Some(Role::Line | Role::Excluded | Role::Opening)), "{} {role:?}", line.wording.text);
    }
}

fn filled(text: &str) -> usize {
    text.lines().filter(|line| line.chars().any(|letter| letter != ',' && !letter.is_whitespace())).count()
}

#[test]
fn a_door_schedule_with_two_heading_rows_and_block_sets_below_it() {
    let path = fixture("doors-and-blocks.csv");
    let schedule = read(std::slice::from_ref(&path), &[]).unwrap();
    check_ledger(&schedule, filled(&std::fs::read_to_string(&path).unwrap()));
    let doors: Vec<_> = schedule
        .openings
        .iter()
        .map(|door| {
            (
                door.number.as_str(),
                door.leaves,
                door.width.map(|w| w.to_string()),
                door.height.map(|h| h.to_string()),
                door.set.as_deref(),
            )
        })
        .collect();
    let inches = |text: &str| Some(text.to_string());
    assert_eq!(
        doors,
        [
            ("101", 1, inches("36"), inches("84"), Some("1")),
            ("102A", 2, inches("72"), inches("84"), Some("2")),
            ("103", 1, inches("36"), inches("84"), Some("03")),
            ("104", 2, inches("60"), inches("84"), Some("3")),
        ]
    );
    assert_eq!(schedule.openings[0].exterior, Some(true));
    assert_eq!(schedule.openings[0].door_material.as_deref(), Some("aluminum"));
    assert_eq!(schedule.openings[1].frame_material.as_deref(), Some("hollow-metal"));
    assert_eq!(schedule.openings[1].rating.minutes, Some(90));
    assert_eq!((schedule.openings[3].rating.minutes, schedule.openings[3].rating.smoke), (Some(20), Some(true)));
    assert_eq!(schedule.openings[3].excluded.as_deref(), Some("NIC"));
    assert!(schedule.openings[3].remarks.contains("keyed alike"));
    let sets: Vec<_> =
        schedule.sets.iter().map(|set| (set.id.as_str(), set.lines.len(), set.openings.join(" "))).collect();
    assert_eq!(
        sets,
        [("01", 2, "101".into()), ("02", 2, "102A 199".into()), ("03", 2, String::new()), ("4", 0, String::new())]
    );
    assert_eq!(schedule.sets[1].lines[0].basis, Some(Basis::Leaf));
    assert!(schedule.sets[1].lines[1].wording.text.contains("EXIT DEVICE with less bottom rod"));
    assert_eq!(schedule.sets[1].notes.len(), 1);
    assert_eq!(schedule.sets[3].not_used.as_deref(), Some("NOT USED"));
    let codes: BTreeSet<_> = schedule.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, BTreeSet::from(["door-not-in-schedule", "hardware-in-remarks"]));
}

#[test]
fn a_flat_table_with_the_set_in_the_first_row_of_its_group() {
    let text = "SET,QTY,UNIT,DESCRIPTION,CATALOG NO.,FINISH,MFR\n1,3,EA,HINGE,BB 4.5 x 4.5,652,ABX\n,1,EA,LOCKSET,F82,626,ABX\n2,1-1/2,PR,HINGE,BB 4.5,652,ABX\n";
    let schedule = read_text("flat.csv", text);
    check_ledger(&schedule, 4);
    let lines: Vec<_> = schedule.sets.iter().map(|set| (set.id.as_str(), set.lines.len())).collect();
    assert_eq!(lines, [("1", 2), ("2", 1)]);
    assert_eq!(schedule.sets[0].lines[0].wording.text, "3  EA  HINGE  BB 4.5 x 4.5  652  ABX");
}

#[test]
fn a_bare_index_is_a_door_schedule() {
    let schedule = read_text("index.csv", "DOOR NO.,HW SET\n101,1\n102,HW-02\n103,---\n");
    let sets: Vec<_> = schedule.openings.iter().map(|door| door.set.as_deref()).collect();
    assert_eq!(sets, [Some("1"), Some("02"), None]);
}

#[test]
fn a_matrix_becomes_one_set_for_each_combination() {
    let text = "DOOR,SIZE,HINGES,LOCKSET,CLOSER,KICK PLATE\n101,3070,H1,L1,Y,-\n102,3070,H1,L1,Y,-\n103,3070,H1,L2,,x2\nH1,ball bearing hinge 4-1/2 x 4-1/2\nL1,office lock F82\n";
    let schedule = read_text("matrix.csv", text);
    check_ledger(&schedule, 6);
    assert_eq!(schedule.sets.len(), 2);
    assert_eq!(schedule.sets[0].openings, ["101", "102"]);
    assert_eq!(schedule.sets[0].lines[0].wording.text, "H1  ball bearing hinge 4-1/2 x 4-1/2");
    assert_eq!(schedule.sets[0].lines[0].section.as_deref(), Some("HINGES"));
    assert_eq!(schedule.sets[0].lines[0].place.column.as_deref(), Some("C"));
    assert_eq!(schedule.sets[1].lines[2].wording.text, "2  KICK PLATE");
}

#[test]
fn tables_side_by_side_are_all_read() {
    let schedule = read_text("beside.csv", "DOOR,SET,,DOOR,SET\n101,1,,201,2\n102,1,,202,3\n");
    let doors: Vec<_> = schedule.openings.iter().map(|door| (door.number.as_str(), door.set.as_deref())).collect();
    assert_eq!(doors, [("101", Some("1")), ("201", Some("2")), ("102", Some("1")), ("202", Some("3"))]);
    check_ledger(&schedule, 3);
}

#[test]
fn pasted_text_with_one_column_or_aligned_by_spaces() {
    let schedule = read_text("pasted.txt", "HARDWARE SET 1\nDOORS: 101 THRU 103\n3 EA HINGE 652\n1 EA LOCK F07 626\n");
    assert_eq!(schedule.openings.len(), 3);
    assert_eq!(schedule.sets[0].lines.len(), 2);
    let aligned = "HW SET: 2\nQTY  UNIT  DESCRIPTION              FINISH\n 3   EA    HINGE BB 4-1/2 x 4-1/2   652\n 1   EA    CLOSER                   689\n";
    let schedule = read_text("aligned.txt", aligned);
    check_ledger(&schedule, 4);
    assert_eq!(schedule.sets[0].lines.len(), 2);
}

#[test]
fn what_is_no_schedule_is_refused_with_the_reason() {
    for (name, text) in [
        (
            "bath.csv",
            "TOILET ACCESSORIES\nQTY,DESCRIPTION,MODEL,FINISH\n2,GRAB BAR 36,GB-36,SS\n1,MIRROR,M-1,SS\n3,PAPER TOWEL DISPENSER,PT-1,SS\n",
        ),
        ("prices.csv", "MODEL,DESCRIPTION,LIST PRICE\nA1,HINGE,10.00\nA2,LOCK,20.00\n"),
        ("finishes.csv", "ROOM NO,ROOM NAME,FLOOR,BASE,CEILING,NORTH,SOUTH\n101,LOBBY,VCT,RB,ACT,PT,PT\n"),
        ("template.csv", "DOOR NO,WIDTH,HEIGHT,HW SET\n"),
    ] {
        let said = read(&[text_file(name, text)], &[]).unwrap_err();
        assert!(said.contains(name) && said.contains("no hardware schedule"), "{said}");
    }
    assert!(read(&[PathBuf::from("nowhere/none.xlsx")], &[]).unwrap_err().contains("no such file"));
}

#[test]
fn dates_in_size_cells_are_turned_back_and_told() {
    let schedule = read_text("dates.csv", "DOOR,WIDTH,HEIGHT,SET\n101,4-Mar,7'-0\",1\n102,3'-0\",8-Jun,1\n");
    let sizes: Vec<_> = schedule
        .openings
        .iter()
        .map(|door| (door.width.unwrap().to_string(), door.height.unwrap().to_string()))
        .collect();
    assert_eq!(sizes, [("40".into(), "84".into()), ("36".into(), "80".into())]);
    assert_eq!(schedule.findings.iter().filter(|finding| finding.code == "date-for-size").count(), 2);
}

#[test]
fn a_row_of_a_list_of_changes_that_says_no_action_is_asked_about() {
    let folder = std::env::temp_dir().join(format!("pintle-changes-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("addendum.csv");
    let list = "ACTION,DOOR,SET\nADD,210A,12\nSEE SKETCH,101,3\nDELETE,102,\nREVISE,103,4\n";
    std::fs::write(&path, list).unwrap();
    let amendment = pintle::read::amendment::amendment(&[path], &[]).unwrap().unwrap();
    let said = format!("{amendment:?}");
    assert_eq!(said.matches("change-not-read").count(), 1, "{said}");
}

/// A blank action is that of the row right above, and asked; where no row says one right above, the row is asked about.
#[test]
fn rows_of_a_list_of_changes_without_an_action_are_heard_as_the_row_above_or_asked_about() {
    let folder = std::env::temp_dir().join(format!("pintle-blank-actions-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join("addendum.csv");
    let list = "ACTION,SET,QTY,ITEM\nADD,3,1,closer 689\n,3,1,wall stop 630\n,,3,silencer\nDELETE,4,1,kick plate\n\n,5,1,floor stop\nADD,6,1,viewer\n,Note: all finishes 626 unless noted,,\n";
    std::fs::write(&path, list).unwrap();
    let amendment = pintle::read::amendment::amendment(&[path], &[]).unwrap().unwrap();
    let lines = |schedule: &pintle::read::schedule::Schedule| -> Vec<(String, String)> {
        let set = |set: &pintle::read::schedule::HardwareSet| {
            let id = set.id.clone();
            set.lines.iter().map(move |line| (id.clone(), line.wording.text.clone())).collect::<Vec<_>>()
        };
        schedule.sets.iter().flat_map(set).collect()
    };
    let added: Vec<_> = lines(&amendment.added);
    let own = |id: &str, text: &str| (id.to_owned(), text.to_owned());
    assert_eq!(
        added,
        [own("3", "1  closer 689"), own("3", "1  wall stop 630"), own("3", "3  silencer"), own("6", "1  viewer")]
    );
    assert_eq!(lines(&amendment.deleted), [own("4", "1  kick plate")]);
    let asked: Vec<_> =
        amendment.reissued.findings.iter().filter(|finding| finding.code == "change-not-read").collect();
    assert_eq!(asked.len(), 3, "{asked:?}");
}

/// What a stranger's file may hold to bring a reader down: brackets, dashes and points without end, formats of many zeros.
#[test]
fn cells_of_one_sign_over_and_over_are_read_without_end_of_stack_or_time() {
    let lexicon = pintle::understand::Lexicon::load(&[]).unwrap();
    for (sign, times) in
        [("(", 50_000), ("-", 50_000), (".", 50_000), (")", 1_000), ("((-", 1_000), ("x (", 1_000), ("10 x (", 500)]
    {
        let run = sign.repeat(times);
        for text in [run.clone(), format!("10 x {run}"), format!("hinge {run} 652"), format!("3 {run}")] {
            let mut wording = pintle::read::schedule::Wording::default();
            wording.push(pintle::read::schedule::PartRole::Quantity, &run, None);
            wording.push(pintle::read::schedule::PartRole::Free, &text, None);
            assert!(!pintle::understand::understand(&lexicon, &wording, &Default::default()).is_empty());
        }
    }
}

#[test]
fn every_code_has_one_page() {
    let codes: BTreeSet<_> = pintle::read::PAGES.iter().map(|page| page.code).collect();
    assert_eq!(codes.len(), pintle::read::PAGES.len());
    assert!(codes.contains("date-for-size"));
}

/// Doors are read ahead of their rows in pieces: a table that begins within one, with its columns the other way round, is read
/// by its own.
#[test]
fn long_tables_with_other_columns_are_each_read_by_their_own() {
    let mut text = String::from("DOOR,ROOM,SIZE,HW SET,FIRE RATING\n");
    (1..=1_500).for_each(|at| text.push_str(&format!("A{at},HALL,3'-0\" x 7'-0\",{},20 MIN\n", at % 7 + 1)));
    text.push_str("DOOR,ROOM,SIZE,FIRE RATING,HW SET\n");
    (1..=1_500).for_each(|at| text.push_str(&format!("B{at},HALL,3'-0\" x 7'-0\",45 MIN,{}\n", at % 7 + 1)));
    let schedule = read_text("two-long-tables.csv", &text);
    assert_eq!(schedule.openings.len(), 3_000);
    for door in &schedule.openings {
        let at: u32 = door.number[1..].parse().expect("a number");
        let minutes = if door.number.starts_with('A') { 20 } else { 45 };
        assert_eq!(door.set, Some((at % 7 + 1).to_string()), "{}", door.number);
        assert_eq!(door.rating.minutes, Some(minutes), "{}", door.number);
    }
}
