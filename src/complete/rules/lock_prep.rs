//! What door and frame makers prepare for locks, bolts, closers and strikes.

use crate::complete::act::Act;
use crate::complete::spec::Prep;
use crate::complete::door::Door;
use crate::trade::category::Category;
use rust_decimal::Decimal;
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
        "one entry for each, for door and frame makers, with the leaf and who supplies the goods; what rules added counts too",
        "lock and exit device strike 40-5/16 in above the floor (standard steel); deadlock 48 in",
        ("SDI A250.8 and VA 08 71 00 from memory", "from memory"),
        ("a mortise lock", "hinges only"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 3",
};

const CODE: &str = "lock-prep";

fn run(job: &Job, out: &mut Out) {
    if !out.settled {
        return;
    }
    for set in 0..job.sets.len() {
        let lines = job.all_of(set, Category::ALL);
        for door in job.doors(set) {
            for spec in lines.iter().filter(|spec| !spec.count_at(door).is_zero()) {
                let Some(category) = spec.category else { continue };
                let by = spec.excluded.as_deref().map_or("", |words| if words.is_empty() { "others" } else { words });
                prepare(out, door, category, spec.count_at(door), &spec.words(), by);
            }
            for added in job.added_to(door.index, Category::ALL, CODE).into_iter().filter(|added| added.set == Some(set)) {
                let count = added.shares.iter().filter(|(opening, _)| *opening == door.index).map(|(_, share)| *share).sum();
                let words = format!("{}, added by rule {}", added.category.name().replace('-', " "), added.rule);
                prepare(out, door, added.category, count, &words, added.by.as_deref().unwrap_or(""));
            }
        }
    }
}

/// What one good asks of door and frame at one opening. `by`: who supplies it, if not we.
fn prepare(out: &mut Out, door: &Door, category: Category, count: Decimal, words: &str, by: &str) {
    let by = if by.is_empty() { "supplied by us".to_owned() } else { format!("not supplied by us: {by}") };
    for (trade, what, above) in preps_of(category) {
        // The lock of a pair latches into the edge of the inactive leaf.
        let into_leaf = door.is_pair() && *what == "strike";
        let trade = if into_leaf { "door" } else { trade };
        for leaf in leaves_of(door, category, trade, into_leaf, count) {
            out.acts.push(Act::Prep(Prep {
                opening: door.index,
                trade,
                leaf,
                what: (*what).to_owned(),
                detail: format!("{words}; {by}"),
                above_floor: above.and_then(|above| above.parse().ok()),
                rule: CODE,
            }));
        }
    }
}

/// Which leaves carry it: both where there are two, bolts and the strike of a lock the inactive one, else the active one.
fn leaves_of(door: &Door, category: Category, trade: &str, into_leaf: bool, count: Decimal) -> &'static [&'static str] {
    if !door.is_pair() || trade == "frame" {
        &[""]
    } else if into_leaf || category == Category::FlushBolt {
        &["inactive"]
    } else if count >= Decimal::TWO {
        &["active", "inactive"]
    } else {
        &["active"]
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
        Category::Mullion => &[("frame", "mullion fitting in the head", None)],
        Category::DustProofStrike => &[("floor", "hole for the dust-proof strike", Some("0"))],
        Category::FrameGuard => &[("frame", "guard box behind the electrified cut-out, conduit hole top and bottom", None)],
        Category::DoorBottom => &[("door", "door bottom, see the line for surface or mortised", None)],
        Category::LouverOrLite => &[("door", "cut-out for louver or lite", None)],
        Category::MagneticHolder => &[("door", "armature of the magnetic holder", None)],
        Category::Coordinator => &[("frame", "coordinator under the head", None)],
        _ => &[],
    }
}
