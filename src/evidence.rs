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

/// What an entry means, without the goods that it holds for: they stand in the file that is named beside it.
fn meaning(entry: &str) -> &str {
    match entry.strip_prefix('[').and_then(|entry| entry.split_once(']')) {
        Some((_, meaning)) if !meaning.contains('[') => meaning.trim().trim_start_matches("word=").trim(),
        _ => entry,
    }
}

impl fmt::Display for By {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            By::Entry { file, line, entry } if file.ends_with(".csv") => write!(f, "table: {entry} ({file}:{line})"),
            By::Entry { file, line, entry } => write!(f, "words: {} ({file}:{line})", meaning(entry)),
            By::Grammar(name) => write!(f, "grammar: {name}"),
            By::Context(why) => write!(f, "context: {why}"),
            By::Designation(line) => write!(f, "designation: {line}"),
        }
    }
}
