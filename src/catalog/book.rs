//! The checked content of a catalog edition, with its indexes, and which discount and surcharges a line takes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;

use super::good::Entry;
use super::line::Line;
use super::list::GoodsList;
use super::value::Condition;

/// One edition of a catalog, checked.
#[derive(Debug, Default)]
pub(super) struct Book {
    pub(super) lines: Vec<Line>,
    /// Flat price lists beside the product lines.
    pub(super) lists: Vec<GoodsList>,
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
    pub(super) group: Option<Arc<str>>,
    pub(super) chain: Vec<Decimal>,
    pub(super) entry: Entry,
}

/// What a discount looks at.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sold<'a> {
    pub(super) line: &'a str,
    pub(super) maker: &'a str,
    pub(super) category: Category,
    /// Discount group of a flat list.
    pub(super) group: Option<&'a str>,
}

impl Line {
    /// What a discount looks at.
    pub(super) fn sold(&self) -> Sold<'_> {
        Sold { line: &self.id, maker: &self.maker, category: self.category, group: None }
    }
}

impl Discount {
    /// Whether another is for exactly the same goods and customers, so that neither is the closer one.
    pub(super) fn is_for_the_same(&self, other: &Discount) -> bool {
        let what = |one: &Discount| (one.line.clone(), one.maker.clone(), one.class.clone(), one.group.clone());
        self.category == other.category && what(self) == what(other)
    }

    /// How closely it fits: line, then discount group, maker, category, class of customer; `None`: not at all.
    fn fit(&self, sold: &Sold, class: Option<&str>) -> Option<u8> {
        let mut score = 0;
        let mut weigh = |fits: Option<bool>, weight: u8| match fits {
            Some(true) => {
                score += weight;
                true
            }
            Some(false) => false,
            None => true,
        };
        let fits = weigh(self.line.as_ref().map(|id| **id == *sold.line), 16)
            && weigh(self.group.as_ref().map(|group| Some(&**group) == sold.group), 8)
            && weigh(self.maker.as_ref().map(|maker| **maker == *sold.maker), 4)
            && weigh(self.category.map(|category| category == sold.category), 2)
            && weigh(self.class.as_ref().map(|own| Some(&**own) == class), 1);
        fits.then_some(score)
    }
}

/// A surcharge in force and what it is for. `None`: any.
#[derive(Debug, Clone, PartialEq)]
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
        lists: Vec<GoodsList>,
        (discounts, surcharges): (Vec<Discount>, Vec<Surcharge>),
        policy: Policy,
        classes: Vec<Arc<str>>,
    ) -> Book {
        let mut by_category: BTreeMap<Category, Vec<usize>> = BTreeMap::new();
        let mut by_id = BTreeMap::new();
        for (index, line) in lines.iter().enumerate() {
            by_category.entry(line.category).or_default().push(index);
            by_id.entry(line.id.clone()).or_insert(index);
        }
        Book { lines, lists, by_category, by_id, discounts, surcharges, policy, classes }
    }

    /// The line of an id.
    pub(super) fn line(&self, id: &str) -> Option<&Line> {
        self.by_id.get(id).map(|index| &self.lines[*index])
    }

    /// The lines of a category, in the order of the files.
    pub(super) fn of(&self, category: Category) -> impl Iterator<Item = &Line> {
        self.by_category.get(&category).into_iter().flatten().map(|index| &self.lines[*index])
    }

    /// The chain that fits most closely; of equals the first.
    pub(super) fn discount(&self, sold: &Sold, class: Option<&str>) -> Option<&Discount> {
        let mut best: Option<(u8, &Discount)> = None;
        for discount in &self.discounts {
            if let Some(score) = discount.fit(sold, class)
                && best.is_none_or(|(other, _)| score > other)
            {
                best = Some((score, discount));
            }
        }
        best.map(|(_, discount)| discount)
    }

    /// Surcharges on a good of a maker and category.
    pub(super) fn surcharges(
        &self,
        maker: &str,
        category: Category,
        attributes: &Attributes,
    ) -> Vec<(Arc<str>, Decimal)> {
        self.surcharges
            .iter()
            .filter(|surcharge| {
                surcharge.maker.as_ref().is_none_or(|own| **own == *maker)
                    && surcharge.category.is_none_or(|own| own == category)
                    && surcharge.when.holds(attributes)
            })
            .map(|surcharge| (surcharge.name.clone(), surcharge.percent))
            .collect()
    }
}
