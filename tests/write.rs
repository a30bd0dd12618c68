//! What is written: the record, the proposal, the estimate, from hand-made jobs.

#[path = "price/bench.rs"]
mod bench;

use std::io::Read as _;

use bench::{good, job, list_price, opening, spec};
use pintle::catalog::Catalog;
use pintle::catalog::good::{Adder, Adds, Entry};
use pintle::complete::spec::Completed;
use pintle::count::count;
use pintle::price::price;
use pintle::price::quote::Quote;
use pintle::read::schedule::Basis;
use pintle::terms::Terms;
use pintle::trade::category::Category;
use pintle::write;
use serde_json::Value;

const TERMS: &str = r#"
[job]
name = "Harrow Clinic"
customer = "Tarn & Weller Builders"
addenda = ["1 (2026-09-20)"]
estimator = "R. Quill"
[from]
company = "Latchford Door Supply"
address = ["12 Foundry Lane", "Harrow Falls"]
[price]
rate = "27%"
by_category = { closer = "31%" }
bond = "1.5%"
[freight]
rate = "2%"
[tax]
rate = "6.5%"
on_freight = true
"#;

fn hand_made() -> Completed {
    let mut hinge = list_price("87.40", &["50", "10", "5"]);
    let entry = Entry { file: "prices.csv".into(), line: 2 };
    hinge.adders.push(Adder { what: "conductors 6".into(), adds: Adds::Net("3.15".parse().unwrap()), entry });
    hinge.surcharges = vec![("Steel surcharge".into(), "4".parse().unwrap())];
    let closer = list_price("412.00", &["45"]);
    let lines = |set: usize| {
        vec![
            spec(set, 0, Category::Hinge, "3", Basis::Leaf, Some(good("bb", "Arden", hinge.clone()))),
            spec(set, 1, Category::Closer, "1", Basis::Leaf, Some(good("cl", "Brockhurst", closer.clone()))),
            spec(set, 2, Category::Other, "1", Basis::Opening, None),
        ]
    };
    let mut made = job(
        vec![opening("101", 1, 2), opening("102", 2, 3), opening("103", 1, 4)],
        vec![(vec![0, 1], lines(0)), (vec![2], lines(1))],
    );
    made.sets[0].specs[2].wording = pintle::read::schedule::Wording::free("=HYPERLINK(\"x\") @cmd <&> \u{1}odd");
    made
}

fn quoted(terms: &str) -> Quote {
    quoted_of(hand_made(), terms)
}

fn quoted_of(job: Completed, terms: &str) -> Quote {
    let catalog = Catalog::default();
    let takeoff = count(&job, &catalog);
    let mut quote = price(job, takeoff, &catalog, &Terms::parse(terms, "job.toml").unwrap(), "2026-10-01");
    quote.catalog.name = "Demo".into();
    quote.catalog.currency = "USD".into();
    quote
}

/// Every part of a workbook as text.
fn parts(bytes: &[u8]) -> Vec<(String, String)> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|index| {
            let mut file = archive.by_index(index).unwrap();
            let mut bytes = Vec::new();
            file.read_to_end(&mut bytes).unwrap();
            (file.name().unwrap().into_owned(), String::from_utf8_lossy(&bytes).into_owned())
        })
        .collect()
}

fn decimal(value: &Value) -> rust_decimal::Decimal {
    value.as_str().unwrap().parse().unwrap()
}

#[test]
fn the_record_ties() {
    let quote = quoted(TERMS);
    let record: Value = serde_json::from_str(&write::record(&quote)).unwrap();
    assert_eq!(record["schema"], "pintle.record/1");
    let sets = record["sets"].as_array().unwrap();
    let lines = sets.iter().flat_map(|set| set["lines"].as_array().unwrap());
    let added = record["added"].as_array().unwrap().iter();
    let mut goods = rust_decimal::Decimal::ZERO;
    for line in lines.clone().filter(|line| line.get("extended").is_some()) {
        assert_eq!(decimal(&line["count"]) * decimal(&line["unit_price"]), decimal(&line["extended"]));
    }
    for object in lines.chain(added).filter(|object| object.get("extended").is_some()) {
        goods += decimal(&object["extended"]);
    }
    assert_eq!(goods, decimal(&record["totals"]["goods"]));
    assert_eq!(sets[0]["lines"][2].get("unit_price"), None);
    assert_eq!(sets[0]["openings"], serde_json::json!(["101", "102"]));
}

