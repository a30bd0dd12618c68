//! Remarks that leave a whole door out: others supply it or its hardware, or no leaf hangs there. Words about something
//! else, `card reader provided by security contractor`, `no door stop`, say nothing of the kind.

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::othersasked;
use crate::read::goods::itemtext;
use crate::read::memo::{self, Memo};
use crate::read::schedule::Opening;
use crate::read::words::{self, plain};

/// What ends a part of a remark.
const ENDS: [char; 5] = [',', ';', ':', '\n', '|'];

/// What remarks say of hardware that is ours, whoever has the door.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Ours {
    /// Nothing, or that it is not.
    #[default]
    Unsaid,
    /// `New hardware`, with words beside it that may say whose, where or when.
    Doubtful,
    /// `New hardware`, `hardware only`.
    New,
    /// `Hardware by us`.
    Said,
}

/// `Hardware by hangar door manufacturer`, `by gate supplier`: who supplies the hardware of the door, by its remarks. Where
/// hardware is ours, `door by others` says nothing of it.
pub(crate) fn supplier(remarks: &str, ours: Ours) -> Option<String> {
    match ours {
        Ours::Unsaid => memo::once(&SUPPLIERS, remarks, |remarks| supplied_by(remarks, ours)),
        _ => supplied_by(remarks, ours),
    }
}

/// Who has the goods of a set by its title, `Hardware by others`, `N.I.C.`; what is said of existing doors says nothing of
/// their new goods.
pub(crate) fn of_title(title: &str) -> Option<String> {
    let reason = || super::outsaid::reason(title).filter(|words| !words::list("existing-door").is(words));
    supplier(title, Ours::Unsaid).or_else(reason)
}

thread_local! {
    /// Who supplies, by remarks that say nothing of hardware that is ours.
    static SUPPLIERS: Memo<Option<String>> = Memo::default();
    static NO_DOOR: Memo<Option<String>> = Memo::default();
}

fn supplied_by(remarks: &str, ours: Ours) -> Option<String> {
    let folded = plain(&remarks.replace('\n', ";"));
    let mut last = "";
    folded.split(ENDS).flat_map(|part| part.split(". ")).find_map(|part| {
        let before_it = std::mem::replace(&mut last, part);
        let padded = format!(" {}", part.trim());
        let words = words::list("hardware-by").find(&padded).or_else(|| itemtext::by_whom(&padded))?;
        if words::list("by-us").find(words).is_some() {
            return None;
        }
        let found = words.as_ptr() as usize - padded.as_ptr() as usize;
        // `Door and hardware by others`: up to the word that says by whom.
        let at = itemtext::by_at(words).map_or(found, |by| found + by);
        let said = subject(&padded[..at]);
        // `Closer, by owner`: what is supplied may stand before the comma.
        let apart = || itemtext::by_at(words) != Some(0) || words::list("goods").find(before_it).is_none();
        let whole = if said.is_empty() { apart() } else { is_whole(&said) };
        let of_door = || {
            let named = if said.is_empty() { subject(before_it) } else { said.clone() };
            let with_hardware = words::list("with-hardware");
            let hardware = named.iter().any(|word| with_hardware.is(word)) || with_hardware.find(words).is_some();
            !hardware && (ours == Ours::Said || !named.is_empty())
        };
        (whole && (ours == Ours::Unsaid || !of_door())).then(|| words.to_string())
    })
}

/// The parts of a remark, each of which says one thing. The dots of `N.I.C. ` and `E.T.R. ` end none.
fn parts(folded: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let signs = [',', ';', ':', '\n', '|', '(', ')'];
    for part in folded.split(signs).flat_map(|part| part.split(" - ")) {
        let mut from = 0;
        for (at, _) in part.match_indices(". ") {
            let short = at >= 2 && part.as_bytes()[at - 2] == b'.';
            if !short {
                parts.push(&part[from..at]);
                from = at + 2;
            }
        }
        parts.push(&part[from..]);
    }
    parts.retain(|part| !part.trim().is_empty());
    parts
}

