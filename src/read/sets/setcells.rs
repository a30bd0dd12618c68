//! What is settled about sets once all sheets are read: a door's cell that names two sets, a set whose heading comes again
//! on the next page, and one that stands twice with the same lines.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::sameless::left_out;
use super::setheading;
use crate::read::openings::doorlist::Entry;
use crate::read::schedule::{HardwareSet, Line, Role, Schedule, loose_id};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A set that is said to be as another: its index, the id of the other, where, the words.
type Same = (usize, String, Place, String);

/// How the sets of one cell are joined.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Joined {
    /// `1, 2`, `12 & 14`: both.
    And,
    /// `3/3A`, `4 OR 5`: one of them, or both.
    Or,
}

/// Settles the cells of doors that name two sets which are defined. The sets that several doors have together become one
/// set with the lines of all of them.
pub(crate) fn settle(out: &mut Gathered) {
    let defined = defined(&out.schedule);
    if defined.is_empty() {
        return;
    }
    let mut cells: BTreeMap<String, (Vec<usize>, Joined, Vec<usize>)> = BTreeMap::new();
    for (at, opening) in out.schedule.openings.iter().enumerate() {
        let Some(text) = opening.set.as_deref().filter(|text| !defined.contains_key(&loose_id(text))) else { continue };
        if let Some((_, _, doors)) = cells.get_mut(text) {
            doors.push(at);
        } else if let Some((sets, joined)) = split(text, &defined) {
            cells.insert(text.to_string(), (sets, joined, vec![at]));
        }
    }
    for (text, (sets, joined, doors)) in cells {
        let place = out.schedule.openings[doors[0]].place.clone();
        let openings: Vec<String> = doors.iter().map(|at| out.schedule.openings[*at].number.clone()).collect();
        let ids = match joined {
            Joined::And => join(&text, &sets, out),
            Joined::Or => either(&text, &sets, out),
        };
        let named = in_words(&ids);
        let finding = match joined {
            Joined::And => {
                let all = if ids.len() > 2 { "all" } else { "both" };
                let says =
                    format!("the set cell \"{text}\" names the sets {named}; the lines of {all} count for the door");
                Finding::new("several-sets", Kind::Assumption, Weight::Goods, says)
                    .help("check that the door has all of these sets and not one of them")
            }
            Joined::Or => {
                for at in &doors {
                    out.schedule.openings[*at].set = Some(ids[0].clone());
                }
                let says = format!("the set cell \"{text}\" names the sets {named}, and does not say which one");
                Finding {
                    priced_as: format!("set {}", ids[0]),
                    ..Finding::new("set-or-set", Kind::Question, Weight::Goods, says)
                }
                .help("ask which set the door has, or whether it has both")
            }
        };
        out.schedule.findings.push(Finding { openings, set: Some(ids[0].clone()), ..finding }.at(place, text));
    }
}

/// The sets by their ids, the first of each.
pub(crate) fn defined(schedule: &Schedule) -> BTreeMap<String, usize> {
    schedule.sets.iter().enumerate().rev().map(|(at, set)| (loose_id(&set.id), at)).collect()
}

/// Makes one set of several, which has their lines; gives back their ids.
pub(crate) fn join(text: &str, sets: &[usize], out: &mut Gathered) -> Vec<String> {
    let whole = together(text, sets, &out.schedule);
    out.schedule.sets.push(whole);
    either(text, sets, out)
}

/// Keeps that a cell names several sets; gives back their ids.
fn either(text: &str, sets: &[usize], out: &mut Gathered) -> Vec<String> {
    let ids: Vec<String> = sets.iter().map(|at| out.schedule.sets[*at].id.clone()).collect();
    out.several.insert(text.to_string(), ids.clone());
    ids
}

/// All sets that a cell names, if all are defined and it says that it means each of them.
pub(crate) fn named_sets(text: &str, defined: &BTreeMap<String, usize>) -> Option<Vec<usize>> {
    split(text, defined).filter(|(_, joined)| *joined == Joined::And).map(|(sets, _)| sets)
}

