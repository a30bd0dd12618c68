//! Which of the functions that a name has is meant: the one of that kind of lock.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::understand::reading::{Heard, Reading};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "function-by-kind",
        Kind::Assumption,
        Weight::Goods,
        "The number of a function by the kind of lock",
        "a function is given by its name, which has a number for mortise locks and another for bored ones",
        "the number for the kind of lock that is priced; where a kind has several of that name, they are asked about",
        "",
        ("A156.13 and A156.2 as reported in function charts", "reported"),
        ("a storeroom lock that may be mortise or bored", "a mortise lock F07"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 ?function=F86|F07; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice];

/// The functions in doubt that the kind of the line's goods has; empty where the words settle it or speak of none.
pub fn of_kind(spec: &Spec) -> Vec<Value> {
    spec.category.map_or_else(Vec::new, |category| of(&spec.reading, category))
}

/// The same, were the goods of a category.
pub fn of(reading: &Reading, category: Category) -> Vec<Value> {
    let (Some(Heard::Ambiguous(candidates)), Some(kind)) = (reading.attributes.get(&names::FUNCTION), FunctionKind::of(category)) else {
        return Vec::new();
    };
    let known = |value: &Value| value.as_text().is_some_and(|number| function::find(kind, number).is_some());
    candidates.iter().map(|(value, _)| value.clone()).filter(known).collect()
}

/// Whether each kind of lock that the words may mean has one function of that name at most; otherwise kind and function are
/// asked about together.
fn is_clear(spec: &Spec) -> bool {
    match &spec.reading.category {
        Heard::Ambiguous(kinds) => kinds.iter().all(|(category, _)| of(&spec.reading, *category).len() < 2),
        _ => true,
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, LOCKS) {
            if spec.says(names::FUNCTION) {
                continue;
            }
            let fitting = of_kind(spec);
            let [one] = fitting.as_slice() else { continue };
            if !is_clear(spec) {
                continue;
            }
            out.fill(spec.id, names::FUNCTION, one.clone(), Grade::Assumed);
            let name = spec.word(names::FUNCTION_NAME);
            let says = format!("Functions by name: {} taken for {} of this kind.", one, if name.is_empty() { "locks".to_owned() } else { format!("{name} locks") });
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{one}"), says));
        }
    }
}
