//! A way for the wires through the leaf to an electrified lock.

use crate::complete::act::Act;
use crate::complete::devices;
use crate::complete::spec::Prep;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "leaf-raceway",
        Kind::Assumption,
        Weight::Scope,
        "Raceway through the leaf",
        "an electrified lock is fed from the hinge side",
        "the door maker provides a raceway from the hinge edge to the lock; wood and mineral-core leaves must be drilled by their maker",
        "one for each electrified leaf",
        ("maker's answer on running power to doors; wood: common practice", "reported"),
        ("an electrified mortise lock", "an electrified exit device, fed at its hinge end"),
    ),
    run,
    fires: "door 101 36x84 wood; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 wood; hinge 3; exit-device 1 type=rim electrified=latch-retraction",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let locks: Vec<_> = devices::on_leaf(job, set).into_iter().filter(|spec| spec.is_any(LOCKS)).collect();
        if locks.is_empty() {
            continue;
        }
        for door in job.doors(set) {
            let leaves: &[&'static str] = match (devices::leaves(&locks, door), door.is_pair()) {
                (0, _) => &[],
                (_, false) => &[""],
                (1, true) => &["active"],
                (_, true) => &["active", "inactive"],
            };
            for leaf in leaves {
                out.acts.push(Act::Prep(Prep {
                    opening: door.index,
                    trade: "door",
                    leaf,
                    what: "raceway".to_owned(),
                    detail: "from the electrified hinge or transfer to the lock; wires pulled by the door maker or in the field".to_owned(),
                    above_floor: None,
                    rule: "leaf-raceway",
                }));
            }
        }
        let says = "Electrified locks: the door maker provides a raceway from the hinge edge to the lock.";
        out.say(out.about_set(job, set, job.numbers(set), "job:", says));
    }
}
