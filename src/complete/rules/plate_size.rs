//! Sizes of protection plates.

use crate::trade::limits;
use crate::trade::wording::with_article;
use crate::complete::act::Act;
use crate::complete::door::Door;
use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "plate-size",
        Kind::Assumption,
        Weight::Goods,
        "Size of protection plates",
        "a protection plate gives no width, or no height",
        "width of the leaf less 2 in at a single door and beside a mullion, less 1 in at each leaf of a pair; the deduction written on the line counts; height 10 in for a kick plate, 4 for a mop, 36 for an armor, 8 for a stretcher plate",
        "- 2 in single, - 1 in pair",
        ("UFGS 08 71 00; articles on plate sizes", "read"),
        ("KICK PLATE", "KICK PLATE 10 x 34"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; protection-plate 1 kind=kick",
    quiet: "door 101 36x84 hm; hinge 3; protection-plate 1 kind=kick height=10 width=34",
};

const CODE: &str = "plate-size";

/// The width of a plate at a door, beside a mullion or not; `less`: what the line says it is narrower than the leaf.
pub fn width_at(door: &Door, mullion: bool, less: Option<Inches>) -> Option<Inches> {
    Some(width_of(door.widest_leaf()?, door.is_pair() && !mullion, less))
}

/// The width of a plate on a leaf of this width, of a pair without mullion or not.
pub fn width_of(leaf: Inches, pair: bool, less: Option<Inches>) -> Inches {
    let less = less.unwrap_or_else(|| limits::inches(if pair { "plate_less_pair" } else { "plate_less_single" }));
    (leaf - less).down_to_eighth()
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::ProtectionPlate]) {
            let kind = spec.word(names::KIND);
            if spec.lacks(names::HEIGHT, CODE) {
                let high = match kind {
                    "mop" => limits::inches("plate_high_mop"),
                    "armor" => limits::inches("plate_high_armor"),
                    "stretcher" => limits::inches("plate_high_stretcher"),
                    _ => limits::inches("plate_high_kick"),
                };
                out.fill(spec.id, names::HEIGHT, Value::Length(high), Grade::Assumed);
                let says = format!("The height of plates is not given: {high} in taken for {} plate.", with_article(if kind.is_empty() { "kick" } else { kind }));
                out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:height {high}"), says));
            }
            if !spec.lacks(names::WIDTH, CODE) {
                continue;
            }
            let less = spec.value(names::WIDTH_LESS).and_then(Value::as_length);
            let mut numbers = Vec::new();
            for door in job.doors(set) {
                let Some(width) = width_at(door, job.names(set, &[Category::Mullion]), less) else { continue };
                out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::WIDTH, value: Value::Length(width) });
                numbers.push(door.number.clone());
            }
            if less.is_none() && !numbers.is_empty() {
                let says = "The width of plates is not given: width of the leaf less 2 in, at each leaf of a pair without mullion less 1 in.";
                out.say(out.about_lines(job, set, &[spec.id], numbers, "job:width", says));
            }
        }
    }
}