/// The defined sets that a cell names, if it names nothing else.
fn split(text: &str, defined: &BTreeMap<String, usize>) -> Option<(Vec<usize>, Joined)> {
    let folded = plain(text).replace(" AND ", "&").replace(" OR ", "/");
    let find = |signs: &[char]| -> Option<Vec<usize>> {
        let mut sets = Vec::new();
        for part in folded.split(signs).map(str::trim).filter(|part| !part.is_empty()) {
            let at = *defined.get(&loose_id(&setheading::id_of_cell(part)?))?;
            if !sets.contains(&at) {
                sets.push(at);
            }
        }
        (sets.len() > 1).then_some(sets)
    };
    find(&[',', ';', '&', '+'])
        .or_else(|| find(&[',', ';', '&', '+', ' ']))
        .map(|sets| (sets, Joined::And))
        .or_else(|| find(&['/']).map(|sets| (sets, Joined::Or)))
}

/// Gives a set that is said to be as another the lines of that one. What the words take out of them a person must say.
pub(crate) fn same_as(out: &mut Gathered) {
    let said = std::mem::take(&mut out.same);
    if said.is_empty() {
        return;
    }
    let mut defined: BTreeMap<String, usize> = BTreeMap::new();
    for (at, set) in out.schedule.sets.iter().enumerate() {
        defined.entry(loose_id(&set.id)).or_insert(at);
    }
    let mut sets_of_doors: BTreeMap<String, Option<String>> = BTreeMap::new();
    for door in &out.schedule.openings {
        sets_of_doors.entry(plain(&door.number)).or_insert_with(|| door.set.as_deref().map(loose_id));
    }
    // Doors that headings name have their sets later.
    for (set, entries, _) in &out.served {
        let doors = entries.iter().map(|entry| match entry {
            Entry::Door(number) | Entry::Range(number, _) => number,
        });
        for door in doors {
            let id = out.schedule.sets.get(*set).map(|set| loose_id(&set.id));
            sets_of_doors.entry(plain(door)).or_insert(id);
        }
    }
    for (set, id, place, words) in in_turn(said, &out.schedule) {
        let own = out.schedule.sets[set].id.clone();
        let named = |id: &str| defined.get(id).copied();
        // `SAME AS DOOR 101`: the set of that door.
        let of_door = || named(sets_of_doors.get(&plain(&id))?.as_deref()?);
        let other = named(&loose_id(&id)).or_else(of_door).filter(|at| *at != set);
        let folded = plain(&words);
        let open = words::list("same-but").find(&folded).is_some();
        // `SAME AS SET 1 PLUS CLOSER`: words that lead to rows below count there.
        let more = !words.trim_end().ends_with(':')
            && ["goods", "remark-hardware"].iter().any(|list| words::list(list).find(&folded).is_some());
        // Rows of its own below may be what it has instead.
        let bare = out.schedule.sets[set].lines.is_empty();
        let less = other.filter(|_| open && bare).and_then(|other| left_out(&words, &out.schedule.sets[other].lines));
        let aside = !bare && !setheading::takes_goods(&words);
        let (kind, says) = match other {
            Some(_) if aside => (
                Kind::Question,
                format!(
                    "set {own} is said to be as set {id} in something; its own lines were taken, and none of that set"
                ),
            ),
            Some(_) if less.is_some() => (
                Kind::Assumption,
                format!("set {own} is as set {id}; the lines of that set were taken, without what the words leave out"),
            ),
            None => (Kind::Question, format!("set {own} is said to be as set {id}, which is defined nowhere")),
            Some(_) if open => (
                Kind::Question,
                format!("set {own} is as set {id} with exceptions: its lines were taken as they are, with those below"),
            ),
            Some(_) if more => (
                Kind::Question,
                format!(
                    "set {own} is as set {id} and more: the lines of that set were taken; what the words name besides is not counted"
                ),
            ),
            Some(_) => (Kind::Assumption, format!("set {own} is as set {id}; the lines of that set were taken")),
        };
        if let Some(other) = other.filter(|_| !aside) {
            let mut lines = out.schedule.sets[other].lines.clone();
            for at in less.into_iter().flatten() {
                lines[at].excluded.get_or_insert_with(|| words.clone());
            }
            lines.append(&mut out.schedule.sets[set].lines);
            out.schedule.sets[set].lines = lines;
        }
        let finding = Finding { set: Some(own), ..Finding::new("set-as-another", kind, Weight::Goods, says) };
        out.schedule
            .findings
            .push(finding.at(place, words).help("write the lines of the set out, or check them against the other set"));
    }
}

