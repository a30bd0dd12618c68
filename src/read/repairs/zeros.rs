//! Zeros that a spreadsheet program took from ids: door `0701` became 701, `101.10` became 101.1, set `1E2` became 100.
//! An id is restored only where the job itself shows what it was: a set heading, the ids beside it, the count above it.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::damage;
use crate::read::openings::doorlist::Entry;
use crate::read::schedule::{Opening, loose_id};
use crate::read::walk::Gathered;
use crate::read::words::plain;

/// The cell of a door's number.
pub(crate) struct NumberCell {
    /// Index of the opening.
    pub opening: usize,
    /// The cell is a number, not text.
    pub number: bool,
    /// Its column, counted from 0; its row is that of the opening.
    pub column: usize,
}

/// Restores the ids of doors and sets that lost zeros.
pub(crate) fn restore(out: &mut Gathered) {
    let cells = std::mem::take(&mut out.number_cells);
    by_neighbours(&cells, out);
    by_counting(&cells, out);
    by_headings(out);
    sets(out);
    dated_sets(out);
}

/// An id without the zeros that a number cannot keep: those before it and those behind its point.
fn bare(id: &str) -> Option<String> {
    let folded = plain(id);
    if folded.is_empty() || !folded.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') {
        return None;
    }
    let (whole, rest) = folded.split_once('.').unwrap_or((&folded, ""));
    let (whole, rest) = (whole.trim_start_matches('0'), rest.trim_end_matches('0'));
    Some(if rest.is_empty() { whole.to_string() } else { format!("{whole}.{rest}") })
}

fn tell(opening: &mut Opening, id: String, why: &str, place: &Place, findings: &mut Vec<Finding>) {
    let says = format!(
        "the door number {} lost a zero in the spreadsheet program; {why}, so it was read as {id}",
        opening.number
    );
    findings.push(
        Finding { openings: vec![id.clone()], ..Finding::new("lost-zero", Kind::Assumption, Weight::Reading, says) }
            .at(place.clone(), opening.number.clone())
            .help("check the number against the plans; format the column as text before typing"),
    );
    opening.number = id;
}

/// Numbers one figure shorter than the texts of the same column that begin with a zero.
fn by_neighbours(cells: &[NumberCell], out: &mut Gathered) {
    let mut widths: BTreeMap<(Place, usize), usize> = BTreeMap::new();
    let sheet_of = |place: &Place| Place { row: 0, column: None, ..place.clone() };
    for cell in cells.iter().filter(|cell| !cell.number || out.schedule.openings[cell.opening].number.starts_with('0'))
    {
        let number = &out.schedule.openings[cell.opening].number;
        if number.starts_with('0') && number.bytes().all(|byte| byte.is_ascii_digit()) {
            *widths.entry((sheet_of(&out.schedule.openings[cell.opening].place), number.len())).or_default() += 1;
        }
    }
    if widths.is_empty() {
        return;
    }
    // Texts of the same length without a zero say that such numbers have none: then only those of the same hundred count.
    let hundred = |number: &str| number.parse::<u64>().ok().map(|number| number / 100);
    let mut plain_texts: BTreeSet<(Place, usize)> = BTreeSet::new();
    let mut hundreds: BTreeSet<(Place, Option<u64>)> = BTreeSet::new();
    for cell in cells.iter().filter(|cell| !cell.number) {
        let opening = &out.schedule.openings[cell.opening];
        if opening.number.starts_with('0') {
            hundreds.insert((sheet_of(&opening.place), hundred(&opening.number)));
        } else if opening.number.bytes().all(|byte| byte.is_ascii_digit()) {
            plain_texts.insert((sheet_of(&opening.place), opening.number.len()));
        }
    }
    for cell in cells.iter().filter(|cell| cell.number) {
        let schedule = &mut out.schedule;
        let number = schedule.openings[cell.opening].number.clone();
        let digits = number.bytes().all(|byte| byte.is_ascii_digit());
        let opening = &mut schedule.openings[cell.opening];
        let sheet = sheet_of(&opening.place);
        let against = plain_texts.contains(&(sheet.clone(), number.len()));
        if against && !hundreds.contains(&(sheet, hundred(&number))) {
            continue;
        }
        if digits && !number.starts_with('0') && widths.contains_key(&(sheet_of(&opening.place), number.len() + 1)) {
            let place = opening.place.cell(cell.column);
            let why = "others of the column have their zero";
            tell(opening, format!("0{number}"), why, &place, &mut schedule.findings);
        }
    }
}

