//! A checked product line: what it is, what it makes in several ways, how it is named and what it costs.

use std::borrow::Cow;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

use super::good::{Adds, Entry, Per};
use super::pattern::Pattern;
use super::table::Table;
use super::value::{Condition, Domain, is_without, shown};

/// A product line.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub(super) id: Arc<str>,
    pub(super) maker: Arc<str>,
    pub(super) category: Category,
    pub(super) series: Arc<str>,
    pub(super) designation: Pattern,
    pub(super) describe: Pattern,
    /// The same for every good of the line.
    pub(super) is: Attributes,
    /// What varies, in the order of the file.
    pub(super) makes: Vec<Varying>,
    /// What follows from the rest: a type number, currents.
    pub(super) gives: Vec<(Condition, Attributes)>,
    pub(super) rules: Vec<Rule>,
    pub(super) price: Price,
    pub(super) adders: Vec<LineAdder>,
    pub(super) length: Option<LengthRule>,
    pub(super) pack: Option<u32>,
    pub(super) minimum: Option<u32>,
    pub(super) returnable: bool,
    pub(super) weight: Option<Decimal>,
    pub(super) notes: Vec<Arc<str>>,
    pub(super) discontinued: Option<Discontinued>,
    pub(super) kit: Vec<KitPart>,
    /// Other words for values: attribute, the word, the value it stands for.
    pub(super) also: Vec<(Attr, Arc<str>, Value)>,
    pub(super) entry: Entry,
}

impl Line {
    /// The value that an asked one stands for in this line's words.
    pub(super) fn meaning<'a>(&'a self, attr: Attr, asked: &'a Value) -> Cow<'a, Value> {
        let known = |words: &str| self.also.iter().find(|(own, word, _)| *own == attr && **word == *words);
        // Of several words each by itself: a bond sensor and a door switch.
        if let Value::List(all) = asked
            && all.len() > 1
            && all.iter().any(|word| known(word).is_some())
        {
            let one = |word: &Arc<str>| match known(word) {
                Some((_, _, Value::Text(own))) => own.clone(),
                _ => word.clone(),
            };
            let mut own: Vec<Arc<str>> = all.iter().map(one).collect();
            own.sort();
            own.dedup();
            return Cow::Owned(Value::List(own));
        }
        known(&asked.to_string()).map_or(Cow::Borrowed(asked), |(_, _, value)| Cow::Borrowed(value))
    }
}

/// One attribute that a line makes in several values.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Varying {
    pub(super) attr: Attr,
    pub(super) domain: Domain,
    /// Taken when nothing is said; `None`: without.
    pub(super) usual: Option<Value>,
    /// A person must choose even where prices are equal.
    pub(super) matters: bool,
    /// An extra: taken as usual without asking.
    pub(super) extra: bool,
    /// Code of each value in a designation.
    pub(super) codes: Vec<(Option<Value>, Arc<str>)>,
    /// Words of each value in a description, where they differ from the value.
    pub(super) said: Vec<(Option<Value>, Arc<str>)>,
    /// Values worth showing of a range.
    pub(super) common: Vec<Value>,
}

impl Varying {
    /// How a good's attributes say "without" where the line usually has something; `None`: by leaving it out.
    pub(super) fn without(&self) -> Option<Value> {
        self.usual.as_ref().map(|_| Value::text("none"))
    }

    /// The code of a value.
    pub(super) fn code(&self, value: Option<&Value>) -> String {
        match (&self.domain, value) {
            (Domain::Range(..), Some(value)) => value.to_string(),
            (Domain::AnyOf(_), Some(value)) => self
                .codes
                .iter()
                .filter(|(word, _)| word.as_ref().is_some_and(|word| contains(value, word)))
                .map(|(_, code)| &**code)
                .collect(),
            _ => self
                .codes
                .iter()
                .find(|(own, _)| own.as_ref() == value)
                .or_else(|| self.codes.iter().find(|(own, _)| own.is_none() && value.is_some_and(is_without)))
                .map_or(String::new(), |(_, code)| code.to_string()),
        }
    }

    /// The value whose code is empty, if one is.
    pub(super) fn empty_code(&self) -> Option<Option<Value>> {
        match &self.domain {
            Domain::AnyOf(_) => Some(None),
            Domain::Range(..) => None,
            _ => self.codes.iter().find(|(_, code)| code.is_empty()).map(|(value, _)| value.clone()),
        }
    }

