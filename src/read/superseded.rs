//! Sheets that others have replaced: hidden, or called old, and saying again which sets or doors there are. They are read
//! after the others; what stands on those counts, and what was passed over is said.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::schedule::{Role, loose_id};
use super::sheet::Sheet;
use super::walk::Gathered;
use super::words::{self, plain};

/// The sheets in the order in which they are read: those that may be out of date come last.
pub(super) fn in_turn(sheets: &[Sheet]) -> Vec<&Sheet> {
    let (old, current): (Vec<&Sheet>, Vec<&Sheet>) = sheets.iter().partition(|sheet| may_be_old(sheet));
    current.into_iter().chain(old).collect()
}

/// Whether a sheet is hidden, or called old.
pub(super) fn may_be_old(sheet: &Sheet) -> bool {
    sheet.hidden || words::list("sheet-old").find(&plain(&sheet.name)).is_some()
}

type Tab = (Arc<str>, Arc<str>);

fn tab(place: &Place) -> Tab {
    (place.file.clone(), place.sheet.clone())
}

/// Passes over the sets of old sheets that others define too, before anything is made of them.
pub(super) fn sets(out: &mut Gathered) {
    if out.old_sheets.is_empty() {
        return;
    }
    let is_old = |place: &Place| out.old_sheets.contains(&tab(place));
    let said_to_be = |at: usize| out.same.iter().any(|same| same.0 == at);
    let sets = &out.schedule.sets;
    let defined: BTreeSet<String> = (0..sets.len())
        .filter(|at| !is_old(&sets[*at].place))
        .filter(|at| !sets[*at].lines.is_empty() || sets[*at].not_used.is_some() || said_to_be(*at))
        .map(|at| loose_id(&sets[at].id))
        .collect();
    let gone: Vec<bool> = sets.iter().map(|set| is_old(&set.place) && defined.contains(&loose_id(&set.id))).collect();
    let mut told: BTreeMap<Tab, (Place, Vec<String>)> = BTreeMap::new();
    let mut rows: BTreeSet<Place> = BTreeSet::new();
    for set in sets.iter().zip(&gone).filter(|(_, gone)| **gone).map(|(set, _)| set) {
        let (_, ids) = told.entry(tab(&set.place)).or_insert_with(|| (set.place.clone(), Vec::new()));
        ids.push(set.id.clone());
        rows.extend(set.lines.iter().map(|line| whole_row(&line.place)));
        rows.insert(whole_row(&set.place));
    }
    if told.is_empty() {
        return;
    }
    // Where a set stood among all, it stands among those that stay.
    let mut kept = 0;
    let moved: Vec<Option<usize>> = gone
        .iter()
        .map(|gone| {
            kept += usize::from(!gone);
            (!gone).then(|| kept - 1)
        })
        .collect();
    out.served.retain_mut(|served| moved[served.0].map(|at| served.0 = at).is_some());
    out.same.retain_mut(|same| moved[same.0].map(|at| same.0 = at).is_some());
    let facts = std::mem::take(&mut out.set_facts).into_iter();
    out.set_facts = facts.filter_map(|(at, facts)| Some((moved[at]?, facts))).collect();
    let mut at = 0;
    out.schedule.sets.retain(|_| {
        at += 1;
        !gone[at - 1]
    });
    pass_over(&rows, out);
    for ((_, sheet), (place, ids)) in told {
        let says = match &ids[..] {
            [id] => format!("set {id} of the old sheet \"{sheet}\" is defined on another sheet, which was followed"),
            ids => format!(
                "sets {} of the old sheet \"{sheet}\" are defined on another sheet, which was followed",
                ids.join(", ")
            ),
        };
        out.schedule.findings.push(finding(says).at(place, sheet.to_string()));
    }
}

/// Passes over the doors of old sheets that stand on others too. Where that is most of them, the rest are counted no more,
/// and asked about.
pub(super) fn doors(out: &mut Gathered) {
    if out.old_sheets.is_empty() {
        return;
    }
    let is_old = |place: &Place| out.old_sheets.contains(&tab(place));
    let doors = &out.schedule.openings;
    let current: BTreeSet<String> =
        doors.iter().filter(|door| !is_old(&door.place)).map(|door| plain(&door.number)).collect();
    let mut by_sheet: BTreeMap<Tab, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    for (at, door) in doors.iter().enumerate().filter(|(_, door)| is_old(&door.place)) {
        let (again, alone) = by_sheet.entry(tab(&door.place)).or_default();
        let list = if current.contains(&plain(&door.number)) { again } else { alone };
        list.push(at);
    }
    by_sheet.retain(|_, (again, alone)| !again.is_empty() && again.len() >= alone.len());
    let mut gone: BTreeSet<usize> = BTreeSet::new();
    let mut rows: BTreeSet<Place> = BTreeSet::new();
    for ((_, sheet), (again, alone)) in by_sheet {
        let openings = &mut out.schedule.openings;
        rows.extend(again.iter().map(|at| whole_row(&openings[*at].place)));
        let says = format!(
            "{} doors of the old sheet \"{sheet}\" stand on another sheet too, which was followed",
            again.len()
        );
        out.schedule.findings.push(finding(says).at(openings[again[0]].place.clone(), sheet.to_string()));
        gone.extend(&again);
        if let Some(first) = alone.first() {
            let numbers = alone.iter().map(|at| openings[*at].number.clone()).collect();
            let says =
                format!("doors stand on the old sheet \"{sheet}\" alone, most of whose doors stand on another sheet");
            out.schedule.findings.push(
                Finding {
                    openings: numbers,
                    priced_as: "these doors are not counted".into(),
                    ..Finding::new("old-sheet", Kind::Question, Weight::Goods, says)
                }
                .at(openings[*first].place.clone(), openings[*first].number.clone())
                .help("ask whether these doors were taken out of the job"),
            );
        }
        for at in alone {
            openings[at].excluded = Some(format!("stands on the old sheet \"{sheet}\" alone"));
        }
    }
    let mut at = 0;
    out.schedule.openings.retain(|_| {
        at += 1;
        !gone.contains(&(at - 1))
    });
    pass_over(&rows, out);
}

fn finding(says: String) -> Finding {
    Finding::new("old-sheet", Kind::Assumption, Weight::Goods, says)
        .help("check that the sheet is out of date; if it counts, pass over the other one in the job file")
}

fn whole_row(place: &Place) -> Place {
    Place { column: None, ..place.clone() }
}

/// The rows of what was passed over say so, unless something else comes from them.
fn pass_over(rows: &BTreeSet<Place>, out: &mut Gathered) {
    let schedule = &out.schedule;
    let lines = schedule.sets.iter().flat_map(|set| set.lines.iter().map(|line| &line.place));
    let sources = lines.chain(schedule.openings.iter().map(|door| &door.place));
    let used: BTreeSet<Place> = sources.map(whole_row).collect();
    for row in out.schedule.ledger.iter_mut().filter(|row| rows.contains(&row.place) && !used.contains(&row.place)) {
        row.role = Role::Excluded;
    }
}
