//! What door and frame makers prepare for locks, bolts, closers and strikes.

use crate::complete::act::Act;
use crate::complete::spec::Prep;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "lock-prep",
        Kind::Note,
        Weight::Scope,
        "Preparations",
        "a set has goods that are let into or fixed to door or frame",
        "one entry for each, for door and frame makers",
        "lock and exit device strike 40-5/16 in above the floor (standard steel); deadlock 48 in",
        ("SDI A250.8 and VA 08 71 00 from memory", "from memory"),
        ("a mortise lock", "hinges only"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        for spec in job.all_of(set, Category::ALL) {
            let Some(preps) = spec.category.map(preps_of) else { continue };
            for door in job.doors(set) {
                for (trade, what, above) in preps {
                    out.acts.push(Act::Prep(Prep {
                        opening: door.index,
                        trade,
                        leaf: if door.is_pair() && *trade == "door" { "active" } else { "" },
                        what: (*what).to_owned(),
                        detail: spec.words(),
                        above_floor: above.and_then(|above| above.parse().ok()),
                        rule: "lock-prep",
                    }));
                }
            }
        }
    }
}

type Of = (&'static str, &'static str, Option<&'static str>);
/// Strike centre line of standard steel doors, inches above the floor.
const STRIKE: Option<&str> = Some("40.3125");

fn preps_of(category: Category) -> &'static [Of] {
    match category {
        Category::MortiseLock => &[("door", "mortise lock, ANSI A115.1 form 86", STRIKE), ("frame", "strike", STRIKE)],
        Category::BoredLock => &[("door", "bored lock 161: 2-1/8 bore, 2-3/4 backset", STRIKE), ("frame", "strike", STRIKE)],
        Category::InterconnectedLock => &[("door", "interconnected lock", STRIKE), ("frame", "strikes", STRIKE)],
        Category::Deadlock => &[("door", "deadlock", Some("48")), ("frame", "deadlock strike", Some("48"))],
        Category::ExitDevice => &[("door", "exit device reinforcement", STRIKE), ("frame", "exit device strike", STRIKE)],
        Category::FlushBolt => &[("door", "flush bolts top and bottom", None), ("frame", "bolt strike in the head", None)],
        Category::Closer | Category::Operator => &[("door", "closer reinforcement", None), ("frame", "closer reinforcement in the head", None)],
        Category::OverheadStop => &[("door", "overhead stop reinforcement", None), ("frame", "overhead stop in the head", None)],
        Category::ElectricStrike => &[("frame", "electric strike cut-out and wire way", STRIKE)],
        Category::ElectromagneticLock => &[("frame", "magnet at the head, wire way", None)],
        Category::PowerTransfer => &[("door", "power transfer", None), ("frame", "power transfer, wire way", None)],
        Category::ContinuousHinge => &[("door", "continuous hinge, full height", None), ("frame", "continuous hinge, full height", None)],
        Category::Pivot => &[("door", "pivots", None), ("frame", "pivots", None)],
        Category::PositionSwitch => &[("frame", "door position switch in the head", None), ("door", "magnet of the switch", None)],
        Category::Viewer => &[("door", "viewer hole", Some("60"))],
        Category::MailSlot => &[("door", "mail slot cut-out", None)],
        Category::Coordinator => &[("frame", "coordinator under the head", None)],
        _ => &[],
    }
}
