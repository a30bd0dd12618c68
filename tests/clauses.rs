//! What a clause of a line speaks of, and what is written without spaces, points or marks.

use pintle::read::schedule::{PartRole, Wording};
use pintle::trade::attribute::Attr;
use pintle::understand::reading::{Heard, RemarkKind, Surroundings};
use pintle::understand::{Lexicon, understand};

/// What is heard of an attribute, in words; `?` behind it: it is left open.
fn heard_of(text: &str, name: &str) -> String {
    let lexicon = Lexicon::load(&[]).unwrap();
    let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
    match reading.attributes.get(&Attr::new(name)) {
        Some(Heard::Found(value, _)) => value.to_string(),
        Some(Heard::Ambiguous(_)) => "?".to_owned(),
        _ => String::new(),
    }
}

#[test]
fn a_condition_ends_where_the_line_speaks_of_the_good_again() {
    let closer = "Door check with hold-open arm where the Architect directs, parallel arm, heavy duty 689";
    let heard = ["hold_open", "arm", "duty", "finish"].map(|name| heard_of(closer, name));
    assert_eq!(heard, ["?", "parallel", "heavy", "689"]);
    assert_eq!(heard_of("Locks only at interior closets: Grade 1, lever", "grade"), "1");
    // What "or" goes on with is still of the condition.
    assert_eq!(heard_of("closer unless concealed, parallel arm or floor mounted", "arm"), "");
}

#[test]
fn counts_and_sizes_run_together_are_read() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let count = |text: &str| {
        let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        reading.quantity.amount.map(|amount| amount.to_string()).unwrap_or_default()
    };
    for (text, amount) in
        [("3clsr 689", "3"), ("1bored clsrm 626", "1"), ("3-hgs 652", "3"), ("3sil gry", "3"), ("8-wire hinge", "")]
    {
        assert_eq!(count(text), amount, "{text}");
    }
    for (text, height, width) in
        [("hinge 45x45", "4.5", "4.5"), ("hinge 5x45", "5", "4.5"), ("hinge 114x102", "4.5", "4")]
    {
        assert!(heard_of(text, "height").starts_with(height), "{text}: {}", heard_of(text, "height"));
        assert!(heard_of(text, "width").starts_with(width), "{text}");
    }
    assert_eq!(
        (heard_of("BB hinge 4.5x4? 652", "height"), heard_of("BB hinge 4.5x4? 652", "width")),
        ("4.5".into(), String::new())
    );
    assert_eq!(heard_of("door viewer UL 626", "finish"), "626", "a finish is no number of a standard");
    assert_eq!(heard_of("rim exit device for 36 inch door", "length"), "36");
}

#[test]
fn goods_on_both_sides_and_in_pairs_are_two_or_asked() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let counts = |text: &str| {
        let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        let number =
            |amount: Option<rust_decimal::Decimal>| amount.map(|amount| amount.to_string()).unwrap_or_default();
        (number(reading.quantity.amount), number(reading.quantity.conflict.map(|(amount, _)| amount)))
    };
    for (text, amount, other) in [
        ("Push plates both sides 8x16", "2", ""),
        ("1 kick plate 10x34 each side", "1", "2"),
        ("2 kick plates 10x34 both sides", "2", ""),
        ("1 flush bolts manual, pair 626", "1", "2"),
        ("1 closer both sides", "1", ""),
        ("change keys 4 per lock, 6 GMK", "", ""),
    ] {
        assert_eq!(counts(text), (amount.to_owned(), other.to_owned()), "{text}");
    }
}

#[test]
fn a_deduction_is_that_of_a_plate_and_has_the_measure_of_its_line() {
    for (text, less) in
        [("kick plate 8 hi less 2", "2"), ("Kick plate 250 x 860 mm less 50", "1.9375"), ("hinge 4.5 x 4.5 less 2", "")]
    {
        assert_eq!(heard_of(text, "width_less"), less, "{text}");
    }
}

#[test]
fn a_standard_is_no_document_that_was_not_read_and_a_lock_preparation_no_door() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let remarks = |text: &str| {
        let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::SeeElsewhere)
    };
    assert!(
        !remarks("Continuous hinge A156.26 Gr 1")
            && !remarks("mortise lock ANSI A156.13")
            && remarks("closer, see spec")
    );
    assert_eq!(heard_of("electric strike for 161 prep", "for"), "bored");
}

#[test]
fn the_cell_of_the_item_names_it_and_the_next_describes_it() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let mut wording = Wording::default();
    wording.push(PartRole::Description, "EXIT DEVICE", None);
    wording.push(PartRole::Description, "RIM NIGHT LATCH W/ PULL", None);
    let reading = understand(&lexicon, &wording, &Surroundings::default()).remove(0);
    assert_eq!(reading.category.found().map(|category| category.name()), Some("exit-device"));
    assert!(reading.unread.is_empty(), "{:?}", reading.unread);
}

