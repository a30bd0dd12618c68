//! A quote as its record tells it: what is needed to compare two, and no more. Keys that this does not know are passed over.

use std::collections::BTreeMap;

use rust_decimal::Decimal;
use serde::Deserialize;
use serde_json::Value as Json;

use super::as_read::AsRead;
use super::history::Step;
use crate::complete::Answers;
use crate::complete::told::{Told, Typed};
use crate::count::takeoff;
use crate::money::Money;
use crate::terms::{Held, held_key};

/// The form that is read.
const SCHEMA: &str = "pintle.record/";
const VERSION: u32 = 1;

/// A quote, from its record.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct Snapshot {
    pub schema: String,
    pub date: String,
    pub job: JobName,
    pub catalog: CatalogName,
    pub openings: Vec<BTreeMap<String, Json>>,
    pub sets: Vec<SetRecord>,
    pub added: Vec<LineRecord>,
    pub findings: Vec<FindingRecord>,
    pub charges: Vec<ChargeRecord>,
    pub totals: TotalsRecord,
    /// Answers of the user so far, by the id of the question.
    pub answers: BTreeMap<String, Told>,
    /// What the user typed over so far.
    pub typed_over: Vec<Typed>,
    /// Numbers under which questions went to the architect.
    pub question_numbers: BTreeMap<String, u32>,
    /// The schedule as it was read.
    pub as_read: AsRead,
    /// The job file of that quote, as it was written.
    pub job_terms: String,
    /// The steps from the bid to that quote.
    pub history: Vec<Step>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct JobName {
    pub name: String,
    pub number: String,
    pub addenda: Vec<String>,
}

#[derive(Debug, Clone, Default, Deserialize, PartialEq, Eq)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct CatalogName {
    pub name: String,
    pub effective: String,
    pub sha256: String,
    pub currency: String,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct SetRecord {
    pub id: String,
    pub title: String,
    pub openings: Vec<String>,
    pub lines: Vec<LineRecord>,
}

/// A line or an addition.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct LineRecord {
    pub origin: Option<Origin>,
    pub text: String,
    pub quantity: String,
    pub unit: String,
    pub basis: String,
    pub category: Option<String>,
    pub attributes: BTreeMap<String, Json>,
    pub status: String,
    /// What the words give, attribute by attribute.
    pub evidence: Vec<EvidenceRecord>,
    /// Ids of the findings about it.
    pub findings: Vec<String>,
    pub good: Option<GoodRecord>,
    pub count: Option<Decimal>,
    /// `quantity@openings`, openings by place in the list of the record.
    pub shares: String,
    pub unit_price: Option<Money>,
    pub extended: Option<Money>,
    pub working: Option<WorkingRecord>,
    // Of additions.
    pub rule: String,
    pub why: String,
    pub set: Option<String>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct EvidenceRecord {
    pub attribute: String,
}

#[derive(Debug, Clone, Default, Deserialize, PartialEq, Eq)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct Origin {
    pub file: String,
    pub sheet: String,
    pub row: u32,
}

#[derive(Debug, Clone, Default, Deserialize, PartialEq, Eq)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct GoodRecord {
    pub designation: String,
    pub line: String,
    pub maker: String,
    pub attributes: BTreeMap<String, Json>,
}

impl GoodRecord {
    /// A length among its attributes, in inches; empty where it has none.
    pub(super) fn length(&self, name: &str) -> String {
        self.attributes.get(name).and_then(Json::as_str).unwrap_or_default().to_owned()
    }
}

