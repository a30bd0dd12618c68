//! Doors and goods that others supply, that are there already, or that are left out.

pub(super) mod listothers;
pub(super) mod marked;
pub(super) mod markedasked;
pub(super) mod others;
pub(super) mod othersasked;
pub(super) mod outsaid;
