//! The files of a catalog as text, and the mistakes found in them: file, line, column, the source line, what to do.

use std::fmt;
use std::sync::{Arc, OnceLock};

use super::good::Entry;
pub(super) use crate::trade::spelling::nearest;

/// One file of a catalog.
#[derive(Debug, Clone)]
pub(super) struct SourceFile {
    /// Path below the catalog folder, with `/`.
    pub(super) name: Arc<str>,
    /// Its text.
    pub(super) text: Arc<str>,
    /// Where its lines begin, found when first asked for: every row of a catalog asks for its line.
    starts: OnceLock<Arc<[usize]>>,
}

impl SourceFile {
    pub(super) fn new(name: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> SourceFile {
        SourceFile { name: name.into(), text: text.into(), starts: OnceLock::new() }
    }

    fn starts(&self) -> &[usize] {
        self.starts.get_or_init(|| {
            let ends = self.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
            std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect()
        })
    }

    /// Line and column, from 1, of a byte.
    pub(super) fn position(&self, at: usize) -> (u32, u32) {
        let at = at.min(self.text.len());
        let (line, start) = self.line(at);
        let column = String::from_utf8_lossy(&self.text.as_bytes()[start..at]).chars().count();
        (number(line), number(column + 1))
    }

    /// The line, from 1, in which a byte stands, and where it begins.
    fn line(&self, at: usize) -> (usize, usize) {
        let starts = self.starts();
        let line = starts.partition_point(|start| *start <= at);
        (line, line.checked_sub(1).and_then(|index| starts.get(index)).copied().unwrap_or(0))
    }

    /// The entry that begins at a byte.
    pub(super) fn entry(&self, at: usize) -> Entry {
        Entry { file: self.name.clone(), line: number(self.line(at).0) }
    }

    /// The text of the line in which a byte stands.
    pub(super) fn line_at(&self, at: usize) -> &str {
        let bytes = self.text.as_bytes();
        let at = at.min(bytes.len());
        let (_, start) = self.line(at);
        let end = bytes[at..].iter().position(|byte| *byte == b'\n').map_or(bytes.len(), |end| at + end);
        self.text.get(start..end).unwrap_or_default().trim_end_matches('\r')
    }
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// One mistake in a catalog.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mistake {
    /// File below the catalog folder.
    pub file: Arc<str>,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
    /// The line as written.
    pub source: String,
    /// What is wrong.
    pub says: String,
    /// What to do.
    pub help: String,
}

impl fmt::Display for Mistake {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}, line {}, column {}: {}", self.file, self.line, self.column, self.says)?;
        if !self.source.is_empty() {
            let shown: String = self.source.replace('\t', " ").chars().take(160).collect();
            writeln!(f, "    {}", shown.trim_end())?;
            writeln!(f, "    {}^", " ".repeat(self.column.saturating_sub(1).min(160) as usize))?;
        }
        writeln!(f, "  help: {}", self.help)
    }
}

/// Mistakes gathered while loading; all are shown at once.
#[derive(Debug, Default)]
pub(super) struct Mistakes(Vec<Mistake>);

impl Mistakes {
    /// Adds one at a byte of a file.
    pub(super) fn add(&mut self, file: &SourceFile, at: usize, says: impl Into<String>, help: impl Into<String>) {
        let (line, column) = file.position(at);
        self.0.push(Mistake {
            file: file.name.clone(),
            line,
            column,
            source: file.line_at(at).to_owned(),
            says: says.into(),
            help: help.into(),
        });
    }

    /// Whether there are none.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// All, in order of place.
    pub(super) fn into_sorted(mut self) -> Vec<Mistake> {
        self.0.sort();
        self.0.dedup();
        self.0
    }
}

/// The report of a broken catalog.
pub(super) fn report(catalog: &str, mistakes: &[Mistake]) -> String {
    report_of(&format!("catalog {catalog}"), mistakes)
}

/// The report of any broken file of the user's.
pub(super) fn report_of(what: &str, mistakes: &[Mistake]) -> String {
    const SHOWN: usize = 60;
    let count = match mistakes.len() {
        1 => "1 mistake".to_owned(),
        many => format!("{many} mistakes"),
    };
    let mut text = format!("{what} has {count}; nothing is priced from it until they are put right\n\n");
    for mistake in mistakes.iter().take(SHOWN) {
        text.push_str(&mistake.to_string());
        text.push('\n');
    }
    if mistakes.len() > SHOWN {
        text.push_str(&format!("and {} more\n", mistakes.len() - SHOWN));
    }
    text.trim_end().to_owned()
}

/// `3 and 4`, `3, 4 and 5`: a list as a person writes it.
pub(super) fn listed<T: fmt::Display>(items: impl IntoIterator<Item = T>) -> String {
    const MOST: usize = 14;
    let mut items: Vec<String> = items.into_iter().map(|item| item.to_string()).collect();
    if items.len() > MOST {
        let more = items.len() - (MOST - 1);
        items.truncate(MOST - 1);
        items.push(format!("{more} more"));
    }
    match items.split_last() {
        None => "nothing".to_owned(),
        Some((only, [])) => only.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_lines_and_characters_from_one() {
        let file = SourceFile::new("a.toml", "x = 1\né = 2\n");
        assert_eq!(file.position(0), (1, 1));
        assert_eq!(file.position(9), (2, 3), "é has two bytes and is one column");
        assert_eq!((file.line_at(6), file.line_at(10)), ("é = 2", "é = 2"));
    }
}
