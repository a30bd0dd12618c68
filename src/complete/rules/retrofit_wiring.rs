//! Wiring in a frame or door that is there already.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "retrofit-wiring",
        Kind::Question,
        Weight::Goods,
        "Electrified goods in an existing frame or door",
        "remarks speak of an existing frame or door, or of retrofit, and the set has a transfer or an electric strike",
        "priced as written; a surface door loop in place of a concealed transfer is the other answer; where the transfer is missing from the set, the rule power-transfer takes a door loop at once",
        "a door loop needs two small holes; holes of 1 in at most on site in a labelled door or frame",
        ("trade articles on power transfers; NFPA 80 on job-site preparation", "reported"),
        ("a concealed transfer in an existing frame", "a concealed transfer in a new frame"),
    ),
    run,
    fires: "door 101 36x84 hm stud remark=install_in_existing_frame; hinge 3; power-transfer 1 type=concealed conductors=6; mortise-lock 1 function=F07 electrified=fail-secure; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; power-transfer 1 type=concealed conductors=6; mortise-lock 1 function=F07 electrified=fail-secure; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors: Vec<_> = job.doors(set).filter(|door| door.speaks_of("existing")).collect();
        if doors.is_empty() {
            continue;
        }
        let mut cut: Vec<_> = devices::transfers(job, set);
        cut.extend(job.all_of(set, &[Category::ElectricStrike]));
        cut.retain(|spec| spec.category != Some(Category::PowerTransfer) || spec.word(names::TYPE) != "door-loop");
        let Some(first) = cut.first() else { continue };
        let labelled = if doors.iter().any(|door| door.fire) { " On labelled ones the authority having jurisdiction is asked before anything is cut." } else { "" };
        let says = format!("Electrified goods let into a door or frame that is there already: a concealed transfer, a wired hinge or an electric strike is hard to fit on site, and the frame must have a way for the wires.{labelled}");
        let ids: Vec<_> = cut.iter().map(|spec| spec.id).collect();
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        let mut finding = out.about_lines(job, set, &ids, numbers, "existing", says);
        finding.excerpt = first.words();
        finding.priced_as = "as written".to_owned();
        finding.answers = vec![Answer::new("as written", Effect::Nothing)];
        let concealed: Vec<_> = cut.iter().filter(|spec| spec.category == Some(Category::PowerTransfer)).map(|spec| spec.id).collect();
        if !concealed.is_empty() {
            finding.attribute = Some(names::TYPE);
            finding.answers.push(set_answer("a surface door loop", &concealed, names::TYPE, Value::text("door-loop")));
        }
        let hinges: Vec<_> = cut.iter().filter(|spec| spec.category == Some(Category::Hinge)).copied().collect();
        if let (true, Some(wires)) = (concealed.is_empty() && !hinges.is_empty(), hinges.iter().filter_map(|spec| devices::wires_across(spec)).max()) {
            let lines: Vec<_> = hinges.iter().map(|spec| spec.id).collect();
            let count: Decimal = doors.iter().map(|door| hinges.iter().map(|spec| spec.count_at(door)).sum::<Decimal>() * Decimal::from(door.count)).sum();
            let attributes = Attributes::from([(names::TYPE, Value::text("door-loop")), (names::CONDUCTORS, Value::count(devices::transfer_size(job, "door-loop", wires)))]);
            finding.answers.push(Answer::new("plain hinges and a surface door loop", Effect::Several(vec![
                Effect::Set { lines, attribute: names::CONDUCTORS, value: Value::count(0) },
                Effect::Follows { goods: vec![(Category::PowerTransfer, attributes, count)] },
            ])));
        }
        finding.help = "ask what is there: prep, conduit, label; a door loop is the cheapest and the most exposed to damage".to_owned();
        out.say(finding);
    }
}
