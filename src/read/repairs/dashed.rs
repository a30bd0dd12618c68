//! Door numbers with a dash where many of a column are written so: `103-110` may be the doors from 103 to 110, or the door
//! between two rooms, or a door of a building.

use std::collections::BTreeMap;

use crate::read::openings::doorlist::{self, Entry};

/// The ends of ranges, told apart by what stands before and behind their numbers: `201A-210A`.
type Ends = (String, String, u32, u32);

/// Whether the numbers of a column that have a dash are ranges for sure: a list among them, `301-304, 306-310`, says so, each
/// ends higher than it begins, no two of them overlap, some have doors between their ends, and no other number of the column
/// lies in one. Without such a list they may be doors between two rooms, and are asked.
pub(crate) fn are_ranges<'t>(column: impl IntoIterator<Item = &'t str>) -> bool {
    let (mut ranges, mut doors): (Vec<Ends>, Vec<(String, String, u32)>) = Default::default();
    let (mut listed, mut dashed) = (false, Vec::new());
    for text in column {
        let Some(entries) = doorlist::parse(text) else { continue };
        let parted = entries.len() > 1;
        for entry in &entries {
            match entry {
                Entry::Range(from, to) => {
                    let Some(((stem, first, tail), (_, last, _))) = doorlist::split(from).zip(doorlist::split(to))
                    else {
                        return false;
                    };
                    listed |= parted;
                    // `113A-C` counts letters: no number lies between.
                    if first < last {
                        ranges.push((stem, tail, first, last));
                    }
                }
                Entry::Door(door) => {
                    dashed.extend(door.contains('-').then(|| stem_of(door)));
                    doors.extend(doorlist::split(door).map(|(stem, number, tail)| (stem, tail, number)));
                }
            }
        }
    }
    let mut by_form: BTreeMap<(&str, &str), Vec<(u32, u32)>> = BTreeMap::new();
    for (stem, tail, first, last) in &ranges {
        by_form.entry((stem, tail)).or_default().push((*first, *last));
    }
    let apart = by_form.values_mut().all(|ranges| {
        ranges.sort_unstable();
        ranges.windows(2).all(|two| two[0].1 < two[1].0)
    });
    let holds = |(stem, tail, number): &(String, String, u32)| {
        let inside = |(first, last): &(u32, u32)| (first..=last).contains(&number);
        by_form.get(&(stem.as_str(), tail.as_str())).is_some_and(|ranges| ranges.iter().any(inside))
    };
    // The door between rooms 101 and 102 has no room between them.
    let wide = ranges.iter().filter(|(.., first, last)| last - first > 1).count();
    // `S1-2` is the door of a stair; `100-1` beside `103-110` is of their form.
    let formed = dashed.iter().any(|stem: &String| by_form.keys().any(|(of, _)| of == stem));
    !ranges.is_empty() && !formed && apart && !doors.iter().any(holds) && wide * 2 > ranges.len() && listed
}

/// What stands before the figures of a number.
fn stem_of(door: &str) -> String {
    doorlist::split(door).map(|(stem, ..)| stem).unwrap_or_default()
}

/// The cells of a column that may be ranges or numbers, to be asked: none where an end comes twice, or numbers with a dash that
/// are no ranges have their form.
pub(crate) fn may_be_ranges<'t>(dashed: &[&'t str]) -> Vec<&'t str> {
    let (mut ranges, mut cells, mut stems, mut numbers) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for text in dashed {
        match doorlist::parse(text).as_deref() {
            Some([range @ Entry::Range(from, _)]) => {
                stems.push(stem_of(from));
                ranges.push(range.clone());
                cells.push(*text);
            }
            Some([Entry::Door(door)]) => numbers.push(stem_of(door)),
            _ => {}
        }
    }
    let formed = numbers.iter().any(|stem| stems.contains(stem));
    if formed || doorlist::share_ends(&ranges) { Vec::new() } else { cells }
}

#[cfg(test)]
mod tests {
    use super::are_ranges;

    #[test]
    fn ranges_are_told_from_numbers_with_a_dash() {
        let sure: [&[&str]; 4] = [
            &["101", "102", "103-110", "201-210", "201A-210A", "301-304, 306-310"],
            &["103-110", "201-210", "301-304, 306-310"],
            &["A1", "A2-A9", "B1, B3-B9"],
            &["101", "103-110", "112-114, 116", "S1-2, S2-2", "S1-3"],
        ];
        for column in sure {
            assert!(are_ranges(column.iter().copied()), "{column:?}");
        }
        let not: [&[&str]; 10] = [
            &["100-101", "100-102", "101-103"],
            &["101-102", "103-104", "105"],
            &["101", "104", "103-110", "201-210"],
            &["1-101", "1-102", "2-201"],
            &["12-34", "15-27", "31-45", "11"],
            &["101", "103-110", "100-1"],
            &["103-110", "201-210"],
            &["101-108", "201-208", "301-308", "100"],
            &["100", "102-105", "110-114"],
            &["12-14", "16-18", "20-24", "30"],
        ];
        for column in not {
            assert!(!are_ranges(column.iter().copied()), "{column:?}");
        }
    }
}
