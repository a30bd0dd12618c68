//! The record: a quote as one JSON object, with fixed names and a fixed order of keys.

use std::sync::Arc;

use rust_decimal::Decimal;
use serde_json::{Map, Value as Json, json};

use crate::catalog::good::Candidate;
use crate::complete::spec::{Addition, CompletedSet, Prep, Spec};
use crate::count::takeoff::{From, write_shares};
use crate::finding::{Effect, Finding};
use crate::place::Place;
use crate::price::quote::{PricedItem, Quote, Working};
use crate::read::schedule::{LedgerRow, Opening, plain};
use crate::reprice::as_read::AsRead;
use crate::reprice::history::Step;
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;

use super::beside;
use super::heard::{attributes_object, evidence_of, filled, slice, value};
use super::json_lines::Text;

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
    text.rows("sets", &job.sets, |index, set| Some(set_object(quote, index, set, &items)));
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

fn ledger_row(row: &LedgerRow) -> Json {
    json!({
        "file": &*row.place.file, "sheet": &*row.place.sheet, "row": row.place.row,
        "role": row.role.word(), "text": row.text,
    })
}

/// One line as `pintle explain --json` prints it: without counts, with what it would cost each.
pub fn line_object(spec: &Spec, findings: &[Finding], working: Option<&Working>) -> Json {
    let mut object = described(spec, findings);
    good(&mut object, spec.selection.candidates.first().map(Arc::as_ref));
    price_keys(&mut object, working);
    Json::Object(object)
}

/// Items by where they come from.
struct Items<'a> {
    lines: std::collections::BTreeMap<From, Vec<&'a PricedItem>>,
}

impl<'a> Items<'a> {
    fn of(quote: &'a Quote) -> Self {
        let mut lines: std::collections::BTreeMap<From, Vec<&PricedItem>> = std::collections::BTreeMap::new();
        for item in &quote.items {
            lines.entry(item.item.from).or_default().push(item);
        }
        Self { lines }
    }

    fn from(&self, from: From) -> &[&'a PricedItem] {
        self.lines.get(&from).map_or(&[], Vec::as_slice)
    }
}

fn job_object(quote: &Quote) -> Json {
    let job = &quote.terms.job;
    json!({
        "name": job.name, "number": job.number, "location": job.location, "customer": job.customer,
        "bid_date": job.bid_date, "addenda": job.addenda,
    })
}

fn origin(place: &Place) -> Json {
    let mut object = Map::new();
    object.insert("file".into(), json!(&*place.file));
    object.insert("sheet".into(), json!(&*place.sheet));
    object.insert("row".into(), json!(place.row));
    if let Some(column) = &place.column {
        object.insert("column".into(), json!(&**column));
    }
    Json::Object(object)
}

fn opening(opening: &Opening) -> Json {
    let length = |length: Option<crate::trade::inches::Inches>| length.map(|length| length.to_string());
    let mut object = json!({
        "number": opening.number, "leaves": opening.leaves, "width": length(opening.width),
        "height": length(opening.height), "thickness": length(opening.thickness),
        "door_material": opening.door_material, "frame_material": opening.frame_material, "wall": opening.wall,
        "fire_minutes": opening.rating.minutes, "smoke": opening.rating.smoke, "exterior": opening.exterior,
        "hand": opening.hand, "set": opening.set, "room": opening.room, "remarks": opening.remarks,
        "count": opening.count, "rating": opening.rating.text, "excluded": opening.excluded,
        "origin": origin(&opening.place),
    });
    if !opening.leaf_widths.is_empty() {
        object["leaf_widths"] = opening.leaf_widths.iter().map(ToString::to_string).collect();
    }
    object
}

fn set_object(quote: &Quote, index: usize, set: &CompletedSet, items: &Items) -> Json {
    let numbers = set.openings.iter().filter_map(|opening| quote.job.schedule.openings.get(*opening));
    let lines = set.specs.iter().enumerate().flat_map(|(line, spec)| {
        // Ids count in the completed sets, so the place in the list is the id.
        let from = From::Line(crate::finding::LineId { set: index, line });
        let mine = items.from(from);
        let base = described(spec, &quote.job.findings);
        if mine.is_empty() {
            return vec![Json::Object(base)];
        }
        mine.iter().map(|item| Json::Object(counted(base.clone(), spec, item, mine.len() > 1, quote))).collect()
    });
    json!({
        "id": set.id, "title": set.title,
        "openings": numbers.map(|opening| opening.number.clone()).collect::<Vec<_>>(),
        "origin": origin(&set.place), "lines": lines.collect::<Vec<_>>(),
    })
}

