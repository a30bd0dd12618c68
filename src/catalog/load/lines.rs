//! Reads product lines: the fields of each, checked against one another.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::inches::Inches;

use super::super::good::Adds;
use super::super::line::{Discontinued, KitPart, LengthRule, Line, LineAdder, Rule, Varying};
use super::super::pattern::{Pattern, Piece};
use super::super::source::{Mistakes, nearest};
use super::super::tree::{Node, Tree};
use super::super::value::{Condition, Domain, Test, WITHOUT, parse};
use super::book::{category, words};
use super::fields::{self, Fields, Shared, condition, count, length, money, number};
use super::makes;
use super::prices::{self, Known};

const KEYS: &[&str] = &[
    "id",
    "like",
    "template",
    "maker",
    "category",
    "series",
    "designation",
    "describe",
    "is",
    "makes",
    "gives",
    "rule",
    "price",
    "also",
    "adder",
    "length",
    "pack",
    "minimum",
    "returnable",
    "weight",
    "notes",
    "discontinued",
    "kit",
];

/// All product lines of an edition. Templates are left out: they are only there to be like.
pub(super) fn all(shared: &Shared<'_>, mistakes: &mut Mistakes) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    let mut seen: BTreeMap<String, Tree<'_>> = BTreeMap::new();
    for tree in &shared.lines {
        tree.only(KEYS, mistakes);
        let Some(id) = tree.get("id").and_then(|node| node.scalar(mistakes)) else {
            tree.complain(mistakes, "a line has no id", "add id = \"…\", unique in the catalog");
            continue;
        };
        if let Some(first) = seen.insert(id.clone(), *tree) {
            let (line, _) = first.file.position(first.at());
            tree.complain(
                mistakes,
                format!("the id `{id}` is taken by {}, line {line}", first.file.name),
                "give it another id",
            );
            continue;
        }
        if tree.get("template").is_some_and(|node| node.flag(mistakes)) {
            continue;
        }
        let fields = shared.lineage(*tree, mistakes);
        lines.extend(line(&id, &fields, shared, mistakes));
    }
    lines
}

fn line(id: &str, fields: &Fields<'_>, shared: &Shared<'_>, mistakes: &mut Mistakes) -> Option<Line> {
    let maker = fields.needed("maker", mistakes);
    let kind = fields.needed("category", mistakes);
    let kind = kind.and_then(|name| category(&name, fields.get("category")?, mistakes));
    let is = attributes(&fields.merged("is", mistakes), mistakes);
    let mut adders = Vec::new();
    let makes: Vec<Varying> = fields
        .merged("makes", mistakes)
        .into_iter()
        .filter_map(|(name, node)| makes::read(name, node, shared, &mut adders, mistakes))
        .collect();
    let gives = gives(fields, mistakes);
    let rules = rules(fields, mistakes);
    adders.extend(line_adders(fields, mistakes));
    let length = fields.get("length").and_then(|node| length_rule(node, mistakes));
    let stock = length
        .as_ref()
        .filter(|rule| !rule.stock.is_empty())
        .map(|rule| (rule.attr, rule.stock.iter().map(|stock| Some(Value::Length(*stock))).collect()));
    let known = Known { id, is: &is, makes: &makes, rules: &rules, stock };
    let price = match fields.get("price") {
        Some(node) => prices::read(node, &known, shared, mistakes),
        None => {
            fields.own().complain(mistakes, "`price` is missing", "add price = 84.00, a table, or { call = true }");
            None
        }
    };
    let line = Line {
        id: id.into(),
        maker: maker?.into(),
        category: kind?,
        series: fields.text("series", mistakes).unwrap_or_default().into(),
        designation: pattern(fields, "designation", mistakes)?,
        describe: pattern(fields, "describe", mistakes)?,
        is,
        makes,
        gives,
        rules,
        price: price?,
        adders,
        length,
        pack: fields.get("pack").and_then(|node| count(node, mistakes)),
        minimum: fields.get("minimum").and_then(|node| count(node, mistakes)),
        returnable: fields.get("returnable").is_none_or(|node| node.flag(mistakes)),
        weight: fields.get("weight").and_then(|node| number(node, mistakes)),
        notes: words(fields.get("notes"), mistakes).into_iter().map(|(word, _)| word.into()).collect(),
        discontinued: fields.get("discontinued").and_then(|node| discontinued(node, mistakes)),
        kit: kit(fields, mistakes),
        also: also(fields, mistakes),
        entry: fields.own().entry(),
    };
    agree(&line, fields, mistakes);
    Some(line)
}

