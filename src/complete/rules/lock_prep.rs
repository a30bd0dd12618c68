//! What door and frame makers prepare for locks, bolts, closers and strikes.

use std::collections::BTreeSet;

use crate::complete::select::title;
use crate::complete::act::Act;
use crate::complete::spec::{Prep, Spec};
use crate::complete::door::Door;
use crate::trade::attribute::{Attr, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::{remark, rule_words};
use rust_decimal::Decimal;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, LineId, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "lock-prep",
        Kind::Note,
        Weight::Scope,
        "Preparations",
        "a set has goods that are let into or fixed to door or frame",
        "one entry for each, for door and frame makers, floor, wall and electrical trade, with the leaf and who supplies the goods; what rules added counts too",
        "lock and exit device strike 40-5/16 in above the floor (standard steel); deadlock 48 in; bolts and the strike of a pair's lock in the inactive leaf; backing behind wall stops in stud walls",
        ("SDI A250.8 and VA 08 71 00 from memory", "from memory"),
        ("a mortise lock", "hinges only"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 wood; hinge 3",
};

const CODE: &str = "lock-prep";

fn run(job: &Job, out: &mut Out) {
    if !out.settled {
        return;
    }
    for set in 0..job.sets.len() {
        let lines = job.all_of(set, Category::ALL);
        let quoted: Vec<String> = lines.iter().map(|spec| format!("\"{}\"", spec.words())).collect();
        for door in job.doors(set) {
            lead_lining(job, out, door);
            let inactive = inactive_lines(&lines, door);
            // An electric strike stands where the strike of the lock or device would.
            let strike = !job.has(set, door, &[Category::ElectricStrike], CODE);
            for (spec, words) in lines.iter().zip(&quoted).filter(|(spec, _)| !spec.count_at(door).is_zero()) {
                let Some(category) = spec.category else { continue };
                let by = spec.excluded.as_deref().map_or("", |words| if words.is_empty() { "others" } else { words });
                let word = |attribute: Attr| spec.value_at(door, attribute).map(ToString::to_string).unwrap_or_default();
                let inactive = inactive.contains(&spec.id);
                let good = Good { category, count: spec.count_at(door), words: words.clone(), by, word: &word, inactive, strike };
                prepare(out, door, &good);
            }
            for added in job.added_to(door.index, Category::ALL, CODE).into_iter().filter(|added| added.set == Some(set)) {
                let count = added.shares.iter().filter(|(opening, _)| *opening == door.index).map(|(_, share)| *share).sum();
                let words = format!("{}, added: the set lacks it", title(added.category));
                let word = |attribute: Attr| added.attributes.get(&attribute).map(ToString::to_string).unwrap_or_default();
                let by = added.by.as_deref().unwrap_or("");
                prepare(out, door, &Good { category: added.category, count, words, by, word: &word, inactive: false, strike });
            }
        }
    }
}

/// What holds the rays back must not end at a cut-out: the makers of leaf and frame are told of it with the words that say so.
fn lead_lining(job: &Job, out: &mut Out, door: &Door) {
    if !door.speaks_of("lead-lined") {
        return;
    }
    let opening = job.schedule.openings.get(door.index);
    let of = |material: Option<&String>| material.cloned().unwrap_or_default();
    let said = opening.map(|opening| {
        let materials = [of(opening.door_material.as_ref()), of(opening.frame_material.as_ref())];
        let words = [opening.remarks.clone(), opening.room.clone()].into_iter().chain(materials);
        words.filter(|words| remark::matters(&[words]).contains(&"lead-lined")).collect::<Vec<_>>()
    });
    let said = said.unwrap_or_default();
    let frame = |words: &String| rule_words::speak("frame-named", words) || door.frame_material == words.to_lowercase();
    let mut trades = vec![("door", "lead lining, kept whole behind each preparation of the leaf")];
    if said.iter().any(frame) {
        trades.push(("frame", "lead lining, kept whole behind each preparation of the frame"));
    }
    for (trade, what) in trades {
        let leaves = if trade == "door" && door.is_pair() { &["active", "inactive"][..] } else { &[""][..] };
        for leaf in leaves {
            let detail = format!("the schedule says \"{}\"", said.join("; "));
            out.acts.push(Act::Prep(Prep { opening: door.index, trade, leaf, what: what.to_owned(), detail, above_floor: None, rule: CODE }));
        }
    }
}

/// The lines of one each that go on the inactive leaf of a pair: where several lines of a kind have one each, all but the
/// first; of exit devices first comes the one that is opened from outside.
fn inactive_lines(lines: &[&Spec], door: &Door) -> BTreeSet<LineId> {
    let mut inactive = BTreeSet::new();
    if !door.is_pair() {
        return inactive;
    }
    let single: Vec<&&Spec> = lines.iter().filter(|spec| spec.count_at(door) == Decimal::ONE).collect();
    let of = |category: Category| single.iter().filter(move |spec| spec.category == Some(category));
    let mut devices: Vec<_> = of(Category::ExitDevice).collect();
    devices.sort_by_key(|spec| is_exit_only(spec.word(names::FUNCTION)));
    inactive.extend(devices.iter().skip(1).map(|spec| spec.id));
    for category in [Category::Closer, Category::Operator, Category::OverheadStop, Category::MagneticHolder] {
        inactive.extend(of(category).skip(1).map(|spec| spec.id));
    }
    inactive
}

/// Whether an exit device of a function is not opened from outside.
fn is_exit_only(number: &str) -> bool {
    function::find(FunctionKind::Exit, number).is_some_and(|function| matches!(function.name, "exit-only" | "dummy"))
}

/// One good at one opening.
struct Good<'a> {
    category: Category,
    count: Decimal,
    words: String,
    /// Who supplies it, if not we.
    by: &'a str,
    /// An attribute in words; empty if it has none.
    word: &'a dyn Fn(Attr) -> String,
    /// Whether it is the inactive leaf's, of a pair whose active leaf has another line of its kind.
    inactive: bool,
    /// Whether it latches into a strike of its own.
    strike: bool,
}

