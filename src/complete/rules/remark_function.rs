//! A remark of a door that is the function of its exit device: `Night latch` beside `RIM EXIT DEVICE`.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Finding, Kind, Weight};
use crate::read::schedule::Wording;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::{function, rule_words};
use crate::understand::reading::{Heard, Surroundings};
use crate::understand::{Lexicon, understand};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "remark-function",
        Kind::Assumption,
        Weight::Goods,
        "A remark names the function of the exit device",
        "a remark of a door says nothing but the name of a function that no room is called by, and the set of the door has one line of exit devices, of which nothing gives the function",
        "the device of the door has that function",
        "names: the row of functions in remarks of the table of rule words",
        ("common practice", "common practice"),
        ("remark NIGHT LATCH at a door with RIM EXIT DEVICE", "the same remark beside RIM EXIT DEVICE, EXIT ONLY"),
    ),
    run,
    fires: "door 101 36x84 hm remark=night_latch; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
    quiet: "door 101 36x84 hm remark=night_latch; hinge 3; exit-device 1 type=rim function=01; closer 1; stop 1",
};

const CODE: &str = "remark-function";

/// Longer remarks say more.
const LONGEST: usize = 40;

/// Whether goods that reading finds in a remark, the latch of `Night latch`, are the function of the set's exit device.
pub fn is_heard(job: &Job, finding: &Finding) -> bool {
    let Some(lexicon) = job.words().filter(|_| finding.code == "hardware-in-remarks" && finding.excerpt.len() <= LONGEST) else { return false };
    let set = job.sets.iter().position(|set| finding.set.as_deref() == Some(set.id.as_str()));
    let open = |set: usize| matches!(job.lines_of(set, &[Category::ExitDevice]).as_slice(), [device] if is_open(device));
    set.is_some_and(open) && function_of(lexicon, finding.excerpt.trim()).is_some()
}

/// Whether nothing gives the function of a device.
fn is_open(device: &Spec) -> bool {
    device.lacks(names::FUNCTION, CODE) && !device.says(names::DESIGNATION)
}

fn run(job: &Job, out: &mut Out) {
    let Some(lexicon) = job.words() else { return };
    let mut known: BTreeMap<&str, Option<Value>> = BTreeMap::new();
    for set in 0..job.sets.len() {
        let devices = job.lines_of(set, &[Category::ExitDevice]);
        let [device] = devices.as_slice() else { continue };
        if !is_open(device) {
            continue;
        }
        let mut found: BTreeMap<String, (Value, Vec<usize>)> = BTreeMap::new();
        for door in job.doors_of(device) {
            let remarks = job.schedule.openings.get(door.index).map_or("", |opening| opening.remarks.trim());
            if remarks.is_empty() || remarks.len() > LONGEST {
                continue;
            }
            let said = known.entry(remarks).or_insert_with(|| function_of(lexicon, remarks));
            if let Some(value) = said.clone() {
                found.entry(value.to_string()).or_insert_with(|| (value, Vec::new())).1.push(door.index);
            }
        }
        for (value, doors) in found.into_values() {
            give(job, out, device, value, &doors);
        }
    }
}

/// The function that a remark names and that is all it says; `None`: it names none, or may name several.
fn function_of(lexicon: &Lexicon, remarks: &str) -> Option<Value> {
    let name = Category::ExitDevice.name().replace('-', " ");
    let readings = understand(lexicon, &Wording::free(&format!("{name} {remarks}")), &Surroundings::default());
    let [reading] = readings.as_slice() else { return None };
    let of_device = reading.category.found() == Some(&Category::ExitDevice) && reading.unread.is_empty();
    let bare = reading.remarks.is_empty() && reading.conditions.is_empty() && reading.quantity.amount.is_none();
    let function = [names::FUNCTION, names::FUNCTION_NAME];
    let alone = reading.attributes.keys().all(|attribute| function.contains(attribute));
    let named = reading.attributes.get(&names::FUNCTION_NAME).and_then(Heard::found).and_then(Value::as_text);
    let sure = named.is_some_and(|named| rule_words::is("remark-functions", named));
    let value = reading.attributes.get(&names::FUNCTION).and_then(Heard::found);
    value.filter(|_| of_device && bare && alone && sure).cloned()
}

fn give(job: &Job, out: &mut Out, device: &Spec, value: Value, doors: &[usize]) {
    out.give_at(job, device.id, doors, names::FUNCTION, value.clone(), (Grade::Assumed, false));
    let numbers = job.doors(device.id.set).filter(|door| doors.contains(&door.index)).map(|door| door.number.clone()).collect();
    let number = value.as_text().unwrap_or_default();
    let told = function::told(Category::ExitDevice, number).unwrap_or_else(|| number.to_owned());
    let says = format!("A remark of the door names the function of its exit device: {told}.");
    let mut finding = out.about_lines(job, device.id.set, &[device.id], numbers, &format!("job:{number}"), says);
    finding.help = "write the function into the line if the remark is of something else".to_owned();
    out.say(finding);
}
