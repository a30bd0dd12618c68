//! The understanding room from outside: wordings and what an expert reads in them.

use std::collections::BTreeMap;
use std::path::Path;

use pintle::read::schedule::{PartRole, Wording};
use pintle::understand::reading::{Heard, Reading, RemarkKind, Surroundings};
use pintle::understand::{Lexicon, understand};

fn lexicon() -> &'static Lexicon {
    static LEXICON: std::sync::OnceLock<Lexicon> = std::sync::OnceLock::new();
    LEXICON.get_or_init(|| Lexicon::load(&[]).expect("the embedded lists load"))
}

/// A reading in short: category, quantity, attributes that are settled; `?` behind those that are not.
fn short(reading: &Reading) -> String {
    let mut text = match &reading.category {
        Heard::Found(category, _) => category.name().to_owned(),
        Heard::Ambiguous(all) => format!("{}?", all.iter().map(|(c, _)| c.name()).collect::<Vec<_>>().join("/")),
        Heard::Absent => "-".to_owned(),
    };
    if let Some(amount) = reading.quantity.amount {
        text.push_str(&format!(" {amount} {}", reading.quantity.unit.word()));
    }
    for (attribute, heard) in &reading.attributes {
        match heard {
            Heard::Found(value, _) => text.push_str(&format!(" {attribute}={value}")),
            Heard::Ambiguous(all) => {
                let all: Vec<String> = all.iter().map(|(value, _)| value.to_string()).collect();
                text.push_str(&format!(" {attribute}={}?", all.join("/")));
            }
            Heard::Absent => {}
        }
    }
    text
}

fn read(wording: &str) -> String {
    let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
    readings.iter().map(short).collect::<Vec<_>>().join(" & ")
}

#[test]
fn the_first_example_reads_as_an_expert_reads_it() {
    assert_eq!(
        read("4-1/2 x 4-1/2 BB heavy 6-wire satin chrome"),
        "hinge base=steel bearing=ball conductors=6 finish=652 height=4.5 look=satin-chromium weight=heavy width=4.5"
    );
}

/// Prints readings of `WORDINGS` (one a line) for looking at; checks nothing by itself.
#[test]
#[ignore = "a tool for looking at readings: WORDINGS=file cargo test --test understand -- --ignored --nocapture"]
#[allow(clippy::print_stdout, reason = "showing is what it is for")]
fn show() {
    let Ok(file) = std::env::var("WORDINGS") else { return };
    let text = std::fs::read_to_string(file).expect("the file of wordings can be read");
    for wording in text.lines().filter(|line| !line.trim().is_empty()) {
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        println!("{wording}");
        for reading in &readings {
            let unread: Vec<&str> = reading.unread.iter().map(|span| &wording[span.clone()]).collect();
            let doubts: Vec<&str> = reading.doubts.iter().map(|doubt| doubt.code).collect();
            let remarks: Vec<String> = reading.remarks.iter().map(|remark| format!("{:?}", remark.kind)).collect();
            println!("    {}  unread {unread:?} doubts {doubts:?} {remarks:?}", short(reading));
        }
    }
}

/// Every byte that is not white space is found, ambiguous, ignored or unread.
/// Seals and silencers have colours, not platings: standards give them no finish code (common practice).
#[test]
fn a_black_seal_is_black_and_a_black_closer_is_painted() {
    for (wording, wanted) in [
        ("smoke gasketing BLK", "finish=black"),
        ("silencers GRY", "finish=grey"),
        ("smoke gasketing 628", "finish=628"),
        ("closer black", "finish=693"),
    ] {
        let reading = read(wording);
        assert!(reading.split(' ').any(|word| word == wanted), "{wording}: {reading}");
    }
}

#[test]
fn nothing_is_lost() {
    for wording in ["HGS BB 4-1/2x4-1/2 NRP 652", "½ XQ-99 ×, “foo” bar (3) ws / dps n.i.c. see note 4", "DPS", "3"]
    {
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        let mut covered: BTreeMap<usize, ()> = BTreeMap::new();
        for span in readings.iter().flat_map(spans) {
            covered.extend(span.map(|byte| (byte, ())));
        }
        for (at, c) in wording.char_indices().filter(|(_, c)| !c.is_whitespace()) {
            assert!(covered.contains_key(&at), "{wording}: {c} at {at} is lost: {}", read(wording));
        }
    }
}

