//! The pages of the findings about columns of door schedules: what their cells say beside, or against, what is read.

use crate::finding::{Kind, Page, Weight};

use super::pages::page;

/// Their codes.
pub(super) const COLUMNS: &[Page] = &[
    page(
        "column-contradicts",
        "A column does not hold what its heading says",
        Kind::Question,
        Weight::Reading,
        "hardly any cell of a column looks like its heading, and no other reading fits",
        "the column is not used, and asked about",
        "a set column of HM, WD, HM and nothing beside it",
        "a set column of 1, 2, HW-3",
    ),
    page(
        "second-set",
        "A second column names sets",
        Kind::Question,
        Weight::Goods,
        "beside the column of sets another one names sets: the same ones, or under a heading that is not known, or sets that are defined nowhere",
        "the door keeps the set of the first column alone, and that is asked; where the second column has sets of its own that are defined, the door has both",
        "HW SET 1, 2, 3 and REVISED HW SET 1, 3, 3",
        "HW SET H1, H2 and SECURITY HW SET S1, S2, all of them defined",
    ),
    page(
        "dwellings-not-counted",
        "Nothing says how many dwellings there are of a kind",
        Kind::Question,
        Weight::Goods,
        "columns of kinds of dwellings count the doors of one of each, and neither their headings nor a row below them says how many there are",
        "one dwelling of each kind is counted",
        "TYPE, SET, UNIT A1, UNIT A2 over 1, 2",
        "UNIT A1 with (24 units) below it; UNIT A1 (24); a total beside them",
    ),
    page(
        "types-not-counted",
        "Types of doors with sets that no door names",
        Kind::Question,
        Weight::Goods,
        "beside numbered doors a table gives types of doors with sets, no door names the types, and nothing counts them or the numbered doors have the same sets",
        "the numbered doors alone are counted",
        "doors 101, 102 with set C-1; TYPE U1, SET U-1 without a count",
        "TYPE U1, SET U-1, QTY 60: doors of their own",
    ),
];
