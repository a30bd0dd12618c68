//! Small jobs of a door list and a list of sets, run through `check`: what the words of lines and notes make of whole sets.

use std::fs;
use std::process::Command;

use serde_json::Value;

/// The record of a job.
fn job(name: &str, doors: &str, sets: &str) -> Value {
    let folder = std::env::temp_dir().join(format!("pintle-small-jobs-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("doors.csv"), doors).unwrap();
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let arguments = ["check", "doors.csv", "sets.csv", "--json"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    let _ = fs::remove_dir_all(&folder);
    serde_json::from_slice(&run.stdout).unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)))
}

/// Category and status of each line, in order.
fn lines(job: &Value) -> Vec<String> {
    let lines = job["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    let text = |value: &Value| value.as_str().unwrap_or("-").to_owned();
    lines.map(|line| format!("{} {}", text(&line["category"]), text(&line["status"]))).collect()
}

/// Whether a question of a rule is open.
fn asked(job: &Value, rule: &str) -> bool {
    let findings = job["findings"].as_array().unwrap();
    findings.iter().any(|one| one["rule"] == rule && one["kind"] == "question")
}

#[test]
fn goods_that_a_line_names_with_its_own_are_those_on_a_line_of_their_own() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n";
    let device = "Set,Qty,Unit,Description,Finish\n1,2,EA,\"Rim exit device, w/ mullion\",630\n";
    let both = job("mullion-twice", doors, &format!("{device}1,1,EA,Removable mullion,600\n"));
    assert_eq!(lines(&both), ["exit-device open", "mullion excluded", "mullion open"]);
    assert!(asked(&both, "line-twice"));
    // Nothing else has it: it is bought.
    let alone = job("mullion-once", doors, device);
    assert_eq!(lines(&alone), ["exit-device open", "mullion open"]);
    assert!(!asked(&alone, "line-twice"));
}

#[test]
fn a_count_and_one_for_each_leaf_agree_at_pairs() {
    let sets = "Set,Qty,Item,Description\n1,6,Hinge,3 per leaf\n";
    let pair = "103,6-0 PR,7-0,HM,HM,1\n";
    let heads = "Door,Width,Height,Door Matl,Frame,Set\n";
    let pairs = job("per-leaf-pairs", &format!("{heads}{pair}"), sets);
    assert!(!asked(&pairs, "unit-quantity"));
    assert_eq!(pairs["sets"][0]["lines"][0]["quantity"], "3");
    // Where the set has single doors too, and where the counts do not agree, it is asked as before.
    let both = job("per-leaf-both", &format!("{heads}{pair}104,3-0,7-0,HM,HM,1\n"), sets);
    assert!(asked(&both, "unit-quantity"));
    let leaf = "Set,Qty,Item,Description\n1,2,Exit device,\"rim, one leaf with cylinder\"\n";
    let one = job("one-leaf", &format!("{heads}{pair}"), leaf);
    assert_eq!(one["sets"][0]["lines"][0]["quantity"], "2");
    assert!(!asked(&one, "unit-quantity"));
    let other = job("per-leaf-other", &format!("{heads}{pair}"), "Set,Qty,Item,Description\n1,8,Hinge,3 per leaf\n");
    assert!(asked(&other, "unit-quantity"));
}

#[test]
fn the_heading_of_a_key_says_nothing_of_keys() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let sets = "SET 1,,\n1,EA,\"Mortise lock, storeroom F07\"\n,,\n";
    assert!(asked(&job("key-heads", &format!("{doors},,,,,\nKEY,,,,,\n"), sets), "keying"));
    assert!(!asked(&job("key-told", &format!("{doors},,,,,\nKeying by owner,,,,,\n"), sets), "keying"));
}

#[test]
fn goods_named_with_others_are_left_out_only_where_they_are_surely_those_of_the_other_line() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n102,3-0,7-0,HM,HM,1\n";
    let of = |name: &str, named: &str, own: &str| {
        job(name, doors, &format!("Set,Qty,Unit,Description\n1,1,EA,\"{named}\"\n1,{own}\n"))
    };
    for (at, (named, own)) in [
        ("Closer with kick plate 10 x 34", "1,EA,Mop plate 6 x 34"),
        ("Threshold with sweep", "0,EA,Sweep"),
        ("Gasketing with sweep", "1,EA,Sweep at door 102 only"),
        ("Electric strike 24V with power supply 1 amp", "1,EA,Power supply 6 amp for maglock"),
    ]
    .into_iter()
    .enumerate()
    {
        let job = of(&format!("named-{at}"), named, own);
        assert!(lines(&job).iter().all(|line| !line.ends_with("excluded")), "{named}: {:?}", lines(&job));
        assert!(asked(&job, "line-twice"), "{named}");
    }
    // The plain case: it is the same good.
    let same = of("named-same", "Threshold with sweep", "1,EA,Sweep");
    assert_eq!(lines(&same).iter().filter(|line| line.as_str() == "sweep excluded").count(), 1, "{:?}", lines(&same));
}

#[test]
fn both_are_wanted_is_worth_what_the_line_is() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n102,6-0 PR,7-0,HM,HM,1\n";
    let bolts = "Set,Qty,Unit,Description,Finish\n1,1,PR,Flush bolts with dust proof strike,626\n";
    let cents = |value: &Value| value.as_str().unwrap().replace('.', "").parse::<i64>().unwrap();
    let own = |name: &str, strikes: u32| job(name, doors, &format!("{bolts}1,{strikes},EA,Dust proof strike,626\n"));
    let (two, four) = (own("strikes-2", 2), own("strikes-4", 4));
    let findings = two["findings"].as_array().unwrap();
    let finding = findings.iter().find(|one| one["rule"] == "line-twice").unwrap();
    assert_eq!(finding["priced_as"], "one and the same");
    // A pair of bolts at each door has two strikes: as much as two more on the line of their own.
    let worth = cents(&finding["answers"][1]["effect"]);
    assert_eq!(worth, cents(&four["totals"]["goods"]) - cents(&two["totals"]["goods"]));
    assert!(worth > 0);
}