/// Labelled wordings, each in its cells, one behind another, and with signs strewn in that no list has.
#[test]
fn nothing_of_a_labelled_wording_is_lost() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/truth");
    let mut wordings: Vec<Wording> = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the labelled wordings are there").flatten() {
        if entry.file_name() == "score.csv" || entry.path().extension().is_none_or(|extension| extension != "csv") {
            continue;
        }
        let mut reader = csv::Reader::from_path(entry.path()).expect("the labels can be read");
        for record in reader.records() {
            let record = record.expect("the row is sound");
            let mut wording = Wording::default();
            let roles = [PartRole::Quantity, PartRole::Description, PartRole::CatalogNumber, PartRole::Finish];
            roles.into_iter().zip(&record).for_each(|(role, cell)| wording.push(role, cell, None));
            wordings.push(wording);
        }
    }
    assert!(wordings.len() > 1_000, "{} wordings", wordings.len());
    let texts: Vec<String> = wordings.iter().map(|wording| wording.text.clone()).collect();
    for (place, text) in texts.iter().enumerate() {
        let other = &texts[(place * 7_919 + 13) % texts.len()];
        let joint = [" ", ", ", "/", "\n", " & ", "; w/ "][place % 6];
        wordings.push(Wording::free(&format!("{text}{joint}{other}")));
        let sign = ['\u{e9}', '\u{bd}', '\u{fffd}', '\u{1d7d8}', '\u{2033}', '\u{a0}', '\u{4e2d}', '"'][place % 8];
        let strewn: String = text.chars().flat_map(|c| if c == ' ' { vec![c, sign] } else { vec![c] }).collect();
        wordings.push(Wording::free(&strewn));
    }
    for wording in &wordings {
        let text = &wording.text;
        let mut covered = vec![false; text.len()];
        for span in understand(lexicon(), wording, &Surroundings::default()).iter().flat_map(spans) {
            assert!(text.get(span.clone()).is_some(), "{span:?} of {text:?} is no text");
            covered[span].fill(true);
        }
        for (at, c) in text.char_indices().filter(|(_, c)| !c.is_whitespace()) {
            assert!(covered[at], "{c:?} at {at} of {text:?} is lost");
        }
    }
}

