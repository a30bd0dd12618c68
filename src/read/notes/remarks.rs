//! Remarks of doors that speak of hardware: goods that their sets do not have, goods that they take out, what they change,
//! what is there already. What a remark may speak of stands in `catalogs/trade/schedule-words.csv`: a list `remark:KIND`
//! for each kind of goods, `named:KIND` for how sets write it besides, and one for all else.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::trade::facts;

use super::remarkwords::{asked_in_other_words, finish_of_hardware, marked, of_others};
use crate::read::goods::itemtext;
use crate::read::memo::ByText;
use crate::read::openings::doorlist;
use crate::read::schedule::{Line, Note, Opening, Schedule, loose_id};
use crate::read::sets::setheading;
use crate::read::words::{self, plain};

const IN_REMARKS: &str = "hardware-in-remarks";
const TAKEN_OUT: &str = "remark-takes-out";
const CHANGES: &str = "remark-changes-set";
const EXISTING: &str = "existing-in-remarks";

/// The codes of what is said here.
pub(crate) const CODES: [&str; 4] = [IN_REMARKS, TAKEN_OUT, CHANGES, EXISTING];

/// What one text of remarks speaks of.
#[derive(Default)]
struct Speaks {
    wanted: Vec<Wanted>,
    /// The parts that change goods of the set.
    changes: Vec<Changes>,
    /// Words for what is there already.
    existing: bool,
}

/// A part of a remark that changes goods of the set.
struct Changes {
    part: String,
    /// Goods that stay ours where the rest is another's: `hardware by storefront supplier except cylinders`.
    left: Vec<Wanted>,
}

/// A kind of hardware that a remark names.
pub(crate) struct Wanted {
    pub kind: String,
    /// What sets call it.
    pub named: Vec<&'static words::WordList>,
    /// The remark takes it out.
    pub is_out: bool,
    /// The remark gives it to another trade: to be asked about where the set has it.
    pub of_others: bool,
}

impl Wanted {
    /// Whether the lines of a set name it.
    pub fn is_in(&self, lines: &str) -> bool {
        let stem = self.kind.to_uppercase();
        if self.named.is_empty() {
            return lines.contains(stem.trim_end_matches('S'));
        }
        self.named.iter().any(|list| list.find(lines).is_some())
    }
}

/// What is gathered over the doors.
#[derive(Default)]
struct Told {
    /// One question for each kind of hardware, whatever sets its doors have.
    asked: BTreeMap<String, Vec<usize>>,
    /// What remarks take out, by the kind of hardware, whatever sets its doors have.
    out: BTreeMap<String, Vec<usize>>,
    /// What remarks change, by the parts that do, whatever sets their doors have.
    changes: BTreeMap<String, Vec<usize>>,
    existing: Vec<usize>,
}

/// Says what the remarks of the doors speak of.
pub(crate) fn tell(schedule: &mut Schedule) {
    let texts = lines_of_sets(schedule);
    let counted_texts = lines_that(schedule, |line| line.excluded.is_none() && !of_another(&line.wording.text));
    let mut told = Told::default();
    let mut known: ByText<Speaks> = ByText::default();
    let kinds = kinds();
    let counted = |opening: &&Opening| !opening.remarks.is_empty() && opening.excluded.is_none();
    for (index, opening) in schedule.openings.iter().enumerate().filter(|(_, opening)| counted(opening)) {
        // Remarks repeat: each is looked through once.
        if !known.contains_key(&opening.remarks) {
            known.insert(opening.remarks.clone(), speaks(&opening.remarks, &kinds));
        }
        let Some(speaks) = known.get(&opening.remarks) else { continue };
        if speaks.existing {
            told.existing.push(index);
        }
        if speaks.changes.is_empty() && speaks.wanted.is_empty() {
            continue;
        }
        let id = opening.set.as_deref().map(loose_id).unwrap_or_default();
        let lines = texts.get(&id).map(String::as_str).unwrap_or_default();
        // A set that lists what is left to us was written with the remark in mind.
        let is_met = |change: &&Changes| !change.left.is_empty() && change.left.iter().all(|one| one.is_in(lines));
        let parts: Vec<&str> =
            speaks.changes.iter().filter(|change| !is_met(change)).map(|change| change.part.as_str()).collect();
        if !parts.is_empty() {
            told.changes.entry(parts.join(", ")).or_default().push(index);
        }
        let ours = counted_texts.get(&id).map(String::as_str).unwrap_or_default();
        for wanted in &speaks.wanted {
            let taken = wanted.is_out || wanted.of_others;
            if taken && wanted.is_in(ours) {
                told.out.entry(wanted.kind.clone()).or_default().push(index);
            } else if !taken && !wanted.is_in(lines) {
                told.asked.entry(wanted.kind.clone()).or_default().push(index);
            }
        }
    }
    let out = told.out.iter().map(|(kind, doors)| taken(kind, doors, schedule));
    let changes = told.changes.values().map(|doors| changed(doors, schedule));
    let asked = told.asked.iter().map(|(kind, doors)| asked(kind, doors, schedule));
    let noted = told_by_notes(schedule);
    let findings: Vec<Finding> =
        out.chain(noted).chain(changes).chain(asked).chain(existing(&told.existing, schedule)).collect();
    schedule.findings.extend(findings);
}

