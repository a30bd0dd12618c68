//! An exit device of which nothing says what its outside does, beside a cylinder that only it can be for.
use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "device-function",
        Kind::Question,
        Weight::Goods,
        "An exit device with a cylinder and no function",
        "an exit device gives no function and no number, and its words name a cylinder, or its set has more cylinders for it than mullions (rim ones, or any where the set has no lock): the cylinder is for the device, so a key works it from outside",
        "a function with a key is priced, with a lever where one is said; the other functions made with a key, and exit only, are the other answers",
        "",
        ("common practice", "common practice"),
        ("RIM EXIT DEVICE and RIM CYLINDER", "RIM EXIT DEVICE alone"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; cylinder 1 kind=rim; closer 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];
const CODE: &str = "device-function";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let Some(door) = job.doors(set).next() else { continue };
        let devices: Vec<&Spec> = job.lines_of(set, &[Category::ExitDevice]);
        // `RIM EXIT DEVICE W/ OUTSIDE PULL AND RIM CYLINDER`
        let holds = |spec: &&Spec| rule_words::is("cylinder-of-its-own", spec.word(names::CYLINDER));
        let (own, devices): (Vec<&Spec>, Vec<&Spec>) = devices.into_iter().partition(holds);
        for spec in own.into_iter().filter(|spec| spec.lacks(names::FUNCTION, CODE) && !takes_a_cylinder(spec)) {
            ask(job, out, set, spec, true);
        }
        if devices.is_empty() || devices.iter().any(|spec| !spec.lacks(names::FUNCTION, CODE)) {
            continue;
        }
        // A mortise cylinder is for a lock, where there is one.
        let locked = !job.lines_of(set, LOCKS).is_empty();
        let rim = |spec: &&Spec| !locked || spec.word(names::KIND) == "rim";
        let cylinders: rust_decimal::Decimal =
            job.lines_of(set, &[Category::Cylinder]).into_iter().filter(rim).map(|spec| spec.count_at(door)).sum();
        let mullions: rust_decimal::Decimal = job.lines_of(set, &[Category::Mullion]).into_iter().map(|spec| spec.count_at(door)).sum();
        if cylinders <= mullions {
            continue;
        }
        let taken: rust_decimal::Decimal = job.lines(set).filter(|spec| takes_a_cylinder(spec)).map(|spec| spec.count_at(door)).sum();
        let left = cylinders - mullions - taken;
        if left <= rust_decimal::Decimal::ZERO {
            continue;
        }
        // Of a pair one device is keyed as a rule, and which of them is not said: none is made keyed unasked.
        let enough = devices.iter().map(|spec| spec.count_at(door)).sum::<rust_decimal::Decimal>() <= left;
        for spec in devices {
            ask(job, out, set, spec, enough);
        }
    }
}

/// Whether a line is of goods that a cylinder of the set is for, by its words: dogging, alarms, switches.
pub fn takes_a_cylinder(spec: &Spec) -> bool {
    let named = || {
        let words = spec.words().to_lowercase();
        rule_words::of("cylinder-takers").iter().any(|taker| words.contains(taker))
    };
    let dogged = spec.word(names::DOGGING) == "cylinder";
    !spec.is_any(&[Category::Cylinder, Category::Mullion]) && (dogged || named())
}

fn ask(job: &Job, out: &mut Out, set: usize, spec: &Spec, enough: bool) {
    let made = |number: &&str| {
        let mut asked = spec.asked();
        asked.insert(names::FUNCTION, Value::text(number));
        !job.select(Category::ExitDevice, asked).candidates.is_empty()
    };
    let exit = function::all().iter().filter(|found| found.kind == FunctionKind::Exit && found.confidence.settles());
    let numbers: Vec<&str> = exit.map(|found| found.number).filter(made).collect();
    let (free, mut keyed): (Vec<&str>, Vec<&str>) = numbers.into_iter().partition(|number| rule_words::is("keyless-functions", number));
    // With a lever the key frees it; without, the key draws the latch.
    let wanted = if spec.word(names::TRIM) == "lever" { "classroom" } else { "night-latch" };
    keyed.sort_by_key(|number| function::find(FunctionKind::Exit, number).is_none_or(|found| found.name != wanted));
    let is_exit_only = |number: &&&str| function::find(FunctionKind::Exit, number).is_some_and(|found| found.name == "exit-only");
    let exit_only: Vec<&str> = free.iter().filter(is_exit_only).copied().collect();
    let Some(taken) = (if enough { keyed.first() } else { exit_only.first() }) else { return };
    out.fill(spec.id, names::FUNCTION, Value::text(taken), Grade::Ask);
    let told = |number: &str| function::told(Category::ExitDevice, number).unwrap_or_else(|| number.to_owned());
    let says = if enough {
        "An exit device of which nothing says how its outside works, and a cylinder in its words or beside it that nothing else takes: a key works it."
    } else {
        "Exit devices of which nothing says how their outside works, and fewer cylinders beside them than devices: which of them a key works is not said; all are priced exit only."
    };
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{taken}"), says);
    finding.attribute = Some(names::FUNCTION);
    finding.priced_as = format!("function {}", told(taken));
    finding.answers = keyed
        .iter()
        .chain(&exit_only)
        .map(|number| set_answer(told(number), &[spec.id], names::FUNCTION, Value::text(number)))
        .collect();
    finding.help = "ask the architect for function and trim; exit only needs no cylinder".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::trade::attribute::names;

    #[test]
    fn a_cylinder_that_another_takes_says_nothing_of_the_device() {
        for quiet in [
            "door 101 72x84 hm pair; hinge 6; exit-device 2 type=rim; mullion 1; cylinder 1 kind=rim",
            "door 101 36x84 hm; hinge 3; exit-device 1 type=rim dogging=cylinder; cylinder 1 kind=mortise",
            "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; deadlock 1; cylinder 1 kind=mortise",
            "door 101 36x84 hm; hinge 3; exit-device 1 type=rim function=01; cylinder 1 kind=rim",
        ] {
            assert!(!speaks(&completed(quiet), "device-function"), "{quiet}");
        }
        // An operator has no cylinder unless its words say so.
        let operated = "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; operator 1 type=low-energy; cylinder 1 kind=rim";
        assert!(speaks(&completed(operated), "device-function"));
        let pair = completed("door 101 72x84 hm pair; hinge 6; exit-device 2 type=rim; cylinder 1 kind=rim");
        assert!(speaks(&pair, "device-function"));
        assert_eq!(pair.sets[0].specs[1].word(names::FUNCTION), "01");
        for (words, asked) in [("cylinder=included", true), ("cylinder=less", false), ("cylinder=included function=01", false)] {
            let job = completed(&format!("door 101 36x84 hm; hinge 3; exit-device 1 type=rim trim=pull {words}"));
            assert_eq!(speaks(&job, "device-function"), asked, "{words}");
        }
        for (device, function) in [("type=rim", "03"), ("type=rim trim=lever", "08")] {
            let job = completed(&format!("door 101 36x84 hm; hinge 3; exit-device 1 {device}; cylinder 1 kind=mortise"));
            assert_eq!(job.sets[0].specs[1].word(names::FUNCTION), function, "{device}");
        }
    }
}
