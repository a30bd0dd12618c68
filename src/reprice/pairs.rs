//! Which opening, set and line of the new quote is which of the old one. Every pair says on what it rests; what cannot be
//! paired without doubt stays unpaired and shows as removed and added.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value as Json;

use super::snapshot::{LineRecord, SetRecord, Snapshot};

/// Pairs between two lists: old index → new index, with the evidence.
#[derive(Debug, Clone, Default)]
pub(super) struct Pairs {
    pub(super) to_new: BTreeMap<usize, (usize, String)>,
    pub(super) to_old: BTreeMap<usize, usize>,
    /// What may be one and stays apart: old, new, why.
    doubts: Vec<(usize, usize, String)>,
}

impl Pairs {
    pub(super) fn add(&mut self, old: usize, new: usize, why: impl Into<String>) {
        if !self.to_new.contains_key(&old) && !self.to_old.contains_key(&new) {
            self.to_new.insert(old, (new, why.into()));
            self.to_old.insert(new, old);
        }
    }

    /// Why an unpaired old one may be something new after all.
    pub(super) fn doubt_old(&self, old: usize) -> Option<&str> {
        self.doubts.iter().find(|doubt| doubt.0 == old).map(|doubt| doubt.2.as_str())
    }

    /// Why an unpaired new one may be something old after all.
    pub(super) fn doubt_new(&self, new: usize) -> Option<&str> {
        self.doubts.iter().find(|doubt| doubt.1 == new).map(|doubt| doubt.2.as_str())
    }

    pub(super) fn new_of(&self, old: usize) -> Option<usize> {
        self.to_new.get(&old).map(|(new, _)| *new)
    }

    fn open(&self, olds: usize, news: usize) -> (Vec<usize>, Vec<usize>) {
        let old = (0..olds).filter(|old| !self.to_new.contains_key(old)).collect();
        let new = (0..news).filter(|new| !self.to_old.contains_key(new)).collect();
        (old, new)
    }

    /// Pairs what has the same key on both sides, in order, where both sides have equally many.
    fn by_key<K: Ord>(
        &mut self,
        counts: (usize, usize),
        key_old: impl Fn(usize) -> Option<K>,
        key_new: impl Fn(usize) -> Option<K>,
        why: &str,
        equally_many: bool,
    ) {
        let (old, new) = self.open(counts.0, counts.1);
        let mut groups: BTreeMap<K, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
        for index in old {
            if let Some(key) = key_old(index) {
                groups.entry(key).or_default().0.push(index);
            }
        }
        for index in new {
            if let Some(key) = key_new(index) {
                groups.entry(key).or_default().1.push(index);
            }
        }
        for (olds, news) in groups.into_values() {
            if equally_many && olds.len() != news.len() {
                continue;
            }
            for (old, new) in olds.into_iter().zip(news) {
                self.add(old, new, why);
            }
        }
    }
}

/// Sets: by id where the content agrees; then by content under another id; then by id alone.
pub(super) fn sets(old: &[SetRecord], new: &[SetRecord]) -> Pairs {
    let mut pairs = Pairs::default();
    let (contents_old, contents_new): (Vec<_>, Vec<_>) =
        (old.iter().map(content).collect(), new.iter().map(content).collect());
    let ids: BTreeMap<String, usize> =
        new.iter().enumerate().rev().map(|(index, set)| (plain(&set.id), index)).collect();
    for (index, set) in old.iter().enumerate() {
        if let Some(other) = ids.get(&plain(&set.id))
            && alike(&contents_old[index], &contents_new[*other]) >= 500
        {
            pairs.add(index, *other, "same set id");
        }
    }
    let (open_old, open_new) = pairs.open(old.len(), new.len());
    let mut close: Vec<(u32, usize, usize)> = Vec::new();
    for index in open_old {
        for other in &open_new {
            let score = alike(&contents_old[index], &contents_new[*other]);
            if score >= 800 && !contents_old[index].is_empty() {
                close.push((score, index, *other));
            }
        }
    }
    close.sort_by_key(|(score, old, new)| (std::cmp::Reverse(*score), *old, *new));
    for (score, index, other) in close {
        pairs.add(index, other, format!("{}% of its lines are the same", score / 10));
    }
    let key = |sets: &[SetRecord], index: usize| Some(plain(&sets[index].id));
    pairs.by_key((old.len(), new.len()), |at| key(old, at), |at| key(new, at), "same set id, other content", false);
    let (open_old, open_new) = pairs.open(old.len(), new.len());
    for index in open_old {
        for other in &open_new {
            let score = alike(&contents_old[index], &contents_new[*other]);
            if (400..800).contains(&score) {
                let (was, is) = (&old[index].id, &new[*other].id);
                let why = format!("set {is} may be set {was} changed: {}% of their lines are the same", score / 10);
                pairs.doubts.push((index, *other, why));
            }
        }
    }
    pairs
}