/// What the lines of each set say, by its id.
pub(crate) fn lines_of_sets(schedule: &Schedule) -> BTreeMap<String, String> {
    lines_that(schedule, |_| true)
}

/// `Card reader by owner`: a line that counts for nothing.
fn of_another(text: &str) -> bool {
    let padded = format!(" {}", plain(text));
    words::list("line-out").find(&padded).is_some()
        || itemtext::by_whom(&padded).is_some_and(|whom| words::list("by-us").find(whom).is_none())
}

fn lines_that(schedule: &Schedule, count: impl Fn(&Line) -> bool) -> BTreeMap<String, String> {
    let mut texts: BTreeMap<String, String> = BTreeMap::new();
    for set in &schedule.sets {
        let text = texts.entry(loose_id(&set.id)).or_default();
        for line in set.lines.iter().filter(|line| count(line)) {
            text.push_str(&plain(&line.wording.text));
            text.push_str(" , ");
        }
        text.push_str(&plain(&set.title));
    }
    texts
}

/// A kind of goods, the words for it in remarks, and those in sets besides.
pub(crate) type KindOfGoods = (&'static str, &'static words::WordList, &'static words::WordList);

pub(crate) fn kinds() -> Vec<KindOfGoods> {
    let named = |(kind, list): (&'static str, _)| (kind, list, words::list(&format!("named:{kind}")));
    words::uses("remark:").into_iter().map(named).collect()
}

/// Looks through a text of remarks, part by part.
fn speaks(remarks: &str, kinds: &[KindOfGoods]) -> Speaks {
    // `ADD 1 EA. EXIT ALARM` is one sentence.
    let folded = plain(remarks).replace(" EA. ", " EA ");
    let mut speaks = Speaks { existing: words::list("remark-existing").find(&folded).is_some(), ..Speaks::default() };
    for part in folded.split([',', ';']).flat_map(itemtext::sentences) {
        // `HARDWARE / REPLACE: X`: a column of marks, not words of the remark.
        let label = marked(part);
        let state = |label: &str| words::list("state-of-part").is(label.rsplit('/').next().unwrap_or_default().trim());
        if label.is_some_and(state) {
            continue;
        }
        // `ACCESS CONTROL DOOR CONTACT: Y`: the last of the words says what is marked, before them stands the group.
        let ends = |list: &words::WordList| {
            label.is_some_and(|label| list.all(label).last().is_some_and(|found| label.ends_with(found)))
        };
        let own = kinds.iter().any(|(_, list, _)| ends(list));
        let mut found: Vec<Wanted> = Vec::new();
        for (kind, list, named) in kinds.iter().filter(|(_, list, _)| !own || ends(list)) {
            if let Some(at) = list.find(part) {
                let named = vec![*list, *named];
                found.push(Wanted { kind: (*kind).to_string(), named, is_out: takes_out(part, at), of_others: false });
            }
        }
        let other = words::list("remark-hardware").find(part);
        let function =
            words::list("remark-function").find(part).is_some() && words::list("remark-lock").find(part).is_some();
        let change = words::list("remark-change").find(part).is_some() && (other.is_some() || !found.is_empty());
        if function || change || finish_of_hardware(part) {
            let is_supply = words::list("by-whom").find(part).is_some();
            let left = if is_supply && !function { found } else { Vec::new() };
            speaks.changes.push(Changes { part: part.trim().to_owned(), left });
            continue;
        }
        if of_others(part) {
            found.iter_mut().for_each(|wanted| wanted.of_others = true);
        }
        if let Some(at) = other.filter(|_| found.is_empty()) {
            found.push(Wanted {
                kind: at.to_lowercase(),
                named: Vec::new(),
                is_out: takes_out(part, at),
                of_others: of_others(part) && words::list("by-us").find(part).is_none(),
            });
        }
        let words = if found.is_empty() && label.is_none() { asked_in_other_words(part) } else { None };
        found.extend(words.map(|kind| Wanted { kind, named: Vec::new(), is_out: false, of_others: false }));
        for wanted in found {
            if !speaks.wanted.iter().any(|known| known.kind == wanted.kind) {
                speaks.wanted.push(wanted);
            }
        }
    }
    if !speaks.changes.is_empty() {
        // What stands beside a change is told with it, unless it is added: `omit lock, use passage set`.
        speaks.wanted.retain(|wanted| !wanted.is_out);
    }
    speaks
}

/// Whether words such as DELETE or NO stand shortly before what was found in a remark, in the same part of it, or words such
/// as NOT ALLOWED behind the first goods of that part.
pub(crate) fn takes_out(folded: &str, found: &str) -> bool {
    let at = words::offset(folded, found);
    let ends = [',', ';', '.', ':', '('];
    let (before, behind) = (&folded[..at], folded.get(at + found.len()..).unwrap_or_default());
    let part = before.rsplit(ends).next().unwrap_or_default();
    let words: Vec<&str> = part.split_whitespace().rev().take(3).collect();
    let lead = words.iter().rev().copied().collect::<Vec<_>>().join(" ");
    let behind = behind.split(ends).next().unwrap_or_default();
    let denied = || {
        words::list("denied-behind").find(behind).is_some_and(|word| words::offset(behind, word) <= NEAR)
            && ["hardware", "remark-hardware"]
                .iter()
                .all(|list| words::list(list).find(&part.replace('-', " ")).is_none())
    };
    words.iter().any(|word| words::list("remark-out").is(word))
        || words::list("do-not").find(&lead).is_some()
        || denied()
}

/// Words that deny goods stand no farther behind them: ` CLOSER IS NOT ALLOWED` behind HOLD-OPEN.
const NEAR: usize = 12;

fn numbers(doors: &[usize], schedule: &Schedule) -> Vec<String> {
    doors.iter().filter_map(|at| schedule.openings.get(*at)).map(|door| door.number.clone()).collect()
}

/// The sets of doors, as they are first written; empty: none.
fn sets_of<'s>(doors: &[usize], schedule: &'s Schedule) -> Vec<&'s str> {
    let mut sets: Vec<&str> = Vec::new();
    let mut known: BTreeSet<String> = BTreeSet::new();
    let openings = doors.iter().filter_map(|index| schedule.openings.get(*index));
    for set in openings.map(|opening| opening.set.as_deref().unwrap_or_default()) {
        if known.insert(loose_id(set)) {
            sets.push(set);
        }
    }
    sets
}

