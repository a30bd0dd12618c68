//! Goods cut to their leaf, on pairs of unequal leaves.

use rust_decimal::Decimal;

use super::plate_size::width_of;
use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "unequal-leaves",
        Kind::Note,
        Weight::Goods,
        "Each leaf of an unequal pair its own width",
        "a pair of unequal leaves has two sweeps, door bottoms or protection plates without a size",
        "one is cut to the wider leaf, the other to the narrower",
        "",
        ("geometry", "read"),
        ("two sweeps on a pair of 36 and 24 in", "two sweeps on a pair of equal leaves"),
    ),
    run,
    fires: "door 101 60x84 hm leaves=36+24; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; stop 2; sweep 2",
    quiet: "door 101 72x84 hm pair; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; stop 2; sweep 2",
};

const CODE: &str = "unequal-leaves";

/// Goods cut to a leaf, and the attribute that holds the measure.
const CUT: &[(Category, Attr)] = &[(Category::Sweep, names::LENGTH), (Category::DoorBottom, names::LENGTH), (Category::ProtectionPlate, names::WIDTH)];

/// Width of the narrower leaf of a pair whose leaves differ.
pub fn narrower(door: &Door) -> Option<Inches> {
    match door.leaf_widths.as_slice() {
        [one, other] if one != other => Some(*one.min(other)),
        _ => None,
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for (category, measure) in CUT {
            // With several lines nothing tells which is for which leaf.
            let lines = job.lines_of(set, &[*category]);
            let [spec] = lines.as_slice() else { continue };
            if !spec.reading.attributes.contains_key(measure) {
                halve(job, out, set, spec, *measure);
            }
        }
    }
}

fn halve(job: &Job, out: &mut Out, set: usize, spec: &Spec, measure: Attr) {
    let Some(category) = spec.category else { return };
    let mut numbers = Vec::new();
    for door in job.doors(set) {
        let Some(width) = narrower(door) else { continue };
        // What this rule took from the line in the round before still counts.
        let own = job.added_at.get(&door.index).into_iter().flatten().filter_map(|index| job.added.get(*index));
        let own = own.filter(|added| added.rule == CODE && added.category == category && added.set == Some(set));
        let own: Decimal = own.flat_map(|added| &added.shares).filter(|(opening, _)| *opening == door.index).map(|(_, share)| *share).sum();
        if spec.count_at(door) + own != Decimal::TWO {
            continue;
        }
        let cut = if measure == names::WIDTH {
            width_of(width, door.is_pair() && !job.names(set, &[Category::Mullion]), spec.value(names::WIDTH_LESS).and_then(Value::as_length))
        } else {
            width
        };
        let mut attributes = spec.asked();
        attributes.insert(measure, Value::Length(cut));
        out.acts.push(Act::Less { line: spec.id, opening: door.index, quantity: Decimal::ONE });
        out.add(set, category, attributes, vec![(door.index, Decimal::ONE)], "The narrower leaf of the pair has its own width.");
        numbers.push(door.number.clone());
    }
    if !numbers.is_empty() {
        let says = format!("Pairs of unequal leaves: one {} cut to the wider leaf, one to the narrower.", category.name().replace('-', " "));
        out.say(out.about_lines(job, set, &[spec.id], numbers, &format!("job:{}", category.name()), says));
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    #[test]
    fn each_leaf_gets_its_own_width() {
        let job = completed("door 101 60x84 hm exterior leaves=36+24; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; stop 2; sweep 2; protection-plate 2 kind=kick height=10");
        let own: Vec<String> = job.added.iter().filter(|added| added.rule == "unequal-leaves").flat_map(|added| [names::LENGTH, names::WIDTH].iter().filter_map(|name| added.attributes.get(name).map(ToString::to_string)).collect::<Vec<_>>()).collect();
        assert_eq!(own, ["24", "23"], "{:#?}", job.added);
        assert_eq!(job.sets[0].specs[4].at.get(&0), Some(&1.into()));
        assert!(!speaks(&job, "rules-quarrel"));
        let added = completed("door 101 60x84 hm exterior leaves=36+24; hinge 6; exit-device 2 type=surface-vertical-rod; closer 2; stop 2");
        let sweeps: Vec<_> = added.added.iter().filter(|added| added.rule == "exterior-sweep").collect();
        assert_eq!(sweeps.len(), 2, "{:#?}", added.added);
    }
}
