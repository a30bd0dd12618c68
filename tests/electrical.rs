//! Five openings of different kinds, whose electrical sums were done on paper: what is held and what is taken at the start, what
//! the wires lose, the supply. Formula and data: drop = 2 x feet x amperes x ohms of 1000 ft / 1000, resistance of copper by the
//! diameters of ASTM B258; currents of devices from dealers' guides and the margin of 1.25, as `catalogs/trade/draws.csv` and
//! `transfer.csv` name their sources.

use std::fs;
use std::process::Command;

use serde_json::Value;

const DOORS: &str = "Door,Room,Width,Height,Thk,Door Matl,Frame Matl,Wall,Fire Rating,Ext,Hand,HW Set
101,Office,3-0,7-0,1-3/4,HM,HM,GYP,NR,INT,RH,1
102,Hall,3-0,7-0,1-3/4,HM,HM,GYP,NR,INT,RHR,2
103,Store,3-0,7-0,1-3/4,HM,HM,GYP,NR,INT,RH,3
104,Lobby,6-0,7-0,1-3/4,HM,HM,GYP,NR,INT,RHR,4
105,Lab,3-0,7-0,1-3/4,HM,HM,GYP,NR,INT,RH,5
";

const SETS: &str = "Set,Qty,Unit,Item,Finish
1,2,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652
1,1,EA,Electrified hinge 4-1/2 x 4-1/2 BB std wt 6 wire,652
1,1,EA,Electrified mortise lock storeroom fail secure 24V,626
1,1,EA,Power supply 24V,
2,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652
2,1,EA,Concealed power transfer,
2,1,EA,Rim exit device electric latch retraction 24V,626
2,1,EA,Closer,689
2,1,EA,Power supply 24V,
3,3,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652
3,1,EA,Mortise lock storeroom,626
3,1,EA,Electric strike fail secure 24V,630
3,1,EA,Power supply 24V,
4,6,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652
4,2,EA,Push pull set,630
4,2,EA,Electromagnetic lock 24V,
4,1,EA,Motion sensor request to exit,
4,2,EA,Closer,689
4,1,EA,Power supply 24V,
5,2,EA,Hinge 4-1/2 x 4-1/2 BB std wt,652
5,1,EA,Electrified hinge 4-1/2 x 4-1/2 BB std wt 6 wire,652
5,1,EA,Electrified mortise lock storeroom fail safe 12V,626
5,1,EA,Power supply 12V,
";

/// What is said of supplies, drops and limits, by set.
fn said(terms: &str) -> Vec<(String, String)> {
    let name = format!("pintle-electrical-{}-{}", std::process::id(), terms.len());
    let folder = std::env::temp_dir().join(name);
    fs::create_dir_all(&folder).unwrap();
    for (file, text) in [("doors.csv", DOORS), ("sets.csv", SETS), ("job.toml", terms)] {
        fs::write(folder.join(file), text).unwrap();
    }
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .args(["check", "--json", "--date", "2026-11-25"])
        .args([folder.join("doors.csv"), folder.join("sets.csv")])
        .output()
        .unwrap();
    let _ = fs::remove_dir_all(&folder);
    let record: Value = serde_json::from_slice(&run.stdout).unwrap();
    let electrical = ["supply-size", "voltage-drop", "transfer-limits"];
    let about = record["findings"].as_array().unwrap().iter();
    about
        .filter(|finding| electrical.contains(&finding["rule"].as_str().unwrap()))
        .map(|finding| (finding["set"].as_str().unwrap_or("").to_owned(), finding["says"].as_str().unwrap().to_owned()))
        .collect()
}

fn holds(said: &[(String, String)], set: &str, words: &[&str]) {
    let of_set: Vec<&String> = said.iter().filter(|(of, _)| of == set).map(|(_, says)| says).collect();
    for words in words {
        assert!(of_set.iter().any(|says| says.contains(words)), "set {set} does not say \"{words}\": {of_set:#?}");
    }
}

