//! Notes, keys, remarks and captions, and what follows from them for doors and sets.

pub(super) mod alternates;
pub(super) mod asked;
pub(super) mod captions;
pub(super) mod footnotes;
pub(super) mod keyed;
pub(super) mod legend;
pub(super) mod legendrows;
pub(super) mod paragraph;
pub(super) mod remarks;
pub(super) mod remarkwords;