/// Wordings that were once misread, each for a class of them.
#[test]
fn what_stands_apart_or_inside_is_read() {
    for (wording, wanted) in [
        ("auto DB 36 AL", "door-bottom form=automatic length=36"),
        ("threshold saddle 5 x 1/2 alum, 36", "threshold length=36 width=5"),
        ("sweep neoprene AL 36", "sweep length=36"),
        ("630 CTC 10 pull", "pull center_to_center=10 finish=630"),
        ("hinges US26D/626", "hinge finish=652/626?"),
        ("flush or surface bolt 626", "flush-bolt/surface-bolt?"),
        ("kick/mop plate 630", "protection-plate kind=kick/mop?"),
        ("prox reader, mullion mount", "reader type=proximity"),
        ("hinge 114 x 102 BB", "hinge height=4.5 width=4"),
        ("hinges 4 or 4-1/2 x 4-1/2", "hinge height=4/4.5?"),
        ("KP 10x34 or 12x34", "protection-plate height=10/12?"),
        ("kick plate 10 x (DW-2)", "protection-plate height=10 width_less=2"),
        ("privacy lever cyl", "bored-lock function=F76"),
        ("mortise lock w/ DPS & RX", "mortise-lock monitor=door-position, request-to-exit"),
        ("rim panic x lever x cyl dogging", "exit-device dogging=cylinder trim=lever"),
        ("power operator 115VAC", "operator voltage=120"),
        ("exit device rim, passage 14", "exit-device function=14"),
        ("cyl lockset storeroom lesscore", "bored-lock cylinder=less-core"),
        ("O/H holder conc US32D", "overhead-stop finish=630 mounting=concealed"),
    ] {
        let reading = read(wording);
        let words: Vec<&str> = reading.split(' ').collect();
        for want in wanted.split(' ') {
            assert!(words.contains(&want) || reading.contains(wanted), "{wording}: {want} in {reading}");
        }
    }
    // Of three hinges one has wires, unless the line adds it.
    for (wording, wanted) in [
        ("1-1/2 pr hinges 4-1/2 x 4-1/2 BB 652, 1 ETW", ["hinge 2 each", "hinge 1 each"]),
        ("3 hinges 4.5x4.5 BB 630, one to be ETW 8 wire", ["hinge 2 each", "hinge 1 each"]),
        ("2 ea hinges 4.5x4.5 BB 652 & 1 ea ETW hinge 8 wire", ["hinge 2 each", "hinge 1 each"]),
    ] {
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        let told: Vec<String> = readings.iter().map(short).collect();
        assert_eq!(told.len(), 2, "{wording}: {told:?}");
        assert!(told.iter().zip(wanted).all(|(told, wanted)| told.starts_with(wanted)), "{wording}: {told:?}");
        assert!(told[1].contains("height=4.5") && told[1].contains("conductors=") && !told[0].contains("conductors"));
    }
    // A unit at the head of the text is that of the number in the quantity column.
    for (quantity, text, wanted) in
        [("1 1/2", "PR butts BB", "hinge 3 each"), ("17", "LF smoke seal", "gasketing 17 foot")]
    {
        let mut wording = Wording::default();
        wording.push(PartRole::Quantity, quantity, None);
        wording.push(PartRole::Description, text, None);
        let readings = understand(lexicon(), &wording, &Surroundings::default());
        assert!(short(&readings[0]).starts_with(wanted), "{text}: {}", short(&readings[0]));
    }
}

fn spans(reading: &Reading) -> Vec<std::ops::Range<usize>> {
    let mut spans = Vec::new();
    match &reading.category {
        Heard::Found(_, by) => spans.push(by.span.clone()),
        Heard::Ambiguous(all) => spans.extend(all.iter().map(|(_, by)| by.span.clone())),
        Heard::Absent => {}
    }
    for heard in reading.attributes.values() {
        match heard {
            Heard::Found(_, by) => spans.push(by.span.clone()),
            Heard::Ambiguous(all) => spans.extend(all.iter().map(|(_, by)| by.span.clone())),
            Heard::Absent => {}
        }
    }
    spans.extend(reading.remarks.iter().map(|remark| remark.evidence.span.clone()));
    spans.extend(reading.doubts.iter().map(|doubt| doubt.span.clone()));
    spans.extend(reading.quantity.evidence.iter().map(|by| by.span.clone()));
    spans.extend(reading.quantity.conflict.iter().map(|(_, by)| by.span.clone()));
    spans.extend(reading.unread.iter().cloned());
    spans.extend(reading.ignored.iter().cloned());
    spans
}

/// A spelling with two meanings that a line cannot tell apart belongs in the list of ambiguous words.
#[test]
fn no_spelling_has_two_meanings() {
    let clashes = lexicon().clashes();
    assert!(clashes.is_empty(), "{} clashes:\n{}", clashes.len(), clashes.join("\n"));
}

mod any_text {
    use super::*;
    use proptest::prelude::*;

