//! House rules held by a machine: who may import whom, one file per outside library, heads of files, budgets of size, no
//! drawers, no floats where money or dimensions live.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Rooms in the order in which data flows. A room may use those before it and the ground floor.
const ROOMS: [&str; 8] = ["read", "understand", "complete", "count", "price", "reprice", "write", "commands"];
/// What every room may use. Among themselves: in this order.
const GROUND: [&str; 7] = ["place", "evidence", "money", "trade", "finding", "terms", "catalog"];
/// Libraries that one file alone may know.
const LIBRARIES: [(&str, &[&str]); 5] = [
    ("calamine", &["src/read/"]),
    ("rust_xlsxwriter", &["src/write/xlsx.rs"]),
    ("tiny_skia", &["src/write/raster.rs"]),
    ("clap", &["src/commands/"]),
    ("clap_mangen", &["src/commands/generate.rs"]),
];
/// Lines a file may have. More needs an entry below, with its reason.
const FILE_BUDGET: usize = 450;
/// Files over the budget, and why.
const LONG_FILES: &[(&str, &str)] = &[];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sources() -> Vec<(String, String)> {
    fn gather(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                gather(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    gather(&root().join("src"), &mut found);
    found.sort();
    found
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(root()).unwrap().to_string_lossy().replace('\\', "/");
            (name, fs::read_to_string(&path).unwrap())
        })
        .collect()
}

