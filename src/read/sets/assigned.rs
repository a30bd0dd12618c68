//! Sentences that give doors their set: `The following doors shall receive Hardware Set 12: 101, 102`, `Provide Set 13 at
//! doors 201 and 202`, `Doors 105-107: Set 3`; and rows that say how many doors a set has, `DR QTY | 2`.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use regex::Regex;

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;
use crate::terms::ReadTerms;

use super::setheading;
use crate::read::counts::types::unnumbered;
use crate::read::openings::doorlist::{self, Entry};
use crate::read::openings::doors::MOST_ALIKE;
use crate::read::openings::leftalone;
use crate::read::reconcile;
use crate::read::schedule::{Opening, Role, Schedule, loose_id};
use crate::read::sheet::Row;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::kinds;
use crate::read::tables::table::Column;
use crate::read::walk::{Gathered, Walker, join_single};
use crate::read::words::{self, plain};

/// Doors that a sentence gives a set, and how many doors sets are said to have.
#[derive(Default)]
pub(crate) struct Assigned {
    /// Set id, doors, where.
    doors: Vec<(String, Vec<Entry>, Place)>,
    /// Set index, count, where.
    counts: Vec<(usize, u32, Place)>,
    /// Sets whose count is the user's.
    given: Vec<usize>,
    /// Doors of which a sentence says that nothing is done to them: doors, why, its words, where.
    left: Vec<LeftAlone>,
    /// Single small numbers that were read as the door of a set and may count its doors: set index, number, where.
    unsure: Vec<(usize, u32, Place)>,
}

type LeftAlone = (Vec<Entry>, Option<String>, String, Place);

impl Assigned {
    /// Takes what a column says of the doors of a set as their count, where it counts them. A number that is read as a door
    /// and may be a count is kept besides.
    pub(crate) fn column(&mut self, set: usize, column: &Column, said: &str, place: &Place) -> bool {
        let sure = column.why == kinds::COUNTS_DOORS;
        if !sure && column.why != kinds::MAY_COUNT_DOORS {
            return false;
        }
        let Ok(count) = said.trim().parse() else { return false };
        if sure {
            self.count(set, count, place.clone());
        } else if !self.unsure.iter().rev().any(|(of, ..)| *of == set) {
            self.unsure.push((set, count, place.clone()));
        }
        sure
    }

    /// Keeps how many doors a set is said to have. A flat table says so in each row of the set: once is enough.
    pub(crate) fn count(&mut self, set: usize, count: u32, place: Place) {
        if !self.counts.iter().rev().any(|(of, known, _)| (*of, *known) == (set, count)) {
            self.counts.push((set, count, place));
        }
    }

    /// Whether some row says how many doors a set has.
    pub(crate) fn counts_doors_of(&self, set: usize) -> bool {
        self.counts.iter().any(|(of, ..)| *of == set)
    }

    /// Follows sets that were taken out of all; `to`: where each stands now, if it does.
    pub(crate) fn moved(&mut self, to: &[Option<usize>]) {
        for counts in [&mut self.counts, &mut self.unsure] {
            counts.retain_mut(|count| to.get(count.0).copied().flatten().map(|at| count.0 = at).is_some());
        }
        self.given.retain_mut(|set| to.get(*set).copied().flatten().map(|at| *set = at).is_some());
    }
}

/// So many sets at least must name one small number each before these are counts of doors.
const FEWEST_COUNTED: usize = 3;

