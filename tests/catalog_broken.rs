//! Broken catalogs: each kind of mistake, and what the user is told.

use pintle::catalog::Catalog;

const HEAD: &str = "name = \"Small\"\ncurrency = \"USD\"\nclasses = [\"trade\"]\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"\n";

const LINE: &str = r#"[[line]]
id = "plain"
maker = "Wend"
category = "hinge"
designation = "PL{height}{pin} {finish}"
describe = "Hinge, {height}, {finish}"
price = { by = ["height"], rows = [[4, 10.00], [4.5, 12.00]] }
is = { base = "steel" }
makes.height = { values = [4, 4.5], codes = ["40", "45"], usual = 4.5 }
makes.pin = { values = ["removable", "non-removable"], codes = ["", "-K"], list = [0, 2] }
makes.width = { from = 2, to = 6, usual = 4 }
makes.finish = ["652", "640"]
[[line.rule]]
when = { pin = "non-removable" }
needs = { height = 4.5 }
[[line.adder]]
when = { finish = "640" }
percent = 10
[[discount]]
maker = "Wend"
chain = [50]
[[surcharge]]
name = "Steel"
percent = 3
from = "2026-02-01"
"#;

fn load(head: &str, line: &str, csv: &str) -> Result<Catalog, String> {
    Catalog::from_texts(&[("catalog.toml", head), ("one/goods.toml", line), ("one/prices.csv", csv)], "2026-06-01")
}

/// The report when `from` in the good file is replaced by `to`.
fn broken(from: &str, to: &str) -> String {
    assert!(LINE.contains(from), "the test replaces nothing: {from}");
    load(HEAD, &LINE.replacen(from, to, 1), "line,height,price\nplain,4,10\nplain,4.5,zwölf\n")
        .err()
        .unwrap_or_else(|| panic!("it loads although {from} became {to}"))
}

#[test]
fn the_small_catalog_is_whole() {
    let catalog = load(HEAD, LINE, "line,height,price\n").unwrap_or_else(|report| panic!("{report}"));
    assert_eq!(catalog.name, "Small");
}

