//! Customer class, phases, unit prices, rounding and equals of the job terms, through a whole quote: record and workbooks.

#[path = "price/bench.rs"]
mod bench;

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use calamine::{Data, Reader as _};
use rust_decimal::Decimal;
use serde_json::Value;

const DOORS: &str = "Door,Width,Height,Door Matl,Frame Matl,HW Set\n101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,1\n\
                     102,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,1\n201,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,2\n301,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,1\n";
const SETS: &str = "Set,Qty,Unit,Description,Finish\n1,3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight,652\n\
                    1,1,EA,Passage set bored lock F75,626\n2,1,EA,Mortise lock storeroom F07 lever,626\n\
                    2,1,EA,Surface closer regular arm,689\n2,1,EA,Wall stop concave,630\n";
const TERMS: &str = "[job]\nbid_date = \"2026-10-01\"\n[price]\nrate = \"25%\"\nround = \"extension\"\nshow = \"by-item\"\n\
    [[unit_prices]]\nname = \"Passage set\"\ncategory = \"bored-lock\"\nset = { function = \"F75\", finish = \"626\" }\n\
    [[unit_prices]]\nname = \"Golden closer\"\ncategory = \"closer\"\nset = { arm = \"golden\" }\n\
    [[phases]]\nname = \"Ground floor\"\nopenings = [\"1*\"]\n[[phases]]\nname = \"Upper floor\"\nsets = [\"2\"]\n";

/// A quote of the small job: its folder and its record.
fn quoted(name: &str, terms: &str) -> (PathBuf, Value) {
    let folder = std::env::temp_dir().join(format!("pintle-terms-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    for (file, text) in [("doors.csv", DOORS), ("sets.csv", SETS), ("job.toml", terms)] {
        fs::write(folder.join(file), text).unwrap();
    }
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(&folder)
        .args(["quote", "doors.csv", "sets.csv", "--job", "job.toml", "--out", "out"])
        .output()
        .unwrap();
    assert!(run.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&run.stderr));
    let found = |ending: &str| {
        let mut files = fs::read_dir(folder.join("out")).unwrap().map(|entry| entry.unwrap().path());
        files.find(|path| path.to_string_lossy().ends_with(ending)).unwrap()
    };
    let record = serde_json::from_str(&fs::read_to_string(found(".record.json")).unwrap()).unwrap();
    (folder, record)
}

fn dec(value: &Value) -> Decimal {
    value.as_str().unwrap_or_else(|| panic!("no figure: {value}")).parse().unwrap()
}

/// The rows of a sheet as text, figures as they are.
fn rows(folder: &std::path::Path, ending: &str, sheet: &str) -> Vec<Vec<String>> {
    let mut files = fs::read_dir(folder.join("out")).unwrap().map(|entry| entry.unwrap().path());
    let path = files.find(|path| path.to_string_lossy().ends_with(ending)).unwrap();
    let mut book: calamine::Xlsx<_> = calamine::open_workbook(path).unwrap();
    let range = book.worksheet_range(sheet).unwrap();
    let cell = |cell: &Data| match cell {
        Data::Empty => String::new(),
        Data::Float(number) => format!("{number:.2}"),
        other => other.to_string(),
    };
    range.rows().map(|row| row.iter().map(cell).collect()).collect()
}

fn has(rows: &[Vec<String>], words: &str) -> bool {
    rows.iter().flatten().any(|cell| cell.contains(words))
}