/// The words for a set with its id.
fn set_form() -> String {
    let [kind, hardware, short] = ["hardware-kind", "set-hardware", "words-for-hardware"].map(pattern);
    let [set, number, no] = ["heading-sets", "number-one", "number-short"].map(pattern);
    format!(
        r"(?: (?: (?: (?:{kind})\s+ )? (?:{hardware}) [\s.\-]* )? (?:{set})\b [\s.:\#\-]* (?: (?: (?:{number})\b\.? | \# ) \s* )?
    | (?:{short}) [\s.:\#\-]* (?: (?:{no})\b\.? \s* )? )
    (?P<id> [a-z]{{0,4}}[\-.]?[0-9]{{1,4}}(?:[.\-][0-9]{{1,3}})?[a-z]{{0,2}} | [a-z]\b )"
    )
}

/// The word for doors, before their numbers.
fn doors_form() -> String {
    let [article, following, doors, numbers] = ["article", "doors-following", "doors-named", "numbers-of"].map(pattern);
    format!(
        r"(?: (?:{article})\s+ )? (?: (?:{following})\s+ )? (?:{doors}) \s* (?: (?: (?:{numbers})\b\.? | \# ) \s* )? [:\-]? \s*"
    )
}

/// The phrases of a list as a choice.
fn pattern(list: &str) -> String {
    words::list(list).pattern()
}

static FORMS: LazyLock<Vec<Regex>> = LazyLock::new(|| {
    let (set, doors) = (set_form(), doors_form());
    let [get, provided, at] = ["doors-get", "set-provided", "set-at"].map(pattern);
    let forms = [
        format!(
            r"(?ix)^ [^a-z0-9_]* {doors} (?P<list> [^:]*? ) \s* \b (?:{get}) \b [^:0-9]*? \b {set} \s* [:.\-\u{{2013}}]* \s* (?P<after> .* ) $"
        ),
        format!(r"(?ix)^ [^a-z0-9_]* (?:{provided}) \s+ {set} \s+ [^:0-9]*? \b (?:{at}) \s+ {doors} (?P<list> .+ ) $"),
        format!(
            r"(?ix)^ [^a-z0-9_]* {doors} (?P<list> \S*[0-9][^:=]*? ) \s* [:=\-\u{{2013}}]+ \s* {set} [^a-z0-9_]* $"
        ),
    ];
    forms.iter().filter_map(|form| Regex::new(form).ok()).collect()
});

/// The set and the doors of such a sentence; no doors where they follow in the next rows.
pub(crate) fn sentence(text: &str) -> Option<(String, Vec<Entry>)> {
    let folded = plain(text);
    let speaks = words::list("door-heads").is_within(&folded)
        && ["heading-sets", "words-for-hardware"].iter().any(|list| words::list(list).is_within(&folded));
    if !speaks || text.len() > 2000 {
        return None;
    }
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    FORMS.iter().find_map(|form| {
        let found = form.captures(&straight)?;
        let part = |name| found.name(name).map_or("", |part| part.as_str()).trim().trim_end_matches(['.', ';', ':']);
        let id = found.name("id")?.as_str().to_string();
        match (part("list"), part("after")) {
            ("", "") => folded.ends_with(':').then_some((id, Vec::new())),
            (list, "") | ("", list) => Some((id, doorlist::parse(list)?)),
            _ => None,
        }
    })
}

/// How many doors a row of a set says the set has: `DR QTY | 2`, `No. of doors: 4`.
fn counted(row: &Row) -> Option<u32> {
    let (label, number) = match &row.cells[..] {
        [label, number] => (label.text.as_str(), number.text.as_str()),
        [one] => one.text.rsplit_once([':', '=']).or_else(|| one.text.rsplit_once(' '))?,
        _ => return None,
    };
    // Many a line of goods ends with a number, that of its finish.
    let count = number.trim().parse::<u32>().ok().filter(|count| (1..=5000).contains(count))?;
    let key = headings::key(label);
    let of_doors = || key.split(' ').any(|word| words::list("doors").is(word));
    (headings::exact(&key) == Some(Heard::One(M::Count)) && of_doors()).then_some(count)
}

impl Walker<'_> {
    /// A row that gives doors their set, or a set its number of doors.
    pub(crate) fn assigning(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        if row.cells.len() > 2 {
            self.assign_next = None;
            return None;
        }
        if let Some(role) = self.door_as_other(row, out) {
            return Some(role);
        }
        let text = join_single(&row.cells);
        let place = self.sheet.place(row.number);
        if let Some(id) = self.assign_next.take()
            && let Some(entries) = setheading::bare_list(&text)
        {
            out.assigned.doors.push((id.clone(), entries, place));
            self.assign_next = Some(id);
            return Some(Role::SetOpenings);
        }
        if let Some(set) = self.lanes[lane].set
            && let Some(count) = counted(row)
        {
            out.assigned.count(set, count, place);
            return Some(Role::Note);
        }
        let before_goods = self.lanes[lane].set.is_some_and(|set| out.schedule.sets[set].lines.is_empty());
        if let Some((entries, why)) = leftalone::left_alone(&text).filter(|(_, why)| why.is_some() || !before_goods) {
            out.assigned.left.push((entries, why, text, place));
            return Some(Role::Note);
        }
        let (id, entries) = sentence(&text)?;
        if entries.is_empty() {
            self.assign_next = Some(id);
            return Some(Role::Note);
        }
        out.assigned.doors.push((id, entries, place));
        Some(Role::SetOpenings)
    }
}

