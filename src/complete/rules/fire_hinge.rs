//! Hinges of fire doors are steel or stainless with bearings.

use crate::complete::door::Door;
use crate::complete::spec::{From, Grade, Spec};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::limits;
use crate::trade::category::Category;
use crate::trade::finish;
use crate::complete::act::{Act, Out, Rule, page};
use crate::understand::reading::Heard;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-hinge",
        Kind::Assumption,
        Weight::LifeSafety,
        "Hinges on a fire door",
        "a rated door has plain bearing hinges, hinges of brass, bronze or aluminum by their finish, hinges too small for a leaf of 1-3/4 in, standard weight above 8-0, or a continuous hinge that is not said to be listed",
        "ball bearing, the steel equivalent of the finish, the size and the weight of the table, and a listed continuous hinge are taken",
        "leaves of 1-3/4 in: 4-1/2 x .134 up to 8-0, .180 above",
        ("NFPA 80 6.4.3; A156.1; Table 6.4.3.1 as summarized by a hollow-metal maker", "read"),
        ("hinges 626 on a 90 minute door", "hinges 652"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3 finish=626 bearing=ball; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 90min; hinge 3 finish=652 bearing=ball; closer 1; mortise-lock 1 function=F07",
};

/// A finish that may be read as one on brass or as one on steel: where every door is rated it is the one on steel.
fn doubtful(job: &Job, out: &mut Out, set: usize, spec: &Spec, rated: &[usize]) {
    let Some(Heard::Ambiguous(candidates)) = spec.reading.attributes.get(&names::FINISH) else { return };
    if rated.len() != job.doors(set).count() {
        return;
    }
    let finishes: Vec<_> = candidates.iter().filter_map(|(value, _)| finish::find(value.as_text()?)).collect();
    let (steel, others): (Vec<_>, Vec<_>) = finishes.into_iter().partition(|found| found.is_on("steel") || found.is_on("stainless"));
    let ([steel], false) = (steel.as_slice(), others.is_empty()) else { return };
    out.acts.push(Act::Change { line: spec.id, attribute: names::FINISH, value: Value::text(steel.code), grade: Grade::Assumed });
    let says = format!("Hinges of rated doors whose finish can be read on brass or on steel: {} taken.", steel.code);
    out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:doubtful {}", steel.code), says));
}

/// A continuous hinge of a rated door is a listed one.
fn continuous(job: &Job, out: &mut Out, set: usize, rated: &[usize]) {
    for spec in job.lines_of(set, &[Category::ContinuousHinge]) {
        if spec.reading.attributes.get(&names::FIRE_LISTED).and_then(|heard| heard.found()).is_some_and(Value::is_true) {
            continue;
        }
        out.give_at(job, spec.id, rated, names::FIRE_LISTED, Value::Flag(true), (Grade::Assumed, true));
        let says = "Continuous hinges on rated doors: listed ones taken.";
        out.say(out.about_lines(job, set, &[spec.id], job.numbers_of(set, |door| door.fire), "job:continuous", says));
    }
}

/// Sizes and weights that the words give and the table of the standard does not allow at a leaf of 1-3/4 in.
fn small(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let usual = limits::inches("hinge_usual_thickness");
    let (least, standard_to) = (limits::inches("fire_hinge_least"), limits::inches("fire_hinge_standard_to"));
    let full = |door: &Door| door.fire && door.thickness.is_none_or(|thick| thick >= usual);
    let lower = |attribute: Attr| written(spec, attribute).and_then(Value::as_length).is_some_and(|length| length < least);
    let low = lower(names::HEIGHT);
    let doors: Vec<&Door> = job.doors(set).filter(|door| low && full(door)).collect();
    if !doors.is_empty() {
        give(job, out, spec, &doors, (names::HEIGHT, Value::Length(least)));
        if lower(names::WIDTH) {
            give(job, out, spec, &doors, (names::WIDTH, Value::Length(least)));
        }
        let says = format!("Hinges lower than {} in on rated doors of 1-3/4 in: {} in taken.", least.in_fractions(), least.in_fractions());
        out.say(out.about_lines(job, set, &[spec.id], numbers(&doors), "job:size", says));
    }
    let light = written(spec, names::WEIGHT).and_then(Value::as_text) == Some("standard");
    let doors: Vec<&Door> = job.doors(set).filter(|door| light && full(door) && door.height.is_some_and(|high| high > standard_to)).collect();
    if !doors.is_empty() {
        give(job, out, spec, &doors, (names::WEIGHT, Value::text("heavy")));
        let says = "Hinges of standard weight on rated doors above 8-0: heavy weight (.180) taken.";
        out.say(out.about_lines(job, set, &[spec.id], numbers(&doors), "job:weight", says));
    }
}

