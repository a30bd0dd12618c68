//! Lists of changes, columns of revisions, and what a later issue replaces.

pub mod amendment;
pub(super) mod changekey;
pub(super) mod changelist;
pub(super) mod changes;
pub(super) mod revision;
pub(super) mod superseded;
pub(super) mod supersededrows;