#[test]
fn nothing_of_cost_is_in_the_proposal() {
    for show in ["lump-sum", "by-set", "by-opening", "by-item"] {
        let beside = "[[unit_prices]]\nname = \"One more closer\"\ncategory = \"closer\"\n[[phases]]\nname = \"North\"\nopenings = [\"101\"]\n";
        let terms = TERMS.replace("[price]", &format!("[price]\nshow = \"{show}\""));
        let quote = quoted(&format!("{terms}{beside}"));
        let parts = parts(&write::proposal(&quote).unwrap());
        let sheets = parts.iter().filter(|(name, _)| name.starts_with("xl/worksheets/sheet")).count();
        assert_eq!(sheets, 2);
        for (name, text) in &parts {
            assert!(!name.contains("comment") && !name.contains("custom"), "{name}");
            // Numbers of the letter alone may look like anything in styles and themes, so only cells and texts are searched.
            let holds_words =
                name.starts_with("xl/worksheets") || name.contains("sharedStrings") || name.starts_with("docProps");
            for secret in [
                "87.4",
                "40.51",
                "226.6",
                "0.4275",
                "27%",
                "31%",
                "0.27",
                "0.31",
                "margin",
                "markup",
                "multiplier",
                "discount",
                "definedName",
                "hidden",
            ] {
                assert!(!(holds_words && text.contains(secret)), "{show}: {secret} is in {name}");
            }
        }
        for wanted in ["One more closer", "North", "The goods by phase"] {
            assert!(parts.iter().any(|(_, text)| text.contains(wanted)), "{show}: {wanted} is not on the letter");
        }
        let workbook = &parts.iter().find(|(name, _)| name == "xl/workbook.xml").unwrap().1;
        assert!(!workbook.contains("hidden"));
        let total = quote.totals.total.to_string();
        assert!(parts.iter().any(|(_, text)| text.contains(total.trim_end_matches('0'))), "the total is on the letter");
    }
}

#[test]
fn the_same_quote_gives_the_same_bytes() {
    let (one, two) = (quoted(TERMS), quoted(TERMS));
    assert_eq!(write::record(&one), write::record(&two));
    assert_eq!(write::proposal(&one).unwrap(), write::proposal(&two).unwrap());
    assert_eq!(write::estimate(&one).unwrap(), write::estimate(&two).unwrap());
    assert_eq!(write::questions(&one).unwrap(), write::questions(&two).unwrap());
}

#[test]
fn words_of_the_architect_never_become_formulas() {
    let begins = ["=1+1", "+1+1", "-1+1", "@SUM(1)", "\t=1+1", "=HYPERLINK(\"x\")"];
    for words in begins {
        let mut quote = quoted(TERMS);
        quote.job.sets[0].specs[2].wording = pintle::read::schedule::Wording::free(words);
        quote.job.sets[0].title = words.to_owned();
        quote.job.schedule.openings[0].room = words.to_owned();
        quote.terms.job.name = words.to_owned();
        for bytes in [write::proposal(&quote), write::estimate(&quote), write::questions(&quote)] {
            let parts = parts(&bytes.unwrap());
            assert!(
                parts.iter().any(|(name, text)| name.contains("sharedStrings") && text.contains(words.trim())
                    || text.contains(&words.replace('"', "&quot;"))),
                "{words} is not shown"
            );
            for (name, text) in parts {
                for formula in text.split("<f>").skip(1).filter_map(|rest| rest.split("</f>").next()) {
                    let plain = words.trim().trim_start_matches(['=', '+', '-', '@']);
                    let of_theirs = formula.starts_with(words.trim()) || formula.starts_with(plain);
                    assert!(!of_theirs, "{name}: {words} became the formula {formula}");
                }
            }
        }
    }
}