/// `101.9` and then `101.1`: the second was 101.10.
fn by_counting(cells: &[NumberCell], out: &mut Gathered) {
    for pair in cells.windows(2) {
        let (before, cell) = (&pair[0], &pair[1]);
        let schedule = &mut out.schedule;
        let (above, place) = (&schedule.openings[before.opening].place, &schedule.openings[cell.opening].place);
        if !cell.number || above.sheet != place.sheet || above.file != place.file {
            continue;
        }
        let parts =
            |at: usize| schedule.openings[at].number.split_once('.').map(|(a, b)| (a.to_string(), b.to_string()));
        let (Some(last), Some(own)) = (parts(before.opening), parts(cell.opening)) else { continue };
        let (Ok(last_count), Ok(count)) = (last.1.parse::<u32>(), own.1.parse::<u32>()) else { continue };
        if last.0 == own.0 && count > 0 && u64::from(last_count) + 1 == u64::from(count) * 10 {
            let opening = &mut schedule.openings[cell.opening];
            let why = format!("it follows {}.{}", last.0, last.1);
            let place = opening.place.cell(cell.column);
            tell(opening, format!("{}.{count}0", own.0), &why, &place, &mut schedule.findings);
        }
    }
}

/// Doors that a set heading names with the zero.
fn by_headings(out: &mut Gathered) {
    let mut named: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut exact: BTreeSet<String> = BTreeSet::new();
    for entry in out.served.iter().flat_map(|(_, entries, _)| entries) {
        let doors = match entry {
            Entry::Door(door) => vec![door],
            Entry::Range(from, to) => vec![from, to],
        };
        for door in doors {
            exact.insert(plain(door));
            if let Some(bare) = bare(door) {
                named.entry(bare).or_default().insert(plain(door));
            }
        }
    }
    if named.is_empty() {
        return;
    }
    let own: BTreeSet<String> = out.schedule.openings.iter().map(|opening| plain(&opening.number)).collect();
    let schedule = &mut out.schedule;
    for opening in &mut schedule.openings {
        let number = plain(&opening.number);
        if exact.contains(&number) {
            continue;
        }
        let candidates = bare(&number).and_then(|bare| named.get(&bare));
        let missing: Vec<&String> =
            candidates.into_iter().flatten().filter(|door| !own.contains(*door) && door.len() > number.len()).collect();
        if let [door] = missing[..] {
            let place = opening.place.clone();
            tell(opening, door.clone(), "a set heading names it with the zero", &place, &mut schedule.findings);
        }
    }
}

/// Sets of doors that are not defined, but are when a zero or an exponent is given back.
fn sets(out: &mut Gathered) {
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let ids: BTreeSet<String> = out.schedule.sets.iter().map(|set| set.id.clone()).collect();
    if ids.is_empty() {
        return;
    }
    let mut by_number: BTreeMap<String, Vec<&String>> = BTreeMap::new();
    for id in &ids {
        if let Some(number) = number(id) {
            by_number.entry(number).or_default().push(id);
        }
    }
    let mut told: BTreeMap<(String, String), (Vec<String>, Place)> = BTreeMap::new();
    for opening in &mut out.schedule.openings {
        let Some(set) = opening.set.clone().filter(|set| !defined.contains(&loose_id(set))) else { continue };
        let same = number(&set).and_then(|number| by_number.get(&number));
        if let Some([id]) = same.map(Vec::as_slice) {
            opening.set = Some((*id).clone());
            let entry = told.entry((set, (*id).clone())).or_insert_with(|| (Vec::new(), opening.place.clone()));
            entry.0.push(opening.number.clone());
        }
    }
    for ((set, id), (openings, place)) in told {
        let says = format!(
            "the set {set} of the door schedule is defined nowhere, the set {id} is the same number; it was read as {id}"
        );
        out.schedule.findings.push(
            Finding { openings, set: Some(id), ..Finding::new("lost-zero", Kind::Assumption, Weight::Reading, says) }
                .at(place, set)
                .help("check the set id; format the column as text before typing"),
        );
    }
}

