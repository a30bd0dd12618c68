//! Which cylinder a line means that does not say it: what takes it tells.

use rust_decimal::Decimal;

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
        "a rim cylinder where nothing else in the set takes one; where a mortise lock or a deadlock stands beside the device, and where there are more cylinders than devices, it is asked",
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
        // A length is that of a mortise cylinder.
        let bare = |spec: &&Spec| spec.lacks(names::KIND, CODE) && !spec.says(names::DESIGNATION) && !spec.says(names::LENGTH);
        let all = job.lines_of(set, &[Category::Cylinder]);
        let (cylinders, of_a_kind): (Vec<&Spec>, Vec<&Spec>) = all.into_iter().partition(bare);
        let Some(door) = job.doors(set).next().filter(|_| !cylinders.is_empty() && !job.unread(set)) else { continue };
        let devices = job.all_of(set, &[Category::ExitDevice]);
        // Devices with their locks in the leaf, of a type that nobody gave or with a cylinder of their own, dogging and switches
        // leave it open.
        let own = |spec: &&Spec| spec.says(names::CYLINDER) && spec.word(names::CYLINDER) != "less";
        let rim = devices.iter().all(|spec| spec.word(names::TYPE) == "rim" && !own(spec));
        let keyed = devices.iter().filter(|spec| is_keyed(spec));
        let keyed: Decimal = keyed.map(|spec| spec.count_at(door)).sum();
        if !rim || keyed.is_zero() || job.lines(set).any(takes_a_cylinder) {
            continue;
        }
        let counted = |specs: &[&Spec]| specs.iter().map(|spec| spec.count_at(door)).sum::<Decimal>();
        // More than the devices take: a keyed mullion or something else has one too, and which of them is not said.
        let others = !of_a_kind.is_empty() || counted(&cylinders) > keyed;
        if job.names(set, MORTISE) || others {
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
        let says = "A cylinder that does not say which, in a set with a rim exit device and other goods or cylinders: it may be for either.";
        let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), "which", says);
        finding.kind = Kind::Question;
        finding.priced_as = "mortise".to_owned();
        let rim = Effect::Set { lines: vec![spec.id], attribute: names::KIND, value: Value::text("rim") };
        finding.answers = vec![Answer::new("mortise", Effect::Nothing), Answer::new("rim", rim)];
        finding.help = "ask what the cylinder is for".to_owned();
        out.say(finding);
    }
}
