//! The pages of the findings about sets, their doors and counts, and about schedules whose columns were lost.

use crate::finding::{Kind, Page, Weight};

use super::pages::page;

/// Their codes.
pub(super) const SETS: &[Page] = &[
    page(
        "several-sets",
        "A door's cell names several sets",
        Kind::Assumption,
        Weight::Goods,
        "a set cell holds the ids of several sets that are defined, joined by a comma, &, + or AND",
        "the lines of all of them count for the door",
        "set cell 12 & 14, sets 12 and 14 defined",
        "set cell 12A",
    ),
    page(
        "set-or-set",
        "A door's cell names one set or another",
        Kind::Question,
        Weight::Goods,
        "a set cell holds the ids of several sets that are defined, joined by a slash or OR",
        "the first of them is priced, and asked",
        "set cell 3/3A, sets 3 and 3A defined",
        "set cell 3/3A, and a set of that very name",
    ),
    page(
        "set-repeated",
        "A set stands twice with the same lines",
        Kind::Note,
        Weight::Goods,
        "two headings of one set on a sheet, and the same lines under both",
        "read once",
        "SET 2 in rows 9 and 40, both with 3 hinges and a lock",
        "SET 2 twice with different lines: that is asked about",
    ),
    page(
        "set-goes-on",
        "The heading of a set comes again with other goods",
        Kind::Assumption,
        Weight::Goods,
        "the heading of a set comes again on the sheet with the same title, no doors, and none of the goods that stand under the first",
        "the lines are added to the first",
        "SET 2 with hinges and a lock; a new page; SET 2 with a closer and a stop",
        "SET 2 twice, each with a lock",
    ),
    page(
        "total-disagrees",
        "A total of a table of counts is not the sum",
        Kind::Question,
        Weight::Goods,
        "the cell of a total row or column differs from what its rows or columns add up to",
        "the single counts are used, and asked",
        "counts 2, 3, 4 and a total of 18",
        "counts 2, 3, 4 and a total of 9",
    ),
    page(
        "doors-not-read",
        "A row names doors that are no numbers",
        Kind::Question,
        Weight::Goods,
        "a row under a set heading begins with DOORS: and goes on with words that are no door numbers",
        "kept as a note of the set, and asked",
        "DOORS: north and south entrance",
        "DOORS: 101, 105-109",
    ),
    page(
        "set-as-another",
        "A set is said to be as another",
        Kind::Question,
        Weight::Goods,
        "a row under a set heading says SAME AS SET, with or without exceptions",
        "the lines of the other set are taken, those below added; exceptions are asked about",
        "SAME AS SET 2 EXCEPT NO CLOSER",
        "SAME AS SET 2: taken as it is, and said so",
    ),
    page(
        "columns-lost",
        "The columns of a schedule were lost",
        Kind::Question,
        Weight::Reading,
        "each row of a door schedule is one text, and so are its headings",
        "the words are given to the headings by form and order, and said so; a row with fewer words than headings is asked about",
        "101 LOBBY 3'-0\" X 7'-0\" A 90 01 under DOOR ROOM SIZE TYPE RATING HW",
        "the same words in cells of their own",
    ),
];
