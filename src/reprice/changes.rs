//! Changes between two quotes, in the form `pintle.changes/1`. Every cent of the difference belongs to exactly one change,
//! so the deltas add up to the difference of the totals.

use rust_decimal::Decimal;
use serde::Serialize;

use super::beside::{Asked, OpeningBeside, SetBeside};
use super::history::Step;
use super::request::Request;
use crate::money::Money;

/// All changes from one quote to another.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Changes {
    /// Name and version of the form.
    pub schema: &'static str,
    /// The old quote.
    pub from: Side,
    /// The new quote.
    pub to: Side,
    /// The changes: openings, then sets, lines, prices, findings.
    pub changes: Vec<Change>,
    /// The bridge.
    pub totals: Bridge,
    /// The steps between the two, where both are of one chain of addenda.
    pub steps: Vec<Step>,
    /// Openings that a change names or whose money changed, old and new.
    pub openings: Vec<OpeningBeside>,
    /// Sets that changed, old and new lines side by side.
    pub sets: Vec<SetBeside>,
    /// Questions: new, answered, no longer asked, still open.
    pub questions: Vec<Asked>,
    /// After the award: what is asked of the customer.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub request: Option<Request>,
}

/// One of the two quotes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Side {
    /// Date of the quote.
    pub date: String,
    /// Job.
    pub job: String,
    /// Catalog edition.
    pub catalog: String,
    /// Addenda acknowledged.
    pub addenda: Vec<String>,
}

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Happened {
    /// New.
    Added,
    /// Gone.
    Removed,
    /// Other than before.
    Changed,
    /// The same under another number.
    Renumbered,
    /// Elsewhere.
    Moved,
}

/// What it happened to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// A door opening.
    Opening,
    /// A hardware set.
    Set,
    /// A line of a set, or an addition.
    Line,
    /// Money without a change of scope: unit prices, freight, tax.
    Price,
    /// A question, an assumption, a note.
    Finding,
}

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What happened.
    pub kind: Happened,
    /// To what.
    pub what: What,
    /// Door number; set id; `set 3: text of the line`; name of the charge; id of the finding.
    pub id: String,
    /// Which property, for `changed`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// Before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// After.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    /// Doors concerned, as numbered now (as before, for what is gone).
    pub openings: Vec<String>,
    /// Difference of the total.
    pub delta: Money,
    /// Why, and how the two were paired.
    pub why: String,
    /// Category of cause, as the bridge adds it up.
    pub cause: &'static str,
    /// Goods that come (count above zero) and go: the delta is the sum of count × price.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub goods: Vec<Moved>,
    /// Quantity, unit price and extension on both sides, of lines.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figures: Option<Figures>,
}

/// Goods of one kind that a change brings or takes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct Moved {
    pub maker: String,
    pub designation: String,
    /// Length and width of a good that is cut to its door, which its designation need not say.
    #[serde(skip)]
    pub size: (String, String),
    pub category: String,
    pub unit: String,
    /// Above zero: comes; below: goes.
    pub count: Decimal,
    pub unit_price: Money,
    /// Net cost of the unit; none for what is not priced.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub net: Option<Money>,
}

/// Old and new figures of a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "the names say what they are")]
pub struct Figures {
    pub set: String,
    pub category: String,
    pub good_from: String,
    pub good_to: String,
    pub count_from: String,
    pub count_to: String,
    pub unit_from: Money,
    pub unit_to: Money,
    pub extended_from: Money,
    pub extended_to: Money,
}

/// From the old total to the new one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Bridge {
    /// Old total.
    pub before: Money,
    /// New total.
    pub after: Money,
    /// The difference, and the sum of all deltas.
    pub delta: Money,
    /// The difference by cause.
    pub by_cause: Vec<(String, Money)>,
    /// The difference by addendum, where the two are of one chain.
    pub by_addendum: Vec<(String, Money)>,
}

impl Happened {
    /// The word in the record of changes.
    pub fn word(self) -> &'static str {
        match self {
            Happened::Added => "added",
            Happened::Removed => "removed",
            Happened::Changed => "changed",
            Happened::Renumbered => "renumbered",
            Happened::Moved => "moved",
        }
    }
}

impl What {
    /// The word in the record of changes.
    pub fn word(self) -> &'static str {
        match self {
            What::Opening => "opening",
            What::Set => "set",
            What::Line => "line",
            What::Price => "price",
            What::Finding => "finding",
        }
    }
}

impl Change {
    /// Takes another piece of the same change in. Figures of different goods do not add up and are left to the goods.
    pub(super) fn take(&mut self, other: Change) {
        let known: std::collections::BTreeSet<String> = self.openings.iter().cloned().collect();
        self.openings.extend(other.openings.into_iter().filter(|number| !known.contains(number)));
        self.delta += other.delta;
        self.goods.extend(other.goods);
        self.figures = None;
    }
}

impl Changes {
    /// Whether nothing changed.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty()
    }

    /// The changes as indented JSON.
    pub fn json(&self) -> String {
        // Strings, lists and decimals written as strings always become text.
        let mut text = serde_json::to_string_pretty(self).unwrap_or_default();
        text.push('\n');
        text
    }
}
