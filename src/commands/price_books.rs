//! `pintle catalog`: looks after price books.

use std::path::Path;
use std::sync::Arc;

use crate::catalog::{Catalog, LineInfo};
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;

use super::cli::CatalogAction;
use super::{Outcome, output};

/// Runs the command.
pub fn run(action: &CatalogAction) -> Result<Outcome, String> {
    match action {
        CatalogAction::Check { folder } => {
            let catalog = load(folder.as_deref())?;
            let goods = match catalog.goods_in_lists() {
                0 => String::new(),
                goods => format!(" and {goods} goods of flat lists"),
            };
            output::result(&format!(
                "{}, prices of {}: {} product lines{goods}, no mistakes found",
                catalog.name,
                catalog.effective,
                catalog.product_lines()
            ));
            for note in &catalog.notes {
                output::result(&format!("  note: {note}"));
            }
        }
        CatalogAction::List { catalog, category } => {
            let wanted = category.as_deref().map(str::parse::<Category>).transpose()?;
            let catalog = load(catalog.as_deref())?;
            for line in catalog.lines().filter(|line| wanted.is_none_or(|wanted| line.category == wanted)) {
                output::result(&format!("{:<26} {:<20} {:<14} {}", line.id, line.category, line.maker, line.series));
            }
        }
        CatalogAction::Import(args) => return super::import::run(args),
        CatalogAction::Decode { designation, catalog } => return decode(&load(catalog.as_deref())?, designation),
        CatalogAction::Build { line, attributes, catalog } => {
            let catalog = load(catalog.as_deref())?;
            let info = catalog.line(line).ok_or_else(|| {
                format!("there is no product line \"{line}\"\n  help: `pintle catalog list` shows them")
            })?;
            let attributes = parse(&info, attributes)?;
            output::result(&catalog.build(&Arc::from(line.as_str()), &attributes)?);
        }
    }
    Ok(Outcome::Clean)
}

/// A catalog folder, or the demo catalog, in the edition of today.
fn load(folder: Option<&Path>) -> Result<Catalog, String> {
    let today = jiff::ZonedDateTime::now().date().to_string();
    folder.map_or_else(|| Catalog::embedded(&today), |folder| Catalog::load(folder, &today))
}

fn decode(catalog: &Catalog, designation: &str) -> Result<Outcome, String> {
    let decoded = catalog.decode(designation);
    if decoded.is_empty() {
        return Err(format!(
            "no product line begins like \"{designation}\"\n  help: `pintle catalog list` shows the lines"
        ));
    }
    let mut whole = false;
    for found in &decoded {
        output::result(&format!("{} ({}, {})", found.line, found.maker, found.category));
        if let Some(miss) = &found.miss {
            output::result(&format!("    {miss}"));
            continue;
        }
        whole = true;
        for (name, value) in &found.attributes {
            output::result(&format!("    {:<20} {value}", name.name()));
        }
    }
    Ok(if whole { Outcome::Clean } else { Outcome::Open })
}

/// `name=value` words as attributes, the value one of those that the line makes.
fn parse(line: &LineInfo, words: &[String]) -> Result<Attributes, String> {
    let mut attributes = Attributes::new();
    for word in words {
        let (name, value) = word
            .split_once('=')
            .ok_or_else(|| format!("\"{word}\" is not name=value\n  help: write it as height=4.5"))?;
        let attribute = Attr::new(name.trim());
        let made: Vec<&Value> = line
            .makes
            .iter()
            .filter(|(made, _)| *made == attribute)
            .flat_map(|(_, values)| values.iter().flatten())
            .collect();
        let found = made.iter().find(|made| made.to_string() == value.trim()).ok_or_else(|| {
            let choices: Vec<String> = made.iter().map(ToString::to_string).collect();
            format!(
                "{} does not make {name} {value}\n  help: it makes {}",
                line.id,
                if choices.is_empty() { "no such attribute vary".to_owned() } else { choices.join(", ") }
            )
        })?;
        attributes.insert(attribute, (*found).clone());
    }
    Ok(attributes)
}
