//! The catalog room: loading, choosing, naming, pricing.

use std::collections::BTreeSet;
use std::path::Path;

use pintle::catalog::Catalog;
use pintle::catalog::good::{Request, Selection};
use pintle::trade::attribute::{Attr, Attributes, Value};
use pintle::trade::category::Category;
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
