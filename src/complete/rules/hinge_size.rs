//! Height and width of hinges by the leaf.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::hinge;
use crate::trade::inches::Inches;
use crate::trade::limits;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-size",
        Kind::Assumption,
        Weight::Goods,
        "Size of hinges",
        "a hinge line gives no height or no width",
        "height by thickness and width of the leaf, a larger one for the larger leaves; width 4-1/2, and as wide as high where it is lower; where a remark lets the leaf swing 180 degrees, wide enough to clear 3 in of trim",
        "1-3/4 thick: 4-1/2 up to 36 wide, 5 up to 48, 6 above; 1-3/8: 3-1/2 up to 32, 4 up to 37; thicker: 5 or 6 heavy; width for trim = 2 x (thickness - 1/4) + trim, up to the next one made",
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
    // The width of a hinge that swings clear follows from its form.
    let no_width = spec.lacks(names::WIDTH, CODE) && !spec.is_set(names::SWING_CLEAR);
    let no_height = spec.lacks(names::HEIGHT, CODE);
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
    let mut cleared: BTreeSet<String> = BTreeSet::new();
    if no_width {
        // A hinge 3-1/2 or 4 high is as wide as it is high.
        let wide = |height: Option<Inches>| height.filter(|height| *height < standard).unwrap_or(standard);
        let width = wide(spec.value(names::HEIGHT).and_then(Value::as_length));
        out.fill(spec.id, names::WIDTH, Value::Length(width), Grade::Assumed);
        let mut clear: BTreeMap<(Inches, Inches), Vec<String>> = BTreeMap::new();
        for door in job.doors(set) {
            let mut own = wide(spec.value_at(door, names::HEIGHT).and_then(Value::as_length));
            if let Some((least, made)) = to_clear(job, spec, door).filter(|(_, made)| *made > own) {
                own = made;
                clear.entry((least, made)).or_default().push(door.number.clone());
            }
            if own != width {
                out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::WIDTH, value: Value::Length(own) });
            }
        }
        for ((least, made), doors) in clear {
            cleared.extend(doors.iter().cloned());
            let says = format!(
                "Leaves that by their remarks swing 180 degrees: to clear {} in of trim a hinge is {} in wide (twice the thickness less {} in, and the trim); {} in taken.",
                limits::inches("hinge_trim_clear").in_fractions(),
                least.in_fractions(),
                limits::inches("hinge_backset").in_fractions(),
                made.in_fractions()
            );
            let mut finding = out.about_lines(job, set, &[spec.id], doors, &format!("job:clear {made}"), says);
            finding.help = "ask for the trim and the reveal".to_owned();
            out.say(finding);
        }
    }
    let heights: BTreeSet<String> = by_door.values().map(|height| height.in_fractions()).collect();
    let says = match (no_height, heights.len()) {
        (true, 0) => "The size of hinges is not given, nor the size of the leaf: 4-1/2 x 4-1/2 taken.".to_owned(),
        (true, _) => format!(
            "The size of hinges is not given: {} high by thickness and width of the leaf{}.",
            heights.into_iter().collect::<Vec<_>>().join(" or "),
            if cleared.is_empty() { ", 4-1/2 wide" } else { ", 4-1/2 wide where nothing is to be cleared" }
        ),
        (false, _) => "The width of hinges is not given: the standard width taken, which clears 1-1/2 in at a 1-3/4 leaf.".to_owned(),
    };
    let numbers: Vec<String> = job.numbers(set).into_iter().filter(|number| no_height || !cleared.contains(number)).collect();
    if numbers.is_empty() && !cleared.is_empty() {
        return;
    }
    out.say(out.about_lines(job, set, &[spec.id], numbers, "job:", says));
}

const CODE: &str = "hinge-size";

/// The width that clears the trim where a leaf swings wide, and the next one made.
fn to_clear(job: &Job, spec: &Spec, door: &Door) -> Option<(Inches, Inches)> {
    if !door.speaks_of("swings-wide") {
        return None;
    }
    let thick = door.thickness.unwrap_or(limits::inches("hinge_usual_thickness"));
    let least = (thick - limits::inches("hinge_backset")) * 2 + limits::inches("hinge_trim_clear");
    let step = Inches::fraction(0, 1, 2)?;
    let mut width = Inches::new((least.decimal() * Decimal::TWO).ceil() / Decimal::TWO);
    while width <= limits::inches("hinge_widest") {
        let mut asked = spec.asked();
        asked.extend(spec.value_at(door, names::HEIGHT).map(|height| (names::HEIGHT, height.clone())));
        asked.insert(names::WIDTH, Value::Length(width));
        if !job.select(Category::Hinge, asked).candidates.is_empty() {
            return Some((least, width));
        }
        width = width + step;
    }
    None
}
