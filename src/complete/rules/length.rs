//! Lengths of goods that follow the opening.

use crate::trade::limits;
use crate::complete::act::Act;
use crate::complete::door::Door;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::understand::reading::Unit;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "length",
        Kind::Note,
        Weight::Goods,
        "Lengths by the opening",
        "seals, thresholds, sweeps, door bottoms, astragals, rain drips, continuous hinges, mullions, exit devices or coordinators of pairs give no length",
        "the length of each opening is taken: seal twice the height and once the width, threshold the width of the opening, sweep the width of the leaf, astragal the height of the leaf, drip the width and 4 in, continuous hinge the height less 1 in, mullion the height, exit device the width of the leaf, coordinator the width of a pair's opening, of which a price book may say that the longest bar within it serves and a filler closes the rest of the head",
        "",
        ("geometry; drip and stock by common practice", "read"),
        ("THRESHOLD", "THRESHOLD 36 long"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; threshold 1",
    quiet: "door 101 36x84 hm; hinge 3; threshold 1 length=36",
};

/// Goods with a length of the opening.
const LONG: &[Category] = &[
    Category::Gasketing, Category::Threshold, Category::Sweep, Category::DoorBottom, Category::Astragal,
    Category::RainDrip, Category::ContinuousHinge, Category::Mullion, Category::ExitDevice, Category::Coordinator,
];

/// The length that goods of a category have at a door.
pub fn length_of(category: Category, door: &Door) -> Option<Inches> {
    let length = match category {
        Category::Gasketing => Some(door.height? * 2 + door.width?),
        Category::Threshold => door.width,
        // One at a single door is a doubt of its own and says nothing of the length.
        Category::Coordinator if door.is_pair() => door.width,
        Category::Sweep | Category::DoorBottom | Category::ExitDevice => door.widest_leaf(),
        Category::Astragal | Category::Mullion => door.height,
        Category::RainDrip => Some(door.width? + limits::inches("drip_beyond")),
        Category::ContinuousHinge => Some(door.height? - limits::inches("continuous_hinge_less")),
        _ => None,
    };
    length.map(Inches::up_to_eighth)
}

/// At a pair of which no size is known, that of two usual leaves: goods as wide as the opening are not those of a single door.
fn of_usual_pair(category: Category, door: &Door) -> Option<Inches> {
    let wide = matches!(category, Category::Gasketing | Category::Threshold | Category::RainDrip | Category::Coordinator);
    let unknown = door.is_pair() && door.width.is_none();
    let usual = || Door {
        width: Some(limits::inches("usual_leaf_wide") * 2),
        height: Some(door.height.unwrap_or_else(|| limits::inches("usual_leaf_high"))),
        ..door.clone()
    };
    (wide && unknown).then(usual).and_then(|door| length_of(category, &door))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, LONG) {
            let in_feet = spec.unit == Unit::Foot;
            if in_feet || !spec.lacks(names::LENGTH, "length") {
                continue;
            }
            let Some(category) = spec.category else { continue };
            let (mut numbers, mut pairs) = (Vec::new(), Vec::new());
            for door in job.doors(set) {
                let known = length_of(category, door);
                let Some(length) = known.or_else(|| of_usual_pair(category, door)) else { continue };
                out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::LENGTH, value: Value::Length(length) });
                if known.is_some() { &mut numbers } else { &mut pairs }.push(door.number.clone());
            }
            if !pairs.is_empty() {
                let says = format!("Pairs of which no size is known: each {} taken as long as for two leaves of 3-0 x 7-0.", category.name().replace('-', " "));
                let mut finding = out.about_lines(job, set, &[spec.id], pairs, &format!("job:pair {}", category.name()), says);
                finding.kind = Kind::Assumption;
                out.say(finding);
            }
            if !numbers.is_empty() {
                let says = format!("Length of each {} taken from its opening.", category.name().replace('-', " "));
                out.say(out.about_lines(job, set, &[spec.id], numbers, &format!("job:{}", category.name()), says));
            }
        }
    }
}