/// A set that is as another, which is as a third one itself, comes after that one; a ring has no first.
fn in_turn(said: Vec<Same>, schedule: &Schedule) -> Vec<Same> {
    let own = |same: &Same| loose_id(&schedule.sets[same.0].id);
    let mut by_id: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, same) in said.iter().enumerate() {
        by_id.entry(own(same)).or_default().push(at);
    }
    let (mut order, mut seen) = (Vec::new(), vec![false; said.len()]);
    for at in 0..said.len() {
        // What waits for what, up to one that waits for none.
        let mut waiting = vec![at];
        while let Some(at) = waiting.last().copied() {
            if std::mem::replace(&mut seen[at], true) {
                waiting.pop();
                order.push(at);
                continue;
            }
            let before = by_id.get(&loose_id(&said[at].1)).into_iter().flatten();
            waiting.extend(before.copied().filter(|before| !seen[*before]));
        }
    }
    let mut said: Vec<Option<Same>> = said.into_iter().map(Some).collect();
    order.into_iter().filter_map(|at| said[at].take()).collect()
}

/// `1 and 2`, `1, 2 and 3`.
pub(crate) fn in_words(ids: &[String]) -> String {
    match ids {
        [rest @ .., before, last] if !rest.is_empty() => format!("{}, {before} and {last}", rest.join(", ")),
        _ => ids.join(" and "),
    }
}

/// Doors that name a set which is said not to be used: nothing is counted for them, so that must be asked.
pub(crate) fn not_used(out: &mut Gathered) {
    for set in out.schedule.sets.iter().filter(|set| set.not_used.is_some()) {
        let named = |id: &Option<String>| id.as_deref().is_some_and(|id| loose_id(id) == loose_id(&set.id));
        let doors = out.schedule.openings.iter().filter(|door| door.excluded.is_none() && named(&door.set));
        let openings: Vec<String> = doors.map(|door| door.number.clone()).collect();
        if openings.is_empty() {
            continue;
        }
        let words = set.not_used.clone().unwrap_or_default();
        let says = format!("set {} is said to be \"{}\", and doors have it", set.id, words.to_lowercase());
        out.schedule.findings.push(
            Finding {
                openings,
                set: Some(set.id.clone()),
                priced_as: "no hardware for these doors".into(),
                ..Finding::new("unused-set-named", Kind::Question, Weight::Goods, says)
            }
            .at(set.place.clone(), words)
            .help("ask which set these doors have"),
        );
    }
}

/// One set with the lines of several.
fn together(id: &str, sets: &[usize], schedule: &Schedule) -> HardwareSet {
    let parts = || sets.iter().map(|at| &schedule.sets[*at]);
    let titles: Vec<&str> = parts().map(|set| set.title.as_str()).filter(|title| !title.is_empty()).collect();
    HardwareSet {
        id: id.to_string(),
        title: titles.join(" + "),
        openings: Vec::new(),
        lines: parts().flat_map(|set| set.lines.clone()).collect(),
        notes: parts().flat_map(|set| set.notes.clone()).collect(),
        not_used: None,
        place: schedule.sets[sets[0]].place.clone(),
    }
}

/// Ids that are alike but for their zeros, of which doors name more than one as it stands in its heading: `01` and `1`.
fn named_apart(schedule: &Schedule) -> BTreeSet<String> {
    let ids: BTreeSet<String> = schedule.sets.iter().map(|set| plain(&set.id)).collect();
    let named: BTreeSet<String> = schedule
        .openings
        .iter()
        .filter_map(|door| door.set.as_deref())
        .map(plain)
        .filter(|id| ids.contains(id))
        .collect();
    let (mut seen, mut apart) = (BTreeSet::new(), BTreeSet::new());
    for loose in named.iter().map(|id| loose_id(id)) {
        if !seen.insert(loose.clone()) {
            apart.insert(loose);
        }
    }
    apart
}

