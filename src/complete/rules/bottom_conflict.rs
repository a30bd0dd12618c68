//! Goods that want the same place at the bottom of the leaf.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "bottom-conflict",
        Kind::Question,
        Weight::Goods,
        "Door bottom and bottom bolt, or carpet",
        "an automatic door bottom meets a bottom bolt or rod in one leaf, or falls on carpet without a threshold",
        "priced as written",
        "",
        ("acoustic door maker's notes; UFC 3-190-02FA on door bottoms", "reported"),
        ("an automatic door bottom and flush bolts", "an automatic door bottom on a single door"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07; door-bottom 2 form=automatic; stop 2",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; door-bottom 1 form=automatic; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bottoms: Vec<_> = job.lines_of(set, &[Category::DoorBottom]).into_iter().filter(|spec| matches!(spec.word(names::FORM), "automatic" | "")).collect();
        let ids: Vec<_> = bottoms.iter().map(|spec| spec.id).collect();
        if ids.is_empty() {
            continue;
        }
        let devices = job.all_of(set, &[Category::ExitDevice]);
        let rods = |door: &Door| devices.iter().any(|spec| {
            let kind = spec.value_at(door, names::TYPE).and_then(Value::as_text).unwrap_or("");
            kind.contains("vertical-rod") && !spec.is_set(names::LESS_BOTTOM_ROD) && !spec.count_at(door).is_zero()
        });
        let bottom = |door: &Door| bottoms.iter().any(|spec| !spec.count_at(door).is_zero());
        let bolted = |door: &Door| door.is_pair() && job.names_at(set, door, &[Category::FlushBolt]);
        let pairs = job.numbers_of(set, |door| bottom(door) && (bolted(door) || rods(door)));
        if !pairs.is_empty() {
            let said = bottoms.iter().all(|spec| spec.says(names::FORM));
            let bottom = if said { "An automatic door bottom" } else { "A door bottom, taken as an automatic one," };
            let says = format!("{bottom} and a bottom bolt or rod in one leaf: a mortised one cuts through the other.");
            let mut finding = out.about_lines(job, set, &ids, pairs, "bolt", says);
            finding.priced_as = "both, as written".to_owned();
            finding.help = "a surface door bottom, or devices without bottom rod".to_owned();
            out.say(finding);
        }
        let carpet = job.numbers_of(set, |door| bottom(door) && door.speaks_of("carpet") && !job.has(set, door, &[Category::Threshold], "bottom-conflict"));
        if !carpet.is_empty() {
            let mut finding = out.about_lines(job, set, &ids, carpet, "carpet", "An automatic door bottom over carpet has nothing to land on without a threshold.");
            finding.priced_as = "no threshold".to_owned();
            out.say(finding);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::speaks;

    #[test]
    fn bottom_and_bolt_are_at_one_door() {
        let doors = "door 101 72x84 hm pair stud; door 102 72x84 hm pair stud; hinge 6; dust-proof-strike 1; mortise-lock 1 function=F07; stop 2";
        let asked = |lines: &str| speaks(&crate::complete::example::completed(&format!("{doors}; {lines}")), "bottom-conflict");
        assert!(asked("flush-bolt 1 action=manual; door-bottom 2 form=automatic"));
        assert!(!asked("flush-bolt 1 action=manual omit@101; door-bottom 2 form=automatic omit@102"));
    }
}