/// Asks about goods that remarks name and sets do not.
fn asked(kind: &str, doors: &[usize], schedule: &Schedule) -> Finding {
    let openings: Vec<&Opening> = doors.iter().filter_map(|index| schedule.openings.get(*index)).collect();
    let sets = sets_of(doors, schedule);
    let says = match sets.as_slice() {
        [] | [""] => format!("a remark asks for \"{kind}\", and the door has no set"),
        [set] => format!("a remark asks for \"{kind}\", which set {set} does not name"),
        several => {
            let named: Vec<&str> = several.iter().map(|set| if set.is_empty() { "none" } else { set }).collect();
            format!("remarks ask for \"{kind}\", which the sets of those doors ({}) do not name", named.join(", "))
        }
    };
    let first = &schedule.openings[doors[0]];
    Finding {
        openings: numbers(doors, schedule),
        set: first.set.clone().filter(|_| sets.len() == 1),
        priced_as: "nothing for it".into(),
        answers: asked_goods(kind, &openings),
        ..Finding::new(IN_REMARKS, Kind::Question, Weight::Goods, says)
    }
    .at(first.place.clone(), first.remarks.clone())
    .help("ask whether the set lacks it or another trade supplies it")
}

/// The category that is named so: `electric strikes`, `door viewer`.
pub(crate) fn category_named(kind: &str) -> Option<Category> {
    kind.trim_end_matches('s').trim_start_matches("door ").replace(' ', "-").parse().ok()
}