    /// Pieces that schedules are made of, and pieces that nobody expects.
    fn piece() -> impl Strategy<Value = String> {
        prop_oneof![
            prop::sample::select(vec![
                "3",
                "(3)",
                "EA",
                "PR",
                "1-1/2",
                "4½",
                "x",
                "X",
                "BB",
                "HW",
                "626",
                "US26D",
                "F07",
                "hinge",
                "closer",
                "WS",
                "DPS",
                "w/",
                "less",
                "for",
                "only when",
                ",",
                ";",
                "/",
                "\"",
                "'",
                "3'-0\"",
                "see",
                "A8112",
                "no",
                "HGS",
                "ditto",
                "NIC",
                "24VDC",
                "8-wire",
                "1-6",
                "LDW",
                "KP",
                "\n",
                "–",
                "×",
                "”",
                "n.r.p.",
                "size",
                "1,200",
                ".050",
                "9999999999999999999999",
                "(",
                ")",
                "-",
                "PA",
                "HO",
                "4.5x4.5bbhw652",
                "qty",
                "per single",
                "4 per pair",
                "lb",
                "İ",
                "ß",
                "ｆｕｌｌ",
                "and",
                "storeroom",
                "lock",
            ])
            .prop_map(str::to_owned),
            "[ -~]{1,6}",
            "\\PC{1,3}",
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(600) })]
        #[test]
        fn is_read_without_loss(pieces in prop::collection::vec(piece(), 0..12), glue in prop::sample::select(vec!["", " "])) {
            let text = pieces.join(glue);
            let wording = Wording::free(&text);
            let readings = understand(lexicon(), &wording, &Surroundings::default());
            let mut covered = vec![false; wording.text.len()];
            for span in readings.iter().flat_map(spans) {
                prop_assert!(wording.text.get(span.clone()).is_some(), "{:?} of {text:?} is no text", span);
                covered[span].fill(true);
            }
            for (at, c) in wording.text.char_indices().filter(|(_, c)| !c.is_whitespace()) {
                // Invisible characters are space to the reader.
                let invisible = matches!(c, '\u{200B}'..='\u{200F}' | '\u{FEFF}');
                prop_assert!(covered[at] || invisible, "{c:?} at {at} of {text:?} is lost");
            }
        }
    }
}

