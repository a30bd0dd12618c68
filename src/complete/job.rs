//! The working state of completing: doors with their facts, sets with their lines, what rules have added so far; and the
//! questions that rules ask of it. A rule sees the state and returns acts; `settle` applies them.

use crate::understand::Lexicon;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::{Arc, PoisonError, RwLock};

use rust_decimal::Decimal;

use crate::catalog::Catalog;
use crate::catalog::good::{Request, Selection};
use crate::finding::LineId;
use crate::read::schedule::{Basis, Schedule};
use crate::terms::Terms;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::remark::{self, Matter};

use super::door::Door;
use super::spec::{Addition, CompletedSet, From, Grade, Sourced, Spec};

/// What is said of doors that slide.
pub const SLIDES: Matter = "slides";

/// On these a leaf swings.
const SWING: [Category; 4] = [Category::Hinge, Category::SpringHinge, Category::ContinuousHinge, Category::Pivot];

/// Answers of the catalog to what was asked so far; rules that run side by side share them.
#[derive(Debug, Default)]
pub struct Known {
    /// Answers of the catalog, kept.
    pub selections: RwLock<HashMap<(Category, Attributes), Arc<Selection>>>,
    /// The word lists of the job, by which notes are read; `None`: the lists inside the program alone.
    pub words: Option<Arc<Lexicon>>,
    /// What remarks say that others furnish, each part by the kinds of goods it names; none where they say it of more.
    pub of_others: RwLock<HashMap<String, Arc<[Vec<Category>]>>>,
}

/// The state.
#[derive(Clone)]
pub struct Job<'a> {
    /// As read, doors named only by sets added.
    pub schedule: &'a Schedule,
    /// Facts of each opening, by index.
    pub doors: &'a [Door],
    /// Their numbers, as words of lines say them.
    pub numbers_said: &'a super::left_out::Numbers,
    /// Sets.
    pub sets: Vec<CompletedSet>,
    /// Additions so far.
    pub added: Vec<Addition>,
    /// For each opening: which additions it has part in.
    pub added_at: BTreeMap<usize, Vec<usize>>,
    /// Lines struck through or not used: as if they were not there.
    pub void: BTreeSet<LineId>,
    /// Lines that a rule leaves out, which tells it itself; their words say nothing of others.
    pub ruled_out: BTreeSet<LineId>,
    /// Lines whose quantity the user has fixed.
    pub fixed: BTreeSet<LineId>,
    /// Those whose quantity was typed over in the priced line: it is the number that is priced.
    pub typed: BTreeSet<LineId>,
    /// Quantities that the user has fixed at single openings.
    pub fixed_at: BTreeSet<(LineId, usize)>,
    /// Values that the user has given at single openings; no rule changes them.
    pub given_at: BTreeSet<(LineId, usize, Attr)>,
    /// Where doors and sets do not agree.
    pub matching: &'a super::reconcile::Matching,
    /// Catalog.
    pub catalog: &'a Catalog,
    /// Terms.
    pub terms: &'a Terms,
    /// Answers of the catalog, kept.
    pub cache: &'a Known,
    /// For each set: the categories of its lines, a bit each, and the last bit for lines without. Most rules look for goods
    /// that most sets have none of; those need not be gone through.
    pub kinds: Vec<u64>,
}

/// Bit of the lines that have no category.
const UNREAD: u64 = 1 << 63;

/// Bit of a category.
fn bit(category: Category) -> u64 {
    1 << (category as u32).min(62)
}