/// What is said of a line whatever it counts to.
fn described(spec: &Spec, findings: &[Finding]) -> Map<String, Json> {
    let text = &spec.wording.text;
    let mut object = Map::new();
    object.insert("origin".into(), origin(&spec.place));
    object.insert("text".into(), json!(text));
    object.insert("quantity".into(), json!(plain(spec.quantity)));
    object.insert("unit".into(), json!(spec.unit.word()));
    object.insert("basis".into(), json!(spec.basis.word()));
    object.insert("category".into(), json!(spec.category.map(|category| category.name())));
    let attributes: Attributes = spec.attributes.iter().map(|(name, sourced)| (*name, sourced.value.clone())).collect();
    object.insert("attributes".into(), attributes_object(&attributes));
    object.insert("evidence".into(), Json::Array(evidence_of(&spec.reading, text)));
    object.insert("filled".into(), Json::Array(filled(spec)));
    object.insert("unread".into(), spec.reading.unread.iter().map(|span| json!(slice(text, span))).collect());
    object.insert("status".into(), json!(spec.status.word()));
    if let Some(excluded) = &spec.excluded {
        object.insert("excluded".into(), json!(excluded));
    }
    let ids = spec.findings.iter().filter_map(|index| findings.get(*index)).map(|finding| json!(finding.id));
    object.insert("findings".into(), ids.collect());
    object
}

fn counted(
    mut object: Map<String, Json>,
    spec: &Spec,
    item: &PricedItem,
    several: bool,
    quote: &Quote,
) -> Map<String, Json> {
    if !item.item.varied.is_empty() {
        let mut attributes: Attributes =
            spec.attributes.iter().map(|(name, sourced)| (*name, sourced.value.clone())).collect();
        attributes.extend(item.item.varied.iter().map(|(name, value)| (*name, value.clone())));
        object.insert("attributes".into(), attributes_object(&attributes));
    }
    good(&mut object, item.item.candidate.as_deref());
    object.insert("count".into(), json!(plain(item.item.count)));
    object.insert("shares".into(), json!(write_shares(&item.item.shares)));
    if several {
        object.insert("openings".into(), Json::Array(numbers(item, quote)));
    }
    price_keys(&mut object, item.working.as_ref());
    if item.working.is_some() {
        object.insert("extended".into(), json!(item.extended.to_string()));
    }
    if spec.selection.candidates.len() > 1 {
        object.insert("alternatives".into(), spec.selection.candidates.iter().skip(1).map(alternative).collect());
    }
    object
}

fn numbers(item: &PricedItem, quote: &Quote) -> Vec<Json> {
    let openings = &quote.job.schedule.openings;
    item.item.shares.iter().filter_map(|(index, _)| openings.get(*index)).map(|opening| json!(opening.number)).collect()
}

fn good(object: &mut Map<String, Json>, candidate: Option<&Candidate>) {
    let good = candidate.map(|candidate| {
        let good = &candidate.good;
        json!({
            "designation": good.designation, "line": &*good.line, "maker": &*good.maker,
            "description": good.description, "attributes": attributes_object(&good.attributes),
            "why": candidate.why,
            "undecided": candidate.undecided.iter().map(|open| json!({
                "attribute": open.attribute.name(), "taken": value(&open.taken),
                "options": open.options.iter()
                    .map(|(option, list)| json!({"value": value(option), "list": list.to_string()})).collect::<Vec<_>>(),
            })).collect::<Vec<_>>(),
        })
    });
    object.insert("good".into(), good.unwrap_or(Json::Null));
}

fn alternative(candidate: &Arc<Candidate>) -> Json {
    let good = &candidate.good;
    json!({"designation": good.designation, "line": &*good.line, "maker": &*good.maker, "net": good.list.net().to_string()})
}

fn price_keys(object: &mut Map<String, Json>, working: Option<&Working>) {
    let Some(working) = working else { return };
    object.insert("unit_price".into(), json!(working.sell.to_string()));
    object.insert(
        "working".into(),
        json!({
            "base": working.base.to_string(), "unit": working.unit_words, "list": working.list.to_string(),
            "made_of": working.made_of.iter().map(|portion| json!({
                "what": portion.what, "count": portion.count, "each": portion.each.to_string()})).collect::<Vec<_>>(),
            "adders": working.adders.iter().map(|extra| json!({
                "what": extra.what, "how": extra.how(), "net": extra.is_net(), "money": extra.money.to_string(),
            })).collect::<Vec<_>>(),
            "chain": working.chain.iter().map(|percent| plain(*percent)).collect::<Vec<_>>(),
            "multiplier": plain(working.multiplier), "net_adders": working.net_adders.to_string(),
            "surcharges": working.surcharges.iter().map(|(name, percent, money)| json!({
                "what": name, "percent": plain(*percent), "money": money.to_string()})).collect::<Vec<_>>(),
            "net": working.net.to_string(), "rate": plain(working.rate), "rate_words": working.rate_words,
            "method": if working.is_margin { "margin" } else { "markup" }, "sell": working.sell.to_string(),
            "decimals": working.decimals,
        }),
    );
}

