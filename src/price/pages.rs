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
