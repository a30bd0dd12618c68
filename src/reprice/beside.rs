//! The two quotes side by side, for the eye: openings with old and new sums, sets with old and new lines, questions.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::changes::{Change, What};
use super::compare::Compare;
use super::flat::Flat;
use super::pairs::squeezed;
use crate::money::Money;

/// An opening on both sides.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct OpeningBeside {
    /// Empty: it was not there.
    pub number_from: String,
    /// Empty: it is no longer there.
    pub number_to: String,
    pub set_from: String,
    pub set_to: String,
    pub before: Money,
    pub after: Money,
    /// What changed about it, in words.
    pub what: Vec<String>,
}

/// A set on both sides.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct SetBeside {
    /// Empty: it was not there.
    pub id_from: String,
    /// Empty: it is no longer there.
    pub id_to: String,
    pub title_from: String,
    pub title_to: String,
    pub doors_from: Vec<String>,
    pub doors_to: Vec<String>,
    /// How the two were paired, or what became of it.
    pub why: String,
    pub lines: Vec<LineBeside>,
}

/// A line on both sides; a side that is missing is empty.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct LineBeside {
    pub text_from: String,
    pub text_to: String,
    pub count_from: String,
    pub count_to: String,
    pub unit_from: Money,
    pub unit_to: Money,
    pub extended_from: Money,
    pub extended_to: Money,
    /// Added by a rule and not written in the schedule.
    pub is_implied: bool,
    pub is_changed: bool,
}

/// What became of a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Raised by what changed.
    New,
    /// Asked again, since what it was about has changed.
    Again,
    /// Open before and still.
    Open,
    /// Answered by the addendum: it no longer arises.
    Settled,
    /// Answered by the user.
    Answered,
}

impl State {
    /// The word on the page.
    pub fn word(self) -> &'static str {
        match self {
            State::New => "new",
            State::Again => "asked again",
            State::Open => "open as before",
            State::Settled => "answered by the addendum",
            State::Answered => "answered",
        }
    }
}

/// A question of either side.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct Asked {
    pub state: State,
    pub id: String,
    pub rule: String,
    pub set: String,
    pub openings: Vec<String>,
    pub says: String,
    /// The answer given, or the one given before.
    pub answer: String,
}

