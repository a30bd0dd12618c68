//! A workbook as pages of cells, without any file format: what stands where, how it looks, what may be typed. `xlsx`
//! prints it. Rows and columns count from 0 here.

use rust_decimal::Decimal;

use super::style::{self, Style};
use crate::money::Money;
use crate::place::column_letter;

/// A workbook.
#[derive(Debug, Clone, Default)]
pub struct Book {
    /// Title of the document.
    pub title: String,
    /// Subject: the job.
    pub subject: String,
    /// Company that wrote it.
    pub company: String,
    /// Date of the quote (ISO): the date of creation, so that the same quote gives the same bytes.
    pub date: String,
    /// Defined names and the cell each stands for (`'Terms'!$C$4`).
    pub names: Vec<(String, String)>,
    /// Pages in order.
    pub pages: Vec<Page>,
}

/// One page of a workbook.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Name on its tab.
    pub name: String,
    /// Widths in characters, tenths.
    pub widths: Vec<u32>,
    /// Columns from `.0` to `.1` that are folded away as workings.
    pub folded: Option<(usize, usize)>,
    /// Rows.
    pub rows: Vec<Row>,
    /// Rows and columns that stay when scrolling.
    pub freeze: (usize, usize),
    /// Heading row of the filter and the last row under it; over the columns given.
    pub filter: Option<Area>,
    /// Printing.
    pub print: Print,
    /// Cells with answers to pick.
    pub choices: Vec<Choice>,
    /// Cells that stand out by what they hold.
    pub marks: Vec<Mark>,
    /// Pictures.
    pub pictures: Vec<Picture>,
    /// Charts.
    pub charts: Vec<Chart>,
    /// Whether the lines of the grid are shown.
    pub grid: bool,
}

/// A rectangle of cells, corners included.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    /// First row.
    pub top: usize,
    /// First column.
    pub left: usize,
    /// Last row.
    pub bottom: usize,
    /// Last column.
    pub right: usize,
}

impl Area {
    /// Cells of one column.
    pub fn column(column: usize, top: usize, bottom: usize) -> Self {
        Self { top, left: column, bottom, right: column }
    }
}

/// A row.
#[derive(Debug, Clone, Default)]
pub struct Row {
    /// Its cells from the first column on.
    pub cells: Vec<Cell>,
    /// Height in points; none: by itself.
    pub height: Option<u32>,
    /// Whether it can be folded under the row above.
    pub folds: bool,
    /// Whether a new printed page begins with it.
    pub new_page: bool,
    /// Whether it stays on the printed page of the row that follows.
    pub keeps: bool,
}

/// A cell.
#[derive(Debug, Clone, Default)]
pub struct Cell {
    /// What it holds.
    pub content: Content,
    /// How it looks.
    pub style: Style,
    /// How many columns it spans; 0 and 1 are one.
    pub across: u16,
    /// A note that opens on it.
    pub note: Option<Box<str>>,
}

/// What a cell holds. A large job has a million cells, so each takes no more room than its words.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Content {
    /// Nothing; the style shows.
    #[default]
    Blank,
    /// Text; never a formula, whatever it begins with.
    Text(Box<str>),
    /// A number.
    Number(Decimal),
    /// A formula (begins with `=`) and the number it gives.
    Formula(Box<str>, Decimal),
    /// A formula and the text it gives.
    TextFormula(Box<str>, Box<str>),
    /// Text of which some words are marked: bold and underlined, or struck through.
    Marked(Vec<(String, Stress)>),
    /// Text that leads to a place: `internal:'Lines'!A4`, or a file beside this one (`file:///bid-set.xlsx#'Sets'!A4`).
    Link {
        /// Where it leads.
        to: Box<str>,
        /// What is shown.
        text: Box<str>,
    },
}

/// How words inside a text stand out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stress {
    /// They do not.
    Plain,
    /// New: bold and underlined.
    New,
    /// Gone: struck through.
    Gone,
}

/// Printing of a page.
#[derive(Debug, Clone, Default)]
pub struct Print {
    /// Sideways.
    pub landscape: bool,
    /// A4 instead of letter.
    pub a4: bool,
    /// Rows repeated on each printed page: first and last.
    pub repeat: Option<(usize, usize)>,
    /// Last column printed.
    pub last_column: Option<usize>,
    /// What stands at the foot, left of the page number.
    pub footer: String,
    /// Scale in per cent; none: as wide as the page. Programs that fit a page to its width pass over breaks set by hand.
    pub scale: Option<u16>,
}

/// Cells with answers to pick; another text may be typed unless `only`.
#[derive(Debug, Clone)]
pub struct Choice {
    /// The cells.
    pub area: Area,
    /// Where the answers stand (`'Answers'!$B$2:$B$4`), or the answers themselves.
    pub from: Answers,
    /// Title and words of the hint beside the cell.
    pub hint: (String, String),
    /// Whether anything else is refused.
    pub only: bool,
}

/// Where the answers to pick stand.
#[derive(Debug, Clone)]
pub enum Answers {
    /// In cells.
    Cells(String),
    /// Here; short lists only.
    Words(Vec<String>),
}

/// Cells that stand out when a formula about them holds. The cell's own words say the same, so that colour is never alone.
#[derive(Debug, Clone)]
pub struct Mark {
    /// The cells.
    pub area: Area,
    /// Formula for the first cell of the area, such as `=$W5<>""`.
    pub when: String,
}

