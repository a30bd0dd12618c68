//! The checked content of a catalog edition, with its indexes, and which discount and surcharges a line takes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;

use super::good::Entry;
use super::line::Line;
use super::value::Condition;

/// One edition of a catalog, checked.
#[derive(Debug, Default)]
pub(super) struct Book {
    pub(super) lines: Vec<Line>,
    pub(super) by_category: BTreeMap<Category, Vec<usize>>,
    pub(super) by_id: BTreeMap<Arc<str>, usize>,
    pub(super) discounts: Vec<Discount>,
    pub(super) surcharges: Vec<Surcharge>,
    pub(super) policy: Policy,
    pub(super) classes: Vec<Arc<str>>,
}

/// How a catalog wants requests met.
#[derive(Debug, Default, Clone)]
pub(super) struct Policy {
    /// Attributes that describe and never exclude a line that does not know them.
    pub(super) descriptive: BTreeSet<Attr>,
    /// Categories of which an asked finish is met by the nearest that is made.
    pub(super) nearest_finish: BTreeSet<Category>,
    /// Values of an attribute, best first: an asked one is met by it or a better one.
    pub(super) at_least: BTreeMap<Attr, Vec<Value>>,
}

/// A discount chain and what it is for. `None`: any.
#[derive(Debug, Clone)]
pub(super) struct Discount {
    pub(super) line: Option<Arc<str>>,
    pub(super) maker: Option<Arc<str>>,
    pub(super) category: Option<Category>,
    pub(super) class: Option<Arc<str>>,
    pub(super) chain: Vec<Decimal>,
    pub(super) entry: Entry,
}

impl Discount {
    /// How closely it fits a line: line, then maker, category, class of customer; `None`: not at all.
    fn fit(&self, line: &Line, class: Option<&str>) -> Option<u8> {
        let mut score = 0;
        let mut weigh = |fits: Option<bool>, weight: u8| match fits {
            Some(true) => {
                score += weight;
                true
            }
            Some(false) => false,
            None => true,
        };
        let fits = weigh(self.line.as_ref().map(|id| *id == line.id), 8)
            && weigh(self.maker.as_ref().map(|maker| *maker == line.maker), 4)
            && weigh(self.category.map(|category| category == line.category), 2)
            && weigh(self.class.as_ref().map(|own| Some(&**own) == class), 1);
        fits.then_some(score)
    }
}

/// A surcharge in force and what it is for. `None`: any.
#[derive(Debug, Clone)]
pub(super) struct Surcharge {
    pub(super) name: Arc<str>,
    pub(super) percent: Decimal,
    pub(super) maker: Option<Arc<str>>,
    pub(super) category: Option<Category>,
    pub(super) when: Condition,
}

impl Book {
    /// Indexes checked lines.
    pub(super) fn new(
        lines: Vec<Line>,
        discounts: Vec<Discount>,
        surcharges: Vec<Surcharge>,
        policy: Policy,
        classes: Vec<Arc<str>>,
    ) -> Book {
        let mut by_category: BTreeMap<Category, Vec<usize>> = BTreeMap::new();
        let mut by_id = BTreeMap::new();
        for (index, line) in lines.iter().enumerate() {
            by_category.entry(line.category).or_default().push(index);
            by_id.entry(line.id.clone()).or_insert(index);
        }
        Book { lines, by_category, by_id, discounts, surcharges, policy, classes }
    }

    /// The line of an id.
    pub(super) fn line(&self, id: &str) -> Option<&Line> {
        self.by_id.get(id).map(|index| &self.lines[*index])
    }

    /// The lines of a category, in the order of the files.
    pub(super) fn of(&self, category: Category) -> impl Iterator<Item = &Line> {
        self.by_category.get(&category).into_iter().flatten().map(|index| &self.lines[*index])
    }

    /// The chain that fits a line most closely; of equals the first.
    pub(super) fn discount(&self, line: &Line, class: Option<&str>) -> Option<&Discount> {
        let mut best: Option<(u8, &Discount)> = None;
        for discount in &self.discounts {
            if let Some(score) = discount.fit(line, class)
                && best.is_none_or(|(other, _)| score > other)
            {
                best = Some((score, discount));
            }
        }
        best.map(|(_, discount)| discount)
    }

    /// Surcharges on a good of a line.
    pub(super) fn surcharges(&self, line: &Line, attributes: &Attributes) -> Vec<(Arc<str>, Decimal)> {
        self.surcharges
            .iter()
            .filter(|surcharge| {
                surcharge.maker.as_ref().is_none_or(|maker| *maker == line.maker)
                    && surcharge.category.is_none_or(|category| category == line.category)
                    && surcharge.when.holds(attributes)
            })
            .map(|surcharge| (surcharge.name.clone(), surcharge.percent))
            .collect()
    }
}