#[test]
fn a_comma_parts_the_decimals_of_a_size_and_nothing_else() {
    assert_eq!(heard_of("threshold 125 x 12,5 mm", "height"), "0.5");
    assert_eq!(heard_of("hinge 4,5 x 4,5", "width"), "4.5");
    assert_eq!(heard_of("closer size 3,4 at 101", "width"), "");
}

/// A few joined to a name by a hyphen are a count, unless a part of the goods follows; more are one where the name is a plural or short.
#[test]
fn a_hyphen_makes_a_count_of_few() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let counted = |wording: &str| {
        let readings = understand(&lexicon, &Wording::free(wording), &Surroundings::default());
        readings[0].quantity.amount.map(|amount| amount.to_string())
    };
    for (wording, amount) in [
        ("36-SWEEP", None),
        ("83-CONTINUOUS HINGE", None),
        ("48-RIM EXIT DEVICE", None),
        ("84-ASTRAGAL", None),
        ("4-BUTTON KEYPAD", None),
        ("4-BEVELED KICK PLATE", None),
        ("2-CYLINDER DEADLOCK", None),
        ("16-PUSH PLATE", None),
        ("3-HGS 4.5 X 4.5", Some("3")),
        ("3-HINGES 4.5 X 4.5", Some("3")),
        ("1-CLOSER", Some("1")),
        ("3-SIL", Some("3")),
        ("2-KICK PLATE 10 X 34", Some("2")),
        ("2-RIM EXIT DEVICE", Some("2")),
        ("3-BALL BEARING HINGES", Some("3")),
        ("2-HEAVY DUTY CLOSERS", Some("2")),
        ("4-SILENCER", Some("4")),
        ("12-HINGES", Some("12")),
        ("2-CLOSERS", Some("2")),
        ("2-KICK PLATE 10 X 34", Some("2")),
        ("2-DOOR CLOSER", Some("2")),
        ("2-RIM EXIT DEVICE", Some("2")),
        ("2-MORTISE CYLINDER", Some("2")),
        ("4-SILENCER", Some("4")),
        ("3-BALL BEARING HINGES", Some("3")),
        ("2-HEAVY DUTY CLOSERS", Some("2")),
        ("3-FULL MORTISE BUTTS", Some("3")),
        ("2-STAINLESS KICK PLATES", Some("2")),
        ("12-HINGES", Some("12")),
    ] {
        assert_eq!(counted(wording).as_deref(), amount, "{wording}");
    }
}

/// The quantity's column may stand between those of the item and of the description, whose noun decides.
#[test]
fn a_quantity_between_item_and_description_parts_no_name() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let parts = |item: &str, count: &str, description: &str| {
        let roles = [PartRole::Description, PartRole::Quantity, PartRole::Description];
        let cells = roles.into_iter().zip([item, count, description]);
        let mut wording = Wording::default();
        cells.for_each(|(role, cell)| wording.push(role, cell, None));
        let readings = understand(&lexicon, &wording, &Surroundings::default());
        readings[0].category.found().map(|category| category.name())
    };
    assert_eq!(parts("HINGE", "3", "CONTINUOUS HINGE 628"), Some("continuous-hinge"));
    assert_eq!(parts("WEATHERSTRIP", "1", "THRESHOLD"), Some("threshold"));
    assert_eq!(parts("HINGE", "3", "4-1/2 X 4-1/2 652"), Some("hinge"));
}

/// Whose goods are is said of the makers of frames and fronts too; that others supply the rest takes nothing out.
#[test]
fn others_are_named_by_their_trade() {
    let lexicon = Lexicon::load(&[]).unwrap();
    let others = |text: &str| {
        let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers)
    };
    for text in [
        "sound seals by AL frame mfr",
        "silencers by frame mfr",
        "pulls by storefront manufacturer",
        "closer by others",
    ] {
        assert!(others(text), "{text}");
    }
    for text in ["mortise cylinder, balance by others", "sound seals for AL frame", "closer"] {
        assert!(!others(text), "{text}");
    }
}

