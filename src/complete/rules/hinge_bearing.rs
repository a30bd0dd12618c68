//! Bearing of hinges.
use crate::complete::act::Act;
use crate::complete::door::Door;
use crate::complete::spec::{Grade, Spec};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-bearing",
        Kind::Assumption,
        Weight::Goods,
        "Bearing of hinges",
        "a hinge line says neither ball bearing nor plain",
        "ball bearing where there is a closer, a rating, an exterior door or heavy weight; plain only on other doors without closer",
        "",
        ("UFC 3-190-02FA: bearing hinges on doors with closers; NFPA 80 for fire doors", "read"),
        ("3 HINGES 4-1/2 x 4-1/2 on a door with closer", "3 BALL BEARING HINGES"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; closer 1",
    quiet: "door 101 36x84 hm; hinge 3 bearing=ball",
};

const CODE: &str = "hinge-bearing";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Hinge]) {
            if spec.lacks(names::BEARING, CODE) {
                bear(job, out, set, spec);
            }
        }
    }
}

/// Whether the number of a hinge says what its words do not: `BB-1`.
fn by_number(spec: &Spec) -> bool {
    let number = spec.value(names::DESIGNATION).and_then(Value::as_text).unwrap_or_default();
    number.split(|sign: char| !sign.is_ascii_alphabetic()).any(|letters| rule_words::is("ball-bearing-numbers", letters))
}

fn bear(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    if by_number(spec) {
        out.fill(spec.id, names::BEARING, Value::text("ball"), Grade::Assumed);
        let says = "The bearing of hinges is not given in words: ball bearing taken by the letters of the catalog number.";
        out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:number", says));
        return;
    }
    let closing = [Category::Closer, Category::Operator];
    let wired = super::hinge_count::wires(spec).is_some();
    let needs = |door: &Door| {
        let heavy = spec.value_at(door, names::WEIGHT).and_then(Value::as_text) == Some("heavy");
        wired || heavy || door.fire || door.exterior || job.has(set, door, &closing, CODE)
    };
    let (with, without): (Vec<&Door>, Vec<&Door>) = job.doors(set).partition(|door| needs(door));
    let numbers = |doors: &[&Door]| doors.iter().map(|door| door.number.clone()).collect();
    // Nor does it help to take plain bearings for what is made with ball bearings alone, at the size of the very door:
    // hinges with pins that cannot be removed, say.
    let made = |door: &Door, bearing: &str| {
        let mut asked = spec.asked();
        asked.extend(spec.varies.get(&door.index).into_iter().flatten().map(|(name, value)| (*name, value.clone())));
        asked.insert(names::BEARING, Value::text(bearing));
        !job.select(Category::Hinge, asked).candidates.is_empty()
    };
    // Doors alike in what they ask are looked up once.
    let mut known: Vec<(Option<&Attributes>, bool)> = Vec::new();
    let (plain, only): (Vec<&Door>, Vec<&Door>) = without.into_iter().partition(|door| {
        let own = spec.varies.get(&door.index);
        if let Some((_, serves)) = known.iter().find(|(asks, _)| *asks == own) {
            return *serves;
        }
        let serves = made(door, "plain") || !made(door, "ball");
        known.push((own, serves));
        serves
    });
    // A set of no known door gets what serves any.
    let bearing = if plain.is_empty() { "ball" } else { "plain" };
    out.fill(spec.id, names::BEARING, Value::text(bearing), Grade::Assumed);
    if !plain.is_empty() {
        for door in with.iter().chain(&only) {
            out.acts.push(Act::Vary { line: spec.id, opening: door.index, attribute: names::BEARING, value: Value::text("ball") });
        }
        let says = "The bearing of hinges is not given: plain bearing taken, since the doors have no closer and no rating.";
        out.say(out.about_lines(job, set, &[spec.id], numbers(&plain), "job:plain", says));
    }
    if !only.is_empty() {
        let says = "The bearing of hinges is not given: ball bearing taken; the catalog makes such hinges in no other way.";
        out.say(out.about_lines(job, set, &[spec.id], numbers(&only), "job:only", says));
    }
    if !with.is_empty() || plain.is_empty() && only.is_empty() {
        let says = "The bearing of hinges is not given: ball bearing taken (closer, rating, exterior or heavy).";
        out.say(out.about_lines(job, set, &[spec.id], numbers(&with), "job:ball", says));
    }
}
