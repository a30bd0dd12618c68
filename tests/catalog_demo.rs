//! The demo catalog uses every feature of the form at least once, and each does to a price what the form says.

use std::collections::BTreeMap;
use std::path::Path;

use pintle::catalog::Catalog;
use pintle::catalog::good::{Adds, Good, Per};
use pintle::trade::attribute::{Attributes, Value, names};
use pintle::trade::inches::Inches;
use rust_decimal::Decimal;

/// Goods of every line: the usual one, and one for each further value of each attribute.
fn goods(catalog: &Catalog) -> (Vec<Good>, Vec<String>) {
    let (mut goods, mut refused) = (Vec::new(), Vec::new());
    for line in catalog.lines() {
        let mut tried = vec![Attributes::new()];
        for (attr, values) in &line.makes {
            for value in values {
                tried.push(Attributes::from([(*attr, value.clone().unwrap_or(Value::Flag(false)))]));
            }
        }
        for (attr, values) in &line.makes {
            for (other, others) in line.makes.iter().filter(|(other, _)| other > attr) {
                for value in values.iter().flatten().take(4) {
                    let pairs = others.iter().flatten().take(4);
                    tried.extend(
                        pairs.map(|second| Attributes::from([(*attr, value.clone()), (*other, second.clone())])),
                    );
                }
            }
        }
        // Lengths between and beyond stock.
        if line.makes.iter().any(|(attr, _)| *attr == names::LENGTH) {
            let inches = |length| Attributes::from([(names::LENGTH, Value::Length(Inches::whole(length)))]);
            tried.extend([39, 50, 130, 200].map(inches));
        }
        for attributes in tried {
            match catalog.good(&line.id, &attributes) {
                Ok(good) => goods.push(good),
                Err(why) => refused.push(why),
            }
        }
    }
    (goods, refused)
}

fn texts() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogs/demo/2026");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.iter().map(|path| std::fs::read_to_string(path).unwrap()).collect()
}

#[test]
fn every_feature_of_the_form_prices_something() {
    let catalog = Catalog::embedded("2026-10-01").unwrap();
    let (goods, refused) = goods(&catalog);
    let text = texts();
    let mut found: BTreeMap<&str, bool> = BTreeMap::new();
    // A finish written as the name of a choice, not as values of its own.
    let shared = text.lines().filter(|line| line.contains("finish = \"") && line.starts_with("makes")).count()
        + text.matches("makes.finish = { choice").count();
    let any = |test: &dyn Fn(&Good) -> bool| goods.iter().any(test);
    let adds =
        |test: &dyn Fn(Adds) -> bool| goods.iter().any(|good| good.list.adders.iter().any(|adder| test(adder.adds)));
    found.insert(
        "a price table in a file, over several attributes",
        any(&|good| good.list.base_entry.file.ends_with(".csv")),
    );
    found.insert(
        "size breaks",
        text.contains("..24") || text.contains("24..") || text.contains("\"..") || text.contains("..\""),
    );
    found.insert("adders in list money", adds(&|adds| matches!(adds, Adds::List(_))));
    found.insert("adders in net money", adds(&|adds| matches!(adds, Adds::Net(_))));
    found.insert("adders in per cent", adds(&|adds| matches!(adds, Adds::PercentOfList(_))));
    found.insert("rules: only with, requires", refused.iter().any(|why| why.contains("is made only with")));
    found.insert("rules: excludes", refused.iter().any(|why| why.contains("does not go with")));
    found.insert("finish groups shared by lines", shared > 3);
    found.insert("priced by the foot", any(&|good| good.list.per == Per::Foot && good.list.length.is_some()));
    found.insert("a cut charge", any(&|good| good.list.adders.iter().any(|adder| adder.what.starts_with("cut to"))));
    found.insert("stock lengths", any(&|good| good.list.per != Per::Foot && !good.list.pieces.is_empty()));
    found.insert("joined pieces", any(&|good| good.list.pieces.iter().map(|(_, count)| count).sum::<u32>() > 1));
    found.insert("packs", any(&|good| good.list.pack.is_some()));
    found.insert("least quantities", any(&|good| good.list.minimum.is_some()));
    let is_sum = |good: &Good| {
        let portions = &good.list.made_of;
        let sum: Decimal = portions.iter().map(|portion| portion.each.decimal() * Decimal::from(portion.count)).sum();
        assert!(portions.is_empty() || sum == good.list.base.decimal(), "{}: {portions:?}", good.designation);
        !portions.is_empty()
    };
    found.insert("a base that is the sum of parts, each shown", goods.iter().filter(|good| is_sum(good)).count() > 1);
    found.insert("kits", any(&|good| good.parts.len() > 1 && good.list.list() > Default::default()));
    found.insert("net prices", any(&|good| good.list.chain.is_empty() && !good.list.call_for_price));
    found.insert("chains of several steps", any(&|good| good.list.chain.len() > 2));
    found.insert("a multiplier of its own", text.contains("multiplier ="));
    found.insert("surcharges in force", any(&|good| !good.list.surcharges.is_empty()));
    found.insert("call for price", any(&|good| good.list.call_for_price));
    found.insert("goods that cannot be sent back", any(&|good| !good.list.returnable));
    found.insert("shipping weights", any(&|good| good.list.weight.is_some()));
    let successor = |line: pintle::catalog::LineInfo| line.discontinued.is_some_and(|(_, next)| next.is_some());
    found.insert("discontinued with a successor", catalog.lines().any(successor));
    let missing: Vec<&str> = found.iter().filter(|(_, used)| !**used).map(|(name, _)| *name).collect();
    assert!(missing.is_empty(), "the demo catalog does not use: {}", missing.join("; "));
}

