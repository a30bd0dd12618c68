//! Applies the answers of the user: to the lines before the rules run again, and to the findings that they settle.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use crate::finding::{Answer, Effect, Fact, Finding, Kind, LineId, Weight};
use crate::read::schedule::{Basis, Schedule};
use crate::trade::attribute::{Attr, Value, names};
use rust_decimal::Decimal;

use super::altered;
use super::asked_for::{asked_for, keeps_some};
use super::door::Door;
use super::exposure::Exposure;
use super::gather::long_id;
use super::job::Job;
use super::reach::{beside, disagree, note_of, wider};
use super::rules::finish_by_base;
use super::spec::Addition;
use super::told::{Answers, Told, plain_words, same_words};

/// Code for an answer that was not offered.
pub const NOT_OFFERED: &str = "answer-not-offered";
/// Code for an answer in words to a question that offers none: the program cannot carry it out.
pub const IN_WORDS: &str = "answer-in-words";
/// Code for an answer to a question that is not asked.
pub const NOT_ASKED: &str = "answer-not-asked";

/// Answers that were understood, gathered over the runs of the rules.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Given {
    /// Finding id → answer picked (its words and effect), openings and set of the finding.
    picked: BTreeMap<String, Picked>,
    /// Ids under which questions were answered that have another id now.
    heard: BTreeSet<String>,
}

#[derive(Debug, Clone, PartialEq)]
struct Picked {
    answer: Answer,
    /// The question as it was asked.
    question: Finding,
    /// Whether it is an answer in words, from which nothing follows by itself.
    is_words: bool,
    /// Who answered and when, and whether it was another question, in words after the answer.
    note: String,
}

impl Given {
    /// Looks for new answers to the findings of a run. True if there were any: the rules must run again.
    pub fn take(&mut self, findings: &[Finding], answers: &Answers) -> bool {
        let mut any = false;
        for finding in findings {
            if let Some(picked) = self.picked.get_mut(&finding.id) {
                any |= picked.widen(finding);
                continue;
            }
            let own = match answers.questions.get(&finding.id) {
                Some(told) => Some(told),
                None => once_called(finding, findings, answers).map(|(id, told)| {
                    self.heard.insert(id.clone());
                    told
                }),
            };
            let Some(told) = own.or_else(|| wider(finding, answers).ok().flatten()) else { continue };
            let words = &told.answer;
            let answer = match offered(&finding.answers, words) {
                Some(answer) => answer.clone(),
                // Free text settles a question that offers nothing to choose from, if it was answered itself.
                None if finding.takes_words() && own.is_some() => Answer::new(words.trim(), Effect::ByHand),
                None => continue,
            };
            let picked = Picked {
                is_words: answer.does == Effect::ByHand || finding.answers.is_empty(),
                answer,
                question: finding.clone(),
                note: note_of(told, own.is_none()),
            };
            self.picked.insert(finding.id.clone(), picked);
            any = true;
        }
        any
    }

    /// Puts the answers into the state that rules start from.
    pub fn apply(&self, job: &mut Job) {
        for picked in self.picked.values() {
            let named: HashSet<&str> = picked.question.openings.iter().map(String::as_str).collect();
            apply(job, (picked, &named), &picked.answer.does);
        }
    }

    /// The answers that are put into the schedule: the run on that schedule need not be asked to be told.
    pub fn only_put_in(mut self) -> Given {
        self.picked.retain(|_, picked| altered::is_put_in(&picked.answer.does));
        self
    }

    /// The doors, with what answers say of them. `None`: they say nothing.
    pub fn doors(&self, doors: &[Door]) -> Option<Vec<Door>> {
        let facts = || {
            self.picked.values().filter_map(|picked| match picked.answer.does {
                Effect::Doors { are, .. } => Some((are, &picked.question.openings)),
                _ => None,
            })
        };
        facts().next()?;
        let mut doors = doors.to_vec();
        for (are, numbers) in facts() {
            let named: HashSet<&str> = numbers.iter().map(String::as_str).collect();
            for door in doors.iter_mut().filter(|door| named.contains(door.number.as_str())) {
                match are {
                    Fact::Exterior => {
                        door.exterior = true;
                        door.exposure = Exposure::Said;
                    }
                    Fact::Smoke => door.smoke = true,
                    Fact::Rated(minutes) => (door.fire, door.minutes) = (true, Some(minutes)),
                    Fact::NotRated => (door.fire, door.minutes) = (false, Some(0)),
                    Fact::Powered => door.powered = true,
                    Fact::Once
                    | Fact::OnePair
                    | Fact::Stay
                    | Fact::Out
                    | Fact::Count(_)
                    | Fact::Leaf(_)
                    | Fact::Frame(_) => {}
                }
            }
        }
        Some(doors)
    }

