//! A line that names trim and no lock, in a set that has exit devices: LEVER TRIM, CLASSROOM is the outside of the devices. By
//! itself it may be a lever lockset, and is asked. What it does to the devices is the rule `device-trim`.

use crate::evidence::{By, Evidence};
use crate::read::schedule::{HardwareSet, Line, Wording};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, RemarkKind, Surroundings};
use crate::understand::{Lexicon, embedded, understand};

use super::select::title;

/// The kind of such a line.
pub const OF_DEVICE: &str = "device-trim";

/// What opens and locks a leaf.
const LOCKS: [Category; 4] =
    [Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];

/// Wired trim is a device of its own price, with what goes with that: it is read as it is called.
const WIRED: [Attr; 5] = [names::ELECTRIFIED, names::VOLTAGE, names::FAIL, names::MONITOR, names::AMPS];

/// What is said of a device's trim beside its name.
const OF_TRIM: [Attr; 5] = [names::TRIM, names::FUNCTION_NAME, names::FUNCTION, names::CYLINDER, names::KEYED];

/// Hears trim of the exit devices in sets that have devices that may have it, and no lock. Trims that say different things
/// may be of several devices or of none, and are read as they are called.
pub fn hear(sets: &[HardwareSet], readings: &mut [Vec<Vec<Reading>>], words: Option<&Lexicon>) {
    for (set, lines) in sets.iter().zip(readings) {
        let of_set = || {
            let lines = set.lines.iter().zip(lines.iter()).filter(|(line, _)| line.excluded.is_none());
            lines.flat_map(|(line, of_line)| of_line.iter().map(move |reading| (line, reading)))
        };
        let is_lock = |reading: &Reading| match &reading.category {
            Heard::Found(category, _) => LOCKS.contains(category),
            Heard::Ambiguous(all) => all.iter().any(|(category, _)| LOCKS.contains(category)),
            Heard::Absent => false,
        };
        let is_device = |reading: &Reading| matches!(reading.category, Heard::Found(Category::ExitDevice, _));
        let bare = |line: &Line, reading: &Reading| is_trim(reading, &line.wording.text);
        let mut devices: Vec<&Reading> = of_set()
            .filter(|(line, reading)| is_device(reading) && is_ours(line, reading) && !bare(line, reading))
            .map(|(_, reading)| reading)
            .collect();
        if devices.is_empty() {
            // New trim for a device that is there already; who supplies a new one supplies its trim.
            let all = set.lines.iter().zip(lines.iter());
            let there = all.flat_map(|(line, of_line)| of_line.iter().map(move |reading| (line, reading)));
            let stays = |reading: &Reading| reading.remarks.iter().any(|remark| remark.kind == RemarkKind::Existing);
            let devices_there =
                there.filter(|(line, reading)| is_device(reading) && stays(reading) && !bare(line, reading));
            devices.extend(devices_there.map(|(_, reading)| reading));
        }
        if devices.is_empty() || of_set().any(|(line, reading)| is_lock(reading) && !bare(line, reading)) {
            continue;
        }
        let trims: Vec<(usize, Reading)> = set
            .lines
            .iter()
            .zip(lines.iter())
            .enumerate()
            .filter_map(|(at, (line, of_line))| {
                let [reading] = of_line.as_slice() else { return None };
                bare(line, reading).then(|| (at, of_device(reading, &line.wording.text, words)))
            })
            .collect();
        let said =
            |reading: &Reading, attribute: &Attr| reading.attributes.get(attribute).and_then(Heard::found).cloned();
        let same = |one: &Reading, other: &Reading| OF_TRIM.iter().all(|name| said(one, name) == said(other, name));
        let goes = |(_, trim): &(usize, Reading)| {
            let alike = trims.first().is_none_or(|(_, first)| same(first, trim));
            let wired = WIRED.iter().any(|name| trim.attributes.contains_key(name));
            alike && !wired && devices.iter().any(|device| takes(device, trim))
        };
        if !trims.iter().all(goes) {
            continue;
        }
        for (at, trim) in trims {
            if let Some([reading]) = lines.get_mut(at).map(Vec::as_mut_slice) {
                *reading = trim;
            }
        }
    }
}

/// Whether nothing says of a device that others supply it or that it is there.
fn is_ours(line: &Line, reading: &Reading) -> bool {
    let gone = |kind| {
        matches!(kind, RemarkKind::ByOthers | RemarkKind::NotInContract | RemarkKind::Existing | RemarkKind::NotUsed)
    };
    !line.mark.as_ref().is_some_and(|mark| mark.out) && !reading.remarks.iter().any(|remark| gone(remark.kind))
}

