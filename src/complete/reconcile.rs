//! Which doors a set serves. The set named in the door schedule counts, and so do the doors named under the set's
//! heading; numbers are compared loosely (`04` is `4`, case and spaces do not matter), and what does not agree is kept
//! for the rules that ask about it.

use std::collections::BTreeMap;

use crate::read::schedule::{Opening, Schedule};

/// Who serves whom, and what does not agree.
#[derive(Debug, Clone, Default)]
pub struct Matching {
    /// Doors of each set, by index, in the order of the door schedule.
    pub served: Vec<Vec<usize>>,
    /// Doors whose set is not defined: set as written → openings.
    pub undefined: BTreeMap<String, Vec<usize>>,
    /// Counted doors without a set.
    pub without_set: Vec<usize>,
    /// Doors that the door schedule and a set heading give to different sets: opening, set that got it, set that did not.
    pub disputed: Vec<(usize, usize, usize)>,
    /// Numbers under a set heading that no door has: set, numbers.
    pub unknown: BTreeMap<usize, Vec<String>>,
    /// Numbers that stand more than once.
    pub twice: BTreeMap<String, Vec<usize>>,
    /// Set ids that stand more than once: indexes.
    pub sets_twice: BTreeMap<String, Vec<usize>>,
}

/// An id for comparing: capitals, no spaces, no leading zeros in runs of digits.
pub fn loose(id: &str) -> String {
    let mut key = String::new();
    let mut in_number = false;
    let mut letters = id.trim().chars().filter(|c| !c.is_whitespace() && *c != '#').peekable();
    while let Some(letter) = letters.next() {
        if letter == '0' && !in_number && letters.peek().is_some_and(char::is_ascii_digit) {
            continue;
        }
        in_number = letter.is_ascii_digit() || (in_number && letter == '.');
        key.extend(letter.to_uppercase());
    }
    key.trim_end_matches('.').to_owned()
}

/// The id as it stands, but for capitals and spaces.
fn exact(id: &str) -> String {
    id.chars().filter(|sign| !sign.is_whitespace()).flat_map(char::to_uppercase).collect()
}

/// `1.0` and `2.00` are whole numbers that a spreadsheet program gave a point: 1 and 2.
fn whole(id: &str) -> String {
    let key = loose(id);
    match key.split_once('.') {
        Some((number, zeros))
            if !number.is_empty()
                && number.bytes().all(|sign| sign.is_ascii_digit())
                && zeros.bytes().all(|sign| sign == b'0') =>
        {
            number.to_owned()
        }
        _ => key,
    }
}

/// The same without signs: the last try. A sign between figures stays, for 1.0 is not 10 and 1-1 is not 11.
fn bare(id: &str) -> String {
    let signs: Vec<char> = id.chars().collect();
    let is_figure = |at: Option<usize>| at.and_then(|at| signs.get(at)).is_some_and(char::is_ascii_digit);
    let kept = signs.iter().enumerate().filter_map(|(at, sign)| {
        let between = matches!(sign, '.' | '-') && is_figure(at.checked_sub(1)) && is_figure(Some(at + 1));
        if between { Some(*sign) } else { sign.is_ascii_alphanumeric().then_some(*sign) }
    });
    whole(&kept.collect::<String>())
}

/// Index by the id as it stands, then by what may be written otherwise where only one is meant.
struct Index {
    as_written: Vec<String>,
    exact: BTreeMap<String, Vec<usize>>,
    loose: BTreeMap<String, Vec<usize>>,
    whole: BTreeMap<String, Vec<usize>>,
    bare: BTreeMap<String, Vec<usize>>,
}

impl Index {
    fn of<'a>(ids: impl Iterator<Item = &'a str>) -> Index {
        let mut index = Index {
            as_written: Vec::new(),
            exact: BTreeMap::new(),
            loose: BTreeMap::new(),
            whole: BTreeMap::new(),
            bare: BTreeMap::new(),
        };
        for (at, id) in ids.enumerate() {
            index.as_written.push(exact(id));
            index.exact.entry(exact(id)).or_default().push(at);
            index.loose.entry(loose(id)).or_default().push(at);
            index.whole.entry(whole(id)).or_default().push(at);
            index.bare.entry(bare(id)).or_default().push(at);
        }
        index
    }

    fn find(&self, id: &str) -> &[usize] {
        if let Some(found) = self.exact.get(&exact(id)) {
            return found;
        }
        // Where 01 and 1 both stand, 001 is neither; one that stands twice is one.
        let is_one = |found: &[usize]| found.windows(2).all(|two| self.as_written[two[0]] == self.as_written[two[1]]);
        if let Some(found) = self.loose.get(&loose(id)) {
            return if is_one(found) { found } else { &[] };
        }
        if let Some(found) = self.whole.get(&whole(id)) {
            return if is_one(found) { found } else { &[] };
        }
        match self.bare.get(&bare(id)) {
            Some(found) if found.len() == 1 && !bare(id).is_empty() => found,
            _ => &[],
        }
    }
}

