//! Numbers of the standards are decoded to attributes with the confidence of their source, and finishes by look and base
//! metal. `tests/words/designators.csv` and the rows below are written from the collected facts on the standards.

use std::path::Path;

use pintle::read::schedule::{PartRole, Wording};
use pintle::trade::attribute::Attr;
use pintle::trade::finish;
use pintle::trade::type_number;
use pintle::understand::reading::{Heard, Reading, Surroundings};
use pintle::understand::{Lexicon, understand};

fn lexicon() -> &'static Lexicon {
    static LEXICON: std::sync::OnceLock<Lexicon> = std::sync::OnceLock::new();
    LEXICON.get_or_init(|| Lexicon::load(&[]).expect("the embedded lists load"))
}

fn read(description: &str, finish: &str) -> Reading {
    let mut wording = Wording::default();
    for (role, cell) in [(PartRole::Description, description), (PartRole::Finish, finish)] {
        if !cell.is_empty() {
            wording.push(role, cell, None);
        }
    }
    understand(lexicon(), &wording, &Surroundings::default()).remove(0)
}

fn settled(reading: &Reading, name: &str) -> Option<String> {
    reading.attributes.get(&Attr::new(name)).and_then(Heard::found).map(ToString::to_string)
}

#[test]
fn numbers_settle_what_their_source_lets_them_and_no_more() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/designators.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the table can be read");
    let mut told = Vec::new();
    for row in reader.records().map(|row| row.expect("the row is sound")) {
        let (number, category, settles) = (&row[0], &row[1], &row[3] == "yes");
        let reading = read(&format!("1 EA {number}"), "");
        let got = reading.category.found().map(|category| category.name());
        if settles && got != Some(category) {
            told.push(format!("{number}: {category} expected, got {got:?}"));
        }
        if !settles && got.is_some() {
            told.push(format!("{number}: a row from memory, low, settles the category {got:?} alone"));
        }
        if !settles && type_number::find(number).is_none() {
            told.push(format!("{number}: not shown at all"));
        }
        // What does not settle alone is shown beside words that name the good.
        let named = read(&format!("1 EA {} {number}", category.replace('-', " ")), "");
        for pair in row[2].split(';').map(str::trim).filter(|pair| !pair.is_empty()) {
            let (name, value) = pair.split_once('=').expect("name=value");
            let alone = settled(&reading, name);
            if settles && alone.as_deref() != Some(value) {
                told.push(format!("{number}: {pair} expected, got {alone:?}"));
            }
            let open = matches!(named.attributes.get(&Attr::new(name)), Some(Heard::Ambiguous(all)) if all.len() == 1);
            if !settles && !open {
                told.push(format!("{number}: {pair} must be shown and left open, is {:?}", settled(&named, name)));
            }
        }
    }
    assert!(told.is_empty(), "{}", told.join("\n"));
}

/// Look, US code, then the code on brass, steel, stainless, aluminum and zinc; from ANSI/BHMA A156.18 as collected.
const FAMILIES: [(&str, &str, [&str; 5]); 17] = [
    ("bright brass", "US3", ["605", "632", "", "666", "677"]),
    ("satin brass", "US4", ["606", "633", "", "667", "678"]),
    ("antique brass", "US5", ["609", "638", "", "", ""]),
    ("bright bronze", "US9", ["611", "637", "", "", "679"]),
    ("satin bronze", "US10", ["612", "639", "", "668", "680"]),
    ("relieved bronze", "US10A", ["614", "641", "", "", ""]),
    ("oil-rubbed bronze", "US10B", ["613", "640", "", "703", "704"]),
    ("blackened bronze", "US11", ["616", "643", "", "", ""]),
    ("bright nickel", "US14", ["618", "645", "", "669", ""]),
    ("satin nickel", "US15", ["619", "646", "", "670", ""]),
    ("antique nickel", "US15A", ["620", "647", "", "", ""]),
    ("flat black", "US19", ["622", "631", "", "671", "676"]),
    ("statuary bronze", "US20D", ["624", "650", "", "", ""]),
    ("bright chromium", "US26", ["625", "651", "", "672", "681"]),
    ("satin chromium", "US26D", ["626", "652", "", "702", "682"]),
    ("bright stainless", "US32", ["", "", "629", "", ""]),
    ("satin stainless", "US32D", ["", "", "630", "", ""]),
];

