//! Lines, additions and their goods, as the record writes them.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use serde::ser::{Serialize, SerializeMap, Serializer};

use crate::catalog::good::{Candidate, Undecided};
use crate::complete::spec::{Addition, CompletedSet, Spec};
use crate::count::takeoff::{From, write_shares};
use crate::finding::{Finding, LineId};
use crate::place::Place;
use crate::price::quote::{PricedItem, Quote, Working};
use crate::trade::attribute::Attributes;

use super::heard::{Each, Named, Said, Shown, evidence_of, filled, number, slice};

/// Items by where they come from.
pub struct Items<'a> {
    lines: BTreeMap<From, Vec<&'a PricedItem>>,
}

impl<'a> Items<'a> {
    /// Of a quote.
    pub fn of(quote: &'a Quote) -> Self {
        let mut lines: BTreeMap<From, Vec<&PricedItem>> = BTreeMap::new();
        for item in &quote.items {
            lines.entry(item.item.from).or_default().push(item);
        }
        Self { lines }
    }

    fn from(&self, from: From) -> &[&'a PricedItem] {
        self.lines.get(&from).map_or(&[], Vec::as_slice)
    }
}

/// Where a thing stands in the schedule.
pub struct Origin<'a>(pub &'a Place);

impl Serialize for Origin<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut object = out.serialize_map(None)?;
        object.serialize_entry("file", &*self.0.file)?;
        object.serialize_entry("sheet", &*self.0.sheet)?;
        object.serialize_entry("row", &self.0.row)?;
        if let Some(column) = &self.0.column {
            object.serialize_entry("column", &**column)?;
        }
        object.end()
    }
}

/// A set with its lines.
pub struct Set<'a> {
    /// The quote it belongs to.
    pub quote: &'a Quote,
    /// Which of its sets.
    pub index: usize,
    /// The set.
    pub set: &'a CompletedSet,
    /// Items of the quote.
    pub items: &'a Items<'a>,
}

impl Serialize for Set<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let openings = || self.set.openings.iter().filter_map(|opening| self.quote.job.schedule.openings.get(*opening));
        let mut object = out.serialize_map(None)?;
        object.serialize_entry("id", &self.set.id)?;
        object.serialize_entry("title", &self.set.title)?;
        object.serialize_entry("openings", &Each(|| openings().map(|opening| &opening.number)))?;
        object.serialize_entry("origin", &Origin(&self.set.place))?;
        object.serialize_entry("lines", &Each(|| self.lines()))?;
        object.end()
    }
}

impl<'a> Set<'a> {
    /// A line once for each good that it counts to; one that counts nothing is there too.
    fn lines(&self) -> impl Iterator<Item = Line<'a>> {
        self.set.specs.iter().enumerate().flat_map(move |(line, spec)| {
            // Ids count in the completed sets, so the place in the list is the id.
            let mine = self.items.from(From::Line(LineId { set: self.index, line }));
            let findings = &self.quote.job.findings;
            let several = mine.len() > 1;
            let counted = mine.iter().map(move |item| Line {
                spec,
                findings,
                counted: Some(Counted { item, several, quote: self.quote }),
            });
            counted.chain(mine.is_empty().then_some(Line { spec, findings, counted: None }))
        })
    }
}

struct Line<'a> {
    spec: &'a Spec,
    findings: &'a [Finding],
    counted: Option<Counted<'a>>,
}

struct Counted<'a> {
    item: &'a PricedItem,
    several: bool,
    quote: &'a Quote,
}

impl Serialize for Line<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut object = out.serialize_map(None)?;
        let varied = self.counted.as_ref().map(|counted| &counted.item.item.varied);
        described(&mut object, self.spec, self.findings, varied)?;
        if let Some(Counted { item, several, quote }) = &self.counted {
            object.serialize_entry("good", &item.item.candidate.as_deref().map(Good))?;
            object.serialize_entry("count", &number(item.item.count))?;
            object.serialize_entry("shares", &write_shares(&item.item.shares))?;
            if *several {
                object.serialize_entry("openings", &Each(|| numbers(item, quote)))?;
            }
            price(&mut object, item.working.as_ref())?;
            if item.working.is_some() {
                object.serialize_entry("extended", &Said(item.extended))?;
            }
            let others = self.spec.selection.candidates.get(1..).unwrap_or_default();
            if !others.is_empty() {
                object.serialize_entry("alternatives", &Each(|| others.iter().map(|other| Alternative(other))))?;
            }
        }
        object.end()
    }
}

