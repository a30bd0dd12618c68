//! Where something was found: file, sheet, row, column. Carried from the first cell read to the last figure written.

use std::fmt;
use std::sync::Arc;

/// A place in an input file. Rows count from 1, as the spreadsheet program shows them.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// File name as the user gave it, without folders.
    pub file: Arc<str>,
    /// Sheet name; empty for text files, which have no sheets.
    pub sheet: Arc<str>,
    /// Row, counted from 1.
    pub row: u32,
    /// Column letter, where one cell is meant.
    pub column: Option<Arc<str>>,
}

impl Place {
    /// A whole row.
    pub fn row(file: &Arc<str>, sheet: &Arc<str>, row: u32) -> Self {
        Self { file: file.clone(), sheet: sheet.clone(), row, column: None }
    }

    /// Whether two places stand in one row.
    pub fn same_row(&self, other: &Self) -> bool {
        self.row == other.row && self.sheet == other.sheet && self.file == other.file
    }

    /// The same row, one cell of it; `column` counts from 0.
    pub fn cell(&self, column: usize) -> Self {
        Self { column: Some(column_letter(column).into()), ..self.clone() }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if !self.sheet.is_empty() {
            write!(f, ", sheet \"{}\"", self.sheet)?;
        }
        match &self.column {
            Some(column) => write!(f, ", cell {column}{}", self.row),
            None => write!(f, ", row {}", self.row),
        }
    }
}

/// The letter of a column counted from 0: 0 is `A`, 26 is `AA`.
pub fn column_letter(column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        rest -= 1;
        letters.push(char::from(b'A' + (rest % 26) as u8));
        rest /= 26;
    }
    letters.iter().rev().collect()
}

/// The column of a letter, counted from 0; `None` where it is none.
pub fn column_index(letter: &str) -> Option<usize> {
    let letter = letter.trim();
    if letter.is_empty() || letter.len() > 3 || !letter.bytes().all(|byte| byte.is_ascii_alphabetic()) {
        return None;
    }
    Some(letter.bytes().fold(0usize, |sum, byte| sum * 26 + usize::from(byte.to_ascii_uppercase() - b'A') + 1) - 1)
}

#[cfg(test)]
mod tests {
    use super::column_letter;

    #[test]
    fn columns_are_lettered_as_in_a_spreadsheet() {
        for (column, letter) in [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA"), (16_383, "XFD")] {
            assert_eq!(column_letter(column), letter);
        }
    }
}
