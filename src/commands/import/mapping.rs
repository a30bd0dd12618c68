//! The mapping file: how a price list is read. Written by the first import, read by every later one, meant to be changed by
//! hand. And the small files of the catalog that an import writes.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde::Deserialize;

use super::goods::Goods;
use crate::commands::cli::ImportArgs;
use crate::read::price_list::{Holds, PriceList, Said};
use crate::trade::category::Category;

/// How a price list is read.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Mapping {
    /// Name of the catalog.
    pub name: String,
    /// ISO code.
    pub currency: String,
    /// Maker of rows that name none.
    pub maker: String,
    /// The prices are net.
    pub net: bool,
    /// Only this sheet.
    pub sheet: String,
    /// Row of the headings; 0: found.
    pub header_row: u32,
    /// Heading → what the column holds.
    pub columns: BTreeMap<String, String>,
    /// Discount group, or words of the column for the kind of product → category.
    pub categories: BTreeMap<String, String>,
}

impl Mapping {
    /// Reads a mapping file.
    pub fn load(path: &Path) -> Result<Mapping, String> {
        let text = std::fs::read_to_string(path)
            .map_err(|error| format!("cannot read mapping {}: {error}\n  help: check the path", path.display()))?;
        let mapping: Mapping = toml::from_str(&text).map_err(|error| {
            format!("mapping {}: {error}\n  help: write it like this:\n\n{}", path.display(), Mapping::example())
        })?;
        for (words, category) in &mapping.categories {
            category.parse::<Category>().map_err(|why| {
                let help = "use a category name such as `hinge`; `pintle catalog list` shows them";
                format!("mapping {}: categories, \"{words}\": {why}\n  help: {help}", path.display())
            })?;
        }
        Ok(mapping)
    }

    /// What the reader of the list has to know.
    pub fn said(&self) -> Result<Said<'_>, String> {
        let mut columns = BTreeMap::new();
        for (heading, word) in &self.columns {
            let holds = Holds::named(word).ok_or_else(|| {
                let names: Vec<&str> = Holds::NAMES.iter().map(|(name, _)| *name).collect();
                format!("mapping: column \"{heading}\" holds \"{word}\"\n  help: write one of {}", names.join(", "))
            })?;
            columns.insert(heading.clone(), holds);
        }
        Ok(Said { sheet: &self.sheet, header_row: self.header_row, columns })
    }

    /// Fills in what the call and the list say.
    pub fn take_over(&mut self, args: &ImportArgs, list: &PriceList) {
        let stem =
            args.list.file_stem().map_or_else(|| "price list".to_owned(), |stem| stem.to_string_lossy().into_owned());
        if let Some(maker) = &args.maker {
            self.maker.clone_from(maker);
        }
        if let Some(currency) = &args.currency {
            self.currency.clone_from(currency);
        }
        for (text, otherwise) in
            [(&mut self.name, &stem), (&mut self.maker, &stem), (&mut self.currency, &"USD".to_owned())]
        {
            if text.trim().is_empty() {
                text.clone_from(otherwise);
            }
        }
        let columns = || list.sheets.iter().flat_map(|sheet| sheet.columns.values());
        let has = |wanted: Holds| columns().any(|(_, holds)| *holds == wanted);
        self.net |= has(Holds::Net) && !has(Holds::Price);
        for (heading, holds) in columns() {
            self.columns.entry(heading.trim().to_owned()).or_insert_with(|| holds.name().to_owned());
        }
    }

    /// The file's text.
    pub fn text(&self) -> String {
        let mut text = String::from(
            "# How this price list is read. `pintle catalog import` reads the next issue in the same way; change a line and import again.\n",
        );
        let quoted = |word: &str| toml::Value::String(word.to_owned()).to_string();
        for (key, value) in
            [("name", &self.name), ("currency", &self.currency), ("maker", &self.maker), ("sheet", &self.sheet)]
        {
            text.push_str(&format!("{key} = {}\n", quoted(value)));
        }
        text.push_str(&format!("net = {} # true: the prices are net and take no discount\n", self.net));
        text.push_str(&format!("header_row = {} # 0: found by its words\n", self.header_row));
        let names: Vec<&str> = Holds::NAMES.iter().map(|(name, _)| *name).collect();
        text.push_str(&format!("\n# Heading of a column = what it holds: {}.\n[columns]\n", names.join(", ")));
        for (heading, holds) in &self.columns {
            text.push_str(&format!("{} = {}\n", quoted(heading), quoted(holds)));
        }
        text.push_str(
            "\n# Words of the group or category column, or of a section of the list = category, for goods whose description does not\n\
             # say what they are. Such as \"H1\" = \"hinge\".\n[categories]\n",
        );
        for (words, category) in &self.categories {
            text.push_str(&format!("{} = {}\n", quoted(words), quoted(category)));
        }
        text
    }

    /// An example for messages.
    pub fn example() -> &'static str {
        "  maker = \"Alder Creek\"\n  header_row = 3\n\n  [columns]\n  \"Our No.\" = \"number\"\n  \"What it is\" = \"description\"\n  \
         \"2026\" = \"price\"\n  # or by letter: \"column A\" = \"number\"\n"
    }
}