impl Job<'_> {
    /// The doors of a set that are counted; none of a set that is said not to be used: that doors have it is asked, and no rule
    /// buys for them.
    pub fn doors(&self, set: usize) -> impl Iterator<Item = &Door> {
        let unused = self.schedule.sets.get(set).is_some_and(|set| set.not_used.is_some());
        let openings = if unused { &[][..] } else { &self.sets[set].openings[..] };
        openings.iter().filter_map(|index| self.doors.get(*index)).filter(|door| door.live)
    }

    /// Numbers of the set's counted doors.
    pub fn numbers(&self, set: usize) -> Vec<String> {
        self.doors(set).map(|door| door.number.clone()).collect()
    }

    /// Lines understood and supplied by us.
    pub fn lines(&self, set: usize) -> impl Iterator<Item = &Spec> {
        self.sets[set].specs.iter().filter(|spec| spec.category.is_some() && spec.excluded.is_none())
    }

    /// Lines of some categories, supplied by us.
    pub fn lines_of(&self, set: usize, categories: &[Category]) -> Vec<&Spec> {
        if !self.may_have(set, categories) {
            return Vec::new();
        }
        self.lines(set).filter(|spec| spec.is_any(categories)).collect()
    }

    /// Lines of some categories, whoever supplies them.
    pub fn all_of(&self, set: usize, categories: &[Category]) -> Vec<&Spec> {
        if !self.may_have(set, categories) {
            return Vec::new();
        }
        self.sets[set].specs.iter().filter(|spec| spec.is_any(categories) && !self.void.contains(&spec.id)).collect()
    }

    /// Whether the set names one of the categories, whoever supplies it.
    pub fn names(&self, set: usize, categories: &[Category]) -> bool {
        self.may_have(set, categories)
            && self.sets[set].specs.iter().any(|spec| spec.is_any(categories) && !self.void.contains(&spec.id))
    }

    /// Whether a door has one of the categories by its set, whoever supplies it: what is left out at the door it has not.
    pub fn names_at(&self, set: usize, door: &Door, categories: &[Category]) -> bool {
        self.may_have(set, categories)
            && self.sets[set]
                .specs
                .iter()
                .any(|spec| spec.is_any(categories) && !self.void.contains(&spec.id) && spec.stands_at(door))
    }

    /// Whether a door has one of the categories by its set or by an addition of another rule than `code`.
    pub fn has(&self, set: usize, door: &Door, categories: &[Category], code: &str) -> bool {
        self.names_at(set, door, categories) || !self.added_to(door.index, categories, code).is_empty()
    }

    /// The counted doors of a line's set at which the line is not left out.
    pub fn doors_of(&self, spec: &Spec) -> impl Iterator<Item = &Door> {
        self.doors(spec.id.set).filter(|door| !spec.left_out.contains(&door.index))
    }

    /// Additions to an opening by other rules than `code`.
    pub fn added_to(&self, opening: usize, categories: &[Category], code: &str) -> Vec<&Addition> {
        self.added_at
            .get(&opening)
            .into_iter()
            .flatten()
            .filter_map(|index| self.added.get(*index))
            .filter(|added| added.rule != code && categories.contains(&added.category))
            .collect()
    }

    /// Those of a line's doors that have one of the numbers, where they are not all of them: what is answered for some
    /// doors of a set leaves the others as they are. `None`: all, or none of them.
    pub fn some_of(&self, line: LineId, numbers: &HashSet<&str>) -> Option<Vec<usize>> {
        self.sets.get(line.set)?;
        let all = self.doors(line.set).count();
        let named = self.doors(line.set).filter(|door| numbers.contains(door.number.as_str()));
        let named: Vec<usize> = named.map(|door| door.index).collect();
        (!named.is_empty() && named.len() < all).then_some(named)
    }

    /// Numbers of the doors of a set at which all of some lines are left out.
    pub fn left_out_by_all<'s>(&'s self, set: usize, mut specs: impl Iterator<Item = &'s Spec>) -> BTreeSet<&'s str> {
        let Some(first) = specs.next().filter(|first| !first.left_out.is_empty()) else { return BTreeSet::new() };
        let mut gone = first.left_out.clone();
        specs.for_each(|spec| gone.retain(|door| spec.left_out.contains(door)));
        self.doors(set).filter(|door| gone.contains(&door.index)).map(|door| door.number.as_str()).collect()
    }

    /// Numbers of the set's counted doors of a kind.
    pub fn numbers_of(&self, set: usize, wanted: impl Fn(&Door) -> bool) -> Vec<String> {
        self.doors(set).filter(|door| wanted(door)).map(|door| door.number.clone()).collect()
    }

    /// Whether a line of the set was not understood: it may be the very good that a rule misses.
    pub fn unread(&self, set: usize) -> bool {
        self.kinds.get(set).is_none_or(|kinds| kinds & UNREAD != 0)
            && self.sets[set].specs.iter().any(|spec| spec.category.is_none())
    }

    /// Whether the doors of a set slide, by its title or by goods of its lines that are for such doors: they have no inactive
    /// leaf, and strike no frame as a leaf that swings does. What other goods say of doors that slide may be said of others;
    /// what hangs on hinges swings.
    pub fn slides(&self, set: usize) -> bool {
        let said = |text: &str| remark::matters(&[text]).contains(&SLIDES);
        let hung = || self.names(set, &SWING);
        let own = |spec: &Spec| {
            spec.category == Some(Category::Other) && spec.left_out.is_empty() && said(&spec.wording.text)
        };
        self.sets.get(set).is_some_and(|of| said(&of.title) || of.specs.iter().any(own) && !hung())
    }

    /// How many of some categories one opening has by its set, whoever supplies them.
    pub fn how_many(&self, set: usize, door: &Door, categories: &[Category]) -> Decimal {
        self.all_of(set, categories).iter().map(|spec| spec.standing_at(door)).sum()
    }

    /// The catalog's answer, remembered.
    pub fn select(&self, category: Category, attributes: Attributes) -> Arc<Selection> {
        let key = (category, attributes);
        // Whatever stopped another thread, what it noted is sound: each answer is put in whole.
        if let Some(known) = self.cache.selections.read().unwrap_or_else(PoisonError::into_inner).get(&key) {
            return Arc::clone(known);
        }
        let makers = self.terms.makers_of(category).cloned().unwrap_or_default();
        let request = Request { category, attributes: key.1.clone(), makers };
        let selection = Arc::new(self.catalog.select(&request));
        self.cache.selections.write().unwrap_or_else(PoisonError::into_inner).insert(key, Arc::clone(&selection));
        selection
    }

    /// The word lists by which remarks and notes are read: the job's, else those inside the program.
    pub fn words(&self) -> Option<&Lexicon> {
        self.cache.words.as_deref().or_else(|| crate::understand::embedded())
    }

    /// Notes which categories each set has; to be done again after a line has become another category.
    pub fn note_kinds(&mut self) {
        let bits = |set: &CompletedSet| set.specs.iter().fold(0, |bits, spec| bits | spec.category.map_or(UNREAD, bit));
        self.kinds = self.sets.iter().map(bits).collect();
    }

    /// Whether a set may have one of the categories; its lines tell.
    fn may_have(&self, set: usize, categories: &[Category]) -> bool {
        let wanted = categories.iter().fold(0, |bits, category| bits | bit(*category));
        self.kinds.get(set).is_none_or(|kinds| kinds & wanted != 0)
    }

    /// A number that the good brings which is chosen when this is asked, such as its current: `draw_amps`.
    pub fn brings(&self, spec: &Spec, asked: &Attributes, attribute: &str) -> Option<Decimal> {
        let selection = self.select(spec.category?, asked.clone());
        let value = selection.candidates.first()?.good.attributes.get(&Attr::new(attribute))?.clone();
        match value {
            Value::Number(number) => Some(number),
            Value::Text(text) => Decimal::from_str_exact(&text).ok(),
            _ => None,
        }
    }
}

