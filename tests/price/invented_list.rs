//! An invented flat price list of any length: first what the sample needs, then other goods of the demo catalog, in words as
//! price lists have them, then the same goods of further invented makers at other prices. Lists, like those of the trade,
//! that say everything in one description: whoever reads them has only the words.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use pintle::catalog::Catalog;
use pintle::catalog::good::{Good, Per};
use pintle::trade::attribute::{Attr, Attributes, Value, names};
use pintle::trade::category::Category;
use rust_decimal::Decimal;

/// Combinations tried of one product line.
const OF_A_LINE: usize = 1_200;

/// One good of the demo catalog.
struct Model {
    number: String,
    words: String,
    finish: String,
    price: Decimal,
    unit: &'static str,
    group: String,
}

/// A list of `rows` goods as CSV.
pub fn csv(rows: usize) -> String {
    let models = models();
    let mut text =
        String::from("Invented price list,,,,,,\nItem No.,Description,Finish,List Price,UOM,Disc. Group,Mfr\n");
    for index in 0..rows {
        let (round, at) = (index / models.len(), index % models.len());
        let model = &models[at];
        // Further makers ask a little more, so that the first round is the cheapest.
        let price = (model.price * Decimal::from(100 + round) / Decimal::ONE_HUNDRED).round_dp(2);
        writeln!(
            text,
            "{}-{round},\"{}\",{},{price},{},{},Maker {round}",
            model.number,
            model.words.replace('"', "\"\""),
            model.finish,
            model.unit,
            model.group
        )
        .unwrap();
    }
    text
}

fn models() -> Vec<Model> {
    let catalog = Catalog::embedded("2026-10-01").unwrap();
    let mut models = BTreeMap::new();
    let mut add = |turn: (usize, usize), group: &str, good: &Good| {
        if let Some(model) = model(group, good) {
            // Pieces cut to several lengths have one designation; a list has a number for each.
            let key = (model.number.clone(), model.words.clone());
            models.entry(key).or_insert((turn, model));
        }
    };
    for (place, (category, good)) in needed(&catalog).iter().enumerate() {
        add((0, place), category.name(), good);
    }
    for (place, line) in catalog.lines().enumerate() {
        for (turn, attributes) in combinations(&line.makes).into_iter().enumerate() {
            if let Ok(good) = catalog.good(&line.id, &attributes) {
                add((turn + 1, place), line.category.name(), &good);
            }
        }
    }
    // What the sample needs; then line after line in turn, the usual goods first, so that a short list has something of
    // everything.
    let mut models: Vec<_> = models.into_values().collect();
    models.sort_by_key(|(turn, _)| *turn);
    let mut numbers = BTreeMap::new();
    models
        .into_iter()
        .map(|(_, mut model)| {
            let met: &mut usize = numbers.entry(model.number.clone()).or_default();
            *met += 1;
            if *met > 1 {
                model.number = format!("{}-{met}", model.number);
            }
            model
        })
        .collect()
}

/// The goods that the sample is quoted with from the demo catalog.
fn needed(catalog: &Catalog) -> Vec<(Category, Good)> {
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library");
    let terms = pintle::terms::Terms::load(&sample.join("job.toml")).unwrap();
    let lexicon = pintle::understand::Lexicon::load(&[]).unwrap();
    let schedule = pintle::read::read(&[sample.join("bid-set.xlsx")], &terms.read).unwrap();
    let readings = pintle::understand::understand_sets(&lexicon, &schedule);
    let job = pintle::complete::complete(schedule, readings, catalog, &terms, &Default::default());
    let items = pintle::count::count(&job, catalog).items;
    let good = |item: pintle::count::takeoff::Item| {
        Some((pintle::price::category_of(item.from, &job)?, item.candidate?.good.clone()))
    };
    items.into_iter().filter_map(good).collect()
}

fn model(group: &str, good: &Good) -> Option<Model> {
    let list = good.list.list().decimal();
    if list <= Decimal::ZERO {
        return None;
    }
    let unit = match good.list.per {
        Per::Each => "EA",
        Per::Foot => "FT",
        Per::Set => "SET",
        Per::Pair => "PR",
    };
    Some(Model {
        number: good.designation.replace([' ', ','], "-"),
        words: in_list_words(&good.description),
        finish: good.attributes.get(&names::FINISH).map_or(String::new(), ToString::to_string),
        price: if good.list.per == Per::Foot { good.list.base.decimal() } else { list.round_dp(2) },
        unit,
        group: group.chars().take(4).collect::<String>().to_uppercase(),
    })
}

/// A description as price lists write it: `36"` for the width of a leaf, `2 amp` for its current.
fn in_list_words(description: &str) -> String {
    let part = |part: &str| match (part.strip_prefix("for leaves up to "), part.strip_suffix(" A")) {
        (Some(width), _) => format!("{width}\""),
        (None, Some(amps)) if amps.parse::<Decimal>().is_ok() => format!("{amps} amp"),
        _ => part.to_owned(),
    };
    description.split(", ").map(part).collect::<Vec<_>>().join(", ")
}

/// Values of a line's attributes in turn, the usual ones first.
fn combinations(makes: &[(Attr, Vec<Option<Value>>)]) -> Vec<Attributes> {
    let mut all = vec![Attributes::new()];
    for (attr, values) in makes {
        let mut next = Vec::new();
        for attributes in &all {
            for value in values {
                let mut more = attributes.clone();
                more.insert(*attr, value.clone().unwrap_or(Value::Flag(false)));
                next.push(more);
            }
        }
        next.truncate(OF_A_LINE);
        all = next;
    }
    all
}

/// The lines that the one record has a price for and the other has none.
pub fn lines_without_price(record: &serde_json::Value, priced: &serde_json::Value) -> Vec<String> {
    let lines = |record: &serde_json::Value| -> Vec<(String, bool)> {
        let sets = record["sets"].as_array().into_iter().flatten();
        let lines = sets.flat_map(|set| set["lines"].as_array().cloned().unwrap_or_default());
        lines.map(|line| (line["text"].to_string(), line["unit_price"].is_string())).collect()
    };
    let (own, other) = (lines(record), lines(priced));
    assert_eq!(own.len(), other.len(), "the same job");
    own.into_iter().zip(other).filter(|((_, has), (_, had))| *had && !*has).map(|((text, _), _)| text).collect()
}
