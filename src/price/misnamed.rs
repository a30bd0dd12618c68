//! Job terms that name what is not there: a category, a maker, a product line, a row, a door or a set. They would do nothing,
//! and nobody would know.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::pages;
use crate::catalog::Catalog;
use crate::complete::spec::Completed;
use crate::finding::Finding;
use crate::terms::{Terms, is_number};
use crate::trade::category::Category;
use crate::trade::spelling::nearest;

/// One name in the terms, and all that it may be.
struct Name<'a> {
    key: String,
    what: &'static str,
    name: &'a str,
    known: &'a Known,
}

/// All that a name may be; folded, so that a name need not be held against each.
struct Known {
    names: BTreeSet<String>,
    folded: HashSet<String>,
}

impl Known {
    fn of(names: BTreeSet<String>) -> Known {
        let folded = names.iter().map(|name| fold(name)).collect();
        Known { names, folded }
    }

    fn has(&self, name: &str) -> bool {
        self.folded.contains(&fold(name))
    }
}

fn fold(name: &str) -> String {
    name.trim().to_uppercase()
}

/// A finding for each.
pub(super) fn find(job: &Completed, catalog: &Catalog, terms: &Terms) -> Vec<Finding> {
    let set = |names: &mut dyn Iterator<Item = String>| Known::of(names.collect());
    let categories = set(&mut Category::ALL.iter().map(|category| category.name().to_owned()));
    let chosen = job.sets.iter().flat_map(|set| &set.specs).flat_map(|spec| &spec.selection.candidates);
    let chosen = chosen.map(|candidate| candidate.good.maker.to_string());
    let makers = set(&mut catalog.names().map(|(_, maker)| maker.to_owned()).chain(chosen));
    let lines = set(&mut catalog.names().map(|(id, _)| id.to_owned()));
    let doors = set(&mut job.schedule.openings.iter().map(|opening| opening.number.clone()));
    let sets = set(&mut job.sets.iter().map(|set| set.id.clone()));
    let places = job.sets.iter().flat_map(|set| &set.specs).map(|spec| &spec.place);
    let rows = set(&mut places.map(|place| format!("{}!{}", place.sheet, place.row)));
    let mut names: Vec<Name> = Vec::new();
    let price = &terms.price;
    add(&mut names, "price.by_category", "category", &mut price.by_category.keys(), &categories);
    add(&mut names, "price.by_maker", "maker in the catalog", &mut price.by_maker.keys(), &makers);
    add(&mut names, "price.by_line", "product line in the catalog", &mut price.by_line.keys(), &lines);
    add(&mut names, "price.by_row", "row with goods", &mut price.by_row.keys(), &rows);
    add(&mut names, "tax.exempt", "category", &mut terms.tax.exempt.iter(), &categories);
    add(&mut names, "makers", "category", &mut terms.makers.keys(), &categories);
    add(&mut names, "unit_prices", "category", &mut terms.unit_prices.iter().map(|unit| &unit.category), &categories);
    for (category, accepted) in terms.makers.iter().filter(|(category, _)| categories.names.contains(category.as_str()))
    {
        let sold = |maker: &String| makers.has(maker);
        if !accepted.iter().any(sold) {
            add(&mut names, &format!("makers.{category}"), "maker in the catalog", &mut accepted.iter(), &makers);
        }
    }
    for alternate in &terms.alternates {
        let key = |part: &str| format!("alternate \"{}\", {part}", alternate.name);
        add(&mut names, &key("category"), "category", &mut alternate.category.iter(), &categories);
        add(&mut names, &key("drop_sets"), "set", &mut alternate.drop_sets.iter(), &sets);
        add(&mut names, &key("drop_openings"), "opening", &mut alternate.drop_openings.iter(), &doors);
    }
    for phase in &terms.phases {
        let key = |part: &str| format!("phase \"{}\", {part}", phase.name);
        add(&mut names, &key("sets"), "set", &mut phase.sets.iter(), &sets);
        add(&mut names, &key("openings"), "opening", &mut phase.openings.iter(), &doors);
    }
    let sets_of = |what: &str, name: &str, category: Option<&str>, set: &BTreeMap<String, String>| {
        let category = category.and_then(|category| category.parse::<Category>().ok())?;
        let known = Known::of(catalog.attributes_of(category));
        Some((format!("{what} \"{name}\", set"), set.keys().cloned().collect::<Vec<String>>(), known))
    };
    let alternates = terms
        .alternates
        .iter()
        .filter_map(|alternate| sets_of("alternate", &alternate.name, alternate.category.as_deref(), &alternate.set));
    let units =
        terms.unit_prices.iter().filter_map(|unit| sets_of("unit price", &unit.name, Some(&unit.category), &unit.set));
    let attributes: Vec<_> = alternates.chain(units).collect();
    for (key, set, known) in &attributes {
        add(&mut names, key, "attribute of such goods", &mut set.iter(), known);
    }
    names.iter().filter(|name| !is_known(name)).map(finding).collect()
}

/// Takes names in. An empty catalog or job knows nothing; that is said elsewhere.
fn add<'a>(
    names: &mut Vec<Name<'a>>,
    key: &str,
    what: &'static str,
    all: &mut dyn Iterator<Item = &'a String>,
    known: &'a Known,
) {
    if !known.names.is_empty() {
        names.extend(all.map(|name| Name { key: key.to_owned(), what, name, known }));
    }
}

fn is_known(name: &Name) -> bool {
    // A door may be named by how its number begins.
    name.known.has(name.name)
        || name.what == "opening"
            && name.name.trim().ends_with('*')
            && name.known.names.iter().any(|known| is_number(name.name, known))
}

fn finding(name: &Name) -> Finding {
    let says = format!("The job terms name \"{}\" ({}), and there is no such {}.", name.name, name.key, name.what);
    let near = nearest(&name.name.to_lowercase(), name.known.names.iter().map(String::as_str));
    let help = match near {
        Some(near) => format!("write \"{near}\" if that is meant, or take it out"),
        None => "correct it in the job terms, or take it out".to_owned(),
    };
    let mut finding = pages::finding("term-names-nothing", says).help(&help);
    finding.excerpt = format!("{} {}", name.key, name.name);
    finding
}
