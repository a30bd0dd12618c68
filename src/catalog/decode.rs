//! Reads designations: which product line a number is of, and what it says; and which line it nearly is.

use std::sync::Arc;

use crate::trade::attribute::{Attr, Attributes};
use crate::trade::category::Category;

use super::book::Book;
use super::good::Entry;
use super::list;
use super::make::{called, finished};

/// A designation read against one product line.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded {
    /// Id of the product line.
    pub line: Arc<str>,
    /// Its maker.
    pub maker: Arc<str>,
    /// Its category.
    pub category: Category,
    /// What the designation says, with what the line always is. Empty for a near miss.
    pub attributes: Attributes,
    /// Attributes that the designation left out, because it ended before them.
    pub unsaid: Vec<Attr>,
    /// Bytes of the text that were read.
    pub read: usize,
    /// Where the product line stands in the catalog's files.
    pub entry: Entry,
    /// For a near miss, where it stops fitting: ``position 3 `7`: this line makes `5` and `6` ``.
    pub miss: Option<String>,
}

/// The goods of flat lists that have this number.
pub(super) fn of_lists(book: &Book, text: &str) -> Vec<Decoded> {
    let mut found = Vec::new();
    for list in &book.lists {
        for row in list::of_number(list, text).filter_map(|row| list.rows.get(row as usize)) {
            let Some(family) = list.families.get(row.family as usize) else { continue };
            found.push(Decoded {
                line: family.id.clone(),
                maker: family.maker.clone(),
                category: family.category,
                attributes: list.attributes(row),
                unsaid: Vec::new(),
                read: text.len(),
                entry: list.entry(row),
                miss: None,
            });
        }
    }
    found
}

/// What a cross reference names as our own: a designation, or the number of a list before which its maker may stand. The
/// number without the maker, and what it is.
pub(super) fn ours<'t>(book: &Book, text: &'t str) -> Option<(&'t str, Decoded)> {
    let mut whole =
        of_lists(book, text).into_iter().chain(decode(book, text, true)).filter(|found| found.miss.is_none());
    if let Some(found) = whole.next() {
        return Some((text, found));
    }
    let behind = |maker: &str| {
        let (name, rest) = text.split_at_checked(maker.len())?;
        (name.eq_ignore_ascii_case(maker) && rest.starts_with(' ')).then(|| rest.trim())
    };
    let mut families = book.lists.iter().flat_map(|list| &list.families);
    families.find_map(|family| {
        let number = behind(&family.maker)?;
        let found = of_lists(book, number).into_iter().find(|found| *found.maker == *family.maker)?;
        Some((number, found))
    })
}

/// All lines that the text may be a designation of; near misses only when there is none.
pub(super) fn decode(book: &Book, text: &str, whole: bool) -> Vec<Decoded> {
    let first = text.chars().find(char::is_ascii_alphanumeric).map(|letter| letter.to_ascii_uppercase());
    let Some(first) = first else { return Vec::new() };
    let mut found = Vec::new();
    let mut near = Vec::new();
    for line in &book.lines {
        if line.designation.head().chars().next().is_some_and(|letter| letter != first) {
            continue;
        }
        let decoded = |attributes: Attributes, unsaid: Vec<Attr>, read: usize, miss: Option<String>| Decoded {
            line: line.id.clone(),
            maker: line.maker.clone(),
            category: line.category,
            attributes,
            unsaid,
            read,
            entry: line.entry.clone(),
            miss,
        };
        match line.designation.read(&line.makes, text, whole) {
            Ok(readings) => {
                for reading in readings {
                    let mut attributes = line.is.clone();
                    attributes.extend(reading.attributes);
                    found.push(decoded(finished(line, &attributes), reading.unsaid, reading.read, None));
                }
            }
            Err(Some(says)) if whole => {
                near.push(decoded(Attributes::new(), Vec::new(), 0, Some(format!("{}, {says}", called(line)))))
            }
            Err(_) => {}
        }
    }
    found.sort_by_key(|decoded| (usize::MAX - decoded.read, decoded.unsaid.len(), decoded.line.clone()));
    if found.is_empty() { near } else { found }
}
