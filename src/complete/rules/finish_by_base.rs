//! The finish code that a look has on the base metal of the goods.
use crate::complete::spec::{Grade, Spec};
use crate::trade::attribute::{Value, names};
use crate::trade::finish;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "finish-by-base",
        Kind::Assumption,
        Weight::Goods,
        "Finish code by base metal",
        "a line gives a US code or a look, not a BHMA code",
        "the code of the look on the base metal of the goods: US26D is 652 on a steel hinge, 626 on a brass lock, 689 on a painted closer",
        "",
        ("ANSI/BHMA A156.18 families", "read"),
        ("HINGE US26D", "HINGE 652"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3 look=satin-chromium",
    quiet: "door 101 36x84 hm; hinge 3 finish=652; stop 1 mounting=wall finish=626",
};

const CODE: &str = "finish-by-base";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines(set) {
            if !spec.lacks(names::FINISH, CODE) {
                continue;
            }
            let (Some(look), Some(category)) = (spec.value(names::LOOK).and_then(Value::as_text), spec.category) else { continue };
            let base = match spec.value(names::BASE).and_then(Value::as_text) {
                Some(base) => base,
                None if look.contains("stainless") && finish::default_base(category) != Some("painted") => "stainless",
                None => match finish::default_base(category) {
                    Some(base) => base,
                    None => continue,
                },
            };
            let Some(found) = finish::resolve(look, base) else { continue };
            let grade = if spec.says(names::BASE) { Grade::Certain } else { Grade::Assumed };
            out.fill(spec.id, names::FINISH, Value::text(found.code), grade);
            if spec.says(names::LOOK) && grade == Grade::Assumed {
                let says = format!("{} on {base} is {}.", look.replace('-', " "), found.code);
                let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{look} {base}"), says);
                finding.source = found.source.into();
                out.say(finding);
            }
        }
    }
}

/// An answer made other goods of a line: a finish that such goods are not made in becomes that of the same look on their
/// metal, as if the words had been read of them.
pub fn of_other_goods(spec: &mut Spec) {
    let Some(category) = spec.category else { return };
    let written = spec.value(names::FINISH).and_then(Value::as_text).and_then(finish::find);
    let Some(written) = written.filter(|code| !finish::suits(category, code)) else { return };
    let Some(same) = finish::default_base(category).and_then(|base| finish::resolve(written.look, base)) else { return };
    if let Some(sourced) = spec.attributes.get_mut(&names::FINISH) {
        sourced.value = Value::text(same.code);
    }
    spec.attributes.remove(&names::BASE);
}
