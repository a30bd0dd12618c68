//! Goods counted.

use std::sync::Arc;

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
    pub candidate: Option<Arc<Candidate>>,
    /// Unit counted in.
    pub unit: Unit,
    /// What this good has that the line's goods for other openings have otherwise: the length, the width.
    pub varied: Attributes,
    /// For which openings (index), how many each.
    pub shares: Vec<(usize, Decimal)>,
    /// Sum of the shares (or the lot).
    pub count: Decimal,
}

/// Shares as short text for the record: `3@0-11,15 4@12` is three for the openings 0 to 11 and 15, four for opening 12.
pub fn write_shares(shares: &[(usize, Decimal)]) -> String {
    let mut groups: Vec<(Decimal, Vec<(usize, usize)>)> = Vec::new();
    for (opening, share) in shares {
        let at = groups.iter().position(|(other, _)| other == share).unwrap_or_else(|| {
            groups.push((*share, Vec::new()));
            groups.len() - 1
        });
        let runs = &mut groups[at].1;
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *opening => *last = *opening,
            _ => runs.push((*opening, *opening)),
        }
    }
    let groups = groups.into_iter().map(|(share, runs)| {
        let runs = runs.into_iter().map(
            |(first, last)| {
                if first == last { first.to_string() } else { format!("{first}-{last}") }
            },
        );
        format!("{}@{}", share.normalize(), runs.collect::<Vec<_>>().join(","))
    });
    groups.collect::<Vec<_>>().join(" ")
}

/// What `write_shares` wrote. `None`: it did not write this.
pub fn read_shares(text: &str) -> Option<Vec<(usize, Decimal)>> {
    const MOST: usize = 1_000_000;
    let mut shares = Vec::new();
    for group in text.split_whitespace() {
        let (share, runs) = group.split_once('@')?;
        let share: Decimal = share.parse().ok()?;
        for run in runs.split(',') {
            let (first, last) = run.split_once('-').unwrap_or((run, run));
            let (first, last): (usize, usize) = (first.parse().ok()?, last.parse().ok()?);
            if last < first || last - first > MOST || shares.len() > MOST {
                return None;
            }
            shares.extend((first..=last).map(|opening| (opening, share)));
        }
    }
    Some(shares)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_written_short_and_read_back() {
        let shares: Vec<(usize, Decimal)> =
            [(0, 3), (1, 3), (2, 3), (5, 3), (6, 4)].map(|(opening, share)| (opening, Decimal::from(share))).into();
        assert_eq!(write_shares(&shares), "3@0-2,5 4@6");
        assert_eq!(read_shares("3@0-2,5 4@6"), Some(shares));
        assert_eq!(read_shares(""), Some(Vec::new()));
        assert_eq!(read_shares("3@5-2"), None);
    }
}
