//! Doors of several buildings whose numbers repeat, 101 in building A and 101 in building B: they are told apart by their
//! building, `A-101`, which a column, a row above them or the name of their sheet says.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use crate::finding::{Finding, Kind, Weight, some_of};
use crate::place::Place;

use super::doors::Reader;
use crate::read::memo::{self, ByText, Memo};
use crate::read::schedule::{Opening, Role, Schedule};
use crate::read::tables::headings::Meaning as M;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A longer name goes with no number.
const LONGEST: usize = 12;

/// The code of what is said here.
const CODE: &str = "doors-by-building";

thread_local! {
    /// Whether a heading is that of a column of buildings.
    static NAMED: Memo<bool> = Memo::default();
}

/// The building that the row of a door names, with its place; a column of levels or floors names none.
pub(crate) fn of_row(reader: &Reader<'_>) -> Option<(Place, String)> {
    let column = reader.table.column(M::Level)?;
    let named = memo::once(&NAMED, &column.heading, |heading| {
        let key = plain(heading);
        let first = key.split(' ').next().unwrap_or_default();
        words::list("level-word").find(&key).is_none() && words::list("building").is(first.trim_end_matches('.'))
    });
    let name = named.then(|| name(&reader.row.cell(column.index)?.text))??;
    Some((reader.sheet.place(reader.row.number), name))
}

/// `Building A`, `A`: A.
fn name(text: &str) -> Option<String> {
    let text = text.trim();
    let first = text.split(' ').next().unwrap_or_default();
    let led = words::list("building").is(plain(first).trim_end_matches('.'));
    let rest = if led { text[first.len()..].trim() } else { text };
    let named = !rest.is_empty() && rest.len() <= LONGEST && rest.bytes().any(|byte| byte.is_ascii_alphanumeric());
    named.then(|| rest.to_string())
}

/// `Building A - doors`: A. Other names of sheets say no building: `Building Standards`, `Block walls`.
fn of_sheet(sheet: &str) -> Option<String> {
    let mut words_of = sheet.split([' ', '-', '_']).filter(|word| !word.is_empty());
    let led = words_of.next().is_some_and(|word| words::list("building").is(plain(word).trim_end_matches('.')));
    let name = words_of.next().filter(|_| led).and_then(name)?;
    let is_bare = name.len() < 3 && name.bytes().all(|byte| byte.is_ascii_alphanumeric());
    (is_bare || name.bytes().all(|byte| byte.is_ascii_digit()) || words::list("building-name").is(&plain(&name)))
        .then_some(name)
}

/// Whether some number stands twice.
fn repeat(schedule: &Schedule) -> bool {
    let mut seen: HashSet<&str> = HashSet::with_capacity(schedule.openings.len());
    schedule.openings.iter().any(|door| !seen.insert(&door.number))
}

/// `BUILDING A`, `Building: North School` alone in its row, or with the date of a form in further cells: the doors below it on
/// its sheet stand there.
fn banner(text: &str) -> Option<String> {
    let (text, name) = match text.split_once("  ") {
        Some((label, rest)) if label.ends_with(':') => (label, rest.split("  ").next().unwrap_or_default()),
        Some(_) => return None,
        None => (text, ""),
    };
    let first = text.split([' ', ':']).next().unwrap_or_default();
    let led = text.len() <= 40 && words::list("building").is(plain(first).trim_end_matches('.'));
    let own = text.get(first.len()..).filter(|_| led)?.trim_matches([' ', ':', '-', '\u{2013}']);
    let rest = if own.is_empty() { name.trim() } else { own };
    let few = rest.len() <= 24 && rest.split(' ').count() <= 3 && !rest.contains(['.', ',', ':', ';']);
    let short = rest.len() <= 3 || text.contains(':') || words::list("building-name").is(&plain(rest));
    (!rest.is_empty() && few && short).then(|| rest.to_string())
}

/// The buildings of doors by the rows above them that name one.
fn banners(schedule: &Schedule) -> BTreeMap<Place, String> {
    let mut sheet = None;
    let mut of_rows: BTreeMap<Place, String> = BTreeMap::new();
    let mut now = None;
    for row in &schedule.ledger {
        let own = (&row.place.file, &row.place.sheet);
        if sheet != Some(own) {
            (sheet, now) = (Some(own), None);
        }
        if matches!(row.role, Role::Title | Role::Note | Role::Repeat) {
            now = banner(&row.text).or(now);
        } else if let (Role::Opening, Some(name)) = (row.role, &now) {
            of_rows.insert(row.place.clone(), name.clone());
        }
    }
    of_rows
}

