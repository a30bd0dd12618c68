//! Weight class of hinges by the weight and width of the leaf.
use crate::trade::limits;
use crate::complete::spec::{Grade, Spec};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

use crate::complete::act::Act;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-weight",
        Kind::Assumption,
        Weight::Goods,
        "Weight class of hinges",
        "a hinge line says neither standard nor heavy weight",
        "heavy where a leaf is estimated at 150 lb or more, or is wider than 36 in and has a closer, or is thicker than 1-3/4, or is rated and higher than 8-0, or is lead-lined by a remark; else standard",
        "150 lb; 36 in; heavy .180 at 4-1/2, .190 at 5",
        ("hinge makers' guidance; NFPA 80 good practice as reported", "reported"),
        ("a leaf 48 wide and 96 high", "a hinge of heavy weight"),
    ),
    run,
    fires: "door 101 48x96 hm; hinge 4 height=5 width=4.5; closer 1",
    quiet: "door 101 36x84 hm; hinge 3 weight=heavy",
};

const CODE: &str = "hinge-weight";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Hinge]) {
            if spec.lacks(names::WEIGHT, CODE) {
                weigh(job, out, set, spec);
            }
        }
    }
}

fn weigh(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let heavy: Vec<(usize, String)> = job
        .doors(set)
        .filter(|door| {
            let closer = job.has(set, door, &[Category::Closer, Category::Operator], CODE);
            let wide = door.widest_leaf().is_some_and(|width| width > limits::inches("hinge_wide_leaf")) && closer;
            let thick = door.thickness.is_some_and(|thick| thick > limits::inches("hinge_usual_thickness"));
            let rated = door.fire && door.height.is_some_and(|high| high > limits::inches("fire_hinge_standard_to"));
            // Lead in the leaf makes it as heavy, whatever its weight by its outside.
            let lead = door.speaks_of("lead-lined");
            wide || thick || rated || lead || door.leaf_weight().is_some_and(|pounds| pounds >= limits::number("hinge_heavy_leaf"))
        })
        .map(|door| (door.index, door.number.clone()))
        .collect();
    let all = heavy.len() == job.doors(set).count() && !heavy.is_empty();
    let word = if all { "heavy" } else { "standard" };
    out.fill(spec.id, names::WEIGHT, Value::text(word), Grade::Assumed);
    if !all {
        for (opening, _) in &heavy {
            out.acts.push(Act::Vary { line: spec.id, opening: *opening, attribute: names::WEIGHT, value: Value::text("heavy") });
        }
        let says = "The weight class of hinges is not given: standard weight taken (leaf under 150 lb by estimate).";
        let light = job.doors(set).map(|door| door.number.clone()).filter(|number| !heavy.iter().any(|(_, one)| one == number)).collect();
        out.say(out.about_lines(job, set, &[spec.id], light, "job:standard", says));
    }
    if !heavy.is_empty() {
        let says = "The weight class of hinges is not given: heavy weight taken, since the leaf is estimated at 150 lb or more, wider than 36 in with a closer, thicker than 1-3/4 in, rated and higher than 8-0, or lead-lined.";
        let numbers = heavy.into_iter().map(|(_, number)| number).collect();
        out.say(out.about_lines(job, set, &[spec.id], numbers, "job:heavy", says));
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;
    use crate::trade::attribute::names;

    #[test]
    fn a_lead_lined_leaf_has_heavy_hinges_and_its_makers_are_told() {
        let job = completed("door 101 36x84 wood remark=lead_lined_door_and_frame; hinge 3; mortise-lock 1 function=F01; stop 1");
        assert_eq!(job.sets[0].specs[0].word(names::WEIGHT), "heavy");
        let told: Vec<&str> = job.preps.iter().filter(|prep| prep.what.contains("lead")).map(|prep| prep.trade).collect();
        assert_eq!(told, ["door", "frame"]);
        let job = completed("door 101 36x84 wood remark=leads_to_court; hinge 3; mortise-lock 1 function=F01; stop 1");
        assert_eq!(job.sets[0].specs[0].word(names::WEIGHT), "standard");
        assert!(job.preps.iter().all(|prep| !prep.what.contains("lead")));
    }
}
