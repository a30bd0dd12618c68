//! Tables of door types beside numbered doors: the doors inside dwellings, counted by type, while those of the corridors have
//! numbers. Types that no door names, with sets that no other door has, are doors of their own where their rows count them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};

use super::types::{Type, unnumbered};
use crate::read::schedule::{Opening, loose_id};
use crate::read::walk::Gathered;

/// Takes the types out that are doors of their own, asks about those that may be, and gives back the others.
pub(crate) fn settle(types: Vec<Type>, out: &mut Gathered) -> Vec<Type> {
    let mut sheets: BTreeMap<(Arc<str>, Arc<str>), Vec<Type>> = BTreeMap::new();
    let mut rest = Vec::new();
    for kind in types {
        if kind.used || !kind.door {
            rest.push(kind);
        } else {
            let place = &kind.opening.place;
            sheets.entry((place.file.clone(), place.sheet.clone())).or_default().push(kind);
        }
    }
    if sheets.is_empty() {
        return rest;
    }
    let named = named(out);
    let defined: BTreeSet<String> =
        out.schedule.sets.iter().filter(|set| !set.lines.is_empty()).map(|set| loose_id(&set.id)).collect();
    for types in sheets.into_values() {
        let sets: BTreeSet<String> =
            types.iter().filter_map(|kind| kind.opening.set.as_deref().map(loose_id)).collect();
        let counted = types.iter().any(|kind| kind.counted);
        let apart = sets.is_disjoint(&named);
        if sets.is_disjoint(&defined) || !counted && !apart {
            rest.extend(types);
        } else if counted && apart {
            count(types, out);
        } else {
            out.schedule.findings.extend(asked(&types, counted));
            rest.extend(types);
        }
    }
    rest
}

/// The sets that numbered doors have, by their own rows or by the headings of sets.
fn named(out: &Gathered) -> BTreeSet<String> {
    let own = out.schedule.openings.iter().filter_map(|door| door.set.as_deref());
    let served = out.served.iter().filter_map(|(set, ..)| out.schedule.sets.get(*set)).map(|set| set.id.as_str());
    let listed = out.schedule.sets.iter().filter(|set| !set.openings.is_empty()).map(|set| set.id.as_str());
    own.chain(served).chain(listed).map(loose_id).collect()
}

/// Types that are doors, as often as their rows say.
fn count(types: Vec<Type>, out: &mut Gathered) {
    let Some(place) = types.first().map(|kind| kind.opening.place.clone()) else { return };
    let openings: Vec<String> = types.iter().map(|kind| kind.opening.number.clone()).collect();
    for mut kind in types {
        out.schedule.findings.append(&mut kind.findings);
        out.schedule.openings.push(kind.opening);
    }
    let says = "beside numbered doors the schedule counts types of doors, with sets that no numbered door has; each is counted as often as its row says";
    out.schedule.findings.push(Finding { openings, ..unnumbered(says, place) });
}

/// Types that may be doors beside the numbered ones.
fn asked(types: &[Type], counted: bool) -> Option<Finding> {
    let with_set: Vec<&Opening> = types.iter().map(|kind| &kind.opening).filter(|kind| kind.set.is_some()).collect();
    let first = with_set.first()?;
    let sets: BTreeSet<&str> = with_set.iter().filter_map(|kind| kind.set.as_deref()).collect();
    let sets = sets.into_iter().take(6).collect::<Vec<_>>().join(", ");
    let says = if counted {
        format!(
            "a table counts types of doors with the sets {sets}, which numbered doors have too; nothing says whether its doors are among these"
        )
    } else {
        format!("types of doors with the sets {sets} stand in a table, no door names them, and nothing counts them")
    };
    let finding = Finding {
        openings: with_set.iter().map(|kind| kind.number.clone()).collect(),
        priced_as: "the numbered doors alone".into(),
        ..Finding::new("types-not-counted", Kind::Question, Weight::Goods, says)
    };
    let at = finding.at(first.place.clone(), format!("{} {}", first.number, first.set.as_deref().unwrap_or_default()));
    Some(
        at.help(
            "ask how many doors of each type there are beside the numbered ones, and give each a row with its count",
        ),
    )
}