/// What several goods in one line become, and what does not part a line.
#[test]
fn goods_that_a_line_joins_become_lines_of_their_own() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/joined.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("joined.csv opens");
    let mut wrong = Vec::new();
    for record in reader.records() {
        let record = record.expect("joined.csv reads");
        let readings = understand(lexicon(), &Wording::free(&record[0]), &Surroundings::default());
        let goods = readings.iter().map(|reading| {
            let name = match &reading.category {
                Heard::Found(category, _) => category.name().to_owned(),
                Heard::Ambiguous(all) => format!("{}?", all.first().map_or("", |(category, _)| category.name())),
                Heard::Absent => "-".to_owned(),
            };
            reading.quantity.amount.map_or(name.clone(), |amount| format!("{name} {amount}"))
        });
        let goods = goods.collect::<Vec<_>>().join(" & ");
        if goods != record[1] {
            wrong.push(format!("{}: expected {}, got {goods}", &record[0], &record[1]));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A finish or a remark at the end of goods that a line joins holds for all of them.
#[test]
fn what_ends_a_line_of_several_goods_holds_for_each() {
    let readings = understand(lexicon(), &Wording::free("wall stop and kick plate 630"), &Surroundings::default());
    let looks = readings.iter().map(|reading| reading.attributes.get(&pintle::trade::attribute::names::LOOK));
    assert!(looks.clone().count() == 2 && looks.clone().all(|look| look.and_then(Heard::found).is_some()));
    let readings = understand(lexicon(), &Wording::free("push plate and pull by others"), &Surroundings::default());
    assert!(readings.len() == 2 && readings.iter().all(|reading| reading.remarks.len() == 1));
}

/// What a line says against itself, or of some of its goods, settles nothing.
#[test]
fn contradictions_are_asked_and_a_count_holds_for_its_own_goods() {
    for (wording, wanted) in [
        ("closer 6", "closer size=6"),
        ("closer 1", "closer"),
        ("mortise lock F88", "mortise-lock/bored-lock? function=F88"),
        ("lock, cylindrical, storeroom F07 626", "bored-lock/mortise-lock?"),
        ("classroom security lock, mortise, F88", "bored-lock/mortise-lock? function=F88"),
        ("mortise lock F07", "mortise-lock function=F07"),
    ] {
        let got = read(wording);
        assert!(got == wanted || got.starts_with(&format!("{wanted} ")), "{wording}: {got}");
    }
    assert_eq!(
        read("(2) FB auto 12\" w/ DPS, coord w/ filler"),
        "flush-bolt 2 each action=automatic rod_length=12 & coordinator filler=true"
    );
    for (wording, lacks, keeps) in [
        ("(3) mortise locks storeroom 626, 1 less cyl", "cylinder", "mortise-lock 3 each"),
        ("3 ea closers PA 689, 1 w/ hold open", "hold_open", "closer 3 each arm=parallel"),
        ("6 ea hinges 4.5 x 4.5 652, 2 w/ NRP", "pin", "hinge 6 each"),
        ("mortise lock storeroom 626 1 less lever trim", "trim", "mortise-lock"),
    ] {
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        let got = short(&readings[0]);
        assert!(got.starts_with(keeps) && !got.contains(&format!(" {lacks}=")), "{wording}: {got}");
        let asked = readings[0].doubts.iter().any(|doubt| doubt.code == "some-of-them" && doubt.attribute.is_some());
        assert!(asked && readings[0].quantity.conflict.is_none(), "{wording}: {:?}", readings[0].doubts);
    }
}

/// What is said of some of the goods, or of a function that the goods do not have, is neither swallowed nor read of all.
#[test]
fn a_remark_of_some_and_a_function_of_other_goods_are_asked_about() {
    for (wording, code) in [
        ("(3) hinges, some existing", "some-of-them"),
        ("10 hinges, 4 NRP", "some-of-them"),
        ("Wall stop 626 not acceptable", "refused-good"),
        ("Floor stops are not permitted", "refused-good"),
        ("3 ea hinges 4.5 x 4.5 652, several existing to remain", "some-of-them"),
        ("4 hinges standard weight, 1 heavy weight", "further-count"),
        ("Closer, wall by others", "remark-of-whom"),
        ("Mortise lock less cylinder (by others)", "remark-of-another"),
        ("Exit device F86", "function-conflict"),
    ] {
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        let doubts = &readings[0].doubts;
        assert!(doubts.iter().any(|doubt| doubt.code == code), "{wording}: {doubts:?}");
    }
    let readings = understand(lexicon(), &Wording::free("exit device 08 626"), &Surroundings::default());
    assert!(readings[0].doubts.iter().all(|doubt| doubt.code != "function-conflict"));
}

/// Numbers that count nothing, names that are no plain goods, what is refused: the reading in full and what it leaves unread.
#[test]
fn what_looks_sure_and_is_not() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/unsure.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("unsure.csv opens");
    let mut wrong = Vec::new();
    for record in reader.records() {
        let record = record.expect("unsure.csv reads");
        let wording = &record[0];
        let readings = understand(lexicon(), &Wording::free(wording), &Surroundings::default());
        let unread: Vec<&str> =
            readings.iter().flat_map(|reading| &reading.unread).map(|span| &wording[span.clone()]).collect();
        let leaves_out = |kind: RemarkKind| {
            use RemarkKind::{ByOthers, Existing, NotInContract, NotUsed};
            matches!(kind, ByOthers | Existing | NotInContract | NotUsed)
        };
        let out = readings.iter().flat_map(|reading| &reading.remarks).any(|remark| leaves_out(remark.kind));
        let got = [read(wording), unread.join(", "), if out { "yes" } else { "" }.to_owned()];
        if got.iter().ne(record.iter().skip(1)) {
            wrong.push(format!("{wording}: expected {:?}, got {got:?}", record.iter().skip(1).collect::<Vec<_>>()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The number of the quantity column is the count, wherever it stands; a number behind the name is none.
#[test]
fn the_quantity_column_counts() {
    for parts in [
        [("2", PartRole::Quantity), ("Floor stops 12", PartRole::Description)],
        [("Floor stops 12", PartRole::Description), ("2", PartRole::Quantity)],
    ] {
        let mut wording = Wording::default();
        parts.iter().for_each(|(text, role)| wording.push(*role, text, None));
        let readings = understand(lexicon(), &wording, &Surroundings::default());
        assert_eq!(readings[0].quantity.amount, Some(2.into()), "{parts:?}");
        assert!(readings[0].quantity.conflict.is_none() && readings[0].unread.len() == 1, "{parts:?}");
    }
}
