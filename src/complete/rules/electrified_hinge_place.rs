//! An electrified hinge that was added takes the place of one ordinary hinge, and has its place on the leaf.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::act::{Act, plain_answers};
use super::hinge_count::wires;
use crate::trade::category::Category;
use crate::trade::hinge;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::devices;
use crate::complete::door::Door;
use crate::read::schedule::Basis;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-place",
        Kind::Note,
        Weight::Goods,
        "The place of the electrified hinge",
        "a leaf has an electrified hinge",
        "on a leaf of two hinges it is asked about; an added one takes the place of one ordinary hinge, so that the number of hinges stays; center of three, third from the top of four; on a leaf of more the second from the bottom is taken and asked about; it bears no load",
        "",
        ("SDI 130-15 clause 4", "read"),
        ("a hinge of 6 conductors on a leaf of three", "plain hinges only"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6",
    quiet: "door 101 36x84 hm; hinge 3",
};

const CODE: &str = "electrified-hinge-place";

/// Hinges of a leaf for which the preparation standard names no place.
const MANY: u32 = 5;

/// On a leaf of two hinges both carry it: no place is left for one that must not.
fn of_two(job: &Job, out: &mut Out, set: usize, doors: &[&Door]) {
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let (wired, plain): (Vec<&Spec>, Vec<&Spec>) = job.lines_of(set, &[Category::Hinge]).into_iter().partition(|spec| wires(spec).is_some());
    let lines: Vec<_> = wired.iter().map(|spec| spec.id).collect();
    let says = "An electrified hinge on a leaf of two hinges: both carry the leaf, and it must not.";
    let mut finding = out.about_lines(job, set, &lines, numbers, if doors.iter().any(|door| door.is_pair()) { "two of a pair" } else { "two" }, says);
    finding.kind = Kind::Question;
    finding.priced_as = "as written".to_owned();
    finding.answers = vec![Answer::new("as written", Effect::Nothing)];
    if let Some(line) = plain.last() {
        let quantity = doors.first().map_or(line.quantity, |door| match line.basis {
            Basis::Leaf => line.count_at(door) / Decimal::from(door.leaves) + Decimal::ONE,
            _ => line.count_at(door) + Decimal::from(door.leaves),
        });
        let words = if doors.iter().any(|door| door.is_pair()) { "a third hinge on each leaf" } else { "a third hinge" };
        finding.answers.push(Answer::new(words, Effect::Quantity { line: line.id, quantity }));
    }
    let wanted = wired.iter().filter_map(|spec| devices::wires_across(spec)).max().unwrap_or_default();
    let goods = devices::instead(job, set, &wired, &finding.openings, wanted);
    finding.answers.push(Answer::new("plain hinges and a concealed power transfer", Effect::Several(vec![
        Effect::Set { lines, attribute: names::CONDUCTORS, value: Value::count(0) },
        Effect::Follows { goods: vec![goods] },
    ])));
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let plain = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| wires(spec).is_none()).collect::<Vec<_>>();
        let wired = job.lines_of(set, &[Category::Hinge]).into_iter().any(|spec| wires(spec).is_some());
        let mut two: BTreeMap<u32, Vec<&Door>> = BTreeMap::new();
        let mut places: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
        for door in job.doors(set) {
            let added: Decimal = job
                .added_to(door.index, &[Category::Hinge], CODE)
                .iter()
                .filter(|added| added.ours && added.attributes.contains_key(&names::CONDUCTORS))
                .flat_map(|added| added.shares.iter())
                .filter(|(opening, _)| *opening == door.index)
                .map(|(_, share)| *share)
                .sum();
            if let Some(line) = plain.last().filter(|_| !added.is_zero()) {
                out.acts.push(Act::Less { line: line.id, opening: door.index, quantity: added });
            }
            let (Some(height), true) = (door.height, wired || !added.is_zero()) else { continue };
            if hinge::count(height) < 3 {
                two.entry(door.leaves).or_default().push(door);
                continue;
            }
            let place = hinge::electrified_place_words(hinge::count(height));
            places.entry(place).or_default().push(door.number.clone());
        }
        for doors in two.values() {
            of_two(job, out, set, doors);
        }
        for (place, numbers) in places {
            let says = format!("The electrified hinge is the {place}; it bears no load.");
            let mut finding = out.about_set(job, set, numbers, &format!("job:{place}"), says);
            finding.help = "the frame and door makers prepare that place before labels are fixed".to_owned();
            // The preparation standard ends at four hinges.
            if place == hinge::electrified_place_words(MANY) {
                finding.says = format!("The electrified hinge of a leaf of five hinges or more: {place} taken; the preparation standard names no place.");
                finding.kind = Kind::Question;
                finding.priced_as = place.to_owned();
                finding.answers = plain_answers(&[place, "another between top and bottom, as the frame drawing says"]);
            }
            out.say(finding);
        }
    }
}
