//! Sets that have no goods and say why: `SET 2 - HARDWARE BY OTHERS`, `SET 5` over `NO HARDWARE REQUIRED`. Nothing is missing
//! there, and their doors are left out as doors are whose own remarks say so.

use std::collections::{BTreeMap, BTreeSet};

use crate::read::excluded::others::{self, Ours};
use crate::read::excluded::outsaid;
use crate::read::schedule::{HardwareSet, loose_id};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// Words of this many signs say more than why there are no goods.
const LONGEST: usize = 160;

/// Why a set has no goods, as its title or a row below its heading says, or all of its rows.
fn why(text: &str, in_row: bool) -> Option<String> {
    if text.len() > LONGEST || text.is_empty() {
        return None;
    }
    let folded = plain(text);
    if others::ours(&folded) != Ours::Unsaid {
        return None;
    }
    let bare = folded.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
    if words::list("set-says-more").find(&folded).is_some() {
        return None;
    }
    let nothing =
        || words::list("set-has-nothing").find(&folded).filter(|words| is_all(&folded, words)).map(str::to_string);
    let alone = || words::list("set-has-nothing-alone").is(bare).then(|| bare.to_string());
    let by_whom = |reason: &String| reason.split(' ').any(|word| word == "BY") || is_all(&folded, reason);
    let of_others = others::supplier(text, Ours::Unsaid).filter(by_whom).or_else(nothing);
    // `EXISTING DOOR` may get new hardware that was not read; `ETR` in a row may be said of its goods.
    let reason = || {
        let reason = outsaid::reason(text).filter(|reason| !words::list("door-exists-beside").is(reason));
        reason.filter(|reason| is_all(&folded, reason))
    };
    of_others.or_else(|| (!in_row).then(|| alone().or_else(reason)).flatten())
}

/// Whether a text ends with a reason, and does not say it of a part: `FRAME EXISTING TO REMAIN`, `OWNER FURNISHED EQUIPMENT
/// ROOM`, `NONE REQUIRED AT FRAME` say nothing of the goods of the door.
fn is_all(folded: &str, reason: &str) -> bool {
    let Some(start) = folded.find(reason) else { return false };
    let signs = |sign: char| !sign.is_ascii_alphanumeric();
    let rest = folded.get(start + reason.len()..).unwrap_or_default().trim_matches(signs);
    let before = folded[..start].trim_end_matches(signs);
    let last = before.rsplit(signs).next().unwrap_or_default();
    (rest.is_empty() || words::list("set-reason-goes-on").is(rest)) && !words::list("set-reason-of-part").is(last)
}

/// What a set says, if it has no goods or its rows say nothing else.
fn said(set: &HardwareSet) -> Option<String> {
    if set.lines.is_empty() {
        return std::iter::once(&set.title)
            .chain(set.notes.iter().map(|note| &note.text))
            .find_map(|text| why(text, false));
    }
    // `ALL HARDWARE BY STOREFRONT SUPPLIER` is its only row.
    let of_all = |text: &str| words::list("words-for-hardware").find(&plain(text)).is_some();
    let mut all = set.lines.iter().map(|line| why(&line.wording.text, true).filter(|_| of_all(&line.wording.text)));
    let first = all.next()??;
    all.all(|why| why.is_some()).then_some(first)
}

/// Leaves out the doors of such sets.
pub(crate) fn settle(out: &mut Gathered) {
    let goods = |set: &HardwareSet| set.not_used.is_none() && said(set).is_none();
    let mut told: BTreeMap<String, String> = BTreeMap::new();
    let mut with_goods: BTreeSet<String> = BTreeSet::new();
    for set in &mut out.schedule.sets {
        let id = loose_id(&set.id);
        if goods(set) {
            with_goods.insert(id);
            continue;
        }
        let Some(why) = said(set).filter(|_| set.not_used.is_none()) else { continue };
        if set.lines.is_empty() {
            set.not_used = Some(why.clone());
        }
        told.insert(id, why);
    }
    told.retain(|id, _| !with_goods.contains(id));
    if told.is_empty() {
        return;
    }
    for door in out.schedule.openings.iter_mut().filter(|door| door.excluded.is_none()) {
        let why = door.set.as_ref().and_then(|set| told.get(&loose_id(set)));
        if let Some(why) = why.filter(|_| others::ours(&plain(&door.remarks)) == Ours::Unsaid) {
            door.excluded = Some(why.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::why;

    #[test]
    fn words_say_why_a_set_has_no_goods() {
        for text in [
            "HARDWARE BY OTHERS",
            "STOREFRONT - HARDWARE BY ENTRANCE MFR",
            "Hardware by door manufacturer.",
            "NOT IN CONTRACT",
            "NIC",
            "NO HARDWARE REQUIRED",
            "EXISTING HARDWARE TO REMAIN",
            "Existing to remain",
            "FUTURE",
            "All hardware by storefront supplier",
            "LOBBY - EXISTING TO REMAIN",
        ] {
            assert!(why(text, false).is_some(), "{text}");
        }
        for text in [
            "OFFICE",
            "FUTURE OFFICE",
            "EXISTING DOOR, NEW HARDWARE",
            "EXISTING DOOR",
            "CARD READER BY OTHERS",
            "STOREFRONT",
            "CLOSER BY OWNER",
            "NEW HARDWARE AT EXISTING DOOR",
            "NO HARDWARE CHANGE EXCEPT CLOSER",
            "OWNER FURNISHED EQUIPMENT ROOM",
            "EXISTING TO REMAIN - MODIFY LATCH TO CLASSROOM FUNCTION",
            "NO WORK AT FRAME; PROVIDE HINGES AND LOCK PER SPEC",
            "FRAME EXISTING TO REMAIN",
            "EXTERIOR - OFCI ACCESS CONTROL",
            "NONE REQUIRED AT FRAME",
        ] {
            assert_eq!(why(text, false), None, "{text}");
        }
    }
}