/// The part before the unit tests: rules of imports hold for the program, not for its tests.
fn program(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

fn room(name: &str) -> &str {
    let inner = name.strip_prefix("src/").unwrap_or(name);
    inner.split('/').next().unwrap_or(inner).trim_end_matches(".rs")
}

/// Every room named after `crate::` in the text, grouped imports spelled out.
fn imported(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in text.match_indices("crate::") {
        let rest = &text[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut word = String::new();
            for letter in group.chars() {
                match letter {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => word.clear(),
                    ':' if depth == 0 && !word.is_empty() => found.push(std::mem::take(&mut word)),
                    letter if depth == 0 && !letter.is_whitespace() && letter != ':' => word.push(letter),
                    _ => {}
                }
            }
        } else {
            found.push(rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect());
        }
    }
    found
}

/// Whether a file is of tests alone: its room declares it so. A test may look at what comes of its room further on.
fn is_of_tests(name: &str, sources: &[(String, String)]) -> bool {
    let Some((folder, file)) = name.rsplit_once('/') else { return false };
    let declared = format!("#[cfg(test)]\nmod {};", file.trim_end_matches(".rs"));
    sources.iter().any(|(name, text)| *name == format!("{folder}/mod.rs") && text.contains(&declared))
}

#[test]
fn imports_point_one_way() {
    let mut wrong = Vec::new();
    let sources = sources();
    for (name, text) in &sources {
        let from = room(name);
        if ["lib", "main"].contains(&from) || is_of_tests(name, &sources) {
            continue;
        }
        for to in imported(program(text)) {
            let allowed = match (ROOMS.iter().position(|room| *room == from), ROOMS.iter().position(|room| *room == to))
            {
                (Some(from), Some(to)) => to <= from,
                (Some(_), None) => true,
                (None, Some(_)) => false,
                (None, None) => {
                    let place = |room: &str| GROUND.iter().position(|ground| *ground == room);
                    place(&to).is_none() || place(&to) <= place(from)
                }
            };
            if !allowed {
                wrong.push(format!("{name} uses crate::{to}"));
            }
        }
    }
    assert!(wrong.is_empty(), "imports against the order of the rooms:\n{}", wrong.join("\n"));
}

#[test]
fn each_outside_library_is_known_to_one_place() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        for (library, homes) in LIBRARIES {
            let known = program(&text).contains(&format!("{library}::"));
            if known && !homes.iter().any(|home| name.starts_with(home)) {
                wrong.push(format!("{name} knows {library}"));
            }
        }
    }
    for library in ["calamine", "rust_xlsxwriter"] {
        let files: Vec<_> = sources()
            .into_iter()
            .filter(|(_, text)| program(text).contains(&format!("{library}::")))
            .map(|(name, _)| name)
            .collect();
        if files.len() > 1 {
            wrong.push(format!("{library} is known to {}", files.join(", ")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is_for_and_keeps_its_budget() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        if !text.starts_with("//!") {
            wrong.push(format!("{name}: does not begin with what it is for"));
        }
        let lines = text.lines().count();
        if lines > FILE_BUDGET && !LONG_FILES.iter().any(|(long, _)| *long == name) {
            wrong.push(format!("{name}: {lines} lines, budget {FILE_BUDGET}"));
        }
        for drawer in ["util", "utils", "common", "helper", "helpers", "misc"] {
            if name.split('/').any(|part| part.trim_end_matches(".rs") == drawer) {
                wrong.push(format!("{name}: a drawer without a name"));
            }
        }
    }
    for (long, _) in LONG_FILES {
        let lines = fs::read_to_string(root().join(long)).map_or(0, |text| text.lines().count());
        if lines <= FILE_BUDGET {
            wrong.push(format!("{long}: needs no exception any more"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_float_holds_money_a_factor_or_a_dimension() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        if !["trade", "catalog", "understand", "complete", "count", "price", "reprice", "money", "terms", "finding"]
            .contains(&room(&name))
        {
            continue;
        }
        for (number, line) in program(&text).lines().enumerate() {
            let code = line.split("//").next().unwrap_or(line);
            let words = code.split(|letter: char| !letter.is_alphanumeric() && letter != '_');
            if words.into_iter().any(|word| word == "f64" || word == "f32") {
                wrong.push(format!("{name}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    // Likeness of spellings is neither money nor a dimension.
    wrong.retain(|line| !line.contains("jaro") && !line.contains("likeness"));
    assert!(wrong.is_empty(), "floats:\n{}", wrong.join("\n"));
}

#[test]
fn rounding_is_in_one_file() {
    let mut wrong = Vec::new();
    for (name, text) in sources() {
        let text = program(&text);
        let in_money = ["count", "price", "reprice", "money", "catalog"].contains(&room(&name));
        if in_money && name != "src/price/rounding.rs" && (text.contains("round_dp") || text.contains(".round()")) {
            wrong.push(name);
        }
    }
    assert!(wrong.is_empty(), "rounding outside price/rounding.rs: {wrong:?}");
}

#[test]
fn every_code_of_a_finding_has_one_page_and_every_page_is_whole() {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let pages = pintle::commands::pages();
    for page in &pages {
        *seen.entry(page.code).or_default() += 1;
        assert!(
            page.code.chars().all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-'),
            "{}: codes are lower-case words",
            page.code
        );
        for (part, text) in [
            ("title", page.title),
            ("trigger", page.trigger),
            ("consequence", page.consequence),
            ("source", page.source),
            ("how sure", page.sure),
            ("an example that fires", page.fires),
            ("an example that stays quiet", page.quiet),
        ] {
            assert!(!text.trim().is_empty(), "{}: no {part}", page.code);
        }
    }
    let twice: Vec<_> = seen.iter().filter(|(_, count)| **count > 1).collect();
    assert!(twice.is_empty(), "codes with two pages: {twice:?}");
    let made: Vec<String> = sources()
        .iter()
        .flat_map(|(_, text)| {
            let text = program(text);
            text.match_indices("Finding::new(")
                .filter_map(|(at, call)| text[at + call.len()..].trim_start().strip_prefix('"'))
                .filter_map(|rest| rest.split('"').next().map(str::to_owned))
                .collect::<Vec<_>>()
        })
        .collect();
    let without: Vec<_> = made.iter().filter(|code| !seen.contains_key(code.as_str())).collect();
    assert!(without.is_empty(), "codes without a page: {without:?}");
}
