//! Nothing holds a fire door open but a release tied to detection.

use crate::finding::{Answer, Effect};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::wording::with_article;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-hold-open",
        Kind::Question,
        Weight::LifeSafety,
        "A fire door that is held open",
        "a rated or smoke door has a hold-open closer, an overhead holder or friction stay, a kick-down holder, or mechanical dogging",
        "priced as written; the form without hold-open is the other answer",
        "",
        ("NFPA 80; federal manuals", "read"),
        ("a hold-open closer on a 90 minute door", "a closer without hold-open"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; closer 1 hold_open=true; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let numbers: Vec<String> = job.doors(set).filter(|door| door.fire || door.smoke).map(|door| door.number.clone()).collect();
        if numbers.is_empty() {
            continue;
        }
        for spec in job.lines(set) {
            let (attribute, value, other) = match spec.category {
                // A fusible link has a rule of its own.
                Some(Category::Closer) if spec.is_set(names::HOLD_OPEN) && !spec.is_set(names::FUSIBLE_LINK) => (names::HOLD_OPEN, Value::Flag(false), "closer without hold-open"),
                Some(Category::OverheadStop) if matches!(spec.word(names::ACTION), "hold-open" | "friction") => (names::ACTION, Value::text("stop"), "overhead stop without holder"),
                Some(Category::ExitDevice) if matches!(spec.word(names::DOGGING), "hex" | "cylinder") => (names::DOGGING, Value::text("none"), "exit device without dogging"),
                Some(Category::KickDownHolder) => {
                    let mut finding = out.about_lines(job, set, &[spec.id], numbers.clone(), "kick-down", "A kick-down holder on rated doors: nothing may hold a fire door open by hand.");
                    finding.priced_as = "as written".to_owned();
                    finding.answers = vec![Answer::new("as written", Effect::Nothing), Answer::new("leave it out", Effect::Exclude { lines: vec![spec.id] })];
                    out.say(finding);
                    continue;
                }
                _ => continue,
            };
            let category = spec.category.map_or("", Category::name);
            let does = if attribute == names::DOGGING { "can be dogged" } else { "holds open" };
            let says = format!("Rated doors with {} that {does}: a fire door must close and latch by itself, or be held by a release tied to detection.", with_article(&category.replace('-', " ")));
            let mut finding = out.about_lines(job, set, &[spec.id], numbers.clone(), category, says);
            finding.priced_as = "as written".to_owned();
            finding.attribute = Some(attribute);
            finding.answers = vec![
                Answer::new("as written", Effect::Nothing),
                Answer::new(other, Effect::Set { lines: vec![spec.id], attribute, value }),
            ];
            finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