/// The answers to whether goods that a remark asks for are ours; none where the words name no one kind of goods.
pub(crate) fn asked_goods(kind: &str, doors: &[&Opening]) -> Vec<Answer> {
    let Some(category) = category_named(kind) else { return Vec::new() };
    let each_leaf = facts::of(category).is_some_and(|facts| facts.basis == "leaf")
        && !doors.iter().all(|door| of_one_leaf(door, kind));
    let of_door = |door: &&Opening| if each_leaf { door.count.saturating_mul(door.leaves) } else { door.count };
    let quantity = Decimal::from(doors.iter().map(of_door).fold(0, u32::saturating_add));
    let add = Effect::Add { category, attributes: Attributes::new(), quantity };
    let words = if each_leaf { "ours: one for each leaf" } else { "ours: one for each of these doors" };
    vec![Answer::new("by others, or in the set under another name", Effect::Nothing), Answer::new(words, add)]
}

/// Whether the remark of a door that asks for goods has them on one of its leaves: `AUTO OPERATOR ON ONE LEAF`.
fn of_one_leaf(door: &Opening, kind: &str) -> bool {
    let (folded, kind) = (plain(&door.remarks), plain(kind));
    let mut parts = folded.split([',', ';', '\n']);
    parts.any(|part| part.contains(kind.as_str()) && words::list("one-leaf").find(part).is_some())
}

/// Asks about goods of a set that remarks take out.
fn taken(kind: &str, doors: &[usize], schedule: &Schedule) -> Finding {
    let first = &schedule.openings[doors[0]];
    let sets = sets_of(doors, schedule);
    let says = match sets.as_slice() {
        [set] => format!("a remark takes \"{kind}\" out, which set {set} has"),
        several => format!("remarks take \"{kind}\" out, which the sets of those doors ({}) have", several.join(", ")),
    };
    Finding {
        openings: numbers(doors, schedule),
        set: first.set.clone().filter(|_| sets.len() == 1),
        priced_as: "as the set is written".into(),
        ..Finding::new(TAKEN_OUT, Kind::Question, Weight::Goods, says)
    }
    .at(first.place.clone(), first.remarks.clone())
    .help("ask whether these doors have the goods, and give them a set of their own if not")
}

/// Asks about goods that a note under their set takes out, for the doors that it names: `OMIT KICK PLATE AT DOOR 111`.
pub(crate) fn told_by_notes(schedule: &Schedule) -> Vec<Finding> {
    let kinds = kinds();
    let texts = lines_that(schedule, |line| line.excluded.is_none());
    let mut findings = Vec::new();
    for set in &schedule.sets {
        let lines = texts.get(&loose_id(&set.id)).map(String::as_str).unwrap_or_default();
        let takes =
            |note: &&Note| itemtext::is_set_note(&plain(&note.text)) || setheading::same_as(&note.text).is_some();
        for note in set.notes.iter().filter(takes) {
            for kind in taken_out(&note.text, &kinds, lines) {
                let says = format!("a note takes \"{kind}\" out, which set {} has", set.id);
                let finding = Finding {
                    openings: doors_of(&note.text, schedule),
                    set: Some(set.id.clone()),
                    priced_as: "as the set is written".into(),
                    ..Finding::new(TAKEN_OUT, Kind::Question, Weight::Goods, says)
                };
                let finding = finding.at(note.place.clone(), note.text.clone());
                findings.push(finding.help("ask which doors have the goods, and give the others a set of their own"));
            }
        }
    }
    findings
}

