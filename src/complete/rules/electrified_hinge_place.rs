//! An electrified hinge that was added takes the place of one ordinary hinge, and has its place on the leaf.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::act::Act;
use super::hinge_count::wires;
use crate::trade::category::Category;
use crate::trade::hinge;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-place",
        Kind::Note,
        Weight::Goods,
        "The place of the electrified hinge",
        "a leaf has an electrified hinge",
        "an added one takes the place of one ordinary hinge, so that the number of hinges stays; center of three, third from the top of four, else second from the bottom; it bears no load",
        "",
        ("SDI 130-15 clause 4", "read"),
        ("a hinge of 6 conductors on a leaf of three", "plain hinges only"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6",
    quiet: "door 101 36x84 hm; hinge 3",
};

const CODE: &str = "electrified-hinge-place";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let plain = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| wires(spec).is_none()).collect::<Vec<_>>();
        let wired = job.lines_of(set, &[Category::Hinge]).into_iter().any(|spec| wires(spec).is_some());
        let mut places: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
        for door in job.doors(set) {
            let added: Decimal = job
                .added_to(door.index, &[Category::Hinge], CODE)
                .iter()
                .flat_map(|added| added.shares.iter())
                .filter(|(opening, _)| *opening == door.index)
                .map(|(_, share)| *share)
                .sum();
            if let Some(line) = plain.last().filter(|_| !added.is_zero()) {
                out.acts.push(Act::Less { line: line.id, opening: door.index, quantity: added });
            }
            let (Some(height), true) = (door.height, wired || !added.is_zero()) else { continue };
            let place = hinge::electrified_place_words(hinge::count(height));
            places.entry(place).or_default().push(door.number.clone());
        }
        for (place, numbers) in places {
            let says = format!("The electrified hinge is the {place}; it bears no load.");
            let mut finding = out.about_set(job, set, numbers, &format!("job:{place}"), says);
            finding.help = "the frame and door makers prepare that place before labels are fixed".to_owned();
            out.say(finding);
        }
    }
}
