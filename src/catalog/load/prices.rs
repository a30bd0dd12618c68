//! Reads the price of a product line: a figure, a table written in place or in a CSV file, the sum of a kit, or "call".

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};

use super::super::good::Per;
use super::super::line::{Base, Price, Rule, Varying};
use super::super::source::{Mistakes, nearest};
use super::super::table::Table;
use super::super::tree::{Node, Tree};
use super::super::value::Domain;
use super::fields::{Shared, money};
use super::rows::{csv_rows, inline_rows};
use super::spread::compile;

/// What a line has already said when its price is read.
pub(super) struct Known<'a> {
    pub(super) id: &'a str,
    pub(super) is: &'a Attributes,
    pub(super) makes: &'a [Varying],
    pub(super) rules: &'a [Rule],
    /// Stock lengths and their attribute: a table over them has a row for each.
    pub(super) stock: Option<(Attr, Vec<Option<Value>>)>,
}

impl Known<'_> {
    /// The values over which a table runs by value; `None`: size breaks.
    pub(super) fn exact(&self, varying: &Varying) -> Option<Vec<Option<Value>>> {
        match (&varying.domain, &self.stock) {
            (_, Some((attr, stock))) if *attr == varying.attr => Some(stock.clone()),
            (Domain::OneOf(values), _) => Some(values.clone()),
            (Domain::Range(..), _) => None,
            (Domain::AnyOf(_) | Domain::Free, _) => Some(Vec::new()),
        }
    }
}

/// Reads the price of a line.
pub(super) fn read(node: Node<'_>, known: &Known<'_>, shared: &Shared<'_>, mistakes: &mut Mistakes) -> Option<Price> {
    if !node.is_table() {
        let figure = positive(node, mistakes)?;
        return Some(Price { per: Per::Each, from: Base::Flat(figure, node.entry()), net: false });
    }
    let tree = node.tree(mistakes)?;
    tree.only(
        &["each", "foot", "set", "pair", "per", "by", "rows", "table", "column", "parts", "call", "net"],
        mistakes,
    );
    let net = tree.get("net").is_some_and(|node| node.flag(mistakes));
    let per = per(tree, mistakes);
    for (word, per) in Per::NAMES {
        if let Some(flat) = tree.get(word) {
            return Some(Price { per, from: Base::Flat(positive(flat, mistakes)?, flat.entry()), net });
        }
    }
    if tree.get("parts").is_some() {
        return Some(Price { per, from: Base::Parts, net });
    }
    if let Some(call) = tree.get("call") {
        return Some(Price { per, from: Base::Call(call.entry()), net });
    }
    table(tree, known, shared, mistakes).map(|table| Price { per, from: Base::Table(table), net })
}

fn per(tree: Tree<'_>, mistakes: &mut Mistakes) -> Per {
    let Some(node) = tree.get("per") else { return Per::Each };
    let word = node.scalar(mistakes).unwrap_or_default();
    Per::named(&word).unwrap_or_else(|| {
        node.complain(mistakes, format!("\"{word}\" is not what a price is for"), "write each, foot, set or pair");
        Per::Each
    })
}

/// A price above zero.
fn positive(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Money> {
    let figure = money(node, mistakes)?;
    if figure <= Money::ZERO {
        node.complain(
            mistakes,
            format!("the price {figure} is not above zero"),
            "write its list price, or { call = true } when it must be asked for",
        );
        return None;
    }
    Some(figure)
}

fn table(tree: Tree<'_>, known: &Known<'_>, shared: &Shared<'_>, mistakes: &mut Mistakes) -> Option<Table> {
    let Some(by) = tree.get("by") else {
        tree.complain(
            mistakes,
            "the price names no figure and no table",
            "write price = 84.00, or { by = […], rows = [[…]] }, or { by = […], table = \"file.csv\" }",
        );
        return None;
    };
    let mut attrs = Vec::new();
    for item in by.items() {
        let name = item.scalar(mistakes)?;
        if !known.makes.iter().any(|varying| varying.attr.name() == name) {
            let help = match nearest(&name, known.makes.iter().map(|varying| varying.attr.name())) {
                Some(near) => format!("an attribute with a similar name varies: `{near}`"),
                None => "a price table runs over attributes under `makes`".to_owned(),
            };
            item.complain(mistakes, format!("the line makes no `{name}`"), help);
            return None;
        }
        attrs.push(Attr::new(&name));
    }
    match tree.get("table") {
        Some(file) => {
            let name = file.scalar(mistakes)?;
            let Some(source) = shared.files.get(&name).copied() else {
                let help = match nearest(&name, shared.files.keys().map(String::as_str)) {
                    Some(near) => format!("a file with a similar name exists: {near}"),
                    None => "put the file into the edition's folder".to_owned(),
                };
                file.complain(mistakes, format!("there is no file {name}"), help);
                return None;
            };
            let column = tree.get("column").and_then(|node| node.plain()).unwrap_or_else(|| "price".to_owned());
            let rows = csv_rows(source, &attrs, &column, known.id, mistakes)?;
            if rows.is_empty() {
                file.complain(
                    mistakes,
                    format!("{name} has no row for line `{}`", known.id),
                    "add rows with that id in the column `line`",
                );
                return None;
            }
            compile(&attrs, rows, source, file, known, mistakes)
        }
        None => {
            let Some(rows) = tree.get("rows") else {
                tree.complain(
                    mistakes,
                    "the price table has no rows",
                    "add rows = [[value, …, price], …] or table = \"file.csv\"",
                );
                return None;
            };
            let written = inline_rows(rows, attrs.len(), mistakes);
            compile(&attrs, written, rows.file, rows, known, mistakes)
        }
    }
}
