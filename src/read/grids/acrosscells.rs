//! What the cell of a set says where sets stand across: how many of an item the set has, that it has one or none, or words.

use crate::read::openings::doors::whole_count;
use crate::read::tables::columns;
use crate::read::words::{self, plain};

/// A count above this is no count of goods on one opening.
pub(crate) const MOST: u32 = 99;

/// What a cell of a set says of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Said {
    /// There is one: a mark.
    One,
    /// How many: `3`, `1-1/2 PR`, `AS REQ`.
    Count,
    /// A number beyond any count of goods on one opening.
    Much,
    /// There is none: `-`, `NO`.
    None,
    /// Something else.
    Words,
}

impl Said {
    /// What a text says.
    pub(crate) fn of(text: &str) -> Self {
        let folded = plain(text);
        if words::list("falsy").is(&folded) {
            return Self::None;
        }
        if let Some(whole) = whole_count(text) {
            if whole == 0 {
                return Self::None;
            }
            return if (1..=MOST).contains(&whole) { Self::Count } else { Self::Much };
        }
        if words::list("truthy").is(&folded) {
            return Self::One;
        }
        let begins = folded.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(folded.len());
        let (number, unit) = folded.split_at(begins);
        let counted = is_number(number.trim_matches(['(', ')', ' '])) && (unit.is_empty() || columns::is_unit(unit));
        if counted || words::list("as-many-as-needed").is(&folded) { Self::Count } else { Self::Words }
    }
}

/// `3.5`, `1/2`, `1-1/2`, `1 1/2`; `101-104` and `101, 102` are no number.
fn is_number(text: &str) -> bool {
    let figures = |text: &str, most: usize| {
        !text.is_empty() && text.len() <= most && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    if let Some((whole, decimals)) = text.split_once('.') {
        return (whole.is_empty() || figures(whole, 3)) && figures(decimals, 2);
    }
    match text.split_once('/') {
        Some((above, below)) => {
            let halves = above.split_once(['-', ' ']);
            figures(below, 1)
                && halves.map_or(figures(above, 1), |(whole, above)| figures(whole, 2) && figures(above, 1))
        }
        None => figures(text, 4),
    }
}
