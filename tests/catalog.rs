//! The catalog room: loading, choosing, naming, pricing.

use std::collections::BTreeSet;
use std::path::Path;

use pintle::catalog::Catalog;
use pintle::catalog::good::{Request, Selection};
use pintle::trade::attribute::{Attr, Attributes, Value};
use pintle::trade::category::Category;
use proptest::prelude::*;
use rust_decimal::Decimal;

fn demo() -> Catalog {
    Catalog::embedded("2026-11-25").unwrap_or_else(|report| panic!("{report}"))
}

/// `4.5"` is a length, `true` a flag, `#6` a number, `a+b` a list, the rest text.
fn value(text: &str) -> Value {
    if let Some(length) = text.strip_suffix('"') {
        return Value::Length(length.parse().unwrap());
    }
    if let Some(number) = text.strip_prefix('#') {
        return Value::Number(number.parse::<Decimal>().unwrap());
    }
    match text {
        "true" | "false" => Value::Flag(text == "true"),
        _ if text.contains('+') => Value::List(text.split('+').map(Into::into).collect()),
        _ => Value::text(text),
    }
}

fn attributes(pairs: &[(&str, &str)]) -> Attributes {
    pairs.iter().map(|(name, text)| (Attr::new(name), value(text))).collect()
}

fn ask(catalog: &Catalog, category: Category, pairs: &[(&str, &str)]) -> Selection {
    catalog.select(&Request { category, attributes: attributes(pairs), makers: Vec::new() })
}

#[test]
fn every_file_of_the_demo_catalog_is_embedded() {
    let on_disk = Catalog::load(Path::new("catalogs/demo"), "2026-11-25").unwrap_or_else(|report| panic!("{report}"));
    assert_eq!(on_disk.sha256, demo().sha256, "list every file of catalogs/demo in src/catalog/embedded.rs");
}

#[test]
fn the_bid_date_chooses_the_edition() {
    let price = |date: &str| {
        let catalog = Catalog::embedded(date).unwrap_or_else(|report| panic!("{report}"));
        let asked =
            [("height", "4.5\""), ("width", "4.5\""), ("weight", "standard"), ("finish", "652"), ("bearing", "ball")];
        let selection = ask(&catalog, Category::Hinge, &asked);
        (catalog.effective.clone(), catalog.next_effective.clone(), selection.candidates[0].good.list.base.to_string())
    };
    assert_eq!(price("2026-11-25"), ("2026-03-01".into(), Some("2027-03-01".into()), "38.60".into()));
    assert_eq!(price("2027-03-01"), ("2027-03-01".into(), None, "40.10".into()));
    assert_eq!(Catalog::embedded("2020-01-01").unwrap().notes.len(), 1, "no edition in force is said");
}

#[test]
fn every_category_that_carries_a_price_has_a_line() {
    let catalog = demo();
    let sold: BTreeSet<Category> = catalog.lines().map(|line| line.category).collect();
    let missing: Vec<_> =
        Category::ALL.iter().filter(|category| **category != Category::Other && !sold.contains(category)).collect();
    assert!(missing.is_empty(), "{missing:?}");
    let makers: BTreeSet<_> = catalog.lines().map(|line| line.maker).collect();
    assert!(makers.len() >= 8, "{makers:?}");
    for competing in
        [Category::Hinge, Category::MortiseLock, Category::BoredLock, Category::ExitDevice, Category::Closer]
    {
        let makers: BTreeSet<_> =
            catalog.lines().filter(|line| line.category == competing).map(|line| line.maker).collect();
        assert!(makers.len() >= 2, "{competing}: {makers:?}");
    }
}

#[test]
fn a_heavy_six_wire_hinge_in_satin_chromium_is_found_named_and_priced() {
    let asked = [
        ("height", "4.5\""),
        ("width", "4.5\""),
        ("bearing", "ball"),
        ("weight", "heavy"),
        ("conductors", "#6"),
        ("look", "satin-chromium"),
        ("base", "steel"),
    ];
    let selection = ask(&demo(), Category::Hinge, &asked);
    let good = &selection.candidates[0].good;
    assert_eq!(good.designation, "HW4545V-W6 652");
    assert_eq!(good.attributes[&Attr::new("finish")], Value::text("652"), "US26D on steel is 652 (ANSI/BHMA A156.18)");
    // 88.00 + 208.00 for the wires, at 50/10/5.
    assert_eq!(good.list.list().to_string(), "296.00");
    assert_eq!(good.list.multiplier(), "0.4275".parse().unwrap());
    assert_eq!(good.list.net().to_string(), "126.54");
    assert!(selection.candidates[0].undecided.is_empty(), "{:?}", selection.candidates[0].undecided);
    assert!(selection.candidates.len() > 1, "a competing maker is offered");
}