impl Spec {
    /// Gives an attribute at one opening. A finish brings its look and base metal with it.
    pub fn vary(&mut self, opening: usize, attribute: Attr, value: Value) {
        let own = self.varies.entry(opening).or_default();
        if attribute == names::FINISH
            && let Some(found) = value.as_text().and_then(crate::trade::finish::find)
        {
            if let Some(base) = found.base() {
                own.insert(names::BASE, Value::text(base));
            }
            own.insert(names::LOOK, Value::text(found.look));
        }
        own.insert(attribute, value);
    }

    /// Gives what an answer says. A finish code says look and base metal as well, whatever the words said of them.
    pub fn answer(&mut self, attribute: Attr, value: &Value, words: &str) {
        if attribute == names::FINISH && value.as_text().is_some_and(|code| crate::trade::finish::find(code).is_some())
        {
            self.attributes.remove(&names::LOOK);
            self.attributes.remove(&names::BASE);
        }
        self.attributes.insert(attribute, Sourced { value: value.clone(), from: From::Answer(words.to_owned()) });
    }

    /// Whether it is one of the categories.
    pub fn is_any(&self, categories: &[Category]) -> bool {
        self.category.is_some_and(|category| categories.contains(&category))
    }

    /// The value of an attribute.
    pub fn value(&self, attribute: Attr) -> Option<&Value> {
        self.attributes.get(&attribute).map(|sourced| &sourced.value)
    }