#[test]
fn sums_are_those_done_on_paper_with_the_defaults_named() {
    let said = said("");
    // Lock: 0.3 x 1.25 = 0.375 A held, 0.5 A at the start, the next made is 1 A. 2 x 3 x 0.5 x 25.67 / 1000 = 0.07701 V and
    // 2 x 150 x 0.5 x 6.385 / 1000 = 0.95775 V: 1.03476 V of 2.4.
    holds(
        &said,
        "1",
        &["1 A taken", "x 1.25 = 0.375 A; 0.5 A for a moment", "= 0.077 V", "= 0.958 V; together 1.035 V"],
    );
    holds(&said, "1", &["24 AWG in the hinge, a feeder of 150 ft, 18 AWG for the feeder"]);
    // Solenoids take 16 A: none of 1, 2, 4, 6, 10 A bears it. 2 x 3 x 16 x 6.385 / 1000 = 0.61296 V; (2.4 - 0.61296) /
    // (2 x 16 x 6.385 / 1000) = 8.75 ft.
    holds(
        &said,
        "2",
        &["one made for 16 A at the start", "x 1.25 = 1.25 A; 16 A for a moment", "= 0.613 V", "may be 8 ft long"],
    );
    holds(&said, "2", &["18 AWG in the transfer"]);
    // A strike stands in the frame: 0.25 x 1.25 = 0.3125 A, and nothing is lost through a leaf.
    holds(&said, "3", &["1 A taken", "x 1.25 = 0.3125 A; 0.5 A for a moment"]);
    assert!(!said.iter().any(|(set, says)| set == "3" && says.contains("Lost at the start")));
    // Two magnets and a sensor: 2 x 0.5 + 0.05 = 1.05 A, x 1.25 = 1.3125 A; 1.05 + (0.8 - 0.5) = 1.35 A: 2 A.
    holds(
        &said,
        "4",
        &["2 A taken", "2 x 0.5 A + request-to-exit device 0.05 A = 1.05 A held, x 1.25 = 1.3125 A; 1.35 A"],
    );
    // At 12 V the same lock takes twice as much: 0.6 x 1.25 = 0.75 A; 2 x 3 x 1 x 25.67 / 1000 = 0.15402 V; (1.2 - 0.15402) /
    // 0.01277 = 81.9 ft.
    holds(
        &said,
        "5",
        &["1 A taken", "x 1.25 = 0.75 A; 1 A for a moment", "= 0.154 V", "1.2 V may be lost", "may be 81 ft long"],
    );
}

#[test]
fn what_the_job_terms_give_is_reckoned_with_and_judged() {
    let said = said("[electrical]\nfeeder_feet = 300\nfeeder_gauge = 14\nhinge_gauge = 28\n");
    // 2 x 3 x 0.5 x 64.90 / 1000 = 0.1947 V; 2 x 300 x 0.5 x 2.525 / 1000 = 0.7575 V: 0.9522 V.
    holds(&said, "1", &["(28 AWG) = 0.195 V", "(14 AWG) = 0.758 V; together 0.952 V"]);
    assert!(!said.iter().any(|(set, says)| set == "1" && says.contains("job terms do not say")));
    // 2 x 300 x 16 x 2.525 / 1000 = 24.24 V of 2.4: asked about now, since the terms give the feeder.
    holds(&said, "2", &["(14 AWG) = 24.24 V; together 24.853 V, and 2.4 V may be lost"]);
    // 12 V: 2 x 3 x 1 x 64.90 / 1000 = 0.3894 V; 2 x 300 x 1 x 2.525 / 1000 = 1.515 V: 1.9044 V of 1.2; the feeder may be
    // (1.2 - 0.3894) / 0.00505 = 160.5 ft long.
    holds(&said, "5", &["together 1.904 V, and 1.2 V may be lost", "may be 160 ft long"]);
}
