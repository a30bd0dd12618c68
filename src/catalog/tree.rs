//! Reads TOML as a tree in which every key and value knows its place, so that all mistakes of a file are told at once.
//! The only file of the catalog that knows the TOML library.

use toml::de::{DeTable, DeValue};

use super::good::Entry;
use super::source::{Mistakes, SourceFile, nearest};

/// A table and the file it stands in.
#[derive(Clone, Copy)]
pub(super) struct Tree<'a> {
    /// The file.
    pub(super) file: &'a SourceFile,
    table: &'a DeTable<'a>,
    at: usize,
}

/// A value and the file it stands in.
#[derive(Clone, Copy)]
pub(super) struct Node<'a> {
    /// The file.
    pub(super) file: &'a SourceFile,
    value: &'a DeValue<'a>,
    at: usize,
}

/// A parsed file; borrowed by its `Tree`.
pub(super) struct Parsed<'a> {
    file: &'a SourceFile,
    table: DeTable<'a>,
}

/// Parses a file, noting every syntax mistake.
pub(super) fn parse<'a>(file: &'a SourceFile, mistakes: &mut Mistakes) -> Parsed<'a> {
    let (table, errors) = DeTable::parse_recoverable(&file.text);
    for error in errors {
        let at = error.span().map_or(0, |span| span.start);
        mistakes.add(file, at, error.message().trim(), "this is not well-formed TOML here; see the marked place");
    }
    Parsed { file, table: table.into_inner() }
}

impl Parsed<'_> {
    /// The whole file as a table.
    pub(super) fn tree(&self) -> Tree<'_> {
        Tree { file: self.file, table: &self.table, at: 0 }
    }
}

impl<'a> Tree<'a> {
    /// The value of a key.
    pub(super) fn get(&self, key: &str) -> Option<Node<'a>> {
        self.table.get(key).map(|value| Node { file: self.file, value: value.get_ref(), at: value.span().start })
    }

    /// All keys with their values, in the order of the file.
    pub(super) fn entries(&self) -> Vec<(&'a str, Node<'a>)> {
        let mut all: Vec<(usize, &'a str, Node<'a>)> = self
            .table
            .iter()
            .map(|(key, value)| {
                let node = Node { file: self.file, value: value.get_ref(), at: value.span().start };
                (key.span().start, key.get_ref().as_ref(), node)
            })
            .collect();
        all.sort_by_key(|(at, ..)| *at);
        all.into_iter().map(|(_, key, node)| (key, node)).collect()
    }

    /// Notes every key that is not known, with the nearest that is.
    pub(super) fn only(&self, known: &[&str], mistakes: &mut Mistakes) {
        for key in self.table.keys() {
            let name: &str = key.get_ref();
            if !known.contains(&name) {
                let help = match nearest(name, known.iter().copied()) {
                    Some(near) => format!("a key with a similar name exists: `{near}`"),
                    None => format!("the keys here are: {}", known.join(", ")),
                };
                mistakes.add(self.file, key.span().start, format!("unknown key `{name}`"), help);
            }
        }
    }

    /// Where the table begins.
    pub(super) fn at(&self) -> usize {
        self.at
    }

    /// Its entry, for the working of a price.
    pub(super) fn entry(&self) -> Entry {
        self.file.entry(self.at)
    }

    /// Notes a mistake about the table as a whole.
    pub(super) fn complain(&self, mistakes: &mut Mistakes, says: impl Into<String>, help: impl Into<String>) {
        mistakes.add(self.file, self.at, says, help);
    }
}

impl<'a> Node<'a> {
    /// Its place.
    pub(super) fn at(&self) -> usize {
        self.at
    }

    /// Its entry, for the working of a price.
    pub(super) fn entry(&self) -> Entry {
        self.file.entry(self.at)
    }

    /// Notes a mistake about it.
    pub(super) fn complain(&self, mistakes: &mut Mistakes, says: impl Into<String>, help: impl Into<String>) {
        mistakes.add(self.file, self.at, says, help);
    }

    /// A text, number or yes/no as it is written.
    pub(super) fn plain(&self) -> Option<String> {
        match self.value {
            DeValue::String(text) => Some(text.to_string()),
            DeValue::Integer(number) => Some(number.as_str().replace('_', "")),
            DeValue::Float(number) => Some(number.as_str().replace('_', "")),
            DeValue::Boolean(flag) => Some(flag.to_string()),
            DeValue::Datetime(date) => Some(date.to_string()),
            DeValue::Array(_) | DeValue::Table(_) => None,
        }
    }

    /// As `plain`; anything else is a mistake.
    pub(super) fn scalar(&self, mistakes: &mut Mistakes) -> Option<String> {
        let plain = self.plain();
        if plain.is_none() {
            self.complain(mistakes, "a single value is wanted here", "write a text in quotes, a number, true or false");
        }
        plain
    }

    /// Yes or no; anything else is a mistake.
    pub(super) fn flag(&self, mistakes: &mut Mistakes) -> bool {
        self.value.as_bool().unwrap_or_else(|| {
            self.complain(mistakes, "true or false is wanted here", "write true or false without quotes");
            false
        })
    }

    /// Whether it is a table.
    pub(super) fn is_table(&self) -> bool {
        self.value.is_table()
    }

    /// Whether it is a list.
    pub(super) fn is_list(&self) -> bool {
        self.value.is_array()
    }

    /// The table; anything else is a mistake.
    pub(super) fn tree(&self, mistakes: &mut Mistakes) -> Option<Tree<'a>> {
        let table = self.value.as_table();
        if table.is_none() {
            self.complain(mistakes, "a table is wanted here", "write { key = value, … } or a [heading]");
        }
        table.map(|table| Tree { file: self.file, table, at: self.at })
    }

    /// The items of a list; a single value counts as a list of one.
    pub(super) fn items(&self) -> Vec<Node<'a>> {
        match self.value {
            DeValue::Array(items) => items
                .iter()
                .map(|item| Node { file: self.file, value: item.get_ref(), at: item.span().start })
                .collect(),
            _ => vec![*self],
        }
    }

    /// The tables of an array of tables.
    pub(super) fn trees(&self, mistakes: &mut Mistakes) -> Vec<Tree<'a>> {
        self.items().into_iter().filter_map(|item| item.tree(mistakes)).collect()
    }
}
