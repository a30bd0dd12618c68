//! Electrified hinges on heavy leaves.


use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "heavy-leaf-transfer",
        Kind::Note,
        Weight::Goods,
        "An electrified hinge on a heavy leaf",
        "a leaf of more than 200 lb by estimate has an electrified hinge",
        "noted: a concealed transfer or a continuous hinge with transfer lasts longer there",
        "200 lb; one maker's heavy class begins at 150 lb or 400 cycles a day",
        ("a hinge maker's cut sheets; preference: common practice", "reported"),
        ("a wired hinge on a rated leaf 4-0 x 10-0", "a wired hinge on a leaf 3-0 x 7-0"),
    ),
    run,
    fires: "door 101 48x120 hm stud 90min; hinge 3; hinge 1 conductors=6; closer 1; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm stud 90min; hinge 2; hinge 1 conductors=6; closer 1; mortise-lock 1 function=F07 electrified=fail-secure",
};

const CODE: &str = "heavy-leaf-transfer";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let listed = devices::transfers(job, set).iter().any(|spec| spec.category == Some(Category::Hinge));
        let doors = job.numbers_of(set, |door| {
            let heavy = door.leaf_weight().is_some_and(|pounds| pounds > limits::number("transfer_heavy_leaf"));
            heavy && (listed || devices::added_transfers(job, door, CODE).iter().any(|added| added.category == Category::Hinge))
        });
        if !doors.is_empty() {
            let says = "Electrified hinges on leaves of more than 200 lb by estimate: a concealed transfer, or a continuous hinge with one, lasts longer.";
            out.say(out.about_set(job, set, doors, "job:", says));
        }
    }
}
