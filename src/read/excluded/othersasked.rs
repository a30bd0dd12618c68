//! What is asked about doors that others have, that are there already, or that are not in the contract, and that have a set all
//! the same: the set may hold what is ours, such as the cylinder. Doors whose remarks are the same are asked about once.

use std::collections::HashMap;

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight, some_of};
use crate::place::Place;

/// `door 101 says "by others" and has a set`.
fn has_set(door: &str, number: &str, words: &str) -> String {
    let (say, have) = if door == "door" { ("says", "has a set") } else { ("say", "have sets") };
    // Short forms stand as they are written.
    let words = if words.contains(' ') { words.to_lowercase() } else { words.to_string() };
    format!("{door} {number} {say} \"{words}\" and {have}")
}

/// Asks once about doors of one sheet whose remarks are the same.
pub(crate) fn together(findings: &mut Vec<Finding>) {
    let mut first: HashMap<(Option<Place>, String), usize> = HashMap::new();
    let mut kept: Vec<Finding> = Vec::new();
    for finding in std::mem::take(findings) {
        let of_door = finding.code == WITH_SET && finding.openings.len() == 1 && finding.says.ends_with(HAS);
        let sheet = finding.place.clone().map(|place| Place { row: 0, column: None, ..place });
        let key = (sheet, finding.excerpt.clone());
        match first.get(&key).filter(|_| of_door).and_then(|at| kept.get_mut(*at)) {
            Some(one) => {
                one.set = one.set.take().filter(|set| finding.set.as_ref() == Some(set));
                one.openings.extend(finding.openings);
            }
            None => {
                if of_door {
                    first.insert(key, kept.len());
                }
                kept.push(finding);
            }
        }
    }
    for finding in kept.iter_mut().filter(|finding| finding.code == WITH_SET && finding.openings.len() > 1) {
        if let Some((_, told)) = finding.says.split_once(" says \"")
            && let Some(words) = told.strip_suffix(HAS)
        {
            finding.says = has_set("doors", &some_of(&finding.openings), words);
        }
    }
    *findings = kept;
}

/// How the sentence about one such door ends.
const HAS: &str = "\" and has a set";

/// The code of what is asked about doors that others have, and that have a set.
const WITH_SET: &str = "hardware-by-others-with-set";

/// Others supply the hardware, yet the door has a set: the set may hold what is ours, such as the cylinder.
pub(crate) fn with_set(number: &str, set: &str, words: &str, place: Place, remarks: String) -> Finding {
    let says = has_set("door", number, words);
    let out = Effect::Doors { are: Fact::Out, goods: Vec::new() };
    Finding {
        openings: vec![number.to_string()],
        set: Some(set.to_string()),
        priced_as: "the set as written".into(),
        answers: vec![Answer::new("the set as written", Effect::Nothing), Answer::new("nothing of it is ours", out)],
        ..Finding::new(WITH_SET, Kind::Question, Weight::Scope, says)
    }
    .at(place, remarks)
    .help("ask which goods of the set are in the contract")
}