    /// The words of a value; empty when it goes without saying.
    pub(super) fn words(&self, value: Option<&Value>) -> String {
        if let (Domain::AnyOf(_), Some(value)) = (&self.domain, value) {
            let words: Vec<&str> = self
                .said
                .iter()
                .filter(|(word, _)| word.as_ref().is_some_and(|word| contains(value, word)))
                .map(|(_, words)| &**words)
                .collect();
            return words.join(" + ");
        }
        match self.said.iter().find(|(own, _)| own.as_ref() == value) {
            Some((_, words)) => words.to_string(),
            None => value.map_or(String::new(), |value| shown(Some(value))),
        }
    }

    /// Every value worth trying when nothing is asked, the usual one first.
    pub(super) fn options(&self) -> Vec<Option<Value>> {
        let mut options = vec![self.usual.clone()];
        match &self.domain {
            Domain::OneOf(values) => options.extend(values.iter().filter(|value| **value != self.usual).cloned()),
            Domain::Range(..) => {
                options.extend(self.common.iter().cloned().map(Some).filter(|value| *value != self.usual))
            }
            Domain::AnyOf(words) => options.extend(words.iter().map(|word| Some(Value::List(vec![word.clone()])))),
            Domain::Free => {}
        }
        options
    }
}

fn contains(list: &Value, word: &Value) -> bool {
    match (list, word) {
        (Value::List(words), Value::Text(word)) => words.contains(word),
        (value, word) => value == word,
    }
}

/// What cannot go together, or only goes together.
#[derive(Debug, Clone)]
pub(super) struct Rule {
    pub(super) when: Condition,
    /// All of these must then hold.
    pub(super) needs: Condition,
    /// These must not all hold then; empty: nothing is excluded.
    pub(super) excludes: Condition,
    pub(super) because: Arc<str>,
}

impl Rule {
    /// What stands against the attributes, if anything does.
    pub(super) fn objection(&self, attributes: &Attributes) -> Option<String> {
        if !self.when.holds(attributes) {
            return None;
        }
        let unmet = !self.needs.holds(attributes);
        let clash = !self.excludes.0.is_empty() && self.excludes.holds(attributes);
        if !unmet && !clash {
            return None;
        }
        let when = self.when.words();
        let what = match (unmet, when.is_empty()) {
            (true, true) => format!("is made only with {}", self.needs.words()),
            (true, false) => format!("{when} is made only with {}", self.needs.words()),
            (false, true) => format!("is not made with {}", self.excludes.words()),
            (false, false) => format!("{when} does not go with {}", self.excludes.words()),
        };
        Some(if self.because.is_empty() { what } else { format!("{what} ({})", self.because) })
    }

    /// The attributes it speaks of.
    pub(super) fn attrs(&self) -> impl Iterator<Item = Attr> + '_ {
        [&self.when, &self.needs, &self.excludes]
            .into_iter()
            .flat_map(|condition| condition.0.iter().map(|(attr, _)| *attr))
    }
}

/// Where the base price of a line comes from.
#[derive(Debug, Clone)]
pub(super) struct Price {
    pub(super) per: Per,
    pub(super) from: Base,
    /// Net-priced: takes no discount.
    pub(super) net: bool,
}

/// The base price.
#[derive(Debug, Clone)]
pub(super) enum Base {
    /// One figure.
    Flat(Money, Entry),
    /// A table over attributes.
    Table(Table),
    /// The sum of the kit's parts.
    Parts,
    /// To be asked for.
    Call(Entry),
}

/// An adder of a line.
#[derive(Debug, Clone)]
pub(super) struct LineAdder {
    pub(super) when: Condition,
    pub(super) what: Arc<str>,
    pub(super) adds: Adds,
    /// Money times the pieces that a length is cut from.
    pub(super) per_piece: bool,
    pub(super) entry: Entry,
}

/// How goods sold by length are cut.
#[derive(Debug, Clone)]
pub(super) struct LengthRule {
    pub(super) attr: Attr,
    /// Stock lengths, shortest first; empty: cut to any length.
    pub(super) stock: Vec<Inches>,
    /// Rounded up to a multiple of this.
    pub(super) round: Inches,
    /// Longest piece.
    pub(super) longest: Inches,
    /// A longer length is made of several pieces.
    pub(super) joined: bool,
    /// The longest stock that is not longer than what is asked serves: a filler closes the rest. Below the shortest it is cut.
    pub(super) within: bool,
    /// Charge, at list, for each piece that is cut shorter than stock.
    pub(super) cut: Option<(Money, Entry)>,
}

/// No longer made.
#[derive(Debug, Clone)]
pub(super) struct Discontinued {
    pub(super) from: Arc<str>,
    pub(super) successor: Option<Arc<str>>,
}

/// One part of a kit.
#[derive(Debug, Clone)]
pub(super) struct KitPart {
    pub(super) line: Arc<str>,
    pub(super) count: u32,
    /// Attributes of the part beside those that the kit hands on.
    pub(super) with: Attributes,
}
