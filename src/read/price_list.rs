//! Reads a price list: the rows of every sheet, and which column holds what, found by headings as a schedule's are. What the
//! cells mean is for others to say. Headings are data: `catalogs/trade/list_headings.csv`.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, LazyLock};

use super::files::source;
use super::sheet::{Cell, Row, Sheet};
use super::with_help;
use crate::place::column_letter;
use crate::trade::table;

/// Rows looked at for the headings of a sheet.
const HEAD: usize = 80;

/// A price list as found.
#[derive(Debug)]
pub struct PriceList {
    /// File name.
    pub file: Arc<str>,
    /// Hash of the file.
    pub sha256: String,
    /// Its sheets.
    pub sheets: Vec<ListSheet>,
}

/// One sheet of a price list.
#[derive(Debug)]
pub struct ListSheet {
    /// Name; empty for text.
    pub name: Arc<str>,
    /// Row of the headings; none were found.
    pub header: Option<u32>,
    /// Columns from 0: heading as written, and what it holds.
    pub columns: BTreeMap<usize, (String, Holds)>,
    /// All rows below the headings.
    pub rows: Vec<ListRow>,
    /// Rows above and with the headings.
    pub above: usize,
    /// Words of the rows tried for headings, for a message.
    pub tried: String,
}

/// One row.
#[derive(Debug, Clone, Default)]
pub struct ListRow {
    /// Number as the spreadsheet program shows it.
    pub number: u32,
    /// The cells that hold something: column from 0, text.
    pub cells: Vec<(usize, String)>,
    /// The cells that are struck out.
    pub struck: Vec<(usize, String)>,
}

macro_rules! holds { ($($(#[$doc:meta])* $variant:ident $name:literal),* $(,)?) => {
    /// What a column of a price list holds.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Holds { $($(#[$doc])* $variant),* }

    impl Holds {
        /// All, with the names that a mapping file uses.
        pub const NAMES: &'static [(&'static str, Holds)] = &[$(($name, Holds::$variant)),*];
    }
} }

holds! {
    /// Number to order by.
    Number "number",
    /// What it is.
    Description "description",
    /// List price.
    Price "price",
    /// Net price.
    Net "net",
    /// What the price is for.
    Unit "unit",
    /// Discount group.
    Group "group",
    /// Finish.
    Finish "finish",
    /// Maker.
    Maker "maker",
    /// Kind of product in words.
    Category "category",
    /// Shipping weight, pounds.
    Weight "weight",
    /// Pieces in a pack.
    Pack "pack",
    /// Least quantity.
    Minimum "minimum",
    /// More words of the description.
    Text "text",
    /// Nothing that is wanted.
    Ignore "ignore",
}

impl Holds {
    /// Its name in a mapping file.
    pub fn name(self) -> &'static str {
        Holds::NAMES.iter().find(|(_, holds)| *holds == self).map_or("ignore", |(name, _)| name)
    }

    /// What a name stands for.
    pub fn named(name: &str) -> Option<Holds> {
        Holds::NAMES.iter().find(|(known, _)| *known == name).map(|(_, holds)| *holds)
    }
}

impl ListSheet {
    /// The text of a row's cell under a heading of this meaning; the first such column that has one.
    pub fn text<'a>(&self, row: &'a ListRow, holds: Holds) -> Option<(usize, &'a str)> {
        let held = |column: &usize| self.columns.get(column).is_some_and(|(_, own)| *own == holds);
        row.cells.iter().find(|(column, _)| held(column)).map(|(column, text)| (*column, text.as_str()))
    }

    /// The first struck cell of a row that names, describes or prices its good, where no other cell does so.
    pub fn struck<'a>(&self, row: &'a ListRow) -> Option<(usize, &'a str)> {
        let tells = |holds: Holds| {
            matches!(holds, Holds::Number | Holds::Description | Holds::Price | Holds::Net)
                && self.text(row, holds).is_none()
        };
        let found = row.struck.iter().find(|(column, _)| self.columns.get(column).is_some_and(|(_, own)| tells(*own)));
        found.map(|(column, text)| (*column, text.as_str()))
    }

    /// A cell's place in words: `sheet "Prices", cell E42`.
    pub fn cell(&self, row: u32, column: usize) -> String {
        match self.name.is_empty() {
            true => format!("cell {}{row}", column_letter(column)),
            false => format!("sheet \"{}\", cell {}{row}", self.name, column_letter(column)),
        }
    }
}

/// What the user has said about a list.
#[derive(Debug, Default)]
pub struct Said<'a> {
    /// Only this sheet; empty: every one.
    pub sheet: &'a str,
    /// Row of the headings; 0: found.
    pub header_row: u32,
    /// Heading, or `column A`, and what it holds.
    pub columns: BTreeMap<String, Holds>,
}