/// Takes the numbers of doors that the job file gives sets.
pub(crate) fn given(terms: &[ReadTerms], out: &mut Gathered) -> Result<(), String> {
    for (id, count) in terms.iter().flat_map(|terms| &terms.doors) {
        if *count > MOST_ALIKE {
            return Err(format!(
                "job file, [[read]] doors: set \"{id}\" with {count} doors is more than any job has ({MOST_ALIKE} at most)\n  help: correct the number"
            ));
        }
        let Some(set) = out.schedule.sets.iter().position(|set| loose_id(&set.id) == loose_id(id)) else {
            let known: Vec<&str> = out.schedule.sets.iter().take(20).map(|set| set.id.as_str()).collect();
            return Err(format!(
                "job file, [[read]] doors: no set \"{id}\" was read; read were {}\n  help: write the id as the schedule does",
                if known.is_empty() { "none".to_string() } else { known.join(", ") }
            ));
        };
        let place = out.schedule.sets[set].place.clone();
        // What the user says goes before what the schedule says.
        out.assigned.counts.retain(|(of, ..)| *of != set);
        if out.assigned.unsure.iter().any(|(of, ..)| *of == set) {
            out.assigned.unsure.retain(|(of, ..)| *of != set);
            out.served.retain(|(of, ..)| *of != set);
        }
        out.assigned.counts.push((set, *count, place));
        out.assigned.given.push(set);
    }
    Ok(())
}

/// `OPENINGS: 4` under each of several sets, and no door anywhere: so many doors, none of which has a number yet.
pub(crate) fn counts(out: &mut Gathered) {
    fn count(entries: &[Entry]) -> Option<u32> {
        let [Entry::Door(number)] = entries else { return None };
        number.parse().ok().filter(|count| (1..100).contains(count) && !number.starts_with('0'))
    }
    let plural = |place: &Place| {
        let row = out.schedule.ledger.iter().find(|row| row.place.same_row(place));
        row.is_some_and(|row| {
            let folded = plain(&row.text);
            let mut words = folded.split(|letter: char| !letter.is_alphanumeric());
            words.any(|word| word.ends_with('S') && words::list("doors").is(word))
        })
    };
    let mut sets: Vec<usize> = out.served.iter().map(|(set, ..)| *set).collect();
    sets.dedup();
    let few = sets.len() < FEWEST_COUNTED || sets.len() < out.served.len();
    let all = out.served.iter().all(|(_, entries, place)| count(entries).is_some() && plural(place));
    if few || !all || !out.schedule.openings.is_empty() || !out.assigned.doors.is_empty() {
        return;
    }
    let counted = std::mem::take(&mut out.served).into_iter();
    out.assigned.counts.extend(counted.filter_map(|(set, entries, place)| Some((set, count(&entries)?, place))));
}

