//! What the files of an edition share: product lines by id, for `like`, named choices, price tables; and the fields of a
//! product line, its own first and then those of the line it is like.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::money::Money;
use crate::trade::attribute::Attr;
use crate::trade::inches::Inches;

use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::tree::{Node, Tree};
use super::super::value::{Condition, Test, WITHOUT, is_misfit, parse};

/// What all files of an edition share.
pub(super) struct Shared<'a> {
    /// Product lines in the order of files.
    pub(super) lines: Vec<Tree<'a>>,
    by_id: BTreeMap<String, Tree<'a>>,
    choices: BTreeMap<&'a str, Node<'a>>,
    /// Files of the edition by name.
    pub(super) files: &'a BTreeMap<String, &'a SourceFile>,
}

impl<'a> Shared<'a> {
    /// Gathers them.
    pub(super) fn gather(
        trees: &[Tree<'a>],
        files: &'a BTreeMap<String, &'a SourceFile>,
        mistakes: &mut Mistakes,
    ) -> Self {
        let mut shared = Shared { lines: Vec::new(), by_id: BTreeMap::new(), choices: BTreeMap::new(), files };
        for tree in trees {
            tree.only(&["line", "choice", "discount", "surcharge", "list"], mistakes);
            for line in tree.get("line").map_or(Vec::new(), |node| node.trees(mistakes)) {
                if let Some(id) = line.get("id").and_then(|node| node.plain()) {
                    shared.by_id.entry(id).or_insert(line);
                }
                shared.lines.push(line);
            }
            for (name, node) in
                tree.get("choice").and_then(|node| node.tree(mistakes)).map_or(Vec::new(), |t| t.entries())
            {
                if shared.choices.insert(name, node).is_some() {
                    node.complain(
                        mistakes,
                        format!("choice `{name}` is declared twice"),
                        "give one of them another name",
                    );
                }
            }
        }
        shared
    }

    /// A named choice; an unknown one is a mistake.
    pub(super) fn choice(&self, name: &str, node: Node<'_>, mistakes: &mut Mistakes) -> Option<Node<'a>> {
        let found = self.choices.get(name).copied();
        if found.is_none() {
            let help = match nearest(name, self.choices.keys().copied()) {
                Some(near) => format!("a choice with a similar name exists: `{near}`"),
                None => "declare it under [choice.NAME], or write the values here in a list".to_owned(),
            };
            node.complain(mistakes, format!("there is no choice named `{name}`"), help);
        }
        found
    }

    /// A line and those it is like, itself first.
    pub(super) fn lineage(&self, line: Tree<'a>, mistakes: &mut Mistakes) -> Fields<'a> {
        let mut trees = vec![line];
        let mut last = line;
        while let Some(node) = last.get("like") {
            let Some(id) = node.scalar(mistakes) else { break };
            let Some(parent) = self.by_id.get(&id).copied() else {
                let help = match nearest(&id, self.by_id.keys().map(String::as_str)) {
                    Some(near) => format!("a line with a similar id exists: `{near}`"),
                    None => "name the id of another line of this edition".to_owned(),
                };
                node.complain(mistakes, format!("there is no line `{id}` to be like"), help);
                break;
            };
            if trees.len() > 8 {
                node.complain(mistakes, "lines are like each other in a circle", "take one `like` out");
                break;
            }
            trees.push(parent);
            last = parent;
        }
        Fields { trees }
    }
}

/// The fields of a product line.
pub(super) struct Fields<'a> {
    /// The line itself, then those it is like.
    pub(super) trees: Vec<Tree<'a>>,
}

impl<'a> Fields<'a> {
    /// The line itself.
    pub(super) fn own(&self) -> Tree<'a> {
        self.trees[0]
    }

    /// A field, from the line or those it is like.
    pub(super) fn get(&self, key: &str) -> Option<Node<'a>> {
        self.trees.iter().find_map(|tree| tree.get(key))
    }

    /// A text field.
    pub(super) fn text(&self, key: &str, mistakes: &mut Mistakes) -> Option<String> {
        self.get(key).and_then(|node| node.scalar(mistakes))
    }

    /// A text field that must be there.
    pub(super) fn needed(&self, key: &str, mistakes: &mut Mistakes) -> Option<String> {
        if self.get(key).is_none() {
            self.own().complain(mistakes, format!("`{key}` is missing"), format!("add {key} = \"…\" to this line"));
        }
        self.text(key, mistakes)
    }

