//! What the user told: answers to questions, and what was typed over in the priced lines of an estimate. The record keeps
//! it; the next run, and the next issue of the schedule, take it up again wherever it still means the same.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::finding::{Finding, Kind, LineId};

use super::spec::{Addition, Completed, CompletedSet};

/// Everything that the user told.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Answers {
    /// Answers to questions, by the id of the question.
    pub questions: BTreeMap<String, Told>,
    /// What was typed over in priced lines and among the rates.
    pub typed: Vec<Typed>,
    /// Numbers under which questions went to the architect. A number is never given to another question.
    pub numbers: BTreeMap<String, u32>,
    /// Figures typed over where nothing takes them up, each told with its cell; not kept.
    pub beside: Vec<String>,
}

impl Answers {
    /// How many of these answers and figures another knows nothing of, or knows otherwise.
    pub fn not_in(&self, other: &Answers) -> usize {
        let known = |id: &String| other.questions.get(id).map(|told| plain_words(&told.answer));
        let answers = self.questions.iter().filter(|(id, told)| known(id) != Some(plain_words(&told.answer)));
        let is_known = |one: &Typed| {
            let same = |two: &Typed| two.what == one.what && two.line == one.line && two.value == one.value;
            other.typed.iter().any(|two| same(two) && (!one.what.is_of_row() || two.good == one.good))
        };
        answers.count() + self.typed.iter().filter(|one| !is_known(one)).count()
    }
}

/// How far an answer reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Scope {
    /// The one question or line.
    #[default]
    This,
    /// All questions of the kind, or lines, with the same wording.
    Wording,
    /// All of the job: questions of the kind; lines with the same good.
    Job,
}

impl Scope {
    /// Every scope, in the order of the list to pick from.
    pub const ALL: [Scope; 3] = [Scope::This, Scope::Wording, Scope::Job];

    /// The words to pick.
    pub fn word(self) -> &'static str {
        match self {
            Scope::This => "this one",
            Scope::Wording => "same wording",
            Scope::Job => "whole job",
        }
    }

    /// What was picked or typed; nothing is this one.
    pub fn parse(text: &str) -> Option<Scope> {
        let plain = text.trim().to_lowercase();
        if plain.is_empty() || plain.starts_with("this") {
            Some(Scope::This)
        } else if plain.contains("word") {
            Some(Scope::Wording)
        } else if plain.contains("job") || plain == "all" {
            Some(Scope::Job)
        } else {
            None
        }
    }
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the form that the writer of records calls")]
fn is_this(scope: &Scope) -> bool {
    *scope == Scope::This
}

/// The answer to a question.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, from = "Form")]
pub struct Told {
    /// The words picked or typed.
    pub answer: String,
    /// How far it reaches.
    #[serde(skip_serializing_if = "is_this")]
    pub scope: Scope,
    /// Code of the question, its attribute and its wording: what tells the questions that a wider answer settles too.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub code: String,
    /// See `code`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub attribute: String,
    /// See `code`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub wording: String,
    /// Who answered.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// When.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub on: String,
    /// The doors that the question named when it was answered; empty: not known. Where it would come to name the doors of
    /// another set too, that set is asked about by itself.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub doors: Vec<String>,
}

impl Told {
    /// An answer to one question.
    pub fn plain(answer: impl Into<String>) -> Self {
        Told { answer: answer.into(), ..Told::default() }
    }
}

/// Records of earlier versions hold the words alone.
#[derive(Deserialize)]
#[serde(untagged)]
enum Form {
    Words(String),
    Whole {
        answer: String,
        #[serde(default)]
        scope: Scope,
        #[serde(default)]
        code: String,
        #[serde(default)]
        attribute: String,
        #[serde(default)]
        wording: String,
        #[serde(default)]
        by: String,
        #[serde(default)]
        on: String,
        #[serde(default)]
        doors: Vec<String>,
    },
}

impl From<Form> for Told {
    fn from(form: Form) -> Told {
        match form {
            Form::Words(words) => Told::plain(words),
            Form::Whole { answer, scope, code, attribute, wording, by, on, doors } => {
                Told { answer, scope, code, attribute, wording, by, on, doors }
            }
        }
    }
}

/// What was typed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// The quantity for each leaf or opening.
    Each,
    /// The quantity in all.
    Quantity,
    /// The selling price of the unit.
    Price,
    /// The good.
    Good,
    /// Left out.
    LeaveOut,
    /// A rate or sum of the job terms, for this quote.
    Rate,
}