#[test]
fn the_good_in_a_cell_goes_before_the_good_of_its_heading() {
    let heads = "Door,Width,Height,Door Matl,Frame,Hinges,Lock / Latch,Closer,Stop\n";
    let of = |name: &str, lock: &str, closer: &str| {
        let doors = format!(
            "{heads}101,6-0 PR,7-0,HM,HM,6 BB,\"{lock}\",{closer},wall\n102,3-0,7-0,HM,HM,3 BB,storeroom,surf.,wall\n"
        );
        let all = lines(&job(name, &doors, "\n"));
        [all[1].clone(), all[2].clone()]
    };
    let said = |text: &str| text.split(' ').next().unwrap_or("").to_owned();
    assert_eq!(said(&of("cell-count", "2 exit devices SVR, lever trim", "surf.")[0]), "exit-device");
    assert_eq!(said(&of("cell-replace", "replace w/ fire exit device", "surf.")[0]), "exit-device");
    // The heading still names what its cell does not; what comes from another door is not new.
    assert_eq!(said(&of("cell-plain", "2 storeroom", "surf.")[0]), "mortise-lock");
    assert_eq!(of("cell-moved", "storeroom", "from 111")[1], "closer excluded");
}

#[test]
fn what_price_lists_seldom_know_leaves_the_good_priced_and_asked() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let of = |name: &str, words: &str| {
        job(name, doors, &format!("Set,Qty,Unit,Description,Finish\n1,1,EA,\"{words}\",630\n"))
    };
    let good = |job: &Value| job["sets"][0]["lines"][0]["good"]["designation"].clone();
    let plain = of("plate-plain", "Kick plate 8 x 34");
    assert!(!asked(&plain, "no-good-fits"));
    for (name, words) in
        [("plate-b-cs", "Kick plate 8 x 34 B-CS"), ("plate-csk", "Kick plate 8 x 34, countersunk screws")]
    {
        let with = of(name, words);
        assert!(asked(&with, "no-good-fits") && good(&with).is_string(), "{words}");
        assert_eq!(good(&with), good(&plain), "{words}");
    }
}

#[test]
fn goods_of_stainless_steel_without_a_finish_have_one_of_stainless_steel() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let look = |name: &str, sets: &str| job(name, doors, sets)["sets"][0]["lines"][0]["attributes"]["look"].clone();
    let head = "Set,Qty,Unit,Description,Finish\n";
    assert_eq!(look("ss-alone", &format!("{head}1,3,EA,Hinge BB SS NRP,\n")), "satin-stainless");
    assert_eq!(
        look("ss-beside", &format!("{head}1,3,EA,Hinge BB SS NRP,\n1,1,EA,Closer,689\n1,1,EA,Wall stop,625\n")),
        "bright-stainless"
    );
    // Other goods follow the set.
    assert_eq!(look("steel-beside", &format!("{head}1,3,EA,Hinge BB NRP,\n1,1,EA,Wall stop,625\n")), "bright-chromium");
}

#[test]
fn a_closer_is_not_added_beside_hardware_that_stays() {
    let doors = "Door,Width,Height,Door Matl,Frame,Rating,Set\n101,3-0,7-0,HM,HM,90,1\n";
    let of = |name: &str, more: &str| {
        let job = job(name, doors, &format!("Set,Qty,Unit,Description,Finish\n1,1,EA,Mortise lock F07,626\n{more}"));
        let added = job["added"].as_array().is_some_and(|added| added.iter().any(|one| one["category"] == "closer"));
        (added, asked(&job, "fire-closer"))
    };
    assert_eq!(of("closer-kept", "1,,,Re-use remaining hardware,\n"), (false, true));
    assert_eq!(of("closer-new", "1,3,EA,Hinge BB,652\n"), (true, false));
}

#[test]
fn a_transfer_beside_a_device_whose_number_or_voltage_tells_of_wires_is_not_asked() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let of = |name: &str, device: &str| {
        let sets =
            format!("Set,Qty,Unit,Description,Finish\n1,1,EA,Concealed power transfer,\n1,1,EA,\"{device}\",630\n");
        asked(&job(name, doors, &sets), "transfer-without-device")
    };
    assert!(of("transfer-plain", "Rim exit device"));
    assert!(!of("transfer-number", "Rim exit device RX-98-EL-NL"));
    assert!(!of("transfer-voltage", "Rim exit device 24VDC"));
}

#[test]
fn a_hinge_number_that_begins_with_bb_is_of_ball_bearings() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let bearing = |name: &str, number: &str| {
        let sets = format!("Set,Qty,Unit,Description,Catalog Number,Finish\n1,3,EA,Hinge,{number} 4.5 X 4.5,652\n");
        job(name, doors, &sets)["sets"][0]["lines"][0]["attributes"]["bearing"].clone()
    };
    assert_eq!(bearing("hinge-bb", "BB-1"), "ball");
    assert_eq!(bearing("hinge-pb", "PB-1"), "plain");
}

#[test]
fn what_is_said_of_the_rest_of_the_hardware_is_not_said_of_the_good() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let of = |name: &str, words: &str| {
        lines(&job(name, doors, &format!("Set,Qty,Unit,Description,Finish\n1,1,EA,{words},626\n")))
    };
    assert_eq!(of("rest", "\"Mortise lock F07, re-use remaining hardware\""), ["mortise-lock open"]);
    assert_eq!(of("rest-lock", "\"Mortise lock F07, re-use\""), ["mortise-lock excluded"]);
    // New trim is no lock.
    assert_eq!(of("trim-only", "New lever trim and cylinder only"), ["other unpriced"]);
}

#[test]
fn the_colour_at_the_end_of_a_line_is_that_of_its_seal() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n";
    let finish = |name: &str, words: &str| {
        let job = job(name, doors, &format!("Set,Qty,Unit,Description,Finish\n1,1,SET,\"{words}\",\n"));
        job["sets"][0]["lines"][0]["attributes"]["finish"].clone()
    };
    assert_eq!(finish("seal-black", "Smoke gasketing, head and jambs, black"), "black");
    assert_eq!(finish("seals-black", "Smoke gasketing, head, jambs and meeting stiles, black"), "black");
}

