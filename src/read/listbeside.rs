//! Door schedules that name the set of a door and beside it list what is in the set: `B | 3 hinges\n1 office lock\n1 wall
//! stop`, and `same` at the next door. Where no schedule of sets defines it, the list does.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::column_letter;

use super::celllist;
use super::doorgoods::{self, Named};
use super::schedule::{HardwareSet, Line, PartRole, Wording, loose_id};
use super::sheet::Cell;
use super::walk::Gathered;
use super::words::{self, plain};

/// Whether the cells of a column are lists of goods, or say that they are as the one above.
pub(super) fn are_lists(cells: Option<&Vec<&Cell>>) -> bool {
    let Some(cells) = cells.filter(|cells| !cells.is_empty()) else { return false };
    let list = |text: &str| celllist::items(text).is_some();
    let fits = cells.iter().filter(|cell| list(&cell.text) || is_ditto(&cell.text)).count();
    cells.iter().any(|cell| list(&cell.text)) && fits * 10 >= cells.len() * 7
}

fn is_ditto(text: &str) -> bool {
    let folded = plain(text);
    words::list("ditto").is(&folded) || words::list("ditto").begins(&folded).is_some() && !folded.contains(',')
}

/// Defines the sets that only lists beside doors define; tells where lists of one set differ, or where the set is defined
/// elsewhere.
pub(super) fn settle(out: &mut Gathered) {
    let lists = std::mem::take(&mut out.lists_beside);
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