/// The kinds of goods that a note takes out of lines: behind `omit` all that its part names, `delete threshold, weatherstrip &
/// sweep`, up to words that add some.
fn taken_out(text: &str, kinds: &[KindOfGoods], lines: &str) -> Vec<String> {
    let folded = plain(text);
    let mut taken: Vec<String> = Vec::new();
    for part in folded.split([';', '(', ')']).flat_map(|part| part.split(". ")) {
        let Some(out) = words::list("remark-out").find(part) else { continue };
        let behind = &part[words::offset(part, out)..];
        let end = words::list("note-asks").find(behind).map_or(behind.len(), |word| words::offset(behind, word));
        let behind = &behind[..end];
        let named = kinds.iter().filter(|(_, list, _)| list.find(behind).is_some());
        let mut wanted: Vec<Wanted> = named
            .map(|(kind, list, named)| Wanted {
                kind: (*kind).to_string(),
                named: vec![list, named],
                is_out: true,
                of_others: false,
            })
            .collect();
        let other = words::list("remark-hardware").find(behind).filter(|_| wanted.is_empty());
        wanted.extend(other.map(|at| Wanted {
            kind: at.to_lowercase(),
            named: Vec::new(),
            is_out: true,
            of_others: false,
        }));
        for one in wanted.into_iter().filter(|one| one.is_in(lines)) {
            if !taken.contains(&one.kind) {
                taken.push(one.kind);
            }
        }
    }
    taken
}

/// The doors that a note names behind the word for them.
fn doors_of(text: &str, schedule: &Schedule) -> Vec<String> {
    let folded = plain(text);
    let Some(word) = words::list("doors").find(&folded) else { return Vec::new() };
    let list = &folded[words::offset(&folded, word) + word.len()..];
    let entries = doorlist::parse(list.trim_matches([' ', ':', '#', '.'])).unwrap_or_default();
    let named = |number: &String| schedule.openings.iter().any(|door| door.number == *number);
    let door = |entry| match entry {
        doorlist::Entry::Door(number) => Some(number),
        doorlist::Entry::Range(..) => None,
    };
    entries.into_iter().filter_map(door).filter(named).collect()
}

/// Asks about goods of a set that a remark changes.
fn changed(doors: &[usize], schedule: &Schedule) -> Finding {
    let first = &schedule.openings[doors[0]];
    let sets = sets_of(doors, schedule);
    let says = match sets.as_slice() {
        [] | [""] => format!("a remark speaks of hardware, and the door has no set: \"{}\"", first.remarks),
        [set] => format!("a remark changes the hardware of set {set}: \"{}\"", first.remarks),
        several => {
            let named: Vec<&str> = several.iter().map(|set| if set.is_empty() { "none" } else { set }).collect();
            format!("a remark changes the hardware of sets {}: \"{}\"", named.join(", "), first.remarks)
        }
    };
    let without = matches!(sets.as_slice(), [] | [""]);
    Finding {
        openings: numbers(doors, schedule),
        set: first.set.clone().filter(|_| sets.len() == 1),
        priced_as: if without { "nothing for it" } else { "as the set is written" }.into(),
        ..Finding::new(CHANGES, Kind::Question, Weight::Goods, says)
    }
    .at(first.place.clone(), first.remarks.clone())
    .help("ask whether the remark holds, and give these doors a set of their own if it does")
}

/// Asks once about doors of which a part is there already.
fn existing(doors: &[usize], schedule: &Schedule) -> Option<Finding> {
    let first = schedule.openings.get(*doors.first()?)?;
    let says = "by their remarks these doors have a frame, a leaf or hardware that is there already: what stays, and which preparations must new hardware fit?";
    Some(
        Finding {
            openings: numbers(doors, schedule),
            priced_as: "their sets as written".into(),
            ..Finding::new(EXISTING, Kind::Question, Weight::Goods, says)
        }
        .at(first.place.clone(), first.remarks.clone())
        .help("ask which goods stay, and have hinge and strike preparations measured on site"),
    )
}