/// `Door by others; hardware by us`, `existing door, new hardware`: whoever supplies the door, its hardware is in the
/// contract. `New hardware by owner`, `new hardware not required`, `NIC (new hardware)` say nothing of the kind.
pub(crate) fn ours(folded: &str) -> Ours {
    let (hardware, by_us, new) = (words::list("words-for-hardware"), words::list("by-us"), words::list("new-hardware"));
    if new.find(folded).or_else(|| by_us.find(folded)).is_none() && !names_new(folded) {
        return Ours::Unsaid;
    }
    let denied = words::list("hardware-denied");
    let parts = parts(folded);
    let one = |(at, part): (usize, &&str)| {
        let supplied = by_us.find(part).is_some_and(|found| {
            let said = subject(&part[..words::offset(part, found)]);
            let said = if said.is_empty() && at > 0 { subject(parts[at - 1]) } else { said };
            said.last().is_some_and(|word| hardware.is(word))
        });
        if supplied && denied.find(part).is_none() {
            return Ours::Said;
        }
        let behind = parts.get(at + 1).is_some_and(|next| {
            let next = next.trim();
            // `Card reader by security` is another thing.
            let alone = || {
                let padded = format!(" {next}");
                itemtext::by_at(&padded).is_some_and(|by| subject(&padded[..by]).is_empty())
            };
            words::list("remark-out").is(next) || is_by(next) && alone()
        });
        let named = new.find(part).is_some();
        if !named && !names_new(part) || behind || takes_back(part) {
            return Ours::Unsaid;
        }
        let beside = words::list("new-hardware-beside");
        let plain = part.split([' ', '/']).all(|word| {
            let word = word.trim_matches(|sign: char| !sign.is_ascii_alphanumeric() && sign != '&');
            word.is_empty() || beside.is(word) || word.bytes().all(|byte| byte.is_ascii_digit())
        });
        if plain && named { Ours::New } else { Ours::Doubtful }
    };
    parts.iter().enumerate().map(one).max().unwrap_or_default()
}

/// `New lock and closer`, `replace hinges`: some goods are new, whatever stays.
fn names_new(part: &str) -> bool {
    let Some(new) = words::list("mark-new").find(part) else { return false };
    words::list("hardware").find(&part[words::offset(part, new)..]).is_some()
}

/// Whether words say by whom, and not that it is us.
fn is_by(part: &str) -> bool {
    let padded = format!(" {part}");
    let others = words::list("hardware-by").find(part).is_some() || itemtext::by_whom(&padded).is_some();
    (others || itemtext::by_at(&padded).is_some()) && words::list("by-us").find(part).is_none()
}

/// Whether words beside `new hardware` say that it is none of ours.
fn takes_back(part: &str) -> bool {
    words::list("remark-out").find(part).is_some()
        || words::list("hardware-denied").find(part).is_some()
        || is_by(part)
        || words::list("excluded").all(part).iter().any(|reason| !words::list("existing-door").is(reason))
}

/// The first reason to leave a door out that holds although its hardware is said to be ours: `NIC`, `NO WORK`, but neither
/// `existing door` nor `door N.I.C.`.
fn reason_kept(text: &str) -> Option<String> {
    let folded = plain(text);
    let parts = parts(&folded);
    let of_door = |reason: &str| {
        let start = words::offset(&folded, reason);
        let part = parts.iter().find(|part| {
            let from = words::offset(&folded, part);
            (from..from + part.len()).contains(&start)
        });
        part.is_some_and(|part| {
            let said = subject(part.get(..words::offset(part, reason)).unwrap_or_default());
            is_whole(&said) && !said.iter().any(|word| words::list("with-hardware").is(word))
        })
    };
    let reasons = words::list("excluded").all(&folded);
    let kept = reasons.into_iter().find(|reason| !words::list("existing-door").is(reason) && !of_door(reason));
    kept.map(str::to_string)
}

/// Why a door may not count.
#[derive(Default)]
pub(crate) struct Reasons {
    /// It is out: `NIC`, `existing door`.
    pub excluded: Option<String>,
    /// Who else has it as a whole.
    pub whole: Option<String>,
    /// What its remarks say of hardware that is ours.
    pub ours: Ours,
    /// A reason that was of the door alone.
    spared: Option<String>,
}

impl Reasons {
    /// The reasons of remarks and of other cells; `excluded` is what stands in any of them.
    pub fn of(excluded: Option<String>, remarks: &str, ours: Ours, texts: &[&str]) -> Self {
        let whole = supplier(remarks, Ours::Unsaid);
        if ours == Ours::Unsaid {
            return Self { excluded, whole, ..Self::default() };
        }
        let kept = excluded.as_ref().and_then(|_| texts.iter().find_map(|text| reason_kept(text)));
        let still = supplier(remarks, ours);
        let spared = excluded.or(whole).filter(|_| kept.is_none() && still.is_none());
        Self { excluded: kept, whole: still, ours, spared }
    }

    /// Says that a door counts because of its new hardware, or asks about one that is out in spite of it.
    pub fn tell(&self, number: &str, out: Option<&str>, place: &Place, remarks: &str) -> Option<Finding> {
        let (kind, says, priced_as) = match (self.ours, out, &self.spared) {
            (Ours::Unsaid, ..) | (_, None, None) | (Ours::Said, None, _) => return None,
            (_, Some(out), _) => {
                let says = format!(
                    "door {number} says \"{}\", and beside that its hardware seems to be in the contract; it was left out",
                    out
                );
                (Kind::Question, says, "nothing for the door")
            }
            (ours, None, Some(spared)) => {
                let kind = if ours == Ours::New { Kind::Assumption } else { Kind::Question };
                let says = format!(
                    "door {number} says \"{}\" and new hardware; that was read of the door alone, its hardware counts",
                    spared
                );
                (kind, says, "its set as written")
            }
        };
        let finding = Finding {
            openings: vec![number.to_string()],
            priced_as: priced_as.into(),
            ..Finding::new("door-out-hardware-new", kind, Weight::Scope, says)
        };
        Some(finding.at(place.clone(), remarks).help("ask whether new hardware for this door is in the contract"))
    }
}