/// Trim on a line of its own beside exit devices is theirs; beside none it may be a lock, as before.
#[test]
fn trim_on_a_line_of_its_own_is_that_of_the_exit_devices() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let of = |name: &str, lines: &str| job(name, doors, &format!("Set,Qty,Description,Finish\n{lines}"));
    for (name, trim) in [
        ("trim-lever", "\"Lever trim, classroom\""),
        ("trim-device", "\"Exit device trim, lever, classroom\""),
        ("trim-outside", "\"Outside trim, lever, classroom function\""),
    ] {
        let both = of(name, &format!("1,1,Rim exit device,626\n1,1,{trim},626\n"));
        assert_eq!(lines(&both), ["exit-device assumed", "other excluded"], "{trim}");
        assert_eq!(both["sets"][0]["lines"][0]["attributes"]["function"], "08", "{trim}");
    }
    let alone = of("trim-alone", "1,3,Hinges,652\n1,1,\"Lever trim, classroom\",626\n");
    assert_eq!(lines(&alone)[1], "mortise-lock open");
    // Of a device that stays, it is new trim and no lock.
    let there = of("trim-there", "1,1,Rim exit device - existing to remain,\n1,1,\"Lever trim, classroom\",626\n");
    assert_eq!(lines(&there), ["exit-device excluded", "other unpriced"]);
    let locked = of("trim-locked", "1,1,Rim exit device,626\n1,1,\"Mortise lock, lever trim\",626\n");
    assert!(lines(&locked)[1].starts_with("mortise-lock"));
}

/// What others supply is there, whether the row has a quantity or not: no rule buys it.
#[test]
fn what_others_supply_is_not_bought_by_a_rule() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set,Remarks\n101,3-0,7-0,HM,HM,1,exterior\n";
    let of = |name: &str, seal: &str| {
        let job = job(name, doors, &format!("Set,Qty,Description,Finish\n1,3,Hinges NRP,630\n1,1,Closer,689\n{seal}"));
        let added = job["added"].as_array().unwrap().clone();
        added.iter().any(|added| added["category"] == "gasketing")
    };
    assert!(of("seal-none", ""));
    assert!(!of("seal-counted", "1,1,Weatherstripping by others,\n"));
    assert!(!of("seal-uncounted", "1,,Weatherstripping by others,\n"));
}

/// Stainless in place of plated steel is worth the plain hinge, at some doors of a set as at all.
#[test]
fn another_finish_at_some_doors_takes_no_dearer_kind_of_good() {
    let worth = |name: &str, second: &str| {
        let doors =
            format!("Door,Width,Height,Door Matl,Frame,Rating,Set,Remarks\n101,3-0,7-0,HM,HM,NR,1,exterior\n{second}");
        let sets = "Set,Qty,Description,Finish\n1,3,\"Hinge, ball bearing, 4-1/2 x 4-1/2, NRP\",652\n1,1,Closer,689\n";
        let job = job(name, &doors, sets);
        let findings = job["findings"].as_array().unwrap();
        let asked = findings.iter().find(|one| one["rule"] == "exterior-hinge-finish").unwrap();
        asked["answers"][1]["effect"].as_str().unwrap().parse::<rust_decimal::Decimal>().unwrap()
    };
    let all = worth("stainless-all", "");
    let some = worth("stainless-some", "102,3-0,7-0,HM,HM,NR,1,\n");
    assert!((all - some).abs() < rust_decimal::Decimal::ONE, "{all} {some}");
}

/// A single door with hinges and these lines.
fn with_goods(name: &str, goods: &[&str]) -> Value {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    job(
        name,
        doors,
        &format!("Set,Qty,Unit,Description,Finish\n1,3,EA,\"Hinge 4-1/2 x 4-1/2, BB\",652\n1,{}\n", goods.join("\n1,")),
    )
}

/// Category, and the values of some attributes, of the line at a place.
fn attributes(job: &Value, at: usize, names: &[&str]) -> Vec<String> {
    let line = &job["sets"][0]["lines"][at];
    let text = |value: &Value| value.as_str().or(value["value"].as_str()).unwrap_or("-").to_owned();
    let all = names.iter().map(|name| text(&line["attributes"][*name]));
    std::iter::once(text(&line["category"])).chain(all).collect()
}

#[test]
fn nothing_that_trim_of_a_device_says_is_lost() {
    let device = "1,EA,Rim exit device,626";
    let plain = with_goods("trim-plain", &[device, "1,EA,\"Lever trim, classroom\",626"]);
    assert_eq!(lines(&plain)[1..], ["exit-device assumed", "other excluded"]);
    assert_eq!(attributes(&plain, 1, &["function"]), ["exit-device", "08"]);
    let less = with_goods("trim-less", &[device, "1,EA,\"Lever trim, classroom, less cylinder\",626"]);
    assert_eq!(attributes(&less, 1, &["function", "cylinder"]), ["exit-device", "08", "less"]);
    let numbered = with_goods("trim-number", &[device, "1,EA,\"Lever trim, exit device function 15\",626"]);
    assert_eq!(attributes(&numbered, 1, &["function"]), ["exit-device", "15"]);
    // Wired trim is goods of its own price.
    for (at, wired) in ["Electrified lever trim, 24 V", "Lever trim x 24V fail secure"].into_iter().enumerate() {
        let job = with_goods(&format!("trim-wired-{at}"), &[device, &format!("1,EA,\"{wired}\",626")]);
        assert_ne!(lines(&job)[2], "other excluded", "{wired}");
    }
    let finish = with_goods("trim-finish", &[device, "1,EA,Lever trim,613"]);
    assert!(asked(&finish, "device-trim") && !asked(&plain, "device-trim"));
    let more = with_goods("trim-more", &[device, "2,EA,Lever trim,626"]);
    assert!(asked(&more, "device-trim"));
}

#[test]
fn trim_is_that_of_devices_only_where_they_may_have_it() {
    for (at, device) in ["Exit device exit only", "Rim exit device by others"].into_iter().enumerate() {
        let job = with_goods(&format!("trim-none-{at}"), &[&format!("1,EA,{device},626"), "1,EA,Lever trim,626"]);
        assert_ne!(lines(&job)[2].split(' ').next(), Some("other"), "{device}");
    }
    let devices = "2,EA,SVR exit device,626";
    let several =
        with_goods("trims", &[devices, "1,EA,\"Lever trim, classroom\",626", "1,EA,\"Lever trim, passage\",626"]);
    assert!(lines(&several)[2..].iter().all(|line| !line.starts_with("other")), "{:?}", lines(&several));
    let twice = with_goods("trim-each", &[devices, "1,EA,Lever trim,626", "1,EA,Lever trim,626"]);
    assert_eq!(lines(&twice)[2..], ["other excluded", "other excluded"]);
    // Without a device there is none to be added.
    for (at, lock) in ["Mortise lock storeroom", "Push bar"].into_iter().enumerate() {
        let job = with_goods(&format!("trim-lock-{at}"), &[&format!("1,EA,{lock},626"), "1,EA,Outside trim,626"]);
        assert_ne!(lines(&job)[2], "exit-device open", "{lock}");
    }
}

