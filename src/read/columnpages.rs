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
    page(
        "row-deleted",
        "A revision deletes a door",
        Kind::Assumption,
        Weight::Goods,
        "a column of revisions says DEL, VOID, DELETED or OMIT in the row of a door",
        "the door is left out; goods of sets so marked are lines left out",
        "REV DEL, door 104, set 4",
        "REV ADD, door 105; REV 2, door 103",
    ),
    page(
        "fact-open",
        "A cell settles nothing",
        Kind::Question,
        Weight::LifeSafety,
        "a rating or a material says ?, TBD, VERIFY; a rating is neither one nor a word for none; or a remark says that the rating is to be verified",
        "the door counts as if nothing were said; a rating to be verified counts as written; each rating is an answer",
        "FIRE RATING ?; FIRE RATING 45, remark verify rating",
        "FIRE RATING 45; N/A; a dash; a blank cell",
    ),
    page(
        "footnote-of-doors",
        "Footnotes explain asterisks at the numbers of doors",
        Kind::Assumption,
        Weight::Reading,
        "numbers of doors end with asterisks, and a line of the sheet begins with as many",
        "the asterisks are taken off the numbers, and the words of the line become a remark of the doors",
        "door 104*, and below the schedule * Provide electric strike",
        "door 104* and no line that begins with an asterisk; doors 104 and 104*",
    ),
    page(
        "rating-by-key",
        "A key in the file explains the letters of ratings",
        Kind::Assumption,
        Weight::LifeSafety,
        "a line that speaks of labels or ratings says what two letters or more mean, and the key differs from what the letters usually mean, or these are open",
        "the minutes of the key are taken",
        "Label: A = 3 hr, B = 1-1/2 hr, C = 3/4 hr, and a door with B",
        "a door with C, which is 45 minutes with and without the key",
    ),
];
