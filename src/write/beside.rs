//! What stands beside the price in the record: the terms that made it, alternates, unit prices, phases, equals, and the
//! buying list.

use serde_json::{Value as Json, json};

use crate::price::quote::Quote;
use crate::price::{buying, views};
use crate::read::schedule::plain;
use crate::terms::{Method, Provisional, RoundAt, SurchargeAt};

/// How prices were made.
pub fn price_terms(quote: &Quote) -> Json {
    let terms = &quote.terms.price;
    json!({
        "method": match terms.method { Method::Margin => "margin", Method::Markup => "markup" },
        "rate": terms.rate.to_string(),
        "floor_margin": terms.floor_margin.map(|floor| floor.to_string()),
        "round": match terms.round { RoundAt::Unit => "unit", RoundAt::Extension => "extension" },
        "provisional": match terms.provisional {
            Provisional::Dearest => "dearest", Provisional::Likeliest => "likeliest", Provisional::LeaveOut => "leave-out",
        },
        "surcharges": match terms.surcharges { SurchargeAt::OwnLine => "own-line", SurchargeAt::InUnit => "in-unit" },
        "customer_class": quote.terms.job.customer_class,
    })
}

/// Alternates, each an add or (negative) a deduct.
pub fn alternates(quote: &Quote) -> Json {
    let all = quote.alternates.iter().map(|alternate| {
        json!({
            "name": alternate.name, "words": alternate.words, "lines": alternate.lines,
            "delta": alternate.delta.map(|delta| delta.to_string()), "trouble": alternate.trouble,
        })
    });
    all.collect()
}

/// Unit prices.
pub fn unit_prices(quote: &Quote) -> Json {
    let all = quote.unit_prices.iter().map(|unit| {
        json!({
            "name": unit.name, "maker": unit.maker, "designation": unit.designation, "description": unit.description,
            "unit": unit.unit, "net": unit.net.map(|net| net.to_string()),
            "price": unit.price.map(|price| price.to_string()), "trouble": unit.trouble,
        })
    });
    all.collect()
}

/// Sums of phases or buildings; they add up to the goods.
pub fn phases(quote: &Quote) -> Json {
    views::by_phase(quote)
        .iter()
        .map(|row| json!({"name": row.name, "words": row.words, "sum": row.sum.to_string()}))
        .collect()
}

/// Equals of lines that name a maker, a designation or a series.
pub fn equals(quote: &Quote) -> Json {
    let offer = |offer: &crate::price::offers::Offer| {
        json!({
            "maker": offer.maker, "designation": offer.designation, "description": offer.description,
            "extended": offer.extended.to_string(), "difference": offer.difference.to_string(), "why": offer.why,
            "is": "a substitution to be approved",
        })
    };
    let all = quote.equals.iter().map(|equals| {
        let set = quote.job.sets.get(equals.line.set);
        let spec = set.and_then(|set| set.specs.get(equals.line.line));
        json!({
            "set": set.map(|set| set.id.as_str()), "row": spec.map(|spec| spec.place.row),
            "text": spec.map(|spec| spec.wording.text.as_str()), "specified": equals.specified,
            "offers": equals.offers.iter().map(offer).collect::<Vec<_>>(),
        })
    });
    all.collect()
}

/// The buying list, one order a maker.
pub fn orders(quote: &Quote) -> Json {
    let row = |row: &buying::Row| {
        json!({
            "designation": row.designation, "description": row.description, "unit": row.unit,
            "needed": plain(row.needed), "order": plain(row.order), "pack": row.pack, "minimum": row.minimum,
            "list": row.list.to_string(), "discount": row.discount, "net": row.net.to_string(),
            "cost": row.cost.to_string(), "openings": row.openings, "returnable": row.returnable,
            "pieces": row.pieces.iter().map(|(length, count)| json!({"length": length.to_string(), "count": count}))
                .collect::<Vec<_>>(),
            "parts": row.parts.iter().map(|(count, part)| json!({"count": count, "designation": part})).collect::<Vec<_>>(),
            "notes": row.notes,
        })
    };
    let order = |order: &buying::Order| {
        json!({
            "maker": order.maker, "needed": order.needed.to_string(), "ordered": order.ordered.to_string(),
            "rows": order.rows.iter().map(row).collect::<Vec<_>>(),
        })
    };
    buying::orders(quote).iter().map(order).collect()
}