/// What the answers of a question are worth, in order.
fn worths(job: &Value, rule: &str) -> Vec<f64> {
    let finding = job["findings"].as_array().unwrap().iter().find(|one| one["rule"] == rule).unwrap();
    let answers = finding["answers"].as_array().unwrap().iter();
    answers.filter_map(|answer| answer["effect"].as_str()?.parse().ok()).collect()
}

#[test]
fn one_trim_of_two_devices_is_worth_half_of_two() {
    let devices = "2,EA,SVR exit device,626";
    for (at, trim) in ["Lever trim", "\"Lever trim, classroom\""].into_iter().enumerate() {
        let job = with_goods(&format!("trim-half-{at}"), &[devices, &format!("1,EA,{trim},626")]);
        let worths = worths(&job, "device-trim");
        assert!(worths.len() == 3 && worths[2] > 0.0, "{worths:?}");
        assert!((worths[1] * 2.0 - worths[2]).abs() < 0.01, "{worths:?}");
    }
    let other =
        with_goods("trim-other", &["1,EA,\"Rim exit device, night latch\",626", "1,EA,\"Lever trim, classroom\",626"]);
    assert_ne!(lines(&other)[2].split(' ').next(), Some("other"));
}

#[test]
fn a_note_that_denies_a_part_takes_no_good_out() {
    let of = |name: &str, note: &str| {
        with_goods(name, &["1,EA,Door closer,689", "1,EA,Wall stop,626", &format!(",,,\n{note}")])
    };
    assert!(!asked(&of("note-without", "NOTE: SET 1: CLOSER WITHOUT HOLD OPEN"), "note-of-set"));
    assert!(asked(&of("note-omit", "NOTE: SET 1: OMIT CLOSER"), "note-of-set"));
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\nSET 1: ADD 2 HINGES\n";
    let adds = job("note-add", doors, "Set,Qty,Unit,Description,Finish\n1,3,EA,Hinge 4-1/2 x 4-1/2 BB,652\n");
    assert!(worths(&adds, "note-of-set")[1] > 0.0);
}

/// The answers of a question.
fn answers(job: &Value, rule: &str) -> Vec<String> {
    let findings = job["findings"].as_array().unwrap();
    let asked = findings.iter().find(|one| one["rule"] == rule && one["kind"] == "question");
    let answers = asked.into_iter().flat_map(|one| one["answers"].as_array().unwrap());
    answers.map(|one| one["value"].as_str().unwrap().to_owned()).collect()
}

const ONE_DOOR: &str = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";

fn one(name: &str, description: &str) -> Value {
    job(name, ONE_DOOR, &format!("Set,Qty,Unit,Description,Finish\n1,{description}\n"))
}

#[test]
fn a_plate_on_either_face_is_among_the_answers() {
    let both = one("push-pull", "4,EA,\"Push/pull plates, 4 x 16\",626");
    assert!(answers(&both, "ambiguous-word").contains(&"push plate and pull, 2 of each".to_owned()));
    assert!(answers(&one("push-only", "4,EA,\"Push plates, 4 x 16\",626"), "ambiguous-word").is_empty());
}

#[test]
fn a_drop_plate_that_no_closer_comes_with_is_asked() {
    assert!(asked(&one("drop-plate", "1,EA,Surface closer w/ drop plate,689"), "no-good-fits"));
    assert!(!asked(&one("no-plate", "1,EA,Surface closer,689"), "no-good-fits"));
}

#[test]
fn a_measure_that_the_book_has_not_is_asked() {
    let good = |job: &Value| job["sets"][0]["lines"][0]["good"]["designation"].as_str().unwrap_or("-").to_owned();
    assert_eq!(good(&one("actuator-plain", "1,EA,\"Wall actuator\",630")), "UAQ4W 630");
    assert_eq!(good(&one("actuator-size", "1,EA,\"Wall actuator, 6\"\" x 6\"\"\",630")), "UAQ6W 630");
    assert!(asked(
        &one("guard-long", "2,EA,\"Frame guard, hollow metal jamb, 36 in high, stainless steel\",630"),
        "no-good-fits"
    ));
    assert!(asked(&one("pull-long", "1,EA,\"Pull, 36 in long\",630"), "no-good-fits"));
    assert!(asked(&one("hinge-size", "3,EA,\"Hinge, 9 x 9\",652"), "no-good-fits"));
}

#[test]
fn goods_that_others_supply_with_the_lines_own_take_it_along() {
    let of = |remarks: &str| {
        let sets = format!("Set,Qty,Item,Description,Finish,Remarks\n1,1,Closer,,689,{remarks}\n");
        lines(&job(&remarks.replace(' ', "-"), ONE_DOOR, &sets))
    };
    assert_eq!(of("closer and stop by others"), ["closer excluded"]);
    assert_ne!(of("keypad by owner"), ["closer excluded"]);
}

#[test]
fn what_is_called_new_is_bought_though_another_is_salvaged() {
    let of = |name: &str, told: &str| {
        let sets = format!("Set,Qty,Item,Description,Finish,Notes\n1,1,Closer,{told},689,Salvaged closer to Owner\n");
        job(name, ONE_DOOR, &sets)
    };
    let new = of("new-closer", "\"new, reg arm\"");
    assert_eq!(lines(&new), ["closer open"]);
    assert!(asked(&new, "remark-of-whom"));
    assert_eq!(lines(&of("old-closer", "reg arm")), ["closer excluded"]);
}

#[test]
fn one_of_the_functions_named_is_meant() {
    let two = one("two-functions", "1,EA,\"Mortise latch, storeroom or classroom\",626");
    let answers = answers(&two, "ambiguous-word").join(" ");
    assert!(answers.contains("F07") && answers.contains("F05") && !answers.contains("F04"), "{answers}");
}

#[test]
fn a_lock_behind_a_strike_or_a_reader_suits_any_room() {
    let doors = "Door,Room,Width,Height,Door Matl,Frame,Set\n101,OFFICE,3-0,7-0,HM,HM,1\n";
    let lock = "Set,Qty,Unit,Description,Finish\n1,1,EA,\"Mortise lock, storeroom\",626\n";
    assert!(asked(&job("locked-office", doors, lock), "function-for-room"));
    let strike = format!("{lock}1,1,EA,\"Electric strike, fail secure, 24V\",630\n");
    assert!(!asked(&job("strike-office", doors, &strike), "function-for-room"));
}

