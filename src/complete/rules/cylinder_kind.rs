//! Which cylinder a line means that does not say it: what takes it tells.

use super::device_function::takes_a_cylinder;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "cylinder-kind",
        Kind::Assumption,
        Weight::Goods,
        "Rim or mortise cylinder",
        "a cylinder does not say which, and its set has rim exit devices that a key works from outside",
        "a rim cylinder where nothing else in the set takes one; where a mortise lock or a deadlock stands beside the device, it is asked",
        "",
        ("common practice", "common practice"),
        ("CYLINDER beside a rim device with night latch", "CYLINDER beside a mortise lock"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim function=03; cylinder 1",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=concealed-vertical-rod function=03; cylinder 1",
};

const CODE: &str = "cylinder-kind";

/// These take a mortise cylinder, where they take one by itself.
const MORTISE: &[Category] = &[Category::MortiseLock, Category::Deadlock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bare = |spec: &&Spec| spec.lacks(names::KIND, CODE) && !spec.says(names::DESIGNATION);
        let cylinders: Vec<&Spec> = job.lines_of(set, &[Category::Cylinder]).into_iter().filter(bare).collect();
        if cylinders.is_empty() || job.unread(set) {
            continue;
        }
        let devices = job.all_of(set, &[Category::ExitDevice]);
        // Devices with their locks in the leaf or of a type that nobody gave, dogging and switches leave it open.
        let rim = devices.iter().all(|spec| spec.word(names::TYPE) == "rim");
        if !rim || job.lines(set).any(takes_a_cylinder) || !devices.iter().any(|spec| is_keyed(spec)) {
            continue;
        }
        if job.names(set, MORTISE) {
            ask(job, out, set, &cylinders);
            continue;
        }
        for spec in cylinders {
            out.fill(spec.id, names::KIND, Value::text("rim"), Grade::Assumed);
            let says = "Cylinders that do not say which, beside rim exit devices and nothing else that takes one: rim cylinders taken.";
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:rim", says));
        }
    }
}

/// Whether a key may work the device: by its function, or nobody said its function.
fn is_keyed(spec: &Spec) -> bool {
    !spec.says(names::FUNCTION) || !rule_words::is("keyless-functions", spec.word(names::FUNCTION))
}

fn ask(job: &Job, out: &mut Out, set: usize, cylinders: &[&Spec]) {
    for spec in cylinders {
        let says = "A cylinder that does not say which, in a set with a rim exit device and goods that take a mortise cylinder.";
        let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), "which", says);
        finding.kind = Kind::Question;
        finding.priced_as = "mortise".to_owned();
        let rim = Effect::Set { lines: vec![spec.id], attribute: names::KIND, value: Value::text("rim") };
        finding.answers = vec![Answer::new("mortise", Effect::Nothing), Answer::new("rim", rim)];
        finding.help = "ask what the cylinder is for".to_owned();
        out.say(finding);
    }
}
