//! Remarks that leave a whole door out: others supply it or its hardware, or no leaf hangs there. Words about something
//! else, `card reader provided by security contractor`, `no door stop`, say nothing of the kind.

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::itemtext;
use super::schedule::Opening;
use super::words::{self, plain};

/// What ends a part of a remark.
const ENDS: [char; 5] = [',', ';', ':', '\n', '|'];

/// `Hardware by hangar door manufacturer`, `by gate supplier`: who supplies the hardware of the door, by its remarks.
pub(super) fn supplier(remarks: &str) -> Option<String> {
    let folded = plain(&remarks.replace('\n', ";"));
    let mut last = "";
    folded.split(ENDS).flat_map(|part| part.split(". ")).find_map(|part| {
        let before_it = std::mem::replace(&mut last, part);
        let padded = format!(" {}", part.trim());
        let words = words::list("hardware-by").find(&padded).or_else(|| itemtext::by_whom(&padded))?;
        let found = words.as_ptr() as usize - padded.as_ptr() as usize;
        // `Door and hardware by others`: up to the word that says by whom.
        let at = padded[found..].find("BY ").filter(|at| *at < words.len()).map_or(found, |by| found + by);
        let said = subject(&padded[..at]);
        // `Closer, by owner`: what is supplied may stand before the comma.
        let apart = || !words.starts_with("BY ") || words::list("goods").find(before_it).is_none();
        let whole = if said.is_empty() { apart() } else { is_whole(&said) };
        whole.then(|| words.to_string())
    })
}

/// `Door by others; hardware by us`, `existing door, new hardware`: whoever supplies the door, its hardware is in the
/// contract.
pub(super) fn is_ours(folded: &str) -> bool {
    let (hardware, ours, new) = (words::list("words-for-hardware"), words::list("by-us"), words::list("new-hardware"));
    folded.split(ENDS).flat_map(|part| part.split(". ")).any(|part| {
        let supplied = ours.find(part).is_some_and(|found| {
            let at = found.as_ptr() as usize - part.as_ptr() as usize;
            subject(&part[..at]).last().is_some_and(|word| hardware.is(word))
        });
        let is_new = || {
            new.find(part).is_some_and(|found| {
                let at = found.as_ptr() as usize - part.as_ptr() as usize;
                let before = part[..at].split_whitespace().next_back();
                !before.is_some_and(|word| words::list("remark-out").is(word)) && itemtext::by_whom(part).is_none()
            })
        };
        supplied || is_new()
    })
}

/// The words for what is supplied, without `furnished`, `provided and installed`. Goods that others only install stay ours.
fn subject(before: &str) -> Vec<&str> {
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
fn is_whole(said: &[&str]) -> bool {
    let (whole, kinds) = (words::list("whole-door"), words::list("door-kind"));
    let number = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    let frame = |word: &str| matches!(word, "FRAME" | "FRAMES");
    let last = match said {
        [.., "AND" | "&", end] => frame(end) || whole.is(end),
        [.., end] => whole.is(end) || number(end),
        [] => false,
    };
    last && said.iter().any(|word| whole.is(word))
        && said.iter().all(|word| whole.is(word) || kinds.is(word) || frame(word) || number(word))
}

/// `Cased opening`, `no door; see A-501`: where no leaf hangs. The phrase is all that a part of the text says.
pub(super) fn no_door(texts: [&str; 4]) -> Option<String> {
    let list = words::list("no-door");
    let alone = |part: &str| {
        let part = part.trim_matches(|sign: char| !sign.is_alphanumeric());
        let found = list.begins(part)?;
        let rest = part[found.len()..].trim_start_matches([' ', ':', '-']);
        (rest.is_empty() || words::list("refers").begins(rest).is_some()).then(|| found.to_string())
    };
    texts.iter().find_map(|text| {
        let folded = plain(&text.replace('\n', ";"));
        alone(&folded).or_else(|| {
            let mut parts = folded.split(['(', ')', '/', ',', ';', ':']).flat_map(|part| part.split(". "));
            parts.find_map(|part| part.split(" - ").find_map(alone))
        })
    })
}

/// Whether a door was left out by such words.
fn left_out(why: &str) -> bool {
    words::list("hardware-by").is(why) || words::list("no-door").is(why) || why.starts_with("BY ")
}

/// Asks about a door that was left out so and is named by the heading of a set, which then counts.
pub(super) fn named_by_heading(opening: &mut Opening, set: &str) -> Option<Finding> {
    let words = opening.excluded.take_if(|why| left_out(why))?;
    let (number, place) = (opening.number.as_str(), opening.place.clone());
    Some(with_set(number, set, &words, place, opening.remarks.clone()))
}

/// Others supply the hardware, yet the door has a set: the set may hold what is ours, such as the cylinder.
pub(super) fn with_set(number: &str, set: &str, words: &str, place: Place, remarks: String) -> Finding {
    let says = format!("door {number} says \"{}\" and has a set", words.to_lowercase());
    Finding {
        openings: vec![number.to_string()],
        set: Some(set.to_string()),
        priced_as: "the set as written".into(),
        ..Finding::new("hardware-by-others-with-set", Kind::Question, Weight::Scope, says)
    }
    .at(place, remarks)
    .help("ask which goods of the set are in the contract")
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
        ] {
            assert!(is_ours(&plain(text)), "{text}");
        }
        for text in [
            "hardware by others",
            "cylinder by us, balance of hardware by storefront supplier",
            "existing door, no new hardware",
            "new hardware by owner",
            "hardware by others; installed by us",
            "hardware installed by us",
            "existing to remain",
        ] {
            assert!(!is_ours(&plain(text)), "{text}");
        }
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
            assert!(supplier(text).is_some(), "{text}");
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
            assert_eq!(supplier(text), None, "{text}");
        }
        for text in ["Cased opening", "HALL (cased opening)", "no door; paint jambs", "Frame only, see A-501"] {
            assert!(no_door([text, "", "", ""]).is_some(), "{text}");
        }
        for text in ["NO DOOR STOP", "PAINT FRAME ONLY", "no door closer", "match wall opening only at head"] {
            assert_eq!(no_door([text, "", "", ""]), None, "{text}");
        }
    }
}