impl What {
    /// Whether it is typed for one good of a line that may have several: the good tells whose it is.
    pub fn is_of_row(self) -> bool {
        matches!(self, What::Price | What::Quantity | What::LeaveOut)
    }

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            What::Each => "quantity for each",
            What::Quantity => "quantity in all",
            What::Price => "price",
            What::Good => "good",
            What::LeaveOut => "left out",
            What::Rate => "rate",
        }
    }
}

/// One cell typed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Typed {
    /// What.
    pub what: What,
    /// The line or addition; of a rate: its words.
    pub line: LineName,
    /// Maker and designation of the good that the line had when it was typed; empty if none. A row left out of a line that
    /// has several names its good, or `NO_GOOD`; one that names none stands for the whole line.
    #[serde(default)]
    pub good: String,
    /// What was typed.
    pub value: String,
    /// What stood there before.
    #[serde(default)]
    pub was: String,
    /// How far it reaches.
    #[serde(default)]
    pub scope: Scope,
    /// Who typed it.
    #[serde(default)]
    pub by: String,
    /// When.
    #[serde(default)]
    pub on: String,
}

/// What stands for the good of a row left out that has none, beside other rows of its line.
pub const NO_GOOD: &str = "no good of the catalog";

impl Typed {
    /// Whether it leaves one good of a line out and not the whole line.
    pub fn leaves_row_out(&self) -> bool {
        self.what == What::LeaveOut && !self.good.is_empty()
    }

    /// Whether it speaks of a line with this name and good.
    pub fn is_about(&self, line: &LineName, good: &str) -> bool {
        match self.scope {
            Scope::This => self.line == *line,
            Scope::Wording if matches!(self.what, What::Price | What::Good) => {
                without_count(&self.line.words) == without_count(&line.words)
            }
            Scope::Wording => self.line.words == line.words,
            Scope::Job => !good.is_empty() && names_good(&self.good, good),
        }
    }
}

/// Names a line in such a way that it is found again in the next issue of the schedule, wherever its row went.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct LineName {
    /// Set id; empty: none.
    pub set: String,
    /// Its words in lower case with single blanks; of an addition: its rule, category and attributes.
    pub words: String,
    /// Which of the set's lines with the same words, from 0.
    #[serde(default)]
    pub nth: usize,
}

/// Lower case, single blanks.
pub fn plain_words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A wording without the count and the unit that it begins with: four hinges and three of the same words are the same goods.
/// A first figure that belongs to a measure stays (`10 x 34 kick plate`).
pub fn without_count(words: &str) -> &str {
    let sign = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | '/' | '-' | '(' | ')');
    let (count, rest) = words.trim().split_once(' ').unwrap_or((words.trim(), ""));
    let rest = rest.trim_start();
    let next = rest.split(' ').next().unwrap_or_default();
    if !count.contains(|letter: char| letter.is_ascii_digit()) || !count.chars().all(sign) || next == "x" {
        return words.trim();
    }
    if crate::trade::rule_words::is("count-units", next.trim_end_matches('.')) {
        rest.get(next.len()..).unwrap_or_default().trim_start()
    } else {
        rest
    }
}

/// Whether two texts are the same words, whatever their case and blanks.
pub fn same_words(one: &str, other: &str) -> bool {
    let (mut ones, mut others) = (one.split_whitespace(), other.split_whitespace());
    loop {
        match (ones.next(), others.next()) {
            (None, None) => return true,
            (Some(one), Some(other)) => {
                if !one.chars().flat_map(char::to_lowercase).eq(other.chars().flat_map(char::to_lowercase)) {
                    return false;
                }
            }
            _ => return false,
        }
    }
}

/// Whether words name the good of a label (maker and designation): the whole label, or the designation alone.
pub fn names_good(words: &str, label: &str) -> bool {
    let (words, label) = (plain_words(words), plain_words(label));
    words == label || (!words.is_empty() && label.ends_with(&format!(" {words}")))
}

impl Completed {
    /// The name of a line.
    pub fn line_name(&self, id: LineId) -> LineName {
        self.line_names().get(&id).cloned().unwrap_or_default()
    }

    /// The names of all lines.
    pub fn line_names(&self) -> &BTreeMap<LineId, LineName> {
        self.names.get_or_init(|| self.named())
    }

