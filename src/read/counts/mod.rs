//! Schedules that count doors without naming them all: types, rooms, dwellings, takeoffs.

pub(super) mod countwords;
pub(super) mod doortypes;
pub(super) mod dwellings;
pub(super) mod rowcounts;
pub(super) mod symbols;
pub(super) mod takeoff;
pub(super) mod totals;
pub(super) mod types;
pub(super) mod typesbeside;
