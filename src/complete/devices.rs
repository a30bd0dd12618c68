//! Electrified devices on the leaf: which lines they are, how many leaves of a door they electrify, how many conductors
//! they need, and which transfers bring the wires across.

use std::collections::HashSet;

use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::trade::wire;
use crate::trade::wording;

use rust_decimal::Decimal;

use super::door::Door;
use super::job::Job;
use super::select::title;
use super::spec::{Addition, Spec};

/// Goods on the leaf that may be electrified.
pub const ON_LEAF: &[Category] = &[
    Category::MortiseLock,
    Category::BoredLock,
    Category::InterconnectedLock,
    Category::Deadlock,
    Category::ExitDevice,
    Category::Reader,
];
/// Goods that may bring wires across the hinge side.
pub const ACROSS: &[Category] = &[Category::Hinge, Category::ContinuousHinge, Category::Pivot, Category::PowerTransfer];

/// Conductors that a line on the leaf needs, with its devices in words; `None` if it is not electrified.
pub fn need(spec: &Spec) -> Option<(u32, Vec<String>)> {
    if !spec.is_any(ON_LEAF) {
        return None;
    }
    let mut conductors = 0;
    let mut devices = Vec::new();
    if spec.is_any(&[Category::Reader]) {
        // A reader is on the wall or the frame unless its words put it on the leaf.
        let count = wire::conductors("reader").filter(|_| spec.word(names::MOUNTING) == "door" && !wireless(spec))?;
        return Some((count, vec![format!("reader {count}")]));
    }
    let electrified = spec.word(names::ELECTRIFIED);
    if !matches!(electrified, "" | "none" | "no") {
        let count = wire::conductors(&format!("electrified={electrified}")).unwrap_or(2);
        conductors += count;
        devices.push(format!("{} {count}", of_device(spec, electrified)));
    }
    let monitors: Vec<&str> = match spec.value(names::MONITOR) {
        Some(Value::List(words)) => words.iter().map(|word| &**word).collect(),
        Some(Value::Text(word)) if &**word != "none" => vec![word],
        _ => Vec::new(),
    };
    for monitor in monitors {
        let count = wire::conductors(&format!("monitor={monitor}")).unwrap_or(2);
        conductors += count;
        devices.push(format!("{} switch {count}", wording::words(monitor)));
    }
    (conductors > 0 && !wireless(spec)).then_some((conductors, devices))
}

/// What is electrified, in words: the lock itself, or what is done to it.
fn of_device(spec: &Spec, electrified: &str) -> String {
    match electrified {
        "fail-safe" | "fail-secure" => format!("{electrified} {}", title(spec.category.unwrap_or(Category::Other))),
        "trim-fail-safe" => "fail-safe trim".to_owned(),
        "trim-fail-secure" => "fail-secure trim".to_owned(),
        other => wording::words(other),
    }
}

/// The sum of conductors in words: `fail-secure mortise lock 2 + latch switch 2 = 4`; of one device nothing is added up.
pub fn conductors_sum(devices: &str, need: u32) -> String {
    if devices.contains(" + ") { format!("{devices} = {need}") } else { devices.to_owned() }
}

/// Battery or radio locks need no wires.
fn wireless(spec: &Spec) -> bool {
    rule_words::speak("without-wires", &spec.wording.text)
}

/// Whether a line brings wires across.
pub fn is_transfer(spec: &Spec) -> bool {
    match spec.category {
        Some(Category::PowerTransfer) => true,
        Some(category) if ACROSS.contains(&category) => wires_across(spec).is_some(),
        _ => false,
    }
}

/// Conductors of a line, when it has any.
pub fn wires_across(spec: &Spec) -> Option<u32> {
    let number = spec.value(names::CONDUCTORS)?.as_number()?;
    u32::try_from(number).ok().filter(|count| *count > 0)
}

/// Electrified lines of a set on the leaf, ours or not: whoever supplies the lock, its wires cross the hinge side.
pub fn on_leaf<'j>(job: &'j Job, set: usize) -> Vec<&'j Spec> {
    job.all_of(set, ON_LEAF).into_iter().filter(|spec| need(spec).is_some()).collect()
}