#[test]
fn every_kind_of_mistake_is_told_with_its_place() {
    let mut wrong = Vec::new();
    for (from, to, told) in [
        ("id = \"plain\"", "id = \"plain", "one/goods.toml, line 2, column"),
        ("id = \"plain\"\n", "", "line 1, column 1: a line has no id"),
        ("maker = \"Wend\"\n", "", "line 1, column 1: `maker` is missing"),
        ("category = \"hinge\"", "category = \"hnige\"", "line 4, column 12: \"hnige\" is not a category"),
        ("category = \"hinge\"", "categroy = \"hinge\"", "line 4, column 1: unknown key `categroy`"),
        ("[4.5, 12.00]]", "[4.5, \"x\"]]", "line 7, column 54: \"x\" is not a price"),
        ("[4.5, 12.00]]", "[4.5, 0]]", "line 7, column 54: the price 0.00 is not above zero"),
        (", [4.5, 12.00]]", "]", "there is no price for height 4-1/2"),
        ("[4.5, 12.00]]", "[4.5, 12.00], [4, 11]]", "height 4 is priced here and in line 7"),
        ("[4.5, 12.00]]", "[4.5, 12.00], [5, 11]]", "height \"5\" is not made by this line"),
        ("[4.5, 12.00]]", "[4.5]]", "the row has 1 cells"),
        ("by = [\"height\"]", "by = [\"heigth\"]", "line 7, column 17: the line makes no `heigth`"),
        ("rows = [[4, 10.00], [4.5, 12.00]]", "table = \"price.csv\"", "there is no file price.csv"),
        (
            "rows = [[4, 10.00], [4.5, 12.00]]",
            "table = \"prices.csv\"",
            "one/prices.csv, line 3, column 11: \"zwölf\" is not a price",
        ),
        ("price = { by = [\"height\"], rows = [[4, 10.00], [4.5, 12.00]] }\n", "", "`price` is missing"),
        (
            "by = [\"height\"], rows = [[4, 10.00], [4.5, 12.00]]",
            "by = [\"width\"], rows = [[\"..3\", 1], [\"4..\", 2]]",
            "there is no price for this size, width 3 and over",
        ),
        (
            "by = [\"height\"], rows = [[4, 10.00], [4.5, 12.00]]",
            "by = [\"width\"], rows = [[\"..4\", 1], [\"3..\", 2]]",
            "this size is priced here and in line 7",
        ),
        (
            "by = [\"height\"], rows = [[4, 10.00], [4.5, 12.00]]",
            "by = [\"width\"], rows = [[\"wide\", 1]]",
            "\"wide\" is not a size break of width",
        ),
        (
            "values = [4, 4.5], codes = [\"40\", \"45\"]",
            "values = [4, \"tall\"], codes = [\"40\", \"45\"]",
            "\"tall\" is no value of height",
        ),
        ("codes = [\"40\", \"45\"]", "codes = [\"40\"]", "`codes` has 1 items for 2 values"),
        (
            "codes = [\"40\", \"45\"]",
            "codes = [\"40\", \"40\"]",
            "height 4-1/2 has the code \"40\", which another value has",
        ),
        ("usual = 4.5", "usual = 5", "the usual value \"5\" is not among the values of height"),
        (
            "values = [\"removable\", \"non-removable\"]",
            "values = [\"removable\", \"removable\"]",
            "pin has \"removable\" twice",
        ),
        ("{ from = 2, to = 6, usual = 4 }", "{ from = 6, to = 2, usual = 4 }", "width runs from 6 to 2 in steps of 1"),
        ("{ from = 2, to = 6, usual = 4 }", "{ from = 2, to = 6 }", "width has no usual value"),
        ("makes.finish = [\"652\", \"640\"]", "makes.finish = \"paints\"", "there is no choice named `paints`"),
        ("{finish}\"\ndescribe", "{finsh}\"\ndescribe", "`designation` names `finsh`, which the line does not make"),
        ("PL{height}", "PL{height", "a brace in `designation` is not closed"),
        ("PL{height}{pin} ", "{height}{pin}", "the designation has no letters of its own"),
        (
            "when = { pin = \"non-removable\" }",
            "when = { pni = \"non-removable\" }",
            "`rule` speaks of `pni`, which the line does not have",
        ),
        (
            "when = { finish = \"640\" }",
            "when = { finish = \"641\" }",
            "`adder` speaks of finish 641, which nothing uses",
        ),
        ("percent = 10\n", "", "the adder has no amount"),
        ("needs = { height = 4.5 }\n", "", "the rule says nothing"),
        ("needs = { height = 4.5 }", "needs = { height = \"4..x\" }", "\"4..x\" is not a size break"),
        (
            "when = { pin = \"non-removable\" }",
            "excludes = { pin = \"*\" }",
            "cannot be made with its usual values: is not made with any pin",
        ),
        ("maker = \"Wend\"\nchain", "maker = \"Wand\"\nchain", "there is no maker \"Wand\""),
        ("chain = [50]", "chain = [50, 100]", "a step of 100 per cent is not between 0 and 100"),
        ("chain = [50]", "chain = [0.5, 10]", "a step of 0.5 is less than one per cent off: 0.5 per cent, or 50"),
        ("chain = [50]", "multiplier = 1.2", "the multiplier 1.2 is not between 0 and 1"),
        ("chain = [50]", "class = \"friend\"\nchain = [50]", "there is no customer class \"friend\""),
        ("chain = [50]", "category = \"closer\"\nchain = [50]", "line `plain` takes no discount chain"),
        ("from = \"2026-02-01\"", "from = \"soon\"", "`from` \"soon\" is not a date"),
        ("is = { base", "kit = [{ line = \"none\" }]\nis = { base", "holds a line `none`, which does not exist"),
        (
            "is = { base",
            "discontinued = { from = \"2026-01-01\", successor = \"next\" }\nis = { base",
            "the successor `next` does not exist",
        ),
        (
            "is = { base",
            "discontinued = { successor = \"plain\" }\nis = { base",
            "it is not said from when the line is discontinued",
        ),
        (
            "is = { base",
            "discontinued = { from = \"spring\", successor = \"plain\" }\nis = { base",
            "`from` \"spring\" is not a date",
        ),
        (
            "is = { base",
            "discontinued = { from = \"2026-01-01\", successor = \"plain\" }\nis = { base",
            "the successors of `plain` run in a circle and none of them is made",
        ),
        (
            "is = { base",
            "discontinued = { from = \"2026-01-01\", successor = \"plainn\" }\nis = { base",
            "a line with a similar id exists: `plain`",
        ),
        (
            "[[discount]]",
            "[[line]]\nid = \"old\"\nlike = \"plain\"\ncategory = \"closer\"\ndesignation = \"OLD {finish}\"\n\
             discontinued = { from = \"2026-01-01\", successor = \"plain\" }\n[[discount]]",
            "the successor `plain` is a hinge, the line a closer",
        ),
        ("is = { base", "kit = [{ line = \"plainn\" }]\nis = { base", "a line with a similar id exists: `plain`"),
        ("is = { base", "kit = [{ line = \"plain\" }]\nis = { base", "holds kits within kits"),
        ("percent = 10\n", "percent = -100\n", "leaves PL45 640 at 0.00 net"),
        ("percent = 10\n", "net = -20\n", "leaves PL45 640 at -14.00 net"),
        (
            "when = { finish = \"640\" }",
            "when = { pin = \"non-removable\", height = 4 }",
            "is for goods that its rules do not allow",
        ),
        (
            "when = { finish = \"640\" }",
            "when = { width = \"6..\" }",
            "`adder` speaks of width over 6, which nothing uses",
        ),
        (
            "when = { finish = \"640\" }",
            "when = { finish = \"645\" }",
            "the line makes 652 and 640; the nearest is 640",
        ),
        (
            "chain = [50]",
            "chain = [50]\n[[discount]]\nmaker = \"Wend\"\nchain = [40]",
            "a discount for the same stands in",
        ),
        (
            "percent = 3\n",
            "percent = 3\nfrom = \"2026-02-01\"\n[[surcharge]]\nname = \"Steel\"\npercent = 3\n",
            "the surcharge \"Steel\" stands twice",
        ),
        ("percent = 3\n", "percent = 3\nuntil = \"2026-01-01\"\n", "ends on 2026-01-01 and begins on 2026-02-01"),
        ("percent = 3\n", "percent = -100\n", "a surcharge of -100 per cent leaves nothing"),
        ("is = { base", "like = \"plane\"\nis = { base", "there is no line `plane` to be like"),
        ("is = { base", "like = \"plain\"\nis = { base", "lines are like each other in a circle"),
        ("percent = 10\n", "percent = 10000000000\n", "10000000000 is too large"),
        (
            "is = { base",
            "length = { longest = 0, joined = true }\nis = { base",
            "the pieces sold must be longer than nothing",
        ),
        ("is = { base", "pack = 0\nis = { base", "\"0\" is not a whole number above zero"),
        ("[[discount]]", "[[line]]\nid = \"plain\"\n[[discount]]", "the id `plain` is taken by one/goods.toml, line 1"),
        ("[[discount]]", "[[line]]\nid = \"twin\"\nlike = \"plain\"\n[[discount]]", "share the designation PL45 652"),
        (
            // Not the usual good, but one that differs from it in one value.
            "[[discount]]",
            "[[line]]\nid = \"twin\"\nlike = \"plain\"\ndesignation = \"PL40 {finish}{height}{pin}\"\n\
             makes.height = { values = [4, 4.5], codes = [\"\", \"45\"], usual = 4.5 }\n[[discount]]",
            "lines `plain` and `twin` share the designation PL40 652",
        ),
    ] {
        let report = broken(from, to);
        if !report.contains(told) {
            wrong.push(format!("{to}\n--- wanted\n{told}\n--- told\n{report}"));
        }
        assert!(report.contains("\n  help: "), "{report}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

/// Days are compared as text, so they are kept in one way of writing.
#[test]
fn a_day_written_without_hyphens_holds_as_well() {
    for (from, holds) in [("20260201", true), ("20260701", false)] {
        let line = LINE.replacen("2026-02-01", from, 1);
        let catalog = load(HEAD, &line, "line,height,price\n").unwrap_or_else(|report| panic!("{report}"));
        let goods = catalog.decode("PL45 652");
        let request = pintle::catalog::good::Request {
            category: goods[0].category,
            attributes: goods[0].attributes.clone(),
            makers: Vec::new(),
        };
        let found = catalog.select(&request);
        assert_eq!(!found.candidates[0].good.list.surcharges.is_empty(), holds, "{from}");
    }
}

#[test]
fn mistakes_of_the_head_are_told() {
    for (head, told) in [
        ("", "`name` is missing"),
        ("name = \"x\"\ncurrency = \"USD\"", "no edition is named"),
        (
            "name = \"x\"\ncurrency = \"USD\"\n[[edition]]\neffective = \"March\"\nfolder = \"one\"",
            "`effective` \"March\" is not a date",
        ),
        (
            "name = \"x\"\ncurrency = \"USD\"\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"two\"",
            "folder \"two\" has no files",
        ),
        (
            "name = \"x\"\ncurrency = \"USD\"\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"\n\
             [[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"",
            "two editions hold from 2026-01-01",
        ),
        (
            "name = \"x\"\ncurrency = \"dollars\"\n[[edition]]\neffective = \"2026-01-01\"\nfolder = \"one\"",
            "\"dollars\" is not the code of a currency",
        ),
    ] {
        let report = load(head, LINE, "").expect_err("it is broken");
        assert!(report.contains(told), "{told}\n{report}");
    }
    let none = Catalog::from_texts(&[("one/goods.toml", LINE)], "2026-06-01").expect_err("it has no head");
    assert!(none.contains("has no catalog.toml"), "{none}");
}

#[test]
fn all_mistakes_are_told_at_once_in_the_order_of_the_file() {
    let line = LINE
        .replace("usual = 4.5", "usual = 5")
        .replace("\"hinge\"", "\"hnige\"")
        .replace("percent = 3", "percent = \"x\"");
    let report = load(HEAD, &line, "").expect_err("it is broken");
    let places: Vec<&str> = report.lines().filter(|line| line.starts_with("one/")).collect();
    assert_eq!(places.len(), 3, "{report}");
    let pinned = "\
catalog given as text has 3 mistakes; nothing is priced from it until they are put right

one/goods.toml, line 4, column 12: \"hnige\" is not a category
    category = \"hnige\"
               ^
  help: a category with a similar name exists: `hinge`
";
    assert!(report.starts_with(pinned), "{report}");
}

/// Each mistake of a CSV file: line, column and source line, whatever comments and empty lines stand above it.
#[test]
fn mistakes_in_csv_files_are_told_with_their_cell() {
    let line = LINE.replace("rows = [[4, 10.00], [4.5, 12.00]]", "table = \"prices.csv\"");
    for (csv, told) in [
        (
            "# old\n\n# figures\nline,height,price\n\n# four\nplain,4,ten\nplain,4.5,12\n",
            "line 7, column 9: \"ten\" is not a price\n    plain,4,ten\n",
        ),
        ("line,height,price\nplain,4,10\nplain,\"4.5\",0\n", "line 3, column 13: the price 0.00 is not above zero"),
        (
            "line,height,price\nplain,4,10\nplain,4.5,12\nplain,4,11\n",
            "line 4, column 1: height 4 is priced here and in line 2",
        ),
        ("line,height,price\nplain,4,10\n", "there is no price for height 4-1/2"),
        ("line,height,price\nplain,4,10\nplain,4.4,12\n", "line 3, column 7: height \"4.4\" is not made by this line"),
        ("line,hieght,price\nplain,4,10\n", "a column with a similar name exists: `hieght`"),
        ("line,height,price\nplane,4,10\n", "has no row for line `plain`"),
    ] {
        let report = load(HEAD, &line, csv).expect_err("it is broken");
        assert!(report.contains(told), "wanted {told}\n{report}");
    }
}

/// A report names every mistake of every file, none twice, and shows the source line with a mark below the column.
#[test]
fn mistakes_of_several_files_are_told_in_one_report_and_marked() {
    let files = [
        ("catalog.toml", HEAD.to_owned()),
        ("one/a.toml", LINE.replace("\"hinge\"", "\"hnige\"")),
        (
            "one/goods.csv",
            "number,maker,category,price,attributes\nA,Wend,hinge,x,height=tall\nB,Wend,hing,2,\n".to_owned(),
        ),
        ("one/list.toml", "[[list]]\nfile = \"goods.csv\"\nnet = true\n[[list]]\nfile = \"gods.csv\"\n".to_owned()),
    ];
    let texts: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let report = Catalog::from_texts(&texts, "2026-06-01").expect_err("it is broken");
    let heads: Vec<&str> = report.lines().filter(|line| line.starts_with("one/")).collect();
    assert_eq!(heads.len(), 4, "{report}");
    assert!(report.starts_with("catalog given as text has 4 mistakes"), "{report}");
    let lines: Vec<&str> = report.lines().collect();
    for (at, head) in lines.iter().enumerate().filter(|(_, line)| line.starts_with("one/")) {
        let column: usize = head.split("column ").nth(1).unwrap().split(':').next().unwrap().parse().unwrap();
        assert_eq!(lines[at + 2].find('^'), Some(4 + column - 1), "{head}\n{}\n{}", lines[at + 1], lines[at + 2]);
        assert!(lines[at + 3].starts_with("  help: "), "{report}");
    }
}
