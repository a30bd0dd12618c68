//! Fire doors close by themselves.

use rust_decimal::Decimal;

use crate::trade::limits;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::build::of_the_rest;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::understand::reading::RemarkKind;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-closer",
        Kind::Assumption,
        Weight::LifeSafety,
        "A fire door without a closing device",
        "a rated door has fewer closers and operators than leaves, spring hinges counted by twos; a line that others supply counts",
        "a closer for each leaf that lacks one is added; where a line says that hardware of the door stays, it is asked whether a closer is among it",
        "one for each leaf; two spring hinges count as one closer, one alone as none",
        ("NFPA 80 6.1.4", "read"),
        ("a 90 minute door without closer", "a 90 minute door with closer"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 90min; hinge 3; mortise-lock 1 function=F07; closer 1",
};

const CLOSING: &[Category] = &[Category::Closer, Category::Operator, Category::SpringHinge];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let closing = job.all_of(set, CLOSING);
        let mut shares = Vec::new();
        let mut numbers = Vec::new();
        for door in job.doors(set).filter(|door| door.fire) {
            // Spring hinges close a fire door by twos.
            let (springs, closers): (Vec<&Spec>, Vec<&Spec>) = closing.iter().copied().partition(|spec| spec.is_any(&[Category::SpringHinge]));
            let springs: Decimal = springs.iter().map(|spec| spec.standing_at(door)).sum();
            let has: Decimal = closers.iter().map(|spec| spec.standing_at(door)).sum::<Decimal>() + (springs / Decimal::TWO).floor();
            let missing = Decimal::from(door.leaves) - has;
            // One for the opening, written for a pair, is a line per leaf more often than one leaf without closer.
            if missing > Decimal::ZERO {
                shares.push((door.index, missing));
                numbers.push(door.number.clone());
            }
        }
        if shares.is_empty() {
            continue;
        }
        // A closer beside one that the set has is finished like it.
        let beside = closing.iter().find(|spec| !spec.is_any(&[Category::SpringHinge]));
        let mut attributes = Attributes::from([(names::FIRE_LISTED, Value::Flag(true))]);
        attributes.extend(limits::added(Category::Closer));
        let usual = attributes.clone();
        if let Some(beside) = beside {
            let finishes = [names::FINISH, names::LOOK, names::BASE].into_iter();
            attributes.extend(finishes.filter_map(|attribute| Some((attribute, beside.value(attribute)?.clone()))));
            if job.select(Category::Closer, attributes.clone()).candidates.is_empty() {
                attributes = usual;
            }
        }
        if job.sets[set].specs.iter().any(keeps_rest) {
            ask(job, out, set, numbers, (attributes, &shares));
            continue;
        }
        out.add(set, Category::Closer, attributes, shares, "A fire door closes by itself.");
        let springs = closing.iter().any(|spec| spec.is_any(&[Category::SpringHinge]));
        let says = format!("Rated doors without a closing device on each leaf: a closer for each such leaf added{}.", if springs { "; spring hinges count by two a leaf" } else { "" });
        let mut finding = out.about_set(job, set, numbers, if springs { "job:springs" } else { "job:" }, says);
        finding.help = "the listing and the authority having jurisdiction decide".to_owned();
        out.say(finding);
    }
}

/// "Re-use remaining hardware", "existing door": a line that names no good of ours and says that what is there stays. The
/// closer may be there.
fn keeps_rest(spec: &Spec) -> bool {
    of_the_rest(&spec.reading, &spec.wording.text) || spec.category.is_none() && spec.reading.remarks.iter().any(|remark| remark.kind == RemarkKind::Existing)
}

fn ask(job: &Job, out: &mut Out, set: usize, doors: Vec<String>, (attributes, shares): (Attributes, &[(usize, Decimal)])) {
    let count = |index: usize| job.doors(set).find(|door| door.index == index).map_or(1, |door| door.count);
    let quantity = shares.iter().map(|(index, share)| *share * Decimal::from(count(*index))).sum();
    let says = "Rated doors without a closing device on each leaf, and existing hardware that stays: is a closer there?";
    let mut finding = out.about_set(job, set, doors, "kept", says);
    finding.kind = Kind::Question;
    finding.priced_as = "no closer".to_owned();
    finding.answers = vec![
        Answer::new("the existing closer stays", Effect::Nothing),
        Answer::new("a closer for each leaf", Effect::Add { category: Category::Closer, attributes, quantity }),
    ];
    finding.help = "look at the doors; the listing and the authority having jurisdiction decide".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;
    use crate::trade::attribute::names;

    #[test]
    fn the_second_closer_of_a_pair_is_finished_like_the_first() {
        let job = completed("door 101 72x84 hm pair 90min; hinge 6; mortise-lock 1 function=F07; closer 1 finish=690; flush-bolt 1 action=automatic; stop 2");
        let added = job.added.iter().find(|added| added.rule == "fire-closer").unwrap();
        assert_eq!(added.attributes.get(&names::FINISH).and_then(|value| value.as_text()), Some("690"));
    }
}