/// Whether a number has its building already: `A101`, `1-101`.
fn has(number: &str, building: &str) -> bool {
    let (number, building) = (plain(number), plain(building));
    let rest = number.strip_prefix(&building);
    let lettered = building.bytes().any(|byte| byte.is_ascii_alphabetic());
    rest.is_some_and(|rest| lettered || rest.starts_with(['-', '.']))
}

/// The building of each door, where a column, a row above it or the name of its sheet says one.
pub(crate) fn of_doors(out: &Gathered) -> Vec<Option<String>> {
    let mut told: BTreeMap<_, _> = out.buildings.iter().cloned().collect();
    let schedule = &out.schedule;
    if told.is_empty() && repeat(schedule) {
        told = banners(schedule);
    }
    let mut sheets: ByText<Option<String>> = ByText::default();
    for door in &schedule.openings {
        if !sheets.contains_key(&*door.place.sheet) {
            sheets.insert(door.place.sheet.to_string(), of_sheet(&door.place.sheet));
        }
    }
    if told.is_empty() && sheets.values().all(Option::is_none) {
        return vec![None; schedule.openings.len()];
    }
    let building =
        |door: &Opening| told.get(&door.place).cloned().or_else(|| sheets.get(&*door.place.sheet).cloned().flatten());
    schedule.openings.iter().map(building).collect()
}

/// Gives the doors of several buildings numbers of their own, where each of those that share one stands in another building
/// and no set names doors by number.
pub(crate) fn settle(out: &mut Gathered) {
    let of_doors = of_doors(out);
    if of_doors.iter().all(Option::is_none) {
        return;
    }
    let schedule = &mut out.schedule;
    let places = schedule.openings.iter().zip(&of_doors);
    schedule.buildings = places.filter_map(|(door, of)| Some((door.place.clone(), of.clone()?))).collect();
    let mut rows: ByText<Vec<usize>> = ByText::default();
    for (at, door) in schedule.openings.iter().enumerate().filter(|(_, door)| door.excluded.is_none()) {
        rows.entry(plain(&door.number)).or_default().push(at);
    }
    let apart = |rows: &&Vec<usize>| {
        let buildings: BTreeSet<String> = rows.iter().filter_map(|at| of_doors[*at].as_deref().map(plain)).collect();
        rows.len() > 1 && buildings.len() == rows.len()
    };
    let mut again: Vec<usize> = rows.values().filter(apart).map(|rows| rows[0]).collect();
    again.sort_unstable();
    let Some(first) = again.first().copied() else { return };
    // A number of which one row names no building may be any of them: that is asked, as every number that stands twice.
    let unclear = |rows: &Vec<usize>| rows.len() > 1 && rows.iter().any(|at| of_doors[*at].is_none());
    if rows.values().any(unclear) || !out.served.is_empty() || schedule.sets.iter().any(|set| !set.openings.is_empty())
    {
        return;
    }
    // `2-101` on the sheet of building 1 names its building itself: whether it stands twice is asked.
    let names: BTreeSet<&String> = of_doors.iter().flatten().collect();
    if again.iter().any(|at| names.iter().any(|name| has(&schedule.openings[*at].number, name))) {
        return;
    }
    let shared: Vec<String> = again.iter().map(|at| schedule.openings[*at].number.clone()).collect();
    let mut renamed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (door, of) in schedule.openings.iter_mut().zip(&of_doors) {
        let Some(of) = of.as_ref().filter(|of| !has(&door.number, of)) else { continue };
        let number = format!("{of}-{}", door.number);
        renamed.entry(std::mem::replace(&mut door.number, number.clone())).or_default().push(number);
    }
    let row = |place: &Place| (place.file.clone(), place.sheet.clone(), place.row);
    let by_place: BTreeMap<_, _> = schedule.openings.iter().map(|door| (row(&door.place), &door.number)).collect();
    for finding in schedule.findings.iter_mut().filter(|finding| !finding.openings.is_empty()) {
        let own = finding.place.as_ref().and_then(|place| by_place.get(&row(place)));
        finding.openings = match (own, &finding.openings[..]) {
            (Some(own), [one]) if own.ends_with(&**one) => vec![(*own).clone()],
            (_, numbers) => {
                let all =
                    numbers.iter().flat_map(|number| renamed.get(number).cloned().unwrap_or(vec![number.clone()]));
                all.collect()
            }
        };
    }
    let says = format!(
        "the doors {} stand in several buildings: each row is a door of its own, and the numbers were given the building before them",
        some_of(&shared)
    );
    let door = &schedule.openings[first];
    let finding = Finding::new(CODE, Kind::Assumption, Weight::Goods, says).at(door.place.clone(), door.number.clone());
    schedule.findings.push(finding.help("check that none of these doors stands twice"));
}