#[test]
fn an_asked_finish_that_is_not_made_is_met_by_the_nearest_where_the_category_allows() {
    let catalog = demo();
    let closer = ask(&catalog, Category::Closer, &[("arm", "parallel"), ("finish", "626")]);
    let best = &closer.candidates[0];
    assert_eq!(best.good.attributes[&Attr::new("finish")], Value::text("689"));
    assert!(best.why.iter().any(|why| why.starts_with("finish 626: 689")), "{:?}", best.why);
    let hinge = ask(&catalog, Category::Hinge, &[("base", "steel"), ("finish", "626"), ("bearing", "ball")]);
    assert!(hinge.candidates.is_empty(), "626 is brass; a steel hinge is not taken for it");
    assert!(!hinge.near.is_empty());
}

#[test]
fn nothing_fits_and_the_nearest_say_why() {
    let selection = ask(&demo(), Category::Hinge, &[("height", "7\""), ("bearing", "ball")]);
    assert!(selection.candidates.is_empty());
    assert!(
        selection.near[0].1.contains("height 7: this line makes 3-1/2, 4, 4-1/2, 5, 6 and 8"),
        "{}",
        selection.near[0].1
    );
}

/// The goods of a line: every value of every attribute, alone and with every value of every other, as far as they are made.
fn goods(catalog: &Catalog, line: &pintle::catalog::LineInfo) -> Vec<pintle::catalog::good::Good> {
    let mut goods = Vec::new();
    let single: Vec<(Attr, Option<Value>)> =
        line.makes.iter().flat_map(|(attr, values)| values.iter().map(|value| (*attr, value.clone()))).collect();
    let said = |value: &Option<Value>| value.clone().unwrap_or(Value::Flag(false));
    for (index, (attr, value)) in single.iter().enumerate() {
        for (other, second) in &single[index..] {
            let asked: Attributes = [(*attr, said(value)), (*other, said(second))].into_iter().collect();
            goods.extend(catalog.good(&line.id, &asked));
        }
    }
    goods
}

#[test]
fn a_designation_built_from_attributes_decodes_into_them() {
    let catalog = demo();
    let mut count = 0;
    for line in catalog.lines() {
        let varying: BTreeSet<Attr> = line.makes.iter().map(|(attr, _)| *attr).collect();
        for good in goods(&catalog, &line) {
            count += 1;
            let readings: Vec<_> =
                catalog.decode(&good.designation).into_iter().filter(|read| read.miss.is_none()).collect();
            let own: Vec<_> = readings.iter().filter(|read| read.line == line.id).collect();
            assert_eq!(own.len(), 1, "{} is read in {} ways by its own line", good.designation, own.len());
            for (attr, value) in own[0].attributes.iter().filter(|(attr, _)| varying.contains(attr)) {
                // A piece cut from stock is named by its stock length.
                if good.list.length.is_none() || value.as_length() != good.list.length {
                    assert_eq!(good.attributes.get(attr), Some(value), "{}: {attr}", good.designation);
                }
            }
            let whole: Vec<_> = readings.iter().filter(|read| read.unsaid.is_empty() && read.line != line.id).collect();
            assert!(whole.is_empty(), "{} is also {}", good.designation, whole[0].line);
        }
    }
    assert!(count > 15_000, "the matrices were walked: {count}");
}

#[test]
fn every_good_costs_something_and_less_than_list() {
    let catalog = demo();
    for line in catalog.lines() {
        for good in goods(&catalog, &line) {
            if good.list.call_for_price {
                continue;
            }
            assert!(good.list.list().decimal() > Decimal::ZERO, "{}", good.designation);
            assert!(good.list.net().decimal() > Decimal::ZERO, "{}", good.designation);
            assert!(good.list.net() <= good.list.list() + good.list.net_adders(), "{}", good.designation);
            assert!(!good.description.contains(['{', '}']), "{}", good.description);
        }
    }
}