fn addition(quote: &Quote, index: usize, added: &Addition, items: &Items) -> Vec<Json> {
    let mine = items.from(From::Added(index));
    let base = json!({
        "category": added.category.name(), "attributes": attributes_object(&added.attributes),
        "quantity": "0", "openings": [], "unit": added.unit.word(), "rule": added.rule, "why": added.why,
        "set": added.set.and_then(|set| quote.job.sets.get(set)).map(|set| set.id.clone()),
        "ours": added.ours, "by": added.by,
    });
    let Json::Object(base) = base else { return Vec::new() };
    let mut objects = Vec::new();
    for item in mine {
        let mut object = base.clone();
        if !item.item.varied.is_empty() {
            let mut attributes = added.attributes.clone();
            attributes.extend(item.item.varied.iter().map(|(name, value)| (*name, value.clone())));
            object.insert("attributes".into(), attributes_object(&attributes));
        }
        object.insert("quantity".into(), json!(plain(item.item.count)));
        object.insert("shares".into(), json!(write_shares(&item.item.shares)));
        object.insert("openings".into(), Json::Array(numbers(item, quote)));
        good(&mut object, item.item.candidate.as_deref());
        price_keys(&mut object, item.working.as_ref());
        if item.working.is_some() {
            object.insert("extended".into(), json!(item.extended.to_string()));
        }
        objects.push(Json::Object(object));
    }
    if objects.is_empty() {
        objects.push(Json::Object(base));
    }
    objects
}

fn finding(finding: &Finding) -> Json {
    let answers = finding.answers.iter().map(|answer| {
        json!({"value": answer.value, "effect": answer.effect.map(|money| money.to_string()), "does": effect(&answer.does)})
    });
    json!({
        "id": finding.id, "rule": finding.code, "kind": finding.kind.word(), "openings": finding.openings,
        "set": finding.set, "origin": finding.place.as_ref().map(origin), "excerpt": finding.excerpt,
        "says": finding.says, "help": finding.help, "answers": answers.collect::<Vec<_>>(),
        "priced_as": finding.priced_as, "source": &*finding.source,
        "attribute": finding.attribute.map(|attribute| attribute.name()),
    })
}

fn added_goods(goods: &[(Category, Attributes, Decimal)]) -> Vec<Json> {
    let good = |(category, attributes, quantity): &(Category, Attributes, Decimal)| json!({"category": category.name(), "attributes": attributes_object(attributes), "quantity": plain(*quantity)});
    goods.iter().map(good).collect()
}

fn effect(effect: &Effect) -> Json {
    match effect {
        Effect::Nothing => json!({"kind": "nothing"}),
        Effect::ByHand => json!({"kind": "by-hand"}),
        Effect::Set { attribute, value: set, .. } => {
            json!({"kind": "set", "attribute": attribute.name(), "value": value(set)})
        }
        Effect::Category { category, .. } => json!({"kind": "category", "value": category.name()}),
        Effect::Quantity { quantity, .. } => json!({"kind": "quantity", "value": plain(*quantity)}),
        Effect::Add { category, attributes, quantity } => json!({
            "kind": "add", "category": category.name(), "attributes": attributes_object(attributes),
            "quantity": plain(*quantity)}),
        Effect::Doors { are, goods } => json!({"kind": "doors", "are": are.word(), "goods": added_goods(goods)}),
        Effect::Follows { goods } => json!({"kind": "follows", "goods": added_goods(goods)}),
        Effect::Several(effects) => {
            json!({"kind": "several", "effects": effects.iter().map(self::effect).collect::<Vec<_>>()})
        }
        Effect::Size { width, height, leaf_widths } => json!({
            "kind": "size", "width": width.to_string(), "height": height.map(|height| height.to_string()),
            "leaf_widths": leaf_widths.iter().map(ToString::to_string).collect::<Vec<_>>()}),
        Effect::Exclude { .. } => json!({"kind": "exclude"}),
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

fn prep(quote: &Quote, prep: &Prep) -> Json {
    let opening = quote.job.schedule.openings.get(prep.opening);
    json!({
        "opening": opening.map(|opening| opening.number.clone()), "trade": prep.trade,
        "leaf": prep.leaf, "what": prep.what, "detail": prep.detail,
        "above_floor": prep.above_floor.map(|height| height.to_string()), "rule": prep.rule,
    })
}
