//! Applies the answers of the user: to the lines before the rules run again, and to the findings that they settle.

use std::collections::BTreeMap;

use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::trade::attribute::Attributes;
use crate::trade::category::Category;
use crate::understand::reading::Unit;
use rust_decimal::Decimal;

use super::Answers;
use super::job::Job;
use super::spec::{Addition, From, Sourced};

/// Code for an answer that was not offered.
pub const NOT_OFFERED: &str = "answer-not-offered";
/// Code for an answer to a question that is not asked.
pub const NOT_ASKED: &str = "answer-not-asked";

/// Answers that were understood, gathered over the runs of the rules.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Given {
    /// Finding id → answer picked (its words and effect), openings and set of the finding.
    picked: BTreeMap<String, Picked>,
}

#[derive(Debug, Clone, PartialEq)]
struct Picked {
    answer: Answer,
    code: &'static str,
    openings: Vec<String>,
    set: Option<String>,
}

impl Given {
    /// Looks for new answers to the findings of a run. True if there were any: the rules must run again.
    pub fn take(&mut self, findings: &[Finding], answers: &Answers) -> bool {
        let mut any = false;
        for finding in findings {
            let Some(words) = answers.get(&finding.id) else { continue };
            if self.picked.contains_key(&finding.id) {
                continue;
            }
            let offered = finding.answers.iter().find(|answer| same_words(&answer.value, words));
            let answer = match offered {
                Some(answer) => answer.clone(),
                // Free text settles a question that offers nothing.
                None if finding.answers.is_empty() => Answer::new(words.trim(), Effect::Nothing),
                None => continue,
            };
            let picked =
                Picked { answer, code: finding.code, openings: finding.openings.clone(), set: finding.set.clone() };
            self.picked.insert(finding.id.clone(), picked);
            any = true;
        }
        any
    }

    /// Puts the answers into the state that rules start from.
    pub fn apply(&self, job: &mut Job) {
        for picked in self.picked.values() {
            let words = &picked.answer.value;
            match &picked.answer.does {
                Effect::Nothing | Effect::KeepAddition(_) | Effect::Add { .. } => {}
                Effect::Set { lines, attribute, value } => {
                    for spec in specs(job, lines) {
                        let from = From::Answer(words.clone());
                        spec.attributes.insert(*attribute, Sourced { value: value.clone(), from });
                    }
                }
                Effect::Category { lines, category } => {
                    for spec in specs(job, lines) {
                        spec.category = Some(*category);
                    }
                }
                Effect::Quantity { line, quantity } => {
                    for spec in specs(job, &[*line]) {
                        spec.quantity = *quantity;
                        spec.at.clear();
                    }
                    job.fixed.insert(*line);
                }
                Effect::Exclude { lines } => {
                    for spec in specs(job, lines) {
                        spec.excluded = Some(format!("answered: {words}"));
                    }
                    job.void.extend(lines.iter().copied());
                }
            }
        }
    }

    /// Takes out the additions that the user does not want, and adds what he asked for.
    pub fn apply_to_additions(&self, added: &mut Vec<Addition>, job: &Job) {
        for picked in self.picked.values() {
            match &picked.answer.does {
                Effect::KeepAddition(false) => added.retain(|addition| {
                    let of_set = match (&picked.set, addition.set.and_then(|set| job.sets.get(set))) {
                        (Some(id), Some(set)) => set.id == *id,
                        _ => true,
                    };
                    addition.rule != picked.code || !of_set
                }),
                Effect::Add { category, attributes, quantity } => {
                    added.extend(asked_for(picked, job, *category, attributes, *quantity));
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
                finding.kind = Kind::Note;
                finding.says = format!("{} Answered: {}.", finding.says.trim_end(), picked.answer.value);
                finding.answers.clear();
                finding.priced_as.clear();
            } else if let Some(words) = answers.get(&finding.id) {
                let choices: Vec<&str> = finding.answers.iter().map(|answer| answer.value.as_str()).collect();
                let mut refused = Finding::new(
                    "answer-not-offered",
                    Kind::Note,
                    Weight::Goods,
                    format!(
                        "The answer \"{}\" to {} is not one of those offered; the question stays open.",
                        words.trim(),
                        finding.id
                    ),
                );
                refused.help = format!("answer with one of: {}", choices.join("; "));
                refused.id = format!("{NOT_OFFERED}:{}", finding.id);
                more.push(refused);
            }
        }
        for id in answers.keys() {
            if !self.picked.contains_key(id) && !findings.iter().any(|finding| finding.id == *id) {
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

fn same_words(offered: &str, given: &str) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    plain(offered) == plain(given)
}

fn specs<'j>(job: &'j mut Job, lines: &[LineId]) -> impl Iterator<Item = &'j mut super::spec::Spec> {
    let lines = lines.to_vec();
    job.sets.iter_mut().flat_map(|set| set.specs.iter_mut()).filter(move |spec| lines.contains(&spec.id))
}

/// What an answer adds, shared over the doors of its finding.
fn asked_for(
    picked: &Picked,
    job: &Job,
    category: Category,
    attributes: &Attributes,
    quantity: Decimal,
) -> Option<Addition> {
    let mut doors: Vec<_> =
        job.doors.iter().filter(|door| door.live && picked.openings.contains(&door.number)).collect();
    if doors.is_empty() {
        doors.extend(job.doors.iter().find(|door| door.live));
    }
    let rows: Decimal = doors.iter().map(|door| Decimal::from(door.count)).sum();
    // Equal shares where they come out even, else all at the first door.
    let share = quantity.checked_div(rows)?;
    let shares = if share.fract().is_zero() {
        doors.iter().map(|door| (door.index, share)).collect()
    } else {
        let first = doors.first()?;
        vec![(first.index, quantity.checked_div(Decimal::from(first.count))?)]
    };
    let set = picked.set.as_ref().and_then(|id| job.sets.iter().position(|set| set.id == *id));
    Some(Addition {
        category,
        attributes: attributes.clone(),
        unit: Unit::Each,
        shares,
        varies: BTreeMap::new(),
        rule: picked.code,
        why: format!("Answered: {}.", picked.answer.value),
        set,
        ours: true,
        by: None,
        selection: Default::default(),
    })
}