#[test]
fn the_summary_says_what_was_read_and_what_it_comes_to() {
    let text = write::summary(&quoted(TERMS), false);
    assert!(text.contains("3 openings, 2 sets, 6 lines"), "{text}");
    assert!(text.contains("total USD"), "{text}");
    assert!(!text.contains('\u{1b}'));
}

/// The estimate, recomputed by an engine that is not ours.
struct Sheet {
    model: ironcalc::base::Model<'static>,
}

impl Sheet {
    fn open(bytes: &[u8]) -> Sheet {
        let workbook = ironcalc::import::load_from_xlsx_bytes(bytes, "estimate", "en", "UTC").unwrap();
        Sheet { model: ironcalc::base::Model::from_workbook(workbook, "en").unwrap() }
    }

    fn values(&self) -> std::collections::BTreeMap<(u32, i32, i32), ironcalc::base::cell::CellValue> {
        let cells = self.model.get_all_cells();
        cells
            .into_iter()
            .map(|at| {
                let value = self.model.get_cell_value_by_index(at.index, at.row, at.column).unwrap();
                ((at.index, at.row, at.column), value)
            })
            .collect()
    }

    fn page(&self, name: &str) -> u32 {
        let names = self.model.workbook.get_worksheet_names();
        u32::try_from(names.iter().position(|other| other == name).unwrap()).unwrap()
    }

    /// Row of the first cell with a text, in a column of a page.
    fn row(&self, page: u32, column: i32, text: &str) -> i32 {
        (1..500)
            .find(|row| {
                self.model.get_formatted_cell_value(page, *row, column).is_ok_and(|found| found.starts_with(text))
            })
            .unwrap_or_else(|| panic!("no {text} in column {column}"))
    }

    fn number(&self, page: u32, row: i32, column: i32) -> f64 {
        match self.model.get_cell_value_by_index(page, row, column).unwrap() {
            ironcalc::base::cell::CellValue::Number(number) => number,
            other => panic!("row {row}, column {column}: {other:?}"),
        }
    }

    fn type_in(&mut self, page: u32, row: i32, column: i32, text: &str) {
        self.model.set_user_input(page, row, column, text.to_owned()).unwrap();
        self.model.evaluate();
    }

    fn total(&self) -> f64 {
        let bid = self.page("The bid");
        self.number(bid, self.row(bid, 1, "Total USD"), 2)
    }
}

fn as_float(money: pintle::money::Money) -> f64 {
    money.to_string().parse().unwrap()
}

fn near(one: f64, two: f64) -> bool {
    let digits = |number: f64| format!("{number:.6}").replace("-0.000000", "0.000000");
    digits(one) == digits(two)
}

#[test]
fn every_formula_of_the_estimate_gives_its_cached_value() {
    for terms in [
        TERMS.to_owned(),
        TERMS.replace("rate = \"2%\"", "per_pound = \"0.35\"\nfree_above = \"90000\""),
        TERMS.replace(
            "[price]",
            "[price]\nmethod = \"markup\"\nround = \"extension\"\nfloor_margin = \"28%\"\nround_up_total = true",
        ),
        TERMS.replace("on_freight = true", "exempt = [\"closer\"]"),
        format!(
            "{TERMS}\n[[phases]]\nname = \"North\"\nopenings = [\"101\"]\n[[phases]]\nname = \"South\"\nsets = [\"2\"]\n\
             [[unit_prices]]\nname = \"One more\"\ncategory = \"closer\"\n[[allowances]]\nname = \"Keys\"\nsum = \"150.00\"\n"
        ),
        String::new(),
    ] {
        let quote = quoted(&terms);
        let mut sheet = Sheet::open(&write::estimate(&quote).unwrap());
        let cached = sheet.values();
        sheet.model.evaluate();
        let fresh = sheet.values();
        let mut formulas = 0;
        for (at, value) in &cached {
            if sheet.model.get_cell_formula(at.0, at.1, at.2).unwrap().is_none() {
                continue;
            }
            formulas += 1;
            let same = match (value, &fresh[at]) {
                (ironcalc::base::cell::CellValue::Number(one), ironcalc::base::cell::CellValue::Number(two)) => {
                    near(*one, *two)
                }
                (one, two) => one == two,
            };
            assert!(same, "{terms}: page {}, row {}, column {}: {value:?} became {:?}", at.0, at.1, at.2, fresh[at]);
        }
        assert!(formulas > 40, "only {formulas} formulas");
        assert!(near(sheet.total(), as_float(quote.totals.total)));
    }
}

