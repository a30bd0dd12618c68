//! The pages of the findings about columns of door schedules: what their cells say beside, or against, what is read.

use crate::finding::{Kind, Page, Weight};

use super::pages::page;

/// Their codes.
pub(super) const COLUMNS: &[Page] = &[page(
    "second-set",
    "A second column names sets",
    Kind::Question,
    Weight::Goods,
    "beside the column of sets another one names sets: the same ones, or under a heading that is not known, or sets that are defined nowhere",
    "the door keeps the set of the first column alone, and that is asked; where the second column has sets of its own that are defined, the door has both",
    "HW SET 1, 2, 3 and REVISED HW SET 1, 3, 3",
    "HW SET H1, H2 and SECURITY HW SET S1, S2, all of them defined",
)];
