//! What the words of a line say, and no more.

use crate::trade::by_attribute::ByAttr;
use std::ops::Range;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::evidence::Evidence;
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use crate::trade::condition::Test;

/// What a line says. A line that names two goods gives two readings, each with its own span.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The category.
    pub category: Heard<Category>,
    /// How many, in which unit.
    pub quantity: Quantity,
    /// Attributes that the words speak of.
    pub attributes: ByAttr<Heard<Value>>,
    /// What the words say of the line as a whole: by others, existing, as required ...
    pub remarks: Vec<Remark>,
    /// At which doors of its set the line holds, or something that it says of its goods.
    pub conditions: Vec<Condition>,
    /// Words that nothing read, as byte ranges of the line's text.
    pub unread: Vec<Range<usize>>,
    /// Words that carry no meaning here (and, with, type ...).
    pub ignored: Vec<Range<usize>>,
    /// Damage and doubts met while reading, in words, with the byte range; they become findings.
    pub doubts: Vec<Doubt>,
}

impl Reading {
    /// The words that name the good, as a byte range of the line's text.
    pub fn named_at(&self) -> Option<Range<usize>> {
        match &self.category {
            Heard::Found(_, evidence) => Some(evidence.span.clone()),
            Heard::Ambiguous(all) => all.first().map(|(_, evidence)| evidence.span.clone()),
            Heard::Absent => None,
        }
    }
}

/// A thing heard: settled, or one of several, or not spoken of.
#[derive(Debug, Clone, PartialEq)]
pub enum Heard<T> {
    /// The words settle it.
    Found(T, Evidence),
    /// The words can be read in several ways; none is chosen here.
    Ambiguous(Vec<(T, Evidence)>),
    /// Nothing is said.
    Absent,
}

impl<T> Heard<T> {
    /// The words by which it was heard, as byte ranges of the line's text.
    pub fn spans(&self) -> Vec<Range<usize>> {
        match self {
            Heard::Found(_, by) => vec![by.span.clone()],
            Heard::Ambiguous(all) => all.iter().map(|(_, by)| by.span.clone()).collect(),
            Heard::Absent => Vec::new(),
        }
    }

    /// The settled value.
    pub fn found(&self) -> Option<&T> {
        match self {
            Heard::Found(value, _) => Some(value),
            _ => None,
        }
    }
}

/// Units of the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Unit {
    /// Each.
    Each,
    /// A pair that is not hinges (push-pull, bolts); pairs of hinges are read as each, times two.
    Pair,
    /// A set.
    Set,
    /// A running foot.
    Foot,
    /// A lot.
    Lot,
}

impl Unit {
    /// The word in the record.
    pub fn word(self) -> &'static str {
        match self {
            Unit::Each => "each",
            Unit::Pair => "pair",
            Unit::Set => "set",
            Unit::Foot => "foot",
            Unit::Lot => "lot",
        }
    }
}

/// How many.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// The number, converted (`1-1/2 PR` of hinges is 3 each). `None`: not given, or "as required".
    pub amount: Option<Decimal>,
    /// The unit.
    pub unit: Unit,
    /// Per leaf or lot, when the words say so.
    pub basis: Option<Basis>,
    /// "3 per single door, 4 per pair": amounts for singles and pairs.
    pub by_leaves: Option<(Decimal, Decimal)>,
    /// The words.
    pub evidence: Option<Evidence>,
    /// A second, different count in the words (`1 PR ... 3 EA`): shown, asked about.
    pub conflict: Option<(Decimal, Evidence)>,
    /// That second count is said of each leaf, and the first of none.
    pub conflict_of_leaf: bool,
    /// What the words say of some of the goods only: where, and what.
    pub some: Vec<(Range<usize>, Attr, Value)>,
}

impl Default for Quantity {
    fn default() -> Self {
        Self {
            amount: None,
            unit: Unit::Each,
            basis: None,
            by_leaves: None,
            evidence: None,
            conflict: None,
            conflict_of_leaf: false,
            some: Vec::new(),
        }
    }
}

