//! Of what a door is, said among its remarks and in no column: `Aluminum storefront`, `WD DOOR, HM FRAME`. What is said of
//! goods, `alum threshold`, and words that may be a finish are left alone.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};

use crate::read::goods::itemtext;
use crate::read::memo::{self, Memo};
use crate::read::schedule::Schedule;
use crate::read::words::{self, plain};

thread_local! {
    static SAID: Memo<Said> = Memo::default();
}

/// The materials of door and frame by the words of a remark.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Said {
    door: Option<&'static str>,
    frame: Option<&'static str>,
}

impl Said {
    fn of(remarks: &str) -> Self {
        let folded = plain(&remarks.replace('\n', ";"));
        let (mut doors, mut frames) = (Vec::new(), Vec::new());
        for part in folded.split([',', ';', '(', ')']).flat_map(|part| part.split(". ")) {
            let padded = format!(" {}", part.trim_matches([' ', '.', ':', '-']));
            // `Aluminum entrance by storefront supplier`: up to the word that says by whom.
            let whose = itemtext::by_whom(&padded).map_or(padded.len(), |by| words::offset(&padded, by));
            let (of_door, of_frame, material) = made(padded[..whose].trim());
            doors.extend(material.filter(|_| of_door));
            frames.extend(material.filter(|_| of_frame));
        }
        // Two materials of one thing are said of several things.
        let one =
            |found: Vec<&'static str>| found.first().copied().filter(|first| found.iter().all(|one| one == first));
        Self { door: one(doors), frame: one(frames) }
    }
}

/// What a part speaks of, the door or the frame or both, and its material where it says nothing else.
fn made(part: &str) -> (bool, bool, Option<&'static str>) {
    let rest = |list: &str| {
        let found = words::list(list).ends(part)?;
        let rest = &part[..words::offset(part, found)];
        rest.ends_with(' ').then(|| rest.trim_end())
    };
    let known = |words: &str| words::only_leaf_material(words).filter(|found| *found != "none");
    if let Some(rest) = rest("of-door-and-frame") {
        return (true, true, known(rest));
    }
    if let Some(rest) = rest("of-frame") {
        return (false, true, known(rest));
    }
    if let Some(rest) = rest("of-door") {
        return (true, false, known(rest));
    }
    (true, false, if words::list("material-alone").is(part) { known(part) } else { None })
}

/// Takes the materials that remarks give where the schedule gives none.
pub(crate) fn settle(schedule: &mut Schedule) {
    let mut taken: BTreeMap<(bool, &'static str), Vec<usize>> = BTreeMap::new();
    for (at, door) in schedule.openings.iter_mut().enumerate() {
        let is_open = door.door_material.is_none() || door.frame_material.is_none();
        if !is_open || door.remarks.is_empty() || door.excluded.is_some() {
            continue;
        }
        let said = memo::once(&SAID, &door.remarks, Said::of);
        for (of_frame, said, own) in
            [(false, said.door, &mut door.door_material), (true, said.frame, &mut door.frame_material)]
        {
            if let Some(material) = said.filter(|_| own.is_none()) {
                *own = Some(material.to_string());
                taken.entry((of_frame, material)).or_default().push(at);
            }
        }
    }
    for ((of_frame, material), doors) in taken {
        let Some(first) = doors.first().and_then(|at| schedule.openings.get(*at)) else { continue };
        let what = if of_frame { "frame" } else { "door" };
        let says = format!("the remarks of these doors say of what the {what} is, {material}; no column gives it");
        let openings = doors.iter().filter_map(|at| schedule.openings.get(*at)).map(|door| door.number.clone());
        let finding = Finding {
            openings: openings.collect(),
            ..Finding::new("material-in-remarks", Kind::Assumption, Weight::Goods, says)
        };
        let finding = finding.at(first.place.clone(), first.remarks.clone());
        schedule.findings.push(finding.help("check that the remark speaks of the door itself"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn remarks_say_of_what_doors_are_or_speak_of_goods() {
        for (remarks, door, frame) in [
            ("Aluminum storefront", Some("aluminum"), None),
            ("Aluminum entrance by storefront supplier", Some("aluminum"), None),
            ("HM", Some("hollow-metal"), None),
            ("wood door, HM frame", Some("wood"), Some("hollow-metal")),
            ("HM door and frame; card reader", Some("hollow-metal"), Some("hollow-metal")),
            ("alum threshold", None, None),
            ("existing wood door", None, None),
            ("AL", None, None),
            ("wood door; hm door", None, None),
            ("access door", None, None),
            ("by glazing contractor", None, None),
            ("in aluminum storefront", None, None),
        ] {
            assert_eq!(Said::of(remarks), Said { door, frame }, "{remarks}");
        }
    }
}
