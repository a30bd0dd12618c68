//! What completing hands on: specs in which nothing required is missing (or a question says what is), additions,
//! findings and preps.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::catalog::good::Selection;
use crate::evidence::Evidence;
use crate::finding::{Finding, LineId};
use crate::place::Place;
use crate::read::schedule::{Basis, Schedule, Wording};
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::rule_words;
use crate::understand::reading::{Reading, Unit};

/// The whole job, completed.
#[derive(Debug, Clone)]
pub struct Completed {
    /// As read.
    pub schedule: Schedule,
    /// Sets in the order read; `LineId` counts in these.
    pub sets: Vec<CompletedSet>,
    /// What was added.
    pub added: Vec<Addition>,
    /// Every finding of every room so far, ids given, in order of showing.
    pub findings: Vec<Finding>,
    /// What door and frame makers must do or know.
    pub preps: Vec<Prep>,
    /// What the user typed over in priced lines; typed totals and prices are applied where they are reckoned.
    pub typed: Vec<super::told::Typed>,
    /// Names of all lines, once one is asked for.
    pub names: super::told::Names,
}

/// A set, completed.
#[derive(Debug, Clone)]
pub struct CompletedSet {
    /// Set id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Where.
    pub place: Place,
    /// Indexes into `schedule.openings` of the doors it serves.
    pub openings: Vec<usize>,
    /// Its lines, one for each reading.
    pub specs: Vec<Spec>,
}

/// One line, completed.
#[derive(Debug, Clone)]
pub struct Spec {
    /// Which line it is.
    pub id: LineId,
    /// Its row.
    pub place: Place,
    /// Its words.
    pub wording: Wording,
    /// What they say.
    pub reading: Arc<Reading>,
    /// The category settled on; `None`: unread.
    pub category: Option<Category>,
    /// Every attribute, and where it comes from.
    pub attributes: BTreeMap<Attr, Sourced>,
    /// Quantity per basis.
    pub quantity: Decimal,
    /// Unit.
    pub unit: Unit,
    /// What the quantity multiplies by.
    pub basis: Basis,
    /// Quantities of single openings that differ from `quantity` (index of opening → quantity in all for that opening).
    pub at: BTreeMap<usize, Decimal>,
    /// Openings that get none of it, by its words or by an answer: no rule gives them any.
    pub left_out: BTreeSet<usize>,
    /// Those of them at which it stands all the same, by others or from before: no rule buys it there.
    pub others: BTreeSet<usize>,
    /// What differs by opening: length of a seal, width of a plate (index of opening → attributes).
    pub varies: BTreeMap<usize, Attributes>,
    /// State.
    pub status: Status,
    /// Why it is excluded, if it is.
    pub excluded: Option<String>,
    /// The catalog's answer for the attributes (those of `varies` left out).
    pub selection: Arc<Selection>,
    /// Findings about it, by index into `Completed::findings`.
    pub findings: Vec<usize>,
}

impl Spec {
    /// Whether it is so many sets of such goods: `1 SET SILENCERS (3)`.
    pub fn is_set_of(&self, category: Category) -> bool {
        self.category == Some(category) && self.reading.quantity.unit == Unit::Set
    }

    /// Which leaf of a pair its words give it to, `CLOSER, ACTIVE LEAF`; `None` where they name none, or both, or say something of
    /// the leaf: `ACTIVE LEAF TO HAVE HOLD OPEN`, `NOT AT INACTIVE LEAF`.
    pub fn one_leaf(&self) -> Option<&'static str> {
        let speaks = |wanted| rule_words::speak(wanted, &self.wording.text);
        let (wanted, leaf) = match (speaks("active-leaf"), speaks("inactive-leaf")) {
            (true, false) => ("active-leaf", "active"),
            (false, true) => ("inactive-leaf", "inactive"),
            _ => return None,
        };
        let words = self.wording.text.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
        let words: Vec<&str> = words.collect();
        let at = words.iter().position(|word| rule_words::is(wanted, word))?;
        let (before, behind) = (words.get(..at)?, words.get(at + 1..)?);
        let denied = before.last().is_some_and(|word| rule_words::is("says-not", word))
            || before.iter().rev().nth(1).is_some_and(|word| rule_words::is("says-not", word));
        // A verb, or what the leaf has, makes it say something of the leaf; another attribute of the goods does not.
        let of_leaf = |word: &&str| rule_words::is("says-of-leaf", word);
        let ends = match behind {
            [] => true,
            [named, rest @ ..] => rule_words::is("doors-named", named) && !rest.iter().any(of_leaf),
        };
        let leads = before.last().is_some_and(of_leaf);
        (ends && !leads && !denied).then_some(leaf)
    }
}