/// The lines of a set, for likeness: category, attributes and quantity of each.
fn content(set: &SetRecord) -> BTreeMap<String, usize> {
    let mut content = BTreeMap::new();
    for line in &set.lines {
        *content.entry(meaning(line)).or_insert(0) += 1;
    }
    content
}

/// Likeness in thousandths: lines in common, twice, of all lines of both.
fn alike(one: &BTreeMap<String, usize>, two: &BTreeMap<String, usize>) -> u32 {
    let all: usize = one.values().sum::<usize>() + two.values().sum::<usize>();
    if all == 0 {
        return 1000;
    }
    let both: usize = one.iter().map(|(key, count)| (*count).min(two.get(key).copied().unwrap_or(0))).sum();
    u32::try_from(2000 * both / all).unwrap_or(0)
}

/// Openings: by number; then renumbered ones by what they are, where that is the same on both sides equally often.
pub(super) fn openings(old: &Snapshot, new: &Snapshot, sets: &Pairs) -> Pairs {
    let mut pairs = Pairs::default();
    let counts = (old.openings.len(), new.openings.len());
    let number = |side: &Snapshot, at: usize| Some(plain(text(side.openings[at].get("number"))));
    pairs.by_key(counts, |at| number(old, at), |at| number(new, at), "same number", false);
    let new_name: BTreeMap<String, String> = sets
        .to_new
        .iter()
        .map(|(old_set, (new_set, _))| (plain(&old.sets[*old_set].id), plain(&new.sets[*new_set].id)))
        .collect();
    let what = |side: &Snapshot, at: usize, is_old: bool| {
        let opening = &side.openings[at];
        let set = plain(text(opening.get("set")));
        let set = if is_old { new_name.get(&set).cloned().unwrap_or(set) } else { set };
        let mut key: Vec<String> = FIELDS
            .iter()
            .filter(|field| !["set", "remarks", "rating"].contains(field))
            .map(|field| shown(opening.get(*field)))
            .collect();
        key.push(set);
        Some(key)
    };
    let why = "same size, material, rating, hand, room and set";
    pairs.by_key(counts, |at| what(old, at, true), |at| what(new, at, false), why, true);
    let (open_old, open_new) = pairs.open(counts.0, counts.1);
    let mut alike: BTreeMap<Vec<String>, Vec<usize>> = BTreeMap::new();
    for index in open_old {
        alike.entry(what(old, index, true).unwrap_or_default()).or_default().push(index);
    }
    for other in open_new {
        let same = alike.get(&what(new, other, false).unwrap_or_default());
        if let Some(index) = same.and_then(|same| same.first()) {
            let (was, is) = (text(old.openings[*index].get("number")), text(new.openings[other].get("number")));
            let why = format!(
                "door {is} may be door {was} renumbered: {}, but not as many of them on both sides",
                "same size, material, rating, hand, room and set"
            );
            pairs.doubts.push((*index, other, why));
        }
    }
    pairs
}

/// Properties of an opening that are compared.
pub(super) const FIELDS: [&str; 19] = [
    "leaves",
    "width",
    "height",
    "thickness",
    "leaf_widths",
    "door_material",
    "frame_material",
    "wall",
    "fire_minutes",
    "rating",
    "smoke",
    "exterior",
    "hand",
    "set",
    "room",
    "remarks",
    "count",
    "excluded",
    "swing",
];

