//! Gathers findings into the list a person reads: the same matter once, with all its doors; life safety first; ids that
//! stay the same when other lines or sets come and go.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect, Finding, Kind, LineId};

use super::act::keep_or_not;
use super::answers::adds;
use super::job::Job;
use super::spec::Addition;
use super::told::Answers;

/// Numbers, each once, in the order in which they came.
#[derive(Debug, Clone, Default)]
pub struct Names {
    inside: HashSet<String>,
    order: Vec<String>,
}

impl Names {
    /// Takes numbers in that are not there yet.
    pub fn extend(&mut self, numbers: &[String]) {
        for number in numbers {
            if self.inside.insert(number.clone()) {
                self.order.push(number.clone());
            }
        }
    }

    /// The numbers in their order.
    pub fn into_vec(self) -> Vec<String> {
        self.order
    }
}

/// Findings that are one, as they are put together.
struct Merged {
    finding: Finding,
    sets: BTreeSet<String>,
    openings: HashSet<String>,
    lines: BTreeSet<LineId>,
}

impl Merged {
    fn of(finding: Finding) -> Merged {
        Merged {
            sets: finding.set.clone().into_iter().collect(),
            openings: finding.openings.iter().cloned().collect(),
            lines: finding.lines.iter().copied().collect(),
            finding,
        }
    }

    fn take(&mut self, other: Finding) {
        self.sets.extend(other.set);
        for number in other.openings {
            if self.openings.insert(number.clone()) {
                self.finding.openings.push(number);
            }
        }
        for line in other.lines {
            if self.lines.insert(line) {
                self.finding.lines.push(line);
            }
        }
        for (answer, more) in self.finding.answers.iter_mut().zip(other.answers) {
            merge_effect(&mut answer.does, more.does);
        }
    }
}

/// Gives ids, merges, orders. `id` of a fresh finding holds what it is about; one that begins with `job:` is about the
/// whole job and is put together over sets.
pub fn gather(findings: Vec<Finding>, added: &[Addition], job: &Job, told: &Answers) -> Vec<Finding> {
    let numbers: HashSet<&str> = job.doors.iter().map(|door| door.number.as_str()).collect();
    let mut by_id: BTreeMap<String, Vec<Finding>> = BTreeMap::new();
    for mut finding in findings {
        let id = id_of(&finding);
        finding.id = match &finding.set {
            Some(set) if finding.id.starts_with("job:") && is_beyond(&finding, &id, told, &numbers) => {
                format!("{id}:{}", slug(set))
            }
            _ => id,
        };
        stricter(&mut finding, added, job);
        by_id.entry(finding.id.clone()).or_default().push(finding);
    }
    let mut all: Vec<Finding> = Vec::new();
    for mut same in by_id.into_values() {
        let mut merged: Vec<Merged> = Vec::new();
        // By their words: those of one matter may be thousands.
        let mut by_words: HashMap<String, Vec<usize>> = HashMap::new();
        for finding in same.drain(..) {
            let alike = by_words.entry(finding.says.clone()).or_default();
            match alike.iter().copied().find(|at| mergeable(&merged[*at].finding, &finding)) {
                Some(at) => merged[at].take(finding),
                None => {
                    alike.push(merged.len());
                    merged.push(Merged::of(finding));
                }
            }
        }
        let several = merged.len() > 1;
        for Merged { mut finding, sets, .. } in merged {
            if several {
                finding.id = long_id(&finding);
            }
            if sets.len() > 1 {
                finding.set = None;
                let ids: Vec<String> = sets.into_iter().collect();
                finding.says = format!("{} (sets {})", finding.says, shown(&ids));
            }
            all.push(finding);
        }
    }
    unique(&mut all);
    all.sort_by(|a, b| order(a).cmp(&order(b)));
    all
}

/// Whether an answer was given to the question when it named none of the doors that the finding is about: goods that were
/// asked for or taken out in other sets are not asked for or taken out in this one.
/// Where no door that it named is left, they have other numbers now, and the answer holds.
fn is_beyond(finding: &Finding, id: &str, told: &Answers, numbers: &HashSet<&str>) -> bool {
    let moves_goods = |answer: &Answer| adds(&answer.does) || matches!(answer.does, Effect::KeepAddition(_));
    if told.questions.is_empty() || finding.openings.is_empty() || !finding.answers.iter().any(moves_goods) {
        return false;
    }
    let long = long_id(&Finding { id: id.to_owned(), ..finding.clone() });
    let Some(told) = told.questions.get(id).or_else(|| told.questions.get(&long)) else { return false };
    let known = told.doors.iter().any(|number| numbers.contains(number.as_str()));
    known && finding.openings.iter().all(|number| !told.doors.contains(number))
}