/// One line as `pintle explain --json` prints it: without counts, with what it would cost each.
pub struct Explained<'a> {
    /// The line.
    pub spec: &'a Spec,
    /// Findings of its job.
    pub findings: &'a [Finding],
    /// What it would cost.
    pub working: Option<&'a Working>,
}

impl Serialize for Explained<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut object = out.serialize_map(None)?;
        described(&mut object, self.spec, self.findings, None)?;
        object.serialize_entry("good", &self.spec.selection.candidates.first().map(|good| Good(good)))?;
        price(&mut object, self.working)?;
        object.end()
    }
}

/// What is said of a line whatever it counts to. `varied`: what a good of it has otherwise than the line.
fn described<M: SerializeMap>(
    object: &mut M,
    spec: &Spec,
    findings: &[Finding],
    varied: Option<&Attributes>,
) -> Result<(), M::Error> {
    let text = &spec.wording.text;
    object.serialize_entry("origin", &Origin(&spec.place))?;
    object.serialize_entry("text", text)?;
    object.serialize_entry("quantity", &number(spec.quantity))?;
    object.serialize_entry("unit", spec.unit.word())?;
    object.serialize_entry("basis", spec.basis.word())?;
    object.serialize_entry("category", &spec.category.map(|category| category.name()))?;
    object.serialize_entry("attributes", &Varied { spec, varied })?;
    object.serialize_entry("evidence", &evidence_of(&spec.reading, text))?;
    object.serialize_entry("filled", &Each(|| filled(spec)))?;
    object.serialize_entry("unread", &Each(|| spec.reading.unread.iter().map(|span| slice(text, span))))?;
    object.serialize_entry("status", spec.status.word())?;
    if let Some(excluded) = &spec.excluded {
        object.serialize_entry("excluded", excluded)?;
    }
    let ids = || spec.findings.iter().filter_map(|index| findings.get(*index)).map(|finding| &finding.id);
    object.serialize_entry("findings", &Each(ids))
}

/// Attributes of a line, and what one of its goods has otherwise.
struct Varied<'a> {
    spec: &'a Spec,
    varied: Option<&'a Attributes>,
}

impl Serialize for Varied<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let own = self.spec.attributes.iter();
        let Some(varied) = self.varied.filter(|varied| !varied.is_empty()) else {
            return out.collect_map(own.map(|(name, sourced)| (name.name(), Shown(&sourced.value))));
        };
        let mut all: Attributes = own.map(|(name, sourced)| (*name, sourced.value.clone())).collect();
        all.extend(varied.iter().map(|(name, value)| (*name, value.clone())));
        Named(&all).serialize(out)
    }
}

fn numbers<'a>(item: &'a PricedItem, quote: &'a Quote) -> impl Iterator<Item = &'a String> {
    let openings = &quote.job.schedule.openings;
    item.item.shares.iter().filter_map(|(index, _)| openings.get(*index)).map(|opening| &opening.number)
}

/// Which good it is.
fn which<M: SerializeMap>(object: &mut M, candidate: &Candidate) -> Result<(), M::Error> {
    object.serialize_entry("designation", &candidate.good.designation)?;
    object.serialize_entry("line", &*candidate.good.line)?;
    object.serialize_entry("maker", &*candidate.good.maker)
}

struct Good<'a>(&'a Candidate);

impl Serialize for Good<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let good = &self.0.good;
        let mut object = out.serialize_map(None)?;
        which(&mut object, self.0)?;
        object.serialize_entry("description", &good.description)?;
        object.serialize_entry("attributes", &Named(&good.attributes))?;
        object.serialize_entry("why", &self.0.why)?;
        object.serialize_entry("undecided", &Each(|| self.0.undecided.iter().map(Open)))?;
        object.end()
    }
}

struct Open<'a>(&'a Undecided);

impl Serialize for Open<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        #[derive(serde::Serialize)]
        struct Choice<'a> {
            value: Shown<'a>,
            list: Said<crate::money::Money>,
        }
        let choices = || self.0.options.iter().map(|(value, list)| Choice { value: Shown(value), list: Said(*list) });
        let mut object = out.serialize_map(None)?;
        object.serialize_entry("attribute", self.0.attribute.name())?;
        object.serialize_entry("taken", &Shown(&self.0.taken))?;
        object.serialize_entry("options", &Each(choices))?;
        object.end()
    }
}

struct Alternative<'a>(&'a Candidate);

impl Serialize for Alternative<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let mut object = out.serialize_map(None)?;
        which(&mut object, self.0)?;
        object.serialize_entry("net", &Said(self.0.good.list.net()))?;
        object.end()
    }
}