#[test]
fn who_supplies_openings_supplies_what_is_by_them() {
    let others = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        (reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers), reading.unread.len())
    };
    for by in [
        "alum. door manufacturer",
        "aluminum door & frame mfr.",
        "the glass entrance supplier",
        "hollow metal frame fabricator",
        "curtain wall contractor",
        "overhead door co.",
        "wood window installer",
    ] {
        assert_eq!(others(&format!("Weatherstrip by {by}")), (true, 0), "{by}");
    }
    for by in ["hardware supplier", "door hardware supplier", "the finish hardware contractor"] {
        assert_eq!(others(&format!("Cylinder by {by}")), (false, 0), "{by}: that is us");
    }
    // Neither a size nor who makes other goods.
    assert!(!others("Hinges 4.5 by 4.5 standard mfr").0 && !others("Closer by lock manufacturer").0);
}

/// What others do with a good leaves it ours; who furnishes it as well takes it out, and a contractor who may be ours is asked.
#[test]
fn who_coordinates_or_verifies_does_not_supply() {
    let heard = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        let out = reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers);
        (out, reading.doubts.iter().any(|doubt| doubt.code == "remark-of-whom"))
    };
    for text in [
        "Closer coordinated by door and frame supplier",
        "Exit device verified by GC",
        "Electric strike coordination by others",
        "Hinge, reviewed by door and frame contractor",
        "Kick plate mounted by HM door supplier",
        "Closer, adjusted by door supplier",
    ] {
        assert_eq!(heard(text), (false, false), "{text}");
    }
    for text in [
        "Closer furnished by door and frame supplier",
        "Closer furnished, coordinated by door and frame supplier",
        "Closer by GC",
    ] {
        assert_eq!(heard(text), (true, false), "{text}");
    }
    for text in ["CLOSER CONTRACTOR FURN", "Hinges, contractor furnished"] {
        assert_eq!(heard(text), (false, true), "{text}");
    }
}

/// The word "function" says which name of a lock is its function.
#[test]
fn what_is_called_a_function_is_the_function() {
    for (text, name) in [
        ("Entry lock, storeroom function", "storeroom"),
        ("Classroom lock, storeroom function", "storeroom"),
        ("Passage set, privacy function", "privacy"),
        ("Storeroom lock", "storeroom"),
        ("Storeroom lock, storeroom function", "storeroom"),
    ] {
        assert_eq!(heard_of(text, "function_name"), name, "{text}");
    }
    assert_ne!(heard_of("Entry lock, storeroom or classroom function", "function_name"), "classroom");
    assert_eq!(heard_of("Entry lock, storeroom function 626", "function_name"), "storeroom");
    for text in [
        "Privacy lock with passage function override",
        "Electrified storeroom lock, passage function during business hours",
    ] {
        assert_ne!(heard_of(text, "function_name"), "passage", "{text}");
    }
}

#[test]
fn what_is_keyed_by_the_owner_leaves_the_good_ours() {
    let others = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers)
    };
    for text in [
        "Rim cylinder x keyway by owner",
        "Rim cylinder x permanent core by owner",
        "Mortise cylinder, keyed by owner",
        "Cylinder, key section by owner",
        "Lockset F07, lever design to be selected by owner",
        "Mortise lock, F07, keys and cores by owner",
        "Mortise lock, cylinder and core by owner",
        "Mortise lock with lever & escutcheon, core by owner",
        "Lockset, less core and keys by owner",
        "Deadlock, keying and cores by owner",
        "Exit device, lever trim and cylinder, core by owner",
        "Exit device with night latch and pull, cores by owner",
        "Lever lockset, construction cores and keys by GC",
        "Cylinder, cores and keys by owner",
    ] {
        assert!(!others(text), "{text}");
    }
    for text in [
        "Cylinder by owner",
        "Permanent core by owner",
        "Mortise cylinders & permanent cores by owner",
        "Mortise lock and keys by owner",
        "Mortise lock, F07, by owner",
    ] {
        assert!(others(text), "{text}");
    }
}

#[test]
fn what_stood_at_another_door_is_not_new() {
    let existing = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::Existing)
    };
    assert!(existing("Closer from door 105") && existing("Closer from 111") && existing("Lock, salvaged from 111"));
    assert!(
        !existing("Hinge from 4 to 6") && !existing("Kick plate cut from 36 sheet") && !existing("Wire from 111 mm")
    );
    assert!(existing("2 Closers, from room 105") && existing("Wall stop (from 1105)"));
    // Several doors, and none of them left as a word that is not understood; a finish behind them is the finish.
    let unread = |text: &str| {
        understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0).unread.len()
    };
    for text in ["Hinges from 101, 102", "Hinges from doors 101 & 102", "Hinges (from 101, 102 and 104)"] {
        assert!(existing(text) && unread(text) == 0, "{text}");
    }
    assert!(existing("Hinges from 101, 652") && unread("Hinges from 101, 652") == 0);
    assert!(!existing("Hinges from 101 to 104"));
    for text in [
        "Threshold cut from 144",
        "Threshold from 144",
        "Gasketing cut from 204",
        "Closer, change finish from 626",
        "Hinge, from 652",
        "Mortise lock, upgraded from 600",
        "Power supply 24V from 120",
        "Transformer 24VDC from 120",
        "Electric strike, 24V from 901",
        "Maglock, power from 901",
        "Lock, keyed from 101",
        "Lock, keys from 101",
        "Cylinder keyed alike, from 100",
        "Electric strike, release from 100",
        "Electric strike, remote release from room 101",
        "Exit device, access from room 101",
        "Lock, operated from 105",
        "Key switch, control from 101",
    ] {
        assert!(!existing(text), "{text}");
    }
}

