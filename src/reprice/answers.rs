//! Which answers given to the old quote still stand in the new one. An answer stays with its question as long as what the
//! question is about means the same, also under another set id or in other words; where the meaning has changed, the question
//! is asked again and the old answer shown beside it.

use std::collections::{BTreeMap, BTreeSet};

use crate::complete::told::{LineName, Told, Typed};

use super::pairs::{self, Pairs, plain, shown, squeezed};
use super::snapshot::{FindingRecord, LineRecord, SetRecord, Snapshot};

/// Answers sorted into those that stand and those that must be given again.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Carried {
    /// Answers that stand, by the id of the question in the new quote.
    pub stand: BTreeMap<String, Told>,
    /// Questions of the new quote that are asked again → the answer of before.
    pub again: BTreeMap<String, String>,
    /// What was typed over, with the sets of the new quote.
    pub typed: Vec<Typed>,
    /// What was typed over in sets that are no more, while another set has their id now: it is not theirs.
    pub dropped: Vec<Typed>,
}

impl Carried {
    /// Takes an answer for a question of the new quote; two answers that are not the same are none.
    fn take(&mut self, id: &str, told: &Told) -> bool {
        match self.stand.get(id) {
            Some(other) if other.answer != told.answer => {
                let both = format!("{}; {}", other.answer, told.answer);
                self.stand.remove(id);
                self.again.insert(id.to_owned(), both);
                false
            }
            _ => {
                self.again.remove(id);
                self.stand.insert(id.to_owned(), told.clone());
                true
            }
        }
    }
}

/// Sorts the old answers. `new` is the new schedule completed without any of them.
pub fn carry(old: &Snapshot, new: &Snapshot) -> Carried {
    let sets = pairs::sets(&old.sets, &new.sets);
    let (was, is) = (by_id(old), by_id(new));
    let mut carried = Carried::default();
    follow(old, new, &sets, &mut carried);
    for (id, words) in &old.answers {
        let Some(asked) = was.get(id.as_str()) else {
            carried.stand.insert(id.clone(), words.clone());
            continue;
        };
        let same = is.get(id.as_str()).filter(|one| one.set.is_none() || pairs_with(old, new, &sets, asked, one));
        // Another set has the id of the question's set now, and falls under the same rule: it was never asked about that.
        let other = is.get(id.as_str()).is_some_and(|one| one.set.is_some()) && same.is_none();
        let now = same.map_or_else(|| successors(old, new, &sets, asked), |one| vec![*one]);
        if now.is_empty() && other {
            carried.again.insert(id.clone(), words.answer.clone());
            continue;
        }
        let told = reaching(old, new, &sets, (asked, words));
        let (none, several) = (now.is_empty(), now.len() > 1);
        let mut taken = false;
        for now in now {
            // Of several the lines tell which are the old question: those without lines are all alike.
            let holds =
                means_the_same(old, new, &sets, asked, now) && (!several || lines_of(new, &now.id).next().is_some());
            taken |= holds && carried.take(&now.id, &told);
            if !holds && !carried.stand.contains_key(&now.id) {
                carried.again.insert(now.id.clone(), words.answer.clone());
            }
        }
        // It may come up once other answers are in; then it is for the same words, since those make its id.
        if none || several && !taken {
            carried.stand.insert(id.clone(), told);
        }
    }
    carried
}

/// What was typed over goes with its set, whatever id that has now.
fn follow(old: &Snapshot, new: &Snapshot, sets: &Pairs, carried: &mut Carried) {
    let place = |side: &Snapshot, id: &str| side.sets.iter().position(|set| plain(&set.id) == plain(id));
    for typed in &old.typed_over {
        let was = place(old, &typed.line.set).filter(|_| !typed.line.set.is_empty());
        match was.map(|was| sets.new_of(was).and_then(|is| new.sets.get(is))) {
            Some(Some(set)) => {
                let line = LineName { set: set.id.clone(), ..typed.line.clone() };
                carried.typed.push(Typed { line, ..typed.clone() });
            }
            Some(None) if place(new, &typed.line.set).is_some() => carried.dropped.push(typed.clone()),
            _ => carried.typed.push(typed.clone()),
        }
    }
}

fn by_id(side: &Snapshot) -> BTreeMap<&str, &FindingRecord> {
    side.findings.iter().map(|one| (one.id.as_str(), one)).collect()
}

/// The sets that a finding speaks of: its own, or those that its doors have.
fn sets_of(side: &Snapshot, finding: &FindingRecord) -> BTreeSet<usize> {
    let own = finding.set.as_deref().map(plain);
    let doors: BTreeSet<&String> = finding.openings.iter().collect();
    let speaks = |set: &SetRecord| match &own {
        Some(own) => plain(&set.id) == *own,
        None => set.openings.iter().any(|number| doors.contains(number)),
    };
    (0..side.sets.len()).filter(|index| side.sets.get(*index).is_some_and(speaks)).collect()
}

