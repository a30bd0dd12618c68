//! Base metal of hinges.
use crate::complete::spec::Grade;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::finish;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "hinge-base",
        Kind::Assumption,
        Weight::Goods,
        "Base metal of hinges",
        "a hinge line gives a look or nothing, and no base metal",
        "stainless where the look is one of stainless steel, else steel; exterior-hinge-finish asks about steel outdoors, fire-hinge changes what rated doors may not have",
        "",
        ("ANSI/BHMA A156.18 families; UFGS finish paragraph", "from memory"),
        ("HINGE US26D", "HINGE 652"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3 look=satin-chromium",
    quiet: "door 101 36x84 hm; hinge 3 finish=652",
};

const CODE: &str = "hinge-base";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Hinge, Category::SpringHinge]) {
            let settled = spec.value(names::FINISH).filter(|_| spec.says(names::FINISH)).and_then(Value::as_text).and_then(finish::find).is_some_and(|found| found.base().is_some());
            let by_look = spec.says(names::LOOK) || spec.says(names::FINISH);
            if !spec.lacks(names::BASE, CODE) || settled || !by_look && spec.lacks(names::LOOK, CODE) {
                continue;
            }
            let look = spec.word(names::LOOK);
            let base = if look.contains("stainless") { "stainless" } else { "steel" };
            out.fill(spec.id, names::BASE, Value::text(base), Grade::Assumed);
            let says = format!("The base metal of hinges is not given: {base} taken.");
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{base}"), says));
        }
    }
}
