//! What a cell shows: numbers and dates as their format makes them look, as far as that tells an id or a size from a number.

use crate::read::sheet::{Cell, CellKind, Date};

/// What a cell's style says that matters here.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Hint {
    /// Struck through.
    pub struck: bool,
    /// What its number format does.
    pub shape: Shape,
    /// The number format is general, or one of figures alone.
    pub plain: bool,
}

/// What a number format does to a number's text.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) enum Shape {
    #[default]
    Plain,
    /// `0000`: as many digits at least.
    Digits(usize),
    /// `0.00`: as many decimals.
    Decimals(usize),
    /// `0.00E+00`.
    Exponent,
    /// A date whose month is spelled: `4-Mar`.
    MonthName,
}

/// Digits or decimals that a format may ask for; spreadsheet programs show 30 at most.
const MOST_SHOWN: usize = 30;

impl Hint {
    /// By the strike-through of the font and the number format.
    pub fn new(struck: bool, code: &str) -> Self {
        let shape = if code.len() > 1 && code.bytes().all(|byte| byte == b'0') {
            Shape::Digits(code.len().min(MOST_SHOWN))
        } else if let Some(decimals) = code.strip_prefix("0.").filter(|rest| rest.bytes().all(|byte| byte == b'0')) {
            Shape::Decimals(decimals.len().min(MOST_SHOWN))
        } else if code.contains("E+") {
            Shape::Exponent
        } else if code.to_lowercase().contains("mmm") {
            Shape::MonthName
        } else {
            Shape::Plain
        };
        let plain = code == "General" || !code.is_empty() && code.bytes().all(|byte| b"0#.".contains(&byte));
        Self { struck, shape, plain }
    }
}

/// A cell of a text, unless nothing stands in it.
pub(crate) fn finish(column: usize, text: String, kind: CellKind, struck: bool) -> Option<Cell> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return None;
    }
    let text = if trimmed.len() == text.len() { text } else { trimmed.to_string() };
    Some(Cell { column, text, kind, struck, struck_words: String::new() })
}

/// A number as it is shown.
pub(crate) fn number_text(number: f64, shape: Shape) -> (String, CellKind) {
    match shape {
        Shape::Digits(digits) => (format!("{number:0>digits$}"), CellKind::Number),
        Shape::Decimals(decimals) => {
            // More digits than the format shows are kept: the value counts.
            let plain = number.to_string();
            let shown = plain.split_once('.').map_or(0, |(_, rest)| rest.len());
            let decimals = decimals.max(shown.min(15));
            (format!("{number:.decimals$}"), CellKind::Number)
        }
        Shape::Exponent => (format!("{number:E}"), CellKind::Exponent),
        Shape::Plain | Shape::MonthName => (number.to_string(), CellKind::Number),
    }
}

const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// A date as it is shown.
pub(crate) fn date_text(date: Date, shape: Shape) -> (String, CellKind) {
    let Date { year, month, day } = date;
    let kind = CellKind::Date(date);
    match (shape, MONTHS.get(usize::from(month).wrapping_sub(1))) {
        (Shape::MonthName, Some(name)) => (format!("{day}-{name}"), kind),
        _ => (format!("{month}/{day}/{year}"), kind),
    }
}

/// A date written year first.
pub(crate) fn iso_text(iso: &str) -> (String, CellKind) {
    let parts: Vec<u16> = iso.split(['-', 'T']).take(3).filter_map(|part| part.parse().ok()).collect();
    if let [year, month, day] = parts[..]
        && let (Ok(month), Ok(day)) = (u8::try_from(month), u8::try_from(day))
    {
        return (format!("{month}/{day}/{year}"), CellKind::Date(Date { year, month, day }));
    }
    (iso.to_string(), CellKind::Number)
}
