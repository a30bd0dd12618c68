//! Loads a catalog: files as written → parsed trees → checked `Book`. Every mistake is gathered; any mistake stops it.
//!
//! To add a key to a product line, see `lines` (what a line has), `makes` (attributes that vary), `prices` (tables).

mod book;
mod fields;
mod goods_list;
mod lines;
mod makes;
mod prices;
mod proof;
mod rows;
mod spread;
mod terms;

use std::collections::BTreeMap;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::book::Book;
use super::crossref::{self, CrossRows};
use super::source::{Mistakes, SourceFile, report};
use super::tree::{Parsed, Tree, parse};
use fields::Shared;

/// What loading gives.
pub(super) struct Loaded {
    pub(super) name: String,
    pub(super) currency: String,
    pub(super) invented: bool,
    pub(super) effective: String,
    pub(super) next_effective: Option<String>,
    pub(super) sha256: String,
    pub(super) notes: Vec<String>,
    pub(super) book: Book,
    pub(super) cross: CrossRows,
}

/// Loads the edition of `files` in force on `date`; `shown` is how messages call the catalog.
///
/// # Errors
/// All mistakes at once.
pub(super) fn load(files: &[SourceFile], shown: &str, date: &str) -> Result<Loaded, String> {
    // A long list is read while its hash is reckoned.
    let (loaded, sha256) = rayon::join(|| read(files, shown, date), || hash(files));
    loaded.map(|loaded| Loaded { sha256, ..loaded })
}

fn read(files: &[SourceFile], shown: &str, date: &str) -> Result<Loaded, String> {
    let mut mistakes = Mistakes::default();
    let Some(main) = files.iter().find(|file| &*file.name == "catalog.toml") else {
        return Err(format!(
            "catalog {shown} has no catalog.toml\n  help: a catalog is a folder with a catalog.toml that names its editions"
        ));
    };
    let parsed = parse(main, &mut mistakes);
    let head = book::head(parsed.tree(), files, date, &mut mistakes);
    let chosen = edition_files(files, &head.folders);
    let trees: Vec<Parsed<'_>> =
        chosen.values().filter(|file| file.name.ends_with(".toml")).map(|file| parse(file, &mut mistakes)).collect();
    let trees: Vec<Tree<'_>> = trees.iter().map(Parsed::tree).collect();
    let shared = Shared::gather(&trees, &chosen, &mut mistakes);
    let lines = lines::all(&shared, &mut mistakes);
    let lists = goods_list::all(&trees, &shared, &mut mistakes);
    let (discounts, surcharges) = terms::all(&trees, &head.classes, date, &shared, &lists, &mut mistakes);
    let book = Book::new(lines, lists, (discounts, surcharges), head.policy, head.classes);
    proof::check(&book, main, &shared, &mut mistakes);
    let table = files.iter().find(|file| &*file.name == crossref::FILE);
    let mut cross = CrossRows::default();
    if let Some(table) = table {
        cross.extend(crossref::load(table, &book, 0, &mut mistakes));
    }
    if !mistakes.is_empty() {
        return Err(report(shown, &mistakes.into_sorted()));
    }
    Ok(Loaded {
        name: head.name,
        currency: head.currency,
        invented: head.invented,
        effective: head.effective,
        next_effective: head.next_effective,
        sha256: String::new(),
        notes: notes(head.notes, &book),
        book,
        cross,
    })
}

/// What the user should know: the choice of edition, and goods for which no discount is known.
fn notes(mut notes: Vec<String>, book: &Book) -> Vec<String> {
    const SHOWN: usize = 6;
    let mut groups: Vec<(String, usize)> = book.lists.iter().flat_map(|list| list.without_discount(book)).collect();
    if groups.is_empty() {
        return notes;
    }
    groups.sort_by_key(|(_, goods)| std::cmp::Reverse(*goods));
    let all: usize = groups.iter().map(|(_, goods)| goods).sum();
    let mut shown: Vec<String> = groups.iter().take(SHOWN).map(|(group, goods)| format!("{group} ({goods})")).collect();
    if groups.len() > SHOWN {
        shown.push(format!("{} more", groups.len() - SHOWN));
    }
    let goods = if all == 1 { "1 good has" } else { &format!("{all} goods have") };
    notes.push(format!(
        "{goods} no discount in the catalog and are taken at list price: discount group {}",
        shown.join(", ")
    ));
    notes
}

/// The files of the editions laid one over the other: a later file takes the place of an earlier one of the same name.
fn edition_files<'a>(files: &'a [SourceFile], folders: &[String]) -> BTreeMap<String, &'a SourceFile> {
    let mut chosen = BTreeMap::new();
    for folder in folders {
        for file in files {
            let inside = file.name.strip_prefix(folder.as_str()).and_then(|rest| rest.strip_prefix('/'));
            if let Some(name) = inside {
                chosen.insert(name.to_owned(), file);
            }
        }
    }
    chosen
}

/// SHA-256 over names and texts, in order of name.
fn hash(files: &[SourceFile]) -> String {
    let sorted: BTreeMap<&Arc<str>, &str> = files.iter().map(|file| (&file.name, &*file.text)).collect();
    let mut hasher = Sha256::new();
    for (name, text) in sorted {
        hasher.update(name.as_bytes());
        hasher.update([0]);
        hasher.update(text.as_bytes());
        hasher.update([0]);
    }
    hasher.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
