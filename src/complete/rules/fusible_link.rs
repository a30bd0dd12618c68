//! A hold-open that only heat lets go of.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::{From, Grade};
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fusible-link",
        Kind::Question,
        Weight::LifeSafety,
        "A fusible link on a fire or smoke door",
        "a closer on a rated or smoke door holds open with a fusible link",
        "priced as written; a closer that does not hold open is the other answer",
        "the link melts by heat: it does not answer to smoke, and is not taken in health care",
        ("UFC 3-190-02FA on holders; hollow-metal makers' pages", "reported"),
        ("a fusible link arm on a 90 minute door", "a fusible link arm on a door that is not rated"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; mortise-lock 1 function=F07; closer 1 arm=regular hold_open=true fusible_link=true; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; closer 1 arm=regular hold_open=true fusible_link=true; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers_of(set, |door| door.fire || door.smoke);
        for spec in job.lines_of(set, &[Category::Closer]) {
            let written = spec.reading.attributes.get(&names::FUSIBLE_LINK).and_then(|heard| heard.found());
            if !written.is_some_and(Value::is_true) {
                continue;
            }
            let hold = spec.attributes.get(&names::HOLD_OPEN);
            if hold.is_some_and(|hold| matches!(hold.from, From::Answer(_)) && !hold.value.is_true()) {
                // Without the hold-open its link has nothing to let go of.
                out.acts.push(Act::Change { line: spec.id, attribute: names::FUSIBLE_LINK, value: Value::Flag(false), grade: Grade::Certain });
            }
            if doors.is_empty() {
                continue;
            }
            let says = "Fire or smoke doors held open by an arm with a fusible link: it lets go by heat alone, long after the smoke, and health care does not allow it.";
            let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), "link", says);
            finding.priced_as = "as written".to_owned();
            finding.attribute = Some(names::HOLD_OPEN);
            finding.answers = vec![
                Answer::new("as written", Effect::Nothing),
                set_answer("closer without hold-open", &[spec.id], names::HOLD_OPEN, Value::Flag(false)),
            ];
            finding.help = "an electromagnetic holder tied to smoke detection is usual; ask the architect, the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
