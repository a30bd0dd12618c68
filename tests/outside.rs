//! Facts of the outside world, held against the whole program: a small schedule goes in, the record comes out. Each test
//! names its source; `tests/outside/README.md` lists them with those that need something installed.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use serde_json::Value;

/// A folder of the test's own, removed when it ends.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("pintle-outside-{name}-{}", std::process::id()));
        fs::create_dir_all(&path).unwrap();
        Folder(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// The record of a job of two small text files.
fn record(name: &str, doors: &str, sets: &str) -> Value {
    let folder = Folder::new(name);
    let (door_file, set_file) = (folder.0.join("doors.csv"), folder.0.join("sets.csv"));
    fs::write(&door_file, doors).unwrap();
    fs::write(&set_file, sets).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .args(["check", "--json"])
        .args([&door_file, &set_file])
        .output()
        .unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
    serde_json::from_slice(&run.stdout).unwrap()
}

/// Lines of all sets, in order.
fn lines(record: &Value) -> Vec<&Value> {
    record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap()).collect()
}

/// A number of the record, however many zeros it ends in.
fn number(text: &Value) -> rust_decimal::Decimal {
    text.as_str().unwrap_or_default().parse::<rust_decimal::Decimal>().unwrap_or_default().normalize()
}

const LINE_HEADINGS: &str = "Set,Qty,Unit,Item,Finish\n";

/// NFPA 80 6.4.3 and UFC 3-190-02FA 7.e: two to 5 ft, three to 7 ft 6 in, four to 10 ft, one more for each 30 in or part.
#[test]
fn outside_hinges_follow_the_height_of_the_leaf() {
    for (height, count) in
        [("5-0", 2), ("6-8", 3), ("7-0", 3), ("7-6", 3), ("7-7", 4), ("8-0", 4), ("10-0", 4), ("10-1", 5)]
    {
        let doors =
            format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Store,3-0 x {height},HM,HM,20 MIN,A\n");
        let sets = format!(
            "{LINE_HEADINGS}A,as req'd,,Hinge 4-1/2 x 4-1/2 BB std wt,652\nA,1,EA,Storeroom lock F86,626\nA,1,EA,Closer,689\n"
        );
        let record = record(&format!("height-{height}"), &doors, &sets);
        assert_eq!(number(&lines(&record)[0]["count"]), count.into(), "a leaf {height} high");
    }
}

/// Common practice: hinges are counted in pairs, 1-1/2 PR is 3.
#[test]
fn outside_hinges_are_counted_in_pairs() {
    let doors = "Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Office,3-0 x 7-0,HM,HM,20 MIN,A\n2,Office,3-0 x 8-0,HM,HM,20 MIN,B\n";
    let sets = format!(
        "{LINE_HEADINGS}A,1-1/2,PR,Hinges 4-1/2 x 4-1/2 BB,652\nA,1,EA,Office lock F109,626\nB,2 PR,,Hinges 4-1/2 x 4-1/2 BB,652\n"
    );
    let record = record("pairs", doors, &sets);
    let lines = lines(&record);
    assert_eq!((number(&lines[0]["quantity"]), &lines[0]["unit"]), (3.into(), &Value::from("each")));
    assert_eq!((number(&lines[2]["quantity"]), &lines[2]["unit"]), (4.into(), &Value::from("each")));
}

/// ANSI/BHMA A156.18 as reported: a US code names the look; the base metal of the item gives the code.
#[test]
fn outside_a_finish_follows_the_base_metal() {
    let doors = "Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Office,3-0 x 7-0,HM,HM,90 MIN,A\n";
    let wordings = [
        ("Steel hinge 4-1/2 x 4-1/2 BB", "US26D", "652"),
        ("Steel hinge 4-1/2 x 4-1/2 BB", "US10B", "640"),
        ("Steel hinge 4-1/2 x 4-1/2 BB", "US3", "632"),
        ("Hinge 4-1/2 x 4-1/2 BB", "US32D", "630"),
        ("Mortise lock F07 lever", "US26D", "626"),
        ("Mortise lock F07 lever", "US10B", "613"),
        ("Kick plate 10 x 34", "US32D", "630"),
    ];
    let sets: String = wordings.iter().map(|(item, finish, _)| format!("A,1,EA,{item},{finish}\n")).collect();
    let record = record("finish", doors, &format!("{LINE_HEADINGS}{sets}"));
    for (line, (item, finish, code)) in lines(&record).iter().zip(wordings) {
        assert_eq!(line["attributes"]["finish"], code, "{item} in {finish}");
    }
}

