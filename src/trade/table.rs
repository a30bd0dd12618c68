//! Reads the embedded tables of `catalogs/trade/`: comma-separated, `#` comments, first row the column names, fields
//! with commas in double quotes. Each row keeps its line, so that evidence can name it.

use std::collections::HashMap;
use std::sync::{OnceLock, PoisonError, RwLock};

/// A row of an embedded table.
#[derive(Debug, Clone)]
pub struct Row {
    /// Line in the file, from 1.
    pub line: u32,
    fields: Vec<&'static str>,
}

impl Row {
    /// The field of a column counted from 0; empty when the row is short.
    pub fn get(&self, column: usize) -> &'static str {
        self.fields.get(column).copied().unwrap_or("")
    }
}

/// Tables by where their text stands and how long it is.
type Kept = HashMap<(usize, usize), &'static [Row]>;

/// The rows of a table, without comments and the heading. A table is read once and kept; it is told by where its text
/// stands.
pub fn rows(text: &'static str) -> &'static [Row] {
    static KEPT: OnceLock<RwLock<Kept>> = OnceLock::new();
    let kept = KEPT.get_or_init(RwLock::default);
    let place = (text.as_ptr() as usize, text.len());
    if let Some(rows) = kept.read().unwrap_or_else(PoisonError::into_inner).get(&place) {
        return rows;
    }
    let rows: &'static [Row] = Box::leak(read(text).into_boxed_slice());
    kept.write().unwrap_or_else(PoisonError::into_inner).entry(place).or_insert(rows)
}

fn read(text: &'static str) -> Vec<Row> {
    let mut heading_seen = false;
    let mut rows = Vec::new();
    for (number, line) in (1u32..).zip(text.lines()) {
        if line.trim().is_empty() || line.starts_with('#') {
            continue;
        }
        if !heading_seen {
            heading_seen = true;
            continue;
        }
        rows.push(Row { line: number, fields: fields(line) });
    }
    rows
}

/// Splits one line. Quotes surround a field that holds commas; a quote inside a field does not occur in our tables.
fn fields(line: &'static str) -> Vec<&'static str> {
    let mut fields = Vec::new();
    let mut rest = line;
    loop {
        if let Some(quoted) = rest.strip_prefix('"') {
            let end = quoted.find('"').unwrap_or(quoted.len());
            fields.push(quoted[..end].trim());
            let after = quoted.get(end + 1..).unwrap_or("");
            match after.strip_prefix(',') {
                Some(next) => rest = next,
                None => return fields,
            }
        } else {
            match rest.split_once(',') {
                Some((field, next)) => {
                    fields.push(field.trim());
                    rest = next;
                }
                None => {
                    fields.push(rest.trim());
                    return fields;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::rows;

    #[test]
    fn quoted_fields_and_lines_are_kept() {
        let table = rows("# note\na,b,c\n1,\"x, y\",3\n\n4,5\n");
        assert_eq!(table.len(), 2);
        assert_eq!((table[0].line, table[0].get(1), table[0].get(2)), (3, "x, y", "3"));
        assert_eq!((table[1].line, table[1].get(0), table[1].get(2)), (5, "4", ""));
    }
}