    /// The schedule with what answers say of its openings. `None`: it holds that already, or no answer says anything.
    pub fn put_in(&self, schedule: &Schedule) -> Option<Schedule> {
        let mut answers = self.picked.values().filter(|picked| altered::is_put_in(&picked.answer.does)).peekable();
        answers.peek()?;
        let mut other = schedule.clone();
        for picked in answers {
            let question = &picked.question;
            altered::alter(&mut other, &question.openings, &picked.answer.does, question.place.as_ref());
        }
        // Two answers about one number may take back what the other did: what all of them make counts.
        (other.openings != schedule.openings).then_some(other)
    }

    /// Takes out the additions that the user does not want, and adds what he asked for.
    pub fn apply_to_additions(&self, added: &mut Vec<Addition>, job: &Job) {
        let chosen = self.picked.values().flat_map(|picked| picked.effects().map(move |effect| (picked, effect)));
        for (picked, effect) in chosen {
            match effect {
                Effect::KeepAddition(false) => added.retain_mut(|addition| {
                    let of_set = match (&picked.question.set, addition.set.and_then(|set| job.sets.get(set))) {
                        (Some(id), Some(set)) => set.id == *id,
                        _ => true,
                    };
                    addition.rule != picked.question.code || !of_set || keeps_some(addition, &picked.question, job)
                }),
                Effect::Add { category, attributes, quantity } => {
                    added.extend(asked_for(
                        (&picked.question, &picked.answer.value),
                        (job.doors, &job.sets),
                        *category,
                        attributes,
                        *quantity,
                    ));
                }
                _ => {}
            }
        }
    }

    /// Turns answered questions into notes, and says which answers were not understood.
    pub fn close(&self, findings: &mut Vec<Finding>, answers: &Answers) {
        let mut more = Vec::new();
        for finding in findings.iter_mut() {
            if let Some(picked) = self.picked.get(&finding.id) {
                picked.settle(finding);
            } else if let Some(told) = answers.questions.get(&finding.id) {
                let words = &told.answer;
                let choices: Vec<&str> = finding.answers.iter().map(|answer| answer.value.as_str()).collect();
                let says = format!(
                    "The answer \"{}\" to {} is not one of those offered; the question stays open.",
                    words.trim(),
                    finding.id
                );
                let mut refused = beside(finding, NOT_OFFERED, Weight::Goods, says);
                refused.help = format!("answer with one of: {}", choices.join("; "));
                more.push(refused);
            } else if let Err([one, two]) = wider(finding, answers) {
                more.push(disagree(finding, one, two));
            }
        }
        let there: HashSet<&String> = findings.iter().map(|finding| &finding.id).collect();
        for (id, picked) in &self.picked {
            if picked.is_words {
                more.push(picked.in_words());
            }
            // A question that does not arise once it is answered still says what was answered.
            if !there.contains(id) {
                let mut question = picked.question.clone();
                picked.settle(&mut question);
                more.push(question);
            }
        }
        for id in answers.questions.keys() {
            if !self.picked.contains_key(id) && !there.contains(id) && !self.heard.contains(id) {
                let mut idle = Finding::new(
                    "answer-not-asked",
                    Kind::Note,
                    Weight::Reading,
                    format!("An answer was given to {id}, which this job does not ask."),
                );
                idle.help =
                    "nothing to do, unless the question was about a line that was taken out by mistake".to_owned();
                idle.id = format!("{NOT_ASKED}:{id}");
                more.push(idle);
            }
        }
        findings.extend(more);
    }
}

