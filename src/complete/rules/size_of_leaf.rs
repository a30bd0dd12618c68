//! Sizes that a line gives and that its leaf has not: a kick plate wider than the leaf, a sweep of another door.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "size-of-leaf",
        Kind::Question,
        Weight::Goods,
        "A size that is another leaf's",
        "a protection plate, a sweep, a door bottom or a threshold gives a width or length by its words, and a door of its set is narrower, or wider by more than 4 in",
        "priced as written; what is too long for its door is asked, what is too short for it is told",
        "4 in beside the plate, and 12 in that goods cut at the door may be longer than it: from memory; a sweep, bottom or threshold is as long as its door",
        ("common practice", "common practice"),
        ("KICK PLATE 10 X 34 at a door 2-6", "KICK PLATE 10 X 34 at a door 3-0"),
    ),
    run,
    fires: "door 101 30x84 hm; hinge 3; protection-plate 1 kind=kick height=10 width=34",
    quiet: "door 101 36x84 hm; hinge 3; protection-plate 1 kind=kick height=10 width=34",
};

/// What a plate may leave free of its leaf, and goods for the whole width of theirs.
const FREE: Inches = Inches::whole(4);

/// Goods that are cut at the door are bought longer, by so much.
const CUT: Inches = Inches::whole(12);

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::ProtectionPlate, Category::Sweep, Category::DoorBottom, Category::Threshold]) {
            let attribute = if spec.is_any(&[Category::ProtectionPlate]) { names::WIDTH } else { names::LENGTH };
            let Some(said) = spec.value(attribute).and_then(Value::as_length).filter(|_| spec.says(attribute)) else { continue };
            let across = |door: &Door| if spec.is_any(&[Category::Threshold]) { door.width } else { door.widest_leaf() };
            let cut = if attribute == names::WIDTH { Inches::ZERO } else { CUT };
            let at = |wanted: &dyn Fn(Inches) -> bool| -> Vec<String> {
                let doors = job.doors_of(spec).filter(|door| door.leaf_widths.windows(2).all(|two| two.first() == two.last()));
                doors.filter(|door| across(door).is_some_and(wanted)).map(|door| door.number.clone()).collect()
            };
            tell(job, out, (set, spec), (attribute, said), at(&|leaf| said > leaf + cut), true);
            tell(job, out, (set, spec), (attribute, said), at(&|leaf| said + FREE < leaf), false);
        }
    }
}

fn tell(job: &Job, out: &mut Out, (set, spec): (usize, &Spec), (attribute, said): (Attr, Inches), doors: Vec<String>, wider: bool) {
    if doors.is_empty() {
        return;
    }
    let goods = spec.category.map(crate::complete::select::title).unwrap_or_default();
    let way = if wider { "more than its door has" } else { "several inches less than its door has" };
    let says = format!("The {attribute} that the line gives of the {goods}, {} in, is {way}.", said.in_fractions());
    let mut finding = out.about_lines(job, set, &[spec.id], doors, &format!("{attribute} {wider}"), says);
    finding.kind = if wider { Kind::Question } else { Kind::Note };
    finding.attribute = Some(attribute);
    finding.priced_as = "as written".to_owned();
    finding.help = "ask which is meant; a line without a size takes that of its door".to_owned();
    out.say(finding);
}
