//! What answers are worth from which other things follow: another size or rating, another kind of goods, goods that the
//! rules add. The job as completed does not tell it, or not to the cent; whoever runs the rooms works the openings out once
//! as read and once as answered, and the difference is noted here.

use std::collections::BTreeMap;

use super::totals::Sums;
use super::{category_of, priced};
use crate::complete::spec::Completed;
use crate::count::takeoff::Takeoff;
use crate::terms::Terms;

/// Sums of a job that is worked out for an answer.
#[derive(Clone)]
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
pub struct Anew(BTreeMap<(String, usize), Option<Sums>>);

impl Anew {
    /// Notes what an answer of a finding makes of its openings, before and after; `None`: something has no price then.
    pub fn note(&mut self, finding: &str, answer: usize, sums: Option<(&Weighed, &Weighed)>) {
        let difference = sums.map(|(before, after)| {
            let mut difference = after.0.clone();
            difference -= &before.0;
            difference
        });
        self.0.insert((finding.to_owned(), answer), difference);
    }

    /// The difference that an answer makes, where it was worked out; in it `None` where something has no price then.
    pub(super) fn of(&self, finding: &str, answer: usize) -> Option<Option<Sums>> {
        self.0.get(&(finding.to_owned(), answer)).cloned()
    }
}
