//! Delayed egress.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "delayed-egress",
        Kind::Question,
        Weight::LifeSafety,
        "Delayed egress",
        "a device delays the way out",
        "priced as written; occupancy, release and sign are asked about; the sign is an answer with its price",
        "15 s, 30 s with approval",
        ("code articles on delayed egress; A156.24; UL 294", "reported"),
        ("an exit device with delayed egress", "an exit device with latch retraction"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=10; exit-device 1 type=rim electrified=delayed-egress",
    quiet: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; exit-device 1 type=rim electrified=fail-secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let lines: Vec<_> = job.lines_of(set, &[Category::ExitDevice, Category::ElectromagneticLock]).into_iter().filter(|spec| spec.word(names::ELECTRIFIED) == "delayed-egress").collect();
        let count: u32 = job.doors(set).map(|door| door.count).sum();
        if lines.is_empty() || count == 0 {
            continue;
        }
        let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
        let signed = job.names(set, &[Category::Sign]);
        let says = format!("Delayed egress: allowed in some occupancies only, let go at once by fire alarm, sprinklers and loss of power, with a sign at the door{}.", if signed { "" } else { " (the set has none)" });
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "delay", says);
        finding.priced_as = "as written".to_owned();
        finding.answers = vec![Answer::new("as written", Effect::Nothing)];
        if !signed {
            let attributes = Attributes::from([(names::KIND, Value::text("delayed-egress"))]);
            finding.answers.push(Answer::new("with a sign for each opening", Effect::Add { category: Category::Sign, attributes, quantity: Decimal::from(count) }));
        }
        finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