#[test]
fn phases_add_up_to_the_goods_and_stand_on_both_copies() {
    let (folder, record) = quoted("phases", TERMS);
    let phases = record["phases"].as_array().unwrap();
    let names: Vec<&str> = phases.iter().map(|phase| phase["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["Ground floor", "Upper floor", ""], "door 301 is of no phase");
    let sum: Decimal = phases.iter().map(|phase| dec(&phase["sum"])).sum();
    assert_eq!(sum, dec(&record["totals"]["goods"]) + dec(&record["totals"]["rounding"]));
    let money = rows(&folder, ".estimate.xlsx", "Where the money is");
    let letter = rows(&folder, ".proposal.xlsx", "Proposal");
    for phase in &phases[..2] {
        let (name, sum) = (phase["name"].as_str().unwrap(), dec(&phase["sum"]));
        let row = money.iter().find(|row| row[0].starts_with(name)).unwrap();
        assert_eq!(row[1].parse::<Decimal>().unwrap(), sum.round_dp(2));
        assert!(has(&letter, name), "{letter:#?}");
    }
    assert!(has(&rows(&folder, ".estimate.xlsx", "Openings"), "Upper floor"));
}

#[test]
fn unit_prices_are_those_of_the_same_good_in_a_line_and_no_part_of_the_total() {
    let (folder, record) = quoted("units", TERMS);
    let [set, golden] = record["unit_prices"].as_array().unwrap().as_slice() else { panic!("two unit prices") };
    let lines = record["sets"].as_array().unwrap().iter().flat_map(|set| set["lines"].as_array().unwrap());
    let line = lines.into_iter().find(|line| line["good"]["designation"] == set["designation"]).unwrap();
    assert_eq!(dec(&set["price"]), dec(&line["unit_price"]));
    assert!(golden["price"].is_null() && golden["trouble"].as_str().unwrap().contains("nothing in the catalog"));
    let (_, without) = quoted("no-units", TERMS.split("[[unit_prices]]").next().unwrap());
    assert_eq!(record["totals"], without["totals"]);
    let estimate = rows(&folder, ".estimate.xlsx", "Priced apart");
    let shown = estimate.iter().find(|row| row.iter().any(|cell| cell == "Passage set")).unwrap();
    assert!(shown.contains(&format!("{:.2}", dec(&set["price"]))), "{shown:?}");
    let letter = rows(&folder, ".proposal.xlsx", "Proposal");
    assert!(has(&letter, "Passage set") && has(&letter, "Golden closer") && has(&letter, "on request"), "{letter:#?}");
    assert!(!has(&letter, "nothing in the catalog"), "why there is no price is not the customer's");
}

#[test]
fn the_way_of_rounding_is_said_on_both_copies() {
    for (round, letter_says, bid_says) in [
        ("extension", "Each extension, not each unit price", "each extension half up"),
        ("unit", "Each unit price is rounded half up", "each unit price half up"),
    ] {
        let terms = TERMS.replace("round = \"extension\"", &format!("round = \"{round}\""));
        let (folder, record) = quoted(&format!("round-{round}"), &terms);
        assert!(has(&rows(&folder, ".proposal.xlsx", "Proposal"), letter_says));
        assert!(has(&rows(&folder, ".estimate.xlsx", "The bid"), bid_says));
        assert_eq!(record["price_terms"]["round"], round);
        let total = dec(&record["totals"]["total"]).normalize();
        assert!(total.scale() <= 2, "{total}");
    }
}

#[test]
fn a_customer_class_takes_its_own_chain_and_an_unknown_one_is_refused() {
    let priced = |class: &str| {
        let (_, record) = quoted(class, &TERMS.replace("[price]", &format!("customer_class = \"{class}\"\n[price]")));
        record
    };
    let (contractor, institution) = (priced("contractor"), priced("institution"));
    assert_eq!(contractor["price_terms"]["customer_class"], "contractor");
    let chains = |record: &Value| -> Vec<String> {
        let sets = record["sets"].as_array().unwrap();
        let lines = sets.iter().flat_map(|set| set["lines"].as_array().unwrap());
        lines.map(|line| line["working"]["chain"].to_string()).collect()
    };
    assert_ne!(chains(&contractor), chains(&institution));
    assert_ne!(contractor["totals"]["total"], institution["totals"]["total"]);
    let folder = std::env::temp_dir().join(format!("pintle-terms-contractor-{}", std::process::id()));
    fs::write(folder.join("bad.toml"), "[job]\ncustomer_class = \"contracter\"\n").unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(&folder)
        .args(["quote", "doors.csv", "sets.csv", "--job", "bad.toml", "--out", "bad"])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(2), "{said}");
    assert!(said.contains("\"contracter\"") && said.contains("contractor and institution"), "{said}");
    assert!(!folder.join("bad").exists(), "nothing is written");
}

/// The working of every priced line, done again step by step as the estimate shows it.
#[test]
fn the_working_column_leads_from_base_to_list_and_net() {
    let (folder, record) = quoted("working", &TERMS.replace("round = \"extension\"", "round = \"unit\""));
    let sets = record["sets"].as_array().unwrap();
    let mut seen = 0;
    for line in sets.iter().flat_map(|set| set["lines"].as_array().unwrap()) {
        let Some(working) = line.get("working").filter(|working| working["unit"] == "") else { continue };
        let mut list = dec(&working["base"]);
        let parts: Decimal = working["made_of"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| dec(&part["each"]) * Decimal::from(part["count"].as_u64().unwrap()))
            .sum();
        assert!(parts.is_zero() || parts == list, "{working}");
        let mut net = Decimal::ZERO;
        for extra in working["adders"].as_array().unwrap() {
            *(if extra["net"] == true { &mut net } else { &mut list }) += dec(&extra["money"]);
        }
        assert_eq!((list, net), (dec(&working["list"]), dec(&working["net_adders"])), "{working}");
        seen += 1;
    }
    assert!(seen >= 4, "only {seen} lines have a working");
    let goods = rows(&folder, ".estimate.xlsx", "Priced goods");
    let column = goods.iter().find_map(|row| row.iter().position(|cell| cell == "Working")).unwrap();
    assert!(goods.iter().any(|row| row[column].starts_with("base ") && row[column].contains("; less ")));
}

/// A maker named that the catalog does not sell: priced with what fits, never silently.
#[test]
fn a_maker_that_is_not_sold_is_substituted_and_said_on_both_copies() {
    let sets = "Set,Qty,Unit,Description,Mfr,Finish\n1,1,EA,Passage set bored lock F75,,626\n\
                2,1,EA,Surface closer regular arm,Ghostmaker,689\n";
    let folder = std::env::temp_dir().join(format!("pintle-terms-ghost-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let quote = |terms: &str| -> Value {
        for (file, text) in [("doors.csv", DOORS), ("sets.csv", sets), ("job.toml", terms)] {
            fs::write(folder.join(file), text).unwrap();
        }
        let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .current_dir(&folder)
            .args(["quote", "doors.csv", "sets.csv", "--job", "job.toml", "--out", "out", "--force"])
            .output()
            .unwrap();
        assert!(run.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&run.stderr));
        serde_json::from_str(&fs::read_to_string(folder.join("out/doors.record.json")).unwrap()).unwrap()
    };
    let said = |record: &Value| -> Option<String> {
        let findings = record["findings"].as_array().unwrap();
        let found = findings.iter().find(|finding| finding["rule"] == "substitution")?;
        Some(found["says"].as_str().unwrap().to_owned())
    };
    let record = quote("[job]\nbid_date = \"2026-10-01\"\n");
    let says = said(&record).unwrap_or_else(|| panic!("{}", record["sets"]));
    assert!(says.contains("does not sell Ghostmaker") && says.contains("to be approved"), "{says}");
    let taken = says.split("priced instead: ").nth(1).unwrap().split(' ').next().unwrap().to_owned();
    let equals = record["equals"].as_array().unwrap();
    let equals = equals.iter().find(|equals| equals["text"].as_str().unwrap().contains("Ghostmaker")).unwrap();
    assert!(equals["specified"].is_null(), "what is not sold is not offered as specified");
    assert_eq!(equals["offers"][0]["maker"], taken.as_str());
    assert!(has(&rows(&folder, ".proposal.xlsx", "Proposal"), "for Ghostmaker, set 2"));
    let accepted = quote(&format!("[job]\nbid_date = \"2026-10-01\"\n[makers]\ncloser = [\"{taken}\"]\n"));
    assert_eq!(said(&accepted), None, "the terms accept {taken}");
}

/// Two wall stops of a line sold from twenty: the total is of two, and what the rest costs is said.
#[test]
fn what_packs_and_least_quantities_cost_beyond_the_need_is_said() {
    let (_, record) = quoted("surplus", TERMS);
    let findings = record["findings"].as_array().unwrap();
    let found = findings.iter().find(|finding| finding["rule"] == "order-exceeds-need").unwrap();
    let says = found["says"].as_str().unwrap();
    let rows = record["orders"].as_array().unwrap().iter().flat_map(|order| order["rows"].as_array().unwrap());
    let surplus: Decimal = rows
        .filter(|row| !row["pack"].is_null() || !row["minimum"].is_null())
        .map(|row| dec(&row["net"]) * dec(&row["order"]) - dec(&row["cost"]))
        .map(|exact| exact.round_dp_with_strategy(2, rust_decimal::RoundingStrategy::MidpointAwayFromZero))
        .sum();
    assert!(surplus > Decimal::ZERO && says.contains(&format!("costs {:.2} net more", surplus)), "{surplus}: {says}");
}

/// Half up to the decimals.
/// The goods page, the record and the change request ask one place what is taxed.
#[test]
fn exempt_goods_are_exempt_however_the_category_is_written() {
    let terms = "[price]\nrate = \"25%\"\n[tax]\nrate = \"10%\"\nexempt = [\" Closer \"]\n";
    let (folder, record) = quoted("exempt", terms);
    let rows = rows(&folder, "estimate.xlsx", "Priced goods");
    let heading = rows.iter().find(|row| row.iter().any(|cell| cell == "Taxed")).expect("a row of headings");
    let at = heading.iter().position(|cell| cell == "Taxed").unwrap();
    let taxed = |word: &str| {
        let row = rows.iter().find(|row| row.iter().any(|cell| cell.starts_with(word))).expect("its row");
        row[at].clone()
    };
    assert_eq!((taxed("Surface closer"), taxed("Wall stop")), ("no".to_owned(), "yes".to_owned()));
    let tax = record["charges"].as_array().unwrap().iter().find(|charge| charge["kind"] == "tax").expect("a tax");
    let goods = dec(&record["totals"]["goods"]);
    assert!(dec(&tax["on"]) < goods, "{tax}");
    let _ = fs::remove_dir_all(folder);
}

/// Weights are of what one price is for: a piece, a pair, feet of a piece.
#[test]
fn freight_by_weight_goes_by_the_unit_counted() {
    use pintle::catalog::good::Per;
    use pintle::understand::reading::Unit;
    for (per, length, unit, count, pounds) in [
        (Per::Each, None, Unit::Pair, "2", "6.0"),
        (Per::Pair, None, Unit::Each, "3", "2.25"),
        (Per::Each, None, Unit::Each, "3", "4.5"),
        (Per::Foot, Some("204"), Unit::Foot, "34", "3.0"),
        (Per::Each, Some("204"), Unit::Foot, "17", "1.5"),
    ] {
        let mut list = bench::list_price("10.00", &[]);
        (list.per, list.length) = (per, length.map(|length: &str| length.parse().unwrap()));
        let item = pintle::count::takeoff::Item {
            from: pintle::count::takeoff::From::Added(0),
            candidate: Some(std::sync::Arc::new(pintle::catalog::good::Candidate {
                good: bench::good("weather", "Wend", list),
                why: Vec::new(),
                undecided: Vec::new(),
            })),
            unit,
            varied: Default::default(),
            shares: Vec::new(),
            count: bench::dec(count),
        };
        let all = pintle::price::working::weight(&item, None, item.count).expect("it has a weight");
        assert_eq!(all, bench::dec(pounds), "{per:?} {unit:?}");
    }
}

fn half_up(exact: Decimal, decimals: u32) -> Decimal {
    exact.round_dp_with_strategy(decimals, rust_decimal::RoundingStrategy::MidpointAwayFromZero)
}

fn last_figure(words: &str) -> Decimal {
    words.split(' ').next_back().and_then(|word| word.parse().ok()).unwrap_or_else(|| panic!("no figure: {words}"))
}

/// Net and sell of one, from the words of a working and nothing else, as with a pocket calculator.
fn by_words(words: &str) -> (Decimal, Decimal) {
    let mut steps = words.split("; ");
    let mut sums = steps.next().unwrap().split(" + ");
    let mut tokens = sums.next().unwrap().split(" (").next().unwrap().split(' ').skip(1);
    let mut amount: Decimal = tokens.next().unwrap().parse().unwrap();
    while let Some(token) = tokens.next() {
        match token {
            "×" => amount *= tokens.next().unwrap().parse::<Decimal>().unwrap(),
            "/" => amount /= tokens.next().unwrap().parse::<Decimal>().unwrap(),
            _ => {}
        }
    }
    amount += sums.map(last_figure).sum::<Decimal>();
    for step in steps {
        if let Some(chain) = step.strip_prefix("less ") {
            for off in chain.split('/') {
                amount = amount * (Decimal::ONE_HUNDRED - off.parse::<Decimal>().unwrap()) / Decimal::ONE_HUNDRED;
            }
        } else if step.starts_with("+ ") {
            amount += last_figure(step.trim_end_matches(" net"));
        } else {
            let mut words = step.split(' ');
            let (method, rate) = (words.next().unwrap(), words.next().unwrap().trim_end_matches('%'));
            let rate = rate.parse::<Decimal>().unwrap() / Decimal::ONE_HUNDRED;
            let net = half_up(amount, 2);
            let exact = if method == "margin" { net / (Decimal::ONE - rate) } else { net * (Decimal::ONE + rate) };
            return (net, half_up(exact, 2));
        }
    }
    panic!("no rate: {words}")
}

/// Every price of the sample's estimate is what its working says, step by step: base, adders, chain, net adders, surcharge,
/// margin or markup, rounding, extension.
#[test]
fn every_price_of_the_sample_can_be_done_again_from_the_words_beside_it() {
    let sample = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library");
    let own = fs::read_to_string(sample.join("job.toml")).unwrap();
    for (name, terms) in [
        ("as-sent", own.clone()),
        ("in-unit", own.replace("[price]\n", "[price]\nsurcharges = \"in-unit\"\n")),
        ("markup", own.replace("method = \"margin\"", "method = \"markup\"")),
    ] {
        let folder = std::env::temp_dir().join(format!("pintle-words-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        fs::copy(sample.join("bid-set.xlsx"), folder.join("bid-set.xlsx")).unwrap();
        fs::write(folder.join("job.toml"), terms).unwrap();
        let run = Command::new(env!("CARGO_BIN_EXE_pintle"))
            .current_dir(&folder)
            .args(["quote", "bid-set.xlsx", "--out", "out"])
            .output()
            .unwrap();
        assert!(run.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&run.stderr));
        let mut book: calamine::Xlsx<_> = calamine::open_workbook(folder.join("out/bid-set.estimate.xlsx")).unwrap();
        let range = book.worksheet_range("Priced goods").unwrap();
        let mut rows = range.rows().skip_while(|row| !row.iter().any(|cell| *cell == "Working"));
        let head = rows.next().unwrap();
        let at = |name: &str| head.iter().position(|cell| *cell == name).unwrap();
        let [words, quantity, net, sell, extension] = ["Working", "Quantity", "Net", "Sell", "Extension"].map(at);
        let figure = |cell: &Data| half_up(cell.to_string().parse::<Decimal>().unwrap(), 9).normalize();
        let mut done = 0;
        for row in rows.filter(|row| !row[words].to_string().is_empty()) {
            let said = row[words].to_string();
            let (by_hand, sold) = by_words(&said);
            assert_eq!(
                (figure(&row[net]), figure(&row[sell])),
                (by_hand.normalize(), sold.normalize()),
                "{name}: {said}"
            );
            let extended = half_up(sold * figure(&row[quantity]), 2);
            assert_eq!(figure(&row[extension]), extended.normalize(), "{name}: {said}");
            done += 1;
        }
        assert!(done > 150, "{name}: only {done} prices were done again");
    }
}