/// Sets of doors that are dates and defined nowhere, where a set that no door has is named by the figures of the date: `2-Mar`
/// is set 3-2.
fn dated_sets(out: &mut Gathered) {
    let dated = |opening: &Opening| damage::date_of_id(opening.set.as_deref()?);
    if out.schedule.sets.is_empty() || !out.schedule.openings.iter().any(|opening| dated(opening).is_some()) {
        return;
    }
    let used: BTreeSet<String> =
        out.schedule.openings.iter().filter_map(|opening| opening.set.as_deref()).map(loose_id).collect();
    let named: BTreeSet<usize> = out.served.iter().map(|(set, _, _)| *set).collect();
    let sets = out.schedule.sets.iter().enumerate();
    let of_no_door = sets.filter(|(at, set)| !named.contains(at) && !used.contains(&loose_id(&set.id)));
    let free: Vec<&String> = of_no_door.map(|(_, set)| &set.id).collect();
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let mut told: BTreeMap<(String, String), (Vec<String>, Place)> = BTreeMap::new();
    for opening in &mut out.schedule.openings {
        let Some(set) = opening.set.clone().filter(|set| !defined.contains(&loose_id(set))) else { continue };
        let Some(date) = damage::date_of_id(&set) else { continue };
        let (month, day) = (u32::from(date.month), u32::from(date.day));
        let is_it =
            |id: &&&String| damage::figures_of_id(id).is_some_and(|of| of == (month, day) || of == (day, month));
        if let [id] = free.iter().filter(is_it).collect::<Vec<_>>()[..] {
            opening.set = Some((*id).clone());
            let entry = told.entry((set, (*id).clone())).or_insert_with(|| (Vec::new(), opening.place.clone()));
            entry.0.push(opening.number.clone());
        }
    }
    for ((set, id), (openings, place)) in told {
        let says = format!(
            "the set \"{set}\" of the door schedule is a date and defined nowhere, the set {id} no other door has; it was read as {id}"
        );
        let finding = Finding::new("set-as-exponent", Kind::Assumption, Weight::Reading, says);
        out.schedule.findings.push(
            Finding { openings, set: Some(id), ..finding }
                .at(place, set)
                .help("check the set id; format the column as text"),
        );
    }
}

/// The number that a spreadsheet program makes of an id: `1E2` is 100, `1.10` is 1.1.
fn number(id: &str) -> Option<String> {
    let folded = plain(id);
    let Some((digits, power)) = folded.split_once('E') else { return bare(&folded) };
    let power: usize = power.parse().ok().filter(|power| *power <= 9)?;
    let whole = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    whole.then(|| format!("{}{}", digits.trim_start_matches('0'), "0".repeat(power)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_compared_as_the_numbers_they_became() {
        assert_eq!(bare("0701"), bare("701"));
        assert_eq!(bare("101.10"), bare("101.1"));
        assert_ne!(bare("101.01"), bare("101.1"));
        assert_eq!(bare("101A"), None);
        assert_eq!(number("1E2").as_deref(), Some("100"));
        assert_eq!(number("1.10"), number("1.1"));
        assert_eq!(number("E01"), None);
    }
}