#[test]
fn a_look_and_a_base_metal_give_the_code_and_the_code_gives_both() {
    for (name, us, codes) in FAMILIES {
        let look = finish::look_of_us(us).unwrap_or_else(|| panic!("{us} {name}"));
        for (base, code) in ["brass", "steel", "stainless", "aluminum", "zinc"].iter().zip(codes) {
            if code.is_empty() {
                continue;
            }
            let row = finish::find(code).unwrap_or_else(|| panic!("{code}"));
            assert_eq!(row.look, look.slug, "{code} has the look of {us}");
            assert!(row.is_on(base), "{code} is on {base}");
            // Extruded goods of aluminum are anodized rather than plated, where the look has an anodized neighbour.
            let wanted = if *base == "aluminum" && !look.aluminum.is_empty() { look.aluminum } else { code };
            assert_eq!(finish::resolve(look.slug, base).map(|found| found.code), Some(wanted), "{us} on {base}");
        }
    }
}

#[test]
fn finishes_are_read_as_the_goods_allow() {
    for (wording, finish, wanted) in [
        // US26D by the usual base metal of the goods (facts 1.7).
        ("Hinge 4-1/2 x 4-1/2", "US26D", "652"),
        ("Mortise lock F07", "US26D", "626"),
        ("Closer", "US26D", "689"),
        ("Closer", "US10B", "695"),
        ("Threshold saddle 5 x 1/2", "US10B", "710"),
        ("Hinge 4-1/2 x 4-1/2", "US10B", "640"),
        ("Hinge 4-1/2 x 4-1/2", "US32D", "630"),
        ("Mortise lock F07", "26D/626", "626"),
        ("Mortise lock F07", "626 (US26D)", "626"),
        ("Mortise lock F07", "US 26 D", "626"),
        ("Mortise lock F07", "US26-D", "626"),
        ("Mortise lock F07", "C26D", "626"),
        ("Mortise lock F07", "626AM", "626"),
        ("Mortise lock F07", "613E", "613E"),
        ("Hinge 4-1/2 x 4-1/2", "USP", "600"),
        ("Hinge 4-1/2 x 4-1/2", "satin chrome", "652"),
        ("Hinge 4-1/2 x 4-1/2", "oil rubbed bronze", "640"),
        ("Hinge 4-1/2 x 4-1/2", "dull chrome", "652"),
        // A lock stays in the code written, whatever its lever is cast from.
        ("Bored lock F86 zinc lever", "626", "626"),
    ] {
        assert_eq!(settled(&read(wording, finish), "finish").as_deref(), Some(wanted), "{wording} {finish}");
    }
}

#[test]
fn a_code_that_the_base_metal_cannot_have_is_asked_about_with_the_code_that_it_can() {
    for (wording, finish, first) in
        [("Hinge 4-1/2 x 4-1/2", "626", "652"), ("Hinge 4-1/2 x 4-1/2", "613", "640"), ("Spring hinge", "605", "632")]
    {
        let reading = read(wording, finish);
        let Some(Heard::Ambiguous(all)) = reading.attributes.get(&Attr::new("finish")) else {
            panic!("{wording} {finish}: {:?}", settled(&reading, "finish"));
        };
        let codes: Vec<String> = all.iter().map(|(value, _)| value.to_string()).collect();
        assert_eq!(codes, [first, finish], "{wording} {finish}");
        assert!(reading.doubts.iter().any(|doubt| doubt.code == "finish-base-conflict"), "{wording} {finish}");
    }
    // Said metal and code quarrel: nothing is changed, and it is said.
    let brass = read("Hinge 4-1/2 x 4-1/2 brass", "652");
    assert!(brass.doubts.iter().any(|doubt| doubt.code == "finish-base-conflict"));
    // A painted closer in 626: painted in the nearest look, said so.
    let closer = read("Closer", "626");
    let says = closer.doubts.iter().find(|doubt| doubt.code == "finish-base-conflict").map(|doubt| doubt.says.clone());
    assert!(says.as_deref().is_some_and(|says| says.contains("painted") && says.contains("689")), "{says:?}");
    // A stop or a bolt is made in either: nothing to say.
    assert!(read("Wall stop", "630").doubts.is_empty());
    assert!(read("Overhead stop, concealed", "630").doubts.iter().all(|doubt| doubt.code != "finish-base-conflict"));
}