/// A value and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Sourced {
    /// The value.
    pub value: Value,
    /// Its origin.
    pub from: From,
}

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum From {
    /// The words of the line.
    Said(Evidence),
    /// A rule, with its grade.
    Rule(&'static str, Grade),
    /// The usual value of the product line chosen.
    Catalog(Arc<str>),
    /// An answer of the user.
    Answer(String),
}

/// How sure a filled-in value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// Follows from what is said; listed.
    Certain,
    /// Usual; marked and listed.
    Assumed,
    /// Provisional; a question goes with it.
    Ask,
}

/// State of a line, as in the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// The words choose one good.
    Settled,
    /// Chosen after stated assumptions.
    Assumed,
    /// Needs an answer; priced provisionally.
    Open,
    /// Understood; nothing in the catalog fits.
    Unpriced,
    /// Not understood.
    Unread,
    /// By others, not in contract, existing.
    Excluded,
}

impl Status {
    /// The word in the record.
    pub fn word(self) -> &'static str {
        match self {
            Status::Settled => "settled",
            Status::Assumed => "assumed",
            Status::Open => "open",
            Status::Unpriced => "unpriced",
            Status::Unread => "unread",
            Status::Excluded => "excluded",
        }
    }
}

/// Something the schedule implies and does not say.
#[derive(Debug, Clone, PartialEq)]
pub struct Addition {
    /// Category.
    pub category: Category,
    /// Attributes.
    pub attributes: Attributes,
    /// Unit.
    pub unit: Unit,
    /// For which openings (index), how many each.
    pub shares: Vec<(usize, Decimal)>,
    /// What differs by opening.
    pub varies: BTreeMap<usize, Attributes>,
    /// Code of the rule.
    pub rule: &'static str,
    /// Why, in a sentence.
    pub why: String,
    /// The set it belongs to (index).
    pub set: Option<usize>,
    /// Whether we supply and charge it; else `by` says who.
    pub ours: bool,
    /// Who supplies it when we do not: `frame maker`, `door maker`, `electrical trade`.
    pub by: Option<String>,
    /// The catalog's answer.
    pub selection: Arc<Selection>,
}

/// One thing that a door or frame maker must do or know at one opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Prep {
    /// Index of the opening.
    pub opening: usize,
    /// `door`, `frame`, `door, frame`, `floor`, `electrical`.
    pub trade: &'static str,
    /// Which leaf: `active`, `inactive`, empty for a single or the whole opening.
    pub leaf: &'static str,
    /// What: `hinge`, `electrified hinge`, `lock`, `strike`, `raceway`, `mortar guard`, `closer reinforcement` ...
    pub what: String,
    /// Size, template number of the trade, count of conductors ...
    pub detail: String,
    /// Height of its centre line above the floor, where it has one.
    pub above_floor: Option<Inches>,
    /// Rule or source.
    pub rule: &'static str,
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;
    use crate::read::schedule::Wording;

    #[test]
    fn words_may_give_a_line_to_one_leaf_of_a_pair() {
        let mut spec = completed("door 101 72x84 hm pair; closer 1").sets[0].specs[0].clone();
        for (text, leaf) in [
            ("CLOSER, ACTIVE LEAF", Some("active")),
            ("CLOSER, INACTIVE LEAF", Some("inactive")),
            ("CLOSER, ACTIVE AND INACTIVE LEAF", None),
            ("CLOSER, EACH LEAF", None),
            ("CLOSER, ACTIVE LEAF ONLY 689", Some("active")),
            ("CLOSER, ACTIVE LEAF TO HAVE HOLD OPEN", None),
            ("CLOSER 689 ACTIVE LEAF PARALLEL ARM", Some("active")),
            ("KICK PLATE 630 INACTIVE LEAF PUSH SIDE", Some("inactive")),
            ("CLOSER, ACTIVE LEAF HAS HOLD OPEN", None),
            ("CLOSER, ACTIVE LEAF WITH STOP ARM", None),
            ("CLOSER, NOT AT INACTIVE LEAF", None),
            ("CLOSER, COORDINATE WITH ACTIVE LEAF BOLT", None),
        ] {
            spec.wording = Wording::free(text);
            assert_eq!(spec.one_leaf(), leaf, "{text}");
        }
    }
}
