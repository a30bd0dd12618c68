//! Where hinges stand on the leaf.

use rust_decimal::Decimal;

use super::hinge_count::wires;
use crate::complete::act::Act;
use crate::complete::devices;
use crate::complete::door::Door;
use crate::complete::spec::{Prep, Spec};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::hinge;
use crate::trade::inches::Inches;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-position",
        Kind::Note,
        Weight::Scope,
        "Hinge locations",
        "a leaf of known height has hinges",
        "centre lines above the floor for door and frame makers, by the 5-10-and-equal convention, the electrified one marked",
        "head rabbet down 5 in to the top of the top hinge, floor up 10 in to the bottom of the bottom hinge",
        ("a frame maker's guide; makers differ", "reported"),
        ("three hinges on a leaf 7 ft high", "a continuous hinge"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3",
    quiet: "door 101 36x84 hm; continuous-hinge 1",
};

const CODE: &str = "hinge-position";

/// More hinges of a leaf than any convention places.
const MOST: u32 = 9;

fn run(job: &Job, out: &mut Out) {
    if !out.settled {
        return;
    }
    for set in 0..job.sets.len() {
        let hinges = job.all_of(set, &[Category::Hinge]);
        let Some(first) = hinges.first() else { continue };
        let on_leaf = devices::on_leaf(job, set);
        let (need, words) = devices::need_on_leaf(job, set);
        let wired_line = hinges.iter().any(|spec| wires(spec).is_some());
        for door in job.doors(set) {
            let Some(height) = door.height else {
                without_height(out, door, first);
                continue;
            };
            let wired = wired_line || !job.added_to(door.index, &[Category::Hinge], CODE).is_empty();
            let both = devices::leaves(&on_leaf, door) == 2;
            let wires = if need == 0 { "wire hole and path".to_owned() } else { format!("wire hole and path for {need} conductors or more ({words})") };
            let high = first.value_at(door, names::HEIGHT).and_then(Value::as_length).or_else(|| Inches::fraction(4, 1, 2)).unwrap_or_default();
            let wide = first.value_at(door, names::WIDTH).and_then(Value::as_length);
            let count = number_of(job, set, door, height);
            let place = hinge::electrified_place(count).filter(|_| wired);
            let size = wide.map_or_else(|| high.in_fractions(), |wide| format!("{} x {}", high.in_fractions(), wide.in_fractions()));
            for leaf in leaves(door) {
                for (number, at) in (0u32..).zip(hinge::positions(height, high, count)) {
                    // On a pair the wired leaf is the active one, unless both are.
                    let here = place == Some(number) && (both || *leaf != "inactive");
                    let exact = (height - at).in_fractions();
                    let down = if exact.contains('.') { format!("{} in", (height - at).decimal().round_dp(2).normalize()) } else { format!("{exact}\"") };
                    out.acts.push(Act::Prep(Prep {
                        opening: door.index,
                        trade: "door, frame",
                        leaf,
                        what: if here { "electrified hinge" } else { "hinge" }.to_owned(),
                        detail: format!("{size}, center {down} below the head, 5-10-and-equal; check against the frame drawing{}", if here { format!("; {wires}") } else { String::new() }),
                        above_floor: Some(at),
                        rule: CODE,
                    }));
                }
            }
        }
    }
}

/// Hinges of each leaf: those that are priced, where they come out even; else by the rule.
fn number_of(job: &Job, set: usize, door: &Door, height: Inches) -> u32 {
    let listed: Decimal = job.all_of(set, &[Category::Hinge, Category::SpringHinge]).iter().map(|spec| spec.count_at(door)).sum();
    let added: Decimal = job.added_to(door.index, &[Category::Hinge], CODE).iter().flat_map(|added| &added.shares).filter(|(opening, _)| *opening == door.index).map(|(_, share)| *share).sum();
    let of_leaf = (listed + added) / Decimal::from(door.leaves.max(1));
    u32::try_from(of_leaf).ok().filter(|count| of_leaf.fract().is_zero() && (2..=MOST).contains(count)).unwrap_or_else(|| hinge::count(height))
}

/// What can be said of the hinges of a leaf whose height is not known.
fn without_height(out: &mut Out, door: &Door, hinge: &Spec) {
    let size = [names::HEIGHT, names::WIDTH].iter().filter_map(|side| hinge.value_at(door, *side)?.as_length()).map(|side| side.in_fractions()).collect::<Vec<_>>().join(" x ");
    for leaf in leaves(door) {
        out.acts.push(Act::Prep(Prep {
            opening: door.index,
            trade: "door, frame",
            leaf,
            what: "hinges".to_owned(),
            detail: format!("{size}{}the height of the leaf is not given: number and places to be settled", if size.is_empty() { "" } else { "; " }),
            above_floor: None,
            rule: CODE,
        }));
    }
}

/// Leaves by name.
pub fn leaves(door: &Door) -> &'static [&'static str] {
    if door.is_pair() { &["active", "inactive"] } else { &[""] }
}