impl Compare<'_> {
    /// Openings that a change names or whose sum changed.
    pub(super) fn openings_beside(&self) -> Vec<OpeningBeside> {
        let mut words: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for change in self.changes.iter().filter(|change| !matches!(change.what, What::Finding | What::Set)) {
            for number in &change.openings {
                words.entry(number).or_default().push(in_words(change));
            }
        }
        let mut beside = Vec::new();
        for old in 0..self.old.set_of.len() {
            let new = self.openings.new_of(old);
            let number_from = self.old.number(old);
            let number_to = new.map(|new| self.new.number(new)).unwrap_or_default();
            let what = words.get(if number_to.is_empty() { &*number_from } else { &*number_to });
            beside.push(OpeningBeside {
                what: what.cloned().unwrap_or_default(),
                set_from: self.old.set_id(self.old.set_of[old]).to_owned(),
                set_to: new.map(|new| self.new.set_id(self.new.set_of[new]).to_owned()).unwrap_or_default(),
                before: self.old.money_at[old],
                after: new.map(|new| self.new.money_at[new]).unwrap_or_default(),
                number_from,
                number_to,
            });
        }
        for new in (0..self.new.set_of.len()).filter(|new| !self.openings.to_old.contains_key(new)) {
            let number_to = self.new.number(new);
            beside.push(OpeningBeside {
                what: words.get(&*number_to).cloned().unwrap_or_default(),
                set_to: self.new.set_id(self.new.set_of[new]).to_owned(),
                after: self.new.money_at[new],
                number_to,
                ..OpeningBeside::default()
            });
        }
        beside.retain(|one| one.before != one.after || !one.what.is_empty());
        beside
    }

    /// Sets in which a line, the title or the id changed, or that came or went.
    pub(super) fn sets_beside(&self) -> Vec<SetBeside> {
        let mut of_old: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut of_new: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (index, set) in self.old.lines.iter().enumerate().filter_map(|(index, line)| Some((index, line.set?))) {
            of_old.entry(set).or_default().push(index);
        }
        for (index, set) in self.new.lines.iter().enumerate().filter_map(|(index, line)| Some((index, line.set?))) {
            of_new.entry(set).or_default().push(index);
        }
        let named: BTreeMap<&str, &str> = self
            .changes
            .iter()
            .filter(|change| change.what == What::Set)
            .map(|change| (change.id.as_str(), change.why.as_str()))
            .collect();
        let none = Vec::new();
        let mut beside = Vec::new();
        for (old, set) in self.old.snapshot.sets.iter().enumerate() {
            let new = self.sets.new_of(old);
            let other = new.map(|new| &self.new.snapshot.sets[new]);
            let mine = of_old.get(&old).unwrap_or(&none);
            let theirs = new.and_then(|new| of_new.get(&new)).unwrap_or(&none);
            let why = match self.sets.to_new.get(&old) {
                Some((_, why)) => why.clone(),
                None => named.get(set.id.as_str()).map(|why| (*why).to_owned()).unwrap_or_default(),
            };
            beside.push(SetBeside {
                id_from: set.id.clone(),
                id_to: other.map(|set| set.id.clone()).unwrap_or_default(),
                title_from: set.title.clone(),
                title_to: other.map(|set| set.title.clone()).unwrap_or_default(),
                doors_from: set.openings.clone(),
                doors_to: other.map(|set| set.openings.clone()).unwrap_or_default(),
                why,
                lines: self.lines_beside(mine, theirs),
            });
        }
        for (new, set) in
            self.new.snapshot.sets.iter().enumerate().filter(|(new, _)| !self.sets.to_old.contains_key(new))
        {
            beside.push(SetBeside {
                id_to: set.id.clone(),
                title_to: set.title.clone(),
                doors_to: set.openings.clone(),
                why: named.get(set.id.as_str()).map(|why| (*why).to_owned()).unwrap_or_default(),
                lines: self.lines_beside(&none, of_new.get(&new).unwrap_or(&none)),
                ..SetBeside::default()
            });
        }
        beside.retain(|set| {
            set.id_from != set.id_to
                || set.title_from != set.title_to
                || set.doors_from.iter().collect::<BTreeSet<_>>() != set.doors_to.iter().collect()
                || set.lines.iter().any(|line| line.is_changed)
        });
        beside
    }

    fn lines_beside(&self, old: &[usize], new: &[usize]) -> Vec<LineBeside> {
        let mut lines = Vec::new();
        let mut placed: BTreeSet<usize> = BTreeSet::new();
        for index in new {
            let before = self.lines.to_old.get(index).map(|old| &self.old.lines[*old]);
            placed.extend(self.lines.to_old.get(index));
            lines.push(line_beside(before, Some(&self.new.lines[*index])));
        }
        for index in old.iter().filter(|index| !placed.contains(index)) {
            // A line of a set keeps its place among those around it as well as that can be said.
            let after = self.lines.new_of(*index).map(|new| &self.new.lines[new]);
            lines.push(line_beside(Some(&self.old.lines[*index]), after));
        }
        lines
    }
}