/// Reads a price list. Columns that `said` speaks of hold what it says; the others what their headings say.
///
/// # Errors
/// A message that names the file and what to do.
pub fn read(path: &Path, said: &Said) -> Result<PriceList, String> {
    let (input, sheets) = source::open_within(path, super::files::text::PRICE_LIST).map_err(with_help)?;
    let wanted = |sheet: &Sheet| {
        let named = said.sheet.is_empty() || sheet.name.eq_ignore_ascii_case(said.sheet);
        named && (!sheet.hidden || !said.sheet.is_empty())
    };
    let sheets: Vec<ListSheet> = sheets.into_iter().filter(wanted).map(|sheet| list_sheet(sheet, said)).collect();
    if sheets.is_empty() {
        return Err(format!(
            "{}: there is no sheet \"{}\"\n  help: correct `sheet` in the mapping file",
            input.file, said.sheet
        ));
    }
    Ok(PriceList { file: input.file, sha256: input.sha256, sheets })
}

fn list_sheet(sheet: Sheet, said: &Said) -> ListSheet {
    let header = match said.header_row {
        0 => header(&sheet, said),
        row => sheet.rows.iter().position(|found| found.number == row),
    };
    let columns = header.and_then(|at| sheet.rows.get(at)).map_or_else(BTreeMap::new, |row| columns(row, said));
    let above = header.map_or(0, |at| at + 1);
    let columns = if columns.is_empty() { lettered(said) } else { columns };
    let first_words = |row: &Row| row.cells.iter().map(|cell| cell.text.as_str()).collect::<Vec<_>>().join(" | ");
    ListSheet {
        name: sheet.name.clone(),
        header: header.and_then(|at| sheet.rows.get(at)).map(|row| row.number),
        tried: sheet.rows.iter().find(|row| row.cells.len() > 2).map_or(String::new(), first_words),
        columns,
        above,
        rows: sheet
            .rows
            .into_iter()
            .skip(above)
            .filter(|row| !row.cells.iter().all(|cell| cell.struck))
            .map(|row| {
                let (struck, stands): (Vec<_>, Vec<_>) = row.cells.into_iter().partition(|cell| cell.struck);
                let texts = |cells: Vec<Cell>| cells.into_iter().map(|cell| (cell.column, cell.text)).collect();
                ListRow { number: row.number, cells: texts(stands), struck: texts(struck) }
            })
            .collect(),
    }
}

/// Letters, digits and single spaces, in capitals.
fn plain(heading: &str) -> String {
    let letters = heading.chars().map(|letter| if letter.is_alphanumeric() { letter } else { ' ' }).collect::<String>();
    letters.split_whitespace().collect::<Vec<_>>().join(" ").to_uppercase()
}

fn meaning(heading: &str, said: &Said) -> Option<Holds> {
    static HEADINGS: LazyLock<BTreeMap<&'static str, Holds>> = LazyLock::new(|| {
        let rows = table::rows(include_str!("../../catalogs/trade/list_headings.csv"));
        let mut headings = BTreeMap::new();
        for row in rows {
            if let Some(holds) = Holds::named(row.get(0)) {
                headings.extend(row.get(1).split('|').map(|heading| (heading, holds)));
            }
        }
        headings
    });
    let heading = plain(heading);
    let own = said.columns.iter().find(|(written, _)| plain(written) == heading).map(|(_, holds)| *holds);
    own.or_else(|| HEADINGS.get(heading.as_str()).copied())
}

/// The row of the headings: the one with the most known headings, a price and a number or description among them.
fn header(sheet: &Sheet, said: &Said) -> Option<usize> {
    let known = |row: &Row| -> Option<usize> {
        let found: Vec<Holds> = row.cells.iter().filter_map(|cell| meaning(&cell.text, said)).collect();
        let priced = found.iter().any(|holds| matches!(holds, Holds::Price | Holds::Net));
        let named = found.iter().any(|holds| matches!(holds, Holds::Number | Holds::Description));
        (priced && named).then_some(found.len())
    };
    let rows = sheet.rows.iter().enumerate().take(HEAD);
    let scored = rows.filter_map(|(at, row)| known(row).map(|count| (count, std::cmp::Reverse(at))));
    scored.max().map(|(_, std::cmp::Reverse(at))| at)
}

/// What each column holds. Of two columns that hold the same, the first does, unless they are words.
fn columns(row: &Row, said: &Said) -> BTreeMap<usize, (String, Holds)> {
    let mut columns: BTreeMap<usize, (String, Holds)> = BTreeMap::new();
    for cell in &row.cells {
        let letter = format!("column {}", column_letter(cell.column));
        let own = said.columns.get(&letter).copied();
        let mut holds = own.or_else(|| meaning(&cell.text, said)).unwrap_or(Holds::Ignore);
        if holds != Holds::Text && columns.values().any(|(_, other)| *other == holds) {
            holds = if holds == Holds::Description { Holds::Text } else { Holds::Ignore };
        }
        columns.insert(cell.column, (cell.text.clone(), holds));
    }
    columns
}

/// Columns that a mapping file names by letter, for a list without headings.
fn lettered(said: &Said) -> BTreeMap<usize, (String, Holds)> {
    let number = |letters: &str| {
        let digit = |letter: char| letter.to_digit(36).filter(|digit| *digit >= 10).map(|digit| digit as usize - 9);
        letters.chars().try_fold(0usize, |sum, letter| Some(sum * 26 + digit(letter)?))
    };
    let columns = said.columns.iter().filter_map(|(written, holds)| {
        let column = number(written.strip_prefix("column ")?)?.checked_sub(1)?;
        Some((column, (written.clone(), *holds)))
    });
    columns.collect()
}