/// What is there already beside a good is no part of it; that a door or frame stays leaves the good of the line new.
#[test]
fn what_is_there_beside_the_good_is_no_part_of_it() {
    for (text, trim) in [
        ("Rim exit device x existing pull", ""),
        ("Rim exit device w/ existing lever trim", ""),
        ("Rim exit device x pull", "pull"),
        ("Rim exit device, lever trim, for existing door", "lever"),
    ] {
        assert_eq!(heard_of(text, "trim"), trim, "{text}");
    }
    assert_eq!(heard_of("Electric strike for existing mortise lock", "for"), "mortise");
    let out = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::Existing)
    };
    for text in
        ["Closer (existing frame to remain)", "Closer, existing door and frame to remain", "Closers; frame to remain"]
    {
        assert!(!out(text), "{text}");
    }
    for text in ["Closer, existing to remain", "Existing closer to remain", "Closer (existing to remain)"] {
        assert!(out(text), "{text}");
    }
}

#[test]
fn a_stop_that_is_not_in_the_closer_is_a_stop() {
    let left_out = |text: &str| {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        reading.remarks.iter().any(|remark| remark.kind == RemarkKind::NotUsed)
    };
    assert!(left_out("Stop in closer") && left_out("Stop by closer") && left_out("Stop (in closer arm)"));
    assert!(left_out("Stop, not used"));
    for text in ["Stop, not in closer", "Floor stop by closer mfr", "Floor stop by closer side", "Stop, not by closer"]
    {
        assert!(!left_out(text), "{text}");
    }
}

#[test]
fn goods_of_doors_that_may_slide_are_what_they_are_called() {
    use pintle::trade::category::Category;
    use pintle::understand::reading::Heard;
    let all = |text: &str| -> Vec<Category> {
        let reading =
            understand(&Lexicon::load(&[]).unwrap(), &Wording::free(text), &Surroundings::default()).remove(0);
        match reading.category {
            Heard::Found(category, _) => vec![category],
            Heard::Ambiguous(all) => all.iter().map(|(category, _)| *category).collect(),
            Heard::Absent => Vec::new(),
        }
    };
    // Closets, slide arms, what the line is not for: nothing slides.
    for (text, first) in [
        ("Closet door lockset", Category::MortiseLock),
        ("Closet door closer", Category::Closer),
        ("Slide track door closer", Category::Closer),
        ("Closer w/ slide arm door side", Category::Closer),
        ("Closer, pocket in door", Category::Closer),
        ("Closer pull side slide track doors", Category::Closer),
        ("Mortise lock, not for sliding door", Category::MortiseLock),
        ("Mortise lock, except at sliding doors", Category::MortiseLock),
        ("Mortise lock F07 - door leaf adjacent sliding door", Category::MortiseLock),
    ] {
        let all = all(text);
        assert!(all[0] == first && !all.contains(&Category::Other), "{text}: {all:?}");
    }
    // What may be other hardware is asked, and priced as it is called.
    for (text, first) in [
        ("Mortise lock for sliding glass door", Category::MortiseLock),
        ("Folding door closer", Category::Closer),
        ("Key switch", Category::Actuator),
        ("Keyswitch, wall", Category::Actuator),
        ("Floor bolt", Category::FlushBolt),
    ] {
        let all = all(text);
        assert!(all[0] == first && all.contains(&Category::Other), "{text}: {all:?}");
    }
    // One name of a good for such a door: unpriced, and asked with what it may be.
    for (text, second) in [
        ("Closer, sliding door", Category::Closer),
        ("Sliding door closer", Category::Closer),
        ("Stop, pocket door", Category::Stop),
    ] {
        let all = all(text);
        assert!(all[0] == Category::Other && all.contains(&second), "{text}: {all:?}");
    }
    for text in ["Sliding door lock", "Closet door track", "Wardrobe door track", "Slider track kit"] {
        assert_eq!(all(text), [Category::Other], "{text}");
    }
}
