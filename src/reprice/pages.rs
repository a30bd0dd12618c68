//! The pages of the findings that re-pricing gives: what `pintle rules CODE` prints.

use crate::finding::{Kind, Page, Weight};

/// Every code that re-pricing can give.
pub const PAGES: &[Page] = &[
    Page {
        code: "change-not-found",
        title: "A list of changes names what the last quote does not have",
        trigger: "a row says delete or revise, and its door, set or line is not in the last quote, or several lines may be meant; \
              or a row adds a door that is there already",
        consequence: "the row is left out and asked about; a door that is there already is revised",
        numbers: "",
        source: "common practice",
        sure: "common practice",
        kind: Kind::Question,
        weight: Weight::Goods,
        fires: "REVISE door 999 where the last quote has no door 999",
        quiet: "REVISE door 101 where the last quote has it",
    },
    Page {
        code: "set-without-goods",
        title: "An addendum names a set and lists nothing under it",
        trigger: "the heading of a set of the last quote, without goods below it and without words that it is not used",
        consequence: "the set keeps its goods, and it is asked what is meant",
        numbers: "",
        source: "common practice",
        sure: "common practice",
        kind: Kind::Question,
        weight: Weight::Goods,
        fires: "Set 4, Change storeroom lock to classroom lock, in a table without actions",
        quiet: "SET 4 - NOT USED; SET 4 with its goods",
    },
    Page {
        code: "change-line-chosen",
        title: "A row of a list of changes may be about several lines of its set",
        trigger: "a row says delete or revise, gives no words that the line had before, and its set has several lines of the \
                  kind; one of them agrees with the row more than the others",
        consequence: "that line is changed and named; with a column headed WAS the list itself settles it",
        numbers: "",
        source: "common practice",
        sure: "common practice",
        kind: Kind::Assumption,
        weight: Weight::Goods,
        fires: "REVISE set 4, kick plate 12 x 34, where set 4 has a kick plate 10 x 34 and an armour plate",
        quiet: "REVISE set 4, kick plate 12 x 34, where set 4 has one kick plate and no other plate",
    },
];
