//! What programs, printers and copyists did to the cells of a schedule, undone where it can be and told in any case.

pub(super) mod damage;
pub(super) mod dashed;
pub(super) mod ditto;
pub(super) mod foreign;
pub(super) mod merges;
pub(super) mod onecell;
pub(super) mod repeats;
pub(super) mod rowmend;
pub(super) mod stacked;
pub(super) mod struck;
pub(super) mod suspect;
pub(super) mod wrapped;
pub(super) mod zeros;
