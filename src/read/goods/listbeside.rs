//! Door schedules that name the set of a door and beside it list what is in the set: `B | 3 hinges\n1 office lock\n1 wall
//! stop`, and `same` at the next door. Where no schedule of sets defines it, the list does.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;

use super::doorgoods::{self, Named};
use super::{celllist, itemtext};
use crate::read::schedule::{HardwareSet, Line, Opening, PartRole, Wording, loose_id};
use crate::read::sheet::Cell;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// Whether the cells of a column are lists of goods, or say that they are as the one above. `By the door supplier` and `N/A`
/// are neither.
pub(crate) fn are_lists(cells: Option<&Vec<&Cell>>) -> bool {
    let Some(cells) = cells else { return false };
    let list = |text: &str| celllist::items(text).is_some();
    let cells: Vec<&&Cell> = cells.iter().filter(|cell| list(&cell.text) || !lists_none(&cell.text)).collect();
    let fits = cells.iter().filter(|cell| list(&cell.text) || is_ditto(&cell.text)).count();
    cells.iter().any(|cell| list(&cell.text)) && fits * 10 >= cells.len() * 7
}

/// Whether a cell beside a set says only that others supply the goods, or that there are none.
pub(crate) fn lists_none(text: &str) -> bool {
    let folded = plain(text);
    words::list("no-set").is(&folded) || words::list("falsy").is(&folded) || itemtext::is_by_whom(text)
}

fn is_ditto(text: &str) -> bool {
    let folded = plain(text);
    words::list("ditto").is(&folded) || words::list("ditto").begins(&folded).is_some() && !folded.contains(',')
}

/// Defines the sets that only lists beside doors define; tells where lists of one set differ, or where the set is defined
/// elsewhere.
pub(crate) fn settle(out: &mut Gathered) {
    let lists = std::mem::take(&mut out.lists_beside);
    fill_down(&lists, out);
    let mut of_set: BTreeMap<String, Vec<&Named>> = BTreeMap::new();
    for named in lists.iter().filter(|named| !is_ditto(&named.text)) {
        let set = out.schedule.openings.get(named.opening).and_then(|door| door.set.as_deref());
        // Without an id the doors that say the same share a set.
        match set {
            Some(set) => of_set.entry(loose_id(set)).or_default().push(named),
            None => out.matrix.goods(named.opening, named.place.clone(), &named.text, named.column),
        }
    }
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    for (id, lists) in of_set {
        let [first, others @ ..] = &lists[..] else { continue };
        let written = out.schedule.openings[first.opening].set.clone().unwrap_or_default();
        let doors = |lists: &[&Named]| -> Vec<String> {
            lists.iter().map(|named| out.schedule.openings[named.opening].number.clone()).collect()
        };
        let told = |kind, says: String, at: &Named, openings, help| {
            Finding {
                openings,
                set: Some(written.clone()),
                ..Finding::new("list-beside-set", kind, Weight::Goods, says)
            }
            .at(at.place.clone(), at.text.clone())
            .help(help)
        };
        if defined.contains(&id) {
            let says =
                format!("doors with set {written} list goods beside it; the set is defined elsewhere, and that counts");
            let help = "compare the two; what the list has more is in no price";
            let finding = told(Kind::Question, says, first, doors(&lists), help);
            out.schedule.findings.push(finding);
            continue;
        }
        let other: Vec<&Named> =
            others.iter().filter(|other| plain(&other.text) != plain(&first.text)).copied().collect();
        let finding = match &other[..] {
            [] => {
                let says = format!("set {written} is what the door schedule lists beside it");
                let help = "check the goods and their quantities";
                told(Kind::Assumption, says, first, doors(&lists), help)
            }
            [at, ..] => {
                let says = format!("the lists beside set {written} differ from door to door; the first counts for all");
                let help = "ask which list holds, or give the doors sets of their own";
                told(Kind::Question, says, at, doors(&other), help)
            }
        };
        let set = HardwareSet {
            id: written,
            title: String::new(),
            openings: Vec::new(),
            lines: lines(first),
            notes: Vec::new(),
            not_used: None,
            place: first.place.clone(),
        };
        out.schedule.findings.push(finding);
        out.schedule.sets.push(set);
    }
}

/// Gives doors that name no set and list nothing the set of the row right above, where that one has its list and the doors
/// are of one size and one make; and asks.
fn fill_down(lists: &[Named], out: &mut Gathered) {
    let blank = std::mem::take(&mut out.blank_beside);
    let doors = &mut out.schedule.openings;
    let mut filled: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut heads: BTreeMap<usize, usize> = lists.iter().map(|named| (named.opening, named.opening)).collect();
    for at in blank {
        let Some(head) = at.checked_sub(1).and_then(|before| heads.get(&before)).copied() else { continue };
        let (Some(above), Some(first), Some(door)) = (doors.get(at - 1), doors.get(head), doors.get(at)) else {
            continue;
        };
        let next = above.place.row + 1 == door.place.row && above.place.sheet == door.place.sheet;
        let made = |door: &Opening| (door.width, door.height, door.leaves, door.door_material.clone());
        if !next || door.excluded.is_some() || door.set.is_some() || first.set.is_none() || made(first) != made(door) {
            continue;
        }
        doors[at].set = doors[head].set.clone();
        heads.insert(at, head);
        filled.entry(head).or_default().push(at);
    }
    let below: Vec<usize> = filled.into_values().flatten().collect();
    let Some(first) = below.first().map(|at| doors[*at].place.clone()) else { return };
    let says =
        "rows below a door with a list name no set and list no goods; they were read as the row above".to_owned();
    let finding = Finding {
        openings: below.iter().map(|at| doors[*at].number.clone()).collect(),
        priced_as: "the set of the row above".into(),
        ..Finding::new("list-beside-set", Kind::Question, Weight::Goods, says)
    };
    let help = "check that these rows belong to the one above; write the set beside each door, or N/A";
    out.schedule.findings.push(finding.at(first, doors[below[0]].number.clone()).help(help));
}

/// The goods of a list, each a line.
fn lines(named: &Named) -> Vec<Line> {
    let Some(items) = celllist::items(&named.text) else {
        return doorgoods::lines(&named.place, &named.text, named.column);
    };
    let line = |item: String| {
        let mut wording = Wording::default();
        wording.push(PartRole::Free, &item, Some(column_letter(named.column).into()));
        Line::new(named.place.cell(named.column), wording)
    };
    items.into_iter().map(line).collect()
}
