//! A snapshot laid out for comparing: every line and addition with its shares by opening, and the set of each opening.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::changes::Moved;
use super::pairs::plain;
use super::snapshot::{LineRecord, Snapshot};
use crate::count::takeoff;
use crate::money::Money;

/// A line or addition.
#[derive(Debug, Clone)]
pub(super) struct Flat<'a> {
    pub(super) line: &'a LineRecord,
    /// The set it stands in or belongs to.
    pub(super) set: Option<usize>,
    pub(super) is_addition: bool,
    pub(super) shares: Vec<(usize, Decimal)>,
    /// What belongs to no single opening.
    pub(super) lot: Decimal,
    /// What it may be on the other side, where that is doubtful.
    pub(super) doubt: Option<String>,
}

impl Flat<'_> {
    /// Money of so many.
    pub(super) fn worth(&self, count: Decimal) -> Money {
        self.line.unit().times(count).unwrap_or_default()
    }

    /// So many of its good as a part of a change.
    pub(super) fn moved(&self, count: Decimal) -> Option<Moved> {
        if count.is_zero() {
            return None;
        }
        let good = self.line.good.as_ref();
        Some(Moved {
            maker: good.map(|good| good.maker.clone()).unwrap_or_default(),
            designation: good.map_or_else(|| self.line.text.clone(), |good| good.designation.clone()),
            size: good.map(|good| (good.length("length"), good.length("width"))).unwrap_or_default(),
            category: self.line.category.clone().unwrap_or_default(),
            unit: self.line.unit.clone(),
            count,
            unit_price: self.line.unit(),
            net: self.line.working.as_ref().and_then(|working| working.net),
        })
    }
}

/// A laid-out snapshot.
#[derive(Debug, Clone)]
pub(super) struct Side<'a> {
    pub(super) snapshot: &'a Snapshot,
    pub(super) lines: Vec<Flat<'a>>,
    /// Set of each opening.
    pub(super) set_of: Vec<Option<usize>>,
    /// Money of each opening.
    pub(super) money_at: Vec<Money>,
    /// Goods of each opening.
    pub(super) goods_at: Vec<Vec<Moved>>,
}

impl<'a> Side<'a> {
    pub(super) fn new(snapshot: &'a Snapshot) -> Self {
        let ids: BTreeMap<String, usize> =
            snapshot.sets.iter().enumerate().rev().map(|(index, set)| (plain(&set.id), index)).collect();
        let set_named = |id: Option<&str>| id.and_then(|id| ids.get(&plain(id)).copied());
        let mut lines = Vec::new();
        for (index, set) in snapshot.sets.iter().enumerate() {
            lines.extend(set.lines.iter().map(|line| flat(line, Some(index), false)));
        }
        lines.extend(snapshot.added.iter().map(|line| flat(line, set_named(line.set.as_deref()), true)));
        let mut set_of: Vec<Option<usize>> = snapshot
            .openings
            .iter()
            .map(|opening| set_named(opening.get("set").and_then(|set| set.as_str())))
            .collect();
        // Where the schedule leaves the set blank, the doors named under the set's heading say it.
        let mut under: BTreeMap<&str, usize> = BTreeMap::new();
        for (index, set) in snapshot.sets.iter().enumerate() {
            for number in &set.openings {
                under.entry(number).or_insert(index);
            }
        }
        for (set, opening) in set_of.iter_mut().zip(&snapshot.openings) {
            let number = opening.get("number").and_then(|number| number.as_str()).unwrap_or_default();
            *set = set.or_else(|| under.get(number).copied());
        }
        let mut money_at = vec![Money::ZERO; snapshot.openings.len()];
        let mut goods_at = vec![Vec::new(); snapshot.openings.len()];
        for line in &lines {
            for (opening, share) in &line.shares {
                if let Some(money) = money_at.get_mut(*opening) {
                    *money += line.worth(*share);
                    goods_at[*opening].extend(line.moved(*share));
                }
            }
        }
        Side { snapshot, lines, set_of, money_at, goods_at }
    }

    /// Door number of an opening.
    pub(super) fn number(&self, opening: usize) -> String {
        let number = self.snapshot.openings.get(opening).and_then(|opening| opening.get("number"));
        number.and_then(|number| number.as_str()).unwrap_or_default().to_owned()
    }

    /// Id of a set; empty for none.
    pub(super) fn set_id(&self, set: Option<usize>) -> &'a str {
        set.and_then(|set| self.snapshot.sets.get(set)).map_or("", |set| set.id.as_str())
    }
}

fn flat(line: &LineRecord, set: Option<usize>, is_addition: bool) -> Flat<'_> {
    // A record was checked when it was read, so its shares can be read.
    let shares = takeoff::read_shares(&line.shares).unwrap_or_default();
    let shared = shares.iter().fold(Decimal::ZERO, |sum, (_, share)| sum.saturating_add(*share));
    let lot = line.counted().saturating_sub(shared);
    Flat { line, set, is_addition, shares, lot, doubt: None }
}