fn line_beside(before: Option<&Flat>, after: Option<&Flat>) -> LineBeside {
    let text = |flat: &Flat| {
        let category = flat.line.category.as_deref().unwrap_or_default().replace('-', " ");
        if flat.is_addition {
            let good = flat.line.designation();
            format!("{category}{}{good}", if good.is_empty() { "" } else { " " })
        } else {
            flat.line.text.split_whitespace().collect::<Vec<_>>().join(" ")
        }
    };
    let count = |flat: &Flat| {
        let shared: rust_decimal::Decimal = flat.shares.iter().map(|(_, share)| *share).sum();
        shared.saturating_add(flat.lot)
    };
    let mut line = LineBeside::default();
    if let Some(flat) = before {
        line.text_from = text(flat);
        line.count_from = count(flat).normalize().to_string();
        (line.unit_from, line.extended_from) = (flat.line.unit(), flat.worth(count(flat)));
    }
    if let Some(flat) = after {
        line.text_to = text(flat);
        line.count_to = count(flat).normalize().to_string();
        (line.unit_to, line.extended_to) = (flat.line.unit(), flat.worth(count(flat)));
    }
    line.is_implied = before.or(after).is_some_and(|flat| flat.is_addition);
    let same_good = before.map(|flat| &flat.line.good) == after.map(|flat| &flat.line.good);
    line.is_changed = squeezed(&line.text_from) != squeezed(&line.text_to)
        || line.count_from != line.count_to
        || line.unit_from != line.unit_to
        || !same_good;
    line
}

/// A change in a few words: `height 84 -> 96`, `added set 3: (3) HINGE`.
pub fn in_words(change: &Change) -> String {
    let values = match (&change.from, &change.to) {
        (Some(from), Some(to)) => {
            let blank = |text: &str| if text.is_empty() { "none".to_owned() } else { text.to_owned() };
            format!(" {} -> {}", blank(from), blank(to))
        }
        _ => String::new(),
    };
    let field = change.field.as_deref().unwrap_or_default().replace('_', " ");
    match change.what {
        What::Opening if field.is_empty() => format!("{}{values}", change.kind.word()),
        What::Opening => format!("{field}{values}"),
        _ if field.is_empty() => format!("{} {}", change.kind.word(), change.id),
        _ => format!("{}: {field}{values}", change.id),
    }
}

impl Compare<'_> {
    /// What became of every question of either side.
    pub(super) fn questions(&self, again: &BTreeMap<String, String>) -> Vec<Asked> {
        let (old, new) = (&self.old.snapshot.findings, &self.new.snapshot.findings);
        let was_open: BTreeSet<&str> =
            old.iter().filter(|one| one.kind == "question").map(|one| one.id.as_str()).collect();
        let there: BTreeMap<&str, &str> = new.iter().map(|one| (one.id.as_str(), one.kind.as_str())).collect();
        let answers = &self.new.snapshot.answers;
        let twins = self.twins();
        let renamed: BTreeSet<&str> = twins.values().map(String::as_str).collect();
        let before = |id: &str| twins.get(id).map_or(id.to_owned(), Clone::clone);
        let asked = |state: State, one: &super::snapshot::FindingRecord, answer: Option<&String>| Asked {
            state,
            id: one.id.clone(),
            rule: one.rule.clone(),
            set: one.set.clone().unwrap_or_default(),
            openings: one.openings.clone(),
            says: one.says.clone(),
            answer: answer.cloned().unwrap_or_default(),
        };
        let mut all = Vec::new();
        for one in new {
            let is_open = one.kind == "question";
            match (again.get(&one.id), answers.get(&one.id)) {
                (Some(before), _) if is_open => all.push(asked(State::Again, one, Some(before))),
                (_, Some(answer)) if !is_open => all.push(asked(State::Answered, one, Some(&answer.answer))),
                _ if is_open && was_open.contains(before(&one.id).as_str()) => all.push(asked(State::Open, one, None)),
                _ if is_open => all.push(asked(State::New, one, None)),
                _ => {}
            }
        }
        let gone = old.iter().filter(|one| one.kind == "question" && there.get(one.id.as_str()) != Some(&"question"));
        for one in gone.filter(|one| !answers.contains_key(&one.id) && !renamed.contains(one.id.as_str())) {
            all.push(asked(State::Settled, one, None));
        }
        all.sort_by_key(|one| one.state);
        all
    }
}