/// Whether a device may have a trim: nothing is said of it that contradicts the trim, and it does not only let out.
fn takes(device: &Reading, trim: &Reading) -> bool {
    let word = |reading: &Reading, name: Attr| {
        let value = reading.attributes.get(&name).and_then(Heard::found).and_then(Value::as_text);
        value.unwrap_or_default().to_owned()
    };
    let (own, named) = (word(device, names::TRIM), word(device, names::FUNCTION_NAME));
    let other = word(trim, names::TRIM);
    let numbered = function::find(FunctionKind::Exit, &word(device, names::FUNCTION));
    let functions = match numbered {
        Some(function) => vec![function],
        None => function::candidates(FunctionKind::Exit, &named, &|_| false),
    };
    let exit_only = functions.iter().any(|function| function.behaviour.ends_with("no trim"));
    let other_name = word(trim, names::FUNCTION_NAME);
    let agrees = |one: &str, other: &str| one.is_empty() || other.is_empty() || one == other;
    own != "none" && agrees(&named, &other_name) && agrees(&own, &other) && !exit_only
}

/// Trim as it is of a device.
fn of_device(reading: &Reading, text: &str, words: Option<&Lexicon>) -> Reading {
    let mut reading = reading.clone();
    let span = reading.named_at().unwrap_or_default();
    let by = Evidence { span, by: By::Context("trim, in a set with exit devices and no lock".into()) };
    as_of_device(&mut reading, text, words);
    reading.category = Heard::Found(Category::Other, by.clone());
    // Other numbers of functions are those of locks.
    let number = reading.attributes.get(&names::FUNCTION).and_then(Heard::found).and_then(Value::as_text);
    if number.is_none_or(|number| function::find(FunctionKind::Exit, number).is_none()) {
        reading.attributes.remove(&names::FUNCTION);
    }
    reading.attributes.insert(names::KIND, Heard::Found(Value::text(OF_DEVICE), by));
    reading
}

/// "Exit device trim, lever, classroom": what is said of trim is heard as it is of a device.
fn as_of_device(reading: &mut Reading, text: &str, words: Option<&Lexicon>) {
    let lexicon = match words {
        Some(words) => Some(words),
        None => embedded(),
    };
    let (Some(lexicon), Some(span)) = (lexicon, reading.named_at()) else { return };
    let (Some(before), Some(after)) = (text.get(..span.start), text.get(span.end..)) else { return };
    if reading.unread.is_empty() {
        return;
    }
    let device = format!("{before}{}{after}", title(Category::ExitDevice));
    let heard = understand(lexicon, &Wording::free(&device), &Surroundings::default());
    let [heard] = heard.as_slice() else { return };
    let known = reading.attributes.contains_key(&names::TRIM);
    for name in
        OF_TRIM.iter().chain(&WIRED).filter(|name| !known || **name != names::TRIM && **name != names::FUNCTION_NAME)
    {
        if let Some(Heard::Found(value, _)) = heard.attributes.get(name) {
            let by = By::Context("said of the trim, as it is of an exit device".into());
            reading.attributes.insert(*name, Heard::Found(value.clone(), Evidence { span: span.clone(), by }));
        }
    }
    if heard.unread.is_empty() && !known {
        reading.unread.clear();
    }
}

/// Whether trim is all that names the good: it may be a lock's, or a device's. A device of a type is none: `rim exit device
/// trim lever`.
fn is_trim(reading: &Reading, text: &str) -> bool {
    let named = reading.named_at().and_then(|span| text.get(span)).unwrap_or_default();
    let all = match &reading.category {
        Heard::Found(Category::ExitDevice, _) => {
            return !reading.attributes.contains_key(&names::TYPE) && rule_words::speak("device-trim", named);
        }
        Heard::Ambiguous(all) => all,
        _ => return false,
    };
    let may_be =
        |category: &Category| LOCKS.contains(category) || matches!(category, Category::ExitDevice | Category::Other);
    let first = text.split(|letter: char| !letter.is_alphabetic()).find(|word| !word.is_empty()).unwrap_or_default();
    all.len() > 1
        && all.iter().all(|(category, _)| may_be(category))
        && (rule_words::speak("device-trim", named) || rule_words::is("device-trim", first))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trim_alone_is_told_from_locks_and_devices_with_trim() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let trim = |text: &str| {
            let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
            is_trim(&reading, text)
        };
        for text in [
            "LEVER TRIM / CLASSROOM",
            "Lever trim, passage function",
            "Exit device trim, lever, classroom",
            "Lever trim for exit device",
            "Exit trim lever",
            "Trim, lever, night latch",
            "Outside trim, lever",
        ] {
            assert!(trim(text), "{text}");
        }
        for text in [
            "Lockset, lever trim",
            "Storeroom lock with lever trim",
            "Mortise lock, lever trim",
            "Rim exit device, lever trim",
            "Rim exit device trim lever",
            "Storeroom lever",
            "Lever lockset",
        ] {
            assert!(!trim(text), "{text}");
        }
    }
}
