//! What the program is built from: every library has its reason in DEVELOPERS.md, and a licence under which it may be
//! passed on inside a closed or open product.

use std::fs;
use std::path::Path;
use std::process::Command;

/// Licences that ask for no more than to be named.
const PERMISSIVE: [&str; 13] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "0BSD",
    "Unlicense",
    "CC0-1.0",
    "Unicode-3.0",
    "BSL-1.0",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Whether an SPDX expression can be met with permissive licences alone.
fn permissive(expression: &str) -> bool {
    let plain = expression.replace(['(', ')'], " ").replace('/', " OR ");
    // None of the expressions in use mixes OR within AND in a way that this order gets wrong in the lax direction:
    // every part of an AND must hold, and one alternative of it is enough.
    plain.split(" AND ").all(|part| part.split(" OR ").any(|licence| PERMISSIVE.contains(&licence.trim())))
}

#[test]
fn licences_are_told_apart() {
    for good in
        ["MIT", "MIT OR Apache-2.0", "MIT/Apache-2.0", "(MIT OR Apache-2.0) AND Unicode-3.0", "Unlicense OR GPL-3.0"]
    {
        assert!(permissive(good), "{good}");
    }
    for bad in ["GPL-3.0", "MIT AND GPL-3.0", "LGPL-2.1 OR AGPL-3.0", ""] {
        assert!(!permissive(bad), "{bad}");
    }
}

#[test]
fn every_library_that_is_built_in_has_a_permissive_licence() {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let version = Command::new("rustc").arg("-vV").output().expect("rustc is there: it built this test");
    let version = String::from_utf8_lossy(&version.stdout).into_owned();
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("rustc tells its host");
    let listed = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host])
        .current_dir(root())
        .output()
        .expect("cargo is there: it runs this test");
    assert!(listed.status.success(), "{}", String::from_utf8_lossy(&listed.stderr));
    let listed: serde_json::Value = serde_json::from_slice(&listed.stdout).expect("cargo prints JSON");
    let packages = listed["packages"].as_array().expect("a list of packages");
    assert!(packages.len() > 50, "the list is whole: {}", packages.len());
    let wrong: Vec<String> = packages
        .iter()
        .filter(|package| !permissive(package["license"].as_str().unwrap_or_default()))
        .map(|package| format!("{}: {}", package["name"], package["license"]))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_library_has_its_reason_in_the_map() {
    let manifest = fs::read_to_string(root().join("Cargo.toml")).expect("Cargo.toml is there");
    let manifest: toml::Table = manifest.parse().expect("Cargo.toml is sound");
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).expect("the map is there");
    let missing: Vec<&String> = ["dependencies", "dev-dependencies"]
        .iter()
        .filter_map(|section| manifest.get(*section)?.as_table())
        .flat_map(toml::Table::keys)
        .filter(|name| !map.contains(name.as_str()))
        .collect();
    assert!(missing.is_empty(), "DEVELOPERS.md gives no reason for {missing:?}");
}

#[test]
fn every_library_is_used() {
    fn texts(folder: &Path, all: &mut String) {
        for entry in fs::read_dir(folder).expect("the sources are there") {
            let path = entry.expect("the sources can be read").path();
            if path.is_dir() {
                texts(&path, all);
            } else {
                all.push_str(&fs::read_to_string(&path).expect("a source is text"));
            }
        }
    }
    let mut all = String::new();
    texts(&root().join("src"), &mut all);
    let manifest = fs::read_to_string(root().join("Cargo.toml")).expect("Cargo.toml is there");
    let manifest: toml::Table = manifest.parse().expect("Cargo.toml is sound");
    let dependencies = manifest["dependencies"].as_table().expect("there are dependencies");
    let idle: Vec<&String> =
        dependencies.keys().filter(|name| !all.contains(&format!("{}::", name.replace('-', "_")))).collect();
    assert!(idle.is_empty(), "nothing in src uses {idle:?}");
}

/// The parts of a version that count: `1.2.3-rc.1` is 1, 2, 3.
fn version(text: &str) -> Vec<u32> {
    text.split(['-', '+']).next().unwrap_or_default().split('.').filter_map(|part| part.parse().ok()).collect()
}

/// Versions of `Cargo.lock` that come before the one in which an advisory was repaired, as `tests/outside/advisories.csv` has it.
fn advised_against(lock: &str, advisories: &str) -> Vec<String> {
    let lock: toml::Table = lock.parse().expect("Cargo.lock is sound");
    let packages = lock["package"].as_array().expect("a list of packages");
    let mut reader = csv::Reader::from_reader(advisories.as_bytes());
    let rows: Vec<csv::StringRecord> =
        reader.records().map(|row| row.expect("the list of advisories is sound")).collect();
    assert!(!rows.is_empty(), "there are advisories");
    let mut wrong = Vec::new();
    for row in &rows {
        for package in packages.iter().filter(|package| package["name"].as_str() == Some(&row[0])) {
            let here = package["version"].as_str().unwrap_or_default();
            if version(here) < version(&row[1]) {
                wrong.push(format!("{} {here}: {}, repaired in {}", &row[0], &row[2], &row[1]));
            }
        }
    }
    wrong
}

/// The public list of advisories cannot be fetched by a test that must run anywhere, so the ones that touch libraries of this
/// kind are kept in a table; `.ci/run` asks the whole list where it can be reached.
#[test]
fn no_library_is_of_a_version_with_a_known_advisory() {
    let advisories = fs::read_to_string(root().join("tests/outside/advisories.csv")).expect("the list is there");
    let planted = "[[package]]\nname = \"quick-xml\"\nversion = \"0.39.4\"\n";
    assert_eq!(advised_against(planted, &advisories).len(), 1, "the check sees what it looks for");
    let lock = fs::read_to_string(root().join("Cargo.lock")).expect("Cargo.lock is there");
    let wrong = advised_against(&lock, &advisories);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