/// Rating notations of fire doors: letters and hours (B also covers one hour, so it must at least read as rated).
#[test]
fn outside_ratings_are_read_in_every_notation() {
    let notations = [
        ("180", 180),
        ("3 HR", 180),
        ("A", 180),
        ("90 MIN", 90),
        ("1-1/2 HR", 90),
        ("1.5 HR", 90),
        ("60", 60),
        ("1 HR", 60),
        ("45 MIN", 45),
        ("3/4 HR", 45),
        ("C", 45),
        ("20", 20),
        ("1/3 HR", 20),
    ];
    let doors: String = notations
        .iter()
        .enumerate()
        .map(|(index, (label, _))| format!("{},Store,3-0 x 7-0,HM,HM,{label},A\n", index + 1))
        .collect();
    let record = record(
        "ratings",
        &format!("Door,Room,Size,Door Matl,Frame Matl,Fire Label,HW Set\n{doors}"),
        &format!("{LINE_HEADINGS}A,1,EA,Closer,689\n"),
    );
    let openings = record["openings"].as_array().unwrap();
    assert_eq!(openings.len(), notations.len());
    for (opening, (label, minutes)) in openings.iter().zip(notations) {
        assert_eq!(opening["fire_minutes"], minutes, "label {label}");
    }
}

/// Common practice: feet-and-inches digits, dashes, primes, inches and millimetres name the same door.
#[test]
fn outside_sizes_are_read_in_every_notation() {
    let notations = [
        ("3070", 1, "36", "84"),
        ("3-0 x 7-0", 1, "36", "84"),
        ("3'-0\"\" x 7'-0\"\"", 1, "36", "84"),
        ("3/0 x 7/0", 1, "36", "84"),
        ("36 x 84", 1, "36", "84"),
        ("PR 3070", 2, "72", "84"),
        ("6070", 2, "72", "84"),
        ("21070", 1, "34", "84"),
        ("4-0 x 8-0", 1, "48", "96"),
    ];
    let doors: String = notations
        .iter()
        .enumerate()
        .map(|(index, (size, ..))| format!("{},Store,\"{size}\",HM,HM,,A\n", index + 1))
        .collect();
    let record = record(
        "sizes",
        &format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n{doors}"),
        &format!("{LINE_HEADINGS}A,1,EA,Closer,689\n"),
    );
    let openings = record["openings"].as_array().unwrap();
    assert_eq!(openings.len(), notations.len());
    for (opening, (size, leaves, width, height)) in openings.iter().zip(notations) {
        assert_eq!(
            (&opening["leaves"], &opening["width"], &opening["height"]),
            (&Value::from(leaves), &Value::from(width), &Value::from(height)),
            "size {size}"
        );
    }
}

/// Heights of hinges above the floor at one door, from the bottom, and which are electrified.
fn hinge_heights(record: &Value) -> Vec<(rust_decimal::Decimal, bool)> {
    let preps = record["preps"].as_array().unwrap().iter();
    preps
        .filter(|prep| prep["rule"] == "hinge-position")
        .map(|prep| (number(&prep["above_floor"]), prep["what"] == "electrified hinge"))
        .collect()
}

/// A frame maker's guide, as reported: 5 in from the head to the top of the top hinge, 10 in from the floor to the bottom of
/// the bottom hinge, equal between. SDI 130-15 clause 4: the electrified one is the center of three, the third from the
/// top of four. Worked by hand for hinges 4-1/2 high: 10 + 2-1/4 = 12-1/4; 84 - 5 - 2-1/4 = 76-3/4; 96 - 7-1/4 = 88-3/4.
#[test]
fn outside_hinges_stand_at_five_ten_and_equal() {
    for (height, heights, wired) in
        [("7-0", vec!["12.25", "44.5", "76.75"], 1), ("8-0", vec!["12.25", "37.75", "63.25", "88.75"], 1)]
    {
        let doors =
            format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Store,3-0 x {height},HM,HM,90 MIN,A\n");
        let sets = format!(
            "{LINE_HEADINGS}A,as req'd,,Hinge 4-1/2 x 4-1/2 BB std wt,652\nA,1,EA,Electrified mortise lock F07 fail secure 24V,626\nA,1,EA,Closer,689\n"
        );
        let record = record(&format!("heights-{height}"), &doors, &sets);
        let wanted: Vec<(rust_decimal::Decimal, bool)> =
            heights.iter().enumerate().map(|(at, high)| (number(&Value::from(*high)), at == wired)).collect();
        assert_eq!(hinge_heights(&record), wanted, "a leaf {height} high");
    }
}