/// The answer to a question under the id that it had when other questions began alike, or before others did: lines that come
/// and go beside it do not take its answer away.
fn once_called<'a>(finding: &Finding, all: &[Finding], answers: &'a Answers) -> Option<(&'a String, &'a Told)> {
    if finding.kind != Kind::Question {
        return None;
    }
    if let Some(told) = answers.questions.get_key_value(&long_id(finding)) {
        return Some(told);
    }
    let (short, _) = finding.id.rsplit_once(':')?;
    let told = answers.questions.get_key_value(short)?;
    let alone = long_id(&Finding { id: short.to_owned(), ..finding.clone() }) == finding.id;
    let meant = told.1.code == finding.code && same_words(&told.1.wording, &finding.excerpt);
    (alone && meant && all.iter().all(|other| other.id != short)).then_some(told)
}

/// Whether an effect adds goods, by itself or among others.
pub(super) fn adds(effect: &Effect) -> bool {
    match effect {
        Effect::Add { .. } | Effect::Follows { .. } => true,
        Effect::Several(effects) => effects.iter().any(adds),
        _ => false,
    }
}

/// Puts one effect of an answer into the state that rules start from.
fn apply(job: &mut Job, (picked, named): (&Picked, &HashSet<&str>), effect: &Effect) {
    let words = &picked.answer.value;
    match effect {
        Effect::Nothing
        | Effect::ByHand
        | Effect::KeepAddition(_)
        | Effect::Add { .. }
        | Effect::Doors { .. }
        | Effect::Follows { .. }
        | Effect::Size { .. }
        | Effect::Served { .. } => {}
        Effect::Several(effects) => effects.iter().for_each(|effect| apply(job, (picked, named), effect)),
        Effect::Set { lines, attribute, value } => {
            for line in lines {
                match job.some_of(*line, named) {
                    Some(openings) => give_at(job, *line, &openings, *attribute, value),
                    None => give(job, *line, *attribute, value, words),
                }
            }
        }
        Effect::Category { lines, category } => {
            for spec in specs(job, lines) {
                spec.category = Some(*category);
                finish_by_base::of_other_goods(spec);
            }
        }
        Effect::Quantity { line, quantity } => match job.some_of(*line, named) {
            Some(openings) => count_at(job, *line, &openings, *quantity),
            None => {
                for spec in specs(job, &[*line]) {
                    spec.quantity = *quantity;
                    spec.at.clear();
                }
                job.fixed.insert(*line);
            }
        },
        Effect::Supply { lines } => {
            for spec in specs(job, lines) {
                spec.excluded = None;
            }
            job.void.retain(|line| !lines.contains(line));
        }
        Effect::Exclude { lines } => {
            for spec in specs(job, lines) {
                spec.excluded = Some(format!("answered: {words}"));
            }
            job.void.extend(lines.iter().copied());
        }
    }
}

impl Picked {
    /// Another answer may bring more doors or lines under a question that is answered: the answer holds for them too.
    /// Whether it does more than before.
    fn widen(&mut self, finding: &Finding) -> bool {
        let Some(same) = finding.answers.iter().find(|answer| same_words(&answer.value, &self.answer.value)) else {
            return false;
        };
        let known: HashSet<&String> = self.question.openings.iter().collect();
        let more: Vec<String> = finding.openings.iter().filter(|number| !known.contains(number)).cloned().collect();
        let before = self.answer.does.clone();
        let now: HashSet<&String> = finding.openings.iter().collect();
        let covers = self.question.openings.iter().all(|number| now.contains(number));
        match (&before, &same.does) {
            // What is added is reckoned over all openings of the question.
            (known, other) if adds(known) && covers && !more.is_empty() => {
                self.answer.does = other.clone();
            }
            (known, _) if adds(known) && more.is_empty() => {}
            (_, other) => super::gather::merge_effect(&mut self.answer.does, other.clone()),
        }
        self.question.openings.extend(more.iter().cloned());
        super::gather::put_in(&mut self.question.lines, finding.lines.iter().copied());
        !more.is_empty() || self.answer.does != before
    }

    /// The effects of the answer, those of several one by one.
    fn effects(&self) -> impl Iterator<Item = &Effect> {
        match &self.answer.does {
            Effect::Several(effects) => effects.iter(),
            effect => std::slice::from_ref(effect).iter(),
        }
    }

    /// Makes the question a note of what was answered.
    fn settle(&self, question: &mut Finding) {
        question.kind = Kind::Note;
        question.says = format!(
            "{} Answered: {}{}.",
            ended(question.says.trim_end()),
            self.answer.value.trim_end_matches('.'),
            self.note
        );
        question.answers.clear();
        question.priced_as.clear();
    }