/// The words for what is supplied, without `furnished`, `provided and installed`. Goods that others only install stay ours.
pub(crate) fn subject(before: &str) -> Vec<&str> {
    let mut words: Vec<&str> = before
        .split([' ', '/'])
        .map(|word| word.trim_matches(|sign: char| !sign.is_alphanumeric() && sign != '&'))
        .filter(|word| !word.is_empty())
        .collect();
    let supplied = words::list("supplied");
    let end = words.iter().rposition(|word| !supplied.is(word)).map_or(0, |at| at + 1);
    if words[end..].iter().any(|word| words::list("supplied-only").is(word)) {
        words.truncate(end);
    }
    words
}

/// Whether words name the door or its hardware and nothing that is a part of it: `ALUMINUM STOREFRONT DOOR AND FRAME`, but
/// not `CARD READER`, `DOOR GLASS`, `ELECTRIC HARDWARE`.
pub(crate) fn is_whole(said: &[&str]) -> bool {
    let (whole, kinds) = (words::list("whole-door"), words::list("door-kind"));
    let number = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    let frame = |word: &str| words::list("frame-or-frames").is(word);
    let last = match said {
        [.., joint, end] if words::list("joins-whole").is(joint) => frame(end) || whole.is(end),
        [.., end] => whole.is(end) || number(end),
        [] => false,
    };
    last && said.iter().any(|word| whole.is(word))
        && said.iter().all(|word| whole.is(word) || kinds.is(word) || frame(word) || number(word))
}

/// `Cased opening`, `no door; see A-501`: where no leaf hangs. The phrase is all that a part of the text says.
pub(crate) fn no_door(texts: [&str; 4]) -> Option<String> {
    texts.into_iter().filter(|text| !text.is_empty()).find_map(|text| memo::once(&NO_DOOR, text, hangs_none))
}

fn hangs_none(text: &str) -> Option<String> {
    let list = words::list("no-door");
    let alone = |part: &str| {
        let part = part.trim_matches(|sign: char| !sign.is_alphanumeric());
        let found = list.begins(part)?;
        let rest = part[found.len()..].trim_start_matches([' ', ':', '-']);
        (rest.is_empty() || words::list("refers").begins(rest).is_some()).then(|| found.to_string())
    };
    let folded = plain(&text.replace('\n', ";"));
    alone(&folded).or_else(|| {
        let mut parts = folded.split(['(', ')', '/', ',', ';', ':']).flat_map(|part| part.split(". "));
        parts.find_map(|part| part.split(" - ").find_map(alone))
    })
}

/// Whether a door was left out by such words.
fn left_out(why: &str) -> bool {
    words::list("hardware-by").is(why) || words::list("no-door").is(why) || itemtext::by_at(why) == Some(0)
}

/// `Card reader by owner`: words of a supplier behind goods that a remark names are of those goods, and are asked about
/// where the set has them.
pub(crate) fn of_goods(remarks: &str) -> bool {
    let folded = plain(&remarks.replace('\n', ";"));
    let mut of_others = folded.split(ENDS).flat_map(|part| part.split(". ")).filter_map(|part| {
        let padded = format!(" {}", part.trim());
        let words = words::list("hardware-by").find(&padded)?;
        Some(subject(&padded[..words::offset(&padded, words)]).join(" "))
    });
    let goods = |said: &String| {
        let mut kinds = words::uses("remark:").into_iter();
        words::list("goods").find(said).is_some() || kinds.any(|(_, list)| list.find(said).is_some())
    };
    let first = of_others.next();
    first.is_some_and(|first| goods(&first)) && of_others.all(|said| goods(&said))
}

/// Asks about a door that was left out so and is named by the heading of a set, which then counts.
pub(crate) fn named_by_heading(opening: &mut Opening, set: &str) -> Option<Finding> {
    let words = opening.excluded.take_if(|why| left_out(why))?;
    let (number, place) = (opening.number.as_str(), opening.place.clone());
    Some(othersasked::with_set(number, set, &words, place, opening.remarks.clone()))
}

/// Words for no set are no longer.
const LONGEST_WORDS: usize = 60;

