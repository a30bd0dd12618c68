//! Wires to a device on the leaf need a transfer at the hinge side.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::electrified_hinge_like::COPIED;
use crate::complete::act::keep_or_not;
use crate::complete::devices;
use crate::complete::spec::Spec;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::hinge::count as hinge_count;
use crate::trade::wire;
use crate::trade::wording::with_article;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "power-transfer",
        Kind::Assumption,
        Weight::Goods,
        "A device on the leaf and nothing that brings it wires",
        "a lock or exit device on the leaf is electrified or has a switch, and the set has no electrified hinge, transfer or wired continuous hinge",
        "one electrified hinge for each electrified leaf, like the other hinges of the leaf, with enough conductors; with a continuous hinge or on a leaf of two hinges a concealed transfer, in an existing frame or door a surface door loop, and a question",
        "one for each electrified leaf; 4 to 12 conductors",
        ("locksmith trade articles; per leaf: common practice", "read"),
        ("electrified mortise lock, three plain hinges", "electrified mortise lock and a hinge of 6 conductors"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let on_leaf = devices::on_leaf(job, set);
        if on_leaf.is_empty() || !devices::transfers(job, set).is_empty() {
            continue;
        }
        let (need, words) = devices::need_on_leaf(job, set);
        let made = wire::next_made(need + devices::spare(job)).or_else(|| wire::next_made(need)).unwrap_or(12);
        let hinges = job.lines_of(set, &[Category::Hinge]);
        match hinges.first() {
            Some(hinge) if !job.names(set, &[Category::ContinuousHinge, Category::Pivot]) => {
                by_hinge(job, out, set, hinge, &on_leaf, (need, made, &words));
            }
            _ => {
                let doors = job.doors(set).map(|door| door.index).collect::<Vec<_>>();
                by_transfer(job, out, set, &on_leaf, (need, made, &words), &doors, Why::NoHinge);
            }
        }
    }
}

const CODE: &str = "power-transfer";

type Wires<'a> = (u32, u32, &'a str);

/// An electrified hinge for each electrified leaf, alike for doors whose ordinary hinges are alike.
fn by_hinge(job: &Job, out: &mut Out, set: usize, hinge: &Spec, on_leaf: &[&Spec], wires: Wires) {
    let (need, made, words) = wires;
    let mut alike: BTreeMap<Attributes, Vec<(usize, Decimal)>> = BTreeMap::new();
    let mut numbers = Vec::new();
    let mut few = Vec::new();
    let mut existing = Vec::new();
    for door in job.doors(set) {
        let leaves = devices::leaves(on_leaf, door);
        // An answer may have given it another transfer.
        if leaves == 0 || !job.added_to(door.index, &[Category::PowerTransfer], CODE).is_empty() {
            continue;
        }
        if door.speaks_of("existing") {
            existing.push(door.index);
            continue;
        }
        if door.height.is_some_and(|height| hinge_count(height) < 3) {
            few.push(door.index);
            continue;
        }
        let mut attributes: Attributes = COPIED
            .iter()
            .filter_map(|attribute| Some((*attribute, hinge.value_at(door, *attribute)?.clone())))
            .collect();
        attributes.insert(names::CONDUCTORS, Value::count(made));
        // A wired hinge is a bearing hinge; plain bearing ones are not made.
        attributes.insert(names::BEARING, Value::text("ball"));
        alike.entry(attributes).or_default().push((door.index, Decimal::from(leaves)));
        numbers.push(door.number.clone());
    }
    let sum = sum(need, made, words, devices::spare(job));
    let why = format!("The device on the leaf needs wires; {sum}. It takes the place of one ordinary hinge.");
    for (attributes, shares) in alike {
        out.add(set, Category::Hinge, attributes, shares, why.clone());
    }
    if !numbers.is_empty() {
        let says = format!("An electrified device on the leaf and no transfer in the set: one electrified hinge for each electrified leaf added, in place of an ordinary hinge ({sum}).");
        let mut finding = out.about_set(job, set, numbers, "hinge", says);
        finding.help = "limits of such a hinge (low voltage, indoor, not bearing load, 50 V and 3.5 A continuous, 16 A pulse a conductor) are common practice: verify with its maker, and with those who wire".to_owned();
        out.say(finding);
    }
    by_transfer(job, out, set, on_leaf, wires, &few, Why::TwoHinges);
    by_transfer(job, out, set, on_leaf, wires, &existing, Why::Existing);
}

fn sum(need: u32, made: u32, words: &str, spare: u32) -> String {
    if made >= need + spare {
        format!("conductors: {}, with {spare} spare the next size made is {made}", devices::conductors_sum(words, need))
    } else {
        format!("conductors: {}, the largest size made is {made}", devices::conductors_sum(words, need))
    }
}

/// Why a wired hinge cannot serve.
#[derive(Clone, Copy, PartialEq)]
enum Why {
    NoHinge,
    TwoHinges,
    Existing,
}

impl Why {
    /// Type of transfer, its name, and the reason.
    fn words(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Why::NoHinge => ("concealed", "concealed power transfer", "the set has no ordinary hinges whose place a wired one could take"),
            Why::TwoHinges => ("concealed", "concealed power transfer", "a leaf of two hinges has none that is free of load"),
            Why::Existing => ("door-loop", "surface door loop", "a frame or door that is there already has no prep for a wired hinge or a concealed transfer"),
        }
    }
}

/// A transfer where a wired hinge cannot serve: a concealed one, or a loop on the surface of what exists.
fn by_transfer(job: &Job, out: &mut Out, set: usize, on_leaf: &[&Spec], wires: Wires, only: &[usize], case: Why) {
    let (need, made, words) = wires;
    let wanted: BTreeSet<usize> = only.iter().copied().collect();
    let doors: Vec<_> = job.doors(set).filter(|door| wanted.contains(&door.index)).collect();
    let shares: Vec<(usize, Decimal)> = doors
        .iter()
        .map(|door| (door.index, Decimal::from(devices::leaves(on_leaf, door))))
        .filter(|(_, leaves)| !leaves.is_zero())
        .collect();
    if shares.is_empty() {
        return;
    }
    let (kind, name, why) = case.words();
    let attributes = Attributes::from([
        (names::TYPE, Value::text(kind)),
        (names::CONDUCTORS, Value::count(devices::transfer_size(job, kind, made))),
    ]);
    let sum = sum(need, made, words, devices::spare(job));
    out.add(set, Category::PowerTransfer, attributes, shares, format!("The device on the leaf needs wires; {sum}."));
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let says = format!("An electrified device on the leaf and no transfer in the set; {why}: {} for each electrified leaf added ({sum}).", with_article(name));
    let mut finding = out.about_set(job, set, numbers, if case == Why::Existing { "existing" } else { "transfer" }, says);
    finding.kind = Kind::Question;
    finding.priced_as = name.to_owned();
    finding.answers = keep_or_not(name, "by others or in the hinge");
    if case == Why::Existing {
        finding.help = "ask what is there: prep, conduit, label; ask the authority having jurisdiction before a labelled frame is drilled".to_owned();
    }
    out.say(finding);
}
