//! An electrified hinge is like the ordinary hinges of its leaf.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attr, names};
use crate::trade::category::Category;
use super::hinge_count::wires;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-like",
        Kind::Assumption,
        Weight::Goods,
        "An electrified hinge is like the others",
        "an electrified hinge leaves out size, weight, finish, base metal, pin or corners, and an ordinary hinge of its set gives them",
        "they are taken from the ordinary hinge",
        "",
        ("common practice", "common practice"),
        ("stainless hinges with NRP, and ELECTRIC HINGE alone", "an electrified hinge with its own size and finish"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2 height=4.5 width=4.5 finish=630; hinge 1 conductors=6",
    quiet: "door 101 36x84 hm; hinge 2 height=4.5 width=4.5 finish=630; hinge 1 conductors=6 height=4.5 width=4.5 finish=630",
};

const CODE: &str = "electrified-hinge-like";

/// What an electrified hinge copies from the ordinary hinges of its leaf.
pub const COPIED: &[Attr] = &[
    names::HEIGHT, names::WIDTH, names::WEIGHT, names::BEARING, names::FINISH, names::LOOK, names::BASE, names::PIN,
    names::CORNERS, names::TIP, names::KNUCKLES, names::MOUNT, names::MAKER, names::SWING_CLEAR,
];

/// Metal and color: where one of them is said, the others follow from it and not from another hinge.
const FINISHING: &[Attr] = &[names::FINISH, names::LOOK, names::BASE];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let (wired, plain): (Vec<&Spec>, Vec<&Spec>) = job.lines_of(set, &[Category::Hinge]).into_iter().partition(|spec| wires(spec).is_some());
        let Some(plain) = plain.first() else { continue };
        for spec in wired.into_iter().filter(|spec| !spec.says(names::DESIGNATION)) {
            copy(job, out, set, spec, plain);
        }
    }
}

fn copy(job: &Job, out: &mut Out, set: usize, spec: &Spec, plain: &Spec) {
    let own_finish = FINISHING.iter().any(|attribute| !spec.lacks(*attribute, CODE) && spec.says(*attribute));
    let mut taken = Vec::new();
    for attribute in COPIED {
        let finishing = FINISHING.contains(attribute);
        // A wired hinge is a bearing hinge; plain bearing ones are not made.
        if !plain.says(*attribute) || *attribute == names::BEARING || spec.says(*attribute) || finishing && own_finish {
            continue;
        }
        let Some(value) = plain.value(*attribute) else { continue };
        out.fill(spec.id, *attribute, value.clone(), Grade::Certain);
        if *attribute != names::LOOK {
            taken.push(match value.as_length() {
                Some(length) => format!("{attribute} {}", length.in_fractions()),
                None if value.is_true() => attribute.to_string().replace('_', " "),
                None => format!("{attribute} {value}"),
            });
        }
    }
    if !taken.is_empty() {
        let says = format!("The electrified hinge does not give all that the other hinges of its leaf give; taken from them: {}.", taken.join(", "));
        out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{}", taken.join(" ")), says));
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    #[test]
    fn size_finish_and_pin_come_from_the_ordinary_hinge() {
        let job = completed("door 101 36x84 hm exterior RHR; hinge 2 height=5 width=4.5 finish=630 pin=non-removable weight=heavy; hinge 1 conductors=6; mortise-lock 1 function=F07 finish=626 electrified=fail-secure");
        let hinge = &job.sets[0].specs[1];
        assert_eq!(hinge.word(names::FINISH), "630");
        assert_eq!(hinge.word(names::WEIGHT), "heavy");
        assert_eq!(hinge.value(names::HEIGHT).map(ToString::to_string).as_deref(), Some("5"));
        assert!(!speaks(&job, "finish-missing") && !speaks(&job, "hinge-size") && !speaks(&job, "rules-quarrel"), "{:#?}", job.findings);
    }
}