/// How many leaves of a door carry an electrified device.
pub fn leaves(devices: &[&Spec], door: &Door) -> u32 {
    let most = devices.iter().map(|spec| spec.count_at(door)).max().unwrap_or_default();
    // No leaf carries two exit devices, on whatever lines they stand.
    let exits = devices.iter().filter(|spec| spec.is_any(&[Category::ExitDevice]));
    let most = most.max(exits.map(|spec| spec.count_at(door)).sum());
    u32::try_from(most.ceil()).unwrap_or(0).min(door.leaves)
}

/// Conductors needed on a leaf, and the devices in words.
pub fn need_of(devices: &[&Spec]) -> (u32, String) {
    let mut conductors = 0;
    let mut words = Vec::new();
    for (count, names) in devices.iter().filter_map(|spec| need(spec)) {
        conductors += count;
        words.extend(names);
    }
    (conductors, words.join(" + "))
}

/// Conductors that the wires to one leaf of a set need, and the devices in words. Of exit devices on lines of their own, one of each at
/// a pair, each leaf carries one: they are not added up.
pub fn need_on_leaf(job: &Job, set: usize) -> (u32, String) {
    let devices = on_leaf(job, set);
    let exits: Vec<&Spec> = devices.iter().copied().filter(|spec| spec.is_any(&[Category::ExitDevice])).collect();
    let one_each = |door: &Door| door.leaves > 1 && exits.iter().all(|spec| spec.count_at(door) == Decimal::ONE);
    if exits.len() != 2 || !job.doors(set).all(one_each) || job.doors(set).next().is_none() {
        return need_of(&devices);
    }
    let with = |exit: &Spec| -> Vec<&Spec> {
        devices.iter().copied().filter(|spec| !spec.is_any(&[Category::ExitDevice]) || spec.id == exit.id).collect()
    };
    exits.iter().map(|exit| need_of(&with(exit))).max_by_key(|(need, _)| *need).unwrap_or_default()
}

/// Spare conductors: the job's, else the usual.
pub fn spare(job: &Job) -> u32 {
    job.terms.electrical.spare_conductors.unwrap_or_else(|| u32::try_from(wire::limit("spare_conductors")).unwrap_or(2))
}

/// Most conductors that are looked for in a transfer.
const MOST_CONDUCTORS: u32 = 24;

/// The smallest count of conductors, at least as many as are wanted, with which the catalog has a transfer of the type; the
/// count wanted where it has none.
pub fn transfer_size(job: &Job, kind: &str, wanted: u32) -> u32 {
    size_made(job, Category::PowerTransfer, Attributes::from([(names::TYPE, Value::text(kind))]), wanted)
}

/// The same for goods of a category with these attributes.
pub fn size_made(job: &Job, category: Category, asked: Attributes, wanted: u32) -> u32 {
    let made = |count: &u32| {
        let mut asked = asked.clone();
        asked.insert(names::CONDUCTORS, Value::count(*count));
        !job.select(category, asked).candidates.is_empty()
    };
    (wanted..=MOST_CONDUCTORS).find(made).unwrap_or(wanted)
}

/// A concealed transfer in place of each wired line, at the doors of these numbers.
pub fn instead(
    job: &Job,
    set: usize,
    wired: &[&Spec],
    numbers: &[String],
    wanted: u32,
) -> (Category, Attributes, Decimal) {
    let named: HashSet<&String> = numbers.iter().collect();
    let doors = job.doors(set).filter(|door| named.contains(&door.number));
    let count = doors
        .map(|door| wired.iter().map(|spec| spec.count_at(door)).sum::<Decimal>() * Decimal::from(door.count))
        .sum();
    (Category::PowerTransfer, concealed(job, wanted), count)
}

/// A concealed transfer of at least so many conductors, as attributes to ask the catalog for.
pub fn concealed(job: &Job, wanted: u32) -> Attributes {
    Attributes::from([
        (names::TYPE, Value::text("concealed")),
        (names::CONDUCTORS, Value::count(transfer_size(job, "concealed", wanted))),
    ])
}

/// Transfers of a set, by its lines.
pub fn transfers<'j>(job: &'j Job, set: usize) -> Vec<&'j Spec> {
    job.all_of(set, ACROSS).into_iter().filter(|spec| is_transfer(spec)).collect()
}

/// Transfers that a rule added at a door.
pub fn added_transfers<'j>(job: &'j Job, door: &Door, code: &str) -> Vec<&'j Addition> {
    job.added_to(door.index, &[Category::Hinge, Category::PowerTransfer], code)
}
