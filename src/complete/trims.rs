//! A line that names trim and no lock, in a set that has exit devices: LEVER TRIM, CLASSROOM is the outside of the devices. By
//! itself it may be a lever lockset, and is asked. What it does to the devices is the rule `device-trim`.

use crate::evidence::{By, Evidence};
use crate::read::schedule::{HardwareSet, Wording};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, Surroundings};
use crate::understand::{Lexicon, embedded, understand};

use super::select::title;

/// The kind of such a line.
pub const OF_DEVICE: &str = "device-trim";

/// What opens and locks a leaf.
const LOCKS: [Category; 4] =
    [Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];

/// Hears trim of the exit devices in sets that have devices and no lock.
pub fn hear(sets: &[HardwareSet], readings: &mut [Vec<Vec<Reading>>], words: Option<&Lexicon>) {
    for (set, lines) in sets.iter().zip(readings) {
        let of_set = || set.lines.iter().zip(lines.iter()).filter(|(line, _)| line.excluded.is_none());
        let is_device = |reading: &Reading| matches!(reading.category, Heard::Found(Category::ExitDevice, _));
        let device = of_set().any(|(line, of_line)| {
            of_line.iter().any(|reading| is_device(reading) && !is_trim(reading, &line.wording.text))
        });
        if !device {
            continue;
        }
        let is_lock = |reading: &Reading| match &reading.category {
            Heard::Found(category, _) => LOCKS.contains(category),
            Heard::Ambiguous(all) => all.iter().any(|(category, _)| LOCKS.contains(category)),
            Heard::Absent => false,
        };
        let locked = of_set().any(|(line, of_line)| {
            of_line.iter().any(|reading| is_lock(reading) && !is_trim(reading, &line.wording.text))
        });
        if locked {
            continue;
        }
        for (line, of_line) in set.lines.iter().zip(lines.iter_mut()) {
            if let [reading] = of_line.as_mut_slice()
                && is_trim(reading, &line.wording.text)
            {
                let span = reading.named_at().unwrap_or_default();
                let by = Evidence { span, by: By::Context("trim, in a set with exit devices and no lock".into()) };
                reading.category = Heard::Found(Category::Other, by.clone());
                // The numbers of functions are those of locks.
                reading.attributes.remove(&names::FUNCTION);
                as_of_device(reading, &line.wording.text, words);
                reading.attributes.insert(names::KIND, Heard::Found(Value::text(OF_DEVICE), by));
            }
        }
    }
}

/// "Exit device trim, lever, classroom": what is said of trim is heard as it is of a device.
fn as_of_device(reading: &mut Reading, text: &str, words: Option<&Lexicon>) {
    let lexicon = match words {
        Some(words) => Some(words),
        None => embedded(),
    };
    let (Some(lexicon), Some(span)) = (lexicon, reading.named_at()) else { return };
    let (Some(before), Some(after)) = (text.get(..span.start), text.get(span.end..)) else { return };
    if reading.attributes.contains_key(&names::TRIM) || reading.unread.is_empty() {
        return;
    }
    let device = format!("{before}{}{after}", title(Category::ExitDevice));
    let heard = understand(lexicon, &Wording::free(&device), &Surroundings::default());
    let [heard] = heard.as_slice() else { return };
    for name in [names::TRIM, names::FUNCTION_NAME] {
        if let Some(Heard::Found(value, _)) = heard.attributes.get(&name) {
            let by = By::Context("said of the trim, as it is of an exit device".into());
            reading.attributes.insert(name, Heard::Found(value.clone(), Evidence { span: span.clone(), by }));
        }
    }
    if heard.unread.is_empty() {
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