#[test]
fn a_margin_changed_in_the_workbook_gives_what_the_tool_gives() {
    let mut sheet = Sheet::open(&write::estimate(&quoted(TERMS)).unwrap());
    let bid = sheet.page("The bid");
    let row = sheet.row(bid, 1, "margin 31%");
    sheet.type_in(bid, row, 2, "0.35");
    let wanted = quoted(&TERMS.replace("31%", "35%"));
    assert!(near(sheet.total(), as_float(wanted.totals.total)), "{} {}", sheet.total(), wanted.totals.total);
}

#[test]
fn a_quantity_changed_in_the_workbook_gives_what_the_tool_gives() {
    let mut sheet = Sheet::open(&write::estimate(&quoted(TERMS)).unwrap());
    let goods = sheet.page("Priced goods");
    let row = sheet.row(goods, 1, "line");
    sheet.type_in(goods, row, 7, "4");
    let mut made = hand_made();
    made.sets[0].specs[0].quantity = "4".parse().unwrap();
    let catalog = Catalog::default();
    let takeoff = count(&made, &catalog);
    let wanted = price(made, takeoff, &catalog, &Terms::parse(TERMS, "job.toml").unwrap(), "2026-10-01");
    assert!(near(sheet.total(), as_float(wanted.totals.total)));
    // A row left out is a row of which none is wanted.
    sheet.type_in(goods, row, 23, "x");
    let without = sheet.total();
    sheet.type_in(goods, row, 23, "");
    sheet.type_in(goods, row, 20, "0");
    assert!(near(sheet.total(), without));
}

/// What is priced does not stand among what is not included; doors that are left out are no part of the scope.
#[test]
fn the_letter_speaks_of_what_is_in_its_sum() {
    let words = |reader: bool| {
        let mut made = hand_made();
        if reader {
            let price = list_price("312.00", &["40"]);
            let line = spec(0, 3, Category::Reader, "1", Basis::Opening, Some(good("rd", "Arden", price)));
            made.sets[0].specs.push(line);
        }
        made.schedule.openings[2].excluded = Some("EXISTING TO REMAIN".into());
        let catalog = Catalog::default();
        let takeoff = count(&made, &catalog);
        let quote = price(made, takeoff, &catalog, &Terms::parse(TERMS, "job.toml").unwrap(), "2026-10-01");
        parts(&write::proposal(&quote).unwrap()).into_iter().map(|(_, text)| text).collect::<String>()
    };
    let (without, with) = (words(false), words(true));
    assert!(without.contains("Card readers and access control equipment."));
    assert!(!with.contains("Card readers and access control equipment."));
    assert!(with.contains("1 opening of the schedule left out"), "opening 103 is left out");
}

#[test]
fn the_preps_name_the_openings_that_are_not_in_them() {
    let mut made = hand_made();
    made.preps = vec![pintle::complete::spec::Prep {
        opening: 0,
        trade: "door, frame",
        leaf: "",
        what: "hinge".into(),
        detail: String::new(),
        above_floor: None,
        rule: "hinge-position",
    }];
    let words = |made: Completed| {
        let preps = write::preps(&quoted_of(made, TERMS)).unwrap().unwrap();
        parts(&preps.workbook).into_iter().map(|(_, text)| text).collect::<String>()
    };
    assert!(!words(made.clone()).contains("Not in this list"));
    made.schedule.openings[2].excluded = Some("by others".into());
    assert!(words(made).contains("left out of the quote: 103."));
}
