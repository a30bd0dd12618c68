//! What answers are worth that change what was read of openings: their size, their rating, whether they are there at all.
//! Nothing of the job as completed tells it; whoever runs the rooms works the openings out once as read and once as
//! answered, and the difference is noted here.

use std::collections::BTreeMap;

use super::totals::Sums;
use super::{category_of, priced};
use crate::complete::spec::Completed;
use crate::count::takeoff::Takeoff;
use crate::terms::Terms;

/// Sums of a job that is worked out for an answer.
pub struct Weighed(Sums);

/// What a counted job adds up to.
pub fn weigh(job: &Completed, takeoff: Takeoff, terms: &Terms) -> Weighed {
    let mut sums = Sums::default();
    for item in takeoff.items {
        let category = category_of(item.from, job);
        sums += &Sums::of(&priced(item, job, terms), category, terms);
    }
    Weighed(sums)
}

/// Differences by finding id and answer.
#[derive(Default)]
pub struct Anew(BTreeMap<(String, usize), Sums>);

impl Anew {
    /// Notes what an answer of a finding makes of its openings.
    pub fn note(&mut self, finding: &str, answer: usize, before: &Weighed, after: &Weighed) {
        let mut difference = after.0.clone();
        difference -= &before.0;
        self.0.insert((finding.to_owned(), answer), difference);
    }

    /// The difference that an answer makes; `None`: not worked out.
    pub(super) fn of(&self, finding: &str, answer: usize) -> Option<Sums> {
        self.0.get(&(finding.to_owned(), answer)).cloned()
    }
}