#[test]
fn the_power_of_devices_by_others_is_theirs() {
    let of = |name: &str, whose: &str| one(name, &format!("1,EA,\"Electric strike, fail secure, 24V{whose}\",630"));
    assert!(asked(&of("strike-ours", ""), "power-supply"));
    assert!(!asked(&of("strike-theirs", " - by others"), "power-supply"));
}

#[test]
fn the_letter_b_is_one_of_two_ratings() {
    let rated = |name: &str, rating: &str| {
        let doors = format!("Door,Width,Height,Door Matl,Frame,Rating,Set\n101,3-0,7-0,HM,HM,{rating},1\n");
        answers(&job(name, &doors, "Set,Qty,Unit,Description\n1,3,EA,Hinges\n"), "rating-unclear")
    };
    assert_eq!(rated("label-b", "B"), ["rated 60 minutes", "rated 90 minutes"]);
    assert!(rated("label-x", "X").len() > 4);
}

#[test]
fn the_bolt_of_a_dutch_door_locks_nobody_in() {
    assert!(!asked(&one("dutch", "1,EA,Dutch door bolt,626"), "egress-key-inside"));
    assert!(asked(&one("bolt", "1,EA,Surface bolt,626"), "egress-key-inside"));
}

#[test]
fn a_deadbolt_at_a_dwelling_is_told_and_elsewhere_asked() {
    let of = |name: &str, room: &str| {
        let doors = format!("Door,Room,Width,Height,Door Matl,Frame,Set\n101,{room},3-0,7-0,HM,HM,1\n");
        let sets = "Set,Qty,Unit,Description,Finish\n1,1,EA,\"Cylindrical lock, passage\",626\n1,1,EA,Deadbolt,626\n";
        asked(&job(name, &doors, sets), "egress-two-motions")
    };
    assert!(!of("dwelling", "UNIT ENTRY"));
    assert!(of("office", "OFFICE"));
}

#[test]
fn the_grade_taken_for_a_lock_is_listed() {
    let told = |name: &str, words: &str| {
        let job = one(name, &format!("1,EA,\"{words}\",626"));
        let findings = job["findings"].as_array().unwrap().clone();
        findings.iter().any(|one| one["says"].as_str().unwrap_or("").contains("bored lock: grade 2"))
    };
    assert!(told("no-grade", "Cylindrical passage set"));
    assert!(!told("grade-1", "Cylindrical passage set, grade 1"));
}

#[test]
fn what_others_supply_by_a_remark_is_not_the_good_of_the_line() {
    let of = |name: &str, item: &str, remark: &str| {
        let sets = format!("Set,Qty,Description,Finish,Remarks\n1,1,{item},626,{remark}\n");
        lines(&job(name, ONE_DOOR, &sets)).join(" ")
    };
    assert_eq!(of("remark-keypad", "Storeroom lock", "keypad by owner"), of("remark-none", "Storeroom lock", ""));
    assert!(!of("remark-power", "Rim exit device 24VDC", "power supply by electrical").contains("excluded"));
    assert!(of("remark-lock", "Storeroom lock", "by owner").contains("excluded"));
    assert!(of("remark-own", "Storeroom lock", "lock by owner").contains("excluded"));
}

#[test]
fn aluminum_entrances_by_others_are_asked_about_once() {
    let of = |name: &str, remark: &str| {
        let doors = format!("Door,Width,Height,Door Matl,Frame,Set,Remarks\n101,3-0,7-0,AL,AL,1,{remark}\n");
        job(name, &doors, "Set,Qty,Description,Finish\n1,3,Hinges,652\n1,1,Rim exit device,626\n")
    };
    let told = of("entrance-told", "Hardware by others");
    assert!(asked(&told, "hardware-by-others-with-set") && !asked(&told, "storefront"));
    assert!(asked(&of("entrance-plain", ""), "storefront"));
}

#[test]
fn pivots_counted_by_their_parts_are_asked() {
    let parts = one("pivot-parts", "3,EA,\"Offset pivots, top, intermediate, bottom\",626");
    let answers = answers(&parts, "unit-quantity");
    assert_eq!(
        answers.last().map(String::as_str),
        Some("1 of each: a set of top and bottom, and an intermediate pivot")
    );
    assert!(!asked(&one("pivot-set", "1,SET,Offset pivots,626"), "unit-quantity"));
    let sets = "Set,Qty,Item,Description,Finish\n1,1,PIVOT SET,OFFSET 3/4 W/ INTERMEDIATE,626\n";
    let cells = job("pivot-cells", ONE_DOOR, sets);
    assert_eq!(cells["sets"][0]["lines"][0]["attributes"]["type"], "offset");
    assert!(asked(&cells, "also-named"));
    // With a set, the one between is bought as such.
    let with = one("pivot-with", "1,EA,Offset pivot set with intermediate,626");
    let good = |at: usize| with["sets"][0]["lines"][at]["good"]["designation"].as_str().unwrap_or("-").to_owned();
    assert_ne!(good(0), good(1));
}

#[test]
fn a_function_in_a_remark_is_one_where_it_is_called_so() {
    let of = |name: &str, remark: &str| {
        let sets = format!("Set,Qty,Description,Finish,Remarks\n1,1,Rim exit device,626,{remark}\n");
        job(name, ONE_DOOR, &sets)["sets"][0]["lines"][0]["attributes"]["function_name"].clone()
    };
    assert_eq!(of("remark-trim", "passage trim"), "passage");
    assert_eq!(of("remark-room", "at passage"), Value::Null);
}