/// What the words alone give, whatever this rule has made of them.
fn written(spec: &Spec, attribute: Attr) -> Option<&Value> {
    spec.reading.attributes.get(&attribute).and_then(|heard| heard.found())
}

/// What an answer gives; no rule changes it.
fn answered(spec: &Spec, attribute: Attr) -> Option<&Value> {
    let sourced = spec.attributes.get(&attribute)?;
    matches!(sourced.from, From::Answer(_)).then_some(&sourced.value)
}

fn numbers(doors: &[&Door]) -> Vec<String> {
    doors.iter().map(|door| door.number.clone()).collect()
}

fn give(job: &Job, out: &mut Out, spec: &Spec, doors: &[&Door], (attribute, value): (Attr, Value)) {
    let indexes: Vec<usize> = doors.iter().map(|door| door.index).collect();
    out.give_at(job, spec.id, &indexes, attribute, value, (Grade::Assumed, true));
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let numbers = job.numbers_of(set, |door| door.fire);
        let rated: Vec<usize> = job.doors(set).filter(|door| door.fire).map(|door| door.index).collect();
        let changed = (Grade::Assumed, true);
        if numbers.is_empty() {
            continue;
        }
        continuous(job, out, set, &rated);
        for spec in job.lines_of(set, &[Category::Hinge]) {
            small(job, out, set, spec);
            // By the words: what this rule has made of them is not plain any more.
            if written(spec, names::BEARING).and_then(Value::as_text) == Some("plain") {
                out.give_at(job, spec.id, &rated, names::BEARING, Value::text("ball"), changed);
                let says = "Plain bearing hinges on rated doors: ball bearing taken.";
                out.say(out.about_lines(job, set, &[spec.id], numbers.clone(), "job:bearing", says));
            } else if answered(spec, names::BEARING).and_then(Value::as_text) == Some("plain") {
                let says = "Plain bearing hinges on rated doors by an answer: priced so, but rated doors take ball bearing hinges.";
                out.say(out.about_lines(job, set, &[spec.id], numbers.clone(), "job:bearing-answered", says));
            }
            doubtful(job, out, set, spec, &rated);
            let Some(found) = written(spec, names::FINISH).and_then(Value::as_text).and_then(finish::find) else { continue };
            if found.is_on("steel") || found.is_on("stainless") || found.bases.is_empty() {
                continue;
            }
            let Some(steel) = finish::resolve(found.look, "steel") else { continue };
            out.give_at(job, spec.id, &rated, names::FINISH, Value::text(steel.code), changed);
            out.give_at(job, spec.id, &rated, names::BASE, Value::text("steel"), changed);
            let says = format!("Hinges in {} on rated doors: brass and bronze melt; {} on steel taken.", found.code, steel.code);
            out.say(out.about_lines(job, set, &[spec.id], numbers.clone(), &format!("job:{}", found.code), says));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    #[test]
    fn plain_hinges_become_bearing_ones_and_stay_so() {
        for doors in ["door 101 36x84 hm stud 90min", "door 101 36x84 hm stud 90min; door 102 36x84 hm stud"] {
            let job = completed(&format!("{doors}; hinge 3 bearing=plain finish=652; closer 1; mortise-lock 1 function=F07"));
            assert!(speaks(&job, "fire-hinge") && !speaks(&job, "rules-quarrel"), "{:#?}", job.findings);
            let hinge = &job.sets[0].specs[0];
            let at = hinge.varies.get(&0).and_then(|own| own.get(&names::BEARING)).or(hinge.value(names::BEARING));
            assert_eq!(at.and_then(|value| value.as_text()), Some("ball"), "{doors}");
        }
    }
}
