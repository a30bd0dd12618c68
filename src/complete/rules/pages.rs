//! Pages of the codes that are no rule's: what the machinery of the rules, of goods and of answers says.

use crate::complete::act::page;
use crate::finding::{Kind, Page, Weight};

/// The pages.
pub const OTHERS: [Page; 12] = [
    page(
        "rules-quarrel",
        Kind::Note,
        Weight::Reading,
        "Two rules want different things",
        "two rules give one value different contents, or undo each other's work",
        "the surer one, then the first by name, is kept; both are named",
        "at most ten rounds",
        ("a rule of this program", "read"),
        ("two rules that fill one attribute differently", "rules that agree"),
    ),
    page(
        "ambiguous-word",
        Kind::Question,
        Weight::Goods,
        "A word can be read in several ways",
        "the words of a line have several readings and none is settled",
        "priced by the first reading; each reading is an answer",
        "",
        ("common practice", "common practice"),
        ("WS: wall stop or weatherstrip", "WALL STOP"),
    ),
    page(
        "cross-reference",
        Kind::Note,
        Weight::Goods,
        "A number of another maker was read",
        "a number on the line fits a row of a cross reference (crossref.csv of the catalog or of the job)",
        "what the row says is taken as said; goods of ours that it names are offered as an equal, to be approved",
        "rows that spell out more of the number prevail; rows of the job stand above those of the catalog",
        ("the user's own table", "common practice"),
        ("a number that fits a row", "a number that fits none"),
    ),
    page(
        "near-designation",
        Kind::Note,
        Weight::Goods,
        "A number is nearly one of the catalog's",
        "a catalog number begins like those of a product line and then holds what that line does not make",
        "the number is not taken to pieces; the position, what is made there and the nearest of it are named",
        "",
        ("the catalog", "common practice"),
        ("a code in the number that the line does not make", "a number that reads to its end"),
    ),
    page(
        "line-not-read",
        Kind::Question,
        Weight::Goods,
        "A line was not understood",
        "no category of goods is found in a line",
        "the line is listed, not counted and not priced",
        "",
        ("common practice", "common practice"),
        ("a line of signs or unknown words", "3 EA HINGE"),
    ),
    page(
        "words-not-read",
        Kind::Note,
        Weight::Goods,
        "Words of a line were not understood",
        "a line is understood but some of its words are not",
        "the words are shown",
        "",
        ("common practice", "common practice"),
        ("HINGE 4-1/2 QZX", "HINGE 4-1/2 x 4-1/2"),
    ),
    page(
        "undecided-attribute",
        Kind::Question,
        Weight::Goods,
        "Something that sets the price is not given",
        "the catalog makes the goods in several ways, the words name none, and the answers lead to other prices or goods",
        "priced at the catalog's usual value; each value is an answer",
        "",
        ("common practice", "common practice"),
        ("a flush bolt without manual or automatic", "an automatic flush bolt"),
    ),
    page(
        "usual-values",
        Kind::Assumption,
        Weight::Goods,
        "Usual values taken",
        "an attribute is not given and the trade has a usual value",
        "the usual value is taken and listed once for the job",
        "the table trade/usual.csv",
        ("trade/usual.csv, a source in each row", "common practice"),
        ("a hinge without tips named", "a hinge with hospital tips"),
    ),
    page(
        "no-good-fits",
        Kind::Question,
        Weight::Goods,
        "Nothing in the catalog fits",
        "no product line meets what is asked",
        "the line carries no price; the nearest and what stands against it are shown",
        "",
        ("the catalog", "read"),
        ("a hinge 9 x 9", "a hinge 4-1/2 x 4-1/2"),
    ),
    page(
        "answer-not-offered",
        Kind::Note,
        Weight::Goods,
        "An answer is not one of those offered",
        "the words given to a question match none of its answers",
        "the question stays open; the choices are listed",
        "",
        ("a rule of this program", "read"),
        ("perhaps", "one of the words offered"),
    ),
    page(
        "answer-not-asked",
        Kind::Note,
        Weight::Reading,
        "An answer without its question",
        "an answer names a question that this job does not ask",
        "the answer is kept aside",
        "",
        ("a rule of this program", "read"),
        ("an answer to a line since taken out", "an answer to a question of the list"),
    ),
    page(
        "typed-good-not-offered",
        Kind::Note,
        Weight::Goods,
        "A good typed over does not meet its line",
        "the good typed for a line is neither among those that meet it nor among their equals",
        "the line stays as it was; the goods that meet it are listed",
        "",
        ("a rule of this program", "read"),
        ("a closer typed for a line of hinges", "one of the goods of the list"),
    ),
    page(
        "typed-over-idle",
        Kind::Note,
        Weight::Reading,
        "A figure typed over has lost its line",
        "something was typed over on a line that the schedule no longer has",
        "it is kept aside",
        "",
        ("a rule of this program", "read"),
        ("a price for a line since taken out", "a price for a line that only moved"),
    ),
    page(
        "unit-quantity",
        Kind::Question,
        Weight::Goods,
        "A quantity is said in two ways",
        "one line gives two different counts",
        "the first is priced",
        "",
        ("common practice", "common practice"),
        ("1 PR ... 3 EA", "3 EA"),
    ),
];

/// The finding for rules that quarrel.
pub mod rules_quarrel {
    use crate::finding::{Finding, Kind, Weight};

    /// Names the rules.
    pub fn finding(about: &str, says: String) -> Finding {
        let mut finding = Finding::new("rules-quarrel", Kind::Note, Weight::Reading, says);
        finding.id = about.to_owned();
        finding.help = "switch one of them off in job.toml, and report it".to_owned();
        finding
    }
}