/// Where on the opening something is prepared.
#[derive(Clone, Copy)]
enum On {
    /// The frame, the floor, the wall.
    Opening,
    /// Each leaf that carries it: both of a pair where there are two, else the active one.
    Leaf,
    /// The inactive leaf of a pair.
    Inactive,
    /// What the active leaf's lock latches into: the frame of a single door, the edge of a pair's inactive leaf.
    Facing,
}

/// Trade, what, height above the floor, where.
type Of = (&'static str, &'static str, Option<&'static str>, On);
/// Strike centre line of standard steel doors, inches above the floor.
const STRIKE: Option<&str> = Some("40.3125");

/// What one good asks of door, frame, floor and electrical trade at one opening.
fn prepare(out: &mut Out, door: &Door, good: &Good) {
    let by = match good.by.strip_prefix("by ") {
        Some(other) => format!("supplied by {other}"),
        None if good.by.is_empty() => "supplied by us".to_owned(),
        None => format!("not supplied by us: {}", good.by),
    };
    for (trade, what, above, on) in preps_of(good, door) {
        let facing = [Category::MortiseLock, Category::BoredLock, Category::ExitDevice].contains(&good.category);
        if facing && trade == "frame" && above == STRIKE && !good.strike {
            continue;
        }
        // What steel is reinforced with, wood has let in.
        let what = if trade == "door" && door.is_wood() { what.replace("reinforcement", "blocking") } else { what.to_owned() };
        let trade = if matches!(on, On::Facing) && door.is_pair() { "door" } else { trade };
        for leaf in leaves_of(door, on, good) {
            out.acts.push(Act::Prep(Prep {
                opening: door.index,
                trade,
                leaf,
                what: what.clone(),
                detail: format!("{}; {by}", good.words),
                above_floor: above.and_then(|above| above.parse().ok()),
                rule: CODE,
            }));
        }
    }
}

fn leaves_of(door: &Door, on: On, good: &Good) -> &'static [&'static str] {
    match on {
        _ if !door.is_pair() => &[""],
        On::Opening => &[""],
        On::Inactive | On::Facing => &["inactive"],
        On::Leaf if good.inactive => &["inactive"],
        On::Leaf if good.count >= Decimal::TWO => &["active", "inactive"],
        On::Leaf => &["active"],
    }
}

