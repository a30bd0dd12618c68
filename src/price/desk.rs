//! What is at hand while a job is priced: the job as completed, the catalog, the terms, and the selections already made.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::answers::After;
use super::quote::PricedItem;
use super::{own, totals::Sums};
use crate::catalog::Catalog;
use crate::catalog::good::{Request, Selection};
use crate::complete::door::Door;
use crate::complete::spec::{Addition, Completed, Status};
use crate::count;
use crate::count::takeoff::Item;
use crate::terms::Terms;
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;

/// See the file.
pub(super) struct Desk<'a> {
    pub(super) job: &'a Completed,
    pub(super) catalog: &'a Catalog,
    pub(super) terms: &'a Terms,
    /// The same answer is tried on many lines that ask for the same thing.
    selections: Mutex<HashMap<(Category, Attributes), Arc<Selection>>>,
    /// Facts of the openings, once an answer needs them.
    doors: OnceLock<Vec<Door>>,
}

impl<'a> Desk<'a> {
    pub(super) fn new(job: &'a Completed, catalog: &'a Catalog, terms: &'a Terms) -> Self {
        Desk { job, catalog, terms, selections: Mutex::default(), doors: OnceLock::new() }
    }

    /// Facts of the openings, by index.
    pub(super) fn doors(&self) -> &[Door] {
        self.doors.get_or_init(|| {
            let openings = self.job.schedule.openings.iter().enumerate();
            openings.map(|(index, opening)| Door::of(index, opening, self.terms)).collect()
        })
    }

    /// The goods that fit, by the makers that the terms accept.
    pub(super) fn select(&self, category: Category, attributes: &Attributes) -> Arc<Selection> {
        let key = (category, attributes.clone());
        let known = || self.selections.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = known().get(&key) {
            return known.clone();
        }
        let makers = self.terms.makers_of(category).cloned().unwrap_or_default();
        let found = Arc::new(self.catalog.select(&Request { category, attributes: attributes.clone(), makers }));
        known().insert(key, found.clone());
        found
    }

    /// Prices counted items of one line or addition.
    pub(super) fn price(&self, items: Vec<Item>, category: Option<Category>) -> Vec<PricedItem> {
        items.into_iter().map(|item| own::price(self.job, item, category, &self.terms.price)).collect()
    }

    /// Counts and prices an addition.
    pub(super) fn addition(&self, index: usize, added: &Addition) -> Vec<PricedItem> {
        let items = count::addition(&self.job.schedule, index, added, self.catalog);
        self.price(items, Some(added.category))
    }

    /// What a part adds up to. `None`: something in it ought to have a price and has none, so the money is not known.
    pub(super) fn known(&self, after: &After) -> Option<Sums> {
        let (category, charged) = match after {
            After::Line(spec, _) => (spec.category, !matches!(spec.status, Status::Excluded | Status::Unread)),
            After::Added(added, _) => (Some(added.category), added.ours),
        };
        let mut sums = Sums::default();
        for item in after.items() {
            if charged && item.working.is_none() && !item.item.count.is_zero() {
                return None;
            }
            sums += &Sums::of(item, category, self.terms);
        }
        Some(sums)
    }
}
