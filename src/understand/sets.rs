//! Reads the lines of sets in their surroundings: what the set already has, the section heading, and the line above for
//! "ditto" and "same as above".

use rayon::prelude::*;

use super::reading::{Heard, Reading, RemarkKind, Surroundings};
use super::{Lexicon, understand};
use crate::evidence::{By, Evidence};
use crate::read::schedule::{HardwareSet, Schedule};

/// Reads every line of every set. Indexed by set, line, reading.
pub fn read_sets(lexicon: &Lexicon, schedule: &Schedule) -> Vec<Vec<Vec<Reading>>> {
    schedule.sets.par_iter().map(|set| read_set(lexicon, set)).collect()
}

fn read_set(lexicon: &Lexicon, set: &HardwareSet) -> Vec<Vec<Reading>> {
    let mut around = Surroundings { set_title: set.title.as_str().into(), ..Surroundings::default() };
    let mut lines: Vec<Vec<Reading>> = Vec::with_capacity(set.lines.len());
    for line in &set.lines {
        around.section = line.section.clone();
        let mut readings = understand(lexicon, &line.wording, &around);
        if let (Some(above), Some(first)) = (lines.last().and_then(|above| above.last()), readings.first_mut()) {
            same_as(above, first);
        }
        around.others.extend(readings.iter().filter_map(|reading| reading.category.found().copied()));
        lines.push(readings);
    }
    lines
}

/// Fills in from the line above what a "ditto" leaves unsaid.
fn same_as(above: &Reading, reading: &mut Reading) {
    let Some(ditto) = reading.remarks.iter().find(|remark| remark.kind == RemarkKind::Ditto) else { return };
    let by = Evidence { span: ditto.evidence.span.clone(), by: By::Context("the line above".into()) };
    if reading.category == Heard::Absent
        && let Some(category) = above.category.found()
    {
        reading.category = Heard::Found(*category, by.clone());
    }
    if reading.category.found() != above.category.found() {
        return;
    }
    for (attribute, heard) in &above.attributes {
        let copy = match heard {
            Heard::Found(value, _) => Heard::Found(value.clone(), by.clone()),
            Heard::Ambiguous(all) => {
                Heard::Ambiguous(all.iter().map(|(value, _)| (value.clone(), by.clone())).collect())
            }
            Heard::Absent => continue,
        };
        reading.attributes.insert_new(*attribute, copy);
    }
}
