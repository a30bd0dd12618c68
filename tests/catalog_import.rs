//! `pintle catalog import`: a flat price list becomes a catalog that prices; its next issue is read in the same way.

#[path = "price/invented_list.rs"]
mod invented_list;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use pintle::catalog::Catalog;
use pintle::catalog::good::Request;
use pintle::trade::attribute::{Attributes, Value, names};
use pintle::trade::category::Category;

fn pintle(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .args(arguments)
        .output()
        .unwrap()
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-import-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

const LIST: &str = "Invented list,,,,,\nItem No.,Description,Finish,List Price,UOM,Disc. Group\nHINGES,,,,,\n\
    A-1,\"Hinge, full mortise, ball bearing, 4-1/2 x 4-1/2, standard weight\",652,\"$1,031.40\",EA,H1\n\
    A-2,\"Hinge, full mortise, ball bearing, 4-1/2 x 4-1/2, standard weight, NRP\",652,35.10,EA,H1\n\
    STOPS,,,,,\nW-1,\"Wall stop, concave, glitterworks\",630,98.00,C,P1\nW-2,\"Wall stop, convex\",630,nine eighty,EA,P1\n\
    W-3,\"Floor stop, dome\",626,CALL,EA,P1\nX-1,Whatnot,626,4.00,EA,X1\n";

fn asked(category: Category, attributes: &[(&str, Value)]) -> Request {
    let attributes: Attributes =
        attributes.iter().map(|(name, value)| (pintle::trade::attribute::Attr::new(name), value.clone())).collect();
    Request { category, attributes, makers: Vec::new() }
}

#[test]
fn every_row_becomes_a_good_or_is_said_to_be_left_out_with_its_cell() {
    let folder = folder("rows");
    fs::write(folder.join("list.csv"), LIST).unwrap();
    let run = pintle(&folder, &["catalog", "import", "list.csv", "--maker", "Alder", "--effective", "2026-01-01"]);
    let text = said(&run);
    assert_eq!(run.status.code(), Some(1), "{text}");
    assert!(text.contains("imported  4 goods, 1 of them with a price to be asked for; 2 rows of headings"), "{text}");
    assert!(text.contains("text in the price column: \"nine eighty\" (cell D8)"), "{text}");
    assert!(text.contains("no category: \"Whatnot"), "{text}");
    assert!(text.contains("1 × \"glitterworks\" (first at row 7)"), "{text}");
    let catalog = Catalog::load(&folder.join("list.catalog"), "2026-06-01").unwrap();
    let hinge = catalog.select(&asked(
        Category::Hinge,
        &[("height", Value::Length("4.5".parse().unwrap())), ("pin", Value::text("non-removable"))],
    ));
    assert_eq!(hinge.candidates[0].good.designation, "A-2");
    let stop = catalog.select(&asked(Category::Stop, &[("mounting", Value::text("wall"))]));
    assert_eq!(stop.candidates[0].good.list.base.to_string(), "0.98", "98.00 a hundred");
    assert_eq!(stop.candidates[0].good.list.base_entry.line, 4);
    assert!(catalog.notes.iter().any(|note| note.contains("discount group H1")), "{:?}", catalog.notes);
}

#[test]
fn silence_is_the_usual_and_no_more() {
    let folder = folder("silence");
    fs::write(folder.join("list.csv"), LIST).unwrap();
    pintle(&folder, &["catalog", "import", "list.csv", "--effective", "2026-01-01"]);
    let catalog = Catalog::load(&folder.join("list.catalog"), "2026-06-01").unwrap();
    let wired = catalog.select(&asked(Category::Hinge, &[("conductors", Value::count(6))]));
    assert!(wired.candidates.is_empty(), "no row speaks of wires");
    assert!(wired.near[0].1.contains("conductors 6"), "{}", wired.near[0].1);
    let plain = catalog.select(&asked(Category::Hinge, &[("conductors", Value::Flag(false))]));
    assert_eq!(plain.candidates.len(), 1);
    let dear = plain.candidates[0].undecided.iter().find(|open| open.attribute == names::PIN);
    assert!(
        dear.is_none() && plain.candidates[0].good.designation == "A-1",
        "an extra that nobody asked for is left off"
    );
}

#[test]
fn the_next_issue_is_read_by_the_kept_mapping_and_the_bid_date_chooses() {
    let folder = folder("again");
    // A heading that says nothing by itself: the mapping says what it holds.
    let odd = LIST.replace("List Price", "Spring figures");
    fs::write(folder.join("list.csv"), &odd).unwrap();
    let refused = pintle(&folder, &["catalog", "import", "list.csv", "--effective", "2026-01-01"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("[columns]"), "{}", said(&refused));
    assert!(!folder.join("list.catalog").exists(), "nothing half-made is left");
    let mapping = "[columns]\n\"Spring figures\" = \"price\"\n[categories]\n\"X1\" = \"other\"\n";
    fs::write(folder.join("map.toml"), mapping).unwrap();
    let first = pintle(&folder, &["catalog", "import", "list.csv", "--map", "map.toml", "--effective", "2026-01-01"]);
    assert!(said(&first).contains("imported  5 goods"), "{}", said(&first));
    let discounts = folder.join("list.catalog/2026-01-01/discounts.toml");
    fs::write(&discounts, "[[discount]]\ngroup = \"H1\"\nchain = [50, 10]\n\n[[discount]]\nchain = [40]\n").unwrap();
    fs::write(folder.join("list2.csv"), odd.replace("35.10", "37.20")).unwrap();
    let next = ["catalog", "import", "list2.csv", "--into", "list.catalog", "--effective", "2027-01-01"];
    let again = pintle(&folder, &next);
    assert!(said(&again).contains("imported  5 goods"), "{}", said(&again));
    for (date, list) in [("2026-06-01", "35.10"), ("2027-06-01", "37.20")] {
        let catalog = Catalog::load(&folder.join("list.catalog"), date).unwrap();
        let found = catalog.select(&asked(Category::Hinge, &[("pin", Value::text("non-removable"))]));
        let good = &found.candidates[0].good;
        assert_eq!((good.list.base.to_string().as_str(), good.list.chain.len()), (list, 2), "{date}");
        assert!(catalog.notes.is_empty(), "{:?}", catalog.notes);
    }
    let catalog = Catalog::load(&folder.join("list.catalog"), "2026-06-01").unwrap();
    assert_eq!(catalog.next_effective.as_deref(), Some("2027-01-01"));
    // The same date again only with --force.
    fs::write(folder.join("list2.csv"), odd.replace("35.10", "38.00")).unwrap();
    let refused = pintle(&folder, &next);
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("--force"), "{}", said(&refused));
}

#[test]
fn a_number_with_two_prices_is_left_out_both_times() {
    let folder = folder("twice");
    fs::write(
        folder.join("list.csv"),
        format!("{LIST}A-1,\"Hinge, full mortise, ball bearing, 4-1/2 x 4-1/2, standard weight\",652,7.00,EA,H1\n"),
    )
    .unwrap();
    let run = pintle(&folder, &["catalog", "import", "list.csv", "--effective", "2026-01-01"]);
    assert!(said(&run).contains("A-1 has two prices, here and at row 4"), "{}", said(&run));
    let goods = fs::read_to_string(folder.join("list.catalog/2026-01-01/goods.csv")).unwrap();
    assert!(!goods.contains("A-1,"), "{goods}");
}

#[test]
fn a_changed_goods_file_is_checked_like_any_catalog() {
    let folder = folder("broken");
    fs::write(folder.join("list.csv"), LIST).unwrap();
    pintle(&folder, &["catalog", "import", "list.csv", "--effective", "2026-01-01"]);
    let path = folder.join("list.catalog/2026-01-01/goods.csv");
    let goods = fs::read_to_string(&path).unwrap();
    let broken =
        goods.replace("35.10", "thirty").replace("stop,\"Wall", "stopp,\"Wall") + goods.lines().nth(1).unwrap() + "\n";
    fs::write(&path, broken).unwrap();
    let error = Catalog::load(&folder.join("list.catalog"), "2026-06-01").unwrap_err();
    for wanted in [
        "3 mistakes",
        "\"thirty\" is not a price",
        "goods.csv, line 3",
        "the nearest is `stop`",
        "stands here and in line 2",
    ] {
        assert!(error.contains(wanted), "{wanted} in\n{error}");
    }
}

/// The same in the large, 200,000 rows, is `cargo bench -- --list`.
#[test]
fn an_invented_list_prices_the_sample() {
    let folder = folder("sample");
    let rows = 3_000;
    fs::write(folder.join("list.csv"), invented_list::csv(rows)).unwrap();
    let run = pintle(&folder, &["catalog", "import", "list.csv", "--into", "catalog", "--effective", "2026-01-01"]);
    assert!(said(&run).contains("imported"), "{}", said(&run));
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library");
    for name in ["bid-set.xlsx", "job.toml"] {
        fs::copy(sample.join(name), folder.join(name)).unwrap();
    }
    let quote = pintle(&folder, &["quote", "bid-set.xlsx", "--catalog", "catalog"]);
    assert_eq!(quote.status.code(), Some(1), "{}", said(&quote));
    let record: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.join("bid-set.record.json")).unwrap()).unwrap();
    let total: rust_decimal::Decimal = record["totals"]["total"].as_str().unwrap().parse().unwrap();
    assert!(total > rust_decimal::Decimal::from(10_000), "{}", said(&quote));
}