/// `catalog.toml`: an existing one gains the edition, and is otherwise left as it is.
pub fn catalog_file(
    folder: &Path,
    mapping: &Mapping,
    effective: &str,
    editions: &BTreeSet<String>,
) -> Result<String, String> {
    let edition = format!("[[edition]]\neffective = \"{effective}\"\nfolder = \"{effective}\"\n");
    let path = folder.join("catalog.toml");
    if path.exists() {
        let text = std::fs::read_to_string(&path)
            .map_err(|error| format!("cannot read {}: {error}\n  help: check the file", path.display()))?;
        check_currency(&text, mapping, &path)?;
        let known = editions.contains(effective) && text.contains(&format!("folder = \"{effective}\""));
        return Ok(if known { text } else { format!("{}\n\n{edition}", text.trim_end()) });
    }
    let policy = include_str!("../../../catalogs/demo/catalog.toml");
    let policy = policy.find("[match]").and_then(|at| policy.get(at..)).unwrap_or_default();
    let quoted = |word: &str| toml::Value::String(word.to_owned()).to_string();
    Ok(format!(
        "# Made by `pintle catalog import`; the goods stand in the folder of each edition.\n\nname = {}\ncurrency = {}\n\n{edition}\n{policy}",
        quoted(&mapping.name),
        quoted(&mapping.currency)
    ))
}

/// All editions of a catalog are in one currency.
fn check_currency(text: &str, mapping: &Mapping, path: &Path) -> Result<(), String> {
    let catalog: toml::Table =
        toml::from_str(text).map_err(|error| format!("{}: {error}\n  help: mend the file", path.display()))?;
    let own = catalog.get("currency").and_then(toml::Value::as_str).unwrap_or_default();
    if own == mapping.currency {
        return Ok(());
    }
    Err(format!(
        "the list is in {} and the catalog in {own}\n  help: import it into a folder of its own with --into; currencies are never mixed",
        mapping.currency
    ))
}

/// `list.toml` of an edition.
pub fn list_file(mapping: &Mapping) -> String {
    format!("[[list]]\nfile = \"goods.csv\"\nnet = {}\n", mapping.net)
}

/// `discounts.toml`: a place for the discount of each group, every one of them still to be written.
pub fn discounts_file(goods: &Goods) -> String {
    let mut text = String::from(
        "# Discounts off list, one for each discount group, maker or category; the closest fits. Take the # away and write yours in.\n\
         # Goods without one are taken at list price, and the quote says so. Later editions keep this file.\n",
    );
    let groups: BTreeSet<&str> =
        goods.entries.iter().map(|entry| entry.group.as_str()).filter(|group| !group.is_empty()).collect();
    for group in &groups {
        let quoted = toml::Value::String((*group).to_owned()).to_string();
        text.push_str(&format!("\n# [[discount]]\n# group = {quoted}\n# chain = [50, 10]\n"));
    }
    if groups.is_empty() {
        text.push_str("\n# [[discount]]\n# chain = [50, 10]\n");
    }
    text
}
