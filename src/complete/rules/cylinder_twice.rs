//! A lock or an exit device that brings its cylinder, and a cylinder on a line of its own beside it.

use rust_decimal::Decimal;

use super::device_function::takes_a_cylinder;
use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "cylinder-twice",
        Kind::Question,
        Weight::Goods,
        "A cylinder beside a lock that brings one",
        "nothing says whether a mortise lock, a deadlock or an exit device worked by a key comes with its cylinder, it is priced as the catalog has it, with one, and its set has a cylinder of its kind that nothing else takes",
        "both are priced; beside locks it is asked, beside exit devices it is told as an assumption",
        "",
        ("devices are often listed without the cylinder that stands on a line of its own", "common practice"),
        ("MORTISE LOCK and MORTISE CYLINDER", "MORTISE LOCK LESS CYLINDER and MORTISE CYLINDER"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; cylinder 1 kind=mortise",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07 cylinder=less; cylinder 1 kind=mortise",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let Some(door) = job.doors(set).next() else { continue };
        let counted = |specs: &[&Spec]| specs.iter().map(|spec| spec.count_at(door)).sum::<Decimal>();
        // A keyed mullion, dogging, alarms and switches take cylinders by themselves; which is whose is not looked into.
        if !job.lines_of(set, &[Category::Mullion]).is_empty() || job.lines(set).any(takes_a_cylinder) {
            continue;
        }
        let cylinders = job.lines_of(set, &[Category::Cylinder]);
        let of_kind = |kind: &str| counted(&cylinders.iter().copied().filter(|spec| spec.word(names::KIND) == kind).collect::<Vec<_>>());
        let brings = |categories: &[Category]| {
            let all = job.lines_of(set, categories).into_iter();
            all.filter(|spec| is_keyed(spec) && !spec.says(names::CYLINDER) && !spec.says(names::DESIGNATION)).collect::<Vec<_>>()
        };
        let locks = brings(&[Category::MortiseLock, Category::Deadlock]);
        let devices = brings(&[Category::ExitDevice]);
        if !locks.is_empty() && of_kind("mortise") >= counted(&locks) && devices.is_empty() {
            told(job, out, set, &locks, true);
        } else if !devices.is_empty() && locks.is_empty() && of_kind("rim") >= counted(&devices) {
            told(job, out, set, &devices, false);
        }
    }
}

fn is_keyed(spec: &Spec) -> bool {
    let function = spec.word(names::FUNCTION);
    !function.is_empty() && !rule_words::is("keyless-functions", function)
}

fn told(job: &Job, out: &mut Out, set: usize, specs: &[&Spec], asked: bool) {
    let lines: Vec<LineId> = specs.iter().map(|spec| spec.id).collect();
    let says = if asked {
        "Locks priced with the cylinder that they bring, and cylinders on lines of their own beside them: one of the two may be too many."
    } else {
        "Exit devices priced as the catalog has them, with their cylinder, and rim cylinders on lines of their own beside them: both are priced."
    };
    let mut finding = out.about_lines(job, set, &lines, job.numbers(set), &format!("job:{asked}"), says);
    finding.kind = if asked { Kind::Question } else { Kind::Assumption };
    finding.attribute = Some(names::CYLINDER);
    finding.priced_as = "both".to_owned();
    if asked {
        finding.answers = vec![
            Answer::new("both", Effect::Nothing),
            set_answer("the locks without their cylinder", &lines, names::CYLINDER, Value::text("less")),
        ];
    }
    finding.help = "ask whether the locks come with their cylinder, or write LESS CYLINDER".to_owned();
    out.say(finding);
}
