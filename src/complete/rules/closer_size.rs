//! Closers of one fixed size on doors that need more.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "closer-size",
        Kind::Question,
        Weight::Goods,
        "A closer too small for its leaf",
        "a closer is given in one fixed size, smaller than the width of the leaf asks for; exterior and vestibule doors ask for one more",
        "priced as written; an adjustable closer is the other answer. Where no size is given an adjustable one is taken",
        "interior 3-0: size 3, 4-0: size 4; exterior and vestibule doors one more; adjustable 1 to 6 needs no size",
        ("closer maker's manual; sizes by width: common practice", "reported"),
        ("a closer of size 2 on an exterior door 3-0", "a closer of size 4 on the same door"),
    ),
    run,
    fires: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel size=2; stop 1",
    quiet: "door 101 36x84 hm exterior RHR; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel size=4; stop 1",
};

/// The size by width of the leaf, and by where the door is.
fn needed(door: &Door) -> Option<u32> {
    let width = door.widest_leaf()?;
    let by_width = if width <= limits::inches("closer_small_leaf") {
        2
    } else if width <= limits::inches("closer_usual_leaf") {
        3
    } else {
        4
    };
    Some(by_width + u32::from(door.exterior || door.uses == ["vestibule"]))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Closer]) {
            let Ok(size) = spec.word(names::SIZE).parse::<u32>() else { continue };
            if !spec.says(names::SIZE) {
                continue;
            }
            let doors = job.numbers_of(set, |door| needed(door).is_some_and(|needed| needed > size));
            if doors.is_empty() {
                continue;
            }
            let most = job.doors(set).filter_map(needed).max().unwrap_or(size);
            let says = format!("Closers of size {size}: by width and place of these doors size {most} is usual (3 up to 3-0, 4 above; one more outside and in vestibules).");
            let mut finding = out.about_lines(job, set, &[spec.id], doors, "size", says);
            finding.priced_as = format!("size {size}, as written");
            finding.attribute = Some(names::SIZE);
            finding.answers = vec![
                Answer::new(format!("size {size}"), Effect::Nothing),
                set_answer("adjustable, 1 to 6", &[spec.id], names::SIZE, Value::text("1-6")),
            ];
            finding.help = "the closer maker's manual decides; a parallel arm takes a size more".to_owned();
            out.say(finding);
        }
    }
}