#[test]
fn words_that_leave_goods_out_do_not_take_what_goes_on() {
    let of = |name: &str, words: &str| {
        let job = one(name, &format!("1,EA,\"{words}\",626"));
        (lines(&job).join(" ").contains("excluded"), asked(&job, "remark-of-whom"))
    };
    assert_eq!(of("with-door", "Exit device supplied with door"), (true, false));
    for (at, good) in ["door pull", "door viewer", "door closer"].iter().enumerate() {
        assert!(!of(&format!("with-door-{at}"), &format!("Exit device supplied with {good}")).0, "{good}");
    }
    assert_eq!(of("readjust", "Closer, readjust"), (true, false));
    assert_eq!(of("readjust-new", "New closer, readjust"), (false, true));
    assert_eq!(of("readjust-for", "Closer, readjust for 5 lb"), (false, true));
    let keys = one("keys-behind", "1,EA,\"1 lock F07 6 keys\",626");
    assert!(!asked(&keys, "unit-quantity"));
    let leaf = |name: &str, words: &str| asked(&one(name, &format!("2,EA,\"{words}\",626")), "some-of-them");
    assert!(leaf("leaf-with", "Rim exit devices, one leaf with cylinder"));
    assert!(!leaf("leaf-alone", "Rim exit devices, one leaf") && !leaf("leaf-all", "Rim exit devices with cylinder"));
    assert!(!asked(&one("keying-by-owner", "1,LOT,KEYING BY OWNER,"), "line-not-read"));
}

/// Doors of one set: a pair of leaves 3-0.
const ONE_PAIR: &str = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n";

/// How many of the goods of each line the doors get, where the doors are one pair with these lines.
fn counts(name: &str, goods: &[&str]) -> (Vec<String>, Value) {
    let sets: String = goods.iter().map(|good| format!("1,{good}\n")).collect();
    let job = job(name, ONE_PAIR, &format!("Set,Qty,Unit,Description,Finish\n{sets}"));
    let count = |line: &Value| line["count"].as_str().unwrap_or("-").to_owned();
    let all = job["sets"][0]["lines"].as_array().unwrap().iter().map(count).collect();
    (all, job)
}

