//! Goods counted.

use rust_decimal::Decimal;

use crate::catalog::good::Candidate;
use crate::finding::LineId;
use crate::trade::attribute::Attributes;
use crate::understand::reading::Unit;

/// Everything counted: items in the order of sets and lines, then additions.
#[derive(Debug, Clone, Default)]
pub struct Takeoff {
    /// The items.
    pub items: Vec<Item>,
}

/// From which part of the job an item comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum From {
    /// A line.
    Line(LineId),
    /// An addition, by index into `Completed::added`.
    Added(usize),
}

/// One good counted. A line whose good differs by opening (lengths, widths) gives several.
#[derive(Debug, Clone)]
pub struct Item {
    /// Where it comes from.
    pub from: From,
    /// The good chosen, with its alternatives left out; `None`: unpriced, unread or excluded.
    pub candidate: Option<Candidate>,
    /// Unit counted in.
    pub unit: Unit,
    /// What this good has that the line's goods for other openings have otherwise: the length, the width.
    pub varied: Attributes,
    /// For which openings (index), how many each.
    pub shares: Vec<(usize, Decimal)>,
    /// Sum of the shares (or the lot).
    pub count: Decimal,
}