/// Sets whose heading comes again on the same sheet: with other goods the set goes on, with the same lines it is one.
pub(crate) fn again(out: &mut Gathered) {
    let mut first: BTreeMap<(String, Place), usize> = BTreeMap::new();
    let mut gone: BTreeSet<usize> = BTreeSet::new();
    let mut rows: Vec<Place> = Vec::new();
    let apart = named_apart(&out.schedule);
    for at in 0..out.schedule.sets.len() {
        let set = &out.schedule.sets[at];
        let sheet = Place { row: 0, column: None, ..set.place.clone() };
        let loose = loose_id(&set.id);
        let id = if apart.contains(&loose) { plain(&set.id) } else { loose };
        let Some(before) = first.get(&(id.clone(), sheet.clone())).copied() else {
            first.insert((id, sheet), at);
            continue;
        };
        let (old, new) = (&out.schedule.sets[before], &out.schedule.sets[at]);
        if new.not_used != old.not_used || old.lines.is_empty() {
            continue;
        }
        // `SET 1 IS USED AT DOORS 101 - 104` after its lines.
        if new.lines.is_empty() {
            let taken = new.clone();
            let old = &mut out.schedule.sets[before];
            let more: Vec<String> = taken.openings.into_iter().filter(|door| !old.openings.contains(door)).collect();
            old.openings.extend(more);
            old.notes.extend(taken.notes);
            gone.insert(at);
            continue;
        }
        let titled = new.title.is_empty() || plain(&new.title) == plain(&old.title);
        let served = new.openings.iter().all(|door| old.openings.contains(door));
        let texts = |set: &HardwareSet| set.lines.iter().map(said).collect::<Vec<_>>();
        let (code, says) = if served && texts(old) == texts(new) {
            (
                "set-repeated",
                format!("set {} stands twice with the same lines, first at {}; it was read once", new.id, old.place),
            )
        } else if titled && new.openings.is_empty() && goods(old).is_disjoint(&goods(new)) {
            (
                "set-goes-on",
                format!(
                    "the heading of set {} comes again with other goods; they were added to the set at {}",
                    new.id, old.place
                ),
            )
        } else {
            continue;
        };
        let kind = if code == "set-repeated" { Kind::Note } else { Kind::Assumption };
        let finding = Finding { set: Some(new.id.clone()), ..Finding::new(code, kind, Weight::Goods, says) }
            .at(new.place.clone(), new.title.clone())
            .help("check that it is one set and not two");
        let taken = out.schedule.sets[at].clone();
        if code == "set-goes-on" {
            out.schedule.sets[before].lines.extend(taken.lines);
            out.schedule.sets[before].notes.extend(taken.notes);
        } else {
            rows.extend(taken.lines.into_iter().map(|line| line.place));
        }
        rows.push(taken.place);
        out.schedule.findings.push(finding);
        gone.insert(at);
    }
    let mut at = 0;
    out.schedule.sets.retain(|_| {
        at += 1;
        !gone.contains(&(at - 1))
    });
    // Rows that say again what others say, unless something beside them still comes from them.
    out.schedule.pass_rows(rows.iter(), Role::Repeat);
}

fn said(line: &Line) -> (String, Option<crate::read::schedule::Basis>, Option<String>) {
    (plain(&line.wording.text), line.basis, line.excluded.clone())
}

/// The words for goods that a set's lines name.
fn goods(set: &HardwareSet) -> BTreeSet<String> {
    let words = words::list("hardware");
    set.lines
        .iter()
        .map(|line| {
            let folded = plain(&line.wording.text);
            words.find(&folded).map_or_else(|| folded.clone(), |word| word.trim_end_matches('S').to_string())
        })
        .collect()
}
