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

/// Every line of the sample that the demo catalog prices has a price from the list alone. The same in the large, 200,000 rows,
/// is `cargo bench -- --list`.
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
    let from_demo = pintle(&folder, &["quote", "bid-set.xlsx", "--out", "demo"]);
    assert_eq!(from_demo.status.code(), Some(1), "{}", said(&from_demo));
    let demo: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(folder.join("demo/bid-set.record.json")).unwrap()).unwrap();
    let lost = invented_list::lines_without_price(&record, &demo);
    assert!(lost.is_empty(), "priced from the demo catalog and not from the list:\n{}", lost.join("\n"));
    let total: rust_decimal::Decimal = record["totals"]["total"].as_str().unwrap().parse().unwrap();
    assert!(total > rust_decimal::Decimal::from(10_000), "{}", said(&quote));
}

/// What stands in a price cell and is no price is told with sheet and cell, and the row is left out; the rest is taken in.
#[test]
fn text_in_a_price_column_of_a_workbook_names_sheet_and_cell() {
    let folder = folder("cells");
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet().set_name("Trim 2026").unwrap();
    for (column, heading) in ["Item No.", "Description", "List Price", "UOM"].iter().enumerate() {
        sheet.write_string(4, column as u16, *heading).unwrap();
    }
    let prices = ["see note 3", "0", "-4.00", "12,50", "9.1e5", "CALL", "1e40", ""];
    for (row, price) in (5u32..).zip(prices) {
        sheet.write_string(row, 0, format!("T-{row}")).unwrap();
        sheet.write_string(row, 1, "Wall stop, concave, 630").unwrap();
        sheet.write_string(row, 2, price).unwrap();
    }
    sheet.write_string(20, 0, "T-20").unwrap();
    sheet.write_string(20, 1, "Wall stop, convex, 630").unwrap();
    sheet.write_number(20, 2, 98.5).unwrap();
    sheet.write_string(20, 3, "barrel").unwrap();
    sheet.write_string(21, 0, "T-21").unwrap();
    sheet.write_string(21, 1, "Wall stop, convex, 626").unwrap();
    sheet.write_number(21, 2, 98.5).unwrap();
    book.save(folder.join("list.xlsx")).unwrap();
    let run = pintle(&folder, &["catalog", "import", "list.xlsx", "--effective", "2026-01-01"]);
    let text = said(&run);
    assert_eq!(run.status.code(), Some(1), "{text}");
    assert!(text.contains("imported  2 goods, 1 of them with a price to be asked for"), "{text}");
    let left = fs::read_to_string(folder.join("list.catalog/not-understood.csv")).unwrap();
    for (wanted, cell) in [("see note 3", "C6"), ("12,50", "C9"), ("-4.00", "C8"), ("1e40", "C12")] {
        let told = left.lines().any(|line| line.contains(wanted) && line.contains(&format!("cell {cell}")));
        assert!(told && left.contains("Trim 2026"), "{wanted} in {cell}:\n{left}");
    }
    assert!(
        left.contains("there is no price in the row") && left.contains("unit \"\"barrel\"\" is not known"),
        "{left}"
    );
}

#[test]
fn a_list_that_cannot_be_used_says_why_and_leaves_nothing() {
    for (name, list, told) in [
        ("empty", "", "the file is empty"),
        ("headless", "A-1,Hinge,12.00\n", "no row of headings"),
        ("priceless", "Item No.,Description\nA-1,Hinge\n", "no row of headings with a price"),
        ("goodless", "Item No.,Description,List Price\nA-1,Whatnot,4.00\n", "no row of the list could be used"),
    ] {
        let folder = folder(name);
        fs::write(folder.join("list.csv"), list).unwrap();
        let run = pintle(&folder, &["catalog", "import", "list.csv", "--effective", "2026-01-01"]);
        let text = said(&run);
        assert_eq!(run.status.code(), Some(2), "{name}: {text}");
        assert!(text.contains(told) && text.contains("help: "), "{name}: {text}");
        assert!(!folder.join("list.catalog").exists(), "{name}: something is left");
    }
}

#[test]
fn currencies_are_never_mixed_in_one_catalog() {
    let folder = folder("currency");
    fs::write(folder.join("list.csv"), LIST).unwrap();
    let import = |date: &str, currency: &str| {
        pintle(&folder, &["catalog", "import", "list.csv", "--effective", date, "--currency", currency])
    };
    assert_eq!(import("2026-01-01", "CAD").status.code(), Some(1));
    let refused = import("2027-01-01", "USD");
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("currencies are never mixed"), "{}", said(&refused));
    assert_eq!(Catalog::load(&folder.join("list.catalog"), "2027-06-01").unwrap().currency, "CAD");
    let odd = pintle(&folder, &["catalog", "import", "list.csv", "--into", "odd", "--currency", "dollars"]);
    assert_eq!(odd.status.code(), Some(2));
    assert!(said(&odd).contains("is not the code of a currency"), "{}", said(&odd));
}

#[test]
fn struck_cells_of_a_price_list_are_left_out_and_said() {
    let folder = folder("struck");
    let mut book = rust_xlsxwriter::Workbook::new();
    let struck = rust_xlsxwriter::Format::new().set_font_strikethrough();
    let sheet = book.add_worksheet();
    sheet.set_name("Prices").unwrap();
    for (column, heading) in ["Item No.", "Description", "List Price"].iter().enumerate() {
        sheet.write(0, column as u16, *heading).unwrap();
    }
    for row in 1..=4_u32 {
        sheet.write(row, 0, format!("W-{row}")).unwrap();
        sheet.write(row, 1, "Wall stop, convex, 630").unwrap();
        sheet.write(row, 2, 9.5).unwrap();
    }
    sheet.write_with_format(2, 2, 9.5, &struck).unwrap();
    sheet.write_with_format(3, 0, "W-3", &struck).unwrap();
    sheet.write_with_format(3, 1, "Wall stop, convex, 630", &struck).unwrap();
    book.save(folder.join("list.xlsx")).unwrap();
    let run = pintle(&folder, &["catalog", "import", "list.xlsx", "--maker", "Alder", "--effective", "2026-01-01"]);
    let text = said(&run);
    assert_eq!(run.status.code(), Some(1), "{text}");
    assert!(text.contains("imported  2 goods"), "{text}");
    assert!(text.contains("\"9.5\" is struck out (sheet \"Prices\", cell C3)"), "{text}");
    assert!(text.contains("\"W-3\" is struck out (sheet \"Prices\", cell A4)"), "{text}");
}
