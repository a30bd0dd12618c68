//! An invented flat price list of any length: goods of the demo catalog in their own words, then the same goods of further
//! invented makers at other prices. Lists, like those of the trade, that say everything in one description.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use pintle::catalog::Catalog;
use pintle::catalog::good::Per;
use pintle::trade::attribute::{Attr, Attributes, Value, names};
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
    for (place, line) in catalog.lines().enumerate() {
        for (turn, attributes) in combinations(&line.makes).into_iter().enumerate() {
            let Ok(good) = catalog.good(&line.id, &attributes) else { continue };
            let list = good.list.list().decimal();
            if list <= Decimal::ZERO {
                continue;
            }
            let finish = good.attributes.get(&names::FINISH).map_or(String::new(), ToString::to_string);
            let unit = match good.list.per {
                Per::Each => "EA",
                Per::Foot => "FT",
                Per::Set => "SET",
                Per::Pair => "PR",
            };
            let price = if good.list.per == Per::Foot { good.list.base.decimal() } else { list.round_dp(2) };
            let model = Model {
                number: good.designation.replace([' ', ','], "-"),
                words: good.description.clone(),
                finish,
                price,
                unit,
                group: line.category.name().chars().take(4).collect::<String>().to_uppercase(),
            };
            models.entry(model.number.clone()).or_insert(((turn, place), model));
        }
    }
    // Line after line in turn, the usual goods first, so that a short list has something of everything.
    let mut models: Vec<_> = models.into_values().collect();
    models.sort_by_key(|(turn, _)| *turn);
    models.into_iter().map(|(_, model)| model).collect()
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