    /// Entries of a table field, the line's own in place of those it is like, in the order of the files, oldest first.
    pub(super) fn merged(&self, key: &str, mistakes: &mut Mistakes) -> Vec<(&'a str, Node<'a>)> {
        let mut all: Vec<(&'a str, Node<'a>)> = Vec::new();
        for tree in self.trees.iter().rev() {
            for (name, node) in tree.get(key).and_then(|node| node.tree(mistakes)).map_or(Vec::new(), |t| t.entries()) {
                match all.iter_mut().find(|(other, _)| *other == name) {
                    Some(slot) => slot.1 = node,
                    None => all.push((name, node)),
                }
            }
        }
        all
    }

    /// Tables of a list field, those of the line it is like first.
    pub(super) fn gathered(&self, key: &str, mistakes: &mut Mistakes) -> Vec<Tree<'a>> {
        let nodes: Vec<Node<'a>> = self.trees.iter().rev().filter_map(|tree| tree.get(key)).collect();
        nodes.into_iter().flat_map(|node| node.trees(mistakes)).collect()
    }
}

/// An amount of money as written: `12.5`, `"1250.00"`.
pub(super) fn money(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Money> {
    number(node, mistakes).map(Money::new)
}

/// No figure of a catalog is larger: products of a few of them stay within the decimal type.
pub(super) const LARGEST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// A day, in the one way of writing by which days can be compared as text: `2026-03-01`.
pub(super) fn day(node: Node<'_>, name: &str, mistakes: &mut Mistakes) -> Option<String> {
    let text = node.scalar(mistakes)?;
    let day = text.parse::<jiff::civil::Date>().ok().map(|day| day.to_string());
    if day.is_none() {
        node.complain(mistakes, format!("`{name}` \"{text}\" is not a date"), "write it as \"2026-03-01\"");
    }
    day
}

/// An exact number.
pub(super) fn number(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Decimal> {
    let text = node.scalar(mistakes)?;
    let number = Decimal::from_str_exact(text.trim().trim_end_matches('%')).ok();
    if number.is_some_and(|number| number.abs() > LARGEST) {
        node.complain(mistakes, format!("{text} is too large"), format!("a figure of a catalog is at most {LARGEST}"));
        return None;
    }
    if number.is_none() {
        node.complain(
            mistakes,
            format!("\"{text}\" is not a number"),
            "write a plain number such as 12.50, without signs or grouping",
        );
    }
    number
}

/// A length in inches.
pub(super) fn length(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Inches> {
    number(node, mistakes).map(Inches::new)
}

/// A whole number.
pub(super) fn count(node: Node<'_>, mistakes: &mut Mistakes) -> Option<u32> {
    let text = node.scalar(mistakes)?;
    let count = text.parse::<u32>().ok().filter(|count| *count > 0);
    if count.is_none() {
        node.complain(mistakes, format!("\"{text}\" is not a whole number above zero"), "write a number such as 12");
    }
    count
}

/// A condition table: `{ conductors = "*", height = [3.5, 4], width = "..36", tip = "-" }`.
pub(super) fn condition(node: Option<Node<'_>>, mistakes: &mut Mistakes) -> Condition {
    let Some(tree) = node.and_then(|node| node.tree(mistakes)) else { return Condition::default() };
    let tests = tree.entries().into_iter().filter_map(|(name, node)| {
        let attr = Attr::new(name);
        let mut options = Vec::new();
        for item in node.items() {
            for word in item.scalar(mistakes)?.split('|') {
                match test(attr, word.trim(), item, mistakes)? {
                    Test::OneOf(more) => options.extend(more),
                    whole => return Some((attr, whole)),
                }
            }
        }
        Some((attr, Test::OneOf(options)))
    });
    Condition(tests.collect())
}

/// One test: `*` present, `-` without, `..36` a size break, else a value.
pub(super) fn test(attr: Attr, word: &str, node: Node<'_>, mistakes: &mut Mistakes) -> Option<Test> {
    if word == "*" {
        return Some(Test::Present);
    }
    if let Some((over, to)) = word.split_once("..") {
        let read = |text: &str| if text.trim().is_empty() { Ok(None) } else { text.parse::<Inches>().map(Some) };
        return match (read(over), read(to)) {
            (Ok(over), Ok(to)) => Some(Test::Within(over, to)),
            _ => {
                node.complain(
                    mistakes,
                    format!("\"{word}\" is not a size break"),
                    "write `24..36` (over 24, up to 36), `..24` or `36..`",
                );
                None
            }
        };
    }
    if is_misfit(attr, word) {
        node.complain(
            mistakes,
            format!("\"{word}\" is no value of {attr}"),
            "write a plain number, in inches where it is a length",
        );
        return None;
    }
    Some(Test::OneOf(vec![(word != WITHOUT).then(|| parse(attr, word))]))
}