fn price<M: SerializeMap>(object: &mut M, working: Option<&Working>) -> Result<(), M::Error> {
    let Some(working) = working else { return Ok(()) };
    object.serialize_entry("unit_price", &Said(working.sell))?;
    object.serialize_entry("working", &Worked(working))
}

struct Worked<'a>(&'a Working);

impl Serialize for Worked<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let working = self.0;
        let made_of = || {
            working.made_of.iter().map(|portion| Portion {
                what: &portion.what,
                count: portion.count,
                each: Said(portion.each),
            })
        };
        let adders = || {
            working.adders.iter().map(|extra| Adder {
                what: &extra.what,
                how: extra.how(),
                net: extra.is_net(),
                money: Said(extra.money),
            })
        };
        let surcharges = || {
            working.surcharges.iter().map(|(what, percent, money)| Surcharge {
                what,
                percent: number(*percent),
                money: Said(*money),
            })
        };
        let mut object = out.serialize_map(None)?;
        object.serialize_entry("base", &Said(working.base))?;
        object.serialize_entry("unit", &working.unit_words)?;
        object.serialize_entry("list", &Said(working.list))?;
        object.serialize_entry("made_of", &Each(made_of))?;
        object.serialize_entry("adders", &Each(adders))?;
        object.serialize_entry("chain", &Each(|| working.chain.iter().map(|percent| number(*percent))))?;
        object.serialize_entry("multiplier", &number(working.multiplier))?;
        object.serialize_entry("net_adders", &Said(working.net_adders))?;
        object.serialize_entry("surcharges", &Each(surcharges))?;
        object.serialize_entry("net", &Said(working.net))?;
        object.serialize_entry("rate", &number(working.rate))?;
        object.serialize_entry("rate_words", &working.rate_words)?;
        object.serialize_entry("method", if working.is_margin { "margin" } else { "markup" })?;
        object.serialize_entry("sell", &Said(working.sell))?;
        object.serialize_entry("decimals", &working.decimals)?;
        object.end()
    }
}

#[derive(serde::Serialize)]
struct Portion<'a, C> {
    what: &'a str,
    count: C,
    each: Said<crate::money::Money>,
}

#[derive(serde::Serialize)]
struct Adder<'a> {
    what: &'a str,
    how: String,
    net: bool,
    money: Said<crate::money::Money>,
}

#[derive(serde::Serialize)]
struct Surcharge<'a> {
    what: &'a str,
    percent: Said<Decimal>,
    money: Said<crate::money::Money>,
}

/// An addition, once for each good that it counts to.
pub struct Added<'a> {
    quote: &'a Quote,
    added: &'a Addition,
    item: Option<&'a PricedItem>,
}

/// Of an addition, by index: one object for each good, or one that says that there is none.
pub fn addition<'a>(
    quote: &'a Quote,
    index: usize,
    added: &'a Addition,
    items: &Items<'a>,
) -> impl Iterator<Item = Added<'a>> {
    let mine = items.from(From::Added(index)).to_vec();
    let none = mine.is_empty().then_some(Added { quote, added, item: None });
    mine.into_iter().map(move |item| Added { quote, added, item: Some(item) }).chain(none)
}

impl Serialize for Added<'_> {
    fn serialize<S: Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        let Added { quote, added, item } = self;
        let mut attributes = std::borrow::Cow::Borrowed(&added.attributes);
        if let Some(item) = item.filter(|item| !item.item.varied.is_empty()) {
            attributes.to_mut().extend(item.item.varied.iter().map(|(name, value)| (*name, value.clone())));
        }
        let mut object = out.serialize_map(None)?;
        object.serialize_entry("category", added.category.name())?;
        object.serialize_entry("attributes", &Named(&attributes))?;
        object.serialize_entry("quantity", &number(item.map_or(Decimal::ZERO, |item| item.item.count)))?;
        object.serialize_entry("openings", &Each(|| item.iter().flat_map(|item| numbers(item, quote))))?;
        object.serialize_entry("unit", added.unit.word())?;
        object.serialize_entry("rule", &added.rule)?;
        object.serialize_entry("why", &added.why)?;
        object.serialize_entry("set", &added.set.and_then(|set| quote.job.sets.get(set)).map(|set| &set.id))?;
        object.serialize_entry("ours", &added.ours)?;
        object.serialize_entry("by", &added.by)?;
        if let Some(item) = item {
            object.serialize_entry("shares", &write_shares(&item.item.shares))?;
            object.serialize_entry("good", &item.item.candidate.as_deref().map(Good))?;
            price(&mut object, item.working.as_ref())?;
            if item.working.is_some() {
                object.serialize_entry("extended", &Said(item.extended))?;
            }
        }
        object.end()
    }
}