/// The id of a finding that does not stand alone: others have the same beginning, and its words tell it from them.
pub(super) fn long_id(finding: &Finding) -> String {
    format!("{}:{}", finding.id, slug(if finding.excerpt.is_empty() { &finding.says } else { &finding.excerpt }))
}

fn order(finding: &Finding) -> (crate::finding::Weight, Kind, &'static str, Vec<u64>, &str) {
    let key = finding.set.as_deref().map(natural).unwrap_or_default();
    (finding.weight, finding.kind, finding.code, key, &finding.id)
}

/// A key by which set 2 comes before set 10.
pub fn natural(text: &str) -> Vec<u64> {
    let mut key = Vec::new();
    let mut number: Option<u64> = None;
    for letter in text.chars() {
        match letter.to_digit(10) {
            Some(digit) => number = Some(number.unwrap_or(0).saturating_mul(10).saturating_add(u64::from(digit))),
            None => {
                key.extend(number.take());
                key.push(1_000_000 + u64::from(u32::from(letter.to_ascii_uppercase())));
            }
        }
    }
    key.extend(number);
    key
}

/// Two findings that came out with one id after all get the row they are about; rows of one file do not repeat.
fn unique(all: &mut [Finding]) {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for finding in all.iter() {
        *seen.entry(finding.id.clone()).or_default() += 1;
    }
    for finding in all.iter_mut().filter(|finding| seen.get(&finding.id).is_some_and(|count| *count > 1)) {
        let place = finding.place.as_ref().map(|place| place.to_string()).unwrap_or_default();
        finding.id = format!("{}:{}", finding.id, slug(&format!("{place} {}", finding.says)));
    }
    // What still comes out alike is numbered: an answer is to reach one of them.
    let mut taken: HashSet<String> = HashSet::new();
    for finding in all.iter_mut() {
        let plain = finding.id.clone();
        let mut number = 1;
        while !taken.insert(finding.id.clone()) {
            number += 1;
            finding.id = format!("{plain}:{number}");
        }
    }
}

fn id_of(finding: &Finding) -> String {
    match finding.id.strip_prefix("job:") {
        Some("") => finding.code.to_owned(),
        Some(about) => format!("{}:{}", finding.code, slug(about)),
        None => {
            let set = finding.set.as_deref().unwrap_or("").split_whitespace().collect::<String>();
            let about = slug(&finding.id);
            let parts: Vec<&str> = [finding.code, &set, &about].into_iter().filter(|part| !part.is_empty()).collect();
            parts.join(":")
        }
    }
}

/// Letters and digits, words joined by hyphens, at most 60.
pub fn slug(text: &str) -> String {
    let mut slug = String::new();
    for letter in text.chars() {
        if letter.is_alphanumeric() {
            slug.extend(letter.to_lowercase());
        } else if !slug.ends_with('-') && !slug.is_empty() {
            slug.push('-');
        }
        if slug.chars().count() >= 60 {
            break;
        }
    }
    slug.trim_end_matches('-').to_owned()
}

fn mergeable(a: &Finding, b: &Finding) -> bool {
    a.kind == b.kind
        && a.says == b.says
        && a.attribute == b.attribute
        && a.answers.len() == b.answers.len()
        && a.answers.iter().zip(&b.answers).all(|(a, b)| a.value == b.value && same_effect(&a.does, &b.does))
}

fn same_effect(a: &Effect, b: &Effect) -> bool {
    match (a, b) {
        (Effect::Set { attribute: one, value: a, .. }, Effect::Set { attribute: two, value: b, .. }) => {
            one == two && a == b
        }
        (Effect::Category { category: a, .. }, Effect::Category { category: b, .. }) => a == b,
        (Effect::Exclude { .. }, Effect::Exclude { .. }) | (Effect::Supply { .. }, Effect::Supply { .. }) => true,
        (Effect::Follows { .. }, Effect::Follows { .. }) => true,
        // The same new quantity of lines of one wording in several sets.
        (Effect::Several(a), Effect::Several(b)) if of_lines(a).is_some() => of_lines(a) == of_lines(b),
        (Effect::Several(a), Effect::Several(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same_effect(a, b))
        }
        (Effect::Add { category: one, attributes: a, .. }, Effect::Add { category: two, attributes: b, .. }) => {
            one == two && a == b
        }
        (a, b) => a == b,
    }
}