#[test]
fn each_leaf_before_the_finish_is_what_the_count_is_per() {
    let texts = "HARDWARE SET 1\n1 EA CLOSER EACH LEAF 689\n1 EA WALL STOP PER LEAF 626\n3 EA HINGE ON EACH LEAF 652\n";
    let one = job("leaf-finish", ONE_PAIR, texts);
    let counts = |job: &Value| {
        let lines = job["sets"][0]["lines"].as_array().unwrap().clone();
        lines.iter().map(|line| line["count"].as_str().unwrap_or("-").to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(counts(&one), ["2", "2", "6"]);
    assert!(!asked(&one, "leaf-or-pair"));
    // What is counted for each leaf and is that of both is asked, and not doubled.
    let texts =
        "HARDWARE SET 1\n2 EA CLOSER EACH LEAF 689\n6 EA HINGE EACH LEAF 652\n2 EA KICK PLATE 10 X 34 EACH LEAF 630\n";
    let both = job("leaf-both", ONE_PAIR, texts);
    assert_eq!(counts(&both), ["2", "6", "4"]);
    assert!(asked(&both, "leaf-or-pair"));
}

#[test]
fn what_one_leaf_has_is_not_that_of_both() {
    let hinge = "EA,\"Continuous hinge, w/ 8 wire transfer";
    let (one, job) = counts("one-leaf-wired", &[&format!("2,{hinge} on active leaf\",628")]);
    assert_eq!(one, ["1", "1"]);
    let wires = |at: usize| job["sets"][0]["lines"][at]["attributes"]["conductors"].clone();
    assert_eq!((wires(0), wires(1)), (Value::Null, Value::from(8)));
    // So many of them, and all of them.
    assert_eq!(counts("one-of-wired", &["2,EA,\"Continuous hinge, 1 w/ 8 wire transfer\",628"]).0, ["1", "1"]);
    assert_eq!(counts("all-wired", &[&format!("2,{hinge}\",628")]).0, ["2"]);
    let (hinges, _) =
        counts("one-leaf-hinges", &["6,EA,\"Hinge, 4-1/2 x 4-1/2, w/ 8-wire transfer on active leaf\",652"]);
    assert_eq!(hinges, ["5", "1"]);
    // Where it is all that is said of the goods, they are those of the leaf.
    assert_eq!(counts("active-alone", &["2,EA,\"Closer, parallel arm, active leaf\",689"]).0, ["2"]);
    assert_eq!(counts("arm-active", &["2,EA,Closer parallel arm active leaf,689"]).0, ["2"]);
    assert_eq!(counts("bolts-inactive", &["2,EA,\"Flush bolt, automatic, inactive leaf\",626"]).0[0], "2");
    let both = "2,EA,\"Rim exit device, ELR at active and inactive leaf\",626";
    assert_eq!(counts("both-leaves", &[both]).0, ["2"]);
    let (devices, _) = counts("one-leaf-device", &["2,EA,\"Rim exit device, ELR on active leaf\",626"]);
    assert_eq!(devices, ["1", "1"]);
}

#[test]
fn a_leaf_whose_hinges_all_have_wires_is_asked() {
    let (_, wired) = counts("all-hinges", &["6,EA,\"Hinge, 4-1/2 x 4-1/2, 8 wire\",652"]);
    assert!(asked(&wired, "electrified-hinge-each"));
    let (_, mixed) =
        counts("two-hinges", &["4,EA,Hinge 4-1/2 x 4-1/2,652", "2,EA,\"Hinge, 4-1/2 x 4-1/2, 8 wire\",652"]);
    assert!(!asked(&mixed, "electrified-hinge-each"));
    let name = one("cont-label", "1,EA,Cont hinge ETW 8,628");
    assert_eq!(name["sets"][0]["lines"][0]["category"], "continuous-hinge");
}

#[test]
fn a_bare_cylinder_is_that_of_the_goods_that_take_it() {
    let kind = |name: &str, goods: &[&str]| {
        let (_, job) = counts(name, &[goods, &["1,EA,Cylinder,626"]].concat());
        let at = goods.len();
        (job["sets"][0]["lines"][at]["attributes"]["kind"].clone(), asked(&job, "cylinder-kind"))
    };
    let rim = "2,EA,\"Rim exit device, night latch\",626";
    assert_eq!(kind("cyl-rim", &[rim]), ("rim".into(), false));
    assert_eq!(kind("cyl-lock", &[rim, "1,EA,Mortise lock storeroom,626"]), ("mortise".into(), true));
    // More than the devices take, or of a length: something else has one.
    let three = counts("cyl-three", &[rim, "3,EA,Cylinder,626"]).1;
    assert!(asked(&three, "cylinder-kind") && three["sets"][0]["lines"][1]["attributes"]["kind"] == "mortise");
    let long = counts("cyl-long", &[rim, "1,EA,Cylinder 1-1/8,626"]).1;
    assert_eq!(long["sets"][0]["lines"][1]["attributes"]["kind"], "mortise");
    for (at, goods) in [
        "2,EA,\"Concealed vertical rod exit device, night latch\",626",
        "2,EA,\"Mortise exit device, night latch\",626",
        "1,EA,Mortise lock storeroom,626",
        "1,EA,Mortise deadlock,626",
        "2,EA,\"Rim exit device, exit only\",626",
        "2,EA,\"Rim exit device, night latch, cylinder dogging\",626",
    ]
    .iter()
    .enumerate()
    {
        assert_eq!(kind(&format!("cyl-{at}"), &[goods]), ("mortise".into(), false), "{goods}");
    }
}

#[test]
fn remarks_on_some_goods_of_a_set_ask_not_about_all_of_it() {
    let of = |name: &str, remark: &str| {
        let doors = format!("Door,Width,Height,Door Matl,Frame,Set,Remarks\n101,3-0,7-0,HM,HM,1,{remark}\n");
        let sets = "Set,Qty,Unit,Description,Finish\n1,3,EA,Hinge,652\n1,1,EA,Rim exit device,626\n1,1,SET,Seals,\n";
        let job = job(name, &doors, sets);
        let device = job["sets"][0]["lines"][1]["attributes"]["function"].as_str().unwrap_or("-").to_owned();
        (asked(&job, "hardware-by-others-with-set"), asked(&job, "remark-of-goods"), device)
    };
    assert_eq!(of("seals-with", "seals furnished with door"), (false, true, "01".to_owned()));
    assert_eq!(of("seals-by", "Seals by door supplier"), (false, true, "01".to_owned()));
    assert_eq!(of("all-with", "hardware furnished with door"), (true, false, "01".to_owned()));
    // What is left to others but for some goods is no question of those.
    for (at, remark) in ["Hardware by others except hinges", "Hardware by others but seals"].iter().enumerate() {
        assert!(of(&format!("all-but-{at}"), remark).0, "{remark}");
    }
    // A remark that is a function is that of the device; a room, or more than a function, is none.
    assert_eq!(of("remark-night", "Night latch"), (false, false, "03".to_owned()));
    assert_eq!(of("remark-class", "Classroom"), (false, false, "01".to_owned()));
    assert!(!asked(&one("installed-by", "1,SET,\"Smoke seals, installed by mfr\",BK"), "remark-of-whom"));
    assert!(asked(&one("furnished-by", "1,SET,\"Smoke seals, by mfr\",BK"), "remark-of-whom"));
}

#[test]
fn of_a_door_that_is_out_nothing_else_is_spared() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set,Remarks\n101,3-0,7-0,HM,HM,1,hardware furnished with door\n\
                 102,3-0,7-0,HM,HM,2,\n";
    let sets = "Set,Qty,Unit,Description,Finish\n1,3,EA,Hinge,652\n1,1,EA,Privacy lock,626\n2,3,EA,Hinge,652\n";
    let job = job("out-alone", doors, sets);
    let money = |value: &Value| value.as_str().unwrap().parse::<f64>().unwrap();
    let out = worths(&job, "hardware-by-others-with-set").into_iter().fold(0.0, f64::min);
    let (total, low) = (money(&job["totals"]["total"]), money(&job["totals"]["exposure_low"]));
    // The lock of the door that is out may be a cheaper one, which is not spared besides.
    assert!(worths(&job, "ambiguous-word").iter().any(|worth| *worth < 0.0));
    assert!(out < 0.0 && (total + out - low).abs() < 0.005, "{total} {out} {low}");
}

#[test]
fn what_comes_with_a_part_of_the_opening_is_its_makers() {
    let excluded = |name: &str, words: &str| lines(&one(name, &format!("1,EA,\"{words}\","))) == ["gasketing excluded"];
    for (at, words) in
        ["furnished with aluminum frame", "integral with frame", "supplied w/ the storefront"].iter().enumerate()
    {
        assert!(excluded(&format!("comes-{at}"), &format!("Weatherstrip {words}")), "{words}");
    }
    for (at, words) in ["furnished with frame gasket", "furnished with steel screws", "with frame"].iter().enumerate() {
        assert!(!excluded(&format!("stays-{at}"), &format!("Weatherstrip {words}")), "{words}");
    }
    for (at, words) in
        ["not furnished with frame", "if not furnished with frame", "not provided with door"].iter().enumerate()
    {
        assert!(!excluded(&format!("denied-{at}"), &format!("Weatherstrip {words}")), "{words}");
    }
    assert_eq!(
        lines(&one("faceplate", "1,EA,\"Electric strike, faceplate furnished with frame\",630")),
        ["electric-strike open"]
    );
    let hardware = one("with-door-hardware", "1,EA,Exit device furnished with door hardware,626");
    assert_ne!(lines(&hardware), ["exit-device excluded"]);
}

#[test]
fn one_of_the_goods_in_words_is_some_of_them() {
    let (counts, job) = counts("one-with", &["2,EA,\"Rim exit device, one with storeroom lever\",626"]);
    assert_eq!(counts, ["2"]);
    assert!(asked(&job, "some-of-them") && job["sets"][0]["lines"][0]["attributes"]["function_name"] == Value::Null);
    assert!(!asked(&one("one-alone", "1,EA,\"Rim exit device, one sided, storeroom lever\",626"), "some-of-them"));
    let remark = |name: &str, remark: &str| {
        let doors = format!("Door,Width,Height,Door Matl,Frame,Set,Remarks\n101,6-0 PR,7-0,HM,HM,1,{remark}\n");
        let job = self::job(name, &doors, "Set,Qty,Unit,Description,Finish\n1,6,EA,Hinge,652\n");
        worths(&job, "hardware-in-remarks").into_iter().fold(0.0, f64::max)
    };
    let (whole, leaf) = (remark("operators", "AUTO OPERATOR"), remark("operator", "AUTO OPERATOR ON ONE LEAF"));
    assert!(leaf > 0.0 && leaf < whole * 0.6, "{whole} {leaf}");
}

#[test]
fn a_latch_with_a_cylinder_is_no_passage_latch() {
    let of = |name: &str, words: &str| {
        let job = one(name, &format!("1,EA,{words},626"));
        (asked(&job, "undecided-attribute"), job["sets"][0]["lines"][0]["attributes"]["function_name"].clone())
    };
    assert_eq!(of("latch-cylinder", "Mortise latch w/ cylinder"), (true, Value::Null));
    assert_eq!(of("latch-alone", "Mortise latch"), (false, "passage".into()));
    assert_eq!(of("latch-less", "Mortise latch less cylinder").1, "passage");
    // Gear by itself may be of a hinge, and is asked; beside the words for one it is.
    let gear = |name: &str, words: &str| asked(&one(name, &format!("1,EA,{words},628")), "ambiguous-word");
    assert!(
        gear("gear-alone", "Gear") && !gear("gear-hinge", "Cont hinge gear") && !gear("gear-full", "Full mortise gear")
    );
}

#[test]
fn plates_have_the_look_of_the_set_whether_or_not_their_width_is_given() {
    let goods = |name: &str, finish: &str| {
        let plates = "1,1,EA,Kick plate,\n1,1,EA,Kick plate 10 x 34,\n";
        let sets = format!("Set,Qty,Unit,Description,Finish\n1,1,EA,Passage lock,{finish}\n{plates}");
        let job = job(name, ONE_DOOR, &sets);
        let good =
            |at: usize| job["sets"][0]["lines"][at]["good"]["attributes"]["finish"].as_str().unwrap_or("-").to_owned();
        let price = |at: usize| job["sets"][0]["lines"][at]["unit_price"].clone();
        assert_eq!(price(1), price(2), "{finish}");
        (good(1), good(2))
    };
    let two = |finish: &str| (finish.to_owned(), finish.to_owned());
    assert_eq!(goods("plates-chromium", "626"), two("630"));
    assert_eq!(goods("plates-bronze", "613"), two("613"));
    assert_eq!(goods("plates-none", ""), two("630"));
    let said = job(
        "plate-said",
        ONE_DOOR,
        "Set,Qty,Unit,Description,Finish\n1,1,EA,Kick plate 10 x 34,626\n1,1,EA,Kick plate 10 x 34,613\n",
    );
    let finish = |at: usize| said["sets"][0]["lines"][at]["good"]["attributes"]["finish"].clone();
    assert_eq!((finish(0), finish(1)), ("626".into(), "613".into()));
}

#[test]
fn a_count_is_parted_by_a_cell_beside_the_name() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let counts = |name: &str, words: &str| {
        let sets = format!("Set,Qty,Description,Finish,Notes\n1,3,Cylinders,626,\"{words}\"\n");
        let job = job(name, doors, &sets);
        let lines = job["sets"][0]["lines"].as_array().unwrap();
        let said = |line: &Value| format!("{} {}", line["quantity"].as_str().unwrap(), line["attributes"]["kind"]);
        (lines.iter().map(said).collect::<Vec<_>>(), asked(&job, "unit-quantity"))
    };
    let (parted, asked) = counts("shares-beside", "(2) rim, (1) mortise");
    assert!(parted == ["2 \"rim\"", "1 \"mortise\""] && !asked, "{parted:?}");
    // They do not add up: asked as before.
    let (other, _) = counts("shares-no-sum", "(2) rim, (2) mortise");
    assert_ne!(other, ["2 \"rim\"", "1 \"mortise\""]);
}