/// The preps of a good; nothing for goods that are fixed to a surface and need no more than their own screws.
fn preps_of(good: &Good, door: &Door) -> Vec<Of> {
    use On::{Facing, Inactive, Leaf, Opening};
    let word = good.word;
    match good.category {
        Category::MortiseLock => vec![("door", "mortise lock, ANSI A115.1 form 86", STRIKE, Leaf), ("frame", "strike", STRIKE, Facing)],
        Category::BoredLock => vec![("door", "bored lock 161: 2-1/8 bore, 2-3/4 backset", STRIKE, Leaf), ("frame", "strike", STRIKE, Facing)],
        Category::InterconnectedLock => vec![("door", "interconnected lock", STRIKE, Leaf), ("frame", "strikes", STRIKE, Facing)],
        Category::Deadlock => vec![("door", "deadlock", Some("48"), Leaf), ("frame", "deadlock strike", Some("48"), Facing)],
        Category::ExitDevice => exit_device(&word(names::TYPE), word(names::LESS_BOTTOM_ROD) == "true", door),
        Category::FlushBolt => vec![("door", "flush bolts top and bottom", None, Inactive), ("frame", "bolt strike in the head", None, Opening)],
        Category::SurfaceBolt => vec![("door", "surface bolt reinforcement", None, Inactive), ("frame", "bolt strike", None, Opening)],
        Category::DustProofStrike => vec![("floor", "hole for the dust-proof strike", Some("0"), Inactive)],
        Category::Coordinator => vec![("frame", "coordinator under the head, filler bar", None, Opening)],
        Category::Astragal => vec![("door", "astragal at the meeting edge", None, Inactive)],
        Category::Closer => closer(&word(names::MOUNTING), &word(names::ARM)),
        Category::Operator => vec![
            ("door", "closer reinforcement for the operator arm", None, Leaf),
            ("frame", "closer reinforcement in the head for the operator", None, Opening),
            ("electrical", "line voltage to the operator", None, Opening),
        ],
        Category::OverheadStop => overhead(&word(names::MOUNTING)),
        Category::ElectricStrike => vec![("frame", "electric strike cut-out and wire way", STRIKE, Facing), ("electrical", "wires to the electric strike", None, Opening)],
        Category::ElectromagneticLock => vec![
            ("frame", "magnet at the head, wire way", None, Opening),
            ("door", "armature of the magnet, through-bolted", None, Leaf),
            ("electrical", "wires to the magnet, release by the fire alarm", None, Opening),
        ],
        Category::PowerTransfer if word(names::TYPE) == "door-loop" => vec![
            ("door", "power transfer, surface loop: one small hole", None, Leaf),
            ("frame", "power transfer, surface loop: one small hole", None, Opening),
            ("electrical", "conduit from the frame to above the ceiling", None, Opening),
        ],
        Category::PowerTransfer => vec![
            ("door", "power transfer", None, Leaf),
            ("frame", "power transfer, wire way", None, Opening),
            ("electrical", "conduit from the frame to above the ceiling", None, Opening),
        ],
        Category::Hinge if !matches!(word(names::CONDUCTORS).as_str(), "" | "0") => {
            vec![("electrical", "conduit from the frame to above the ceiling", None, Opening)]
        }
        Category::ContinuousHinge if !matches!(word(names::CONDUCTORS).as_str(), "" | "0") => vec![
            ("door", "continuous hinge, full height; wire hole at its wired section", None, Leaf),
            ("frame", "continuous hinge, full height; wire hole at its wired section", None, Opening),
            ("electrical", "conduit from the frame to above the ceiling", None, Opening),
        ],
        Category::ContinuousHinge => vec![("door", "continuous hinge, full height", None, Leaf), ("frame", "continuous hinge, full height", None, Opening)],
        Category::Pivot => vec![("door", "pivots", None, Leaf), ("frame", "pivots", None, Opening), ("floor", "bottom pivot", Some("0"), Opening)],
        Category::PositionSwitch => vec![("frame", "door position switch in the head", None, Opening), ("door", "magnet of the switch", None, Leaf), ("electrical", "wires to the position contact", None, Opening)],
        Category::Viewer => vec![("door", "viewer hole", Some("60"), Leaf)],
        Category::MailSlot => vec![("door", "mail slot cut-out", None, Leaf)],
        Category::LouverOrLite => vec![("door", "cut-out for louver or lite", None, Leaf)],
        Category::Pull | Category::PushPullBar => vec![("door", "holes for through-bolts of the pull", None, Leaf)],
        Category::Mullion => vec![("frame", "mullion fitting in the head", None, Opening), ("floor", "mullion fitting in the floor", Some("0"), Opening)],
        Category::FrameGuard => vec![("frame", "guard box behind each cut-out for wires or let into the head; conduit holes where wires pass", None, Opening)],
        Category::DoorBottom if word(names::MOUNTING).contains("mortise") => vec![("door", "door bottom let into the leaf", None, Leaf)],
        Category::DoorBottom => vec![("door", "door bottom, see the line for surface or mortised", None, Leaf)],
        Category::MagneticHolder => vec![("door", "armature of the magnetic holder", None, Leaf), ("electrical", "box in wall or floor for the magnetic holder, release by the fire alarm", None, Opening)],
        Category::Silencer if door.is_pair() => vec![("frame", "holes for silencers in the head", None, Opening)],
        Category::Silencer => vec![("frame", "holes for silencers in the jamb", None, Opening)],
        // A wall stop is fixed to something: board alone does not hold it.
        Category::Stop if word(names::MOUNTING) == "wall" && door.stud_wall() => vec![("wall", "backing behind the wall stop", None, Opening)],
        Category::Threshold => vec![("floor", "threshold; the frame's stops as its maker needs", Some("0"), Opening)],
        Category::Reader => vec![("electrical", "back box for the reader", None, Opening)],
        Category::RequestToExit => vec![("electrical", "back box for request to exit", None, Opening)],
        Category::Actuator => vec![("electrical", "back box for the actuator", None, Opening)],
        Category::PowerSupply => vec![("electrical", "line voltage and place for the power supply", None, Opening)],
        _ => Vec::new(),
    }
}