/// The one quantity that effects give to lines, where they do nothing else.
fn of_lines(effects: &[Effect]) -> Option<Decimal> {
    let mut all = effects.iter().map(|effect| match effect {
        Effect::Quantity { quantity, .. } => Some(*quantity),
        _ => None,
    });
    let first = all.next()??;
    all.all(|one| one == Some(first)).then_some(first)
}

/// Takes lines in that are not there yet, in their order.
pub(super) fn put_in(lines: &mut Vec<LineId>, more: impl Iterator<Item = LineId>) {
    for line in more {
        if let Err(at) = lines.binary_search(&line) {
            lines.insert(at, line);
        }
    }
}

pub(super) fn merge_effect(known: &mut Effect, other: Effect) {
    match (known, other) {
        (Effect::Set { lines, .. }, Effect::Set { lines: more, .. })
        | (Effect::Category { lines, .. }, Effect::Category { lines: more, .. })
        | (Effect::Exclude { lines }, Effect::Exclude { lines: more })
        | (Effect::Supply { lines }, Effect::Supply { lines: more }) => {
            put_in(lines, more.into_iter());
        }
        (Effect::Follows { goods }, Effect::Follows { goods: more }) => goods.extend(more),
        (Effect::Add { quantity, .. }, Effect::Add { quantity: more, .. }) => *quantity += more,
        (Effect::Several(known), Effect::Several(more)) if of_lines(known).is_some() => {
            let fresh: Vec<Effect> = more.into_iter().filter(|effect| !known.contains(effect)).collect();
            known.extend(fresh);
        }
        (Effect::Several(known), Effect::Several(more)) => {
            known.iter_mut().zip(more).for_each(|(known, more)| merge_effect(known, more));
        }
        _ => {}
    }
}

/// `ask` in the job terms makes an assumption of the rule a question.
fn stricter(finding: &mut Finding, added: &[Addition], job: &Job) {
    let ask = job.terms.rules.get(finding.code).is_some_and(|word| word.trim() == "ask");
    if !ask || finding.kind != Kind::Assumption {
        return;
    }
    finding.kind = Kind::Question;
    if finding.answers.is_empty() {
        let doors: HashSet<&str> = finding.openings.iter().map(String::as_str).collect();
        finding.answers = if added.iter().any(|addition| is_of(addition, (finding, &doors), job)) {
            keep_or_not("as assumed", "leave it out")
        } else {
            // Whatever is answered is for a person to carry out.
            Vec::new()
        };
    }
    if finding.priced_as.is_empty() {
        finding.priced_as = "as assumed".to_owned();
    }
}

/// Whether what a rule added is what its finding speaks of: of its set, at one of its doors.
fn is_of(addition: &Addition, (finding, doors): (&Finding, &HashSet<&str>), job: &Job) -> bool {
    let set = |index: usize| job.sets.get(index).map(|set| &set.id);
    let door = |index: &usize| job.doors.get(*index).is_some_and(|door| doors.contains(door.number.as_str()));
    addition.rule == finding.code
        && addition.ours
        && (finding.set.is_none() || addition.set.and_then(set) == finding.set.as_ref())
        && (finding.openings.is_empty() || addition.shares.iter().any(|(index, _)| door(index)))
}

/// A few of many, in words.
pub fn shown(words: &[String]) -> String {
    const MOST: usize = 12;
    let mut ordered = words.to_vec();
    ordered.sort_by_key(|word| natural(word));
    if ordered.len() <= MOST {
        return ordered.join(", ");
    }
    format!("{} and {} more", ordered[..MOST].join(", "), ordered.len() - MOST)
}

/// An answer that sets an attribute of lines.
pub fn set_answer(
    value: impl Into<String>,
    lines: &[crate::finding::LineId],
    attribute: crate::trade::attribute::Attr,
    to: crate::trade::attribute::Value,
) -> Answer {
    Answer::new(value, Effect::Set { lines: lines.to_vec(), attribute, value: to })
}
