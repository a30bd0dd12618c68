//! Sizes of doors in every notation, and the leaves that they tell.

pub(super) mod beside;
pub(super) mod feetinches;
pub(super) mod leaves;
pub(super) mod length;
pub(super) mod size;
pub(super) mod sizecodes;
pub(super) mod sizing;
pub(super) mod splitsizes;
