//! The demo catalog's files, compiled into the program. A new file is added to the list; a test holds the list to the folder.

use super::source::SourceFile;

macro_rules! demo { ($($name:literal),* $(,)?) => {
    &[$(($name, include_str!(concat!("../../catalogs/demo/", $name)))),*]
} }

/// Name below the folder, and text.
const FILES: &[(&str, &str)] = demo![
    "2026/control.toml",
    "2026/edges.toml",
    "2026/electric.toml",
    "2026/exits.toml",
    "2026/finishes.toml",
    "2026/hanging.toml",
    "2026/hinges.csv",
    "2026/hinges.toml",
    "2026/keys.toml",
    "2026/locks.csv",
    "2026/locks.toml",
    "2026/pairs.toml",
    "2026/sundries.toml",
    "2026/terms.toml",
    "2026/trim.toml",
    "2027/hinges.csv",
    "2027/locks.csv",
    "2027/terms.toml",
    "catalog.toml",
    "crossref.csv"
];

/// All of them.
pub(super) fn files() -> Vec<SourceFile> {
    FILES.iter().map(|(name, text)| SourceFile::new(*name, *text)).collect()
}
