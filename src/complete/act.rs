//! What a rule may do. Acts are gathered from every rule on the same state and applied together, so that the order of
//! rules does not matter.

use std::collections::HashSet;

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect, Finding, Kind, LineId, Page, Weight};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::understand::reading::Unit;

use super::job::Job;
use super::spec::{Addition, Grade, Prep};

/// One rule: its page, what it does, and two examples that are run as tests (`example` has their grammar).
#[derive(Clone, Copy)]
pub struct Rule {
    /// Its page.
    pub page: Page,
    /// What it does.
    pub run: fn(&Job, &mut Out),
    /// A small job on which it speaks.
    pub fires: &'static str,
    /// A near one on which it is quiet.
    pub quiet: &'static str,
}

/// One act.
#[derive(Debug, Clone, PartialEq)]
pub enum Act {
    /// Give an attribute that nobody gave.
    Fill {
        /// Line.
        line: LineId,
        /// Attribute.
        attribute: Attr,
        /// Value.
        value: Value,
        /// How sure.
        grade: Grade,
    },
    /// Give an attribute whatever the words say: goods that are not allowed as written.
    Change {
        /// Line.
        line: LineId,
        /// Attribute.
        attribute: Attr,
        /// Value.
        value: Value,
        /// How sure.
        grade: Grade,
    },
    /// Give an attribute at one opening.
    Vary {
        /// Line.
        line: LineId,
        /// Opening.
        opening: usize,
        /// Attribute.
        attribute: Attr,
        /// Value.
        value: Value,
    },
    /// How many in all one opening gets.
    Count {
        /// Line.
        line: LineId,
        /// Opening.
        opening: usize,
        /// In all.
        quantity: Decimal,
    },
    /// So many fewer at one opening, since another good takes their place.
    Less {
        /// Line.
        line: LineId,
        /// Opening.
        opening: usize,
        /// Fewer.
        quantity: Decimal,
    },
    /// What the quantity multiplies by.
    Basis {
        /// Line.
        line: LineId,
        /// Basis.
        basis: Basis,
    },
    /// Leave a line out.
    Exclude {
        /// Line.
        line: LineId,
        /// Why.
        why: String,
    },
    /// Add goods.
    Add(Addition),
    /// Tell the user. `id` holds what it is about; see `gather`.
    Say(Finding),
    /// Tell door and frame makers.
    Prep(Prep),
}

/// Where a rule puts its acts.
pub struct Out {
    /// The rule.
    pub page: Page,
    /// Its acts.
    pub acts: Vec<Act>,
    /// The rules have settled: the time to say what door and frame makers must do, which changes nothing any more.
    pub settled: bool,
}

/// What a finding is about that holds at no door.
const NOWHERE: &str = "nowhere";

impl Out {
    /// Fills an attribute.
    pub fn fill(&mut self, line: LineId, attribute: Attr, value: Value, grade: Grade) {
        self.acts.push(Act::Fill { line, attribute, value, grade });
    }

    /// Gives an attribute at some doors of a line: to the whole line where they are all of them, else to each.
    pub fn give_at(
        &mut self,
        job: &Job,
        line: LineId,
        doors: &[usize],
        attribute: Attr,
        value: Value,
        (grade, over_words): (Grade, bool),
    ) {
        if doors.len() == job.doors(line.set).count() {
            self.acts.push(if over_words {
                Act::Change { line, attribute, value, grade }
            } else {
                Act::Fill { line, attribute, value, grade }
            });
            return;
        }
        for opening in doors {
            self.acts.push(Act::Vary { line, opening: *opening, attribute, value: value.clone() });
        }
    }

    /// A finding of the rule about `about`, with what its page says of kind, order and source.
    pub fn finding(&self, about: &str, says: impl Into<String>) -> Finding {
        let mut finding = Finding::new(self.page.code, self.page.kind, self.page.weight, says);
        finding.id = about.to_owned();
        finding.source = self.page.source.into();
        finding
    }

    /// A finding about a set and some of its doors.
    pub fn about_set(
        &self,
        job: &Job,
        set: usize,
        doors: Vec<String>,
        about: &str,
        says: impl Into<String>,
    ) -> Finding {
        let mut finding = self.finding(about, says);
        finding.set = Some(job.sets[set].id.clone());
        finding.openings = doors;
        finding.place = Some(job.sets[set].place.clone());
        finding
    }

    /// A finding about lines of a set and some of its doors; those at which all the lines are left out are not meant, and
    /// where none is left there is nothing to say.
    pub fn about_lines(
        &self,
        job: &Job,
        set: usize,
        lines: &[LineId],
        doors: Vec<String>,
        about: &str,
        says: impl Into<String>,
    ) -> Finding {
        let specs = || lines.iter().filter_map(|line| job.sets[set].specs.get(line.line));
        let gone = job.left_out_by_all(set, specs());
        let (named, mut doors) = (!doors.is_empty(), doors);
        doors.retain(|number| !gone.contains(number.as_str()));
        // A set that no door has, where others have doors, is not counted: what is taken for it is of no weight.
        let unused = !named && !job.doors.is_empty() && job.doors(set).next().is_none();
        let nowhere = named && doors.is_empty() || unused;
        let mut finding = self.about_set(job, set, doors, if nowhere { NOWHERE } else { about }, says);
        if let Some(spec) = lines.first().and_then(|line| job.sets[set].specs.get(line.line)) {
            finding.place = Some(spec.place.clone());
            finding.excerpt = spec.words();
        }
        finding.lines = lines.to_vec();
        finding
    }