#[test]
fn a_near_miss_says_where_it_stops_fitting() {
    let read = demo().decode("HW4747V 652");
    let miss = read[0].miss.as_deref().unwrap();
    assert!(miss.contains("position 3 `4747V`: this line makes `35`, `40`, `45`, `50`, `60` and `80`"), "{miss}");
}

#[test]
fn a_designation_may_stop_early_and_text_may_go_on() {
    let catalog = demo();
    let short = catalog.decode("hw45 45 v");
    assert_eq!(short[0].attributes[&Attr::new("weight")], Value::text("heavy"));
    assert!(short[0].unsaid.contains(&Attr::new("finish")));
    let start = catalog.decode_start("HW4545V-W6 652 at the centre");
    assert_eq!((&*start[0].line, start[0].read), ("brumthorn-hw", "HW4545V-W6 652 ".len()));
}

#[test]
fn a_designation_ends_with_a_word_where_what_follows_is_no_code_of_it() {
    let catalog = demo();
    // A finish that the line does not make, a word, a comma: what the number could have gone on with is unsaid.
    for text in ["HW4545M 630", "HW4545M NRP", "HW4545M, 3 knuckle"] {
        let read = catalog.decode_start(text);
        assert_eq!(read.len(), 1, "{text}");
        assert_eq!(text[..read[0].read].trim_end(), "HW4545M", "{text}");
        let unsaid = |name: &str| read[0].unsaid.contains(&Attr::new(name));
        assert!(unsaid("pin") && unsaid("finish") && !unsaid("weight"), "{text}: {:?}", read[0].unsaid);
    }
    assert!(catalog.decode_start("HW4545MM 652").is_empty(), "within a word it is another number");
}

#[test]
fn a_deadlock_with_a_turn_is_the_one_that_has_it() {
    let best = |kind: &str| {
        let asked = [("trim", "thumbturn"), ("type", kind), ("finish", "626")];
        let attributes = asked.map(|(name, value)| (Attr::new(name), Value::text(value))).into_iter().collect();
        let request = Request { category: Category::Deadlock, attributes, makers: Vec::new() };
        demo().select(&request).candidates.first().map(|best| best.good.designation.clone())
    };
    assert_eq!(best("mortise").as_deref(), Some("OD17 626"));
    assert_eq!(best("bored").as_deref(), Some("DP1.626"));
}

proptest! {
    #[test]
    fn selecting_is_the_same_every_time_and_never_panics(
        category in 0..Category::ALL.len(),
        picks in proptest::collection::vec((0usize..40, 0usize..12), 0..6),
        odd in ".{0,12}",
    ) {
        static CATALOGS: std::sync::OnceLock<(Catalog, Catalog)> = std::sync::OnceLock::new();
        let (catalog, other) = CATALOGS.get_or_init(|| (demo(), demo()));
        let category = Category::ALL[category];
        let lines: Vec<_> = catalog.lines().filter(|line| line.category == category).collect();
        let mut asked = Attributes::new();
        for (which, value) in picks {
            let Some(line) = lines.get(which % lines.len().max(1)) else { continue };
            let (attr, values) = &line.makes[which % line.makes.len()];
            asked.insert(*attr, values[value % values.len()].clone().unwrap_or(Value::text("none")));
        }
        let once = catalog.select(&Request { category, attributes: asked.clone(), makers: Vec::new() });
        let again = other.select(&Request { category, attributes: asked.clone(), makers: Vec::new() });
        prop_assert_eq!(&once, &again);
        // What a candidate is, it is when made again.
        for candidate in &once.candidates {
            let made = catalog.good(&candidate.good.line, &candidate.good.attributes);
            prop_assert_eq!(made.as_ref(), Ok(&candidate.good));
        }
        let _ = catalog.decode(&odd);
        asked.insert(Attr::new("finish"), Value::text(&odd));
        let _ = catalog.select(&Request { category, attributes: asked, makers: vec![odd] });
    }
}
