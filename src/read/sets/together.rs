//! A heading that names several sets: `SETS 9, 9A & 9B - STORAGE`, `HW SET 10/11`, `SET 12 THRU 14`. The first id is the set's
//! own; where doors name one of the others and it is defined nowhere, it has the same lines.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::finding::{Finding, Kind, Weight};
use crate::read::schedule::{HardwareSet, loose_id};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// Sets that a range in a heading may stand for.
const MOST: u32 = 30;

/// Gives each set that only such a heading names its lines.
pub(crate) fn settle(out: &mut Gathered) {
    let schedule = &mut out.schedule;
    let defined: BTreeSet<String> = schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let named: HashSet<&str> = schedule.openings.iter().filter_map(|opening| opening.set.as_deref()).collect();
    let mut wanted: Vec<String> =
        named.into_iter().filter(|id| !defined.contains(&loose_id(id))).map(str::to_string).collect();
    wanted.sort();
    // Of several spellings of one id the first is made; the others find it by their loose form.
    let mut seen: HashSet<String> = HashSet::new();
    wanted.retain(|id| seen.insert(loose_id(id)));
    if wanted.is_empty() {
        return;
    }
    let mut naming: HashMap<String, BTreeSet<usize>> = HashMap::new();
    for (at, set) in schedule.sets.iter().enumerate() {
        for id in others(set) {
            naming.entry(id).or_default().insert(at);
        }
    }
    let mut more: Vec<HardwareSet> = Vec::new();
    for id in wanted {
        let Some(sets) = naming.get(&loose_id(&id)).filter(|sets| sets.len() == 1) else { continue };
        let Some(set) = sets.first().and_then(|at| schedule.sets.get(*at)) else { continue };
        let says = format!("the heading of set {} names set {id} too; both have the lines below it", set.id);
        let finding =
            Finding { set: Some(id.clone()), ..Finding::new("set-as-another", Kind::Assumption, Weight::Goods, says) };
        let words = format!("{} {}", set.id, set.title);
        schedule.findings.push(
            finding.at(set.place.clone(), words).help("write the sets apart, each with its lines, if they differ"),
        );
        more.push(HardwareSet { id, openings: Vec::new(), ..set.clone() });
    }
    schedule.sets.append(&mut more);
}

/// The ids, compared loosely, with which what stands beside the id of a set begins.
fn others(set: &HardwareSet) -> Vec<String> {
    let title = plain(&set.title);
    let mut ids = Vec::new();
    let mut is_range = false;
    let words = title.split(|letter: char| " ,/&+;".contains(letter)).filter(|word| !word.is_empty());
    for word in words {
        if words::list("id-range").is(word) {
            is_range = true;
        } else if words::list("id-and").is(word) {
            continue;
        } else if word.len() <= 6
            && word.bytes().any(|byte| byte.is_ascii_digit())
            && word.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'.')
        {
            if let (true, Ok(first), Ok(last)) = (is_range, set.id.trim().parse::<u32>(), word.parse::<u32>()) {
                ids.extend((first + 1..=last).take(MOST as usize).map(|number| number.to_string()));
            }
            ids.push(loose_id(word));
            is_range = false;
        } else {
            break;
        }
    }
    ids
}
