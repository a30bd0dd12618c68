//! Counts goods: sets × openings × leaves, lengths by the opening.
//!
//! In: `Completed`. Out: `Takeoff`: for every line and addition, the good, how many, for which openings. Knows nothing of
//! prices. What multiplies by what is in `shares`; which good an opening gets is in `goods`.

mod goods;
mod shares;
pub mod takeoff;

use rayon::prelude::*;

use crate::catalog::Catalog;
use crate::complete::spec::{Addition, Completed, CompletedSet, Spec, Status};
use crate::read::schedule::Schedule;
use crate::trade::attribute::Attributes;
use takeoff::{From, Item, Takeoff};

/// Counts a completed job.
pub fn count(job: &Completed, catalog: &Catalog) -> Takeoff {
    let of_set = |set: &CompletedSet| -> Vec<Item> {
        set.specs.iter().flat_map(|spec| line(&job.schedule, set, spec, catalog)).collect()
    };
    let sets: Vec<Vec<Item>> = job.sets.par_iter().map(of_set).collect();
    let mut items: Vec<Item> = sets.into_iter().flatten().collect();
    for (index, added) in job.added.iter().enumerate() {
        items.extend(addition(&job.schedule, index, added, catalog));
    }
    Takeoff { items }
}

/// Counts one line of a set: one item, or one for each distinct good where the good differs by opening.
pub fn line(schedule: &Schedule, set: &CompletedSet, spec: &Spec, catalog: &Catalog) -> Vec<Item> {
    let (shares, total) = shares::of_line(schedule, set, spec);
    let from = From::Line(spec.id);
    let Some(category) = spec.category.filter(|_| !matches!(spec.status, Status::Excluded | Status::Unread)) else {
        return vec![Item { from, candidate: None, unit: spec.unit, varied: Attributes::new(), shares, count: total }];
    };
    let asked: Attributes = spec.attributes.iter().map(|(name, sourced)| (*name, sourced.value.clone())).collect();
    let wanted = goods::Wanted {
        from,
        unit: spec.unit,
        category,
        asked: &asked,
        varies: &spec.varies,
        selection: &spec.selection,
    };
    goods::by_opening(&wanted, shares, total, catalog)
}

/// Counts one addition. What others supply is counted and has no good.
pub fn addition(schedule: &Schedule, index: usize, added: &Addition, catalog: &Catalog) -> Vec<Item> {
    let (shares, total) = shares::of_addition(schedule, added);
    let from = From::Added(index);
    if !added.ours {
        return vec![Item { from, candidate: None, unit: added.unit, varied: Attributes::new(), shares, count: total }];
    }
    let wanted = goods::Wanted {
        from,
        unit: added.unit,
        category: added.category,
        asked: &added.attributes,
        varies: &added.varies,
        selection: &added.selection,
    };
    goods::by_opening(&wanted, shares, total, catalog)
}