/// The sets, old and new, that two findings both speak of.
fn common(
    old: &Snapshot,
    new: &Snapshot,
    sets: &Pairs,
    asked: &FindingRecord,
    now: &FindingRecord,
) -> Vec<(usize, usize)> {
    let is = sets_of(new, now);
    let pair = |was: usize| sets.new_of(was).filter(|new| is.contains(new)).map(|new| (was, new));
    sets_of(old, asked).into_iter().filter_map(pair).collect()
}

/// Whether two findings speak of the same sets, or of one that both name among others: of a question about several sets one
/// may be left, and another may have come.
fn pairs_with(old: &Snapshot, new: &Snapshot, sets: &Pairs, asked: &FindingRecord, now: &FindingRecord) -> bool {
    (asked.set.is_none() && now.set.is_none()) || !common(old, new, sets, asked, now).is_empty()
}

/// An answer with the doors that it was given for: those that the question named, and those that its sets have now.
fn reaching(old: &Snapshot, new: &Snapshot, sets: &Pairs, (asked, told): (&FindingRecord, &Told)) -> Told {
    let mut told = told.clone();
    if told.doors.is_empty() {
        told.doors.clone_from(&asked.openings);
    }
    if !told.doors.is_empty() {
        let now = sets_of(old, asked).into_iter().filter_map(|was| new.sets.get(sets.new_of(was)?));
        let mut known: BTreeSet<&str> = told.doors.iter().map(String::as_str).collect();
        let more: Vec<String> =
            now.flat_map(|set| &set.openings).filter(|number| known.insert(number.as_str())).cloned().collect();
        told.doors.extend(more);
    }
    told
}

/// The questions of the new quote that take the place of an old one whose id is gone: same rule, same attribute, paired
/// set, and about a line of the same category. Several, where its sets are not of one kind any more.
fn successors<'n>(old: &Snapshot, new: &'n Snapshot, sets: &Pairs, asked: &FindingRecord) -> Vec<&'n FindingRecord> {
    let categories = |side: &Snapshot, one: &FindingRecord| -> Vec<Option<String>> {
        lines_of(side, &one.id).map(|line| line.category.clone()).collect()
    };
    let about = categories(old, asked);
    let known = |id: &str| old.findings.iter().any(|one| one.id == id && one.kind == "question");
    let found = new.findings.iter().filter(|one| {
        one.rule == asked.rule
            && one.attribute == asked.attribute
            && !known(&one.id)
            && pairs_with(old, new, sets, asked, one)
            && categories(new, one).iter().any(|category| about.contains(category)) | about.is_empty()
    });
    found.collect()
}

fn lines_of<'s>(side: &'s Snapshot, id: &str) -> impl Iterator<Item = &'s LineRecord> {
    side.sets.iter().flat_map(|set| &set.lines).filter(move |line| line.findings.iter().any(|finding| finding == id))
}

/// The lines of a finding in some sets; in all where none is named.
fn lines_in<'s>(side: &'s Snapshot, id: &str, of: &BTreeSet<usize>) -> Vec<&'s LineRecord> {
    let meant = side.sets.iter().enumerate().filter(|(index, _)| of.is_empty() || of.contains(index));
    let lines = meant.flat_map(|(_, set)| &set.lines);
    lines.filter(|line| line.findings.iter().any(|finding| finding == id)).collect()
}

/// What a line says: its category, and its attributes as its words give them.
type Meaning = (Option<String>, Vec<String>);

/// Whether the lines of a question say the same as before, the answered attribute left out: the same words, or other words
/// of the same meaning. Lines of sets that only one of the two speaks of do not count.
fn means_the_same(old: &Snapshot, new: &Snapshot, sets: &Pairs, asked: &FindingRecord, now: &FindingRecord) -> bool {
    let both = common(old, new, sets, asked, now);
    let (was, is): (BTreeSet<usize>, BTreeSet<usize>) = both.into_iter().unzip();
    let (before, after) = (lines_in(old, &asked.id, &was), lines_in(new, &now.id, &is));
    let words = |lines: &[&LineRecord]| -> BTreeSet<String> { lines.iter().map(|line| squeezed(&line.text)).collect() };
    let meanings = |lines: &[&LineRecord]| -> BTreeSet<Meaning> {
        lines.iter().map(|line| meaning(line, asked.attribute.as_ref())).collect()
    };
    words(&before) == words(&after) || meanings(&before) == meanings(&after)
}

fn meaning(line: &LineRecord, but: Option<&String>) -> Meaning {
    let said = line.attributes.iter().filter(|(name, _)| Some(*name) != but && line.said(name));
    (line.category.clone(), said.map(|(name, value)| format!("{name}={}", shown(Some(value)))).collect())
}
