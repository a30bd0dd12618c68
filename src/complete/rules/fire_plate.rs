//! Protection plates on fire doors.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-plate",
        Kind::Question,
        Weight::LifeSafety,
        "A high plate on a fire door",
        "a protection plate higher than 16 in stands on a rated door",
        "priced as written; such a plate must be labelled, or be put on at the factory within the listing of the door; 16 in is the other answer",
        "16 in above the bottom of the door",
        ("NFPA 80-2007 6.4.5 as quoted by code articles", "reported"),
        ("an armor plate 36 in high on a 20 minute door", "a kick plate 10 in high on the same door"),
    ),
    run,
    fires: "door 101 36x84 hm stud 20min; hinge 3; closer 1; mortise-lock 1 function=F07; protection-plate 1 kind=armor height=36 width=34",
    quiet: "door 101 36x84 hm stud 20min; hinge 3; closer 1; mortise-lock 1 function=F07; protection-plate 1 kind=kick height=10 width=34",
};

fn run(job: &Job, out: &mut Out) {
    let most = limits::inches("plate_label_high");
    for set in 0..job.sets.len() {
        let rated = job.numbers_of(set, |door| door.fire);
        if rated.is_empty() {
            continue;
        }
        for spec in job.lines_of(set, &[Category::ProtectionPlate]) {
            if spec.value(names::HEIGHT).and_then(Value::as_length).is_none_or(|height| height <= most) {
                continue;
            }
            let says = "Protection plates higher than 16 in on rated doors: above that height a plate must be labelled, or be the door maker's work within the listing of the door.";
            let mut finding = out.about_lines(job, set, &[spec.id], rated.clone(), "job:", says);
            finding.priced_as = "plates as written, without label".to_owned();
            finding.answers = vec![
                Answer::new("as written", Effect::Nothing),
                set_answer("16 in high", &[spec.id], names::HEIGHT, Value::Length(most)),
            ];
            finding.help = "ask the door supplier what the listing allows; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
    }
}
