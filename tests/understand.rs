//! The understanding room from outside: wordings and what an expert reads in them.

use std::collections::BTreeMap;

use pintle::read::schedule::Wording;
use pintle::understand::reading::{Heard, Reading, Surroundings};
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
