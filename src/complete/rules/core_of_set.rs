//! Interchangeable cores on a line of their own: the locks and cylinders of the set are made for them.

use rust_decimal::Decimal;

use super::device_function::takes_a_cylinder;
use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "core-of-set",
        Kind::Assumption,
        Weight::Goods,
        "Locks and cylinders for the cores of their set",
        "a set has interchangeable cores on a line of their own, whoever supplies them, and cylinders or locks of which nothing says for which core they are",
        "the cylinders of the set are those for interchangeable cores; where it has none, or more cores than cylinders, so are its locks and the exit devices that a key works. Fewer cores than these are asked",
        "",
        ("a lock or cylinder with a core of its own has no seat for another: from memory", "common practice"),
        ("OFFICE LOCK beside PERMANENT CORE", "OFFICE LOCK, LESS CORE beside PERMANENT CORE"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F04; core 1 kind=interchangeable",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F04 cylinder=interchangeable-core; core 1 kind=interchangeable",
};

const CODE: &str = "core-of-set";

const KEYED: &[Category] =
    &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock, Category::ExitDevice];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let Some(door) = job.doors(set).next().filter(|_| !job.unread(set)) else { continue };
        let standing = |specs: &[&Spec]| specs.iter().map(|spec| spec.standing_at(door)).sum::<Decimal>();
        // Construction cores come out again, and are in whatever the locks are made for.
        let cores = job.all_of(set, &[Category::Core]).into_iter().filter(|core| core.word(names::KIND) != "construction");
        let cores = standing(&cores.collect::<Vec<_>>());
        if cores <= Decimal::ZERO {
            continue;
        }
        let all = job.all_of(set, &[Category::Cylinder]);
        let open = |attribute: Attr| move |spec: &&&Spec| spec.lacks(attribute, CODE) && !spec.says(names::DESIGNATION);
        let cylinders: Vec<&Spec> = job.lines_of(set, &[Category::Cylinder]).into_iter().filter(|spec| open(names::CORE)(&spec)).collect();
        let value = Value::text("interchangeable");
        told(job, out, set, &cylinders, (names::CORE, &value), true);
        let left = cores - standing(&all);
        if left <= Decimal::ZERO || job.lines(set).any(takes_a_cylinder) {
            continue;
        }
        let value = Value::text("interchangeable-core");
        let keyed: Vec<&Spec> = job.lines_of(set, KEYED).into_iter().filter(|spec| is_keyed(spec)).collect();
        let locks: Vec<&Spec> = keyed.iter().copied().filter(|spec| spec.lacks(names::CYLINDER, CODE)).filter(|spec| is_made(job, spec, &value)).collect();
        told(job, out, set, &locks, (names::CYLINDER, &value), left >= standing(&keyed));
    }
}

/// Whether a key works it; of an exit device only a function says so.
fn is_keyed(spec: &Spec) -> bool {
    let function = spec.word(names::FUNCTION);
    let device = spec.is_any(&[Category::ExitDevice]);
    !(rule_words::is("keyless-functions", function) || device && function.is_empty())
}

/// Whether the catalog has it for such cores.
fn is_made(job: &Job, spec: &Spec, value: &Value) -> bool {
    let mut asked = spec.asked();
    asked.insert(names::CYLINDER, value.clone());
    spec.category.is_some_and(|category| !job.select(category, asked).candidates.is_empty())
}

/// Makes the lines those for interchangeable cores; where there are fewer cores than lines it is asked which.
fn told(job: &Job, out: &mut Out, set: usize, specs: &[&Spec], (attribute, value): (Attr, &Value), enough: bool) {
    let lines: Vec<LineId> = specs.iter().map(|spec| spec.id).collect();
    if lines.is_empty() {
        return;
    }
    let grade = if enough { Grade::Assumed } else { Grade::Ask };
    lines.iter().for_each(|line| out.fill(*line, attribute, value.clone(), grade));
    let says = if enough {
        "Interchangeable cores on a line of their own, and nothing said of the core of what they go into: locks and cylinders for such cores taken."
    } else {
        "Fewer interchangeable cores than locks that a key works, and nothing said of the cores of the locks: all are priced for such cores."
    };
    let mut finding = out.about_lines(job, set, &lines, job.numbers(set), &format!("job:{value} {enough}"), says);
    if !enough {
        finding.kind = Kind::Question;
        finding.attribute = Some(attribute);
        finding.priced_as = "all for interchangeable cores".to_owned();
        let own = set_answer("with cylinders of their own", &lines, attribute, Value::text("included"));
        finding.answers = vec![Answer::new("all for interchangeable cores", Effect::Nothing), own];
        finding.help = "ask which locks have interchangeable cores".to_owned();
    }
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    const DOOR: &str = "door 101 36x84 hm; hinge 3; stop 1";

    #[test]
    fn what_the_cores_go_into_is_made_for_them() {
        let job = completed(&format!("{DOOR}; mortise-lock 1 function=F04; core 1 kind=interchangeable"));
        assert_eq!(job.sets[0].specs[2].word(names::CYLINDER), "interchangeable-core");
        let job = completed(&format!("{DOOR}; mortise-lock 1 function=F04; cylinder 1 kind=rim; core 1"));
        assert_eq!(job.sets[0].specs[3].word(names::CORE), "interchangeable");
        assert_ne!(job.sets[0].specs[2].word(names::CYLINDER), "interchangeable-core");
    }

    #[test]
    fn construction_cores_keyless_locks_and_what_is_said_stay() {
        for goods in [
            "mortise-lock 1 function=F04; core 1 kind=construction",
            "mortise-lock 1 function=F01; core 1 kind=interchangeable",
            "mortise-lock 1 function=F04 cylinder=less; core 1 kind=interchangeable",
            "exit-device 1 type=rim; core 1 kind=interchangeable",
        ] {
            assert!(!speaks(&completed(&format!("{DOOR}; {goods}")), "core-of-set"), "{goods}");
        }
    }
}