    /// Says that an answer in words changes nothing by itself.
    fn in_words(&self) -> Finding {
        let question = &self.question;
        let says = format!(
            "Answered in words: \"{}\". No line or price follows from it by itself. The question was: {}",
            self.answer.value, question.says
        );
        let mut words = beside(question, IN_WORDS, question.weight, says);
        words.help = "carry it out: in the schedule, or by figures typed over in the priced goods".to_owned();
        words
    }
}

/// A sentence with its full stop.
fn ended(words: &str) -> String {
    if words.ends_with(['.', '?', '!', ')']) { words.to_owned() } else { format!("{words}.") }
}

/// The answer offered in these words; failing that, the only one that begins with them.
pub(super) fn offered<'a>(offered: &'a [Answer], given: &str) -> Option<&'a Answer> {
    if let Some(same) = offered.iter().find(|answer| same_words(&answer.value, given)) {
        return Some(same);
    }
    // Older records have their answers as the tables write them: `concealed-vertical-rod`.
    let unhyphened = |words: &str| words.replace('-', " ");
    if let Some(same) = offered.iter().find(|answer| same_words(&unhyphened(&answer.value), &unhyphened(given))) {
        return Some(same);
    }
    // And flags, numbers and lengths as the record has them: `true`, `1.125`.
    let mut set = offered.iter().filter(|answer| sets(&answer.does).any(|value| same_words(&value.to_string(), given)));
    if let (Some(one), None) = (set.next(), set.next()) {
        return Some(one);
    }
    let given = plain_words(given);
    let mut begins = offered.iter().filter(|answer| plain_words(&answer.value).starts_with(&format!("{given} ")));
    begins.next().filter(|_| begins.next().is_none() && !given.is_empty())
}

/// The values that an effect sets.
fn sets(effect: &Effect) -> impl Iterator<Item = &Value> {
    let all = match effect {
        Effect::Several(effects) => effects.as_slice(),
        effect => std::slice::from_ref(effect),
    };
    all.iter().filter_map(|effect| match effect {
        Effect::Set { value, .. } => Some(value),
        _ => None,
    })
}

fn specs<'j>(job: &'j mut Job, lines: &[LineId]) -> impl Iterator<Item = &'j mut super::spec::Spec> {
    // Where a line stands is its id; one line is the usual case, and a job has many.
    let (first, last) = (lines.iter().map(|line| line.set).min(), lines.iter().map(|line| line.set).max());
    let wanted: HashSet<LineId> = lines.iter().copied().collect();
    let sets = first.zip(last).and_then(|(first, last)| job.sets.get_mut(first..=last)).unwrap_or_default();
    sets.iter_mut().flat_map(|set| set.specs.iter_mut()).filter(move |spec| wanted.contains(&spec.id))
}

/// Gives a line what was answered for all its doors.
fn give(job: &mut Job, line: LineId, attribute: Attr, value: &Value, words: &str) {
    for spec in specs(job, &[line]) {
        spec.answer(attribute, value, words);
    }
}

/// Gives a line what was answered for some of its doors.
fn give_at(job: &mut Job, line: LineId, openings: &[usize], attribute: Attr, value: &Value) {
    for spec in specs(job, &[line]) {
        openings.iter().for_each(|opening| spec.vary(*opening, attribute, value.clone()));
    }
    for opening in openings {
        let own = [attribute].into_iter().chain(FINISHING.iter().copied().filter(|_| attribute == names::FINISH));
        job.given_at.extend(own.map(|attribute| (line, *opening, attribute)));
    }
}

/// What a finish brings with it.
const FINISHING: [Attr; 2] = [names::LOOK, names::BASE];

/// The quantity answered for some doors of a line.
fn count_at(job: &mut Job, line: LineId, openings: &[usize], quantity: Decimal) {
    let doors = job.doors;
    for spec in specs(job, &[line]) {
        for door in openings.iter().filter_map(|index| doors.get(*index)) {
            let leaves = if spec.basis == Basis::Leaf { Decimal::from(door.leaves) } else { Decimal::ONE };
            spec.at.insert(door.index, quantity.saturating_mul(leaves));
            spec.others.remove(&door.index);
            if quantity.is_zero() {
                spec.left_out.insert(door.index);
            } else {
                spec.left_out.remove(&door.index);
            }
        }
    }
    job.fixed_at.extend(openings.iter().map(|opening| (line, *opening)));
}
