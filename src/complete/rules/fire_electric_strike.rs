//! Electric strikes on fire doors are fail-secure.

use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-electric-strike",
        Kind::Question,
        Weight::LifeSafety,
        "A fail-safe strike on a fire door",
        "a rated door has an electric strike that is said to be fail-safe",
        "priced as written; fail-secure is the other answer; strikes at stairs are asked about by stair-reentry",
        "",
        ("specifiers' and code articles on electric strikes", "read"),
        ("a fail-safe strike on a 90 minute door", "a fail-secure strike"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07; electric-strike 1 for=mortise voltage=24 fail=safe",
    quiet: "door 101 36x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07; electric-strike 1 for=mortise voltage=24 fail=secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::ElectricStrike]) {
            let rated: Vec<String> = job.doors(set).filter(|door| door.fire).map(|door| door.number.clone()).collect();
            if !rated.is_empty() && spec.says(names::FAIL) && spec.word(names::FAIL) == "safe" {
                let says = "A fail-safe electric strike on rated doors: without power it does not hold the door latched.";
                let mut finding = out.about_lines(job, set, &[spec.id], rated, "safe", says);
                finding.priced_as = "fail-safe, as written".to_owned();
                finding.attribute = Some(names::FAIL);
                finding.answers = ["safe", "secure"]
                    .map(|word| Answer::new(format!("fail-{word}"), Effect::Set { lines: vec![spec.id], attribute: names::FAIL, value: Value::text(word) }))
                    .to_vec();
                finding.help = "the listing and the authority having jurisdiction decide".to_owned();
                out.say(finding);
            }
        }
    }
}