/// What the words say of a line as a whole.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    /// Which.
    pub kind: RemarkKind,
    /// The words.
    pub evidence: Evidence,
}

/// At which doors of its set a line holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// The words.
    pub span: Range<usize>,
    /// What they say of the doors.
    pub says: Says,
    /// The line has none at those doors.
    pub denied: bool,
    /// Nothing but doors can be meant.
    pub firm: bool,
    /// The attribute for which alone it holds: `NRP @ EXT DRS`.
    pub of: Option<Attr>,
}

impl Condition {
    /// Whether it stands right behind some words: `BY OTHERS AT EXTERIOR DOORS`.
    pub fn follows(&self, words: &Evidence, text: &str) -> bool {
        let between = text.get(words.span.end..self.span.start);
        between.is_some_and(|between| !between.contains(char::is_alphanumeric))
    }
}

/// What a condition says of doors.
#[derive(Debug, Clone, PartialEq)]
pub enum Says {
    /// All of one of these hold.
    Facts(Vec<Vec<Test>>),
    /// A place: numbers of doors, or rooms.
    Place,
    /// Something that no fact of a door tells.
    Unclear,
}

/// Kinds of remark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RemarkKind {
    /// BY OTHERS, BY OWNER, BY SECURITY, OFOI.
    ByOthers,
    /// CONTRACTOR FURN: by a contractor, who may be the one that we supply.
    ByWhom,
    /// NIC.
    NotInContract,
    /// ETR, REUSE, SALVAGE.
    Existing,
    /// NOT USED, DELETE, OMIT.
    NotUsed,
    /// AS REQ'D, A/R.
    AsRequired,
    /// TBD, VERIFY, V.I.F., ?.
    Verify,
    /// MATCH EXISTING.
    MatchExisting,
    /// OR EQUAL.
    OrEqual,
    /// SEE SPEC, SEE NOTE 4.
    SeeElsewhere,
    /// PER OWNER STANDARD, BY KEY SHOP.
    OwnerStandard,
    /// DITTO, SAME AS ABOVE (already resolved against the line above, and said).
    Ditto,
    /// Furnish only, for fabrication elsewhere, and other remarks without effect on the goods.
    Other,
}

impl RemarkKind {
    /// Every kind.
    pub const ALL: [RemarkKind; 13] = [
        RemarkKind::ByOthers,
        RemarkKind::ByWhom,
        RemarkKind::NotInContract,
        RemarkKind::Existing,
        RemarkKind::NotUsed,
        RemarkKind::AsRequired,
        RemarkKind::Verify,
        RemarkKind::MatchExisting,
        RemarkKind::OrEqual,
        RemarkKind::SeeElsewhere,
        RemarkKind::OwnerStandard,
        RemarkKind::Ditto,
        RemarkKind::Other,
    ];

    /// The word in the word lists.
    pub fn word(self) -> &'static str {
        match self {
            RemarkKind::ByOthers => "by-others",
            RemarkKind::ByWhom => "by-whom",
            RemarkKind::NotInContract => "not-in-contract",
            RemarkKind::Existing => "existing",
            RemarkKind::NotUsed => "not-used",
            RemarkKind::AsRequired => "as-required",
            RemarkKind::Verify => "verify",
            RemarkKind::MatchExisting => "match-existing",
            RemarkKind::OrEqual => "or-equal",
            RemarkKind::SeeElsewhere => "see",
            RemarkKind::OwnerStandard => "owner-standard",
            RemarkKind::Ditto => "ditto",
            RemarkKind::Other => "other",
        }
    }
}

/// A doubt about some words.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Stable code of the finding it becomes.
    pub code: &'static str,
    /// What is doubtful.
    pub says: String,
    /// The words.
    pub span: Range<usize>,
    /// The attribute concerned.
    pub attribute: Option<Attr>,
}

/// What stands around a line.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// Section heading above it.
    pub section: Option<Arc<str>>,
    /// Title of the set.
    pub set_title: Arc<str>,
    /// Categories already settled in the set, in order.
    pub others: Vec<Category>,
}