    /// The word of an attribute; empty if there is none.
    pub fn word(&self, attribute: Attr) -> &str {
        self.value(attribute).and_then(Value::as_text).unwrap_or("")
    }

    /// Whether a flag is set.
    pub fn is_set(&self, attribute: Attr) -> bool {
        self.value(attribute).is_some_and(Value::is_true)
    }

    /// Whether nobody but the rule `code` gave the attribute: the rule may give it again.
    pub fn lacks(&self, attribute: Attr, code: &str) -> bool {
        match self.attributes.get(&attribute) {
            None => true,
            Some(Sourced { from: From::Rule(by, _), .. }) => *by == code,
            Some(_) => false,
        }
    }

    /// Whether the words of the line, or the user, gave the attribute.
    pub fn says(&self, attribute: Attr) -> bool {
        matches!(self.attributes.get(&attribute), Some(Sourced { from: From::Said(_) | From::Answer(_), .. }))
    }

    /// What is asked of the catalog.
    pub fn asked(&self) -> Attributes {
        // No good is made by the height at which it is mounted.
        let made = self.attributes.iter().filter(|(name, _)| **name != names::MOUNTING_HEIGHT);
        made.map(|(name, sourced)| (*name, sourced.value.clone())).collect()
    }

    /// Whether an opening has it, whoever supplies it.
    pub fn stands_at(&self, door: &Door) -> bool {
        !self.left_out.contains(&door.index) || self.others.contains(&door.index)
    }

    /// How many of it one opening has, whoever supplies them.
    pub fn standing_at(&self, door: &Door) -> Decimal {
        if self.stands_at(door) { self.written_at(door) } else { Decimal::ZERO }
    }

    /// How many of it one opening gets.
    pub fn count_at(&self, door: &Door) -> Decimal {
        if self.left_out.contains(&door.index) { Decimal::ZERO } else { self.written_at(door) }
    }

    fn written_at(&self, door: &Door) -> Decimal {
        self.at.get(&door.index).copied().unwrap_or_else(|| match self.basis {
            Basis::Leaf => self.quantity.saturating_mul(Decimal::from(door.leaves)),
            Basis::Opening | Basis::Lot => self.quantity,
        })
    }

    /// The value of an attribute at one opening.
    pub fn value_at(&self, door: &Door, attribute: Attr) -> Option<&Value> {
        self.varies.get(&door.index).and_then(|attributes| attributes.get(&attribute)).or_else(|| self.value(attribute))
    }

    /// The weakest grade among the values that rules filled in.
    pub fn weakest(&self) -> Option<Grade> {
        self.attributes
            .values()
            .filter_map(|sourced| match sourced.from {
                From::Rule(_, grade) => Some(grade),
                From::Catalog(_) => Some(Grade::Assumed),
                _ => None,
            })
            .max_by_key(|grade| *grade as u8)
    }

    /// Its words, shortened for a finding.
    pub fn words(&self) -> String {
        let text: String = self.wording.text.split_whitespace().collect::<Vec<_>>().join(" ");
        text.chars().take(80).collect()
    }
}
