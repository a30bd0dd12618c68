//! The record: a quote as one JSON object, with fixed names and a fixed order of keys.

use rust_decimal::Decimal;
use serde::Serialize;
use serde_json::{Value as Json, json};

use crate::complete::spec::Prep;
use crate::finding::{Effect, Finding};
use crate::price::quote::Quote;
use crate::read::schedule::{LedgerRow, Opening, plain};
use crate::reprice::as_read::AsRead;
use crate::reprice::history::Step;
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::trade::inches::Inches;

use super::beside;
use super::heard::{Named, Said, Shown};
use super::json_lines::Text;
use super::record_lines::{Items, Origin, Set, addition};

/// Name and version of the form.
pub const SCHEMA: &str = "pintle.record/1";

/// The record as JSON: each key of the whole, and each opening, set, finding and row, begins a line of its own.
/// `history`: what it came by, from the bid on.
pub fn record(quote: &Quote, history: &[Step]) -> String {
    let job = &quote.job;
    let items = Items::of(quote);
    let mut text = Text::begin();
    text.put("schema", SCHEMA);
    text.put("program", concat!("pintle ", env!("CARGO_PKG_VERSION")));
    text.put("date", &quote.date);
    text.put("job", &job_object(quote));
    text.rows("inputs", &job.schedule.inputs, |_, input| Some(json!({"file": &*input.file, "sha256": input.sha256})));
    text.put(
        "catalog",
        &json!({
            "name": quote.catalog.name, "effective": quote.catalog.effective,
            "sha256": quote.catalog.sha256, "currency": quote.catalog.currency,
        }),
    );
    text.rows("openings", &job.schedule.openings, |_, one| Some(opening(one)));
    text.rows("sets", &job.sets, |index, set| Some(Set { quote, index, set, items: &items }));
    text.rows("added", &job.added, |at, added| addition(quote, at, added, &items));
    text.rows("findings", &job.findings, |_, one| Some(finding(one)));
    text.put("charges", &charges(quote));
    text.put("totals", &totals(quote));
    text.put("price_terms", &beside::price_terms(quote));
    text.put("alternates", &beside::alternates(quote));
    text.put("unit_prices", &beside::unit_prices(quote));
    text.put("phases", &beside::phases(quote));
    text.put("equals", &beside::equals(quote));
    text.put("orders", &beside::orders(quote));
    text.rows("preps", &job.preps, |_, one| Some(prep(quote, one)));
    text.put("answers", &quote.answers.questions);
    text.put("typed_over", &quote.answers.typed);
    text.put("question_numbers", &quote.answers.numbers);
    text.rows("ledger", &job.schedule.ledger, |_, row| Some(ledger_row(row)));
    text.put("as_read", &AsRead::of(&job.schedule));
    text.put("job_terms", &quote.terms.source);
    text.put("history", history);
    text.end()
}

fn charges(quote: &Quote) -> Json {
    let charges = quote.charges.iter().map(|charge| {
        json!({
            "kind": charge.kind.word(), "words": charge.words,
            "on": charge.on.map(|on| on.to_string()), "amount": charge.amount.to_string(),
        })
    });
    charges.collect()
}

fn ledger_row(row: &LedgerRow) -> impl Serialize + '_ {
    #[derive(Serialize)]
    struct Row<'a> {
        file: &'a str,
        sheet: &'a str,
        row: u32,
        role: &'a str,
        text: &'a str,
    }
    Row { file: &row.place.file, sheet: &row.place.sheet, row: row.place.row, role: row.role.word(), text: &row.text }
}

fn job_object(quote: &Quote) -> Json {
    let job = &quote.terms.job;
    json!({
        "name": job.name, "number": job.number, "location": job.location, "customer": job.customer,
        "bid_date": job.bid_date, "addenda": job.addenda,
    })
}

fn opening(opening: &Opening) -> impl Serialize + '_ {
    #[derive(Serialize)]
    struct Row<'a> {
        number: &'a str,
        leaves: u32,
        width: Option<Said<Inches>>,
        height: Option<Said<Inches>>,
        thickness: Option<Said<Inches>>,
        door_material: &'a Option<String>,
        frame_material: &'a Option<String>,
        wall: &'a Option<String>,
        fire_minutes: Option<u32>,
        smoke: Option<bool>,
        exterior: Option<bool>,
        hand: &'a Option<String>,
        set: &'a Option<String>,
        room: &'a str,
        remarks: &'a str,
        count: u32,
        rating: &'a str,
        excluded: &'a Option<String>,
        origin: Origin<'a>,
        #[serde(skip_serializing_if = "Vec::is_empty")]
        leaf_widths: Vec<Said<Inches>>,
    }
    Row {
        number: &opening.number,
        leaves: opening.leaves,
        width: opening.width.map(Said),
        height: opening.height.map(Said),
        thickness: opening.thickness.map(Said),
        door_material: &opening.door_material,
        frame_material: &opening.frame_material,
        wall: &opening.wall,
        fire_minutes: opening.rating.minutes,
        smoke: opening.rating.smoke,
        exterior: opening.exterior,
        hand: &opening.hand,
        set: &opening.set,
        room: &opening.room,
        remarks: &opening.remarks,
        count: opening.count,
        rating: &opening.rating.text,
        excluded: &opening.excluded,
        origin: Origin(&opening.place),
        leaf_widths: opening.leaf_widths.iter().copied().map(Said).collect(),
    }
}