#[test]
fn chains_differ_by_line_maker_category_and_class_of_customer() {
    let chain = |class: Option<&str>, line: &str| -> Vec<Decimal> {
        let catalog = Catalog::embedded("2026-10-01").unwrap().for_class(class).unwrap();
        catalog.good(&line.into(), &Attributes::new()).unwrap().list.chain
    };
    let catalog = Catalog::embedded("2026-10-01").unwrap();
    let of = |maker: &str, category: &str| {
        catalog.lines().find(|line| &*line.maker == maker && line.category.name() == category).unwrap().id
    };
    let lock = of("Oskelda", "mortise-lock");
    assert_ne!(chain(None, &lock), chain(Some("contractor"), &lock));
    assert_ne!(chain(Some("institution"), &lock), chain(Some("contractor"), &lock));
    assert_ne!(chain(None, &of("Brumthorn", "hinge")), chain(None, &of("Brumthorn", "continuous-hinge")));
    assert_eq!(chain(None, "ulthame-operator"), [Decimal::from(32)], "a multiplier of 0.68");
    assert_eq!(chain(None, "fendrow-bolt-kit"), [50, 10, 4].map(Decimal::from));
    let refused = Catalog::embedded("2026-10-01").unwrap().for_class(Some("contracter")).unwrap_err();
    assert!(refused.contains("contractor"), "{refused}");
}

#[test]
fn the_bid_date_chooses_between_two_editions() {
    let bases = |date: &str| -> BTreeMap<String, String> {
        let catalog = Catalog::embedded(date).unwrap();
        let usual = catalog.lines().filter_map(|line| catalog.good(&line.id, &Attributes::new()).ok());
        usual.map(|good| (good.designation.clone(), good.list.base.to_string())).collect()
    };
    let (last, first) = (bases("2027-02-28"), bases("2027-03-01"));
    assert_eq!(last, bases("2026-10-01"), "one edition until the last day");
    let dearer = last.iter().filter(|(name, base)| first.get(*name).is_some_and(|next| next != *base)).count();
    assert!(dearer > 5, "the edition of 2027 has other prices for {dearer} goods");
    let catalog = Catalog::embedded("2027-02-28").unwrap();
    assert_eq!(catalog.next_effective.as_deref(), Some("2027-03-01"));
    assert_eq!(Catalog::embedded("2027-03-01").unwrap().next_effective, None);
}

#[test]
fn surcharges_and_discontinued_lines_go_by_the_date() {
    let steel = |date: &str| {
        let catalog = Catalog::embedded(date).unwrap();
        let (goods, _) = goods(&catalog);
        goods.iter().any(|good| good.list.surcharges.iter().any(|(name, _)| name.starts_with("Steel")))
    };
    assert!(!steel("2026-08-31") && steel("2026-09-01"), "from the first day");
    assert!(steel("2027-06-30") && !steel("2027-07-01"), "until the last day");
}

#[test]
fn a_coordinator_is_the_longest_bar_within_the_opening_and_other_goods_are_cut_from_longer_ones() {
    let catalog = Catalog::embedded("2026-10-01").unwrap();
    let of = |inches: i64| {
        let asked = Attributes::from([(names::LENGTH, Value::Length(Inches::whole(inches)))]);
        let good = catalog.good(&"ambrisk-coordinator".into(), &asked).unwrap();
        let cut = good.list.adders.iter().any(|adder| adder.what.starts_with("cut"));
        assert!(
            good.description.contains(&format!("{} long", good.list.length.unwrap().in_fractions())),
            "{}",
            good.description
        );
        (good.list.length.unwrap(), cut)
    };
    for (opening, bar, cut) in
        [(72, 72, false), (73, 72, false), (95, 72, false), (96, 96, false), (120, 96, false), (30, 32, true)]
    {
        assert_eq!(of(opening), (Inches::whole(bar), cut), "{opening}");
    }
}
