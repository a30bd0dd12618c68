//! Price tables: rows over the attributes that set the price, checked for gaps and overlaps and indexed when loaded.

use std::collections::HashMap;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::inches::Inches;

use super::good::Entry;

/// A row's figure.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Figure {
    /// A price.
    Money(Money),
    /// Not made in this combination.
    NotMade,
}

/// A size break: over the first, up to and with the second.
pub(super) type Band = (Option<Inches>, Option<Inches>);

/// Size breaks, figure and place of one row.
type Row = (Vec<Band>, Figure, Entry);

/// A checked price table.
#[derive(Debug, Clone, Default)]
pub(super) struct Table {
    /// Attributes matched by value.
    pub(super) exact: Vec<Attr>,
    /// Attributes matched by size breaks.
    pub(super) banded: Vec<Attr>,
    rows: HashMap<Vec<Option<Value>>, Vec<Row>>,
}

impl Table {
    /// An empty table over these attributes.
    pub(super) fn new(exact: Vec<Attr>, banded: Vec<Attr>) -> Table {
        Table { exact, banded, rows: HashMap::new() }
    }

    /// Adds a row for one combination; gives back the entry of a row that already covers part of it.
    pub(super) fn add(
        &mut self,
        key: Vec<Option<Value>>,
        bands: Vec<Band>,
        figure: Figure,
        entry: Entry,
    ) -> Option<Entry> {
        let rows = self.rows.entry(key).or_default();
        let clash = rows.iter().find(|(other, ..)| other.iter().zip(&bands).all(|(one, other)| overlap(*one, *other)));
        let clash = clash.map(|(_, _, entry)| entry.clone());
        rows.push((bands, figure, entry));
        clash
    }

    /// The row for these attributes.
    pub(super) fn look_up(&self, attributes: &Attributes) -> Option<(&Figure, &Entry)> {
        let key: Vec<Option<Value>> = self.exact.iter().map(|attr| attributes.get(attr).cloned()).collect();
        let rows = self.rows.get(&key)?;
        rows.iter()
            .find(|(bands, ..)| {
                bands.iter().zip(&self.banded).all(|((over, to), attr)| {
                    attributes
                        .get(attr)
                        .and_then(Value::as_length)
                        .is_some_and(|length| over.is_none_or(|over| length > over) && to.is_none_or(|to| length <= to))
                })
            })
            .map(|(_, figure, entry)| (figure, entry))
    }

    /// The bands of an attribute at one combination, for checking gaps; only where it is the only banded attribute.
    pub(super) fn bands(&self, key: &[Option<Value>]) -> Vec<Band> {
        let mut bands: Vec<Band> =
            self.rows.get(key).into_iter().flatten().filter_map(|(bands, ..)| bands.first().copied()).collect();
        bands.sort();
        bands
    }

    /// Whether a row exists for a combination.
    pub(super) fn has(&self, key: &[Option<Value>]) -> bool {
        self.rows.contains_key(key)
    }

    /// Attributes that the table speaks of.
    pub(super) fn attrs(&self) -> impl Iterator<Item = Attr> + '_ {
        self.exact.iter().chain(&self.banded).copied()
    }
}

fn overlap(one: Band, other: Band) -> bool {
    let low = one.0.max(other.0);
    match (one.1, other.1) {
        (Some(one), Some(other)) => low.is_none_or(|low| one.min(other) > low),
        (Some(to), None) | (None, Some(to)) => low.is_none_or(|low| to > low),
        (None, None) => true,
    }
}
