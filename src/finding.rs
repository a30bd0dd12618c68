//! A finding: something the user must answer, should know was assumed, or may like to know. One shape for the
//! terminal, the record and the workbook. Rules make them; the pricing room adds what each answer is worth.

use std::sync::Arc;

use crate::money::Money;
use crate::place::Place;
use crate::trade::attribute::{Attr, Attributes, Value};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use rust_decimal::Decimal;

/// Points to one line of one set: the index of the set, and of the line in it, in the order read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineId {
    /// Index of the set in the job.
    pub set: usize,
    /// Index of the line in the set.
    pub line: usize,
}

/// What the user is to do with a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Must be answered; priced provisionally meanwhile.
    Question,
    /// Filled in and marked; correct it if wrong.
    Assumption,
    /// For information, no money.
    Note,
}

impl Kind {
    /// The word in the record and on every page.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Question => "question",
            Kind::Assumption => "assumption",
            Kind::Note => "note",
        }
    }
}

/// In which order findings are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Fire, egress, accessibility: conflicts that defer to the authority having jurisdiction.
    LifeSafety,
    /// Goods or quantities are in doubt.
    Goods,
    /// What the file itself did: damage, hidden rows, columns that look wrong.
    Reading,
    /// Whose work it is, job-wide matters.
    Scope,
}

/// So many doors are named in a sentence; more are counted.
const NAMED: usize = 6;

/// The first names, and how many there are more.
pub fn some_of(names: &[String]) -> String {
    let named = names.iter().take(NAMED).map(String::as_str).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(NAMED) {
        0 => named,
        more => format!("{named} and {more} more"),
    }
}

/// What choosing an answer does to the job; the pricing room computes its money effect from this.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Nothing that has a price here.
    Nothing,
    /// Something that a person has to carry out: in the schedule, in the job terms, by figures typed over.
    ByHand,
    /// Set an attribute on lines.
    Set {
        /// The lines it applies to.
        lines: Vec<LineId>,
        /// The attribute.
        attribute: Attr,
        /// Its value.
        value: Value,
    },
    /// Make it another category of goods.
    Category {
        /// The lines it applies to.
        lines: Vec<LineId>,
        /// The category meant.
        category: Category,
    },
    /// Another quantity per opening (or leaf, as the line says).
    Quantity {
        /// The line.
        line: LineId,
        /// The new quantity per opening or leaf.
        quantity: Decimal,
    },
    /// Add goods: so many in all, over the finding's openings.
    Add {
        /// Category of the good added.
        category: Category,
        /// Its attributes.
        attributes: Attributes,
        /// Total quantity.
        quantity: Decimal,
    },
    /// Leave the lines out.
    Exclude {
        /// The lines.
        lines: Vec<LineId>,
    },
    /// Lines that were left out are supplied after all, as they are written.
    Supply {
        /// The lines.
        lines: Vec<LineId>,
    },
    /// Something holds of the doors of the finding. Once answered, the rules follow; until then the answer is worth the
    /// goods that these would add.
    Doors {
        /// What holds.
        are: Fact,
        /// Category, attributes, how many in all.
        goods: Vec<(Category, Attributes, Decimal)>,
    },
    /// Goods that the rules add once it is answered: they are worth it meanwhile, and are not added twice then.
    Follows {
        /// Category, attributes, how many in all.
        goods: Vec<(Category, Attributes, Decimal)>,
    },
    /// The openings of the finding have this size. What it is worth is known once everything has been worked out anew.
    Size {
        /// Width as the answer says it: of the opening, of a leaf where it is too narrow for a pair.
        width: Inches,
        /// Height of the leaf, where the answer says it.
        height: Option<Inches>,
        /// Widths of the leaves of a pair, active leaf first, where the answer says them.
        leaf_widths: Vec<Inches>,
    },
    /// The openings of the finding that have one set have another. What it is worth is known once everything has been worked
    /// out anew.
    Served {
        /// The set that the schedule gives them.
        from: String,
        /// The set that they have.
        set: String,
    },
    /// Several of these at once, each on goods of its own.
    Several(Vec<Effect>),
    /// Keep what an addition by the finding's rule added (`false`: take it out).
    KeepAddition(bool),
}