/// Doors of sets that are defined join those that set headings name.
pub(crate) fn serve(out: &mut Gathered) {
    let (defined, other): (Vec<_>, Vec<_>) = std::mem::take(&mut out.assigned.doors)
        .into_iter()
        .map(|(id, entries, place)| {
            let set = out.schedule.sets.iter().position(|set| loose_id(&set.id) == loose_id(&id));
            (set, id, entries, place)
        })
        .partition(|(set, ..)| set.is_some());
    for (set, _, entries, place) in defined {
        out.served.extend(set.map(|set| (set, entries, place)));
    }
    out.assigned.doors = other.into_iter().map(|(_, id, entries, place)| (id, entries, place)).collect();
}

/// Doors of sets that no sheet defines, and counts of doors against the doors.
pub(crate) fn settle(had_schedule: bool, out: &mut Gathered) {
    let assigned = std::mem::take(&mut out.assigned);
    let names_doors = !assigned.doors.is_empty() || !assigned.left.is_empty();
    let numbers = out.schedule.openings.iter().filter(|_| names_doors).map(|opening| opening.number.clone());
    let numbers: Vec<String> = numbers.collect();
    let known = doorlist::Known::of(&numbers);
    let mut by_number: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    if names_doors {
        for (at, opening) in out.schedule.openings.iter().enumerate() {
            by_number.entry(plain(&opening.number)).or_default().push(at);
        }
    }
    for (id, entries, place) in assigned.doors {
        reconcile::too_long(&entries, &known, &place, out);
        for door in doorlist::spell_out(&entries, &known) {
            let own = by_number.get(&plain(&door)).cloned().unwrap_or_default();
            own.iter().for_each(|at| reconcile::agree(*at, &id, &place, out));
            if own.is_empty() && had_schedule {
                out.schedule.findings.push(reconcile::not_in_schedule(&door, &id, &place));
            } else if own.is_empty() {
                by_number.insert(plain(&door), vec![out.schedule.openings.len()]);
                out.schedule.openings.push(Opening::bare(&door, &id, place.clone()));
            }
        }
    }
    for (entries, why, words, place) in assigned.left {
        let doors = doorlist::spell_out(&entries, &known);
        for door in doors {
            let own = by_number.get(&plain(&door)).and_then(|own| own.first()).copied();
            if own.is_none() && !had_schedule {
                by_number.insert(plain(&door), vec![out.schedule.openings.len()]);
            }
            leftalone::leave_alone(&door, own, why.clone(), (&words, &place), had_schedule, out);
        }
    }
    if !had_schedule && !assigned.unsure.is_empty() {
        out.schedule.findings.push(doors_or_counts(&assigned.unsure, &out.schedule));
    }
    let without_doors = out.schedule.openings.is_empty() && out.schedule.sets.iter().all(|set| set.openings.is_empty());
    let mut first: Option<Place> = None;
    let mut some: Vec<String> = Vec::new();
    let mut doors_of: BTreeMap<String, u32> = BTreeMap::new();
    for opening in out.schedule.openings.iter().filter(|_| !assigned.counts.is_empty()) {
        if let Some(of) = &opening.set {
            // A door with several sets is a door of each.
            let ids = out.several.get(of).map_or(std::slice::from_ref(of), Vec::as_slice);
            for id in ids {
                let doors = doors_of.entry(loose_id(id)).or_default();
                *doors = doors.saturating_add(opening.count);
            }
        }
    }
    let mut made: BTreeMap<usize, u32> = BTreeMap::new();
    for (set, count, place) in assigned.counts {
        let id = out.schedule.sets[set].id.clone();
        if let Some(known) = made.get(&set) {
            let says = format!("set {id} is said to have {known} doors, and here {count}");
            out.schedule.findings.push(
                Finding {
                    set: Some(id),
                    priced_as: format!("for {known} doors"),
                    ..Finding::new("set-count-disagrees", Kind::Question, Weight::Goods, says)
                }
                .at(place, count.to_string())
                .help("ask how many doors have the set; the first number was counted"),
            );
            continue;
        }
        // What the user counts stands, though other sets name their doors.
        let counts_alone = assigned.given.contains(&set)
            && out.schedule.sets[set].openings.is_empty()
            && !doors_of.contains_key(&loose_id(&id));
        if without_doors || counts_alone {
            made.insert(set, count);
            let made = Opening { count, ..Opening::bare(&format!("set {id}"), &id, place.clone()) };
            out.schedule.openings.push(made);
            first.get_or_insert(place);
            some.push(id);
            continue;
        }
        let doors = doors_of.get(&loose_id(&id)).copied().unwrap_or(0);
        if doors != count {
            let says = format!("set {id} says that it has {count} doors; {doors} doors have it");
            out.schedule.findings.push(
                Finding {
                    set: Some(id),
                    priced_as: format!("for {doors} doors"),
                    ..Finding::new("set-count-disagrees", Kind::Question, Weight::Goods, says)
                }
                .at(place, count.to_string())
                .help("ask which doors have the set; the doors named were counted"),
            );
        }
    }
    if let Some(place) = first {
        let says = if without_doors {
            "no door is named, but how many doors have a set; each set is counted as often as that".to_string()
        } else {
            let sets = some.join(", ");
            format!("no door has the sets that the job file gives a number of doors ({sets}); each is counted as often")
        };
        out.schedule.findings.push(unnumbered(&says, place));
    }
}