/// Whether a cell for the set of a door says that the door gets nothing: `NOT USED`, `NO HDWE`.
pub(crate) fn gives_nothing(cell: &str) -> bool {
    if cell.len() > LONGEST_WORDS {
        return false;
    }
    let folded = plain(cell);
    let says = ["not-used", "set-has-nothing", "no-goods"].iter().any(|list| words::list(list).is(&folded));
    says && !words::list("no-set").is(&folded)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hardware_may_be_ours_where_the_door_is_not() {
        for text in [
            "Door by others; hardware by us",
            "DOOR AND FRAME BY STOREFRONT SUPPLIER, HARDWARE FURNISHED UNDER THIS SECTION",
            "Door by others with hardware by hardware supplier",
            "EXISTING DOOR AND FRAME. NEW HARDWARE",
            "existing door, hardware only",
            "existing door w/ new hardware; card reader by security",
        ] {
            assert!(ours(&plain(text)) > Ours::Doubtful, "{text}");
        }
        for text in [
            "hardware by others",
            "cylinder by us, balance of hardware by storefront supplier",
            "existing door, no new hardware",
            "new hardware by owner",
            "hardware by others; installed by us",
            "hardware installed by us",
            "existing to remain",
            "NEW HARDWARE N.I.C.",
            "EXISTING TO REMAIN - NEW HARDWARE NOT REQUIRED",
            "EXISTING DOOR AND FRAME; DOES NOT REQUIRE NEW HARDWARE",
            "NO WORK. NEW HARDWARE BY LANDLORD",
            "OWNER FURNISHED NEW HARDWARE",
            "EXISTING DOOR; NEW HARDWARE, BY OWNER",
            "no hardware by us",
            "existing door; new hardware, furnished by owner",
            "existing door, new hardware under separate contract",
        ] {
            assert_eq!(ours(&plain(text)), Ours::Unsaid, "{text}");
        }
        for text in [
            "Existing door and frame, new lock and closer",
            "ETR; replace hinges",
            "existing door w/ new electric strike; card reader by security",
        ] {
            assert_eq!(ours(&plain(text)), Ours::Doubtful, "{text}");
        }
        for text in [
            "existing door, new lock by owner",
            "existing to remain, no new closer",
            "existing door; new lock not required",
            "existing door, new paint",
            "existing door and hardware, new frame",
        ] {
            assert_eq!(ours(&plain(text)), Ours::Unsaid, "{text}");
        }
        for text in ["existing door; new hardware in phase 2", "existing door, future new hardware"] {
            assert_eq!(ours(&plain(text)), Ours::Doubtful, "{text}");
        }
    }

    #[test]
    fn new_hardware_takes_back_what_is_said_of_the_door_alone() {
        for text in [
            "NIC; NEW HARDWARE",
            "NIC (HARDWARE ONLY)",
            "existing door, no work; new hardware",
            "N.I.C. hardware by us",
        ] {
            assert!(reason_kept(text).is_some(), "{text}");
        }
        for text in ["E.T.R. NEW HARDWARE", "Existing door (new hardware)", "Door and frame N.I.C., hardware by us"] {
            assert_eq!(reason_kept(text), None, "{text}");
        }
        for text in ["hardware by others; new hardware", "all by others - hardware only", "by others; new hardware"] {
            assert!(supplier(text, Ours::New).is_some(), "{text}");
        }
        assert_eq!(supplier("door by others; new hardware", Ours::New), None);
    }

    #[test]
    fn remarks_about_other_goods_leave_no_door_out() {
        for text in [
            "hardware by hangar door manufacturer",
            "by gate supplier",
            "Alum. storefront door and frame furnished and installed by glazing contractor",
            "DOOR, FRAME, HARDWARE BY OWNER",
            "All hardware provided by owner; 20 min",
            "storefront, by others",
            "HARDWARE: BY OTHERS",
            "storefront door and hardware by others",
            "cylinder by us, balance of hardware by storefront supplier",
        ] {
            assert!(supplier(text, Ours::Unsaid).is_some(), "{text}");
        }
        for text in [
            "CARD READER PROVIDED BY SECURITY CONTRACTOR",
            "GLASS FURNISHED BY OWNER",
            "Closer, by owner",
            "CARD READER BY OTHERS",
            "electric hardware by security contractor",
            "hardware installed by contractor",
            "FRAME BY OTHERS",
            "door frame by others",
            "door glass by owner",
            "PAINTED BY OWNER",
        ] {
            assert_eq!(supplier(text, Ours::Unsaid), None, "{text}");
        }
        for text in ["Cased opening", "HALL (cased opening)", "no door; paint jambs", "Frame only, see A-501"] {
            assert!(no_door([text, "", "", ""]).is_some(), "{text}");
        }
        for text in ["NO DOOR STOP", "PAINT FRAME ONLY", "no door closer", "match wall opening only at head"] {
            assert_eq!(no_door([text, "", "", ""]), None, "{text}");
        }
    }
}