/// What an answer can say of doors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// They lead outside.
    Exterior,
    /// They have a smoke label.
    Smoke,
    /// They are rated so many minutes.
    Rated(u32),
    /// They are not rated.
    NotRated,
    /// A number that stands several times is one door: its first row.
    Once,
    /// Their numbers are those of the two leaves of one pair: the first stands for both.
    OnePair,
    /// The supplies of their electrified goods are ours.
    Powered,
    /// They are doors of the job, though their row says that they are not.
    Stay,
    /// They are no doors of the job, whatever set they have.
    Out,
    /// The row stands for so many doors.
    Count(u32),
    /// What their leaves are made of.
    Leaf(&'static str),
    /// What their frames are made of.
    Frame(&'static str),
}

impl Fact {
    /// The word in the record.
    pub fn word(self) -> String {
        match self {
            Fact::Rated(minutes) => return format!("rated {minutes}"),
            Fact::Count(count) => return format!("{count} doors"),
            Fact::Leaf(material) => return format!("leaf {material}"),
            Fact::Frame(material) => return format!("frame {material}"),
            Fact::NotRated => "not rated",
            Fact::Stay => "of the job",
            Fact::Out => "not of the job",
            Fact::Once => "once",
            Fact::OnePair => "one pair",
            Fact::Exterior => "exterior",
            Fact::Smoke => "smoke",
            Fact::Powered => "powered by us",
        }
        .to_owned()
    }
}

/// One answer that the tool offers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The words to pick.
    pub value: String,
    /// What it does.
    pub does: Effect,
    /// Difference to the provisional total, once priced.
    pub effect: Option<Money>,
}

impl Answer {
    /// An answer whose money is not known yet.
    pub fn new(value: impl Into<String>, does: Effect) -> Self {
        Self { value: value.into(), does, effect: None }
    }
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Stable within a job: made of code, set and what it is about. Empty until the rooms have finished.
    pub id: String,
    /// Code of the rule that made it: its page is `pintle rules CODE`.
    pub code: &'static str,
    /// What the user is to do.
    pub kind: Kind,
    /// Order of showing.
    pub weight: Weight,
    /// Door numbers it is about; empty: the whole job or the file.
    pub openings: Vec<String>,
    /// The set it is about.
    pub set: Option<String>,
    /// The lines it is about.
    pub lines: Vec<LineId>,
    /// Where to look.
    pub place: Option<Place>,
    /// The words as written.
    pub excerpt: String,
    /// What was found, in one or two sentences.
    pub says: String,
    /// What to do next.
    pub help: String,
    /// The answers offered; empty where free text is wanted.
    pub answers: Vec<Answer>,
    /// For a question: what is priced meanwhile.
    pub priced_as: String,
    /// On what it rests: standard, table, or `common practice`.
    pub source: Arc<str>,
    /// The attribute in doubt, if it is one.
    pub attribute: Option<Attr>,
}

impl Finding {
    /// Whether an answer in free words settles it: it offers nothing, or only to leave things as they are, so that
    /// whatever else is meant can be said in words alone.
    pub fn takes_words(&self) -> bool {
        match self.answers.as_slice() {
            [] => true,
            [only] => only.does == Effect::Nothing,
            _ => false,
        }
    }

    /// A finding with only what every finding has; fill in the rest with struct update or the `with_` methods.
    pub fn new(code: &'static str, kind: Kind, weight: Weight, says: impl Into<String>) -> Self {
        Self {
            id: String::new(),
            code,
            kind,
            weight,
            openings: Vec::new(),
            set: None,
            lines: Vec::new(),
            place: None,
            excerpt: String::new(),
            says: says.into(),
            help: String::new(),
            answers: Vec::new(),
            priced_as: String::new(),
            source: "common practice".into(),
            attribute: None,
        }
    }

    /// What the answers differ by in money; keeping what is priced changes nothing.
    pub fn spread(&self) -> Decimal {
        let (low, high) = self.extremes();
        (high - low).decimal()
    }

    /// The least and the most that the answers change the total by; keeping what is priced changes nothing.
    pub fn extremes(&self) -> (Money, Money) {
        let effects = || self.answers.iter().filter_map(|answer| answer.effect).chain([Money::ZERO]);
        (effects().min().unwrap_or_default(), effects().max().unwrap_or_default())
    }

    /// Adds where to look and the words there.
    pub fn at(mut self, place: Place, excerpt: impl Into<String>) -> Self {
        self.place = Some(place);
        self.excerpt = excerpt.into();
        self
    }

    /// Adds what to do next.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }
}

/// The page of a code: what `pintle rules CODE` prints. Every code that any room can give has one, in that room's `PAGES`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// Stable code, a name of the matter: `hinge-count`. Never reused.
    pub code: &'static str,
    /// One line.
    pub title: &'static str,
    /// When it speaks.
    pub trigger: &'static str,
    /// What follows: what is added, assumed or asked.
    pub consequence: &'static str,
    /// Numbers it uses, in words; empty if none.
    pub numbers: &'static str,
    /// Standard, table or `common practice`, with edition.
    pub source: &'static str,
    /// How sure the source is: `read`, `reported`, `from memory`, `common practice`.
    pub sure: &'static str,
    /// What kind of finding it gives.
    pub kind: Kind,
    /// Order of showing.
    pub weight: Weight,
    /// A smallest input that causes it, in words an estimator reads.
    pub fires: &'static str,
    /// A near input that must stay quiet.
    pub quiet: &'static str,
}