/// Asks whether the one small number of each set is its door or counts its doors.
fn doors_or_counts(unsure: &[(usize, u32, Place)], schedule: &Schedule) -> Finding {
    let each = |(set, number, _): &(usize, u32, Place)| format!("{number} (set {})", schedule.sets[*set].id);
    let some: Vec<String> = unsure.iter().take(8).map(each).collect();
    let more = if unsure.len() > some.len() { " and more" } else { "" };
    let says = format!(
        "each set has one small number, {}{more}: read as the door that has it; it may be how many doors have it",
        some.join(", ")
    );
    Finding {
        openings: unsure.iter().map(|(_, number, _)| number.to_string()).collect(),
        priced_as: "one door a set".into(),
        ..Finding::new("doors-or-counts", Kind::Question, Weight::Goods, says)
    }
    .at(unsure[0].2.clone(), unsure[0].1.to_string())
    .help("ask for the door schedule; where they are counts, write them in the job file, [[read]] doors = { SET = COUNT }")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_give_doors_their_set() {
        for (text, id, doors) in [
            ("The following doors shall receive Hardware Set 12: 101, 102, 105 thru 107", "12", 3),
            ("Provide Hardware Set 13 at doors 201 and 202.", "13", 2),
            ("Doors 101, 102 and 105-107 shall receive hardware set B-2.", "B-2", 3),
            ("Doors 101-104: Set 3", "3", 1),
            ("Openings 110, 111 to have HW-5", "5", 2),
            ("All of the following doors shall receive Hardware Set 12:", "12", 0),
            ("The following doors shall receive Hardware Set 12:", "12", 0),
        ] {
            let found = sentence(text);
            if text.starts_with("All") {
                assert_eq!(found, None, "{text}");
                continue;
            }
            let (set, entries) = found.unwrap_or_else(|| panic!("{text}"));
            assert_eq!((set.as_str(), entries.len()), (id, doors), "{text}");
        }
        for text in [
            "Doors shall have hardware",
            "HARDWARE SET 4 (DOORS 101, 102)",
            "Door closer to match set 3",
            "DOORS: 101, 102",
            "All doors to have hardware as scheduled",
        ] {
            assert_eq!(sentence(text), None, "{text}");
        }
    }
}
