//! What reading said of the files of the last quote, kept in the record: where an addendum holds only what changed, the
//! rest stays as it was read, and what was asked about it stays asked.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::as_read::{At, at, place};
use super::pages;
use crate::finding::{Answer, Effect, Finding, Kind};
use crate::place::Place;
use crate::read::schedule::Schedule;
use crate::read::{PAGES, recheck};

/// A finding of the reading room as the record keeps it. Its page gives what is not here.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Told {
    code: String,
    asks: bool,
    openings: Vec<String>,
    set: Option<String>,
    at: Option<At>,
    excerpt: String,
    says: String,
    help: String,
    answers: Vec<(String, Option<Size>)>,
    /// The set that each answer gives the doors of `set`, if it does; empty in records from before.
    serves: Vec<Option<String>>,
    priced_as: String,
}

/// Width, height, widths of the leaves of a pair: what an answer gives an opening, in inches.
type Size = (String, Option<String>, Vec<String>);

/// What is to be kept of a schedule's findings. Notes on a file (hidden rows, odd characters) go with the file.
pub(super) fn of(schedule: &Schedule) -> Vec<Told> {
    let asked = schedule.findings.iter().filter(|finding| finding.kind != Kind::Note);
    let kept = asked.map(|finding| Told {
        code: finding.code.to_owned(),
        asks: finding.kind == Kind::Question,
        openings: finding.openings.clone(),
        set: finding.set.clone(),
        at: finding.place.as_ref().map(at),
        excerpt: finding.excerpt.clone(),
        says: finding.says.clone(),
        help: finding.help.clone(),
        answers: finding.answers.iter().map(|answer| (answer.value.clone(), size_of(&answer.does))).collect(),
        priced_as: finding.priced_as.clone(),
        serves: finding.answers.iter().map(|answer| set_of(&answer.does)).collect(),
    });
    kept.collect()
}

/// The findings again; a code that this version does not have is left out.
pub(super) fn again(told: &[Told]) -> Vec<Finding> {
    let finding = |told: &Told| {
        // What a list of changes left undone stays asked too; which line was chosen is told once.
        let own = pages::PAGES.iter().filter(|page| page.kind == Kind::Question);
        let page = PAGES.iter().chain(own).find(|page| page.code == told.code)?;
        let kind = if told.asks { Kind::Question } else { Kind::Assumption };
        let mut finding = Finding::new(page.code, kind, page.weight, told.says.clone());
        (finding.openings, finding.set) = (told.openings.clone(), told.set.clone());
        (finding.excerpt, finding.help) = (told.excerpt.clone(), told.help.clone());
        (finding.place, finding.priced_as) = (told.at.as_ref().map(place), told.priced_as.clone());
        let answers = told.answers.iter().enumerate().map(|(at, (words, size))| {
            let kept = told.serves.get(at);
            let set = kept.map_or_else(|| words.strip_prefix("set ").map(str::to_owned), Clone::clone);
            let served = || finding.set.as_ref().and_then(|from| served(from, set?));
            Answer::new(words.as_str(), size.as_ref().and_then(effect_of).or_else(served).unwrap_or(Effect::Nothing))
        });
        let answers = answers.collect();
        finding.answers = answers;
        Some(finding)
    };
    told.iter().filter_map(finding).collect()
}

/// Another set of the doors that have the set of the question.
fn served(from: &str, set: String) -> Option<Effect> {
    (set != from).then(|| Effect::Served { from: from.to_owned(), set })
}

/// The set that an answer gives.
fn set_of(effect: &Effect) -> Option<String> {
    let Effect::Served { set, .. } = effect else { return None };
    Some(set.clone())
}

/// Reading offers sizes and sets to choose from, and nothing else that has an effect.
fn size_of(effect: &Effect) -> Option<Size> {
    let Effect::Size { width, height, leaf_widths } = effect else { return None };
    let leaves = leaf_widths.iter().map(ToString::to_string).collect();
    Some((width.to_string(), height.map(|height| height.to_string()), leaves))
}

fn effect_of((width, height, leaves): &Size) -> Option<Effect> {
    Some(Effect::Size {
        width: width.parse().ok()?,
        height: height.as_ref().and_then(|height| height.parse().ok()),
        leaf_widths: leaves.iter().filter_map(|leaf| leaf.parse().ok()).collect(),
    })
}

/// What stood in a schedule before something was laid over it.
pub struct Before {
    findings: Vec<Finding>,
    rows: BTreeSet<Row>,
}

type Row = (String, String, u32);

impl Before {
    /// To be taken before the old schedule is changed.
    pub fn of(old: &Schedule) -> Before {
        Before { findings: old.findings.clone(), rows: rows(old) }
    }

    /// Puts what was asked of rows that still stand beside what the addendum raised, and looks again at what depends on the
    /// whole: remarks that ask for goods, doors that stand twice.
    pub fn carry_to(self, whole: &mut Schedule) {
        let stand = rows(whole);
        let stays = |finding: &Finding| {
            finding.place.as_ref().map(row).is_none_or(|row| !self.rows.contains(&row) || stand.contains(&row))
        };
        let kept: Vec<Finding> = self.findings.iter().filter(|finding| stays(finding)).cloned().collect();
        whole.findings.extend(kept);
        recheck(whole);
    }
}

fn row(place: &Place) -> Row {
    (place.file.to_string(), place.sheet.to_string(), place.row)
}

/// The rows that doors, sets and lines come from.
fn rows(schedule: &Schedule) -> BTreeSet<Row> {
    let sets = schedule
        .sets
        .iter()
        .flat_map(|set| std::iter::once(&set.place).chain(set.lines.iter().map(|line| &line.place)).map(row));
    schedule.openings.iter().map(|opening| row(&opening.place)).chain(sets).collect()
}
