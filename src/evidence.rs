//! Why a value is believed: the words it came from and the entry of the data, or the rule, that read them.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

/// The words that gave a value, as a byte range of the line's text, and who read them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evidence {
    /// Byte range in the text of the line.
    pub span: Range<usize>,
    /// What read the words.
    pub by: By,
}

/// Who read the words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum By {
    /// An entry of a data file, which a user may edit.
    Entry {
        /// File below `catalogs/`, such as `trade/words/hinge.txt`.
        file: Arc<str>,
        /// Line in it, counted from 1.
        line: u32,
        /// What the entry means, such as `heavy weight`.
        entry: Arc<str>,
    },
    /// A grammar of the program: fractions, sizes, quantities.
    Grammar(&'static str),
    /// What stands around the words: the section heading, the column heading, the other lines of the set.
    Context(Arc<str>),
    /// The designation pattern of a product line of the catalog.
    Designation(Arc<str>),
}

/// What an entry of the word lists means, for a reader: without the goods that it holds for, which stand in the file named
/// beside it, and without the signs of the lists.
fn meaning(file: &str, entry: &str) -> String {
    if file.ends_with("ambiguous.txt") && !entry.contains('=') {
        return format!("{entry} has several meanings");
    }
    let mut parts: Vec<String> = Vec::new();
    for part in entry.split('[').filter(|part| !part.trim().is_empty()) {
        let said = part.split_once(']').map_or(part, |(_, said)| said).trim();
        let label = ["after=", "before=", "dimension="].iter().find_map(|sign| said.strip_prefix(sign));
        let said = match label {
            Some(attribute) => format!("a label of {attribute}"),
            None if said.contains("~=") => format!("{}, where nothing else is said", said.replace("~=", "=")),
            None => said.replace('?', " or "),
        };
        if !parts.contains(&said) {
            parts.push(said);
        }
    }
    parts.join(" / ")
}

impl fmt::Display for By {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            By::Entry { file, line, entry } if file.ends_with(".csv") => write!(f, "table: {entry} ({file}:{line})"),
            By::Entry { file, line, entry } => write!(f, "words: {} ({file}:{line})", meaning(file, entry)),
            By::Grammar(name) => write!(f, "grammar: {name}"),
            By::Context(why) => write!(f, "context: {why}"),
            By::Designation(line) => write!(f, "designation: {line}"),
        }
    }
}