    fn named(&self) -> BTreeMap<LineId, LineName> {
        let mut names = BTreeMap::new();
        for set in &self.sets {
            let mut seen: BTreeMap<String, usize> = BTreeMap::new();
            for spec in &set.specs {
                let words = plain_words(&spec.wording.text);
                let count = seen.entry(words.clone()).or_default();
                names.insert(spec.id, LineName { set: set.id.clone(), words, nth: *count });
                *count += 1;
            }
        }
        names
    }

    /// The name of an addition. Additions of one rule that ask for the same goods in one set have one name.
    pub fn added_name(&self, index: usize) -> LineName {
        self.added.get(index).map(|added| name_of_addition(&self.sets, added)).unwrap_or_default()
    }
}

/// Names of lines, found when first asked for.
pub type Names = std::sync::OnceLock<BTreeMap<LineId, LineName>>;

/// The name of an addition.
pub(super) fn name_of_addition(sets: &[CompletedSet], added: &Addition) -> LineName {
    let set = added.set.and_then(|set| sets.get(set)).map(|set| set.id.clone()).unwrap_or_default();
    let attributes: Vec<String> = added.attributes.iter().map(|(name, value)| format!("{name} {value}")).collect();
    let words = format!("added by {}: {} {}", added.rule, added.category.name(), attributes.join(", "));
    LineName { set, words: plain_words(&words), nth: 0 }
}

/// The name of a line of a set.
pub(super) fn name_in(set: &CompletedSet, line: usize) -> LineName {
    let own = set.specs.get(line).map(|spec| spec.wording.text.as_str()).unwrap_or_default();
    let before = set.specs.iter().take(line);
    let nth = before.filter(|other| same_words(&other.wording.text, own)).count();
    LineName { set: set.id.clone(), words: plain_words(own), nth }
}

impl Answers {
    /// Nothing told.
    pub fn new() -> Self {
        Self::default()
    }

    /// Whether nothing was told.
    pub fn is_empty(&self) -> bool {
        self.questions.is_empty() && self.typed.is_empty()
    }

    /// Numbers the questions that have no number yet, after the highest ever given, in the order of the list.
    pub fn number(&mut self, findings: &[Finding]) {
        let mut last = self.numbers.values().copied().max().unwrap_or(0);
        for finding in findings.iter().filter(|finding| finding.kind == Kind::Question) {
            self.numbers.entry(finding.id.clone()).or_insert_with(|| {
                last += 1;
                last
            });
        }
    }

    /// Lays newer answers over these: a newer answer to the same question, or a newer figure for the same cell, counts.
    pub fn lay_over(&mut self, newer: Answers) {
        self.questions.extend(newer.questions);
        let replaced = |old: &Typed| {
            newer.typed.iter().any(|typed| {
                let other_row = match old.what {
                    What::Price | What::Quantity => old.good != typed.good,
                    What::LeaveOut => old.leaves_row_out() && typed.leaves_row_out() && old.good != typed.good,
                    _ => false,
                };
                old.what == typed.what && old.line == typed.line && !other_row
            })
        };
        self.typed.retain(|old| !replaced(old));
        self.typed.extend(newer.typed);
        self.numbers.extend(newer.numbers);
        self.beside.extend(newer.beside);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_count_is_no_part_of_the_wording_of_a_price() {
        for (one, other) in [
            ("4 ea bb butts 652", "3 ea bb butts 652"),
            ("(4) bb butts", "3 bb butts"),
            ("1-1/2 pr bb butts", "3 ea. bb butts"),
        ] {
            assert_eq!(without_count(one), without_count(other));
        }
        assert_ne!(without_count("10 x 34 kick plate"), without_count("8 x 34 kick plate"));
        assert_eq!(without_count("closer 689"), "closer 689");
        let line = |words: &str| LineName { set: "A".into(), words: words.into(), nth: 0 };
        let typed = |what| Typed {
            what,
            line: line("4 ea bb butts"),
            good: String::new(),
            value: "9".into(),
            was: String::new(),
            scope: Scope::Wording,
            by: String::new(),
            on: String::new(),
        };
        assert!(typed(What::Price).is_about(&line("3 ea bb butts"), ""));
        // A quantity is for the lines that have the quantity it was typed over.
        assert!(!typed(What::Each).is_about(&line("3 ea bb butts"), ""));
    }
}
