//! Height and width of hinges by the leaf.
use crate::complete::spec::{Grade, Spec};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use std::collections::{BTreeMap, BTreeSet};

use crate::complete::act::Act;
use crate::trade::hinge;
use crate::trade::inches::Inches;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-size",
        Kind::Assumption,
        Weight::Goods,
        "Size of hinges",
        "a hinge line gives no height or no width",
        "height by thickness and width of the leaf, a larger one for the larger leaves; width 4-1/2",
        "1-3/4 thick: 4-1/2 up to 36 wide, 5 up to 48, 6 above; 1-3/8: 3-1/2 up to 32, 4 up to 37; thicker: 5 or 6 heavy",
        ("DHI table as reproduced by two trade guides", "reported"),
        ("3 EA HINGES on a leaf 42 wide", "3 EA HINGES 4-1/2 x 4-1/2"),
    ),
    run,
    fires: "door 101 42x84 hm; hinge 3",
    quiet: "door 101 36x84 hm; hinge 3 height=4.5 width=4.5",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Hinge]) {
            size(job, out, set, spec);
        }
    }
}

fn size(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let (no_height, no_width) = (spec.lacks(names::HEIGHT, CODE), spec.lacks(names::WIDTH, CODE));
    if !no_height && !no_width {
        return;
    }
    let standard = Inches::fraction(4, 1, 2).unwrap_or_default();
    let by_door: BTreeMap<usize, Inches> = job
        .doors(set)
        .filter_map(|door| {
            let thick = door.thickness.or_else(|| Inches::fraction(1, 3, 4))?;
            Some((door.index, hinge::height(thick, door.widest_leaf()?)?.0))
        })
        .collect();
    let usual = by_door.values().copied().min().unwrap_or(standard);
    if no_height {
        out.fill(spec.id, names::HEIGHT, Value::Length(usual), Grade::Assumed);
        for (door, height) in by_door.iter().filter(|(_, height)| **height != usual) {
            out.acts.push(Act::Vary { line: spec.id, opening: *door, attribute: names::HEIGHT, value: Value::Length(*height) });
        }
    }
    if no_width {
        // A hinge 3-1/2 or 4 high is as wide as it is high.
        let wide = |height: Option<Inches>| height.filter(|height| *height < standard).unwrap_or(standard);
        let width = wide(spec.value(names::HEIGHT).and_then(Value::as_length));
        out.fill(spec.id, names::WIDTH, Value::Length(width), Grade::Assumed);
        for door in job.doors(set) {
            let own = wide(spec.value_at(door, names::HEIGHT).and_then(Value::as_length));
            if own != width {
                out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::WIDTH, value: Value::Length(own) });
            }
        }
    }
    let heights: BTreeSet<String> = by_door.values().map(|height| height.in_fractions()).collect();
    let says = match (no_height, heights.len()) {
        (true, 0) => "The size of hinges is not given, nor the size of the leaf: 4-1/2 x 4-1/2 taken.".to_owned(),
        (true, _) => format!("The size of hinges is not given: {} high by thickness and width of the leaf, 4-1/2 wide.", heights.into_iter().collect::<Vec<_>>().join(" or ")),
        (false, _) => "The width of hinges is not given: the standard width taken, which clears 1-1/2 in at a 1-3/4 leaf.".to_owned(),
    };
    out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", says));
}

const CODE: &str = "hinge-size";