/// Adds a door for every number under a set heading, when there is no door schedule at all.
pub fn add_named_doors(schedule: &mut Schedule) {
    if !schedule.openings.is_empty() {
        return;
    }
    let mut seen = std::collections::BTreeSet::new();
    for set in &schedule.sets {
        for number in &set.openings {
            if seen.insert(loose(number)) {
                schedule.openings.push(Opening::bare(number, &set.id, set.place.clone()));
            }
        }
    }
}

/// Matches doors and sets.
pub fn reconcile(schedule: &Schedule) -> Matching {
    let sets = Index::of(schedule.sets.iter().map(|set| set.id.as_str()));
    let doors = Index::of(schedule.openings.iter().map(|opening| opening.number.as_str()));
    let mut matching = Matching { served: vec![Vec::new(); schedule.sets.len()], ..Matching::default() };
    let mut owner: BTreeMap<usize, usize> = BTreeMap::new();
    let mut by_schedule: Vec<usize> = Vec::new();
    for (index, opening) in schedule.openings.iter().enumerate() {
        let Some(id) = opening.set.as_deref().filter(|id| !id.trim().is_empty()) else { continue };
        match sets.find(id) {
            // A set that is defined twice serves the door once; the doubling is asked about.
            [first, ..] => {
                owner.insert(index, *first);
                by_schedule.push(index);
            }
            [] if opening.excluded.is_none() => {
                matching.undefined.entry(id.trim().to_owned()).or_default().push(index);
            }
            [] => {}
        }
    }
    for (set, hardware) in schedule.sets.iter().enumerate() {
        for number in &hardware.openings {
            let found = doors.find(number);
            if found.is_empty() {
                matching.unknown.entry(set).or_default().push(number.clone());
            }
            for door in found {
                match owner.get(door) {
                    None => {
                        owner.insert(*door, set);
                    }
                    Some(other) if *other != set && exact(&schedule.sets[*other].id) != exact(&hardware.id) => {
                        matching.disputed.push((*door, *other, set));
                    }
                    Some(_) => {}
                }
            }
        }
    }
    // A door whose set is not defined may still be named under a heading; then it has one.
    for openings in matching.undefined.values_mut() {
        openings.retain(|opening| !owner.contains_key(opening));
    }
    matching.undefined.retain(|_, openings| !openings.is_empty());
    for (door, set) in &owner {
        matching.served[*set].push(*door);
    }
    matching.without_set = schedule
        .openings
        .iter()
        .enumerate()
        .filter(|(index, opening)| {
            opening.excluded.is_none()
                && !owner.contains_key(index)
                && opening.set.as_deref().is_none_or(|set| set.trim().is_empty())
        })
        .map(|(index, _)| index)
        .collect();
    matching.twice = doors.loose.into_iter().filter(|(number, found)| found.len() > 1 && !number.is_empty()).collect();
    matching.sets_twice = sets.exact.into_iter().filter(|(id, found)| found.len() > 1 && !id.is_empty()).collect();
    matching
}

#[cfg(test)]
mod tests {
    use super::{Index, loose};

    #[test]
    fn ids_are_compared_loosely() {
        for (one, two) in [("04", "4"), ("12a", "12 A"), ("HW-003", "hw-3"), ("#7", "7"), ("E01", "e1")] {
            assert_eq!(loose(one), loose(two), "{one} {two}");
        }
        for (one, two) in [("4", "40"), ("1-1", "11"), ("101.10", "101.1"), ("0", "")] {
            assert_ne!(loose(one), loose(two), "{one} {two}");
        }
    }

    #[test]
    fn the_id_as_it_stands_goes_before_what_is_like_it() {
        for (defined, named, found) in [
            (&["01", "1"][..], "1", &[1][..]),
            (&["01", "1"], "01", &[0]),
            (&["01", "1"], "001", &[]),
            (&["01", "2"], "1", &[0]),
            (&["1", "1"], "01", &[0, 1]),
            (&["1", "10"], "1.0", &[0]),
            (&["1.0", "10.0"], "10", &[1]),
            (&["1.0", "2"], "10", &[]),
            (&["11", "2"], "1.1", &[]),
            (&["11", "2"], "1-1", &[]),
            (&["HW-4", "5"], "HW4", &[0]),
            (&["2.1", "2.10"], "2.10", &[1]),
        ] {
            assert_eq!(Index::of(defined.iter().copied()).find(named), found, "{named} of {defined:?}");
        }
    }
}