/// Lines of two paired sets, or additions: by meaning and words, by meaning, by words, by likeness within a category.
pub(super) fn lines(old: &[&LineRecord], new: &[&LineRecord]) -> Pairs {
    let mut pairs = Pairs::default();
    let counts = (old.len(), new.len());
    let by = |lines: &[&LineRecord], at: usize, words: bool, quantity: bool| {
        let line = lines[at];
        line.category.as_ref()?;
        let words = if words { squeezed(&line.text) } else { String::new() };
        let quantity = if quantity { line.quantity.clone() } else { String::new() };
        Some((meaning(line), words, quantity))
    };
    for (words, quantity, why) in [
        (true, true, "same meaning and words"),
        (false, true, "same meaning"),
        (false, false, "same meaning, other quantity"),
    ] {
        pairs.by_key(counts, |at| by(old, at, words, quantity), |at| by(new, at, words, quantity), why, false);
    }
    let words = |lines: &[&LineRecord], at: usize| {
        let text = squeezed(&lines[at].text);
        (!text.is_empty()).then_some(text)
    };
    pairs.by_key(counts, |at| words(old, at), |at| words(new, at), "same words", false);
    likely(&mut pairs, old, new);
    pairs
}

/// Pairs within a category that agree in at least half of what they say, or that are the only ones of it on both sides.
/// Those that agree in less stay apart with a note.
fn likely(pairs: &mut Pairs, old: &[&LineRecord], new: &[&LineRecord]) {
    let (open_old, open_new) = pairs.open(old.len(), new.len());
    let counts = |lines: &[&LineRecord], open: &[usize]| {
        let mut counts: BTreeMap<Option<String>, usize> = BTreeMap::new();
        open.iter().for_each(|at| *counts.entry(lines[*at].category.clone()).or_default() += 1);
        counts
    };
    let (many_old, many_new) = (counts(old, &open_old), counts(new, &open_new));
    let mut close: Vec<(usize, usize, usize, usize, usize)> = Vec::new();
    let mut doubtful = Vec::new();
    for index in &open_old {
        for other in &open_new {
            let (one, two) = (old[*index], new[*other]);
            if one.category != two.category || one.rule != two.rule || one.category.is_none() {
                continue;
            }
            let names: BTreeSet<&String> = one.attributes.keys().chain(two.attributes.keys()).collect();
            let same = names.iter().filter(|name| one.attributes.get(**name) == two.attributes.get(**name)).count();
            let only = many_old.get(&one.category) == Some(&1) && many_new.get(&one.category) == Some(&1);
            let score = if names.is_empty() { 1000 } else { 1000 * same / names.len() };
            let found = (score, *index, *other, same, names.len());
            if only || 2 * same >= names.len() { close.push(found) } else { doubtful.push(found) }
        }
    }
    close.sort_by_key(|(score, old, new, ..)| (std::cmp::Reverse(*score), old.abs_diff(*new), *old, *new));
    for (_, index, other, same, all) in close {
        pairs.add(index, other, format!("same category, {same} of {all} attributes the same"));
    }
    doubtful.sort_by_key(|(score, ..)| std::cmp::Reverse(*score));
    for (_, index, other, same, all) in doubtful {
        if !pairs.to_new.contains_key(&index) && !pairs.to_old.contains_key(&other) {
            let why = format!("may be one line changed: same category, only {same} of {all} attributes the same");
            pairs.doubts.push((index, other, why));
        }
    }
}

/// Category and attributes as one key.
pub(super) fn meaning(line: &LineRecord) -> String {
    let mut key = line.category.clone().unwrap_or_else(|| squeezed(&line.text));
    for (name, value) in &line.attributes {
        key.push_str(&format!(";{name}={}", shown(Some(value))));
    }
    key.push_str(&format!(";{};{}", line.unit, line.rule));
    key
}

/// A value of the record as words; empty where it is missing.
pub(super) fn shown(value: Option<&Json>) -> String {
    match value {
        None | Some(Json::Null) => String::new(),
        Some(Json::String(text)) => text.clone(),
        Some(Json::Array(list)) => list.iter().map(|one| shown(Some(one))).collect::<Vec<_>>().join(", "),
        Some(other) => other.to_string(),
    }
}

fn text(value: Option<&Json>) -> &str {
    value.and_then(Json::as_str).unwrap_or_default()
}

/// A number or id without what is merely written otherwise: case, spaces.
pub(super) fn plain(text: &str) -> String {
    text.split_whitespace().collect::<String>().to_uppercase()
}

/// Words without what is merely written otherwise.
pub(super) fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
