//! Reads `catalog.toml`: name, currency, customer classes, editions, and how requests are to be met.

use std::sync::Arc;

use crate::trade::attribute::Attr;
use crate::trade::category::Category;

use super::super::book::Policy;
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::tree::{Node, Tree};
use super::super::value::parse;

/// What `catalog.toml` says, for one date.
pub(super) struct Head {
    pub(super) name: String,
    pub(super) currency: String,
    /// Whether its prices are nobody's.
    pub(super) invented: bool,
    pub(super) effective: String,
    pub(super) next_effective: Option<String>,
    /// Folders of the editions up to the one in force, earliest first.
    pub(super) folders: Vec<String>,
    pub(super) classes: Vec<Arc<str>>,
    pub(super) policy: Policy,
    pub(super) notes: Vec<String>,
}

/// Reads the head and chooses the edition in force on `date`.
pub(super) fn head(tree: Tree<'_>, files: &[SourceFile], date: &str, mistakes: &mut Mistakes) -> Head {
    tree.only(&["name", "currency", "invented", "classes", "edition", "match"], mistakes);
    let text = |key: &str, mistakes: &mut Mistakes| match tree.get(key) {
        Some(node) => node.scalar(mistakes).unwrap_or_default(),
        None => {
            tree.complain(mistakes, format!("`{key}` is missing"), format!("add a line such as {key} = \"…\""));
            String::new()
        }
    };
    let name = text("name", mistakes);
    let currency = text("currency", mistakes);
    if let Some(node) = tree.get("currency")
        && !(currency.len() == 3 && currency.bytes().all(|letter| letter.is_ascii_uppercase()))
    {
        node.complain(mistakes, format!("\"{currency}\" is not the code of a currency"), "write it as USD");
    }
    let classes = words(tree.get("classes"), mistakes).into_iter().map(|(word, _)| word.into()).collect();
    let editions = editions(tree, files, mistakes);
    let in_force = editions.iter().rposition(|(effective, _)| effective.as_str() <= date);
    let mut notes = Vec::new();
    if in_force.is_none()
        && !date.is_empty()
        && let Some((first, _)) = editions.first()
    {
        notes.push(format!(
            "no edition of the catalog is in force on {date}; priced from the first, which holds from {first}"
        ));
    }
    let index = in_force.unwrap_or(0);
    Head {
        name,
        currency,
        invented: tree.get("invented").is_some_and(|node| node.flag(mistakes)),
        effective: editions.get(index).map_or(String::new(), |(effective, _)| effective.clone()),
        next_effective: editions.get(index + 1).map(|(effective, _)| effective.clone()),
        folders: editions.iter().take(index + 1).map(|(_, folder)| folder.clone()).collect(),
        classes,
        policy: policy(tree, mistakes),
        notes,
    }
}

/// Editions as (effective date, folder), earliest first.
fn editions(tree: Tree<'_>, files: &[SourceFile], mistakes: &mut Mistakes) -> Vec<(String, String)> {
    let mut editions: Vec<(String, String)> = Vec::new();
    for edition in tree.get("edition").map_or(Vec::new(), |node| node.trees(mistakes)) {
        edition.only(&["effective", "folder"], mistakes);
        let effective = edition.get("effective").and_then(|node| node.scalar(mistakes)).unwrap_or_default();
        let folder = edition.get("folder").and_then(|node| node.scalar(mistakes)).unwrap_or_default();
        // Dates are compared and shown in one form, however they are written.
        let effective = match effective.parse::<jiff::civil::Date>() {
            Ok(date) => date.to_string(),
            Err(_) => {
                edition.complain(
                    mistakes,
                    format!("`effective` \"{effective}\" is not a date"),
                    "write it as \"2026-03-01\"",
                );
                effective
            }
        };
        if editions.iter().any(|(other, _)| *other == effective) {
            let says = format!("two editions hold from {effective}; nobody could say which is in force");
            edition.complain(mistakes, says, "give one of them another date");
        }
        if !files.iter().any(|file| file.name.starts_with(&format!("{folder}/"))) {
            edition.complain(
                mistakes,
                format!("folder \"{folder}\" has no files"),
                "name a folder beside catalog.toml",
            );
        }
        editions.push((effective, folder));
    }
    if editions.is_empty() {
        tree.complain(
            mistakes,
            "no edition is named",
            "add [[edition]] with effective = \"2026-03-01\" and folder = \"2026\"",
        );
    }
    editions.sort();
    editions
}

fn policy(tree: Tree<'_>, mistakes: &mut Mistakes) -> Policy {
    let mut policy = Policy::default();
    let Some(table) = tree.get("match").and_then(|node| node.tree(mistakes)) else { return policy };
    table.only(&["descriptive", "nearest_finish", "at_least"], mistakes);
    policy.descriptive = words(table.get("descriptive"), mistakes).iter().map(|(word, _)| Attr::new(word)).collect();
    for (word, node) in words(table.get("nearest_finish"), mistakes) {
        if let Some(category) = category(&word, node, mistakes) {
            policy.nearest_finish.insert(category);
        }
    }
    if let Some(at_least) = table.get("at_least").and_then(|node| node.tree(mistakes)) {
        for (name, node) in at_least.entries() {
            let attr = Attr::new(name);
            let values = words(Some(node), mistakes).iter().map(|(word, _)| parse(attr, word)).collect();
            policy.at_least.insert(attr, values);
        }
    }
    policy
}

/// A list of words with their places.
pub(super) fn words<'a>(node: Option<Node<'a>>, mistakes: &mut Mistakes) -> Vec<(String, Node<'a>)> {
    let items = node.map_or(Vec::new(), |node| node.items());
    items.into_iter().filter_map(|item| item.scalar(mistakes).map(|word| (word, item))).collect()
}

/// A category by name; an unknown one is a mistake.
pub(super) fn category(name: &str, node: Node<'_>, mistakes: &mut Mistakes) -> Option<Category> {
    let category = name.parse().ok();
    if category.is_none() {
        let help = match nearest(name, Category::ALL.iter().map(|category| category.name())) {
            Some(near) => format!("a category with a similar name exists: `{near}`"),
            None => "use a category name such as `hinge` or `mortise-lock`".to_owned(),
        };
        node.complain(mistakes, format!("\"{name}\" is not a category"), help);
    }
    category
}