#[test]
fn one_leaf_only_takes_the_wires_from_the_other() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,6-0 PR,7-0,HM,HM,1\n";
    let wired = |name: &str, words: &str| {
        let line = "1,2,\"Concealed vertical rod exit devices, electric latch retraction\",626";
        let job = job(name, doors, &format!("Set,Qty,Description,Finish,Notes\n{line},{words}\n"));
        let lines = job["sets"][0]["lines"].as_array().unwrap().iter();
        let wired =
            lines.map(|line| format!("{} {}", line["quantity"].as_str().unwrap(), line["attributes"]["electrified"]));
        wired.collect::<Vec<_>>()
    };
    for (name, words) in [("only-one-active", "One active leaf only"), ("only-active", "Active leaf only")] {
        assert_eq!(wired(name, words), ["1 null", "1 \"latch-retraction\""], "{words}");
    }
    // What is said of the leaf is something else, or of both.
    for (name, words) in [("leaf-pull", "Pull at active leaf only"), ("leaf-both", "Both leaves")] {
        assert!(wired(name, words).iter().all(|line| line.contains("latch-retraction")), "{words}");
    }
}

#[test]
fn a_name_alone_in_its_column_and_its_kind_beside_it_are_one_name() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let sets = "Set,Qty,Item,Description,Finish\n1,3,Hinge,\"Spring, 4-1/2 x 4-1/2\",652\n1,1,Bottom,\"Door, automatic\",628\n\
                1,1,Lock,\"Dead bolt, classroom\",626\n1,3,Hinge,\"Ball bearing, 4-1/2 x 4-1/2\",652\n1,1,Strike,Electric or mechanical,630\n";
    let found = lines(&job("noun-first", doors, sets));
    let kinds: Vec<&str> = found.iter().map(|line| line.split(' ').next().unwrap()).collect();
    assert_eq!(kinds[..4], ["spring-hinge", "door-bottom", "deadlock", "hinge"]);
    assert_ne!(found[4], "electric-strike settled");
}

#[test]
fn goods_for_the_keys_are_asked_though_the_keying_is_the_owners() {
    let doors = "Door,Width,Height,Door Matl,Frame,Set\n101,3-0,7-0,HM,HM,1\n";
    let sets = "SET 1,,\n1,EA,\"Mortise lock, storeroom F07\"\n,,\n";
    let told =
        |name: &str, note: &str| asked(&job(name, &format!("{doors},,,,,\nNOTES,,,,,\n{note},,,,,\n"), sets), "keying");
    assert!(told("cores-asked", "1. All keying per Owner. Furnish construction cores."));
    assert!(told("cards-asked", "1. Guest room locks: provide encoder and 200 key cards to Owner."));
    assert!(!told("keying-owner", "1. All keying per Owner."));
    assert!(!told("cores-owner", "1. Cores and keying by Owner."));
}

#[test]
fn hardware_that_comes_with_a_vault_door_is_not_ours() {
    let doors = "Door,Width,Height,Door Matl,Frame,Rating,Set\n101,3-0,7-0,HM,HM,90,1\n";
    let found =
        |name: &str, words: &str| lines(&job(name, doors, &format!("Set,Qty,Description,Finish\n1,1,{words},\n")));
    assert_eq!(found("with-vault", "Hardware furnished with vault door"), ["- excluded"]);
    assert!(found("for-vault", "Mortise lock storeroom for vault door")[0].starts_with("mortise-lock"));
}