/// A picture.
#[derive(Debug, Clone)]
pub struct Picture {
    /// Row of its upper left corner.
    pub row: usize,
    /// Column of it.
    pub column: usize,
    /// PNG or JPEG bytes.
    pub bytes: Vec<u8>,
    /// What it shows, for those who cannot see it.
    pub words: String,
    /// Width and height in points.
    pub size: (u32, u32),
}

/// A bar chart of one row of numbers.
#[derive(Debug, Clone)]
pub struct Chart {
    /// Title.
    pub title: String,
    /// Page and area of the labels.
    pub labels: (String, Area),
    /// Page and areas of the numbers, each with its name.
    pub numbers: Vec<(String, Area)>,
    /// Row of its upper left corner.
    pub row: usize,
    /// Column of it.
    pub column: usize,
    /// Width and height in pixels.
    pub size: (u32, u32),
}

impl Page {
    /// An empty page; widths in characters.
    pub fn new(name: &str, widths: &[u32]) -> Self {
        Self { name: name.into(), widths: widths.iter().map(|width| width * 10).collect(), ..Self::default() }
    }

    /// Index of the row that comes next.
    pub fn next(&self) -> usize {
        self.rows.len()
    }

    /// Adds a row and gives its index.
    pub fn push(&mut self, cells: Vec<Cell>) -> usize {
        self.rows.push(Row { cells, ..Row::default() });
        self.rows.len() - 1
    }

    /// Adds a row of a given height.
    pub fn push_high(&mut self, height: u32, cells: Vec<Cell>) -> usize {
        let row = self.push(cells);
        self.rows[row].height = Some(height);
        row
    }

    /// Adds an empty row.
    pub fn skip(&mut self) {
        self.rows.push(Row::default());
    }

    /// The sheet's name as formulas write it.
    pub fn quoted(&self) -> String {
        quoted(&self.name)
    }
}

impl Cell {
    /// An empty cell with a look.
    pub fn blank(style: Style) -> Self {
        Self { style, ..Self::default() }
    }

    /// Nothing.
    pub fn none() -> Self {
        Self::default()
    }

    /// Text.
    pub fn text(text: impl Into<String>, style: Style) -> Self {
        Self::of(Content::Text(text.into().into()), style)
    }

    /// Text with marked words; plain text where none is.
    pub fn marked(parts: Vec<(String, Stress)>, style: Style) -> Self {
        if parts.iter().all(|(_, stress)| *stress == Stress::Plain) {
            return Self::text(parts.into_iter().map(|(text, _)| text).collect::<String>(), style);
        }
        Self::of(Content::Marked(parts), style)
    }

    /// A count or other plain number.
    pub fn number(number: Decimal, style: Style) -> Self {
        Self::of(Content::Number(number), style)
    }

    /// Money.
    pub fn money(money: Money, style: Style) -> Self {
        Self::of(Content::Number(money.decimal()), style)
    }

    /// A formula with the number it gives.
    pub fn formula(formula: impl Into<String>, gives: Decimal, style: Style) -> Self {
        Self::of(Content::Formula(formula.into().into(), gives), style)
    }

    /// A formula with the text it gives.
    pub fn text_formula(formula: impl Into<String>, gives: impl Into<String>, style: Style) -> Self {
        Self::of(Content::TextFormula(formula.into().into(), gives.into().into()), style)
    }

    /// A link to a cell of this workbook.
    pub fn link(page: &str, row: usize, column: usize, text: impl Into<String>) -> Self {
        let to = format!("internal:{}!{}", quoted(page), address(row, column));
        Self::of(Content::Link { to: to.into(), text: text.into().into() }, style::LINK)
    }

    /// A little away from what stands before it.
    pub fn indented(mut self) -> Self {
        self.style.indent = 1;
        self
    }

    /// Spans columns.
    pub fn across(mut self, columns: usize) -> Self {
        self.across = u16::try_from(columns).unwrap_or(u16::MAX);
        self
    }

    /// Adds a note.
    pub fn note(mut self, note: impl Into<String>) -> Self {
        let note: String = note.into();
        self.note = (!note.is_empty()).then(|| note.into());
        self
    }

    fn of(content: Content, style: Style) -> Self {
        Self { content, style, ..Self::default() }
    }
}

/// `B5` for row 4, column 1.
pub fn address(row: usize, column: usize) -> String {
    format!("{}{}", column_letter(column), row + 1)
}

/// `$B$5`.
pub fn fixed(row: usize, column: usize) -> String {
    format!("${}${}", column_letter(column), row + 1)
}

/// `$B$5:$B$9`.
pub fn fixed_column(column: usize, top: usize, bottom: usize) -> String {
    format!("{}:{}", fixed(top, column), fixed(bottom, column))
}

/// A sheet name as formulas write it.
pub fn quoted(name: &str) -> String {
    format!("'{}'", name.replace('\'', "''"))
}

/// Text inside a formula.
pub fn in_quotes(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_are_those_of_a_spreadsheet() {
        assert_eq!(address(4, 1), "B5");
        assert_eq!(fixed(4, 27), "$AB$5");
        assert_eq!(quoted("Tom's"), "'Tom''s'");
    }
}