#[derive(Debug, Clone, Default, Deserialize, PartialEq, Eq)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct WorkingRecord {
    pub list: Option<Money>,
    pub multiplier: Option<Decimal>,
    pub net: Option<Money>,
    pub rate_words: String,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct FindingRecord {
    pub id: String,
    pub rule: String,
    pub kind: String,
    pub says: String,
    pub openings: Vec<String>,
    pub set: Option<String>,
    pub attribute: Option<String>,
    pub answers: Vec<AnswerRecord>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct AnswerRecord {
    pub value: String,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct ChargeRecord {
    pub kind: String,
    pub words: String,
    pub amount: Money,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs, reason = "the names are those of the record")]
pub struct TotalsRecord {
    pub goods: Money,
    pub freight: Money,
    pub total: Money,
}

impl LineRecord {
    /// How many in all.
    pub fn counted(&self) -> Decimal {
        self.count.unwrap_or_else(|| self.quantity.parse().unwrap_or_default())
    }

    /// Whether the words of the line give an attribute.
    pub fn said(&self, attribute: &str) -> bool {
        self.evidence.iter().any(|one| one.attribute == attribute)
    }

    /// Price of one; nothing where it has none.
    pub fn unit(&self) -> Money {
        self.unit_price.unwrap_or_default()
    }

    /// Count × price.
    pub fn sum(&self) -> Money {
        self.extended.unwrap_or_default()
    }

    /// The designation of its good; empty if it has none.
    pub fn designation(&self) -> &str {
        self.good.as_ref().map_or("", |good| good.designation.as_str())
    }
}

impl Snapshot {
    /// Reads a record and checks that it adds up: a record edited by hand or cut short is refused, not repaired.
    ///
    /// # Errors
    /// What is wrong with it and what to do.
    pub fn parse(text: &str, name: &str) -> Result<Snapshot, String> {
        let help = "give the record.json that `pintle quote` wrote; quote again if it is lost";
        let json: Json = serde_json::from_str(text).map_err(|error| {
            format!("{name} is not a whole record: {error}\n  help: the file was cut short or edited; {help}")
        })?;
        let schema = json.get("schema").and_then(Json::as_str).unwrap_or_default();
        let Some(version) = schema.strip_prefix(SCHEMA).and_then(|version| version.parse::<u32>().ok()) else {
            return Err(format!("{name} is not a record of a quote (its schema is \"{schema}\")\n  help: {help}"));
        };
        if version > VERSION {
            return Err(format!(
                "{name} is a record of version {version}; this program reads up to version {VERSION}\n  \
                 help: use the program that wrote it, or a newer one"
            ));
        }
        let snapshot: Snapshot = serde_json::from_value(json)
            .map_err(|error| format!("{name} is not a record as it was written: {error}\n  help: {help}"))?;
        snapshot.check(name).map_err(|wrong| format!("{wrong}\n  help: the record was edited by hand; {help}"))?;
        Ok(snapshot)
    }

    /// All that the user told so far.
    pub fn told(&self) -> Answers {
        Answers {
            questions: self.answers.clone(),
            typed: self.typed_over.clone(),
            numbers: self.question_numbers.clone(),
            beside: Vec::new(),
        }
    }

    /// The prices of this quote, for a quote that holds them: what is in it twice at two prices is not held.
    pub fn held(&self) -> BTreeMap<String, Held> {
        let mut held: BTreeMap<String, Option<Held>> = BTreeMap::new();
        for line in self.sets.iter().flat_map(|set| &set.lines).chain(&self.added) {
            let (Some(good), Some(sell)) = (&line.good, line.unit_price) else { continue };
            let Some(net) = line.working.as_ref().and_then(|working| working.net) else { continue };
            let key =
                held_key(&good.maker, &good.designation, &line.unit, &good.length("length"), &good.length("width"));
            let one = Held { net, sell, since: self.date.clone() };
            let known = held.entry(key).or_insert_with(|| Some(one.clone()));
            if known.as_ref().is_some_and(|known| *known != one) {
                *known = None;
            }
        }
        held.into_iter().filter_map(|(key, held)| Some((key, held?))).collect()
    }

    fn check(&self, name: &str) -> Result<(), String> {
        let mut goods = Decimal::ZERO;
        for line in self.sets.iter().flat_map(|set| &set.lines).chain(&self.added) {
            let what = if line.text.is_empty() { &line.why } else { &line.text };
            let extended =
                line.unit().times(line.counted()).ok_or_else(|| format!("{name}: \"{what}\" is too large"))?;
            if line.unit_price.is_some() && extended != line.sum() {
                return Err(format!(
                    "{name}: \"{what}\" says {} × {} = {}, which is {extended}",
                    line.counted().normalize(),
                    line.unit(),
                    line.sum()
                ));
            }
            let shares = takeoff::read_shares(&line.shares)
                .filter(|shares| shares.iter().all(|(opening, _)| *opening < self.openings.len()))
                .ok_or_else(|| format!("{name}: \"{what}\" has shares that cannot be read: \"{}\"", line.shares))?;
            let shared = shares.iter().fold(Decimal::ZERO, |sum, (_, share)| sum.saturating_add(*share));
            if !shares.is_empty() && shared != line.counted() {
                return Err(format!("{name}: the shares of \"{what}\" do not add up to {}", line.counted()));
            }
            goods = goods.saturating_add(line.sum().decimal());
        }
        if goods != self.totals.goods.decimal() {
            return Err(format!("{name}: the lines add up to {}, not to {}", Money::new(goods), self.totals.goods));
        }
        let charges = self.charges.iter().fold(goods, |sum, charge| sum.saturating_add(charge.amount.decimal()));
        if charges != self.totals.total.decimal() {
            let sum = Money::new(charges);
            return Err(format!("{name}: goods and charges add up to {sum}, not to {}", self.totals.total));
        }
        Ok(())
    }
}
