//! Reads what a product line makes in several ways: values, codes, words, the usual one, and adders beside the values.

use std::sync::Arc;

use crate::trade::attribute::{Attr, Value};
use crate::trade::inches::Inches;

use super::super::good::Adds;
use super::super::line::{LineAdder, Varying};
use super::super::source::{Mistakes, nearest};
use super::super::tree::{Node, Tree};
use super::super::value::{Condition, Domain, Test, WITHOUT, is_misfit, parse, said, shown};
use super::fields::{Shared, length, money, number};

const KEYS: &[&str] = &[
    "choice", "values", "from", "to", "step", "any_of", "free", "usual", "matters", "extra", "codes", "words", "list",
    "net", "percent", "common",
];

/// Reads one entry of `makes`; adders written beside its values go into `adders`.
pub(super) fn read(
    name: &str,
    node: Node<'_>,
    shared: &Shared<'_>,
    adders: &mut Vec<LineAdder>,
    mistakes: &mut Mistakes,
) -> Option<Varying> {
    let attr = Attr::new(name);
    if node.is_list() {
        let values = values(attr, node, mistakes);
        return Some(finish(attr, Domain::OneOf(values), &[], node, mistakes));
    }
    let mut tables: Vec<Tree<'_>> = Vec::new();
    let mut named = None;
    if node.is_table() {
        let table = node.tree(mistakes)?;
        table.only(KEYS, mistakes);
        named = table.get("choice");
        tables.push(table);
    } else if let Some(word) = node.plain() {
        named = Some(node);
        let _ = word;
    }
    if let Some(named) = named {
        let choice = shared.choice(&named.scalar(mistakes)?, named, mistakes)?;
        let table = choice.tree(mistakes)?;
        table.only(KEYS, mistakes);
        tables.push(table);
    }
    let domain = domain(attr, &tables, node, mistakes)?;
    beside(attr, &domain, &tables, adders, mistakes);
    Some(finish(attr, domain, &tables, node, mistakes))
}

fn get<'a>(tables: &[Tree<'a>], key: &str) -> Option<Node<'a>> {
    tables.iter().find_map(|table| table.get(key))
}