fn finding(finding: &Finding) -> Json {
    let answers = finding.answers.iter().map(|answer| {
        json!({"value": answer.value, "effect": answer.effect.map(|money| money.to_string()), "does": effect(&answer.does)})
    });
    json!({
        "id": finding.id, "rule": finding.code, "kind": finding.kind.word(), "openings": finding.openings,
        "set": finding.set, "origin": finding.place.as_ref().map(Origin), "excerpt": finding.excerpt,
        "says": finding.says, "help": finding.help, "answers": answers.collect::<Vec<_>>(),
        "priced_as": finding.priced_as, "source": &*finding.source,
        "attribute": finding.attribute.map(|attribute| attribute.name()),
    })
}

fn added_goods(goods: &[(Category, Attributes, Decimal)]) -> Vec<Json> {
    let good = |(category, attributes, quantity): &(Category, Attributes, Decimal)| json!({"category": category.name(), "attributes": Named(attributes), "quantity": plain(*quantity)});
    goods.iter().map(good).collect()
}

fn effect(effect: &Effect) -> Json {
    match effect {
        Effect::Nothing => json!({"kind": "nothing"}),
        Effect::ByHand => json!({"kind": "by-hand"}),
        Effect::Set { attribute, value: set, .. } => {
            json!({"kind": "set", "attribute": attribute.name(), "value": Shown(set)})
        }
        Effect::Category { category, .. } => json!({"kind": "category", "value": category.name()}),
        Effect::Quantity { quantity, .. } => json!({"kind": "quantity", "value": plain(*quantity)}),
        Effect::Add { category, attributes, quantity } => json!({
            "kind": "add", "category": category.name(), "attributes": Named(attributes),
            "quantity": plain(*quantity)}),
        Effect::Doors { are, goods } => json!({"kind": "doors", "are": are.word(), "goods": added_goods(goods)}),
        Effect::Follows { goods } => json!({"kind": "follows", "goods": added_goods(goods)}),
        Effect::Several(effects) => {
            json!({"kind": "several", "effects": effects.iter().map(self::effect).collect::<Vec<_>>()})
        }
        Effect::Size { width, height, leaf_widths } => json!({
            "kind": "size", "width": width.to_string(), "height": height.map(|height| height.to_string()),
            "leaf_widths": leaf_widths.iter().map(ToString::to_string).collect::<Vec<_>>()}),
        Effect::Served { set, .. } => json!({"kind": "served", "set": set}),
        Effect::Exclude { .. } => json!({"kind": "exclude"}),
        Effect::Supply { .. } => json!({"kind": "supply"}),
        Effect::KeepAddition(keep) => json!({"kind": "keep-addition", "value": keep}),
    }
}

fn totals(quote: &Quote) -> Json {
    let totals = &quote.totals;
    json!({
        "goods": totals.goods.to_string(), "freight": totals.freight.to_string(), "tax": totals.tax.to_string(),
        "total": totals.total.to_string(), "exposure_low": totals.exposure_low.to_string(),
        "exposure_high": totals.exposure_high.to_string(), "cost": totals.cost.to_string(),
        "rounding": totals.rounding.to_string(), "bond": totals.bond.to_string(),
        "allowances": totals.allowances.to_string(), "round_up": totals.round_up.to_string(),
    })
}

fn prep<'a>(quote: &'a Quote, prep: &'a Prep) -> impl Serialize + 'a {
    #[derive(Serialize)]
    struct Row<'a> {
        opening: Option<&'a str>,
        trade: &'static str,
        leaf: &'static str,
        what: &'a str,
        detail: &'a str,
        above_floor: Option<Said<Inches>>,
        rule: &'static str,
    }
    Row {
        opening: quote.job.schedule.openings.get(prep.opening).map(|opening| opening.number.as_str()),
        trade: prep.trade,
        leaf: prep.leaf,
        what: &prep.what,
        detail: &prep.detail,
        above_floor: prep.above_floor.map(Said),
        rule: prep.rule,
    }
}
