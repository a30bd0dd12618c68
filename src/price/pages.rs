//! The pages of the findings that pricing gives: what `pintle rules CODE` prints.

use crate::finding::{Finding, Kind, Page, Weight};

/// A row of the table below; every one is common practice.
const fn page(code: &'static str, kind: Kind, weight: Weight, words: [&'static str; 5]) -> Page {
    let [title, trigger, consequence, fires, quiet] = words;
    Page {
        code,
        title,
        trigger,
        consequence,
        numbers: "",
        source: "common practice",
        sure: "common practice",
        kind,
        weight,
        fires,
        quiet,
    }
}

/// Every code that the pricing room can give.
pub const PAGES: &[Page] = &[
    page(
        "without-good",
        Kind::Question,
        Weight::Goods,
        [
            "Nothing in the catalog fits what a rule adds, or a line at some of its doors",
            "goods that a rule added, or the goods of a line for some of its doors, are met by nothing in the catalog",
            "they are counted, carry no price, and stand among the lines without a price of the estimate and of the letter",
            "a closer added to a fire door, and a price list without closers; perimeter seals at a rated and at an exterior door, and a list of smoke seals alone",
            "the same with a list that has them",
        ],
    ),
    page(
        "call-for-price",
        Kind::Question,
        Weight::Goods,
        [
            "The maker gives no list price",
            "the good chosen is marked in the catalog as priced on request",
            "the line is counted, has no price and is not in the total",
            "an operator of a line with call_for_price",
            "the same operator with a list price",
        ],
    ),
    page(
        "typed-over-stale",
        Kind::Note,
        Weight::Goods,
        [
            "A figure typed over is for another good or count",
            "a price was typed over for one good and the line is another now, or a total for one count and the count is another now",
            "the typed figure is kept and not used; the line is priced as usual",
            "a price typed for a hinge of steel; the addendum makes it stainless",
            "the line and its count are as they were",
        ],
    ),
    page(
        "typed-row-left-out",
        Kind::Note,
        Weight::Goods,
        [
            "One good of a line was left out in the estimate",
            "a line has different goods at different doors, and x in Leave out stands on the row of one of them",
            "that good is not counted; the others of the line are",
            "x on the row of the closer with a parallel arm, none on that with a regular arm",
            "x on every row of the line: the line is left out",
        ],
    ),
    page(
        "units-without-rule",
        Kind::Question,
        Weight::Goods,
        [
            "Counted in one unit, sold in another",
            "the schedule counts feet and the good is sold by the piece of no stated length, or the other way round",
            "the line has no price and is not in the total",
            "20 LF of a seal sold each",
            "20 LF of a seal sold by the foot",
        ],
    ),
    page(
        "no-such-price",
        Kind::Question,
        Weight::Goods,
        [
            "The figures give no price that could be meant",
            "an amount runs past any price, or a margin of 100% or more is asked",
            "the line has no price and is not in the total",
            "a list price of thirty digits",
            "a list price of six digits",
        ],
    ),
    page(
        "below-cost",
        Kind::Question,
        Weight::Goods,
        [
            "Sold below its net cost",
            "the selling price of a unit is below its net cost",
            "priced as the terms say, and asked",
            "by_maker = \"-5%\"",
            "by_maker = \"5%\"",
        ],
    ),
    page(
        "below-floor-margin",
        Kind::Assumption,
        Weight::Goods,
        [
            "Sold below the floor margin",
            "the margin of a unit is below price.floor_margin of the job terms",
            "priced as the terms say, and marked",
            "floor_margin = \"20%\" and a category at 15%",
            "floor_margin = \"20%\" and a category at 20%",
        ],
    ),
    page(
        "discontinued",
        Kind::Question,
        Weight::Goods,
        [
            "What is asked for is no longer made",
            "the only goods that fit are of a product line that the catalog ends on a date, and it names a successor",
            "the line has no price; the successor's good is named with its list price",
            "a designation of a discontinued line",
            "the same before the date",
        ],
    ),
    page(
        "next-edition",
        Kind::Assumption,
        Weight::Scope,
        [
            "The next price book holds before the goods are delivered",
            "job.delivery is on or after the date of the catalog's next edition",
            "priced at the edition of the bid date, and marked",
            "delivery 2027-04-01, next edition 2027-03-01",
            "delivery 2027-02-01",
        ],
    ),
    page(
        "weight-missing",
        Kind::Assumption,
        Weight::Scope,
        [
            "Freight by weight, and goods without a weight",
            "freight.per_pound is the rule in force and a priced good has no shipping weight",
            "those goods add no freight",
            "a good without weight and per_pound = \"0.35\"",
            "the same good with freight.rate = \"3%\"",
        ],
    ),
    page(
        "catalog-note",
        Kind::Assumption,
        Weight::Scope,
        [
            "What the catalog says of itself",
            "no edition of the catalog is in force on the bid date, or goods of a flat list have no discount",
            "priced from the first edition, or at list price, and marked",
            "a discount group of an imported list without a [[discount]]",
            "the same with a discount for the group",
        ],
    ),
    page(
        "price-basis",
        Kind::Note,
        Weight::Scope,
        [
            "How prices are rounded, and what open questions are priced as",
            "always",
            "said on the quote, so that any price can be done again",
            "every quote",
            "nothing: it is always said",
        ],
    ),
    page(
        "substitution",
        Kind::Assumption,
        Weight::Goods,
        [
            "Another maker's goods in place of those named",
            "a line names a maker whose goods the catalog does not sell, and the job terms do not accept the maker taken instead",
            "priced with the goods that fit, marked as a substitution to be approved, and said on the proposal",
            "a closer of a maker that is not in the catalog",
            "the same closer, with the maker taken instead named under [makers] of the job terms",
        ],
    ),
    page(
        "order-exceeds-need",
        Kind::Assumption,
        Weight::Scope,
        [
            "Packs and least quantities cost more than the job needs",
            "a good is sold in packs, or from a least quantity, and more must be ordered than is needed",
            "the surplus is taken to go into stock and is not in the total; the buying list shows it",
            "two wall stops of a line sold from twenty",
            "twenty wall stops of that line",
        ],
    ),
    page(
        "alternate-without-price",
        Kind::Assumption,
        Weight::Scope,
        [
            "An alternate without a price",
            "an alternate of the job terms changes no line, or something that it asks for is not in the catalog",
            "the alternate is listed without a figure, to be priced on request",
            "category = \"closer\", set = { arm = \"golden\" }",
            "an arm that is made",
        ],
    ),
    page(
        "term-names-nothing",
        Kind::Assumption,
        Weight::Scope,
        [
            "The job terms name what is not there",
            "a category, maker, product line, row, door or set named in the job terms does not exist in the trade's list, the catalog or the schedule",
            "that part of the terms does nothing, and it is said",
            "by_category = { hinges = \"28%\" }",
            "by_category = { hinge = \"28%\" }",
        ],
    ),
    page(
        "unit-price-missing",
        Kind::Assumption,
        Weight::Scope,
        [
            "A unit price without a figure",
            "a unit price of the job terms names goods that the catalog does not sell or has no price for",
            "the unit price is listed without a figure",
            "category = \"closer\", set = { size = \"9\" }",
            "a size that is made",
        ],
    ),
];

/// A finding of this room, of the kind and weight that its page says.
pub(super) fn finding(code: &'static str, says: String) -> Finding {
    let page = PAGES.iter().find(|page| page.code == code);
    let (kind, weight) = page.map_or((Kind::Note, Weight::Goods), |page| (page.kind, page.weight));
    Finding::new(code, kind, weight, says)
}