fn attributes(entries: &[(&str, Node<'_>)], mistakes: &mut Mistakes) -> Attributes {
    let mut all = Attributes::new();
    for (name, node) in entries {
        let attr = Attr::new(name);
        if node.is_list() {
            let mut list: Vec<Arc<str>> =
                words(Some(*node), mistakes).into_iter().map(|(word, _)| word.into()).collect();
            list.sort();
            all.insert(attr, Value::List(list));
        } else if let Some(text) = node.scalar(mistakes)
            && text != WITHOUT
        {
            all.insert(attr, parse(attr, &text));
        }
    }
    all
}

fn pattern(fields: &Fields<'_>, key: &str, mistakes: &mut Mistakes) -> Option<Pattern> {
    let text = fields.needed(key, mistakes)?;
    match Pattern::parse(&text) {
        Ok(pattern) => Some(pattern),
        Err(_) => {
            fields.get(key)?.complain(mistakes, format!("a brace in `{key}` is not closed"), "write {attribute}");
            None
        }
    }
}

fn gives(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<(Condition, Attributes)> {
    let trees = fields.gathered("gives", mistakes);
    trees
        .into_iter()
        .map(|tree| {
            tree.only(&["when", "is"], mistakes);
            let entries = tree.get("is").and_then(|node| node.tree(mistakes)).map_or(Vec::new(), |tree| tree.entries());
            (condition(tree.get("when"), mistakes), attributes(&entries, mistakes))
        })
        .collect()
}

fn rules(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<Rule> {
    let trees = fields.gathered("rule", mistakes);
    trees
        .into_iter()
        .map(|tree| {
            tree.only(&["when", "needs", "excludes", "because"], mistakes);
            if tree.get("needs").is_none() && tree.get("excludes").is_none() {
                tree.complain(mistakes, "the rule says nothing", "add needs = { … } or excludes = { … }");
            }
            Rule {
                when: condition(tree.get("when"), mistakes),
                needs: condition(tree.get("needs"), mistakes),
                excludes: condition(tree.get("excludes"), mistakes),
                because: tree.get("because").and_then(|node| node.scalar(mistakes)).unwrap_or_default().into(),
            }
        })
        .collect()
}

fn line_adders(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<LineAdder> {
    let trees = fields.gathered("adder", mistakes);
    trees.into_iter().filter_map(|tree| adder(tree, mistakes)).collect()
}

fn adder(tree: Tree<'_>, mistakes: &mut Mistakes) -> Option<LineAdder> {
    tree.only(&["when", "what", "list", "net", "percent", "per_piece"], mistakes);
    let list = tree.get("list").and_then(|node| money(node, mistakes)).map(Adds::List);
    let net = tree.get("net").and_then(|node| money(node, mistakes)).map(Adds::Net);
    let percent = tree.get("percent").and_then(|node| number(node, mistakes)).map(Adds::PercentOfList);
    let Some(adds) = list.or(net).or(percent) else {
        tree.complain(mistakes, "the adder has no amount", "add list = …, net = … or percent = …");
        return None;
    };
    let when = condition(tree.get("when"), mistakes);
    let what = tree.get("what").and_then(|node| node.scalar(mistakes)).unwrap_or_else(|| when.said());
    let per_piece = tree.get("per_piece").is_some_and(|node| node.flag(mistakes));
    Some(LineAdder { what: what.into(), when, adds, per_piece, entry: tree.entry() })
}

fn length_rule(node: Node<'_>, mistakes: &mut Mistakes) -> Option<LengthRule> {
    let tree = node.tree(mistakes)?;
    tree.only(&["attribute", "stock", "round", "longest", "joined", "cut", "within"], mistakes);
    let attr = tree.get("attribute").and_then(|node| node.scalar(mistakes)).unwrap_or_else(|| "length".to_owned());
    let mut stock: Vec<Inches> = tree
        .get("stock")
        .map_or(Vec::new(), |node| node.items().into_iter().filter_map(|item| length(item, mistakes)).collect());
    stock.sort();
    let round = tree.get("round").and_then(|node| length(node, mistakes)).unwrap_or(Inches::whole(12));
    let longest = tree.get("longest").and_then(|node| length(node, mistakes)).or(stock.last().copied());
    let Some(longest) = longest else {
        tree.complain(mistakes, "the longest piece is not stated", "add longest = 120 or a list of stock lengths");
        return None;
    };
    if round <= Inches::ZERO {
        tree.complain(mistakes, "`round` must be above zero", "write 12 to sell whole feet");
        return None;
    }
    if longest <= Inches::ZERO || stock.first().is_some_and(|piece| *piece <= Inches::ZERO) {
        tree.complain(mistakes, "the pieces sold must be longer than nothing", "write their lengths in inches");
        return None;
    }
    let cut = tree.get("cut").and_then(|node| Some((money(node, mistakes)?, node.entry())));
    let joined = tree.get("joined").is_some_and(|node| node.flag(mistakes));
    let within = tree.get("within").is_some_and(|node| node.flag(mistakes));
    if within && stock.is_empty() {
        tree.complain(mistakes, "`within` chooses among stock lengths, and none is stated", "add stock = [52, 72, 96]");
        return None;
    }
    Some(LengthRule { attr: Attr::new(&attr), stock, round, longest, joined, within, cut })
}

fn discontinued(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Discontinued> {
    let tree = node.tree(mistakes)?;
    tree.only(&["from", "successor"], mistakes);
    let Some(day) = tree.get("from") else {
        node.complain(mistakes, "it is not said from when the line is discontinued", "add from = \"2026-09-01\"");
        return None;
    };
    let from = fields::day(day, "from", mistakes)?;
    let successor = tree.get("successor").and_then(|node| node.scalar(mistakes)).map(Arc::from);
    Some(Discontinued { from: from.into(), successor })
}

/// Other words for values: `[line.also.trim]` with `rose = "lever-rose"`.
fn also(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<(Attr, Arc<str>, Value)> {
    let mut all = Vec::new();
    for (name, node) in fields.merged("also", mistakes) {
        let attr = Attr::new(name);
        for (word, value) in node.tree(mistakes).map_or(Vec::new(), |tree| tree.entries()) {
            all.extend(value.scalar(mistakes).map(|value| (attr, Arc::from(word), parse(attr, &value))));
        }
    }
    all
}

fn kit(fields: &Fields<'_>, mistakes: &mut Mistakes) -> Vec<KitPart> {
    let trees = fields.gathered("kit", mistakes);
    let mut parts = Vec::new();
    for tree in trees {
        tree.only(&["line", "count", "with"], mistakes);
        let entries = tree.get("with").and_then(|node| node.tree(mistakes)).map_or(Vec::new(), |tree| tree.entries());
        let Some(line) = tree.get("line").and_then(|node| node.scalar(mistakes)) else {
            tree.complain(mistakes, "a part of the kit names no line", "add line = \"…\"");
            continue;
        };
        let count = tree.get("count").and_then(|node| count(node, mistakes)).unwrap_or(1);
        parts.push(KitPart { line: line.into(), count, with: attributes(&entries, mistakes) });
    }
    parts
}

/// Whether the attributes that a line's parts speak of are attributes of the line, and can take the values named.
fn agree(line: &Line, fields: &Fields<'_>, mistakes: &mut Mistakes) {
    let mut known: Vec<Attr> = line.is.keys().copied().chain(line.makes.iter().map(|varying| varying.attr)).collect();
    known.extend(line.gives.iter().flat_map(|(_, attributes)| attributes.keys().copied()));
    known.extend(["base", "look"].map(Attr::new));
    let place = |key: &str| fields.get(key);
    for (key, pattern) in [("designation", &line.designation), ("describe", &line.describe)] {
        for attr in pattern.slots() {
            let varies = line.makes.iter().any(|varying| varying.attr == attr);
            if !known.contains(&attr) || (key == "designation" && !varies) {
                let names: Vec<&str> = known.iter().map(|attr| attr.name()).collect();
                let help = match nearest(attr.name(), names) {
                    Some(near) if near != attr.name() => format!("the line has an attribute `{near}`"),
                    _ => "name an attribute under `makes`".to_owned(),
                };
                if let Some(node) = place(key) {
                    node.complain(mistakes, format!("`{key}` names `{attr}`, which the line does not make"), help);
                }
            }
        }
    }
    if line.designation.0.iter().all(|piece| matches!(piece, Piece::Slot(_)))
        && let Some(node) = place("designation")
    {
        node.complain(mistakes, "the designation has no letters of its own", "begin it with the letters of the series");
    }
    conditions(line, &known, fields, mistakes);
}

fn conditions(line: &Line, known: &[Attr], fields: &Fields<'_>, mistakes: &mut Mistakes) {
    let adders: Vec<Vec<&Condition>> = line.adders.iter().map(|adder| vec![&adder.when]).collect();
    let rules = line.rules.iter().map(|rule| vec![&rule.when, &rule.needs, &rule.excludes]).collect();
    let gives = line.gives.iter().map(|(when, _)| vec![when]).collect();
    for (key, all) in [("adder", adders), ("rule", rules), ("gives", gives)] {
        // Conditions taken over from the line it is like may speak of values that only that one makes.
        let Some(node) = fields.own().get(key) else { continue };
        let places = node.items();
        let inherited = all.len().saturating_sub(places.len());
        for (place, conditions) in places.iter().zip(&all[inherited..]) {
            for (attr, test) in conditions.iter().flat_map(|condition| &condition.0) {
                condition_fits(line, known, key, (*attr, test), *place, mistakes);
            }
        }
    }
}

fn condition_fits(
    line: &Line,
    known: &[Attr],
    key: &str,
    (attr, test): (Attr, &Test),
    place: Node<'_>,
    mistakes: &mut Mistakes,
) {
    if !known.contains(&attr) {
        let help = match nearest(attr.name(), known.iter().map(|attr| attr.name())) {
            Some(near) => format!("the line has an attribute `{near}`"),
            None => "a condition speaks of attributes of its own line".to_owned(),
        };
        place.complain(mistakes, format!("`{key}` speaks of `{attr}`, which the line does not have"), help);
    } else if let Some(value) = impossible(line, attr, test) {
        let made = line.makes.iter().find(|varying| varying.attr == attr);
        let all = made.map_or(String::new(), |varying| varying.domain.words());
        let options: Vec<String> = made.map_or(Vec::new(), |varying| {
            varying.options().iter().flatten().map(|value| super::super::value::shown(Some(value))).collect()
        });
        let near = nearest(&value, options.iter().map(String::as_str));
        let near = near.map_or(String::new(), |near| format!("; the nearest is {near}"));
        let says = format!("`{key}` speaks of {attr} {value}, which nothing uses");
        place.complain(mistakes, says, format!("the line makes {all}{near}"));
    }
}

/// A value of a test that the line never takes.
fn impossible(line: &Line, attr: Attr, test: &Test) -> Option<String> {
    let varying = line.makes.iter().find(|varying| varying.attr == attr)?;
    let values = match (test, &varying.domain) {
        (Test::OneOf(values), _) => values,
        // A size break beyond every size that is made.
        (Test::Within(over, to), Domain::Range(least, most, _)) => {
            let beyond = over.is_some_and(|over| over >= *most) || to.is_some_and(|to| to < *least);
            return beyond.then(|| test.words());
        }
        (_, Domain::OneOf(made)) if !made.iter().any(|value| test.passes(value.as_ref())) => {
            return Some(test.words());
        }
        _ => return None,
    };
    let takes = |value: &Option<Value>| match (&varying.domain, value) {
        (Domain::OneOf(made), value) => made.contains(value),
        (Domain::AnyOf(words), Some(Value::Text(word))) => words.contains(word),
        (domain, Some(value)) => domain.meet(value).is_ok(),
        (_, None) => true,
    };
    values.iter().find(|value| !takes(value)).map(|value| super::super::value::shown(value.as_ref()))
}
