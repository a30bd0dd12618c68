//! Double egress pairs, whose leaves swing opposite ways.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::remark;
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "double-egress",
        Kind::Question,
        Weight::LifeSafety,
        "Goods that a double egress pair cannot have",
        "a pair is called double egress and its set has flush bolts, a coordinator, a mullion, a lock or a rim device",
        "priced as written; each leaf latches by itself, with a vertical rod device or the like",
        "",
        ("handing guide and frame maker's tips", "reported"),
        ("a double egress pair with flush bolts", "a double egress pair with vertical rod devices"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud 90min remark=double_egress; hinge 6; closer 2; flush-bolt 1 action=automatic; coordinator 1; dust-proof-strike 1; mortise-lock 1 function=F01",
    quiet: "door 101 72x84 hm pair stud 90min remark=double_egress; hinge 6; closer 2; exit-device 2 type=surface-vertical-rod fire_listed=true",
};

const NOT_THERE: &[Category] = &[Category::FlushBolt, Category::Coordinator, Category::Mullion, Category::MortiseLock, Category::BoredLock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let titled = remark::matters(&[&job.sets[set].title]).contains(&"double-egress");
        let doors = job.numbers_of(set, |door| door.is_pair() && (titled || door.speaks_of("double-egress")));
        if doors.is_empty() {
            continue;
        }
        let lines: Vec<_> = job
            .all_of(set, Category::ALL)
            .into_iter()
            .filter(|spec| spec.is_any(NOT_THERE) || spec.is_any(&[Category::ExitDevice]) && spec.word(names::TYPE) == "rim")
            .collect();
        if lines.is_empty() {
            continue;
        }
        let words: Vec<String> = lines.iter().filter_map(|spec| spec.category).map(|category| category.name().replace('-', " ")).collect();
        let says = format!("A double egress pair with {}: its leaves swing opposite ways and each must latch by itself.", words.join(", "));
        let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
        let mut finding = out.about_lines(job, set, &ids, doors, "goods", says);
        finding.priced_as = "as written".to_owned();
        finding.help = "vertical rod devices on both leaves are usual; ask the architect, the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
