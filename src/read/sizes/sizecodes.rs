//! Sizes of four figures: `4080` may be feet and inches or inches; what stands at the head of its column, `3070`, tells which.

use super::size;
use crate::read::memo::{self, Memo};
use crate::read::openings::doors::Reader;

/// Rows at the head of a table that tell whether the codes of a column are feet and inches.
const HEAD: usize = 24;

/// Whether codes that leave no choice, `3070`, stand at the head of a column, and none that is inches: `PR 4080` among them is
/// feet and inches too.
pub(crate) fn is_of_feet(reader: &Reader<'_>, column: usize) -> bool {
    let rows = reader.sheet.rows.iter().skip(reader.table.rows.1 + 1).take(HEAD);
    let codes = rows.filter_map(|row| Some(memo::once(&CODES, &row.cell(column)?.text, code)));
    let (mut feet, mut inches) = (false, false);
    for code in codes {
        (feet, inches) = (feet || code == Some(Code::Feet), inches || code == Some(Code::Inches));
    }
    feet && !inches
}

/// What a size of four figures alone can only be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Code {
    Feet,
    Inches,
}

thread_local! {
    static CODES: Memo<Option<Code>> = Memo::default();
}

fn code(text: &str) -> Option<Code> {
    let figures = text.split_whitespace().next_back()?;
    let four = figures.len() == 4 && figures.bytes().all(|byte| byte.is_ascii_digit());
    let read = size::parse_size(text).filter(|_| four)?;
    match (read.by_inches, read.other) {
        (true, _) => Some(Code::Inches),
        (false, None) => Some(Code::Feet),
        (false, Some(_)) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_of_four_figures_are_feet_inches_or_either() {
        for (text, told) in [
            ("3070", Some(Code::Feet)),
            ("PR 3070", Some(Code::Feet)),
            ("3684", Some(Code::Inches)),
            ("PR 4080", None),
            ("3'-0\" x 7'-0\"", None),
            ("36 x 84", None),
        ] {
            assert_eq!(code(text), told, "{text}");
        }
    }
}