fn exit_device(kind: &str, less_bottom: bool, door: &Door) -> Vec<Of> {
    use On::{Facing, Leaf, Opening};
    if kind.contains("vertical-rod") {
        let in_leaf = if kind.contains("concealed") { "exit device reinforcement, ways for rods inside the leaf" } else { "exit device reinforcement, guides of surface rods" };
        let mut preps = vec![("door", in_leaf, STRIKE, Leaf), ("frame", "exit device strike in the head", None, Opening)];
        if !less_bottom {
            preps.push(("floor", "exit device strike in the floor", Some("0"), Leaf));
        }
        return preps;
    }
    if kind == "mortise" {
        return vec![("door", "exit device with mortise lock: reinforcement and edge prep", STRIKE, Leaf), ("frame", "exit device strike", STRIKE, Facing)];
    }
    // Rim devices of a pair latch into the mullion, which brings its strikes.
    let mut preps = vec![("door", "exit device reinforcement", STRIKE, Leaf)];
    if !door.is_pair() {
        preps.push(("frame", "exit device strike", STRIKE, Opening));
    }
    preps
}

fn closer(mounting: &str, arm: &str) -> Vec<Of> {
    use On::{Leaf, Opening};
    if mounting == "floor" {
        return vec![
            ("door", "bottom arm of the floor closer and top pivot", None, Leaf),
            ("frame", "top pivot in the head", None, Opening),
            ("floor", "box of the floor closer, set into the slab", Some("0"), Leaf),
        ];
    }
    if mounting == "concealed" {
        return vec![("door", "closer arm channel in the top of the leaf", None, Leaf), ("frame", "closer pocket in the head", None, Opening)];
    }
    let in_frame = match arm {
        "parallel" => "closer reinforcement under the head, parallel arm",
        "top-jamb" => "closer reinforcement on the face of the head, top-jamb arm",
        _ => "closer reinforcement in the head",
    };
    vec![("door", "closer reinforcement", None, Leaf), ("frame", in_frame, None, Opening)]
}

/// A stop at the head. The box behind one that is let into a grouted frame is another rule's addition.
fn overhead(mounting: &str) -> Vec<Of> {
    use On::{Leaf, Opening};
    if mounting == "concealed" {
        return vec![("door", "overhead stop let into the top of the leaf", None, Leaf), ("frame", "overhead stop let into the head", None, Opening)];
    }
    vec![("door", "overhead stop reinforcement", None, Leaf), ("frame", "overhead stop reinforcement in the head", None, Opening)]
}