/// How many of a category are added to the one opening of a job.
fn added(record: &Value, category: &str) -> u64 {
    let added = record["added"].as_array().unwrap().iter().filter(|added| added["category"] == category);
    added.filter_map(|added| added["quantity"].as_str()?.parse::<u64>().ok()).sum()
}

/// Frame makers' tips: a hollow-metal frame has three silencers at a single door and two at a pair, and none beside a seal.
#[test]
fn outside_silencers_are_three_and_two() {
    for (size, seal, count) in [("3070", "", 3), ("PR 3070", "", 2), ("3070", "A,1,SET,Smoke gasketing,BLK\n", 0)] {
        let doors = format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Store,{size},HM,HM,NR,A\n");
        let sets = format!("{LINE_HEADINGS}A,1,EA,Storeroom lock F86,626\n{seal}");
        let record = record(&format!("silencers-{}-{count}", size.len()), &doors, &sets);
        assert_eq!(added(&record, "silencer"), count, "{size} {seal}");
    }
}

/// NFPA 80 with A156.18: hinges of fire doors are steel or stainless; satin chrome on brass, 626, becomes 652. ADA 2010
/// 404.2.5: a threshold is at most 1/2 in high. NFPA 80 6.1.4: a fire door has a closer on each leaf.
#[test]
fn outside_rules_of_fire_and_access_hold() {
    let doors = "Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Store,PR 3070,HM,HM,90 MIN,A\n2,Store,3070,HM,HM,NR,B\n3,Store,3070,HM,HM,NR,C\n";
    let sets = format!(
        "{LINE_HEADINGS}A,6,EA,Hinge 4-1/2 x 4-1/2 BB,626\nA,2,EA,Exit device SVR fire,626\nB,1,EA,Threshold 5 x 3/4 high,AL\nC,1,EA,Threshold 5 x 1/2,AL\n"
    );
    let record = record("fire", doors, &sets);
    assert_eq!(lines(&record)[0]["attributes"]["finish"], "652");
    assert_eq!(added(&record, "closer"), 2);
    let asked: Vec<&Value> =
        record["findings"].as_array().unwrap().iter().filter(|one| one["rule"] == "threshold-height").collect();
    assert!(asked.iter().any(|one| one["set"] == "B"), "3/4 in is asked about");
    assert!(asked.iter().all(|one| one["set"] != "C"));
}

/// UFGS 08 71 00 as reported: a kick plate is 2 in narrower than a single leaf, 1 in narrower than each leaf of a pair.
#[test]
fn outside_plates_are_narrower_than_the_leaf() {
    for (size, width) in [("3070", "34"), ("PR 3070", "35"), ("4070", "46")] {
        let doors = format!("Door,Room,Size,Door Matl,Frame Matl,Label,HW Set\n1,Store,{size},HM,HM,NR,A\n");
        let sets = format!("{LINE_HEADINGS}A,1,EA,Kick plate 10 high,630\n");
        let record = record(&format!("plate-{}-{width}", size.len()), &doors, &sets);
        let good = serde_json::to_string(lines(&record)[0]).unwrap();
        assert!(good.contains(&format!("\"width\":\"{width}\"")), "{size}: {good}");
    }
}

/// Worked examples as published: "Net price factor" of a mathematics course site (435.20 less 26/15/5 is 260.05, factor 0.59755);
/// a homework forum's answer (324.00 less 20/10 is 233.28).
#[test]
fn outside_discount_chains_give_the_published_net_prices() {
    let decimal = |text: &str| text.parse::<rust_decimal::Decimal>().unwrap();
    for (list, chain, factor, net) in
        [("435.20", &["26", "15", "5"][..], "0.59755", "260.05"), ("324.00", &["20", "10"], "0.72", "233.28")]
    {
        let steps: Vec<rust_decimal::Decimal> = chain.iter().map(|step| decimal(step)).collect();
        let product = pintle::price::chain(&steps).unwrap();
        assert_eq!(product.normalize(), decimal(factor), "{chain:?}");
        let exact = decimal(list) * product;
        assert_eq!(pintle::price::rounding::net_unit(exact, 2).to_string(), net, "{list} less {chain:?}");
    }
}
