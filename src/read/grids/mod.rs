//! Schedules that stand across: doors against kinds of hardware, goods against sets, and the keys of their codes.

pub(super) mod across;
pub(super) mod acrosscells;
pub(super) mod acrossids;
pub(super) mod itemkeys;
pub(super) mod kindnotes;
pub(super) mod matrix;
pub(super) mod matrixcells;
pub(super) mod matrixkeys;
