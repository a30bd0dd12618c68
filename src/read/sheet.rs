//! A sheet as it was found: rows of cells with their text, and what the file says about them beyond the text.
//! Every format is turned into this; nothing after it knows which format it was.

use std::sync::Arc;

use crate::place::Place;

use super::files::floating::Floating;

/// What a cell held besides its text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CellKind {
    /// Text.
    Text,
    /// A number; the text is the number as the format shows it.
    Number,
    /// A number shown with an exponent: an id such as `1E2` may have been turned into it.
    Exponent,
    /// A date: a size or fraction may have been turned into it.
    Date(Date),
    /// An error value such as `#REF!`.
    Error,
    /// A formula whose result is not in the file; the text is the formula.
    Formula,
}

/// A calendar date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Date {
    /// Year, four digits.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month.
    pub day: u8,
}

/// One non-empty cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cell {
    /// Column, counted from 0.
    pub column: usize,
    /// Text, trimmed, otherwise as in the file; struck runs are left out.
    pub text: String,
    /// What it held.
    pub kind: CellKind,
    /// Struck through as a whole.
    pub struck: bool,
    /// The words that were struck through inside the cell, empty if none.
    pub struck_words: String,
}

impl Cell {
    /// A cell of text; an error value in words is one.
    pub fn text(column: usize, text: &str) -> Self {
        let kind = error_word(text.trim()).unwrap_or(CellKind::Text);
        Self { column, text: text.trim().to_string(), kind, struck: false, struck_words: String::new() }
    }
}

/// Error values come as plain words from some formats.
pub(crate) fn error_word(text: &str) -> Option<CellKind> {
    matches!(text, "#DIV/0!" | "#N/A" | "#NAME?" | "#NULL!" | "#NUM!" | "#REF!" | "#VALUE!").then_some(CellKind::Error)
}

/// One row that has a non-empty cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Row {
    /// Row number as the spreadsheet program shows it.
    pub number: u32,
    /// The non-empty cells, by column.
    pub cells: Vec<Cell>,
    /// The row is hidden.
    pub hidden: bool,
}

impl Row {
    /// The cells' texts joined.
    pub fn joined(&self) -> String {
        join(&self.cells)
    }

    /// The cell of a column.
    pub fn cell(&self, column: usize) -> Option<&Cell> {
        self.cells.binary_search_by_key(&column, |cell| cell.column).ok().map(|at| &self.cells[at])
    }
}

/// The texts of cells joined by two spaces.
pub(crate) fn join(cells: &[Cell]) -> String {
    let mut all = String::with_capacity(cells.iter().map(|cell| cell.text.len() + 2).sum());
    for cell in cells {
        if !all.is_empty() {
            all.push_str("  ");
        }
        all.push_str(&cell.text);
    }
    all
}

/// A merged range, rows counted from 1, columns from 0, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Merge {
    /// First and last row.
    pub rows: (u32, u32),
    /// First and last column.
    pub columns: (usize, usize),
}

/// One sheet of a workbook, or one text file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Sheet {
    /// File name.
    pub file: Arc<str>,
    /// Sheet name; empty for text.
    pub name: Arc<str>,
    /// The rows that hold something, in order.
    pub rows: Vec<Row>,
    /// The sheet is hidden.
    pub hidden: bool,
    /// Hidden columns that hold something, counted from 0.
    pub hidden_columns: Vec<usize>,
    /// Merged ranges.
    pub merges: Vec<Merge>,
    /// What was odd about the file, to be told as findings: code, where, words, sentence.
    pub oddities: Vec<Oddity>,
    /// Comments, text boxes and pictures, which no cell holds.
    pub floating: Vec<Floating>,
}

/// Something odd that the reader of a format met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Oddity {
    /// Code of the finding.
    pub code: &'static str,
    /// Row, 0 for the whole sheet.
    pub row: u32,
    /// The words.
    pub excerpt: String,
    /// What was found.
    pub says: String,
    /// What to do next.
    pub help: &'static str,
}

impl Sheet {
    /// An empty sheet.
    pub fn new(file: &Arc<str>, name: &str) -> Self {
        Self {
            file: file.clone(),
            name: name.into(),
            rows: Vec::new(),
            hidden: false,
            hidden_columns: Vec::new(),
            merges: Vec::new(),
            oddities: Vec::new(),
            floating: Vec::new(),
        }
    }

    /// The place of a row.
    pub fn place(&self, row: u32) -> Place {
        Place::row(&self.file, &self.name, row)
    }

    /// The place of a cell.
    pub fn at(&self, row: u32, column: usize) -> Place {
        self.place(row).cell(column)
    }

    /// The index of the first row numbered `number` or higher.
    pub fn index_of(&self, number: u32) -> usize {
        self.rows.partition_point(|row| row.number < number)
    }
}