    /// Says a finding.
    pub fn say(&mut self, finding: Finding) {
        if finding.id == NOWHERE {
            return;
        }
        self.acts.push(Act::Say(finding));
    }

    /// Adds goods that we supply, so many for each opening.
    pub fn add(
        &mut self,
        set: usize,
        category: Category,
        attributes: Attributes,
        shares: Vec<(usize, Decimal)>,
        why: impl Into<String>,
    ) {
        self.acts.push(Act::Add(self.addition(set, category, attributes, shares, why)));
    }

    /// The addition that `add` makes, to be changed first.
    pub fn addition(
        &self,
        set: usize,
        category: Category,
        attributes: Attributes,
        shares: Vec<(usize, Decimal)>,
        why: impl Into<String>,
    ) -> Addition {
        Addition {
            category,
            attributes,
            unit: Unit::Each,
            shares,
            varies: Default::default(),
            rule: self.page.code,
            why: why.into(),
            set: Some(set),
            ours: true,
            by: None,
            selection: Default::default(),
        }
    }
}

/// Answers that keep or take out what the finding's rule added.
pub fn keep_or_not(keep: &str, not: &str) -> Vec<Answer> {
    vec![Answer::new(keep, Effect::KeepAddition(true)), Answer::new(not, Effect::KeepAddition(false))]
}

/// Answers that keep lines as written or leave them out.
pub fn keep_or_leave_out(lines: &[LineId]) -> Vec<Answer> {
    vec![
        Answer::new("as written", Effect::Nothing),
        Answer::new("leave it out", Effect::Exclude { lines: lines.to_vec() }),
    ]
}

/// Answers without effect on the goods.
pub fn plain_answers(words: &[&str]) -> Vec<Answer> {
    words.iter().map(|word| Answer::new(*word, Effect::Nothing)).collect()
}

/// An answer that a person has to carry out.
pub fn by_hand(words: &str) -> Answer {
    Answer::new(words, Effect::ByHand)
}

/// Answers to whether an exit device is wanted instead of the locks of a set at doors of these numbers. Where the question
/// is about all doors of the set its line becomes the exit device; else those doors get no lock, and an exit device each.
pub fn exit_device_instead(job: &Job, set: usize, doors: &[String], keep: &str) -> Vec<Answer> {
    const LOCKS: &[Category] =
        &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock];
    const DEVICE: &str = "an exit device instead of the lock";
    let locks = job.lines_of(set, LOCKS);
    let Some(lock) = locks.first() else {
        let other = by_hand("exit devices, to be written into a set of their own");
        return vec![Answer::new(keep, Effect::Nothing), other];
    };
    let mut effects = Vec::new();
    if doors.len() == job.doors(set).count() {
        effects.push(Effect::Category { lines: vec![lock.id], category: Category::ExitDevice });
        let others: Vec<LineId> = locks.iter().skip(1).map(|spec| spec.id).collect();
        if !others.is_empty() {
            effects.push(Effect::Exclude { lines: others });
        }
    } else {
        effects.extend(locks.iter().map(|spec| Effect::Quantity { line: spec.id, quantity: Decimal::ZERO }));
        let wanted: HashSet<&String> = doors.iter().collect();
        let named: Vec<_> = job.doors(set).filter(|door| wanted.contains(&door.number)).collect();
        let quantity = named.iter().map(|door| lock.count_at(door) * Decimal::from(door.count)).sum();
        let mut attributes: Attributes = [names::FINISH, names::LOOK, names::BASE]
            .into_iter()
            .filter_map(|attribute| Some((attribute, lock.value(attribute)?.clone())))
            .collect();
        if job.select(Category::ExitDevice, attributes.clone()).candidates.is_empty() {
            attributes.clear();
        }
        let fire = named.iter().any(|door| door.fire);
        attributes.insert(names::FIRE_LISTED, Value::Flag(fire));
        effects.push(Effect::Add { category: Category::ExitDevice, attributes, quantity });
    }
    let does = if effects.len() == 1 { effects.remove(0) } else { Effect::Several(effects) };
    vec![Answer::new(keep, Effect::Nothing), Answer::new(DEVICE, does)]
}

/// A page, in the order in which one writes it.
#[allow(clippy::too_many_arguments, reason = "one field of the page each; a test holds that none is empty")]
pub const fn page(
    code: &'static str,
    kind: Kind,
    weight: Weight,
    title: &'static str,
    trigger: &'static str,
    consequence: &'static str,
    numbers: &'static str,
    source: (&'static str, &'static str),
    examples: (&'static str, &'static str),
) -> Page {
    Page {
        code,
        title,
        trigger,
        consequence,
        numbers,
        source: source.0,
        sure: source.1,
        kind,
        weight,
        fires: examples.0,
        quiet: examples.1,
    }
}