fn domain(attr: Attr, tables: &[Tree<'_>], node: Node<'_>, mistakes: &mut Mistakes) -> Option<Domain> {
    if let Some(list) = get(tables, "values") {
        return Some(Domain::OneOf(values(attr, list, mistakes)));
    }
    if let Some(list) = get(tables, "any_of") {
        let words = list.items().into_iter().filter_map(|item| item.scalar(mistakes));
        return Some(Domain::AnyOf(words.map(Arc::from).collect()));
    }
    if get(tables, "free").is_some() {
        return Some(Domain::Free);
    }
    match (get(tables, "from"), get(tables, "to")) {
        (Some(from), Some(to)) => {
            let step = match get(tables, "step") {
                Some(step) => length(step, mistakes)?,
                None => Inches::whole(1),
            };
            let (low, high) = (length(from, mistakes)?, length(to, mistakes)?);
            if low >= high || step <= Inches::ZERO {
                from.complain(
                    mistakes,
                    format!("{attr} runs from {low} to {high} in steps of {step}"),
                    "`to` must be above `from`, `step` above 0",
                );
                return None;
            }
            Some(Domain::Range(low, high, step))
        }
        _ => {
            node.complain(
                mistakes,
                format!("{attr} has no values"),
                "write a list [\"a\", \"b\"], or { values = […] }, { from = 6, to = 48 } or { any_of = […] }",
            );
            None
        }
    }
}

fn values(attr: Attr, list: Node<'_>, mistakes: &mut Mistakes) -> Vec<Option<Value>> {
    let mut values: Vec<Option<Value>> = Vec::new();
    for item in list.items() {
        let Some(text) = item.scalar(mistakes) else { continue };
        if is_misfit(attr, &text) {
            item.complain(
                mistakes,
                format!("\"{text}\" is no value of {attr}"),
                "write a plain number, in inches where it is a length",
            );
            continue;
        }
        let value = (text != WITHOUT).then(|| parse(attr, &text));
        if values.contains(&value) {
            item.complain(mistakes, format!("{attr} has \"{text}\" twice"), "take one of them out");
            continue;
        }
        values.push(value);
    }
    if values.is_empty() {
        list.complain(mistakes, format!("{attr} has no values"), "write at least one value");
    }
    values
}

/// The values that lists beside them run along with.
fn keys(domain: &Domain) -> Vec<Option<Value>> {
    match domain {
        Domain::OneOf(values) => values.clone(),
        Domain::AnyOf(words) => words.iter().map(|word| Some(Value::Text(word.clone()))).collect(),
        Domain::Range(..) | Domain::Free => Vec::new(),
    }
}

/// A list that runs along with the values, item by item.
fn along<'a>(
    key: &str,
    keys: &[Option<Value>],
    tables: &[Tree<'a>],
    mistakes: &mut Mistakes,
) -> Vec<(Option<Value>, Node<'a>)> {
    let Some(list) = get(tables, key) else { return Vec::new() };
    let items = list.items();
    if items.len() != keys.len() {
        list.complain(
            mistakes,
            format!("`{key}` has {} items for {} values", items.len(), keys.len()),
            "write one item for each value, in the same order",
        );
        return Vec::new();
    }
    keys.iter().cloned().zip(items).collect()
}

/// Adders written beside the values.
fn beside(attr: Attr, domain: &Domain, tables: &[Tree<'_>], adders: &mut Vec<LineAdder>, mistakes: &mut Mistakes) {
    let keys = keys(domain);
    for (key, make) in [
        ("list", (|amount| Adds::List(crate::money::Money::new(amount))) as fn(rust_decimal::Decimal) -> Adds),
        ("net", |amount| Adds::Net(crate::money::Money::new(amount))),
        ("percent", Adds::PercentOfList),
    ] {
        for (value, node) in along(key, &keys, tables, mistakes) {
            let amount = match key {
                "percent" => number(node, mistakes),
                _ => money(node, mistakes).map(crate::money::Money::decimal),
            };
            let Some(amount) = amount.filter(|amount| !amount.is_zero()) else { continue };
            adders.push(LineAdder {
                what: said(attr, &shown(value.as_ref())).into(),
                when: Condition(vec![(attr, Test::OneOf(vec![value]))]),
                adds: make(amount),
                per_piece: false,
                entry: node.entry(),
            });
        }
    }
}

fn finish(attr: Attr, domain: Domain, tables: &[Tree<'_>], node: Node<'_>, mistakes: &mut Mistakes) -> Varying {
    let keys = keys(&domain);
    let usual = usual(attr, &domain, &keys, tables, node, mistakes);
    let mut texts = |key: &str| -> Vec<(Option<Value>, Arc<str>)> {
        let items = along(key, &keys, tables, mistakes);
        items.into_iter().filter_map(|(value, node)| Some((value, node.scalar(mistakes)?.into()))).collect()
    };
    let mut codes = texts("codes");
    let said = texts("words");
    if codes.is_empty() {
        codes = keys.iter().map(|value| (value.clone(), plain_code(value.as_ref()))).collect();
    }
    for (index, (value, code)) in codes.iter().enumerate() {
        if codes[..index].iter().any(|(_, other)| other == code) {
            let place = get(tables, "codes").unwrap_or(node);
            place.complain(
                mistakes,
                format!("{attr} {} has the code \"{code}\", which another value has", shown(value.as_ref())),
                "give each value a code of its own",
            );
        }
    }
    let flag = |key: &str, mistakes: &mut Mistakes| get(tables, key).map(|node| node.flag(mistakes));
    let extra = flag("extra", mistakes).unwrap_or(usual.is_none());
    let matters = flag("matters", mistakes).unwrap_or(false);
    let common = match get(tables, "common") {
        Some(list) => values(attr, list, mistakes).into_iter().flatten().collect(),
        None => Vec::new(),
    };
    Varying { attr, domain, usual, matters, extra, codes, said, common }
}

fn usual(
    attr: Attr,
    domain: &Domain,
    keys: &[Option<Value>],
    tables: &[Tree<'_>],
    node: Node<'_>,
    mistakes: &mut Mistakes,
) -> Option<Value> {
    let Some(stated) = get(tables, "usual") else {
        return match domain {
            Domain::OneOf(_) => keys.first().cloned().flatten(),
            Domain::Range(..) => {
                node.complain(
                    mistakes,
                    format!("{attr} has no usual value"),
                    "add usual = …, taken when nothing is said",
                );
                None
            }
            Domain::AnyOf(_) | Domain::Free => None,
        };
    };
    let text = stated.scalar(mistakes)?;
    let asked = if text == WITHOUT { Value::Flag(false) } else { parse(attr, &text) };
    match domain.meet(&asked) {
        Ok(value) => value,
        Err(made) => {
            let made_words: Vec<String> = keys.iter().flatten().map(ToString::to_string).collect();
            let help = match nearest(&text, made_words.iter().map(String::as_str)) {
                Some(near) => format!("a similar value exists: \"{near}\""),
                None => format!("the values here are {made}"),
            };
            stated.complain(mistakes, format!("the usual value \"{text}\" is not among the values of {attr}"), help);
            None
        }
    }
}

/// The code of a value where none is written: its own text, nothing for without.
fn plain_code(value: Option<&Value>) -> Arc<str> {
    value.map_or(String::new(), |value| value.to_string().to_ascii_uppercase()).into()
}
