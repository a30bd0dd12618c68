//! Lines of goods: below the heading of a set, in one cell, beside a door, or in no set at all.

pub(super) mod bareitems;
pub(super) mod celllist;
pub(super) mod commalists;
pub(super) mod countsbehind;
pub(super) mod doorgoods;
pub(super) mod doorheads;
pub(super) mod dooritems;
pub(super) mod goodsrows;
pub(super) mod itemcells;
pub(super) mod itemrows;
pub(super) mod itemtext;
pub(super) mod listbeside;
pub(super) mod longcells;
pub(super) mod outside;
mod setremark;
pub(super) mod unclaimed;
pub(super) mod userows;
