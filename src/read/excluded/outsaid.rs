//! Words that leave out a door or only some of its goods, `Owner furnished card reader`; and doors that such words settle once
//! all sets are read: those that have none, or one that is defined nowhere.

use std::collections::BTreeSet;

use super::others::{self, Ours};
use super::othersasked;
use crate::read::memo::{self, ByText, Memo};
use crate::read::schedule::loose_id;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// The first reason in a text to leave its door out. `Card reader N.I.C.`, `Existing card reader, owner furnished` speak of
/// a reader; what is existing is said of the door whatever else is named.
pub(crate) fn reason(text: &str) -> Option<String> {
    let folded = plain(text);
    let reasons = words::list("excluded").all(&folded);
    reasons
        .into_iter()
        .find(|reason| words::list("existing-door").is(reason) || !of_goods(&folded, reason))
        .map(str::to_string)
}

/// The words by which the room of a door is not in the contract: `TENANT SPACE N.I.C.`. An existing room has new doors.
pub(crate) fn reason_of_room(room: &str) -> Option<String> {
    reason(room).filter(|reason| !words::list("existing-door").is(&plain(reason)))
}

/// Whether the reasons to leave a door out leave a set that the door has all the same: the door stays, and the set is what it
/// gets anew; or they are said of something else, `glazing N.I.C.` Each text that gives one must be of that kind.
pub(crate) fn spares_sets(said: &[&str]) -> bool {
    let hardware = words::list("with-hardware");
    // `Existing to remain, no new closer`, `new hardware N.I.C.` speak of the hardware themselves; `verify hinge locations`, `no
    // frame work` do not.
    let of_hardware = |folded: &str| {
        let to_see = |part: &str| words::list("to-be-seen").begins(part.trim_start()).is_some();
        let mut parts = folded.split([',', ';', '/', '\n', '.']);
        parts.any(|part| {
            let goods = words::list("goods").find(part).is_some() && !to_see(part);
            let denied = words::list("hardware-denied").find(part).is_some();
            hardware.find(part).is_some() || goods || denied && words::list("not-of-hardware").find(part).is_none()
        })
    };
    said.iter().filter(|text| reason(text).is_some()).map(|text| plain(text)).all(|folded| {
        let mut reasons = words::list("excluded").all(&folded).into_iter();
        !of_hardware(&folded) && reasons.all(|reason| of_another(&folded, reason))
    })
}

/// Whether a reason is that the door stays, or is said of a part of it. The room of a door, `tenant space N.I.C.`, holds it.
fn of_another(folded: &str, reason: &str) -> bool {
    let before = &folded[..words::offset(folded, reason)];
    let part = before.rsplit([',', ';', ':', '\n', '|', '(', ')', '.']).next().unwrap_or_default();
    let subject = others::subject(part);
    let named = subject.iter().rfind(|word| word.len() > 1 && !word.bytes().all(|byte| byte.is_ascii_digit()));
    let place = named.is_some_and(|word| {
        let numbered = || subject.iter().any(|other| other != word && names_one(other));
        words::list("place-of-doors").is(word) || words::list("place-with-a-number").is(word) && numbered()
    });
    words::list("existing-door").is(reason) || !subject.is_empty() && !place && !others::is_whole(&subject)
}

/// `2`, `2ND`, `B`: a word that names one of several.
fn names_one(word: &str) -> bool {
    word.bytes().any(|byte| byte.is_ascii_digit()) || word.len() == 1 || words::list("ordinal").is(word)
}

/// Whether a reason is said of goods: they stand in its part of the text, or are all of the part before it.
fn of_goods(folded: &str, reason: &str) -> bool {
    let start = words::offset(folded, reason);
    let ends = [',', ';', ':', '\n', '|', '(', ')'];
    let from = folded[..start].rfind(ends).map_or(0, |at| at + 1);
    let to = folded[start..].find(ends).map_or(folded.len(), |at| start + at);
    let goods = |part: &str| {
        let door = words::list("with-hardware").find(part).is_some();
        // `EXIT` may be that of the building.
        !door && words::list("goods").find(part).or_else(|| words::list("remark-hardware").find(part)).is_some()
    };
    let (before, behind) = (folded[from..start].trim(), folded[start + reason.len()..to].trim());
    if !before.is_empty() || !behind.is_empty() {
        return goods(before) || goods(behind);
    }
    let before = folded[..from].trim_end_matches(ends).trim();
    let last = before.rsplit(ends).next().unwrap_or_default().trim();
    words::list("goods").all(last).last().is_some_and(|found| last.ends_with(found)) && goods(last)
}

thread_local! {
    static SETTLES: Memo<Option<String>> = Memo::default();
}

/// Settles doors by words of others, once the sets and the notes are known: those without a set, and those with one that is
/// defined nowhere.
pub(crate) fn settle(out: &mut Gathered) {
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    // Many doors have one set.
    let mut known: ByText<bool> = ByText::default();
    let mut is_defined = |set: &str| match known.get(set) {
        Some(defined) => *defined,
        None => *known.entry(set.to_string()).or_insert_with(|| defined.contains(&loose_id(set))),
    };
    let mut settled: Vec<(String, crate::place::Place)> = Vec::new();
    for opening in out.schedule.openings.iter_mut().filter(|opening| opening.excluded.is_none()) {
        if opening.remarks.is_empty() || opening.set.as_deref().is_some_and(&mut is_defined) {
            continue;
        }
        // `STAIR` may be the door of a set that is missing; only words of who supplies all of it settle that.
        let Some(words) = memo::once(&SETTLES, &opening.remarks, |remarks| {
            let unsaid = others::ours(&plain(remarks)) == Ours::Unsaid;
            let gone = || words::list("door-gone").find(&plain(remarks)).map(str::to_string);
            let of_others = || others::supplier(remarks, Ours::Unsaid).or_else(|| reason(remarks)).or_else(gone);
            if unsaid { of_others() } else { None }
        }) else {
            continue;
        };
        opening.excluded = Some(words);
        settled.push((opening.number.clone(), opening.place.clone()));
    }
    out.schedule.findings.retain(|finding| {
        let of = |(number, place): &(String, crate::place::Place)| {
            finding.openings == [number.clone()] && finding.place.as_ref() == Some(place)
        };
        finding.code != "hardware-by-others-with-set" || !settled.iter().any(of)
    });
    othersasked::together(&mut out.schedule.findings);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reasons_are_of_the_door_or_of_goods() {
        for text in [
            "NIC",
            "Pair, N.I.C.",
            "Vault door, Government furnished, Government installed",
            "Door, frame and hardware owner furnished",
            "GFGI",
            "existing to remain, closer by others",
            "DOOR AND HARDWARE N.I.C.",
            "NIC exit to roof",
        ] {
            assert!(reason(text).is_some(), "{text}");
        }
        for text in [
            "Owner furnished card reader",
            "Existing card reader, owner furnished",
            "Card reader N.I.C.",
            "closer (NIC)",
        ] {
            assert_eq!(reason(text), None, "{text}");
        }
    }
}
